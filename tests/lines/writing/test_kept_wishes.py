"""Wishes that a reader checks on the page: a full bar, a wide reach, no chromatic step."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from theorykit.harmony.colours import colour
from theorykit.lines.chord_palette import CHROMATIC, palettes
from theorykit.lines.text import Line
from theorykit.lines.writing import Wishes, write_lines
from theorykit.lines.writing.first_sight import changes_form, kinds_over
from theorykit.lines.writing.melody import hard_to_sing
from theorykit.notes.reader import reader
from theorykit.tunes.progression import FORMS, two_five_one

KEYS = ("A", "F# minor", "Db", "G minor")
SIXTHS = (8, 9)  # half steps
# Half steps of perfect, major and minor intervals, by the letters between two notes.
PLAIN_INTERVALS = ({0}, {1, 2}, {3, 4}, {5}, {7}, {8, 9}, {10, 11})


def written(key, form, row="b9", **wishes):
    over = two_five_one(key, form)
    return write_lines(over, row, count=3, seed=3, wishes=Wishes(**wishes))


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("key", KEYS)
def test_no_bar_of_a_full_line_rests_for_more_than_a_beat_before_the_landing(key, form):
    for line in written(key, form, density="full"):
        landing = line.progression.chords[-1].start
        for start, end in pairwise(e for e in line.progression.bar_starts if e <= landing):
            spans = [(max(n.start, start), min(n.end, end)) for n in line.notes]
            sounding = sum((b - a for a, b in spans if a < b), Fraction(0))
            assert end - start - sounding <= 1


def triplets(line):
    """How many groups of three are written: three eighths in a beat, or three over two."""
    thirds = [n for n in line.notes if n.beats.denominator == 3]
    eighths = {n.start // 1 for n in thirds if n.beats < Fraction(2, 3)}
    return len(eighths) + sum(n.beats > Fraction(1, 2) and n.start % 1 == 0 for n in thirds)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("key", [*KEYS, "Bb minor"])
def test_many_triplets_are_two_groups_at_least(key, form):
    for row in ("tritone substitute", "b9 b13"):
        lines = written(key, form, row=row, triplets="a lot")
        assert all(triplets(line) >= 2 for line in lines)


@pytest.mark.parametrize(("form", "least"), [("short", 2), ("long", 3), ("split", 3)])
@pytest.mark.parametrize("key", [*KEYS, "Cb"])
def test_many_chromatic_notes_are_two_in_a_short_form_and_three_in_others(key, form, least):
    """The tensions of the colour that was asked for do not count."""
    row = colour("b9 #11")
    for line in written(key, form, row=row, chromatic="a lot"):
        kinds = kinds_over(line.notes, palettes(line.progression, row))
        assert kinds.count(CHROMATIC) >= least


@pytest.mark.parametrize(("reach", "more_than"), [("an octave", 9), ("a tenth", 12)])
@pytest.mark.parametrize("key", KEYS)
def test_most_lines_reach_further_than_the_next_narrower_wish(key, reach, more_than):
    lines = written(key, "long", reach=reach) + written(key, "split", reach=reach)
    spans = [
        max(midis) - min(midis) for line in lines for midis in [[n.pitch.midi for n in line.notes]]
    ]
    assert sum(span > more_than for span in spans) >= 5


@pytest.mark.parametrize("who", ["concert", "B flat"])
@pytest.mark.parametrize("key", ["A", "Db", "F", "E"])
def test_without_chromatic_notes_no_letter_changes_its_form_from_note_to_note(key, who):
    wishes = Wishes.for_reader(who, chromatic="none")
    for line in write_lines(two_five_one(key), "9 #11 13", count=3, seed=5, wishes=wishes):
        assert changes_form(line.written_for(reader(who)).notes) == 0


@pytest.mark.parametrize("key", KEYS)
def test_a_singer_steps_back_after_a_sixth(key):
    """Common practice of part writing: a wide leap turns back by step."""
    for line in written(key, "long", manner="sung"):
        sizes = [b.pitch.midi - a.pitch.midi for a, b in pairwise(line.notes)]
        for size, back in pairwise(sizes):
            assert abs(size) not in SIXTHS or (abs(back) <= 2 and size * back < 0)


def strange_leaps(line):
    """Whether each leap that is written augmented or diminished stands in a triplet."""
    found = []
    for a, b in pairwise(line.notes):
        low, high = sorted((a.pitch, b.pitch), key=lambda pitch: pitch.midi)
        size, letters = high.midi - low.midi, (high.note.step - low.note.step) % 7
        if size > 2 and size % 12 not in PLAIN_INTERVALS[letters]:
            found.append(a.beats.denominator == 3)
    return found


@pytest.mark.parametrize("who", ["concert", "B flat", "F"])
@pytest.mark.parametrize("key", ["A", "G minor", "C# minor"])
def test_a_singer_meets_one_strange_leap_at_most_and_none_in_a_triplet(key, who):
    wishes = Wishes.for_reader(who, manner="sung")
    for row in ("b9", "b9 #11", "altered"):
        for line in write_lines(two_five_one(key), row, count=2, seed=3, wishes=wishes):
            for page in (line, line.written_for(who)):
                leaps = strange_leaps(page)
                assert leaps in ([], [False]), page.text


@pytest.mark.parametrize(
    ("before", "is_hard"), [("C#5", True), ("Bb4", False), ("G4", False), ("F4", False)]
)
def test_a_singer_comes_to_the_natural_7_over_v_by_a_step_or_a_third(before, is_hard):
    """From memory: singers find it from close by; here it is F sharp over G7."""
    over = two_five_one("C", "short")
    line = Line.parse(f"8th D5 F5 Eb5 D5 Bb4 {before} F#4 G4 | whole G4", over)
    found = hard_to_sing(line.notes, palettes(over, colour("its related ii")))
    assert ("a leap to the natural 7 over V" in found) == is_hard


# Key, form, colour and seed of lines that said their landing before it came.
SAID_BEFORE = (
    ("F# minor", "short", "#9 b13", 0),
    ("G minor", "short", "b9 b13", 2),
    ("F# minor", "long", "b9 b13", 3),
    ("Db", "short", "b9 13", 1),
    ("Db", "long", "suspended", 0),
)


@pytest.mark.parametrize(("key", "form", "row", "seed"), SAID_BEFORE)
def test_the_last_note_over_v_is_another_than_the_landing(key, form, row, seed):
    """Else nothing resolves."""
    for line in write_lines(two_five_one(key, form), row, count=3, seed=seed):
        landing = line.progression.chords[-1].start
        before, after = (
            [n for n in line.notes if n.start < landing][-1],
            next(n for n in line.notes if n.start >= landing),
        )
        assert before.pitch.midi != after.pitch.midi
