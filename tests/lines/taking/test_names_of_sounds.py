"""Names of played notes, which came as numbers: by hand, as a player writes them."""

from fractions import Fraction

import pytest
from together import together

from theorykit import KEYS
from theorykit.lines.taking import spelled_pitches
from theorykit.notes.degree import Degree, above
from theorykit.notes.note import Pitch
from theorykit.tunes.charts import Chart

BEATS = Fraction(1, 2)


def named(key: str, bars: str, notes: str) -> str:
    """The names that eighths over some bars are given, told by their sounds alone."""
    over = Chart.of(key, *bars.split(" | ")).progression
    midis = [Pitch.parse(name).midi for name in notes.split()]
    found = spelled_pitches(midis, [BEATS * n for n in range(len(midis))], over)
    return " ".join(str(pitch.note) for pitch in found)


# The leading note, in the chords that hold it and beside the tonic (common practice). Where it is a
# double sharp a line is read by the plain name.
@together(
    ("key", "bars", "notes", "names"),
    [
        ("F# minor", "F#m6", "F#4 F4 F#4 G#4 A4 F4 F#4 C#5", "F# E# F# G# A E# F# C#"),
        ("F# minor", "C#7 | F#m", "C#5 B4 G#4 F4 F#4", "C# B G# E# F#"),
        ("F# minor", "F#m6", "A4 G#4 F#4 F4 E4 D#4", "A G# F# E# E D#"),
        ("C# minor", "C#m6", "C#4 C4 C#4 G#4", "C# B# C# G#"),
        ("C# minor", "G#7 | C#m", "D#5 A4 F#4 C4 C#4", "D# A F# B# C#"),
        ("G# minor", "G#m6", "G#4 G4 G#4 B4", "G# G G# B"),
        ("G minor", "Gm6", "G4 F#4 G4 Bb4", "G F# G Bb"),
    ],
)
def test_the_leading_note_of_minor_leads(key, bars, notes, names):
    assert named(key, bars, notes) == names


# A step over the fourth of the key is sharp unless it falls by a half step (common practice).
@together(
    ("key", "bars", "notes", "names"),
    [
        ("C", "C", "F4 F#4", "F F#"),
        ("C", "Cmaj7", "C4 E4 F4 F#4 C5 G4 E4 C4", "C E F F# C G E C"),
        ("C", "Dm7 | G7", "F4 F#4 G4 C5", "F F# G C"),
        ("C", "C6", "G4 F#4 F4 E4", "G Gb F E"),
        ("C minor", "Cm6", "F4 F#4", "F F#"),
        ("A minor", "Am6", "D4 D#4 C4 D#4", "D D# C D#"),
        ("G", "D7", "F4 F#4 A4 C5", "F F# A C"),  # a blue third
        ("D", "A7", "C5 C#5 E5 A5", "C C# E A"),
    ],
)
def test_steps_between_the_notes_of_a_key_are_those_of_the_key(key, bars, notes, names):
    assert named(key, bars, notes) == names


@pytest.mark.parametrize("mode", ["major", "minor"])
def test_a_raised_fourth_that_ends_a_line_has_the_letter_of_the_fourth(mode):
    """F, F sharp in C: not the G flat of G flat (common practice); but no E sharp nor double."""
    tried = 0
    for key in (key for key in KEYS if key.mode == mode):
        fourth, raised = (above(key.tonic, Degree(4, step)) for step in (0, 1))
        if abs(raised.alteration) > 1 or str(raised) in ("E#", "B#"):
            continue
        tried += 1
        low = Pitch(fourth, 4)
        over = Chart.of(str(key), f"{key.tonic}{'m6' * key.is_minor}").progression
        found = spelled_pitches([low.midi, low.midi + 1], [BEATS * 0, BEATS], over)
        assert [pitch.note for pitch in found] == [fourth, raised], str(key)
    assert tried > 8
