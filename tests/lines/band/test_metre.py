"""How bars fall into groups and beats."""

from __future__ import annotations

from fractions import Fraction

from together import together

from theorykit.lines.band.rhythm import beats_of, group_starts, groups
from theorykit.notes.key import Key
from theorykit.tunes.progression import Bar, Progression


@together("quarters", range(1, 50))
def test_groups_fill_their_bar(quarters):
    beats = Fraction(quarters, 4)
    assert sum(groups(beats)) == beats
    assert all(length > 0 for length in groups(beats))


def test_groups_of_usual_bars():
    # Common practice: 5/4 as three and two, 7/4 as two, two and three.
    assert groups(Fraction(4)) == (2, 2)
    assert groups(Fraction(3)) == (3,)
    assert groups(Fraction(5)) == (3, 2)
    assert groups(Fraction(7)) == (2, 2, 3)


def test_beats_are_counted_from_the_bar():
    bars = (Bar.of(("Dm7", Fraction(3, 2)), ("G7", Fraction(5, 2))), Bar.even("C6"))
    over = Progression(Key.parse("C"), bars)
    ii, v, one = over.chords
    assert beats_of(over, ii) == (0, 1)
    assert beats_of(over, v) == (Fraction(3, 2), 2, 3)
    assert beats_of(over, one) == (4, 5, 6, 7)
    assert [start for start, _ in group_starts(over)] == [0, 2, 4, 6]


def test_a_chord_shorter_than_a_beat():
    over = Progression(Key.parse("C"), (Bar.of(("Dm7", Fraction(1, 2)), ("G7", Fraction(1, 2))),))
    assert [beats_of(over, chord) for chord in over.chords] == [(0,), (Fraction(1, 2),)]
