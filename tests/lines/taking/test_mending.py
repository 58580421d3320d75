"""One note mended: what changes, what stays, and what is refused."""

from __future__ import annotations

import pytest
from sweeps import keys

from theorykit.errors import TheoryError
from theorykit.lines.taking import WAYS, mended
from theorykit.lines.text import Line
from theorykit.tunes.progression import two_five_one

TEXT = "half F4 8th A4 rest B4 C5 | whole E4"
LINE = Line.parse(TEXT, two_five_one("C", "short"))


@pytest.mark.parametrize(
    ("place", "way", "text"),
    [
        (1, "half step up", "half F4 8th Bb4 rest B4 C5 | whole E4"),
        (1, "half step down", "half F4 8th Ab4 rest B4 C5 | whole E4"),
        (4, "octave up", "half F4 8th A4 rest B4 C5 | whole E5"),
        (4, "octave down", "half F4 8th A4 rest B4 C5 | whole E3"),
        (1, "later", "half F4 8th rest A4 B4 C5 | whole E4"),
        (2, "earlier", "half F4 8th A4 B4 rest C5 | whole E4"),
        (0, "split", "quarter F4 F4 8th A4 rest B4 C5 | whole E4"),
        (2, "join with the next", "half F4 8th A4 rest quarter B4 | whole E4"),
        (2, "delete", "half F4 8th A4 quarter rest 8th C5 | whole E4"),
    ],
)
def test_a_note_is_mended_and_the_others_stay(place, way, text):
    found = mended(LINE, place, way)
    assert found == Line.parse(text, LINE.progression)


@pytest.mark.parametrize("key", keys())
def test_a_note_that_comes_back_sounds_as_before(key):
    form = two_five_one(key, "short")
    line = Line(form, LINE.notes)
    for place in range(len(line.notes)):
        up = mended(line, place, "half step up")
        again = mended(up, place, "half step down")
        assert [n.pitch.midi for n in again] == [n.pitch.midi for n in line]
        others = [n for n in range(len(line.notes)) if n != place]
        assert [up.notes[n] for n in others] == [line.notes[n] for n in others]


@pytest.mark.parametrize(
    ("place", "way", "words"),
    [
        (0, "later", "one note at a time"),
        (4, "later", "no longer than its progression"),
        (4, "join with the next", "the last note"),
        (9, "split", "no such note: 9"),
        (0, "louder", "no such way to mend: 'louder'"),
    ],
)
def test_what_cannot_be_done_is_refused(place, way, words):
    with pytest.raises(TheoryError, match=words):
        mended(LINE, place, way)


def test_the_whole_line_can_be_taken_out_note_by_note():
    line = LINE
    while line.notes:
        line = mended(line, 0, "delete")
    assert line.text == ""
    assert len(WAYS) == 9
