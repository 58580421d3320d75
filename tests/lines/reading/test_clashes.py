"""A landing on a note that clashes with its chord: no praise, but something to try next.

Common practice: over I a minor third clashes with the major one, a flat nine with the root, a
fourth with the third, unless the note leans on a chord tone a half step away.
"""

from together import together

from theorykit.lines.reading import read_line
from theorykit.lines.text import Line
from theorykit.notes.key import KEYS
from theorykit.notes.reader import READERS
from theorykit.tunes.progression import two_five_one

OVER_V = {
    "major": "8th F4 A4 C5 rest B4 Ab4 G4 F4 | ",
    "minor": "8th F4 Ab4 C5 rest B4 Ab4 G4 F4 | ",
}


def reading(landing, key="C", reader=READERS[0]):
    """What is read in a line that lands on I of C, moved to a key and onto a page."""
    mode = "minor" if "minor" in str(key) else "major"
    over = two_five_one("C" if mode == "major" else "C minor", "short")
    line = Line.parse(f"{OVER_V[mode]}{landing}", over).transposed(key)
    return read_line(line.written_for(reader))


@together("key", KEYS, ids=str)
def test_a_wrong_third_on_the_first_beat_is_named_with_the_right_one(key):
    wrong = "E4 F4 Eb4" if key.is_minor else "Eb4 D4 E4"
    for reader in READERS:
        found = reading(f"8th {wrong} dotted quarter G4 quarter rest", key, reader)
        landed = found.line.notes[-4:]
        (told,) = (text for text in found.tries if "clashes with" in text)
        assert told.startswith(f"{landed[0].pitch.note.pretty} on beat 1 ")
        assert told.endswith(f": try {landed[2].pitch.note.pretty}, its {'♭' * key.is_minor}3rd.")
        i = found.line.progression.chords[-1].chord.pretty
        assert not [text for text in found.praise if f"of {i}, on beat 1" in text]
        assert not [text for text in found.praise if "every change" in text]


@together(
    ("landing", "tried"),
    [
        ("quarter C#4 A3 half G3", "C, its root"),  # a flat nine, left by a leap
        ("quarter F4 G4 half C4", "E, its 3rd"),
        ("quarter hold D4 half C4", "E, its 3rd"),  # F of V is held over I
        ("quarter Bb3 D4 half E4", "B, its 7th"),
        ("quarter Ab4 A4 half G4", "G, its 5th"),
    ],
)
def test_the_nearest_tone_is_proposed(landing, tried):
    (told,) = (text for text in reading(landing).tries if "clashes with" in text)
    assert told.endswith(f"try {tried}.")


@together(
    "landing",
    [
        "half E4 G4",
        "half D4 G4",  # the 9, 13 and #11 can stay
        "half A4 G4",
        "half F#4 G4",
        "8th D#4 E4 quarter G4 half C4",  # leans on the 3rd
        "quarter F4 E4 half C4",
        "quarter hold E4 half C4",
        "8th F4 D#4 quarter E4 half C4",  # closes in on it
        "8th rest D#4 D4 E4 half G4",  # off the beat
    ],
)
def test_what_can_stay_or_leads_to_a_tone_clashes_with_nothing(landing):
    found = reading(landing)
    assert not found.changes[-1].clashes
    assert not [text for text in found.tries if "clashes" in text]


def test_a_suspended_v_is_no_clash():
    line = Line.parse("half A4 C5 | hold D5 | whole E5", two_five_one("C"))
    assert not read_line(line).changes[0].clashes
