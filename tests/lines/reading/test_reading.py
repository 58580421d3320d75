"""Reading a line: roles, colours, landings, words."""

from fractions import Fraction

import pytest
from hypothesis import given, settings, strategies as st
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.chord_families import FAMILIES, standings
from theorykit.harmony.colours import COLOURS
from theorykit.lines.placed import placed_notes
from theorykit.lines.reading import read_line
from theorykit.lines.reading.line_reading import _praise
from theorykit.lines.reading.roles import ROLES
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.degree import above
from theorykit.notes.key import KEYS, Key
from theorykit.notes.note import LETTERS, Note, Pitch
from theorykit.tunes.progression import FORMS, Bar, Progression, two_five_one

LONG = two_five_one("C")
SHORT = two_five_one("C", "short")


def reading(text, over=LONG):
    return read_line(Line.parse(text, over))


def role_of(text, place, over=LONG):
    return reading(text, over).notes[place].role


# Examples of each figure as handbooks of jazz melody show them, in C: Ligon, *Connecting Chords
# with Linear Harmony*, and Coker, *Elements of the Jazz Language* (both from memory).
@together(
    ("text", "place", "role"),
    [
        ("8th F5 E5 D5 C5 half B4", 1, "passing"),  # the 9 between 3 and 1
        ("8th F5 E5 D5 C5 half B4", 3, "chord tone"),  # the 7th
        ("8th D5 E5 F5 G5 quarter A5 rest", 3, "passing"),  # the 11 between 3 and 5
        ("8th D5 C#5 D5 F5 half A5", 1, "neighbour"),
        ("8th A5 E5 F5 Ab5 half A5", 3, "chromatic approach"),
        ("8th D5 C5 half B4 8th Bb4 A4", 3, "passing"),
        ("8th D5 F5 G5 E5 half F5", 2, "enclosure"),
        ("8th D5 F5 G5 E5 half F5", 3, "enclosure"),
        ("quarter F5 E5 half D5", 1, "tension"),
        ("half A5 E5", 1, "tension"),
        ("quarter D5 F#5 half B4", 1, "outside"),
        ("dotted half D5 8th C5 B4 | 8th B4 dotted half G4 8th F4", 2, "anticipation"),
        ("dotted half D5 8th C5 B4 | half hold G4", 2, "anticipation"),
    ],
)
def test_a_figure_of_the_handbooks_is_named(text, place, role):
    assert role_of(text, place) == role


def test_an_enclosure_may_close_in_on_the_next_chord():
    found = reading("half D4 8th F4 A4 C5 Bb4 | half B4 8th G4 F4 F4 D#4 | whole E4").notes
    assert [n.role for n in found[3:6]] == ["chord tone", "enclosure", "chord tone"]
    assert found[-2].words == "closes in with F on E, the 3rd of Cmaj7"


def test_the_beat_decides_between_a_tension_and_a_passing_note():
    assert role_of("quarter F5 E5 D5 C5", 1) == "tension"
    assert role_of("8th F5 E5 D5 C5 half A4", 1) == "passing"


def test_the_flat_nine_is_an_alteration_where_it_resolves_and_passes_where_it_slides():
    assert role_of("half F5 8th B4 Ab4 F4 Ab4 | whole G4", 2, SHORT) == "alteration"
    assert role_of("half F5 8th B4 A4 Ab4 G4 | whole E4", 3, SHORT) == "alteration"


# The three outlines that Ligon finds in most lines over ii-V-I lead the 7th of ii to the 3rd of V
# and the 7th of V to the 3rd of I by half step (from memory).
@pytest.mark.parametrize(
    "outline",
    [
        "8th F5 E5 D5 C5 B4 A4 G4 F4 | whole E4",
        "8th D5 F5 A5 C6 B5 A5 G5 F5 | whole E5",
        "8th A5 F5 D5 C5 B4 D5 G4 F4 | whole E4",
    ],
)
def test_the_outlines_land_on_thirds_by_half_step(outline):
    found = reading(outline, SHORT)
    assert [(str(c.degree), c.semitones) for c in found.changes] == [("3", -1), ("3", -1)]
    assert all(c.meets and not c.held for c in found.changes)
    assert found.misses == ()


@together("row", COLOURS, ids=str)
@together("root", ["G", "Db", "F#"])
def test_a_line_through_the_notes_of_a_colour_spells_it(row, root):
    """Played as quarters or eighths in order, each colour of the table is told exactly."""
    over = Progression(
        Key.parse("C"), (Bar.of((f"{root}7", 8)), Bar.even(Chord.parse(root + "7").on(Note("C"))))
    )
    notes = [above(Note.parse(root), degree) for degree in row.degrees]
    line = Line(
        over,
        tuple(
            TimedNote(Pitch.at_or_above(note, 60), Fraction(place), Fraction(1))
            for place, note in enumerate(notes)
        ),
    )
    found = read_line(line).dominants[0]
    assert found.is_exact
    assert set(found.colour.tensions) == set(row.tensions)
    assert found.shortcut is not None


def test_a_colour_that_lacks_one_note_is_nearly_spelled():
    found = reading("half F5 8th Eb5 B4 Db5 Ab4 | whole G4", SHORT).dominants[0]
    assert not found.is_exact
    assert len(found.missing) + len(found.extra) == 1


def test_the_notes_of_the_key_are_no_colour():
    found = reading("half F5 8th B4 A4 E5 D5 | whole E5", SHORT).dominants[0]
    assert found.colour is None
    assert found.words.endswith("no colour is added")


def test_a_natural_seventh_belongs_to_the_related_ii_and_is_not_outside():
    found = reading("half F5 8th Eb5 Bb4 F#4 B4 | whole C5", SHORT)
    assert found.dominants[0].colour.name == "its related ii"
    assert [n.role for n in found.notes][3] == "alteration"


def test_a_change_that_no_tone_meets_is_a_miss_with_a_proposal():
    found = reading("quarter D5 F5 A5 C5 | A4 A4 A4 A4 | whole C5")
    assert [str(c.chord.chord) for c in found.misses] == ["G7"]
    assert found.tries[0] == (
        "No tone of G7 comes within a beat of the change: C falls a half step to B, its 3rd."
    )


def test_a_held_note_is_told_as_held():
    change = reading("whole D5 | hold | C5").changes[0]
    assert change.held
    assert change.words == "D is held into G7, where it is the 5th"


def test_measures_of_the_whole():
    shape = reading("8th D4 F4 A4 C5 quarter B4 rest | 8th D4 C5 quarter F5 half rest").whole
    assert (str(shape.lowest), str(shape.highest), shape.span) == ("D4", "F5", 15)
    assert (shape.steps, shape.skips, shape.leaps) == (1, 4, 1)
    assert shape.unanswered == (6,)
    assert shape.longest_run == 3


def test_a_leap_that_steps_back_is_answered():
    shape = reading("8th D4 C5 B4 A4 half G4").whole
    assert (shape.leaps, shape.unanswered) == (1, ())


def test_the_teacher_praises_first_and_asks_for_three_things_at_most():
    found = reading(
        "8th C5 C5 C5 C6 D6 C#6 quarter Bb5 | 8th G4 G5 quarter C#5 half Eb5 | half F5 F5"
    )
    assert found.words == found.praise + found.tries
    assert found.praise
    assert len(found.tries) == 3
    assert found.tries[0].startswith("F on beat 1 clashes with Cmaj7, ")


@pytest.mark.parametrize(
    ("outline", "place"),
    [
        ("8th F5 E5 D5 C5 B4 A4 G4 F4 | whole E4", "at"),
        ("quarter F5 dotted quarter D5 8th B4 G4 F4 | whole E4", "at"),  # D is held into V, its 5th
        ("8th F5 E5 D5 C5 Ab4 B4 G4 F4 | whole E4", "within a beat of"),
        ("8th F5 E5 D5 C5 rest B4 G4 F4 | whole E4", "within a beat of"),
    ],
)
def test_a_chord_tone_that_comes_late_is_not_said_to_sound_at_the_change(outline, place):
    said = [words for words in reading(outline, SHORT).praise if "every change" in words]
    assert said == [f"A chord tone sounds {place} every change."]


def test_a_good_line_is_praised_and_left_alone():
    found = reading("8th A4 C5 E5 G5 F5 D5 Eb5 C#5 | D5 C5 B4 A4 Ab4 F4 D4 B3 | half C4 rest")
    assert found.tries == ()
    assert any("B diminished seventh" in words for words in found.praise)


def test_no_chord_has_no_degrees():
    over = Progression(Key.parse("C"), (Bar.even("N.C."), Bar.even("Cmaj7")))
    note = reading("half C5 D5 | whole E5", over).notes[0]
    assert (note.degree, note.role, note.words) == (None, "", "")


def test_an_empty_line_is_asked_for_a_note():
    assert read_line(Line(LONG, ())).tries[0].startswith("Write a first note")


def test_what_is_no_line_is_refused():
    with pytest.raises(TheoryError, match="not a line"):
        read_line("8th C5")


def test_standing_has_a_row_for_every_family_and_keeps_the_chord():
    """Tensions by family as in Terefenko, *Jazz Theory*, ch. 5: #11 over major, 11 over minor."""
    assert standings(Chord.parse("Cmaj7").kind)[6] == "tension"
    assert standings(Chord.parse("Cmaj7").kind)[5] == "rub"
    assert standings(Chord.parse("Cm7").kind)[5] == "tension"
    assert standings(Chord.parse("Cm7b5").kind)[8] == "tension"
    assert len({row.name for row in FAMILIES}) == 10
    for symbol in ("7alt", "13b9", "m7b5", "dim7", "6/9", "7sus4", "maj7#5"):
        chord = Chord.parse(f"C{symbol}")
        stands = standings(chord.kind)
        assert all(stands[d.semitone] == "chord tone" for d in chord.degrees if d.number <= 7), (
            symbol
        )


@together("key", KEYS, ids=str)
@together("form", FORMS)
def test_another_key_changes_no_role(key, form):
    home = "C minor" if key.is_minor else "C"
    over = two_five_one(home, form)
    line = Line.parse("pickup 8th D4 | 8th F4 E4 D4 C4 B3 Ab3 D4 F4 | quarter D4 Eb4 half E4", over)
    here, there = read_line(line), read_line(line.transposed(key))
    assert [n.role for n in here.notes] == [n.role for n in there.notes]
    assert [n.degree for n in here.notes] == [n.degree for n in there.notes]
    assert [d.colour for d in here.dominants] == [d.colour for d in there.dominants]


@st.composite
def any_line(draw):
    over = two_five_one(draw(st.sampled_from(KEYS)), draw(st.sampled_from(FORMS)))
    starts = sorted(draw(st.sets(st.integers(-3, int(over.beats * 2) - 1), max_size=16)))
    pitches = [
        Pitch(
            Note(draw(st.sampled_from(LETTERS)), draw(st.integers(-2, 2))),
            draw(st.integers(2, 6)),
        )
        for _ in starts
    ]
    half = Fraction(1, 2)
    return Line(
        over,
        tuple(TimedNote(p, s * half, half) for p, s in zip(pitches, starts, strict=True)),
    )


@given(any_line())
@settings(max_examples=60)
def test_every_line_can_be_read(line):
    found = read_line(line)
    assert len(found.notes) == len(line.notes)
    for note in found.notes:
        assert note.role in ROLES
        root = note.chord.root.semitone
        assert (root + note.degree.semitone - note.note.pitch.midi) % 12 == 0
    assert len(found.tries) <= 3
    for sentence in found.words:
        assert sentence[-1] == "."
        assert "None" not in sentence


def test_an_outside_note_that_goes_on_by_step_is_not_told_that_no_step_leads_it_on():
    found = reading(
        "8th F5 Bb4 G4 E4 Eb4 Db4 Ab4 Gb4 | half F4 rest", two_five_one("F minor", "short")
    )
    assert found.notes[3].role == "outside"
    assert found.notes[3].words == ("stands outside Gm7♭5 and leads to E♭, which is no chord tone")
    alone = reading("quarter F5 C#5 A4 F4", LONG)
    assert alone.notes[1].words == "stands outside Dm7 and no step leads it on"


@pytest.mark.parametrize(
    ("text", "praised"),
    [
        ("pickup 8th E4 | F4 A4 C5 E5 D5 B4 Ab4 F4 | whole E4", "The line begins with a pickup."),
        (
            "8th rest F4 A4 C5 B4 Ab4 F4 D4 | whole E4",
            "The line begins off the beat, on the and of 1.",
        ),
        (
            "quarter rest 8th F4 A4 quarter B4 rest | 8th C5 E5 quarter G5 half rest",
            "The line begins after a rest and leaves a rest to breathe.",
        ),
    ],
)
def test_timing_is_praised(text, praised):
    line = Line.parse(text, two_five_one("C", "short"))
    assert praised in tuple(map(str, praise_of(line)))


def praise_of(line):
    """All that is praised, the less telling too."""
    reading = read_line(line)
    return [text[:1].upper() + text[1:] + "." for text in _praise(reading, placed_notes(line))]


def test_a_note_that_comes_again_by_accident_and_rigid_eighths_are_told():
    over = two_five_one("C")
    text = "8th F4 A4 C5 C5 D5 C5 A4 F4 | F4 G4 B4 D5 F5 D5 B4 Ab4 | G4 A4 B4 C5 D5 B4 A4 G4"
    tries = read_line(Line.parse(text, over)).tries
    assert "C comes again at once: let it move on, or hold it." in tries
    even = "All notes up to the last are eighths from beat 1 on: begin off the beat or with a "
    assert any(text.startswith(even) for text in tries)
    free = text.replace("8th F4 A4 C5", "8th rest A4 C5", 1)
    assert not any(t.startswith(even) for t in read_line(Line.parse(free, over)).tries)
