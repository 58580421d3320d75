"""The built site in headless Chromium: a plain server, a profile that stays, no other address."""

from __future__ import annotations

import functools
import re
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from lab import CHROMIUM_FLAGS, NotebookPage, driver
from playwright.sync_api import BrowserContext, Route

PATIENCE = 300_000  # milliseconds for Python to start in a page of a busy machine
_OPENED = "name => window.jupyterapp?.shell.currentWidget?.context?.path === name"
_STARTED = """async () => {
    await window.jupyterapp.restored;
    const panel = window.jupyterapp.shell.currentWidget;
    await panel.context.ready;
    await panel.sessionContext.ready;
    await panel.sessionContext.session.kernel.info;
}"""
# What a kernel prints in answer to some code.
_ASK = """async code => {
    const { kernel } = window.jupyterapp.shell.currentWidget.sessionContext.session;
    const future = kernel.requestExecute({ code, store_history: false });
    let said = "";
    future.onIOPub = message => {
        if (message.header.msg_type === "stream") said += message.content.text;
        if (message.header.msg_type === "error") said += message.content.traceback.join("\\n");
    };
    await future.done;
    return said;
}"""


class _Quiet(SimpleHTTPRequestHandler):
    """Files of a folder, and nothing said about them."""

    protocol_version = "HTTP/1.1"

    def log_message(self, *_: object) -> None:
        """Say nothing."""


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """The address at which a folder is served on this machine."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(_Quiet, directory=folder))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()


class SitePage(NotebookPage):
    """One notebook, open in the page that has its own Python."""

    def load(self, url: str) -> None:
        """Open the notebook and wait until Python has started."""
        self.page.goto(f"{url}lab/index.html?path={self.name}")
        self.page.wait_for_function(_OPENED, arg=self.name)
        self.page.evaluate(_STARTED)
        self.settle()

    def ask(self, code: str) -> str:
        """Return what some code prints, run beside the notebook."""
        return str(self.page.evaluate(_ASK, code)).strip()


@dataclass(slots=True)
class Visit:
    """A browser with a profile: what a reader comes with, and which addresses were asked."""

    context: BrowserContext
    url: str
    elsewhere: list[str] = field(default_factory=list)

    def open(self, name: str) -> SitePage:
        """Open a notebook of the site."""
        page = self.context.new_page()
        page.set_default_timeout(PATIENCE)
        opened = SitePage(page, f"{name}.ipynb")
        opened.load(self.url)
        return opened


@contextmanager
def visit(chromium_path: str, profile: Path, url: str) -> Iterator[Visit]:
    """A browser over a profile; every address but the site's is blocked and noted."""
    with driver() as playwright:
        context = playwright.chromium.launch_persistent_context(
            profile, executable_path=chromium_path, args=CHROMIUM_FLAGS,
            viewport={"width": 1280, "height": 1000},
        )  # fmt: skip
        one = Visit(context, url)

        def refuse(route: Route) -> None:
            one.elsewhere.append(route.request.url)
            route.abort()

        context.route(re.compile(rf"^https?://(?!{re.escape(url.split('//')[1])})"), refuse)
        try:
            yield one
        finally:
            context.close()
