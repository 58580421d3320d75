"""Work that is not lost in JupyterLab: a restart while one types, a second day, two notebooks."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from lab import PAGE, Lab, NotebookPage
from playwright.sync_api import Locator, expect

expect.set_options(timeout=PAGE)

CELLS = (
    "from theorykit.widgets import *\nexplorer('Eb')",
    "identify_notes()",
    "line_desk('F')",
    "tune_desk('| Dm7 | G7 | C6 | % |')",
    "handout_desk()",
)
EXPLORER, NOTES, LINE, TUNE, HANDOUT = range(5)
# Each desk: its cell, the field of its text, and what is half typed there.
TEXTS = (
    (LINE, "your line", "8th A4 C5 E5 half G"),
    (TUNE, "chart", "title: Half a tu"),
    (HANDOUT, "handout as text", 'title = "Half a han'),
)
ASLEEP = "This page sleeps. Run its cell"
LARGEST = 40_000  # bytes of a saved notebook of five desks


def field(page: NotebookPage, cell: int, label: str) -> Locator:
    """Return a field or list of one desk."""
    return page.output(cell).get_by_label(label, exact=True)


def work(page: NotebookPage) -> None:
    """Choose and type something on every desk; the last one is left in the middle of a word."""
    field(page, EXPLORER, "key").select_option(label="F♯ major")
    notes = field(page, NOTES, "notes")
    notes.fill("Ab C Eb")
    notes.press("Enter")
    for cell, label, text in TEXTS:
        field(page, cell, label).fill("")
        field(page, cell, label).press_sequentially(text)
    page.settle()


def check(page: NotebookPage) -> None:
    """Find on every desk what was done."""
    expect(field(page, EXPLORER, "key").locator("option:checked")).to_have_text("F♯ major")
    expect(field(page, NOTES, "notes")).to_have_value("Ab C Eb")
    for cell, label, text in TEXTS:
        expect(field(page, cell, label)).to_have_value(text)
    for cell in range(len(CELLS)):
        expect(page.output(cell)).to_contain_text("as you left it")
    assert page.errors() == []


@pytest.fixture(scope="module")
def page(lab: Lab) -> Iterator[NotebookPage]:
    name = lab.write_notebook("day_one.ipynb", *CELLS)
    with lab.open_notebook(name, height=1500) as opened:
        opened.run_all()
        yield opened


def test_a_restart_in_the_middle_of_a_word_loses_nothing_on_any_desk(page: NotebookPage, pictures):
    work(page)
    page.restart()
    page.run_all()
    check(page)
    page.screenshot(pictures / "desks after a restart.png", page.output(LINE))


def test_on_the_second_day_a_sentence_says_how_to_wake_each_page(lab: Lab, page, pictures):
    """JupyterLab says "Error displaying widget" where a page was; nothing of that is seen."""
    assert page.save() < LARGEST
    page.close()  # and its kernel
    with lab.open_notebook("day_one", keeps=True) as day_two:
        asleep = day_two.page.locator(".jp-OutputArea-output.jupyter-widgets")
        expect(asleep).to_have_count(len(CELLS))
        for place in asleep.all():
            said = place.evaluate("place => getComputedStyle(place, '::before').content")
            assert ASLEEP in said
            assert place.evaluate("place => getComputedStyle(place).visibility") == "hidden"
            assert place.evaluate("place => getComputedStyle(place, '::before').visibility") == (
                "visible"
            )
        for theme in ("light", "dark"):
            day_two.set_theme(theme)
            day_two.screenshot(pictures / f"day two {theme}.png")


@pytest.mark.sweep
def test_a_second_day_brings_everything_back_when_the_cells_are_run(lab: Lab):
    name = lab.write_notebook("day_one_again.ipynb", *CELLS)
    with lab.open_notebook(name, height=1500) as day_one:
        day_one.run_all()
        work(day_one)
        day_one.save()
    with lab.open_notebook(name, height=1500, keeps=True) as day_two:
        expect(day_two.page.locator(".jp-OutputArea-output.jupyter-widgets")).to_have_count(5)
        day_two.run_all()
        check(day_two)
        expect(day_two.page.locator(".jp-OutputArea-output.jupyter-widgets")).to_have_count(0)


@pytest.mark.sweep
def test_a_page_that_is_loaded_anew_shows_what_was_typed(lab: Lab):
    name = lab.write_notebook(
        "loaded_anew.ipynb", f"from theorykit.widgets import *\n{CELLS[LINE]}"
    )
    with lab.open_notebook(name) as page:
        page.run_all()
        field(page, 0, "your line").press_sequentially(TEXTS[0][2])
        page.settle()
        page.save()
        page.page.reload()
        expect(field(page, 0, "your line")).to_have_value(TEXTS[0][2])
        field(page, 0, "your line").press_sequentially("4")
        expect(page.output(0).locator("option:checked").first).to_contain_text("half G4")


@pytest.mark.sweep
def test_two_notebooks_on_one_draft_say_so_and_keep_both(lab: Lab, pictures):
    names = [lab.write_notebook(f"notebook_{who}.ipynb", *CELLS) for who in ("ida", "ben")]
    with (
        lab.open_notebook(names[0], height=1500) as ida,
        lab.open_notebook(names[1], height=1500, keeps=True) as ben,
    ):
        for one in (ida, ben):
            one.run_all()
        work(ida)
        for cell in range(len(CELLS)):
            expect(ida.output(cell)).to_contain_text("as you left it")
        field(ben, EXPLORER, "key").select_option(label="D major")
        field(ben, NOTES, "notes").fill("B D#")
        field(ben, NOTES, "notes").press("Enter")
        for cell, label, _ in TEXTS:
            field(ben, cell, label).fill("title: of Ben")
        for cell in range(len(CELLS)):
            expect(ben.output(cell)).to_contain_text("Both are kept")
        ben.screenshot(pictures / "newer work of another notebook.png", ben.output(LINE))
        for cell, mine in ((LINE, "my lines"), (TUNE, "my tunes"), (HANDOUT, "my handouts")):
            options = field(ben, cell, mine).locator("option").all_text_contents()
            assert len(options) == 3, options
            expect(field(ida, cell, TEXTS[cell - LINE][1])).to_have_value(TEXTS[cell - LINE][2])
            field(ben, cell, mine).select_option(index=2)
            expect(field(ben, cell, TEXTS[cell - LINE][1])).to_have_value(TEXTS[cell - LINE][2])
        ben.output(EXPLORER).get_by_role("button", name="undo").click()
        expect(field(ben, EXPLORER, "key").locator("option:checked")).to_have_text("F♯ major")
        assert ben.errors() == ida.errors() == []
