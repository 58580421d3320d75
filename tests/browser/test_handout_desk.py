"""The desk for handouts in JupyterLab: from nothing to a folder of pages."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from lab import Lab, NotebookPage
from pypdf import PdfReader

DESK = """
from theorykit.widgets import handout_desk

handout_desk(path={path!r})
"""


@pytest.fixture(scope="module")
def page(lab: Lab, tmp_path_factory: pytest.TempPathFactory) -> Iterator[NotebookPage]:
    path = tmp_path_factory.mktemp("desk") / "draft.json"
    lab.write_notebook("handout_desk_test.ipynb", DESK.format(path=str(path)))
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
    press(page, "add to the handout")
    assert "altered" in page.value("handout as text")
    page.page.get_by_role("listbox", name="blocks").select_option(index=0)
    page.set_value("web address", "https://example.org/thursday/")
    assert "example.org" in page.value("handout as text")
    for theme in ("light", "dark"):
        page.set_theme(theme)
        shot = page.screenshot(pictures / f"handout desk {theme}.png")
        assert shot.stat().st_size > 20_000
    page.page.get_by_label("B flat", exact=True).check()
    page.set_value("folder", str(tmp_path / "thursday"))
    press(page, "make")
    page.wait_for_text(
        "4 files (2 files to print with 2 pages, 1 text of the handout, 1 table of contents)"
    )
    made = sorted((tmp_path / "thursday").rglob("*.pdf"))
    assert [any(name in file.name for file in made) for name in ("concert", "B flat")] == [True] * 2
    text = PdfReader(made[0]).pages[0].extract_text()
    assert "melodic minor" in text
    assert "example.org" in text
    assert page.errors() == []


def test_a_wrong_text_is_told_and_stays_as_typed(page: NotebookPage):
    wrong = 'title = "Over G7"\n\n[[block]]\nkind = "poem"\n'
    page.page.locator("textarea").last.fill(wrong)
    page.settle(quiet=0.5)
    told = page.page.locator("[role=alert]").all_text_contents()
    assert any("poem" in one for one in told)
    assert 'kind = "poem"' in page.page.locator("textarea").last.input_value()


def test_the_page_answers_while_everyones_files_are_made_until_stop_is_pressed(page, tmp_path):
    page.page.locator("textarea").last.fill(
        'title = "All"\n\n[[block]]\nkind = "text"\ntext = "Sing."\n'
    )
    page.settle()
    page.page.get_by_label("everyone in the room", exact=True).check()
    for name in ("sound", "web page", "MIDI"):
        page.page.get_by_label(name, exact=True).check()
    page.set_value("folder", str(tmp_path / "all"))
    page.page.get_by_role("button", name="make", exact=True).press("Enter")
    page.page.get_by_role("progressbar").wait_for()
    page.set_value("kind of block", "questions")
    page.page.get_by_label("questions").first.wait_for()
    assert page.page.get_by_role("button", name="make", exact=True).is_disabled()
    press(page, "stop")
    page.wait_for_text("Stopped.")
    assert page.page.get_by_role("button", name="make", exact=True).is_enabled()
    made = list((tmp_path / "all").rglob("*.*"))
    assert made
    assert not [file for file in made if file.suffix == ".part"]
    assert page.errors() == []


def test_what_was_typed_and_ticked_survives_a_restart_of_the_kernel(page: NotebookPage):
    page.page.get_by_label("everyone in the room", exact=True).uncheck()
    page.page.get_by_label("guitar", exact=True).check()
    page.set_value("folder", "Thursday")
    page.set_value("kind of block", "plan")
    page.page.locator("textarea").first.fill("5 | Sing the ro")
    page.page.locator("textarea").first.blur()
    page.page.locator("textarea").last.fill('title = "half a')
    page.settle()
    page.restart()
    page.run_all()
    assert page.page.locator("textarea").last.input_value() == 'title = "half a'
    assert page.value("kind of block") == "plan"
    assert page.page.locator("textarea").first.input_value() == "5 | Sing the ro"
    assert page.value("folder") == "Thursday"
    assert page.page.get_by_label("guitar", exact=True).is_checked()
    assert not page.page.get_by_label("everyone in the room", exact=True).is_checked()


@pytest.mark.sweep
def test_the_chapter_takes_over_a_colour_a_line_and_a_tune(lab: Lab, pictures):
    with lab.open_notebook("12_handouts", height=1500) as chapter:
        chapter.run_all()
        for name in (
            "take the colour of the explorer",
            "take the line of the line desk",
            "take the tune of the tune desk",
        ):
            press(chapter, name)
            press(chapter, "add to the handout")
        text = chapter.page.get_by_label("handout as text").input_value()
        kinds = [line for line in text.splitlines() if line.startswith("kind")]
        assert kinds[-3:] == ['kind = "colour"', 'kind = "line"', 'kind = "tune"']
        chapter.restart()
        chapter.run_all()
        assert chapter.page.get_by_label("handout as text").input_value() == text
        desk = chapter.page.get_by_label("handout as text").locator(
            "xpath=ancestor::*[contains(@class,'jp-OutputArea-child')]"
        )
        chapter.screenshot(pictures / "handout desk filled.png", desk)
        assert chapter.errors() == []
