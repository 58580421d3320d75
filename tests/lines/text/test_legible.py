"""Names for the eye, checked against names written by hand."""

from __future__ import annotations

import pytest

from theorykit.lines.text import Line
from theorykit.notes.degree import AWKWARD
from theorykit.notes.key import Key
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import two_five_one


def line(key: str, bars: str, text: str) -> Line:
    """A line over bars in a key."""
    return Line.parse(text, Chart.of(key, *bars.split(" | ")).progression)


@pytest.mark.parametrize(
    ("key", "bars", "before", "after"),
    [
        # The b9 of A flat 7 is B double flat; the page says A.
        ("Db", "Ab7 | Db", "half Bbb4 Cb5 | whole Db5", "half A4 B4 | whole Db5"),
        # C flat belongs to the key of G flat, E double flat to no key.
        ("Gb", "Db7 | Gb", "half Cb5 Ebb5 | whole Db5", "half Cb5 D5 | whole Db5"),
        # The 3rd of C sharp 7 stays E sharp: the symbol speaks of it.
        ("F# minor", "C#7 | F#m", "half E#4 F##4 | whole F#4", "half E#4 G4 | whole F#4"),
        # So does the b9 where the symbol says b9, and not where it does not.
        ("Eb", "Bb7b9 | Eb", "half Cb5 Cb5 | whole Bb4", "half Cb5 Cb5 | whole Bb4"),
        ("Eb", "Bb7 | Eb", "half Cb5 Cb5 | whole Bb4", "half B4 B4 | whole Bb4"),
    ],
)
def test_names_for_the_eye(key, bars, before, after):
    assert line(key, bars, before).readable.text == after


def test_no_sound_is_changed_and_no_double_accidental_left():
    for key in ("Db", "Gb", "B", "C# minor", "Eb minor"):
        home = Key.parse(key)
        text = " ".join(f"{name}4" for name in ("Bbb", "Ebb", "F##", "C##", "Fb", "B#", "E#", "Cb"))
        found = line(key, "C7 | C", f"8th {text}")
        seen = found.readable
        assert [n.pitch.midi for n in seen.notes] == [n.pitch.midi for n in found.notes]
        for note in seen.notes:
            name = note.pitch.note
            assert abs(name.alteration) < 2
            assert name not in AWKWARD or name in home.notes


# What a copyist writes for another key (common practice). The name that a note gave up for the eye
# is taken up again where the page can hold it: B double flat as G flat, F double sharp as E.
@pytest.mark.parametrize(
    ("key", "text", "reader", "written"),
    [
        (
            "Db",
            "half F4 8th C5 A4 Gb4 Eb4 | whole F4",
            "E flat",
            "half D5 8th A5 Gb5 Eb5 C5 | whole D5",
        ),
        ("Db", "half F4 8th C5 A4 Gb4 Eb4 | whole F4", "F", "half C5 8th G5 E5 Db5 Bb4 | whole C5"),
        (
            "G# minor",
            "half E5 8th E5 D5 F5 G5 | whole G#5",
            "E flat",
            "half Db6 8th Db6 Cb6 D6 E6 | whole F6",
        ),
        (
            "G# minor",
            "half E5 8th E5 D5 F5 G5 | whole G#5",
            "F",
            "half Cb6 8th Cb6 A5 C6 D6 | whole Eb6",
        ),
        (
            "C",
            "half D5 8th B4 Ab4 G4 F#4 | whole G4",
            "E flat",
            "half B5 8th G#5 F5 E5 D#5 | whole E5",
        ),
    ],
)
def test_a_name_that_was_given_up_is_taken_up_again(key, text, reader, written):
    over = two_five_one(key, "short")
    assert Line.parse(text, over).written_for(reader).text == written
