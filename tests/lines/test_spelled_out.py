"""Lines that spell chords: every tone is heard, in reach of a horn, and the landing is near."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import pytest
from sweeps import keys

from theorykit.errors import TheoryError
from theorykit.harmony.substitution import NAMES
from theorykit.lines.in_place import EIGHTH, HIGHEST, LOWEST, WIDEST, spelled_out, with_substitute
from theorykit.notes.key import Key
from theorykit.tunes.progression import Bar, Progression, two_five_one

each_key = pytest.mark.parametrize("key", keys(), ids=str)


@cache
def every(key: Key) -> list[Progression]:
    """The cadence of a key with each substitute, and as it is."""
    return [*(with_substitute(key, name) for name in NAMES), two_five_one(key)]


def first_of(progression: Progression) -> int:
    """The place from which chords are spelled: after the ii, where there is one bar of it."""
    return 1 if progression.chords[0].beats == 4 else 0


@each_key
def test_the_last_two_beats_of_each_chord_hold_four_of_its_notes_each_once(key):
    for progression in every(key):
        first = first_of(progression)
        line = spelled_out(progression, first)
        for placed in progression.chords[first:-1]:
            heard = [n for n in line.notes if placed.end - 2 <= n.start < placed.end]
            assert [note.beats for note in heard] == [EIGHTH] * 4
            names = [note.pitch.note for note in heard]
            assert len(set(names)) == 4
            assert set(names) <= set(placed.chord.notes)
            if len(placed.chord.notes) > 4:  # the root is left to the bass
                assert placed.chord.root not in names


@each_key
def test_a_line_keeps_its_range_its_leaps_and_never_repeats_a_note(key):
    for progression in every(key):
        midis = [note.pitch.midi for note in spelled_out(progression, first_of(progression)).notes]
        spelled = midis[2:] if first_of(progression) else midis
        assert min(spelled) >= LOWEST
        assert max(spelled) <= HIGHEST
        moves = [abs(after - before) for before, after in pairwise(spelled)]
        assert min(moves) > 0
        assert max(moves) <= WIDEST + 3


@each_key
def test_the_line_lands_on_a_tone_of_the_last_chord_by_a_step_or_little_more(key):
    for progression in every(key):
        *_, before, last = spelled_out(progression, first_of(progression)).notes
        assert last.pitch.note in progression.chords[-1].chord.notes
        assert abs(last.pitch.midi - before.pitch.midi) <= 2
        assert last.end == progression.beats


@each_key
def test_the_ii_opens_in_the_same_way_whatever_follows(key):
    after_ii = [with_substitute(key, name) for name in NAMES]
    after_ii = [progression for progression in after_ii if first_of(progression)]
    assert len({spelled_out(progression, 1).notes[:2] for progression in after_ii}) == 1


def test_two_bars_of_one_chord_are_held_from_the_7th_down_to_the_3rd():
    key = two_five_one("C").key
    long = Progression(key, (Bar.even("G7"), Bar.even("G7"), Bar.even("Cmaj7")))
    line = spelled_out(long)
    held = [note for note in line.notes if note.beats == 2]
    assert [str(note.pitch.note) for note in held] == ["F", "D", "B"]
    assert [note.start for note in held] == [0, 2, 4]


# Lines that were looked at: falling or rising through one chord, a step into the next.
WRITTEN = {
    ("C major", "tritone substitute"): "half F5 C5 | F5 8th Db5 Cb5 Ab4 F4 | whole E4",
    ("Db major", "related ii"): "half Gb5 Db5 | 8th Eb5 Db5 Bb4 Gb4 Ab4 C5 Eb5 Gb5 | whole F5",
    ("Bb minor", "leading-note diminished chord"): "half Eb5 Bb4 | C5 8th Eb5 C5 A4 Gb4 | whole F4",
}


@pytest.mark.parametrize(("place", "text"), WRITTEN.items())
def test_lines_as_they_were_looked_at(place, text):
    assert spelled_out(with_substitute(*place), 1).text == text


def test_a_triad_cannot_hold_a_seventh():
    key = two_five_one("C").key
    with pytest.raises(TheoryError, match="no 7 in C to hold"):
        spelled_out(Progression(key, (Bar.even("C"), Bar.even("F"))), 1)
