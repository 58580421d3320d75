"""The page of the week in JupyterLab: from one desk to the next, and again after a restart."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from lab import PAGE, Lab, NotebookPage
from playwright.sync_api import Locator, expect

expect.set_options(timeout=PAGE)

SHELF, TUNE, LINE, SHEET, FILES = 3, 5, 7, 9, 11  # cells
MADE = 180_000  # milliseconds for a page with its sounds to be made
CUT = """area => [...area.querySelectorAll('input, select, textarea, button, table')]
    .filter(one => one.getBoundingClientRect().right > area.getBoundingClientRect().right + 1)
    .map(one => one.outerHTML.slice(0, 80))"""
CHART = "title: Wet Gloves by the Stove\nkey: Db\n\n| Ebm7 | Ab7 | Dbmaj7 | % |\n"


def part(page: NotebookPage, cell: int, label: str) -> Locator:
    """Return a field or list of one desk."""
    return page.output(cell).get_by_label(label, exact=True)


def press(page: NotebookPage, cell: int, name: str) -> None:
    """Press a button of one desk."""
    page.output(cell).get_by_role("button", name=name, exact=True).first.click()
    page.settle()


@pytest.fixture(scope="module")
def page(lab: Lab) -> Iterator[NotebookPage]:
    with lab.open_notebook("thursday", height=1500) as opened:
        opened.run_all()
        yield opened


def test_a_week_goes_from_desk_to_desk(page: NotebookPage, pictures):
    part(page, TUNE, "chart").fill(CHART)
    expect(part(page, SHELF, "works").locator("option").first).to_contain_text("Wet Gloves by the")
    part(page, TUNE, "cadences").select_option(index=0)
    page.settle()
    press(page, TUNE, "put the cadence on the handout")
    expect(page.output(TUNE)).to_contain_text("It is block 1 of the handout")
    part(page, LINE, "your line").fill("8th F Ab C Eb D C Ab F")
    expect(page.output(LINE)).to_contain_text("nearest ones: 8th F4 Ab4 C5 Eb5 D5 C5 Ab4 F4")
    press(page, LINE, "put it on the handout")
    expect(page.output(LINE)).to_contain_text("It is block 2 of the handout")
    text = part(page, SHEET, "handout as text").input_value()
    assert 'key = "Db"' in text
    assert "8th F4 Ab4 C5 Eb5 D5 C5 Ab4 F4" in text
    for cell, name in ((SHELF, "shelf"), (TUNE, "tune"), (LINE, "line"), (SHEET, "sheet")):
        page.screenshot(pictures / f"thursday {name}.png", page.output(cell))


def test_making_ends_in_links_to_what_was_made(page: NotebookPage, pictures):
    part(page, FILES, "folder").fill("this week")
    part(page, FILES, "folder").blur()
    page.settle()
    press(page, FILES, "make")
    found = page.output(FILES).get_by_role("button", name="student - A4.pdf")
    with page.page.expect_download() as saved:
        found.first.click()
    assert saved.value.suggested_filename.endswith("student - A4.pdf")
    assert Path(saved.value.path()).read_bytes()[:5] == b"%PDF-"
    page.screenshot(pictures / "thursday files.png", page.output(FILES))


def test_music_and_zip_are_saved_and_the_web_page_plays_as_a_page_of_its_own(
    page: NotebookPage, pictures
):
    """JupyterLab would show the first as text, and the page without its player."""
    for name in ("MusicXML", "web page", "zip"):
        page.output(FILES).get_by_label(name, exact=True).check()
    page.settle()
    press(page, FILES, "make")
    page.output(FILES).get_by_role("button", name=".zip").first.wait_for(timeout=MADE)
    for ending, opening in ((".zip", b"PK"), (".musicxml", b"<?xml")):
        with page.page.expect_download() as saved:
            page.output(FILES).get_by_role("button", name=ending).first.click()
        assert saved.value.suggested_filename.endswith(ending)
        assert Path(saved.value.path()).read_bytes().startswith(opening)
    with page.page.expect_popup() as opened:
        page.output(FILES).get_by_role("button", name="open ").first.click()
    student = opened.value
    student.get_by_role("heading", level=1).wait_for()
    student.get_by_role("button", name="play").first.click()
    expect(student.locator(".theorykit-player[data-plays=yes]").first).to_be_visible()
    student.screenshot(path=pictures / "thursday student.png")
    student.close()


def test_after_a_restart_the_shelf_and_the_desks_are_as_they_were(page: NotebookPage, pictures):
    part(page, SHELF, "on the shelf").select_option(label="the term")
    expect(page.output(SHELF)).to_contain_text("Colours not given yet")
    page.settle()
    page.restart()
    page.run_all()
    expect(part(page, TUNE, "chart")).to_have_value(CHART)
    expect(part(page, LINE, "your line")).to_have_value("8th F Ab C Eb D C Ab F")
    expect(part(page, FILES, "folder")).to_have_value("this week")
    expect(page.output(SHELF)).to_contain_text("Colours not given yet")
    for theme in ("dark", "light"):
        page.set_theme(theme)
        page.screenshot(pictures / f"thursday term {theme}.png", page.output(SHELF))


def test_on_a_small_screen_nothing_of_the_shelf_is_cut(page: NotebookPage, pictures):
    page.page.set_viewport_size({"width": 820, "height": 1180})
    for shown in ("the term", "tunes"):
        part(page, SHELF, "on the shelf").select_option(label=shown)
        page.settle()
        area = page.output(SHELF)
        assert area.evaluate(CUT) == []
        page.screenshot(pictures / f"thursday 820 {shown}.png", area)
    page.screenshot(pictures / "thursday 820 files.png", page.output(FILES))
    page.screenshot(pictures / "thursday 820 line.png", page.output(LINE))
