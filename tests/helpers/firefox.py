"""Firefox without a window, told what to do by WebDriver BiDi (W3C), which it speaks by itself."""

from __future__ import annotations

import json
import os
import queue
import re
import shutil
import subprocess
import threading
import time
from base64 import b64decode
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from websocket import WebSocket, create_connection  # it comes with JupyterLab

FIREFOX_NAMES = ("firefox-esr", "firefox")
STARTS = 120.0  # seconds; a cold machine takes five
ANSWERS = 600.0  # seconds, after which a page that says nothing is a fault
LISTENS = re.compile(r"WebDriver BiDi listening on (ws://\S+)")
LOOKS = 0.1  # seconds between two looks at the page
# Nothing but the site is asked for.
SETTINGS = {
    "app.update.enabled": False,
    "browser.shell.checkDefaultBrowser": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "services.settings.server": "data:,",
    "toolkit.telemetry.reportingpolicy.firstRun": False,
}


def find_firefox() -> str | None:
    """Return the Firefox of this machine: ``FIREFOX``, or the one on the path."""
    named = os.environ.get("FIREFOX")
    found = (shutil.which(name) for name in ([named] if named else FIREFOX_NAMES))
    return next((path for path in found if path), None)


@dataclass(slots=True)
class FirefoxPage:
    """The one page of the browser."""

    socket: WebSocket
    context: str = ""
    number: int = 0

    def command(self, method: str, **params: Any) -> dict[str, Any]:
        """Return what the browser answers to a command."""
        self.number += 1
        self.socket.send(json.dumps({"id": self.number, "method": method, "params": params}))
        while True:
            told = json.loads(self.socket.recv())
            if told.get("id") == self.number:
                break
        if told["type"] == "error":
            raise RuntimeError(f"{method}: {told['error']}: {told['message']}")
        return dict(told["result"])

    def begin(self) -> None:
        """Take the page that is there."""
        self.command("session.new", capabilities={})
        self.context = self.command("browsingContext.getTree")["contexts"][0]["context"]

    def go(self, url: str) -> None:
        """Open an address."""
        self.command("browsingContext.navigate", context=self.context, url=url, wait="complete")

    def value(self, expression: str) -> Any:
        """Return what an expression is worth in the page: a text, a number, true, false or null."""
        target = {"context": self.context}
        told = self.command(
            "script.evaluate", expression=expression, target=target, awaitPromise=True
        )
        if told["type"] != "success":
            raise RuntimeError(told["exceptionDetails"]["text"])
        return told["result"].get("value")

    def wait_for(self, expression: str, timeout: float) -> None:
        """Wait until an expression is true in the page."""
        end = time.monotonic() + timeout
        while not self.value(f"Boolean({expression})"):
            if time.monotonic() > end:
                raise TimeoutError(f"not true within {timeout:.0f} s: {expression}")
            time.sleep(LOOKS)

    def size(self, width: int, height: int) -> None:
        """Make the page so wide and high."""
        size = {"width": width, "height": height}
        self.command("browsingContext.setViewport", context=self.context, viewport=size)

    def screenshot(self, file: Path) -> None:
        """Write a picture of the page."""
        told = self.command("browsingContext.captureScreenshot", context=self.context)
        file.write_bytes(b64decode(told["data"]))


@contextmanager
def firefox(path: str, profile: Path) -> Iterator[FirefoxPage]:
    """Run the browser over a profile, without a window, for the length of the block."""
    profile.mkdir(parents=True, exist_ok=True)
    rows = [f"user_pref({json.dumps(name)}, {json.dumps(is_)});" for name, is_ in SETTINGS.items()]
    (profile / "user.js").write_text("\n".join(rows), encoding="utf-8")
    command = [path, "--headless", "--no-remote", "--remote-debugging-port=0"]
    process = subprocess.Popen(
        [*command, "--profile", str(profile)],
        env={**os.environ, "HOME": str(profile)},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        socket = create_connection(
            f"{_address(process)}/session", suppress_origin=True, timeout=ANSWERS
        )
        with suppress_closing(socket):
            page = FirefoxPage(socket)
            page.begin()
            yield page
    finally:
        process.terminate()
        with suppress(subprocess.TimeoutExpired):
            process.wait(15)
        process.kill()
        process.wait()


@contextmanager
def suppress_closing(socket: WebSocket) -> Iterator[None]:
    """Close a connection at the end, however that goes."""
    try:
        yield
    finally:
        with suppress(Exception):
            socket.close()


def _address(process: subprocess.Popen[str]) -> str:
    """Return where the browser listens; what it says later is read and left."""
    lines: queue.SimpleQueue[str] = queue.SimpleQueue()

    def read() -> None:
        for line in process.stderr or ():
            lines.put(line)

    threading.Thread(target=read, daemon=True).start()
    end = time.monotonic() + STARTS
    while time.monotonic() < end and process.poll() is None:
        with suppress(queue.Empty):
            found = LISTENS.search(lines.get(timeout=1))
            if found:
                return found[1]
    raise RuntimeError(f"Firefox did not listen within {STARTS:.0f} s")
