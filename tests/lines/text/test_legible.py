"""Names for the eye, checked against names written by hand."""

from __future__ import annotations

import pytest

from theorykit.lines.text import Line
from theorykit.notes.degree import AWKWARD
from theorykit.notes.key import Key
from theorykit.tunes.charts import Chart


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
        # A raised 9 or 11 that falls is a flat, also where the symbol writes a sharp.
        (
            "F",
            "A7#9b13 | Dm",
            "quarter C#5 B#4 A4 F4 | whole D4",
            "quarter C#5 C5 A4 F4 | whole D4",
        ),
        (
            "Bb",
            "D7#9b13 | Gm",
            "quarter F#5 E#5 D5 Bb4 | whole G4",
            "quarter F#5 F5 D5 Bb4 | whole G4",
        ),
        (
            "Ab",
            "Eb7#9b13 | Ab",
            "quarter G5 F#5 Eb5 Cb5 | whole Bb4",
            "quarter G5 Gb5 Eb5 Cb5 | whole Bb4",
        ),
        ("G minor", "D7b9#11 | Gm", "half Eb5 G#4 | whole G4", "half Eb5 Ab4 | whole G4"),
        # A fourth looks like a fourth, before a b9 by its letter.
        ("Eb", "Bb7b9#11 | Eb", "half Cb5 E5 | whole Eb5", "half B4 E5 | whole Eb5"),
        ("Db", "Eb7b9#11 | Ab", "half Fb4 A4 | whole Ab4", "half E4 A4 | whole Ab4"),
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
