"""Walks through every page in a real browser: random steps, the console and the kernel watched.

All pages stand in one notebook. What can be touched is found in the page as the browser shows it:
lists, fields, boxes, buttons, sliders, files, folds and tabs. Each step is drawn from the seed.
"""

from __future__ import annotations

import re
import time
from collections import deque
from collections.abc import Callable
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

from lab import Lab, NotebookPage, chromium, find_chromium, server

from tests.proof.accounts import Account
from tests.proof.pages import MAKERS, NAMES, OPENED, SCRIPT, TYPED

__all__ = ["browsed", "browsed_in"]

LATE = 60.0  # seconds within which the kernel is idle again
NOTEBOOK = "proof_of_pages.ipynb"
BEGIN = """
import logging, threading, traceback
from traitlets.log import get_logger

def heard(*told):
    with open("faults.txt", "a") as file:
        file.write("".join(traceback.format_exception(*told[:1])) + chr(10))

class Heard(logging.Handler):
    def emit(self, record):
        if record.exc_info:
            heard(record.exc_info[1])

for logger in (logging.getLogger(), get_logger()):
    logger.addHandler(Heard(logging.WARNING))
threading.excepthook = lambda args: heard(args.exc_value)
shown = get_ipython().showtraceback

def showtraceback(*given, **named):
    heard(__import__("sys").exc_info()[1])
    shown(*given, **named)

get_ipython().showtraceback = showtraceback
"""
PHRASES = """
from theorykit.study.phrasebook import PhraseBook
from theorykit.lines.demonstration import demonstration
from theorykit.widgets.reader_files import own_book
own_book().parent.mkdir(parents=True, exist_ok=True)
for key in ("C", "Db", "F#"):
    if f"turn {key}" not in PhraseBook(own_book()).names:
        PhraseBook(own_book()).keep(f"turn {key}", demonstration(key, "short"), colour="b9")
"""
# What a reader can touch in one output, in the order of the page.
TOUCHED = (
    "select:not([disabled]), input:not([disabled]):not([type=hidden]), textarea:not([disabled]), "
    "button:not([disabled]), summary, .noUi-handle, .lm-TabBar-tab, .jupyter-widget-Collapse-header"
)
FIND = """([root, css]) => [...root.querySelectorAll(css)].map((one, place) => [one, place])
    .filter(([one]) => one.type === 'file' ? one.closest('.jupyter-widgets')?.offsetParent
        : one.checkVisibility?.({visibilityProperty: true}) && one.offsetParent !== null)
    .map(([_, place]) => place)"""
HUNG = """() => [...document.querySelectorAll('.jp-RenderedText[data-mime-type*=stderr], \
.jp-RenderedText[data-mime-type*="error"]')].map(one => one.textContent.slice(-600))"""
QUIET = """() => window.jupyterapp.shell.currentWidget.sessionContext.session?.kernel?.status"""
KNOWN = re.compile(r"favicon|net::ERR_ABORTED")  # of the page around, and of a player cut short
IN_LOG = re.compile(r"Traceback \(most recent call last\)|Exception in (?:message|thread)")
RAW = "document.querySelectorAll('.jp-OutputArea img[onerror], .jp-OutputArea img[src=x]').length"


def browsed(
    count: int, seed: int, step: Callable[[int], None] = lambda _: None, only: str = ""
) -> Account:
    """Start JupyterLab and a browser, and walk so many steps through each page."""
    path = find_chromium()
    if path is None:
        missing = Account("steps in a browser")
        missing.fail("no Chromium here (install one, or name it in the variable CHROMIUM)")
        return missing
    with (
        TemporaryDirectory(prefix="theorykit-lab-", ignore_cleanup_errors=True) as home,
        server(Path(home)) as running,
        chromium(path) as browser,
    ):
        lab = Lab(running, browser)
        try:
            return browsed_in(lab, count, seed, step, only)
        finally:
            lab.close()


def browsed_in(
    lab: Lab,
    count: int,
    seed: int,
    step: Callable[[int], None] = lambda _: None,
    only: str = "",
    others: dict[str, str] | None = None,
) -> Account:
    """Walk so many steps through each page in a JupyterLab that runs; ``others`` are cells."""
    found, begun = Account("steps in a browser"), time.perf_counter()
    names = [name for name in MAKERS if only in ("", name)]
    cells = others or {one: f"from theorykit.widgets import {one}\n{one}()" for one in names}
    lab.write_notebook(NOTEBOOK, BEGIN, PHRASES, *cells.values())
    with lab.open_notebook(NOTEBOOK, height=1400) as page:
        watch = _Watch(lab, page)
        page.run_all()
        for place, name in enumerate(cells, 2):
            _walk(page, place, name, count, seed, found, watch, step)
        for one in page.errors():
            found.fail(f"in a cell: {one}")
        found.figures["words that were heard in the kernel"] = watch.heard_words
    found.seconds = time.perf_counter() - begun
    return found


class _Watch:
    """What the browser's console, the page and the server's log say."""

    def __init__(self, lab: Lab, page: NotebookPage) -> None:
        self.page = page
        self.heard: list[str] = []
        self.log = lab.server.folder.parent / "server.log"
        self.kernel = lab.server.folder / "faults.txt"
        self.read = {self.log: self.log.stat().st_size, self.kernel: 0}
        self.heard_words = 0
        page.page.on("pageerror", lambda error: self.heard.append(f"page error: {error}"))
        page.page.on("console", self._said)
        page.page.on("crash", lambda _: self.heard.append("the page crashed"))
        page.page.on("dialog", lambda dialog: dialog.dismiss())
        page.page.on("download", lambda download: download.cancel())

    def _said(self, message: Any) -> None:
        if message.type == "error" and not KNOWN.search(message.text):
            self.heard.append(f"console: {message.text}")

    def faults(self) -> list[str]:
        """Return what went wrong since the last time."""
        heard, self.heard = self.heard, []
        for file in (self.log, self.kernel):
            text = self._more(file)
            if met := IN_LOG.search(text):
                heard.append(f"in {file.name}: {text[met.start() :][-700:]}")
        heard += [f"beside the page: {one}" for one in self.page.page.evaluate(HUNG) if one.strip()]
        if self.page.page.evaluate(RAW):
            heard.append("what was typed became markup")
        return heard

    def _more(self, file: Path) -> str:
        """Return what was written to a file since the last time."""
        if not file.exists():
            return ""
        with file.open("rb") as opened:
            opened.seek(self.read[file])
            more = opened.read()
        self.read[file] += len(more)
        self.heard_words += len(more.split()) * (file == self.kernel)
        return more.decode("utf-8", "replace")


def _walk(
    page: NotebookPage,
    place: int,
    name: str,
    count: int,
    seed: int,
    found: Account,
    watch: _Watch,
    step: Callable[[int], None],
) -> None:
    """Walk through one page."""
    lately = deque[str](maxlen=6)
    for number in range(count):
        rng, begun = Random(f"{seed} browser {name} {number}"), time.perf_counter()
        wrong = []
        try:
            lately.append(f"{number}: {_touch(page, place, rng)}")
        except Exception as error:  # an element that goes while it is touched is no fault
            lately.append(f"{number}: missed ({str(error).splitlines()[0][:80]})")
            found.figures["missed"] = found.figures.get("missed", 0) + 1
        wrong += _rest(page) + watch.faults()
        found.tried += 1
        found.took(time.perf_counter() - begun, f"{name}, {lately[-1]}")
        for one in wrong:
            found.fail(f"{name}, seed {seed}: {one[:900]} <- {ascii('; '.join(lately))[:900]}")
        step(1)
    found.by[name] = found.by.get(name, 0) + count
    if not page.page.evaluate("() => document.querySelector('.jp-Notebook') !== null"):
        found.fail(f"{name}: the page does not answer any more")


def _touch(page: NotebookPage, place: int, rng: Random) -> str:
    """Touch one thing that can be touched; return what was done, in words."""
    output = page.output(place).element_handle()
    places = page.page.evaluate(FIND, [output, TOUCHED])
    if not places:
        return "nothing to touch"
    one = output.query_selector_all(TOUCHED)[rng.choice(places)]
    kind = one.evaluate("one => one.localName === 'input' ? one.type : one.localName")
    label = one.evaluate(
        "one => (one.closest('.jupyter-widgets')?.querySelector('label, .widget-label')"
        "?.textContent || one.textContent || '').trim().slice(0, 40)"
    )
    return f"{label!r} {_done(page, one, kind, rng)}"


def _done(page: NotebookPage, one: Any, kind: str, rng: Random) -> str:
    """Do what a reader does to an element of a kind."""
    if kind == "select":
        count = one.evaluate("one => one.options.length")
        index = rng.randrange(count) if count else 0
        one.select_option(index=index, timeout=3000)
        return f"option {index}"
    if kind == "file":
        file = {"name": rng.choice(NAMES), "mimeType": "", "buffer": rng.choice(OPENED)}
        one.set_input_files([{**file, "mimeType": "application/octet-stream"}])
        return f"opens {file['name']!r}"
    if kind in ("text", "textarea", "number"):
        text = str(TYPED(rng)) if rng.random() < 0.8 else SCRIPT
        text = str(rng.randrange(-5, 400)) if kind == "number" else text[:3000]
        text = text.encode("utf-8", "replace").decode().replace("\0", "")
        one.fill(text, timeout=3000)
        one.press(rng.choice(("Enter", "Tab")), timeout=3000)
        return f"= {text[:60]!r}"
    if kind in ("div", "range"):
        key = rng.choice(("ArrowRight", "ArrowLeft", "PageUp", "Home", "End"))
        one.press(key, timeout=3000)
        return f"key {key}"
    one.click(timeout=3000)
    return "pressed"


def _rest(page: NotebookPage) -> list[str]:
    """Wait until the kernel is idle."""
    page.page.set_default_timeout(1000 * LATE)
    try:
        page.settle(quiet=0.08)
    except Exception:
        status = page.page.evaluate(QUIET)
        return [f"left busy for {LATE:.0f} s: the kernel is {status}"]
    return []
