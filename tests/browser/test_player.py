"""The player in JupyterLab: it plays on without a kernel, and one at a time; keys, light, files."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator

import pytest
import soundfile
from lab import PAGE, Lab, NotebookPage
from playwright.sync_api import Locator, expect
from sweeps import swept

expect.set_options(timeout=PAGE)

EXPLORER = "from theorykit.widgets import explorer\nexplorer('Db', 'b9 13')"
TWO = """from theorykit.widgets import explorer, line_desk
from IPython.display import display
display(explorer('C'))
display(explorer('F', draft='second'))"""
MOST_SENT = 100_000  # bytes for another colour, pictures and words included
# How far the clock of the sound has gone, told by the note that is lit and the bar that is said.
BAR = "() => document.querySelector('.theorykit-where').textContent"
# Everything that is said about the place in the music from now on.
WATCH = """() => {
    const place = document.querySelector('.theorykit-where');
    window.said = [];
    new MutationObserver(() => {
        if (window.said.at(-1) !== place.textContent) window.said.push(place.textContent);
    }).observe(place, {childList: true, characterData: true, subtree: true});
}"""
PLAYS = "number => document.querySelectorAll('.theorykit-player')[number].dataset.plays"


@pytest.fixture(scope="module")
def page(lab: Lab) -> Iterator[NotebookPage]:
    with lab.open_notebook(lab.write_notebook("player.ipynb", EXPLORER), anew=True) as opened:
        opened.run_all()
        ready(opened)
        yield opened


def ready(page: NotebookPage) -> Locator:
    """The first player, with all its sounds."""
    player = page.page.locator(".theorykit-player[data-ready]").first
    player.wait_for()
    return player


def listed(player: Locator, label: str) -> Locator:
    return player.locator("label", has=player.page.get_by_text(label, exact=True)).locator("select")


def play(page: NotebookPage, number: int = 0) -> Locator:
    player = page.page.locator(".theorykit-player").nth(number)
    player.locator(".theorykit-play").click()
    page.page.wait_for_function(f"n => ({PLAYS})(n) === 'yes'", arg=number)
    return player


def stop(page: NotebookPage) -> None:
    if ready(page).get_attribute("data-plays") == "yes":
        ready(page).locator(".theorykit-play").click()


def test_nothing_plays_by_itself(page):
    assert ready(page).get_attribute("data-plays") == "no"
    assert page.page.evaluate("() => window[Symbol.for('theorykit hall')].context") is None


def test_the_space_bar_starts_and_stops_it_and_both_are_announced(page):
    ready(page).locator("input[type=range]").focus()
    page.page.keyboard.press("Space")
    page.page.wait_for_function(f"n => ({PLAYS})(n) === 'yes'", arg=0)
    assert "plays plain A♭7" in page.page.get_by_role("status").first.text_content()
    page.page.keyboard.press("Space")
    page.page.wait_for_function(f"n => ({PLAYS})(n) === 'no'", arg=0)
    assert "stopped at bar 1" in page.page.get_by_role("status").first.text_content()
    labels = (
        ready(page)
        .locator("select, button, input")
        .evaluate_all(
            "all => all.map(one => one.labels?.[0]?.textContent"
            " || one.ariaLabel || one.textContent)"
        )
    )
    assert all(label.strip() for label in labels)


def test_it_is_counted_in_and_goes_through_its_bars(page):
    page.page.evaluate(WATCH)
    play(page)
    page.page.get_by_role("status").filter(has_text="ended").first.wait_for(state="attached")
    said = page.page.evaluate("() => window.said")
    assert said[:4] == ["count-in", "bar 1 of 3", "bar 2 of 3", "bar 3 of 3"]


def test_the_note_that_sounds_is_lit_on_the_staff_and_on_the_keyboard(page):
    listed(ready(page), "sound").select_option(index=1)
    page.settle()
    ready(page).locator("input[type=checkbox]").check()  # what is missed comes round again
    play(page)
    lit = "() => [...document.querySelectorAll('.theorykit-sounds')].map(one => one.dataset)"
    page.page.wait_for_function(f"() => ({lit})().some(one => one.note === '0')")
    page.page.wait_for_function(f"() => ({lit})().some(one => one.note === '1')")
    page.page.wait_for_function(f"() => ({lit})().some(one => 'key' in one)")
    stop(page)
    page.page.wait_for_function(f"() => ({lit})().length === 0")


def test_another_colour_sends_little_and_the_music_goes_on(page):
    ready(page).locator("input[type=checkbox]").check()
    play(page)
    listed(ready(page), "bass").select_option("off")
    page.page.wait_for_function(f"() => ({BAR})() === 'bar 2 of 3'")
    found = page.received()
    for colour in ("♭9 ♭13", "altered"):
        found.clear()
        before = int(ready(page).get_attribute("data-ready"))
        page.set_value("colour over V", colour)
        page.page.wait_for_function(
            "n => +document.querySelector('.theorykit-player').dataset.ready > n", arg=before
        )
        page.page.locator(".theorykit-player[data-lacks='0']").first.wait_for()
        assert 1000 < sum(found) < MOST_SENT
        assert ready(page).get_attribute("data-plays") == "yes"
    assert listed(ready(page), "bass").input_value() == "off"
    page.page.wait_for_function(f"() => ({BAR})() === 'bar 3 of 3'")
    page.page.wait_for_function(f"() => ({BAR})() === 'bar 1 of 3'")  # round and round
    stop(page)


def test_the_file_holds_what_is_heard(page):
    page.set_value("tempo", 200)
    with page.page.expect_download() as download:
        ready(page).get_by_role("button", name="save this sound").click()
    data = download.value.path().read_bytes()
    found = soundfile.info(io.BytesIO(data))
    assert found.format == "MP3"
    assert found.duration == pytest.approx(16 * 60 / 200 + 1, abs=0.15)
    assert "tempo 200" in download.value.suggested_filename


def test_it_travels_and_says_in_which_key_it_is_and_which_comes_next(page):
    page.set_value("tempo", 200)
    before = int(ready(page).get_attribute("data-ready"))
    listed(ready(page), "each round").select_option("round the circle of fifths")
    page.page.wait_for_function(
        "n => +document.querySelector('.theorykit-player').dataset.ready > n", arg=before
    )
    play(page)
    named = "() => document.querySelector('.theorykit-key').textContent"
    for name in ("D♭ major → G♭ major", "G♭ major → B major"):
        page.page.wait_for_function(f"() => ({named})() === '{name}'")
    stop(page)
    listed(ready(page), "each round").select_option("same key")
    page.settle()


def test_one_sounds_at_a_time(lab):
    with lab.open_notebook(lab.write_notebook("two.ipynb", TWO)) as page:
        page.run_all()
        page.page.locator(".theorykit-player[data-ready]").nth(1).wait_for()
        play(page, 0)
        play(page, 1)
        page.page.wait_for_function(f"n => ({PLAYS})(n) === 'no'", arg=0)


def test_without_a_kernel_it_plays_on_at_another_tempo(lab, pictures):
    """Last of all: its kernel is gone."""
    with lab.open_notebook(lab.write_notebook("alone.ipynb", EXPLORER), height=800) as page:
        page.run_all()
        player = ready(page)
        player.locator("input[type=checkbox]").check()
        play(page)
        page.page.evaluate(
            "() => window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.shutdown()"
        )
        slider = page.control("tempo").locator(".widget-readout")
        slider.fill("320")
        slider.press("Enter")
        page.page.get_by_role("status").filter(has_text="tempo 320").first.wait_for(
            state="attached"
        )
        for bar in (1, 2, 3, 1):
            page.page.wait_for_function(f"() => ({BAR})() === 'bar {bar} of 3'")
        listed(player, "piano").select_option("soft")
        assert player.get_attribute("data-plays") == "yes"
        page.screenshot(pictures / "player without a kernel.png")
        player.locator(".theorykit-play").click()


def test_bars_are_marked_on_the_staff_of_the_page(page):
    """Those of another key are the same ones: the picture is new, and the marks stay."""
    page.page.get_by_role("button", name="bar 2", exact=True).click()
    player = ready(page)
    player.get_by_role("status").filter(has_text="bar 2 goes round").wait_for(state="attached")
    before = page.page.locator("svg:has(g.measure)").first.get_attribute("aria-label")
    page.set_value("key", "F♯ minor")
    page.settle()
    assert page.page.locator("svg:has(g.measure)").first.get_attribute("aria-label") != before
    marked = page.page.locator(".theorykit-bar[aria-pressed=true]")
    marked.wait_for()
    assert marked.get_attribute("aria-label") == "bar 2"
    staff = page.page.locator("svg:has(g.measure)").first.bounding_box()
    lies = marked.bounding_box()
    assert staff["x"] < lies["x"] < lies["x"] + lies["width"] < staff["x"] + staff["width"]
    marked.press("Escape")
    player.get_by_role("status").filter(has_text="no bar is marked").wait_for(state="attached")
    assert page.page.locator(".theorykit-bar[aria-pressed=true]").count() == 0
    page.set_value("key", "D♭ major")
    page.settle()


LINE = """from theorykit.widgets import line_desk
text = '8th Gb5 F5 Eb5 Db5 C5 Bb4 Ab4 Gb4 | F4 Ab4 C5 Bbb4 Gb4 F4 Eb4 C4 | whole Ab4'
desk = line_desk('Db', line=text)
desk.hearing.hear.click()
desk"""
DESKS = {"explorer": (EXPLORER, 2), "line": (LINE, 1)}  # and how many pictures each has
TUNE = """from theorykit.widgets import tune_desk
desk = tune_desk(open('tunes/nine_borrowed_stands.txt', encoding='utf-8').read())
desk.colouring.cadences.value = desk.colouring.cadences.options[0][1]
desk.playing.write.click()
desk"""


@pytest.mark.parametrize(("theme", "desk"), [("light", "line"), ("dark", "explorer")])
def test_controls_player_and_pictures_stand_in_one_view_beside_the_files(
    lab, pictures, theme, desk
):
    source, count = DESKS[desk]
    name = lab.write_notebook(f"view_{desk}.ipynb", source)
    with lab.open_notebook(name, width=1280, height=800) as page:
        page.run_all()
        ready(page)
        page.set_theme(theme)
        page.page.evaluate("() => window.jupyterapp.shell.expandLeft()")
        page.page.locator(".jp-DirListing").first.wait_for()
        page.settle()
        box = page.page.locator(".jp-OutputArea-output:has(.theorykit-player)")
        box.evaluate("one => one.scrollIntoView()")
        seen = page.page.locator(".jp-WindowedPanel-outer:visible").bounding_box()
        staff = [page.page.locator("svg[role=img]").nth(n) for n in range(count)]
        for part in (page.control("key"), ready(page), *staff):
            found = part.bounding_box()
            assert found["y"] >= seen["y"] - 1
            assert found["y"] + found["height"] <= seen["y"] + seen["height"] + 1
        page.screenshot(pictures / f"player {desk} {theme}.png")
        page.set_theme("light")


CLOSE, CHORUS = 0, 1  # of the players of that desk: they stand in this order
SIZES = {"1280": (1280, 800), "820": (820, 900)}


@pytest.fixture(scope="module", params=swept(SIZES, "820".__eq__))
def tune_page(lab: Lab, request: pytest.FixtureRequest) -> Iterator[NotebookPage]:
    """The desk for tunes with a long tune: beside the files, and where the page is narrow."""
    width, height = SIZES[request.param]
    name = lab.write_notebook(f"tune {request.param}.ipynb", TUNE)
    with lab.open_notebook(name, width=width, height=height) as page:
        page.run_all()
        if request.param == "1280":
            page.page.evaluate("() => window.jupyterapp.shell.expandLeft()")
            page.page.locator(".jp-DirListing").first.wait_for()
        page.page.locator(".theorykit-player[data-ready]").nth(CHORUS).wait_for()
        page.settle()
        yield page


def stands_in_one_view(page: NotebookPage, first: Locator, *others: Locator) -> list[float]:
    """Go to a control; tell where the others stand below it, which all have to be seen whole."""
    first.evaluate("one => one.scrollIntoView()")
    seen = page.page.locator(".jp-WindowedPanel-outer:visible").bounding_box()
    top = first.bounding_box()["y"]
    for found in (one.bounding_box() for one in (first, *others)):
        assert found["y"] >= seen["y"] - 1
        assert found["y"] + found["height"] <= seen["y"] + seen["height"] + 1
    return [one.bounding_box()["y"] - top for one in others]


def test_at_the_desk_for_tunes_nothing_jumps_from_cadence_to_cadence_and_all_is_seen(
    tune_page, pictures, request
):
    page = tune_page
    close = page.page.locator(".theorykit-pictures").first
    cadences = page.control("cadences")
    parts = (
        close.locator(".theorykit-player"),
        *(close.locator("svg[role=img]").nth(n) for n in (0, 1)),
    )
    places = []
    for number in (0, 3, 8):
        offered = cadences.locator("option").nth(number).text_content()
        where = re.search(r"bars? [0-9-]+", offered.replace("\u00a0", " "))[0]
        cadences.locator("select").select_option(index=number)
        # the player is the last that is told; its first take is named after the bars
        expect(parts[0]).to_have_attribute("aria-label", re.compile(rf"player: {where},"))
        page.settle()
        places.append(stands_in_one_view(page, cadences, *parts))
    assert places[0] == pytest.approx(places[1], abs=1)
    assert places[0] == pytest.approx(places[2], abs=1)
    for theme in ("dark", "light"):
        page.set_theme(theme)
        page.screenshot(pictures / f"tune desk {request.node.callspec.id} {theme}.png")


def test_at_the_desk_for_tunes_a_long_chorus_goes_by_beside_its_player(
    tune_page, pictures, request
):
    page = tune_page
    part = page.page.locator(".theorykit-pictures").nth(CHORUS)
    frame, player = part.locator(".theorykit-frame"), part.locator(".theorykit-player")
    staff = frame.locator("svg[role=img]")
    assert staff.bounding_box()["height"] > frame.bounding_box()["height"]
    stands_in_one_view(page, page.control("choruses"), page.control("to bar"), player, frame)
    for theme in ("dark", "light"):
        page.set_theme(theme)
        page.screenshot(pictures / f"chorus {request.node.callspec.id} {theme}.png")
    listed(player, "bars").select_option("29")
    player.locator(".theorykit-play").click()
    lit = frame.locator(".theorykit-sounds")
    lit.first.wait_for()
    close = page.page.locator(".theorykit-pictures").nth(CLOSE)
    assert close.locator(".theorykit-sounds").count() == 0
    assert frame.evaluate("one => one.scrollTop") > 0
    player.locator(".theorykit-play").click()
    frame.get_by_role("button", name="bar 3", exact=True).focus()
    page.page.keyboard.press("Enter")
    player.get_by_role("status").filter(has_text="bar 3 goes round").wait_for(state="attached")
    page.page.keyboard.press("Escape")
