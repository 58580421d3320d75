"""Fixtures for tests that drive JupyterLab in a browser.

Server and browser live as long as tests of this folder run, and no longer: while a browser runs,
Playwright keeps an event loop in this thread, and the notebooks that pytest runs elsewhere need it
free.
"""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from lab import Lab, Server, chromium, find_chromium, server
from playwright.sync_api import Browser, Page


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


@pytest.fixture(scope="package")
def browser(chromium_path: str) -> Iterator[Browser]:
    """A browser for all tests here; each takes a context of its own."""
    with chromium(chromium_path) as running:
        yield running


@pytest.fixture(scope="package")
def lab_server(chromium_path: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """One JupyterLab over a copy of the workbook, for all browser tests."""
    with server(tmp_path_factory.mktemp("lab")) as running:
        yield running


@pytest.fixture(scope="package")
def idle() -> list[Page]:
    """Pages in which JupyterLab is loaded and no notebook is open."""
    return []


@pytest.fixture(scope="module")
def lab(browser: Browser, lab_server: Server, idle: list[Page]) -> Iterator[Lab]:
    """JupyterLab and a browser: ``lab.open_notebook(name)`` gives a page to drive."""
    opened = Lab(lab_server, browser, idle)
    try:
        yield opened
    finally:
        opened.close()
