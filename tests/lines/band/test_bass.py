"""The bass: what stands on the changes, what leads into them, where the hand stays."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.colours import COLOURS, colour
from theorykit.lines.band import FEELS
from theorykit.lines.band.bass import HIGHEST, LOWEST, bass_line
from theorykit.lines.parts import Sounding
from theorykit.notes.chord import Chord
from theorykit.notes.key import KEYS, Key
from theorykit.notes.note import Pitch
from theorykit.tunes.progression import FORMS, Bar, Progression, two_five_one

# A tune of our own, twelve bars, with every kind of change: fifths, half steps, a turnaround.
TWELVE = "Bb7|Eb7|Bb7|Fm7 Bb7|Eb7|Edim7|Bb7|Dm7b5 G7|Cm7|F7|Bb7 G7|Cm7 F7"
THREE_FOUR = "Gmaj7|Em7|Am7|D7|Bm7b5|E7 E7|Am7 D7|Gmaj7"


def tune(text: str, key: str = "Bb", beats: int | Fraction = 4) -> Progression:
    bars = (Bar.even(*bar.split(), beats=beats) for bar in text.split("|"))
    return Progression(Key.parse(key), tuple(bars))


def under(line: tuple[Sounding, ...], start: Fraction, end: Fraction) -> list[Sounding]:
    return [note for note in line if start <= note.start < end]


TUNES = (
    tune(TWELVE),
    tune(THREE_FOUR, "G", 3),
    tune("Cmaj7|Am7 D7|Gm7|C7", "C", 5),
    tune("Fmaj7|Bb7|Fmaj7", "F", Fraction(7, 2)),
    tune("C/E|Fmaj7/A|N.C.|G7sus4|C5", "C"),
    *(two_five_one(key, form) for key in ("Db", "F#", "Bb minor", "G# minor") for form in FORMS),
)


@together("feel", FEELS)
@together("seed", range(4))
@together("over", TUNES, ids=str)
def test_every_line_keeps_the_rules(over, seed, feel):
    line = bass_line(over, feel=feel, seed=seed)
    for before, after in pairwise(line):
        assert before.start + before.beats <= after.start
    # E1 is the open low string of the double bass: common practice.
    assert all(Pitch.parse("E1").midi <= note.midi <= Pitch.parse("G3").midi for note in line)
    placed = over.chords
    for place, chord in enumerate(placed):
        notes = under(line, chord.start, chord.end)
        if chord.chord.is_silent:
            assert not notes
            continue
        assert notes[0].start == chord.start
        again = place and placed[place - 1].chord == chord.chord
        check_first(notes[0], chord.chord, bool(again))
        assert all(note.start + note.beats <= chord.end for note in notes)


def check_first(note: Sounding, chord: Chord, again: bool) -> None:
    """The root or the bass of the slash; the fifth only where the chord stands a second time."""
    allowed = {chord.lowest.semitone}
    if again:
        allowed |= {
            n.semitone for d, n in zip(chord.degrees, chord.notes, strict=True) if d.number == 5
        }
    assert note.midi % 12 in allowed


@together("feel", FEELS)
@together("over", TUNES, ids=str)
def test_a_note_leads_into_every_change(over, feel):
    # A half or whole step, or the fifth of what follows: common practice.
    for seed in range(6):
        line = bass_line(over, feel=feel, seed=seed)
        for chord, following in pairwise(over.chords):
            if chord.beats < 2 or chord.chord.is_silent or following.chord.is_silent:
                continue
            last = under(line, chord.start, chord.end)[-1]
            target = under(line, following.start, following.end)[0]
            assert target.midi - last.midi in (1, -1, 2, -2, 5, -7)


def test_a_four_feel_walks_in_quarters_and_a_two_feel_in_halves():
    over = two_five_one("C")
    four = bass_line(over, feel="four", leads_to=Chord.parse("Dm7"))
    assert [note.start for note in four] == list(map(Fraction, range(12)))
    two = bass_line(over, feel="two", leads_to=Chord.parse("Dm7"))
    assert {0, 2, 4, 6, 8, 10} <= {note.start for note in two}
    assert len(two) < len(four)


def test_the_two_feel_of_a_falling_fifth():
    # Root, fifth, root: the fifth of D is A, a whole step above G. Common practice.
    lines = [bass_line(two_five_one("C"), feel="two", seed=seed) for seed in range(20)]
    names = [[note.midi % 12 for note in line[:3]] for line in lines]
    assert [2, 9, 7] in names  # D A G


def test_the_last_note_is_held_unless_something_follows():
    over = two_five_one("F", "short")
    *_, last = bass_line(over)
    assert last.start == 4
    assert last.beats > 3
    going_on = bass_line(over, leads_to=Chord.parse("Gm7"))
    assert len(under(going_on, Fraction(4), Fraction(8))) == 4
    assert going_on[-1].midi % 12 in {(7 - step) % 12 for step in (1, -1, 2, -2, 5, -7)}


@together("row", COLOURS, ids=str)
def test_a_coloured_chord_is_walked_without_what_contradicts_it(row):
    for key in KEYS[:15]:
        over = two_five_one(key)
        v = over.chords[1]
        root = v.chord.root.semitone
        rubs = {(d.semitone + step) % 12 for d in row.tensions for step in (1, -1)}
        stays = {d.semitone for d in row.degrees} | {0, 4, 10}  # root, third and seventh stay
        line = bass_line(over, colours={1: row.degrees}, leads_to=over.chords[0].chord)
        inner = under(line, v.start, v.end)[1:-1]  # without root and leading note
        fifth = 7
        for note in inner:
            degree = (note.midi - root) % 12
            if degree == fifth or degree in (2, 9):  # what a player would take without thinking
                assert degree in stays or degree not in rubs


def test_a_colour_changes_nothing_outside_its_chord():
    over = two_five_one("Eb", "split")
    plain, coloured = bass_line(over), bass_line(over, colours={2: colour("altered").degrees})
    start, end = over.chords[2].start, over.chords[2].end
    outside = [n for n in plain if not start <= n.start < end]
    assert outside == [n for n in coloured if not start <= n.start < end]


def test_the_seed_decides():
    over = tune(TWELVE)
    assert bass_line(over, seed=3) == bass_line(over, seed=3)
    assert len({bass_line(over, seed=seed) for seed in range(10)}) == 10


def test_a_walking_line_moves_mostly_by_step_and_third():
    # Common practice; the leaps that remain are fifths and octaves.
    line = bass_line(tune(TWELVE), leads_to=Chord.parse("Bb7"))
    sizes = [abs(a.midi - b.midi) for a, b in pairwise(line)]
    assert sum(size <= 4 for size in sizes) / len(sizes) > 0.6
    assert max(sizes) <= 12
    assert sizes.count(0) / len(sizes) <= 0.1  # a note is struck again now and then


def test_an_unknown_feel_is_refused():
    with pytest.raises(
        TheoryError,
        match=r"no such feel: 'three' \(want four, two, waltz, ballad, bossa, straight\)",
    ):
        bass_line(two_five_one("C"), feel="three")


def test_the_range_of_the_bass():
    assert (LOWEST, HIGHEST) == (28, 55)
