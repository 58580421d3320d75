"""Tensions that the chosen colour has not: read as passing, and without the mark of the colour."""

from __future__ import annotations

import pytest

from theorykit.harmony.colours import colour
from theorykit.lines.reading import read_line
from theorykit.lines.text import Line
from theorykit.tunes.progression import two_five_one
from theorykit.views.staves import read_staff


@pytest.mark.parametrize("key", ["C", "Db", "F#", "Bb"])
def test_a_foreign_tension_that_slips_by_is_passing_and_unmarked(key):
    line = Line.parse("half A4 8th C5 D5 E5 F5 | F5 E5 D5 B4 Ab4 G4 F4 D4 | whole E4",
                      two_five_one("C")).transposed(key)  # fmt: skip
    row = colour("b9")
    reading = read_line(line, row)
    thirteen = next(note for note in reading.notes if str(note.degree) == "13")
    assert thirteen.role == "passing"
    marks = {n.labels[0]: n.mark for n in read_staff(reading, row).notes if len(n.labels) == 2}
    assert marks["13"] == ""
    assert marks["♭9"] == "colour"


def test_a_foreign_alteration_between_whole_steps_is_told_in_words():
    """F Eb Db over G7 in the colour b9 11: the b13 falls by whole steps through the line."""
    line = Line.parse("half A4 8th C5 D5 E5 F5 | B4 Ab4 F5 Eb5 Db5 B4 Ab4 G4 | whole E4",
                      two_five_one("C"))  # fmt: skip
    reading = read_line(line, colour("b9"))
    foreign = next(note for note in reading.notes if str(note.degree) == "b13")
    assert foreign.role == "passing"
    assert foreign.words == "passes from F to D♭; ♭9 has no ♭13"
    plain = next(note for note in read_line(line).notes if str(note.degree) == "b13")
    assert plain.role == "alteration"
