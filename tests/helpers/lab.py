"""JupyterLab under headless Chromium, as the browser tests use it.

A server is started once, on a free port of this machine, with folders of its own for settings and
data, so that neither the reader's JupyterLab nor the workbook in the repository is touched.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

import nbformat
from house import ROOT
from playwright.sync_api import Browser, Locator, Page, Playwright, sync_playwright

SERVER_START = 180.0  # seconds; a cold machine takes ten, a busy one longer
PAGE = 30_000  # milliseconds for a page, a kernel or a control to appear
CELLS = 180.0  # seconds for all cells of a chapter
CHROMIUM_FLAGS = [
    "--no-sandbox",  # the tests may run as root in a container
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
CHROMIUM_NAMES = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "msedge",
)
CHROMIUM_PLACES = (
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)
THEMES = {"light": "JupyterLab Light", "dark": "JupyterLab Dark"}
# Every feature that asks something from the network is off, and all cells are drawn at once.
SETTINGS = {
    "apputils-extension/notification": {"fetchNews": "false", "checkForUpdates": False},
    "notebook-extension/tracker": {"windowingMode": "none"},
    "docmanager-extension/plugin": {"autosave": False},
}


def find_chromium() -> str | None:
    """Return the Chromium or Chrome of this machine: ``CHROMIUM``, the path, the usual places."""
    named = os.environ.get("CHROMIUM")
    found = (shutil.which(name) for name in ([named] if named else CHROMIUM_NAMES))
    places = () if named else (place for place in CHROMIUM_PLACES if Path(place).exists())
    return next((path for path in (*found, *places) if path), None)


_RUNNING: list[Playwright] = []  # one at most: a thread has one driver of browsers


@contextmanager
def driver() -> Iterator[Playwright]:
    """Give the driver of browsers that runs, or run one for the length of the block."""
    if _RUNNING:
        yield _RUNNING[0]
        return
    with sync_playwright() as playwright:
        _RUNNING.append(playwright)
        try:
            yield playwright
        finally:
            _RUNNING.clear()


@contextmanager
def chromium(path: str, *flags: str) -> Iterator[Browser]:
    """Run the browser at ``path`` with a fresh profile for the length of the block."""
    with driver() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=[*CHROMIUM_FLAGS, *flags])
        try:
            yield browser
        finally:
            browser.close()


@dataclass(frozen=True, slots=True)
class Server:
    """A running JupyterLab: where it answers, and the folder it shows."""

    url: str
    folder: Path


def _environment(home: Path) -> dict[str, str]:
    """Return the environment of a server whose settings and data all lie under ``home``."""
    own = {
        "JUPYTER_CONFIG_DIR": "config",
        "JUPYTER_DATA_DIR": "jupyter",
        "JUPYTER_RUNTIME_DIR": "runtime",
        "JUPYTERLAB_SETTINGS_DIR": "settings",
        "JUPYTERLAB_WORKSPACES_DIR": "workspaces",
        "IPYTHONDIR": "ipython",
        "XDG_DATA_HOME": "data",
    }
    path = os.pathsep.join(filter(None, (str(ROOT), os.environ.get("PYTHONPATH"))))
    folders = {name: str(home / folder) for name, folder in own.items()}
    return {**os.environ, **folders, "PYTHONPATH": path}


def _write_settings(home: Path) -> None:
    for name, values in SETTINGS.items():
        file = home / "settings" / "@jupyterlab" / f"{name}.jupyterlab-settings"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(json.dumps(values), encoding="utf-8")


def _server_command(folder: Path) -> list[str]:
    return [
        *(sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root"),
        *("--ip=127.0.0.1", "--port=0", "--IdentityProvider.token="),
        *(f"--ServerApp.root_dir={folder}", "--ServerApp.terminals_enabled=False"),
        *("--LabApp.news_url=None", "--LabApp.extension_manager=readonly"),
        "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
        "--LabApp.expose_app_in_browser=True",  # the page is asked, not guessed at
    ]


def _address(home: Path, process: subprocess.Popen[bytes], log: Path) -> str:
    """Wait until the server has written down where it answers."""
    end = time.monotonic() + SERVER_START
    while time.monotonic() < end and process.poll() is None:
        for file in (home / "runtime").glob("jpserver-*.json"):
            with suppress(json.JSONDecodeError, KeyError):  # it may be half written
                return str(json.loads(file.read_text(encoding="utf-8"))["url"])
        time.sleep(0.05)
    tail = log.read_text(encoding="utf-8", errors="replace")[-3000:]
    raise RuntimeError(f"JupyterLab did not start within {SERVER_START:.0f} s:\n{tail}")


@contextmanager
def server(home: Path) -> Iterator[Server]:
    """Run JupyterLab over a copy of ``workbook/`` that lies under ``home``."""
    folder = home / "workbook"
    if (ROOT / "workbook").is_dir():
        shutil.copytree(ROOT / "workbook", folder, ignore=shutil.ignore_patterns(".*"))
    folder.mkdir(exist_ok=True)
    _write_settings(home)
    log = home / "server.log"
    with log.open("wb") as out:
        process = subprocess.Popen(
            _server_command(folder),
            env=_environment(home),
            cwd=home,
            stdin=subprocess.DEVNULL,
            stdout=out,
            stderr=subprocess.STDOUT,
        )
        try:
            yield Server(_address(home, process, log), folder)
        finally:
            process.terminate()
            with suppress(subprocess.TimeoutExpired):
                process.wait(15)
            process.kill()


@dataclass(slots=True)
class Lab:
    """JupyterLab and a browser: what a test opens notebooks with.

    To load JupyterLab takes five times as long as to open a notebook in it: with a list of
    ``idle`` pages a page that is left takes the next notebook.
    """

    server: Server
    browser: Browser
    idle: list[Page] | None = None
    pages: list[NotebookPage] = field(default_factory=list)

    def write_notebook(self, name: str, *sources: str) -> str:
        """Write a notebook of code cells into the folder JupyterLab shows; return its name."""
        notebook = nbformat.v4.new_notebook(cells=list(map(nbformat.v4.new_code_cell, sources)))
        notebook.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3"}
        nbformat.write(notebook, self.server.folder / name)
        return name

    def open_notebook(
        self,
        name: str,
        *,
        width: int = 1280,
        height: int = 1000,
        keeps: bool = False,
        anew: bool = False,
    ) -> NotebookPage:
        """Open ``name`` (with or without .ipynb); its kernel is idle.

        The reader has typed nothing yet on any desk, unless the test ``keeps`` what was typed. Then
        JupyterLab is loaded ``anew``, as it is for who asks: nothing has sounded in that page.
        """
        if not keeps:
            for file in (self.server.folder.parent / "data" / "theorykit").glob("drafts.sqlite*"):
                file.unlink()
        size = {"width": width, "height": height}
        name = name if name.endswith(".ipynb") else f"{name}.ipynb"
        if self.idle and not keeps and not anew:
            opened = NotebookPage(self.idle.pop(), name, self.idle)
            self.pages.append(opened)
            opened.page.set_viewport_size(size)
            opened.follow()
            return opened
        page = self.browser.new_context(viewport=size).new_page()
        page.set_default_timeout(PAGE)
        opened = NotebookPage(page, name, self.idle)
        self.pages.append(opened)
        opened.load(self.server.url)
        return opened

    def close(self) -> None:
        """Close the pages that are still open."""
        while self.pages:
            self.pages.pop().close()


_LABELS = ".jp-Notebook :is(.widget-label, .widget-label-basic)"  # the second of a check box
_OPENED = "name => window.jupyterapp?.shell.currentWidget?.context?.path === name"
_READY = """async () => {
    await window.jupyterapp.restored;
    const panel = window.jupyterapp.shell.currentWidget;
    window.jupyterapp.shell.collapseLeft();
    await panel.context.ready;
    await panel.revealed;
    await panel.sessionContext.ready;
}"""
# A busy machine takes longer to begin an answer: the longer a bare question takes, the longer an
# idle kernel is watched.
_SETTLED = """async quiet => {
    const session = () => window.jupyterapp.shell.currentWidget.sessionContext.session;
    const asked = performance.now();
    await Promise.race([
        Promise.resolve(session()?.kernel?.requestKernelInfo()).catch(() => null),
        new Promise(resolve => setTimeout(resolve, 3000)),
    ]);
    const long = Math.max(quiet, 2 * (performance.now() - asked));
    await new Promise(resolve => {
        let since = null;
        const timer = setInterval(() => {
            if (session()?.kernel?.status !== 'idle') { since = null; return; }
            since ??= performance.now();
            if (performance.now() - since >= long) { clearInterval(timer); resolve(true); }
        }, 10);
    });
}"""
_FOLLOW = """async path => {
    const { commands, shell } = window.jupyterapp;
    const opened = await commands.execute('docmanager:open', { path });
    for (const other of [...shell.widgets('main')])
        if (other.id !== opened.id) other.dispose();
    shell.activateById(opened.id);
}"""
# Whether the page can take another notebook.
_LEAVE = """async () => {
    const panel = window.jupyterapp.shell.currentWidget;
    await panel.sessionContext.shutdown();
    panel.dispose();
    return !document.querySelector('.jp-Dialog');
}"""
_RUN_ALL = """seconds => Promise.race([
    window.jupyterapp.commands.execute('notebook:run-all-cells').then(() => 'done'),
    new Promise(resolve => setTimeout(() => resolve('late'), 1000 * seconds)),
])"""
_ERRORS = """() => {
    const found = [];
    const cells = window.jupyterapp.shell.currentWidget.content.widgets;
    cells.forEach((cell, number) => {
        const outputs = cell.model.outputs;
        for (let i = 0; i < (outputs?.length ?? 0); i++) {
            const output = outputs.get(i).toJSON();
            if (output.output_type === 'error')
                found.push(`cell ${number}: ${output.ename}: ${output.evalue}`);
        }
    });
    return found;
}"""
_AUDIO = """async () => {
    const players = [...document.querySelectorAll('.jp-Notebook audio')];
    return Promise.all(players.map(player => new Promise(resolve => {
        const end = setTimeout(() => resolve(NaN), 20000);
        const answer = () => { clearTimeout(end); resolve(player.duration); };
        const silent = !player.getAttribute('src') && !player.querySelector('source');
        if (silent || Number.isFinite(player.duration)) return answer();
        player.addEventListener('durationchange', answer, {once: true});
        player.addEventListener('error', () => { clearTimeout(end); resolve(NaN); });
        if (player.readyState === 0) player.load();
    })));
}"""
_WATCH = """
const watched = (control, quiet, act) => new Promise(resolve => {
    let last = null;
    const watch = new MutationObserver(() => { last = performance.now(); });
    watch.observe(control.closest('.jp-OutputArea'),
                  {subtree: true, childList: true, attributes: true, characterData: true});
    const start = performance.now();
    act();
    const timer = setInterval(() => {
        if (performance.now() - (last ?? start) < quiet) return;
        clearInterval(timer);
        watch.disconnect();
        resolve(last === null ? null : last - start);
    }, 10);
});"""
_TIMED_CHOICE = f"""([select, label, quiet]) => {{{_WATCH}
    const option = [...select.options].find(option => option.text === label);
    if (!option) throw new Error(`no option ${{label}}`);
    return watched(select, quiet, () => {{
        select.value = option.value;
        select.dispatchEvent(new Event('change', {{bubbles: true}}));
    }});
}}"""
_TIMED_TEXT = f"""([area, text, quiet]) => {{{_WATCH}
    return watched(area, quiet, () => {{
        area.value = text;
        area.dispatchEvent(new Event('input', {{bubbles: true}}));
        area.dispatchEvent(new Event('change', {{bubbles: true}}));
    }});
}}"""


@dataclass(slots=True)
class NotebookPage:
    """One notebook, open in JupyterLab. ``page`` is Playwright's page, for what is not here."""

    page: Page
    name: str
    idle: list[Page] | None = None  # where its page goes when it is closed
    closed: bool = False

    def load(self, url: str) -> None:
        """Load JupyterLab with the notebook and wait until its kernel is idle."""
        self.page.goto(f"{url}lab/tree/{self.name}?reset")
        self._wait()

    def follow(self) -> None:
        """Open the notebook in the place of one that was closed; wait until its kernel is idle."""
        self.page.evaluate(_FOLLOW, self.name)
        self._wait()

    def _wait(self) -> None:
        self.page.wait_for_function(_OPENED, arg=self.name)
        self.page.evaluate(_READY)
        self.settle()

    def received(self) -> list[float]:
        """Note down from now on how many bytes come from the server."""
        watch = self.page.context.new_cdp_session(self.page)
        watch.send("Network.enable")
        found: list[float] = []

        def note(event: dict) -> None:
            whole = len(event["response"]["payloadData"])
            found.append(whole * 3 / 4 if event["response"]["opcode"] == 2 else whole)

        watch.on("Network.webSocketFrameReceived", note)
        return found

    def settle(self, *, quiet: float = 0.15) -> None:
        """Wait until the kernel has been idle for ``quiet`` seconds."""
        self.page.evaluate(_SETTLED, 1000 * quiet)

    def run_all(self, *, timeout: float = CELLS) -> None:
        """Run all cells and wait for the last; an error in a cell fails here, with its words."""
        if self.page.evaluate(_RUN_ALL, timeout) != "done":
            raise AssertionError(f"{self.name}: cells still run after {timeout:.0f} s")
        self.settle()
        if errors := self.errors():
            raise AssertionError(f"{self.name}: " + "; ".join(errors))

    def save(self) -> int:
        """Save the notebook, as the menu does; return its size in bytes."""
        self.page.evaluate("() => window.jupyterapp.commands.execute('docmanager:save')")
        return int(
            self.page.evaluate(
                "async name => (await window.jupyterapp.serviceManager.contents"
                ".get(name, {content: false})).size",
                self.name,
            )
        )

    def restart(self) -> None:
        """Restart the kernel, as the menu does; no cell has run in it then."""
        self.page.evaluate(
            "() => window.jupyterapp.shell.currentWidget.sessionContext.restartKernel()"
        )
        self.settle()

    def errors(self) -> list[str]:
        """Return what went wrong in cells: number, kind, message."""
        return list(self.page.evaluate(_ERRORS))

    def set_theme(self, theme: str) -> None:
        """Change to ``"light"`` or ``"dark"`` and wait until the page has changed."""
        command = "theme => window.jupyterapp.commands.execute('apputils:change-theme', {theme})"
        self.page.evaluate(command, THEMES[theme])
        self.page.wait_for_function(
            "light => document.body.dataset.jpThemeLight === String(light)", arg=theme == "light"
        )
        self.page.wait_for_timeout(300)  # the colours are loaded a moment after the name changes

    def control(self, label: str) -> Locator:
        """Return the widget that carries ``label``, whole: with label, control and readout."""
        exactly = re.compile(rf"^\s*{re.escape(label)}\s*$")
        labelled = self.page.locator(_LABELS).filter(has_text=exactly)
        return labelled.first.locator("xpath=..")

    def labels(self) -> list[str]:
        """Return the labels of all controls in the page, in order."""
        found = self.page.locator(_LABELS).all_text_contents()
        return [name for text in found if (name := text.strip("\u200b \n"))]

    def options(self, label: str) -> list[str]:
        """Return what a list, a row of buttons or a set of radio buttons offers, in order."""
        texts = self.control(label).locator(
            "option, .widget-toggle-button, .widget-radio-box label"
        )
        texts.first.wait_for(state="attached")
        return [text.strip() for text in texts.all_text_contents()]

    def value(self, label: str) -> str:
        """Return what a control shows: the option chosen, the number, the text."""
        widget = self.control(label)
        for css, read in _READERS.items():
            part = widget.locator(css)
            if part.count():
                return str(part.first.evaluate(read)).strip()
        raise AssertionError(f"{label!r}: no value that can be read")

    def set_value(self, label: str, value: object) -> None:
        """Set a control as a reader would, and wait until the kernel has answered.

        Lists, radio buttons and rows of buttons take the text of an option, sliders and fields a
        number or a text, check boxes a bool.
        """
        widget = self.control(label)
        widget.wait_for()
        for css, act in _WRITERS.items():
            part = widget.locator(css)
            if part.count():
                act(widget, part.first, value)
                return self.settle()
        raise AssertionError(f"{label!r}: no control that can be set")

    def time_choice(self, label: str, value: str, *, quiet: float = 0.4) -> float:
        """Choose from a list; return the seconds until the output around it last changed."""
        return self._timed(_TIMED_CHOICE, self.control(label).locator("select"), value, quiet)

    def time_text(self, label: str, value: str, *, quiet: float = 0.4) -> float:
        """Type into a field; return the seconds until the output around it last changed."""
        return self._timed(_TIMED_TEXT, self.control(label).locator("textarea"), value, quiet)

    def _timed(self, script: str, part: Locator, value: str, quiet: float) -> float:
        """Set a control; return the seconds until its answer stood still for so many more."""
        passed = self.page.evaluate(script, [part.element_handle(), value, 1000 * quiet])
        if passed is None:
            raise AssertionError(f"{value!r} changed nothing in the page")
        return float(passed) / 1000

    def audio_seconds(self) -> list[float]:
        """Return the length of each player in the page, in seconds; nan where none can be read."""
        return [float("nan") if s is None else float(s) for s in self.page.evaluate(_AUDIO)]

    def output(self, cell: int) -> Locator:
        """Return all that a cell has put out; cells are counted from 0, text cells included."""
        return self.page.locator(".jp-Notebook .jp-Cell").nth(cell).locator(".jp-Cell-outputArea")

    def wait_for_text(self, text: str) -> None:
        """Wait until the notebook shows ``text`` somewhere in an output."""
        self.page.locator(".jp-OutputArea").get_by_text(text).locator(
            "visible=true"
        ).first.wait_for()

    def screenshot(self, file: Path, part: Locator | None = None) -> Path:
        """Write a PNG of the page, or of one part of it in full; return the file."""
        file.parent.mkdir(parents=True, exist_ok=True)
        if part is None:
            self.page.screenshot(path=file)
        else:
            part.screenshot(path=file)
        return file

    def close(self) -> None:
        """End the kernel and close the notebook."""
        if self.closed:
            return
        self.closed, left = True, False
        if not self.page.is_closed():
            with suppress(Exception):  # the test's own failure is the one to report
                left = self.page.evaluate(_LEAVE)
            if left and self.idle is not None:
                self.idle.append(self.page)
            else:
                self.page.context.close()

    def __enter__(self) -> NotebookPage:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def _type(_: Locator, part: Locator, value: object) -> None:
    part.fill(str(value))
    part.press("Enter")
    part.blur()


def _press(widget: Locator, _: Locator, value: object) -> None:
    widget.get_by_role("button", name=str(value), exact=True).click()


def _choose(_: Locator, part: Locator, value: object) -> None:
    part.select_option(label=str(value))


def _check(_: Locator, part: Locator, value: object) -> None:
    part.set_checked(bool(value))


def _pick(widget: Locator, _: Locator, value: object) -> None:
    widget.locator("label", has_text=str(value)).first.locator("input").check()


# What stands inside a widget, the first that fits, and how it is set and read.
_WRITERS: dict[str, Callable[[Locator, Locator, object], None]] = {
    "select": _choose,
    ".widget-toggle-button": _press,
    "input[type=radio]": _pick,
    "input[type=checkbox]": _check,
    ".widget-readout": _type,
    "input, textarea": _type,
}
_READERS = {
    "select": "part => part.selectedOptions[0]?.text ?? ''",
    ".widget-toggle-button.mod-active": "part => part.textContent",
    "input[type=radio]:checked": "part => part.closest('label').textContent",
    "input[type=checkbox]": "part => part.checked",
    ".widget-readout": "part => part.textContent",
    "input, textarea": "part => part.value",
}
