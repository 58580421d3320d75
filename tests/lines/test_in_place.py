"""What is heard of a substitute: one thing changes at a time, and the piano adds nothing."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import pytest
from sweeps import keys
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.substitution import NAMES, substitute
from theorykit.lines.in_place import Version, in_place
from theorykit.lines.parts import Performance, Sounding
from theorykit.notes.key import KEYS
from theorykit.tunes.progression import cadence_chords


@cache
def played(version: Version) -> Performance:
    """A version as it is played, worked out once."""
    return version.performance(tempo=120)


def part(version: Version, name: str) -> tuple[Sounding, ...]:
    """The notes of one part of a version."""
    return next(one.notes for one in played(version).parts if one.name == name)


@pytest.mark.parametrize("key", keys(), ids=str)
def test_original_and_first_try_share_the_bass_both_tries_share_line_piano_and_drums(key):
    for name in NAMES:
        original, over_bass, own_bass = in_place(key, name).versions
        assert part(original, "bass") == part(over_bass, "bass")
        for shared in ("line", "piano", "drums"):
            assert part(over_bass, shared) == part(own_bass, shared)
        assert part(original, "line") != part(over_bass, "line")


@pytest.mark.parametrize("key", keys(), ids=str)
def test_all_versions_are_of_one_length_and_end_on_i(key):
    for name in NAMES:
        versions = in_place(key, name).versions
        assert {version.chords.beats for version in versions} == {12}
        assert {version.chords.chords[-1].chord for version in versions} == {cadence_chords(key)[2]}
        assert {played(version).beats for version in versions} == {16}


@pytest.mark.parametrize("key", keys(), ids=str)
def test_the_piano_plays_the_notes_of_each_chord_and_no_others(key):
    for name in NAMES:
        version = in_place(key, name).own_bass
        count_in = version.line.progression.bars[0].beats
        for note in part(version, "piano"):
            early = version.line.progression.chord_at(note.start - count_in + 1 / 2)
            on_time = version.line.progression.chord_at(note.start - count_in)
            sounds = {n.semitone for placed in (early, on_time) for n in placed.chord.notes}
            assert note.midi % 12 in sounds


@pytest.mark.parametrize("key", keys(), ids=str)
def test_the_substitutes_chords_stand_where_first_and_end_say(key):
    for name in NAMES:
        heard = in_place(key, name)
        _, v, one = cadence_chords(key)
        found = heard.own_bass.chords.chords[heard.first : heard.end]
        assert tuple(placed.chord for placed in found) == substitute(name, v, one).chords
        over = heard.over_bass.chords.chords[heard.first : heard.end]
        assert {placed.chord.lowest for placed in over} == {v.root}


def test_with_the_tritone_substitute_the_bass_falls_in_half_steps():
    """The line D, Db, C in the bass is what this substitute is known for (common practice)."""
    for key in KEYS:
        version = in_place(key, "tritone substitute").own_bass
        starts = {placed.start + 4: placed.chord.lowest for placed in version.chords.chords}
        heard = {note.start: note.midi for note in part(version, "bass") if note.start in starts}
        assert [midi % 12 for midi in heard.values()] == [n.semitone for n in starts.values()]
        ii, sub, one = (midi % 12 for midi in heard.values())
        assert ((ii - sub) % 12, (sub - one) % 12) == (1, 1)


def test_the_suspended_version_keeps_the_bass_and_so_its_two_tries_sound_alike():
    heard = in_place("Eb", "suspended version")
    assert heard.over_bass.chords == heard.own_bass.chords
    assert [str(p.chord) for p in heard.own_bass.chords.chords] == ["Fm7", "Bb9sus4", "Ebmaj7"]


WRITTEN = {
    ("C major", "backdoor dominant"): "Dm7 | Fm7/G Bb7/G | Cmaj7",
    ("Db major", "tritone substitute"): "Ebm7 | D7/Ab | Dbmaj7",
    ("F# major", "related ii of the tritone substitute"): "G#m7 | Dm7/C# C#7 | F#maj7",
    ("Bb minor", "side step"): "Dbm7b5/F Gb7/F | Cm7b5/F F7 | Bbm6",
}


@pytest.mark.parametrize(("place", "chords"), WRITTEN.items())
def test_slash_chords_over_the_original_bass_written_by_hand(place, chords):
    assert str(in_place(*place).over_bass.chords) == chords


def test_an_unknown_substitute_is_refused_with_the_names_there_are():
    with pytest.raises(TheoryError, match="no such substitute: 'front door'"):
        in_place("C", "front door")


RELATED = (
    "related ii of the tritone substitute",
    "ii-V of the tritone substitute",
    "major seventh chord a half step below I",
)


@together("key", KEYS, ids=str)
def test_the_natural_seven_of_the_related_ii_moves_by_a_half_step(key):
    """As chapter 7 says: it passes, because it moves up to the root of V or down to its b7."""
    leaning = (cadence_chords(key)[1].root.semitone + 11) % 12
    for name in RELATED:
        line = in_place(key, name).over_bass.line
        found = [
            after.pitch.midi - note.pitch.midi
            for note, after in pairwise(line.notes)
            if note.pitch.midi % 12 == leaning and note.start >= 4
        ]
        assert found, name
        assert set(found) <= {1, -1}, name
