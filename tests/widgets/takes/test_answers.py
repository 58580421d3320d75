"""A line asks and is answered: both stand on the page, one under the other."""

from __future__ import annotations

import pytest

from theorykit import Line, take_down, two_five_one
from theorykit.notes.reader import reader
from theorykit.widgets import play_in

TEMPO, START = 120, 1.0
OVER = two_five_one("C", "short")
ASKED = Line.parse("8th F4 A4 C5 E5 D5 B4 G4 F4 | half E4 rest", OVER)
ANSWERED = Line.parse("8th F4 A4 D5 E5 D5 B4 G4 F4 | half E4 rest", OVER)
LONG = 8 * 60 / TEMPO


@pytest.fixture
def page(tmp_path):
    return play_in(form="short", book=tmp_path / "thursday", path=tmp_path / "drafts")


def rows(line: Line, begins: float = 0.0) -> list[tuple[float, float, int]]:
    beat = 60 / TEMPO
    return [
        (begins + float(n.start) * beat, begins + float(n.end) * beat - 0.02, n.pitch.midi)
        for n in line.notes
    ]


def strike(page, *taken: tuple[Line, float]) -> None:
    """What the browser sends of a keyboard: lines, and the second at which each begins."""
    sent = [
        [at, kind, midi, 80]
        for line, begins in taken
        for start, end, midi in rows(line, begins)
        for at, kind in ((start, 0x90), (end, 0x80))
    ]
    page.recorder.send = lambda *_, **__: None
    end = {"take": 1, "sent": sorted(sent), "end": 40.0, "start": START, "tempo": TEMPO}
    page.recorder._handle_custom_msg(end, [])


def asks(page) -> None:
    page.put_down(take_down(rows(ASKED), progression=OVER, tempo=TEMPO, start=0))
    page.rounds.answers.value = True


def test_one_answer_stands_under_its_question(page):
    asks(page)
    assert page.rounds.compared.value == ""  # nothing was answered yet
    strike(page, (ANSWERED, START + LONG))
    told = page.rounds.compared.value
    assert page.line.text == ANSWERED.text
    assert "The question and your answer." in told
    assert "8 of 9 notes are the same. Not so: bar 1, beat 2: D5 for C5." in told
    assert told.count("<svg") >= 2
    page.reader.value = reader("B flat")
    assert "E5 for D5" in page.rounds.compared.value
    page.mine.new.click()
    assert page.rounds.compared.value == ""


def test_each_answer_stands_under_the_question(page):
    asks(page)
    page.rounds.count.value = 2
    strike(page, (ASKED, START + LONG), (ANSWERED, START + 3 * LONG))
    told = page.rounds.compared.value
    assert "The question and round 1." in told
    assert "9 of 9 notes are the same." in told
    assert "The question and round 2." in told
    assert "Your rounds" in told


def test_rounds_without_a_question_stand_under_the_first(page):
    page.rounds.count.value = 2
    strike(page, (ASKED, START), (ANSWERED, START + LONG))
    assert "Round 1 and round 2." in page.rounds.compared.value
    assert "D5 for C5" in page.rounds.compared.value
    before = page.rounds.compared.value
    page.notes.buttons["octave up"].click()
    assert page.rounds.compared.value == before  # what was played stays what it was
