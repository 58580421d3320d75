"""The altered notes of a dominant in what was played: by the letters of its symbol, on each page.

Common practice: the b9 stands a letter above the root, so over B flat 7 it is C flat and never B;
where that letter would need two flats, a plain name is read.
"""

from fractions import Fraction

import pytest
from together import together

from theorykit import KEYS, two_five_one
from theorykit.lines.taking import spelled_pitches
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.note import LETTERS, NATURAL_SEMITONES
from theorykit.notes.reader import READERS
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Progression

IN_E_FLAT = "8th Ab3 C4 Eb4 rest D4 Cb4 {} Ab3 | G3 F3 G3 dotted quarter Bb3 quarter rest"
PHRASES = {
    "whole": IN_E_FLAT.format("Bb3"),
    "a note left out": IN_E_FLAT.format("rest"),
    "b13 as well": "8th rest Ab4 F4 rest D5 Cb5 Bb4 Gb4 | whole F4",
}
MAJOR = [key for key in KEYS if key.mode == "major"]


def heard(line: Line, over: Progression, steps: int = 0) -> Line:
    """A line as its sounds alone are named over some chords."""
    midis = [note.pitch.midi + steps for note in line.notes]
    pitches = spelled_pitches(midis, [note.start for note in line.notes], over)
    notes = zip(pitches, line.notes, strict=True)
    return Line(over, tuple(TimedNote(pitch, one.start, one.beats) for pitch, one in notes))


def played(text: str, bars: str, key: str = "C") -> Line:
    """A line over some bars, named by its sounds alone."""
    over = Chart.of(key, *bars.split(" | ")).progression
    return heard(Line.parse(text, over), over)


def letters(line: Line) -> str:
    """The names of its notes."""
    return " ".join(str(note.pitch.note) for note in line.notes)


@pytest.mark.parametrize("phrase", PHRASES)
@pytest.mark.parametrize("key", MAJOR, ids=str)
def test_the_flat_nine_has_the_letter_above_the_root_on_every_page(key, phrase):
    model = Line.parse(PHRASES[phrase], two_five_one("Eb", "short"))
    steps = (key.tonic.semitone - 3 + 6) % 12 - 6
    line = heard(model, two_five_one(key, "short"), steps)
    for reader in READERS:
        page = line.written_for(reader)
        root = page.progression.chords[1].chord.root
        nines = [n.pitch.note for n in page.notes if n.pitch.midi % 12 == (root.semitone + 1) % 12]
        step = (LETTERS.index(root.letter) + 1) % 7
        flats = (root.semitone + 1 - NATURAL_SEMITONES[step] + 6) % 12 - 6
        for nine in nines:
            if flats > -2:
                assert nine.letter == LETTERS[step], (str(key), reader.name, page.text)
            else:
                assert not nine.alteration, (str(key), reader.name, page.text)
        assert nines


@pytest.mark.parametrize("phrase", PHRASES)
def test_a_page_has_the_names_that_its_reader_gets_when_it_is_played_at_concert_pitch(phrase):
    model = Line.parse(PHRASES[phrase], two_five_one("Eb", "short"))
    for key in MAJOR:
        line = heard(model, two_five_one(key, "short"), (key.tonic.semitone - 3 + 6) % 12 - 6)
        for reader in READERS:
            page = line.written_for(reader)
            again = heard(page, page.progression)
            assert page.text == again.text, (str(key), reader.name)


@together(
    ("text", "bars", "names", "for_tenor"),
    [
        # G sharp beside A over Dm7, A flat over G7: a bar before, or half a bar
        (
            "8th A4 G#4 A4 rest half rest | 8th B4 Ab4 F4 Db4 half rest | whole C4",
            "Dm7 | G7 | Cmaj7",
            "A G# A B Ab F Db C",
            "B A# B C# Bb G Eb D",
        ),
        (
            "8th A4 G#4 A4 rest B4 Ab4 F4 D4 | whole E4",
            "Dm7 G7 | Cmaj7",
            "A G# A B Ab F D E",
            "B A# B C# Bb G E F#",
        ),
        # what rises through is sharp still
        ("8th G4 G#4 A4 B4 half D4 | whole E4", "G7 | Cmaj7", "G G# A B D E", "A A# B C# E F#"),
        # the D sharp of a step over Am7 is E flat over D7
        (
            "8th E4 D#4 E4 rest C5 A4 F#4 Eb4 | whole D4",
            "Am7 D7 | Gmaj7",
            "E D# E C A F# Eb D",
            "F# F F# D B G# F E",
        ),
    ],
)
def test_a_chord_decides_and_not_the_name_that_came_before(text, bars, names, for_tenor):
    line = played(text, bars)
    assert letters(line) == names
    assert letters(line.written_for("B flat")) == for_tenor


def test_in_a_tune_that_moves_a_plain_name_is_found_anew():
    """A stands for B double flat over A flat 7; a whole tone above the chord has C flat."""
    bars = "Fm7 Bb7 | Ebmaj7 | Bbm7 Eb7 | Abmaj7 | Ebm7 Ab7 | Dbmaj7"
    over = Chart.of("Db", *bars.split(" | ")).progression
    first = Line.parse(PHRASES["whole"], two_five_one("Eb", "short")).notes
    sounds = [
        (note.pitch.midi + steps, note.start + start, note.beats)
        for start, steps in ((0, 0), (8, 5), (16, -2))
        for note in first
    ]
    midis, starts = [one[0] for one in sounds], [Fraction(one[1]) for one in sounds]
    pitches = spelled_pitches(midis, starts, over)
    rows = zip(pitches, sounds, strict=True)
    line = Line(over, tuple(TimedNote(pitch, one[1], one[2]) for pitch, one in rows))
    assert letters(line).split()[-8:-4] == ["C", "A", "Ab", "Gb"]
    assert letters(line.written_for("B flat")).split()[-8:-4] == ["D", "Cb", "Bb", "Ab"]
