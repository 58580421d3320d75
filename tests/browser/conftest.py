"""Fixtures for tests that drive JupyterLab in a browser.

The server lives for the whole run. The browser lives for one file: while it runs, Playwright keeps
an event loop in this thread, and the notebooks that pytest runs elsewhere need it free.
"""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from lab import Lab, Server, chromium, find_chromium, server


@pytest.fixture(scope="session")
def chromium_path() -> str:
    """The browser of this machine. Without one, tests are skipped here and fail under CI."""
    path = find_chromium()
    if path is None:
        reason = "no Chromium or Chrome here (install one, or name it in the variable CHROMIUM)"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    return path


@pytest.fixture(scope="session")
def lab_server(chromium_path: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """One JupyterLab over a copy of the workbook, for all browser tests."""
    with server(tmp_path_factory.mktemp("lab")) as running:
        yield running


@pytest.fixture(scope="module")
def lab(chromium_path: str, lab_server: Server) -> Iterator[Lab]:
    """JupyterLab and a browser: ``lab.open_notebook(name)`` gives a page to drive."""
    with chromium(chromium_path) as browser:
        opened = Lab(lab_server, browser)
        try:
            yield opened
        finally:
            opened.close()
