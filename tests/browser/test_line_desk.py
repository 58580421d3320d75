"""A newcomer at the desk for lines: types, hears, sees, asks for more, keeps one, exports it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from lab import Lab, NotebookPage
from playwright.sync_api import Locator, expect
from schema import complaints
from sweeps import swept

from theorykit.lines.text import Line
from theorykit.show.files import open_line
from theorykit.show.files.line_files import save_line
from theorykit.tunes.progression import two_five_one

TEXT = "8th F4 A4 C5 E5 D5 C5 A4 F4 | E4 F4 G4 Ab4 B4 D5 Ab4 B4 | half C5 rest"
COUNT_IN, TAIL = 4, 1.0  # beats before the phrase, seconds after it
CASES = ("C major", "D♭ major", "F♯ major", "B♭ minor")
DESK = "from theorykit.widgets import line_desk\nline_desk()"
BOOK = "from theorykit.widgets import phrase_book\nphrase_book()"


@pytest.fixture(scope="module")
def page(lab: Lab) -> Iterator[NotebookPage]:
    with lab.open_notebook(lab.write_notebook("lines.ipynb", DESK), height=1400) as opened:
        opened.run_all()
        yield opened


def field(page: NotebookPage) -> Locator:
    return page.control("your line").locator("textarea")


def press(page: NotebookPage, name: str) -> None:
    page.page.get_by_role("button", name=name, exact=True).click()
    page.settle()


def staff(page: NotebookPage) -> str:
    """What the staff of the field says to a screen reader."""
    return page.page.locator("svg[role=img]").first.get_attribute("aria-label") or ""


def open_tab(page: NotebookPage, name: str) -> None:
    page.page.get_by_role("tab", name=name, exact=True).click()


def test_a_line_is_typed_and_what_it_does_is_seen(page):
    field(page).click()
    page.page.keyboard.type(TEXT, delay=20)
    page.settle()
    assert field(page).input_value() == TEXT
    page.wait_for_text("Over G7 the line spells ♭9 13")
    page.wait_for_text("CT chord tone")
    assert "A♭4 (♭9 alt)" in staff(page)
    assert page.page.locator("[role=alert]").count() == 0
    assert page.audio_seconds() == []  # no sound was made for a keystroke


def test_a_mistake_is_told_and_the_picture_stays(page):
    before = staff(page)
    field(page).fill(TEXT.replace("G4 Ab4", "H4 Ab4"))
    place = TEXT.index("G4 Ab4") + 1
    page.wait_for_text(f"bar 2, character {place}: 'H4' is no note (write B4 or Bb4)")
    assert staff(page) == before
    field(page).fill(TEXT)
    page.settle()
    assert page.page.locator("[role=alert]").count() == 0
    assert staff(page) == before


def test_it_is_heard(page):
    press(page, "hear")
    player = page.page.locator(".theorykit-player[data-ready]")
    player.wait_for()
    assert player.locator(".theorykit-where").text_content() == "bar 1 of 3"
    assert player.get_attribute("data-plays") == "no"  # nothing plays by itself


def test_five_more_are_asked_for_in_another_key_and_one_is_taken_over(page):
    page.set_value("key", "E♭ major")
    assert "in E♭ major, chords Fm7, B♭7, E♭maj7" in staff(page)
    page.wait_for_text("Press hear for a new one")
    press(page, "write lines")
    page.page.locator("audio[aria-label='line 5 in E♭ major']").wait_for()
    lengths = page.audio_seconds()
    assert lengths == [pytest.approx((COUNT_IN + 12) * 60 / 120 + TAIL, abs=0.05)] * 5
    before = field(page).input_value()
    press(page, "take line 3 over")
    expect(field(page)).not_to_have_value(before)
    taken = field(page).input_value()
    assert Line.parse(taken, two_five_one("Eb")).text == taken
    page.wait_for_text("This is the line that you took over, as one of its own.")
    press(page, "take line 2 over")
    page.wait_for_text("Taken over.")
    press(page, "undo")
    expect(field(page)).to_have_value(taken)
    press(page, "redo")
    expect(field(page)).not_to_have_value(taken)


def test_it_is_kept_and_found_again_by_another_notebook(page, lab):
    taken = field(page).input_value()
    open_tab(page, "keep")
    page.set_value("name", "number three")
    page.set_value("tags", "Thursday, falling")
    press(page, "keep")
    page.wait_for_text("Kept number three: a long ii-V-I in E♭ major, filed under ♭9 13.")
    with lab.open_notebook(lab.write_notebook("book.ipynb", BOOK), height=1400) as book:
        book.run_all()
        (listed,) = book.options("phrases")
        assert listed.split() == "number three · long, ♭9 13, E♭ major".split()
        assert "in E♭ major" in staff(book)
        book.set_value("set into", "G major")
        book.wait_for_text("Moved to G major.")
        moved = Line.parse(taken, two_five_one("Eb")).transposed("G")
        assert all(note.pitch.pretty in staff(book) for note in moved.notes)


def test_it_is_exported_and_read_back(page, tmp_path):
    taken = field(page).input_value()
    open_tab(page, "export")
    press(page, "make a link")
    link = page.page.get_by_role("link", name="Save line_in_Eflat_major_concert.musicxml")
    with page.page.expect_download() as download:
        link.click()
    file = tmp_path / download.value.suggested_filename
    download.value.save_as(file)
    assert file.name == "line_in_Eflat_major_concert.musicxml"
    assert complaints(file.read_text(encoding="utf-8")) == []
    assert open_line(file).line == Line.parse(taken, two_five_one("Eb"))


def test_a_file_is_opened(page, tmp_path):
    line = Line.parse(TEXT, two_five_one("C")).transposed("A")
    file = save_line(line, tmp_path / "turn.mid")
    open_tab(page, "open a file")
    with page.page.expect_file_chooser() as chooser:
        page.page.get_by_role("button", name="open a file").click()
    chooser.value.set_files(file)
    page.wait_for_text("Opened from turn.mid.")
    assert page.value("key").replace("\u00a0", " ") == "A major"
    sounding = [
        note.pitch.midi for note in Line.parse(TEXT, two_five_one("C")).transposed("A").notes
    ]
    written = Line.parse(field(page).input_value(), two_five_one("A"))
    assert [note.pitch.midi for note in written.notes] == sounding


@pytest.mark.parametrize("key", swept(CASES, "D♭ major".__eq__))
def test_it_is_legible_in_light_and_dark(page, pictures, key):
    page.set_value("key", key)
    field(page).fill("")
    page.settle()
    open_tab(page, "ask for lines")
    press(page, "write lines")
    press(page, "take line 1 over")
    assert f"in {key}" in staff(page)
    box = page.page.locator(".jp-OutputArea-output:has(.widget-textarea)")
    for theme in ("light", "dark"):
        page.set_theme(theme)
        box.scroll_into_view_if_needed()
        shot = page.screenshot(pictures / f"line desk {key} {theme}.png", box)
        assert shot.stat().st_size > 50_000
    page.set_theme("light")


@pytest.mark.parametrize("width", [1280, pytest.param(820, marks=pytest.mark.sweep)])
def test_one_idea_is_written_in_several_colours(lab, pictures, width):
    code = 'from theorykit.widgets import line_desk\nline_desk("F", form="short")'
    name = lab.write_notebook(f"one_idea_{width}.ipynb", code)
    with lab.open_notebook(name, width=width, height=1400) as page:
        page.run_all()
        open_tab(page, "one idea")
        press(page, "write one idea")
        page.wait_for_text("One idea in F major, back to back")
        staves = page.page.locator("svg[role=img]:visible")
        assert staves.count() == 7  # the line of the desk, and one for each of six colours
        assert page.page.locator("[role=alert]").count() == 0
        assert len(page.audio_seconds()) == 1
        box = page.page.locator(".jp-OutputArea-output:has(.widget-textarea)")
        for theme in ("light", "dark"):
            page.set_theme(theme)
            box.scroll_into_view_if_needed()
            page.screenshot(pictures / f"one idea {width} {theme}.png", box)
