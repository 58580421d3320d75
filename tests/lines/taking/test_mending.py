"""One note mended: what changes, what stays, and what is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest
from sweeps import keys

from theorykit.errors import TheoryError
from theorykit.lines.taking import WAYS, mended
from theorykit.lines.text import Line
from theorykit.tunes.progression import two_five_one

TEXT = "half F4 8th A4 rest B4 C5 | whole E4"
HALF = Fraction(1, 2)
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
        (0, "later", "8th rest dotted quarter F4 8th A4 rest B4 C5 | whole E4"),
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
        (2, "later", "no room: C5, bar 1, the and of 4, follows at once"),
        (3, "earlier", "no room: B4, bar 1, beat 4, ends only there"),
        (4, "join with the next", "the last note"),
        (9, "split", "no such note: 9"),
        (0, "louder", "no such way to mend: 'louder'"),
    ],
)
def test_what_cannot_be_done_is_refused(place, way, words):
    with pytest.raises(TheoryError, match=words):
        mended(LINE, place, way)


def test_what_is_in_the_way_has_the_name_that_the_reader_sees():
    with pytest.raises(TheoryError, match="no room: A5, bar 1, the and of 4, follows"):
        mended(LINE, 2, "later", "E flat")
    last = Line.parse("half rest quarter rest 8th rest B4 | dotted half rest 8th rest G4",
                      LINE.progression)  # fmt: skip
    with pytest.raises(TheoryError, match="it would end after the last bar"):
        mended(last, 1, "later")


def test_a_longer_neighbour_gives_way():
    line = Line.parse("8th F4 A4 quarter B4 half C5 | whole E4", LINE.progression)
    later, earlier = mended(line, 1, "later"), mended(line, 3, "earlier")
    assert [(n.start, n.beats) for n in later.notes[1:3]] == [(1, HALF), (3 * HALF, HALF)]
    assert [(n.start, n.beats) for n in earlier.notes[2:4]] == [(1, HALF), (3 * HALF, 2)]
    # Where nothing gives way, the note itself begins later.
    held = mended(LINE, 0, "later")
    assert [(n.start, n.end) for n in held.notes[:2]] == [(HALF, 2), (2, 5 * HALF)]


def test_the_whole_line_can_be_taken_out_note_by_note():
    line = LINE
    while line.notes:
        line = mended(line, 0, "delete")
    assert line.text == ""
    assert len(WAYS) == 11
