"""The same sounds over other chords."""

import pytest
from together import together

from theorykit.errors import TheoryError
from theorykit.lines.demonstration import demonstration
from theorykit.lines.excerpts import over_chords
from theorykit.lines.in_place import with_substitute
from theorykit.notes.key import KEYS
from theorykit.tunes.progression import two_five_one


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("C", "half F5 C5 | Cb5 8th Db5 Cb5 Ab4 F4 | whole E4"),
        ("Db", "half Gb5 Db5 | C5 8th D5 C5 A4 F#4 | whole F4"),
        ("A", "half D5 A4 | Ab4 8th Bb4 Ab4 F4 D4 | whole C#4"),
    ],
)
def test_a_note_is_named_by_what_it_is_over_the_substitute(key, text):
    line = demonstration(key, "long", "tritone substitute")
    assert over_chords(line, with_substitute(key, "tritone substitute")).text == text


@together("key", KEYS, ids=str)
def test_the_sounds_stay(key):
    line = demonstration(key, "long", "tritone substitute")
    moved = over_chords(line, with_substitute(key, "tritone substitute"))
    assert [n.pitch.midi for n in moved.notes] == [n.pitch.midi for n in line.notes]
    assert all(abs(n.pitch.note.alteration) < 3 for n in moved.notes)


def test_chords_of_another_length_are_refused():
    with pytest.raises(TheoryError, match="want the same length"):
        over_chords(demonstration("C"), two_five_one("C", "short"))
