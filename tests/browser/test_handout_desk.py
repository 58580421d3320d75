"""The desk for handouts in JupyterLab: from nothing to a folder of pages."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from lab import Lab, NotebookPage
from pypdf import PdfReader

DESK = """
from pathlib import Path
from tempfile import mkdtemp
from theorykit.widgets import handout_desk

handout_desk(path=Path(mkdtemp()) / "draft.json")
"""


@pytest.fixture(scope="module")
def page(lab: Lab) -> Iterator[NotebookPage]:
    lab.write_notebook("handout_desk_test.ipynb", DESK)
    with lab.open_notebook("handout_desk_test", height=1500) as opened:
        opened.run_all()
        yield opened


def press(page: NotebookPage, name: str) -> None:
    """Press a button as a reader does, with the keyboard."""
    page.page.get_by_role("button", name=name, exact=True).press("Enter")
    page.settle()


def test_a_teacher_goes_from_an_empty_desk_to_pages_for_two_readers(page, pictures, tmp_path):
    page.set_value("kind of block", "colour")
    page.set_value("colour", "altered")
    page.set_value("key", "Db")
    press(page, "add as a new block")
    assert "altered" in page.value("handout as text")
    for theme in ("light", "dark"):
        page.set_theme(theme)
        shot = page.screenshot(pictures / f"handout desk {theme}.png")
        assert shot.stat().st_size > 20_000
    page.page.get_by_label("B flat", exact=True).check()
    page.set_value("folder", str(tmp_path / "thursday"))
    press(page, "make")
    page.page.wait_for_function(
        "() => document.body.innerText.includes('.pdf') || document.body.innerText.includes('file')"
    )
    page.settle(quiet=1.0)
    made = sorted((tmp_path / "thursday").rglob("*.pdf"))
    assert [any(name in file.name for file in made) for name in ("concert", "B flat")] == [True] * 2
    text = PdfReader(made[0]).pages[0].extract_text()
    assert "melodic minor" in text
    assert page.errors() == []


def test_a_wrong_text_is_told_and_stays_as_typed(page: NotebookPage):
    wrong = 'title = "Over G7"\n\n[[block]]\nkind = "poem"\n'
    page.page.locator("textarea").last.fill(wrong)
    page.settle(quiet=0.5)
    told = page.page.locator("[role=alert]").all_text_contents()
    assert any("poem" in one for one in told)
    assert 'kind = "poem"' in page.page.locator("textarea").last.input_value()
