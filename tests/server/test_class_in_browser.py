"""A student of a class in Chromium: name and password, a chapter behind the hub, the next day.

The hub is the real one and the student a user of the system, as in `test_class_server`. Everything
goes through the hub's address and its prefix for this student, and nothing goes elsewhere.
"""

from __future__ import annotations

import json
import os
import pwd
import shutil
import subprocess
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from classroom import WAITS, Classroom, classroom, free_port, refusal
from house import ROOT
from lab import SETTINGS, NotebookPage, chromium, find_chromium
from playwright.sync_api import BrowserContext, Locator, Page

NAME, PASSWORD = "tktest-mia", "two keys below"
CHAPTER = "workbook/01_motion_over_the_five.ipynb"
WRITABLE = ("notebook-extension/tracker", "docmanager-extension/plugin")
SITE = ROOT / "workbook" / "server" / "theorykit-class.nginx"
# The page is asked, not guessed at: a student may set so much in the home.
SEEN = "c = get_config()\nc.LabApp.expose_app_in_browser = True\n"

pytestmark = [
    pytest.mark.proof,
    pytest.mark.skipif(bool(refusal()), reason=refusal() or "there is a class"),
    pytest.mark.skipif(
        not find_chromium() and not os.environ.get("CI"), reason="no Chromium or Chrome here"
    ),
]


@pytest.fixture(scope="module")
def room() -> Iterator[Classroom]:
    """A class of one, who comes in with a password of the machine."""
    with classroom((NAME,), settings={"THEORYKIT_STUDENTS": NAME}) as made:
        subprocess.run(["chpasswd"], input=f"{NAME}:{PASSWORD}", text=True, check=True)
        own = made.home(NAME) / ".jupyter"
        own.mkdir()
        (own / "jupyter_server_config.py").write_text(SEEN, encoding="utf-8")
        for one in (own, *own.iterdir()):
            os.chown(one, pwd.getpwnam(NAME).pw_uid, pwd.getpwnam(NAME).pw_gid)
        yield made


@pytest.fixture(scope="module")
def context() -> Iterator[BrowserContext]:
    """A browser that has been nowhere yet."""
    path = find_chromium()
    assert path is not None
    with chromium(path) as browser:
        yield browser.new_context(viewport={"width": 1280, "height": 1000})


class Asked:
    """What a page has asked: addresses, lines that stay open, and answers that went wrong."""

    def __init__(self, page: Page) -> None:
        self.addresses: list[str] = []
        self.wrong: list[str] = []
        page.on("request", lambda one: self.addresses.append(one.url))
        page.on("websocket", lambda one: self.addresses.append(one.url))
        page.on("response", lambda one: self._note(one.status, one.url))

    def _note(self, status: int, url: str) -> None:
        if status >= 500:
            self.wrong.append(f"{status} {url}")


def address(room: Classroom) -> str:
    """Return where the class is."""
    return f"http://127.0.0.1:{room.port}/"


def come_in(page: Page, where: str, password: str = PASSWORD) -> None:
    """Give name and password on the page of the class."""
    page.set_default_timeout(1000 * WAITS)
    page.goto(where)
    page.locator("#username_input").fill(NAME)
    page.locator("#password_input").fill(password)
    page.locator("#login_submit").click()


@pytest.fixture(scope="module")
def page(room: Classroom, context: BrowserContext) -> tuple[NotebookPage, Asked]:
    """The first chapter behind the hub, run as a student runs it."""
    opened = context.new_page()
    asked = Asked(opened)
    come_in(opened, address(room))
    opened.locator(".jp-NotebookPanel .jp-Cell").first.wait_for()
    draw_all_cells(room)
    chapter = NotebookPage(opened, CHAPTER)
    chapter.load(f"{address(room)}user/{NAME}/")
    chapter.run_all(timeout=WAITS)
    return chapter, asked


def draw_all_cells(room: Classroom) -> None:
    """Set what the browser tests set, as the page itself would."""
    for name in WRITABLE:
        place = f"/user/{NAME}/lab/api/settings/@jupyterlab/{name.replace('/', ':')}"
        assert room.ask("PUT", place, {"raw": json.dumps(SETTINGS[name])})[0] == 204


def explorer_of(chapter: NotebookPage) -> Locator:
    """Return the output that holds the explorer."""
    return chapter.page.locator(".jp-OutputArea-output:has(.widget-dropdown)").filter(
        has_text="colour over V"
    )


def test_a_wrong_password_lets_nobody_in(room: Classroom, context: BrowserContext):
    page = context.new_page()
    come_in(page, address(room), "one key above")
    assert "Invalid username or password" in page.locator(".login_error").inner_text()
    assert room.server(NAME) == {}
    page.close()


def test_a_colour_that_is_chosen_through_the_hub_brings_its_own_pictures(page, pictures):
    chapter, _ = page
    pictured = explorer_of(chapter).locator("svg[role=img]")
    before = pictured.first.get_attribute("aria-label")
    chapter.set_value("key", "D♭ major")
    chapter.set_value("colour over V", "altered")
    chapter.wait_for_text("Over A♭7 think A melodic minor scale")
    staff, keyboard = (pictured.nth(at).get_attribute("aria-label") or "" for at in (0, 1))
    assert staff != before
    assert "in D♭ major" in staff
    assert "A melodic minor" in keyboard
    shot = chapter.screenshot(pictures / "explorer behind the hub.png")
    assert shot.stat().st_size > 20_000


def test_its_sound_is_brought_and_plays(page):
    chapter, _ = page
    player = explorer_of(chapter).locator(".theorykit-player[data-ready]")
    player.wait_for()
    player.locator(".theorykit-play").click()
    explorer_of(chapter).locator(".theorykit-player[data-plays=yes]").wait_for()
    player.locator(".theorykit-play").click()
    explorer_of(chapter).locator(".theorykit-player[data-plays=no]").wait_for()


def test_a_drill_asks_and_answers(page):
    chapter, _ = page
    drill = chapter.output(chapter.page.locator(".jp-Notebook .jp-Cell").count() - 2)
    drill.get_by_label("your answer").wait_for()
    drill.get_by_role("button", name="I do not know").click()
    drill.get_by_role("button", name="next question").click()
    drill.get_by_label("your answer").wait_for()
    assert chapter.errors() == []


def test_nobody_is_asked_about_news_and_no_other_address_is_asked(page, room):
    chapter, asked = page
    assert chapter.page.locator(".Toastify__toast").count() == 0
    other = [one for one in asked.addresses if urlsplit(one).hostname not in ("127.0.0.1", None)]
    assert other == []
    lines = [urlsplit(one) for one in asked.addresses if one.startswith("ws")]
    assert lines
    assert {one.port for one in lines} == {room.port}
    assert [one.path for one in lines if not one.path.startswith(f"/user/{NAME}/")] == []
    assert asked.wrong == []


def test_who_has_left_comes_back_after_a_night_and_finds_the_work(page, room, pictures: Path):
    chapter, _ = page
    chapter.save()
    left = chapter.page
    left.evaluate("() => window.jupyterapp.commands.execute('hub:logout')")
    left.locator("#login_submit").wait_for()
    left.goto(f"{address(room)}user/{NAME}/lab")
    left.locator("#login_submit").wait_for()  # the page behind it is closed, too
    room.end()
    room.wait_until_gone(NAME)
    room.begin()
    come_in(left, address(room))
    left.locator(".jp-NotebookPanel .jp-Cell").first.wait_for()
    chapter.load(f"{address(room)}user/{NAME}/")
    chapter.run_all(timeout=WAITS)
    assert chapter.value("key").split() == ["D♭", "major"]  # the space is one that does not break
    assert chapter.value("colour over V") == "altered"
    chapter.wait_for_text("Over A♭7 think A melodic minor scale")
    chapter.screenshot(pictures / "the next day behind the hub.png")


# === The web server before the hub ===


def answers(where: str) -> tuple[int, str]:
    """Return the status of an address, 0 where nobody answers, and where it sends one on to."""
    try:
        with urllib.request.build_opener(Stay).open(where, timeout=60) as found:
            return found.status, ""
    except urllib.error.HTTPError as told:
        return told.code, told.headers.get("Location", "")
    except OSError:
        return 0, ""


class Stay(urllib.request.HTTPRedirectHandler):
    """What goes nowhere else."""

    def redirect_request(self, *_: object) -> None:
        """Stay."""


@pytest.fixture
def secured(room: Classroom, tmp_path: Path) -> Iterator[tuple[int, int]]:
    """nginx with the file of the page, in which stand only other ports, names and places."""
    program = shutil.which("nginx", path=f"{os.environ['PATH']}:/usr/sbin")
    if program is None:
        pytest.skip("no nginx here (the package nginx-light has it)")
    plain, safe = free_port(), free_port()
    names = ["-keyout", str(tmp_path / "key.pem"), "-out", str(tmp_path / "certificate.pem")]
    made = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "400"]
    alike = ["-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost"]
    subprocess.run([*made, *alike, *names], check=True, capture_output=True)
    text = SITE.read_text(encoding="utf-8")
    for given, here in (
        ("class.example.org", "localhost"),
        ("/etc/theorykit", str(tmp_path)),
        ("127.0.0.1:8000", f"127.0.0.1:{room.port}"),
        ("listen 80;", f"listen {plain};"),
        ("listen [::]:80;", f"listen [::]:{plain};"),
        ("listen 443 ", f"listen {safe} "),
        ("listen [::]:443 ", f"listen [::]:{safe} "),
    ):
        assert given in text
        text = text.replace(given, here)
    (tmp_path / "site").write_text(text, encoding="utf-8")
    whole = f"pid {tmp_path}/pid; events {{}} http {{ access_log off; include {tmp_path}/site; }}"
    (tmp_path / "whole").write_text(whole, encoding="utf-8")
    command = [program, "-c", str(tmp_path / "whole"), "-e", "stderr", "-g", "daemon off;"]
    with subprocess.Popen(command) as web:
        try:
            room.wait(lambda: web.poll() is not None or answers(f"http://localhost:{plain}/")[0])
            assert web.poll() is None, "nginx ended at once"
            yield plain, safe
        finally:
            web.terminate()


def test_behind_a_web_server_a_colour_is_chosen_over_its_line(room, context, secured, pictures):
    plain, safe = secured
    assert answers(f"http://localhost:{plain}/hub/login") == (301, "https://localhost/hub/login")
    where = f"https://localhost:{safe}/"
    assert context.browser is not None
    visit = context.browser.new_context(  # the certificate is one that the page tells how to make
        viewport={"width": 1280, "height": 1000}, ignore_https_errors=True
    )
    opened = visit.new_page()
    asked = Asked(opened)
    come_in(opened, where)
    opened.locator(".jp-NotebookPanel .jp-Cell").first.wait_for()
    draw_all_cells(room)
    chapter = NotebookPage(opened, CHAPTER)
    chapter.load(f"{where}user/{NAME}/")
    chapter.run_all(timeout=WAITS)
    chapter.set_value("key", "B♭ minor")
    chapter.set_value("colour over V", "altered")
    chapter.wait_for_text("Over F7 think F♯ melodic minor scale")
    chapter.screenshot(pictures / "explorer behind a web server.png")
    lines = [one for one in asked.addresses if one.startswith("ws")]
    assert [
        one for one in lines if not one.startswith(f"wss://localhost:{safe}/user/{NAME}/")
    ] == []
    assert any("/channels" in one for one in lines)
    assert asked.wrong == []
    visit.close()
