"""Counts of rhythm and shape: the published tables, and lines counted by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from theorykit.harmony.counts import RHYTHM_COUNTS, tally
from theorykit.lines.phrase_counts import PhraseCounts, phrases_of, place_in_bar
from theorykit.lines.plausibility import measured
from theorykit.lines.text import Line
from theorykit.tunes.progression import Bar, Progression, two_five_one

SHORT = two_five_one("C", "short")

# Weimar Jazz Database (Pfleiderer and others, eds., *Inside the Jazzomat*, Schott Campus 2017),
# read from the R package jazzodata (MIT): 437 solos in 4/4, 189,104 notes (two of them on a fifth
# beat, which is no place of the table) in 10,311 phrases.
TOTALS = {
    "places in the bar": 189102,
    "lengths inside phrases": 178793,
    "notes in a phrase": 10311,
    "beats of a phrase": 10311,
    "beats between phrases": 9874,
    "places of first notes": 10311,
    "places of last notes": 10311,
    "after a wide leap": 7690,
}


def test_the_tables_add_up_to_what_was_published():
    assert {row.name: sum(row.counts) for row in RHYTHM_COUNTS} == TOTALS
    for row in RHYTHM_COUNTS:
        assert tally(row.name).total == TOTALS[row.name]
        assert 0 < row.floor < 0.01


def test_a_line_is_counted_as_a_hand_counts_it():
    """A pickup of two, a triplet, a rest of a beat and a half, an octave up and a step back."""
    text = "pickup 8th E5 E5 | triplet 8th D5 F5 A5 8th C5 rest quarter rest 8th B4 B5 | half A5 G5"
    counts = PhraseCounts()
    line = Line.parse(text, SHORT)
    counts.add(line)
    assert [len(phrase) for phrase in phrases_of(line)] == [6, 4]
    tables = counts.tables
    assert tables["places in the bar"] == {
        "4": 2, "4&": 2, "1": 2, "triplet": 1, "1&": 1, "2": 1, "3": 1,
    }  # fmt: skip
    assert tables["places of first notes"] == {"4": 2}
    assert tables["places of last notes"] == {"2": 1, "3": 1}
    assert tables["lengths inside phrases"] == {
        "eighth": 4, "triplet eighth": 3, "up to a half": 1,
    }  # fmt: skip
    assert tables["notes in a phrase"] == {"5-8": 1, "3-4": 1}
    assert tables["beats of a phrase"] == {"0-2": 1, "2-4": 1}
    assert tables["beats between phrases"] == {"1-2": 1}
    assert tables["after a wide leap"] == {"step back": 1}
    assert counts.share(0) == pytest.approx(1 / 8)
    assert counts.share(7) == pytest.approx(2 / 8)  # the sixth down and the octave up
    assert counts.share(10) == pytest.approx(1 / 8)
    assert counts.repeated_ends == 0


def test_places_are_counted_in_any_metre():
    waltz = Line(Progression(SHORT.key, tuple(Bar.even("C6", beats=3) for _ in range(2))), ())
    assert [place_in_bar(waltz, Fraction(n, 2)) for n in (-1, 0, 6, 11)] == ["3&", "1", "1", "3&"]
    assert place_in_bar(waltz, Fraction(13, 4)) == "sixteenth"
    assert place_in_bar(waltz, Fraction(1, 5)) == "other"


def test_a_line_of_plain_eighths_is_far_from_solos():
    line = Line.parse("8th F4 A4 C5 E5 D5 B4 Ab4 F4 | whole E4", SHORT)
    found = measured([(line, None)])
    apart = {row.name: found.apart(row) for row in RHYTHM_COUNTS}
    assert apart["lengths inside phrases"] > 0.25
    assert apart["places of first notes"] > 0.5
    assert not found.holds
