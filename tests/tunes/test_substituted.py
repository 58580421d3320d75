"""A ii-V-I with a substitute in the place of its V."""

import pytest
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.substitution import NAMES
from theorykit.lines.in_place import with_substitute
from theorykit.notes.key import KEYS
from theorykit.tunes.progression import two_five_one


@pytest.mark.parametrize(
    ("key", "name", "bars"),
    [
        ("C", "tritone substitute", "Dm7 | Db7 | Cmaj7"),
        ("Db", "tritone substitute", "Ebm7 | D7 | Dbmaj7"),
        ("F#", "ii-V of the tritone substitute", "G#m7 | Dm7 G7 | F#maj7"),
        ("Bb", "related ii of the tritone substitute", "Cm7 | F#m7 F7 | Bbmaj7"),
        ("Eb", "backdoor dominant", "Fm7 | Abm7 Db7 | Ebmaj7"),
        ("G", "chain of dominants", "B7 E7 | A7 D7 | Gmaj7"),
        ("A", "side step", "Cm7 F7 | Bm7 E7 | Amaj7"),
        ("D minor", "suspended version", "Em7b5 | A7sus4b9 | Dm6"),
        ("F", "leading-note diminished chord", "Gm7 | Edim7 | Fmaj7"),
    ],
)
def test_the_bars_are_those_a_musician_would_write(key, name, bars):
    assert str(with_substitute(key, name)) == bars


@together("key", KEYS, ids=str)
def test_the_related_ii_makes_a_split_form(key):
    assert with_substitute(key, "related ii") == two_five_one(key, "split")


@together("name", NAMES)
def test_it_lasts_as_long_as_the_plain_one(name):
    for key in KEYS:
        made = with_substitute(key, name)
        assert made.beats == two_five_one(key).beats
        assert made.chords[-1].chord == two_five_one(key).chords[-1].chord


def test_an_unknown_substitute_is_refused():
    with pytest.raises(TheoryError, match="no such substitute"):
        with_substitute("C", "front door")
