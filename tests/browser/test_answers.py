"""The page of a take in JupyterLab, without a microphone: a question and its answer, narrow too."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from lab import Lab, NotebookPage

PAGE = """from theorykit import Line, take_down
from theorykit.widgets import play_in
from theorykit.widgets.takes.recordings import Recording, Round
page = play_in("C", form="four bars", instrument="tenor saxophone", book="answered")
page"""
TAKES = """asked = "8th D4 F4 A4 C5 B4 A4 G4 F4 | E4 G4 B4 D5 C5 B4 A4 G4 | half E4 G4 | whole C4"
def taken(text):
    notes = Line.parse(text, page.over).notes
    rows = [(float(n.start) / 2, float(n.end) / 2 - 0.02, n.pitch.midi) for n in notes]
    return take_down(rows, progression=page.over, tempo=120, start=0)
page.put_down(taken(asked))
page.rounds.answers.value = True
page.rounds.take((Round(Recording(()), taken(asked.replace("B4 A4 G4 F4", "Bb4 A4 G4 F4"))),))"""
STAFF = "svg:has(g.measure [data-note])"
# Rows of the staff whose notes are buttons: a bar further left than the one before begins one.
ROWS = """wanted => {
    const staff = document.querySelector(".theorykit-notes")?.parentElement;
    const lefts = [...staff?.querySelectorAll("g.measure g.staff") ?? []]
        .map(one => one.getBoundingClientRect().left);
    return lefts.filter((left, at) => !at || left <= lefts[at - 1] + 1).length === wanted;
}"""


@pytest.fixture(scope="module")
def page(lab: Lab) -> Iterator[NotebookPage]:
    notebook = lab.write_notebook("answers.ipynb", PAGE, TAKES)
    with lab.open_notebook(notebook, height=2200) as opened:
        opened.run_all()
        opened.page.locator(".theorykit-player[data-ready]").first.wait_for()
        opened.set_value("written for", "B flat")
        opened.wait_for_text("C6 for C♯6")  # a ninth up
        yield opened


def test_the_answer_is_what_is_mended_and_the_question_is_looked_at(page, pictures):
    """Buttons lie over the notes of the staff of the page, not over those that are compared."""
    assert page.page.locator(".theorykit-compared g.measure").count() == 8  # twice four bars
    notes = page.page.locator(".theorykit-note")
    assert notes.count() == 19
    staff = page.page.locator(f"{STAFF}:not(.theorykit-compared *)").first.bounding_box()
    box = notes.first.bounding_box()
    assert staff["y"] < box["y"] < staff["y"] + staff["height"]
    page.screenshot(pictures / "answer_light.png")


def test_on_a_telephone_each_bar_has_a_row_whose_notes_can_be_hit(page, pictures):
    page.page.set_viewport_size({"width": 390, "height": 2200})
    page.page.wait_for_function(ROWS, arg=4)
    page.settle()
    page.screenshot(pictures / "answer_390.png")
    note = page.page.locator(".theorykit-note").nth(8)
    note.click()
    page.settle()
    assert page.value("note").startswith("F♯5,")
    out = page.output(0).bounding_box()
    for label in ("note", "my lines"):
        box = page.control(label).bounding_box()
        assert box["x"] + box["width"] <= out["x"] + out["width"] + 1
    page.page.set_viewport_size({"width": 1280, "height": 2200})
    page.page.wait_for_function(ROWS, arg=1)
