"""The site that needs no installation: a student's first visit, and the next day's.

The site is built from its list of packages, with one sound for the line. Everything but its own
address is blocked.
"""

from __future__ import annotations

import base64
import io
import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import nbformat
import numpy as np
import pytest
import soundfile
from firefox import find_firefox, firefox
from house import ROOT
from site_pages import PATIENCE, SitePage, served, visit

from theorykit import PhraseBook, TheoryError, demonstration
from theorykit.lines.band import performance
from theorykit.lines.parts import Performance
from theorykit.show.own_reader import own_files_in
from theorykit.show.sound import render
from theorykit.show.sound.instruments import built_in_only
from theorykit.show.work_file import bring_work, work_bytes
from theorykit.site import build_site

pytestmark = pytest.mark.sweep  # the packages come over a network
CHAPTER = "01_motion_over_the_five"
MELODY = "tenor saxophone"
KEEP = """
from theorykit import demonstration
from theorykit.widgets.reader_files import book_at
book_at("").keep("Wednesday's turn", demonstration("Db", "long", "b9 13"))
"""
NAMES = """
from theorykit.widgets.reader_files import book_at
print(*(phrase.name for phrase in book_at("").find()))
"""
# How many seconds each player of the page has to play.
LENGTHS = """() => [...document.querySelectorAll(".theorykit-player")]
    .filter(one => one.theorykit.take)
    .map(({ theorykit: { take, tempo } }) => take.beats * 60 / tempo)"""
# A page is answered as soon as its worker is activated, while most files are still to come.
ANSWERED_FIRST = """async () => {
    const { active } = await navigator.serviceWorker.ready;
    if (active.state !== "activated")
        await new Promise(go => active.addEventListener("statechange", go, { once: true }));
    return [active.state, Boolean(await caches.match(new URL("../whole.json", location.href)))];
}"""
# A cell asks for its sounds when one comes to it, the explorer at once.
SOUNDS = """() => [...document.querySelectorAll(".theorykit-player")]
    .some(one => Number(one.dataset.ready) > 0)"""
# Chooses a colour in the explorer.
CHOOSE = """(() => {
    const label = [...document.querySelectorAll(".widget-label")]
        .find(one => one.textContent === "colour over V");
    const list = label.parentElement.querySelector("select");
    list.value = [...list.options].find(one => one.text === "altered").value;
    list.dispatchEvent(new Event("change", { bubbles: true }));
    list.scrollIntoView();
})()"""
NUMBERS = "import numpy\nprint(numpy.arange(3) ** 2)"
STORED = """async () => {
    const book = await new Promise((resolve, reject) => {
        const asked = indexedDB.open("theorykit own files");
        asked.onsuccess = () => resolve(asked.result);
        asked.onerror = () => reject(asked.error);
    });
    const names = await new Promise(resolve => {
        const asked = book.transaction("files").objectStore("files").getAllKeys();
        asked.onsuccess = () => resolve(asked.result);
    });
    book.close();
    return names;
}"""


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site in its folder."""
    home = tmp_path_factory.mktemp("site")
    store = tmp_path_factory.mktemp("packages")
    source = tmp_path_factory.mktemp("workbook")
    for name in (CHAPTER, "00_start_here", "thursday"):
        shutil.copy(ROOT / "workbook" / f"{name}.ipynb", source)
    cells = [nbformat.v4.new_code_cell(one) for one in ("print(10**4)", NUMBERS, "print(10**5)")]
    told = nbformat.read(source / f"{CHAPTER}.ipynb", 4).metadata  # by which a page finds Python
    nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=told), source / "numbers.ipynb")
    try:
        steps = list(build_site(home, source, store=store, melodies=[MELODY]))
    except TheoryError as missing:
        if "could not be fetched" in str(missing) and not os.environ.get("CI"):
            pytest.skip(f"no network, or not all of it: {missing}")
        raise
    assert steps[-1] == "the list of files"
    return home


@pytest.fixture(scope="module")
def site(built: Path) -> Iterator[str]:
    """The address of the site."""
    with served(built) as url:
        yield url


@pytest.fixture(scope="module")
def profile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The profile of a browser that keeps what sites store in it."""
    return tmp_path_factory.mktemp("profile")


def wait_until_stored(page: SitePage, name: str) -> None:
    """Wait until a file of the reader lies in the browser's storage."""
    page.page.wait_for_function(f"async name => (await ({STORED})()).includes(name)", arg=name)


def test_the_first_visit_a_chapter_answers_with_staff_and_sound(
    chromium_path: str, site: str, profile: Path, pictures: Path, tmp_path: Path
):
    with visit(chromium_path, tmp_path / "profile", site) as reader:
        first = reader.context.new_page()  # looked at before Python, which takes its time, is there
        first.goto(f"{site}lab/index.html?path={CHAPTER}.ipynb", wait_until="commit")
        assert first.evaluate(ANSWERED_FIRST) == ["activated", False]
    with visit(chromium_path, profile, site) as reader:
        page = reader.open(CHAPTER)
        assert page.ask("import IPython, theorykit; print(IPython.__file__[-4:])") == ".pyc"
        assert page.ask("print(theorykit.__file__[-3:], theorykit.__cached__[-4:])") == ".py .pyc"
        page.run_all(timeout=300)
        page.set_value("key", "D♭ major")
        page.set_value("colour over V", "altered")
        page.wait_for_text("Over A♭7 think A melodic minor scale")
        staves = page.page.locator("svg[role=img]:has(g.measure)")
        assert staves.count() >= 3
        page.page.wait_for_function(SOUNDS)
        players_play(page)
        assert page.page.locator(".jp-Notebook audio").count() == 0  # each would take a second
        page.screenshot(pictures / "site first visit.png")
        answer_a_question(page)
        page.ask(KEEP)
        for file in ("phrases.sqlite", "journal.sqlite"):
            wait_until_stored(page, file)
        same_sound(page)
        assert reader.elsewhere == []


def players_play(page: SitePage) -> None:
    """Look how long the players of a chapter play, and let the first one begin."""
    seconds = page.page.evaluate(LENGTHS)
    assert len(seconds) >= 5
    assert all(5 < one < 40 for one in seconds)
    page.page.locator(".theorykit-play").first.click()
    page.page.locator(".theorykit-player[data-plays=yes]").first.wait_for()
    page.page.locator(".theorykit-play").first.click()
    page.page.locator(".theorykit-player[data-plays=no]").first.wait_for()


def answer_a_question(page: SitePage) -> None:
    """Answer the first question of the drill of the chapter, wrongly or not."""
    field = page.control("your answer").locator("input")
    field.fill("C")
    field.press("Enter")
    page.page.get_by_role("button", name="next question").first.wait_for()


def test_the_next_day_the_work_is_there(chromium_path: str, site: str, profile: Path):
    with visit(chromium_path, profile, site) as reader:
        page = reader.open(CHAPTER)
        assert page.ask(NAMES) == "Wednesday's turn"
        page.run_all(timeout=300)
        page.wait_for_text("Going on after")
        assert reader.elsewhere == []


# === One file of all work ===

MAKE = """
from theorykit.widgets import work_file
page = work_file()
page.make.click()
print(page.told.value.partition("base64,")[2].partition('"')[0])
"""
BRING = """
import base64
from theorykit.show.work_file import bring_work
print(bring_work(base64.b64decode({!r})))
"""


def test_the_work_goes_into_an_installed_workbook_and_back(
    chromium_path: str, site: str, tmp_path: Path
):
    profile = tmp_path / "profile"
    with visit(chromium_path, profile, site) as reader:
        page = reader.open(CHAPTER)
        page.ask(KEEP)
        with own_files_in(tmp_path / "home"):
            words = bring_work(base64.b64decode(page.ask(MAKE)))
            book = PhraseBook(tmp_path / "home" / "phrases.sqlite")
            assert "one phrase" in words
            assert book.names == ("Wednesday's turn",)
            book.keep("at home", demonstration("F#", "short"))
            back = base64.b64encode(work_bytes()).decode()
        assert page.ask(BRING.format(back)) == "New here: one phrase."
        assert page.ask(NAMES) == "at home Wednesday's turn"
        refused = page.ask(BRING.format(base64.b64encode(b"Dear Ida").decode()))
        assert "no work that can be brought in" in refused
        wait_until_stored(page, "phrases.sqlite")
    with visit(chromium_path, profile, site) as reader:
        assert reader.open(CHAPTER).ask(NAMES) == "at home Wednesday's turn"


# === Without code, and before Python is there ===


def test_the_pictures_of_a_chapter_are_there_before_python_is(
    chromium_path: str, site: str, tmp_path: Path
):
    with visit(chromium_path, tmp_path / "profile", site) as reader:
        reader.context.route("**/kernel/**", lambda route: route.abort())
        page = reader.context.new_page()
        page.set_default_timeout(PATIENCE)
        page.goto(f"{site}lab/index.html?path={CHAPTER}.ipynb")
        page.locator("svg[role=img]:has(g.measure)").nth(2).wait_for()
        page.get_by_text("Here is a sound, once this page has been run.").first.wait_for()


def test_a_chapter_without_its_code_answers_with_staff_and_sound(
    chromium_path: str, site: str, tmp_path: Path, pictures: Path
):
    with visit(chromium_path, tmp_path / "profile", site) as reader:
        page = reader.context.new_page()
        page.set_default_timeout(PATIENCE)
        page.goto(site)
        page.get_by_role("link", name="1 How does a line keep moving").click()
        page.locator("svg[role=img]:has(g.measure)").first.wait_for()
        page.locator("body[data-words=ready]").wait_for(state="attached")
        one = SitePage(page, f"{CHAPTER}.ipynb")
        one.set_value("key", "B♭ minor")
        one.set_value("colour over V", "altered")
        one.wait_for_text("Over F7 think F♯ melodic minor scale")
        page.wait_for_function(SOUNDS)
        cells = page.locator(".jp-CodeCell").count()
        for _ in "dd":  # which takes a cell out where there is code
            page.locator(".jp-Notebook").first.press("d")
        assert page.locator(".jp-CodeCell").count() == cells >= 15
        assert page.locator(".jp-InputArea-editor").locator("visible=true").count() == 0
        for width, scheme in ((1280, "light"), (820, "light"), (820, "dark")):
            page.set_viewport_size({"width": width, "height": 1000})
            page.emulate_media(color_scheme=scheme)
            page.locator(f"body[data-jp-theme-light={str(scheme == 'light').lower()}]").wait_for(
                state="attached"
            )
            page.screenshot(path=pictures / f"site without code {width} {scheme}.png")
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
        assert reader.elsewhere == []


# === The desks of the week ===


def test_the_page_for_thursday_makes_a_sheet_to_print(
    chromium_path: str, site: str, tmp_path: Path, pictures: Path
):
    with visit(chromium_path, tmp_path / "profile", site) as reader:
        page = reader.context.new_page()
        page.set_default_timeout(PATIENCE)
        page.goto(f"{site}notebooks/index.html?path=thursday.ipynb")
        page.locator("body[data-words=ready]").wait_for(state="attached")
        page.get_by_alt_text("page 1 of 1, as it will print").wait_for()
        page.get_by_label("folder", exact=True).last.fill("handed out")
        page.get_by_label("folder", exact=True).last.press("Tab")
        page.get_by_role("button", name="make", exact=True).click()
        link = page.get_by_role("button", name="student - A4.pdf")
        with page.expect_download() as saved:
            link.click()
        assert saved.value.suggested_filename == "For Thursday - concert - student - A4.pdf"
        assert saved.value.path().read_bytes().startswith(b"%PDF-")
        page.get_by_role("button", name="make", exact=True).scroll_into_view_if_needed()
        page.screenshot(path=pictures / "site thursday.png")
        assert reader.elsewhere == []


# === Another browser ===


def test_in_firefox_a_chapter_answers_with_staff_and_sound(
    site: str, tmp_path: Path, pictures: Path
):
    path = find_firefox()
    if path is None:
        pytest.skip("no Firefox here (install one, or name it in the variable FIREFOX)")
    with firefox(path, tmp_path / "profile") as page:
        page.size(1280, 1000)
        page.go(f"{site}notebooks/index.html?path={CHAPTER}.ipynb")
        page.wait_for("document.querySelector('svg[role=img] g.measure')", PATIENCE / 1000)
        page.wait_for("document.body.dataset.words === 'ready'", PATIENCE / 1000)
        page.value(CHOOSE)
        told = "document.body.innerText.includes('Over G7 think A♭ melodic minor scale')"
        page.wait_for(told, PATIENCE / 1000)
        page.wait_for(f"({SOUNDS})()", PATIENCE / 1000)
        page.screenshot(pictures / "site firefox.png")


def test_what_a_page_cannot_do_stays_as_it_was_made_before(
    chromium_path: str, site: str, tmp_path: Path
):
    with visit(chromium_path, tmp_path / "profile", site) as reader:
        page = reader.context.new_page()
        page.set_default_timeout(PATIENCE)
        page.goto(f"{site}notebooks/index.html?path=numbers.ipynb")
        page.locator("body[data-words=ready]").wait_for(state="attached")
        said = page.locator(".jp-OutputArea-output").all_inner_texts()
        assert said[0].strip() == "10000"
        assert said[1].startswith("[0 1 4]")  # numpy was there when the site was built
        assert "This page cannot do this anew: No module named 'numpy'" in " ".join(said[1:-1])
        assert said[-1].strip() == "100000"


# === Without a network ===


def test_after_a_first_visit_it_works_without_a_network(
    chromium_path: str, built: Path, tmp_path: Path, pictures: Path
):
    profile = tmp_path / "profile"
    with served(built) as url, visit(chromium_path, profile, url) as reader:
        page = reader.context.new_page()
        page.goto(url)
        page.locator("#offline[data-whole=yes]").wait_for(timeout=PATIENCE)
    with visit(chromium_path, profile, url) as reader:  # nobody serves it any more
        page = reader.open(CHAPTER)
        page.run_all(timeout=300)
        page.set_value("key", "D♭ major")
        page.set_value("colour over V", "altered")
        page.wait_for_text("Over A♭7 think A melodic minor scale")
        page.page.wait_for_function(SOUNDS)
        players_play(page)
        assert "10" in page.ask("import music21; print(music21.__version__)")  # comes late
        page.screenshot(pictures / "site without a network.png")


# === The same sound ===

PLAYS = """
import base64
from theorykit import demonstration
from theorykit.lines.band import performance
from theorykit.show.sound import render, wav_bytes
line = demonstration("C", "long")
sound = render(performance(line, line.progression, tempo=100), melody={!r}, silent={!r})
print(base64.b64encode(wav_bytes(sound)).decode())
"""
MOST_DECIBELS, MOST_CENTS = 1.0, 3.0  # by which a note may differ
PARTS = ("line", "piano", "bass", "drums")


def same_sound(page: SitePage) -> None:
    """Compare each note of the line, and each part as a whole, with what is installed here."""
    line = demonstration("C", "long")
    played = performance(line, line.progression, tempo=100)
    for part in PARTS:
        others = [one for one in PARTS if one != part]
        data = base64.b64decode(page.ask(PLAYS.format(MELODY, others)))
        there, rate = soundfile.read(io.BytesIO(data), dtype="float32")
        with built_in_only():
            here = render(played, melody=MELODY, silent=others)
        assert rate == here.rate
        assert there.shape == here.wave.shape
        assert abs(decibels(there, here.wave)) < MOST_DECIBELS, part
        if part == "line":
            same_notes(played, there, here.wave, rate)


def same_notes(played: Performance, there: np.ndarray, here: np.ndarray, rate: int) -> None:
    """Compare the notes of the line one by one, in level and in tune."""
    notes = next(part.notes for part in played.parts if part.name == "line")
    for note in notes:
        some = slice(round(played.begins(note) * rate), round(played.ends(note) * rate))
        assert abs(decibels(there[some], here[some])) < MOST_DECIBELS, note
        assert abs(cents(there[some, 0], here[some, 0])) < MOST_CENTS, note


def decibels(one: np.ndarray, other: np.ndarray) -> float:
    """By how much one sound is louder than another."""
    powers = [float(np.mean(wave.astype(float) ** 2)) for wave in (one, other)]
    return 10 * np.log10(powers[0] / powers[1])


def cents(one: np.ndarray, other: np.ndarray) -> float:
    """By how much one note is higher than another: the highest peaks of their spectra."""
    first, second = (peak_of(wave) for wave in (one, other))
    return 1200 * np.log2(first / second)


def peak_of(wave: np.ndarray) -> float:
    """The place of the highest peak of a spectrum, between its lines by a parabola."""
    heights = np.log(np.abs(np.fft.rfft(wave * np.hanning(len(wave)), 1 << 19)) + 1e-12)
    top = int(heights.argmax())
    left, middle, right = heights[top - 1 : top + 2]
    return top + (left - right) / (2 * (left - 2 * middle + right))
