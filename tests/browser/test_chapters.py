"""Chapters in JupyterLab: where the reader stands, what is folded, and the links at the foot."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from lab import Lab

_PLACE = """() => {
    const book = window.jupyterapp.shell.currentWidget.content;
    const sheet = document.querySelector('.jp-Notebook .jp-WindowedPanel-outer');
    return {active: book.activeCellIndex, top: sheet.scrollTop, high: sheet.scrollHeight};
}"""
_FOLDED = """() => window.jupyterapp.shell.currentWidget.content.widgets
    .filter(cell => cell.model.type === 'code')
    .map(cell => Boolean(cell.inputHidden))"""
_NAMED = "name => window.jupyterapp?.shell.currentWidget?.context?.path === name"


def marked(lab: Lab, name: str) -> list[bool]:
    """Which code cells of a chapter are folded in its file."""
    book = json.loads((lab.server.folder / name).read_text(encoding="utf-8"))
    return [
        bool(cell["metadata"].get("jupyter", {}).get("source_hidden"))
        for cell in book["cells"]
        if cell["cell_type"] == "code"
    ]


@pytest.fixture(scope="module")
def book(lab: Lab):
    """A chapter that was opened, of which no cell is run."""
    with lab.open_notebook("03_flat_nine") as page:
        yield page


def test_after_all_cells_were_run_the_reader_stands_at_the_top(lab: Lab, pictures: Path):
    with lab.open_notebook("03_flat_nine") as book:
        book.run_all()
        place = book.page.evaluate(_PLACE)
        assert (place["active"], place["top"]) == (0, 0)
        assert place["high"] > 5000  # there is a way to go
        book.screenshot(pictures / "chapter_at_its_top.png")
        book.page.keyboard.press("Shift+Enter")  # cell by cell, the page goes on as ever
        book.page.keyboard.press("Shift+Enter")
        book.settle()
        assert book.page.evaluate(_PLACE)["active"] == 2


def test_what_is_folded_in_the_file_is_folded_on_the_page_and_opens_at_a_click(book, lab):
    folded = book.page.evaluate(_FOLDED)
    assert folded == marked(lab, "03_flat_nine.ipynb")
    assert any(folded)
    assert not all(folded)
    dots = book.page.locator(".jp-Notebook .jp-InputPlaceholder .jp-Placeholder-content").first
    dots.click()
    book.page.wait_for_function(f"({_FOLDED})().filter(Boolean).length === {sum(folded) - 1}")


def test_the_links_at_the_foot_lead_to_the_neighbours(book):
    link = book.page.locator(".jp-Notebook a", has_text="4 Triads above").last
    link.scroll_into_view_if_needed()
    link.click()
    book.page.wait_for_function(_NAMED, arg="04_triads_above.ipynb")
