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
