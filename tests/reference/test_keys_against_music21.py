"""The thirty keys against music21's key signatures. Source: music21 (BSD), `key`, version 10."""

import pytest
from music21 import chord as chord21, key as key21
from outside import as_music21, from_music21

from theorykit import KEYS, Key


def theirs(key: Key):
    """The same key in music21, where a minor tonic is a small letter."""
    tonic = as_music21(str(key.tonic))
    return key21.Key(tonic.lower() if key.is_minor else tonic)


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_the_signature_and_the_notes_are_the_same(key: Key):
    other = theirs(key)
    assert key.fifths == other.sharps
    assert list(map(str, key.notes)) == from_music21(other.pitches)[:7]
    altered = {str(note) for note in key.notes if note.alteration}
    assert altered == set(from_music21(other.alteredPitches))


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_relative_and_parallel_keys_are_where_music21_finds_them(key: Key):
    relative = theirs(key).relative
    found = next(k for k in KEYS if k.fifths == key.fifths and k.is_minor != key.is_minor)
    assert str(found.tonic) == from_music21([relative.tonic])[0]


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_the_sevenths_are_of_the_quality_that_music21_hears(key: Key):
    names = {
        "major seventh chord": "maj7",
        "minor seventh chord": "m7",
        "dominant seventh chord": "7",
        "half-diminished seventh chord": "m7b5",
    }
    for row in key.sevenths:
        heard = chord21.Chord([as_music21(str(note)) for note in row.chord.notes])
        assert names[heard.commonName] == row.chord.kind.symbol
