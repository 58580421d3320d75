"""A take on the page of its instrument: in the octave that is read there, kept as it sounds."""

from __future__ import annotations

import pytest

from theorykit import Line, take_down, two_five_one
from theorykit.notes.reader import reader
from theorykit.study.phrasebook import PhraseBook
from theorykit.widgets import line_desk, play_in

TEMPO = 120
LINE = Line.parse("8th D4 F4 A4 C5 B4 D5 F4 B3 | whole C4", two_five_one("C", "short"))


def played(page) -> None:
    beat = 60 / TEMPO
    rows = [(float(n.start) * beat, float(n.end) * beat - 0.02, n.pitch.midi) for n in LINE.notes]
    page.put_down(take_down(rows, progression=LINE.progression, tempo=TEMPO, start=0))


@pytest.mark.parametrize(
    ("who", "instrument", "first", "low"),
    [  # by hand: a ninth, a second, a sixth, a thirteenth up, at pitch, an octave up
        ("B flat", "tenor saxophone", "E5", "C♯5"),
        ("B flat", "trumpet", "E4", "C♯4"),
        ("E flat", "alto saxophone", "B4", "G♯4"),
        ("baritone a thirteenth up", "not told", "B5", "G♯5"),
        ("bass clef", "trombone", "D4", "B3"),
        ("bass clef", "piano", "D4", "B3"),
        ("bass clef", "double bass", "D5", "B4"),
        ("guitar", "jazz guitar", "D5", "B4"),
    ],
)
def test_a_take_stands_in_the_octave_that_its_player_reads(who, instrument, first, low, tmp_path):
    page = play_in(form="short", book=tmp_path / "thursday")
    played(page)
    page.reader.value = next(one for _, one in page.reader.options if one.name == who)
    page.instrument.value = instrument
    names = [name.split(",")[0] for name, _ in page.notes.note.options]
    assert (names[0], names[7]) == (first, low)
    assert str(page.view.staff.notes[0].pitch) == first
    assert page.line.text == LINE.text
    page.sending.buttons["keep it in the book"].click()
    book = PhraseBook(tmp_path / "thursday.sqlite")
    assert book.phrase(book.names[0]).line.text == LINE.text


def test_the_desk_for_lines_has_the_page_of_a_tenor_too(tmp_path):
    desk = line_desk(form="short", book=tmp_path / "thursday")
    page = play_in(form="short", instrument="tenor saxophone", lines=desk)
    page.reader.value = reader("B flat")
    played(page)
    page.sending.buttons["put it on the desk for lines"].click()
    assert desk.text.value == LINE.text
    assert str(desk.view.staff.notes[0].pitch) == "E5"
    assert "another octave" not in page.sending.told.value
    page.reader.value, page.instrument.value = reader("bass clef"), "trombone"
    page.sending.buttons["put it on the desk for lines"].click()
    assert "another octave" in page.sending.told.value
