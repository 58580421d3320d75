"""What a chorus has said before, with phrases written by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from theorykit.lines.chorus import Window
from theorykit.lines.chorus.repetition import is_stale
from theorykit.lines.chorus.windows import Phrase
from theorykit.lines.text import Line
from theorykit.notes.key import Key
from theorykit.tunes.progression import two_five_one

TRIPLETS = ("8th B4 F4 triplet 8th Ab4 G4 F4", "8th F4 B4 triplet 8th D5 C5 B4")
WINDOW = Window(Fraction(0), Fraction(4), Fraction(8), Key.parse("C"), "", 0)
OTHERS = ("triplet quarter B4 E4 Ab4", "triplet quarter F4 Ab4 B4", "triplet quarter D5 B4 Db5")


def notes(over_v, over_ii="D5 F5 A5 C6"):
    """A phrase in C with some notes over G7, and others over Dm7."""
    return Line.parse(f"8th {over_ii} {over_v} | whole C5", two_five_one("C", "short")).notes


def told(*bars):
    """The phrases before, each with something else over Dm7."""
    pairs = zip(bars, ("A5 F5 E5 D5", "C5 E5 G5 F5"), strict=False)
    return [Phrase(WINDOW, notes(bar, over_ii)) for bar, over_ii in pairs]


@pytest.mark.parametrize(
    ("over_v", "before", "stale"),
    [
        # Three over two, on whatever notes, is a turn twice and a stamp the third time.
        (OTHERS[2], OTHERS[:2], True),
        (OTHERS[2], OTHERS[:1], False),
        # So is a triplet on the last beat.
        ("8th D5 Ab4 triplet 8th E4 Db4 D4", TRIPLETS, True),
        ("8th D5 Ab4 triplet 8th E4 Db4 D4", TRIPLETS[:1], False),
        ("8th D5 Ab4 triplet 8th E4 Db4 D4", OTHERS[:2], False),
        ("8th B4 D5 Ab4 F4", OTHERS[:2], False),
        # The same three degrees, in another rhythm and with other signs: 3 13 9.
        ("8th D5 B4 Eb5 Ab4", ("quarter B4 8th E4 Ab4", "triplet quarter B4 Eb4 Ab4"), True),
        ("8th D5 B4 Eb5 Ab4", ("quarter B4 8th E4 Ab4", "quarter Ab4 8th E4 B4"), False),
        # The same three notes before the landing.
        ("8th B4 Ab4 F4 D4", ("8th B4 Ab4 F4 D4",) * 2, True),
        ("8th B4 Ab4 F4 D4", ("8th B4 Ab4 F4 D4", "8th F4 B4 D5 Ab4"), False),
    ],
)
def test_a_figure_that_came_often_is_stale(over_v, before, stale):
    assert is_stale(notes(over_v), WINDOW, told(*before)) is stale
