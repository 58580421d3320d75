"""Guide-tone lines and their decoration."""

from itertools import pairwise, product

import pytest
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.colours import COLOURS
from theorykit.lines.chord_scale import COLOUR_SCALES, chord_scale
from theorykit.lines.decoration import DECORATIONS, decorated
from theorykit.lines.guide_tones import guide_tone_lines, guide_tones
from theorykit.lines.placed import merged_chords
from theorykit.notes.chord import Chord
from theorykit.notes.degree import degrees
from theorykit.notes.key import KEYS, Key
from theorykit.notes.note import Pitch
from theorykit.tunes.progression import FORMS, Bar, Progression, two_five_one


def names(line):
    return " ".join(str(note.pitch.note) for note in line.notes)


# The guide tones of ii-V-I as the handbooks lead them: 3-7-3 and 7-3-7, by half step or held
# (Ligon, *Connecting Chords with Linear Harmony*, and Levine, *The Jazz Theory Book*, from memory).
@pytest.mark.parametrize(
    ("key", "first", "second"),
    [
        ("C", "F F E", "C B B"),
        ("Bb", "Eb Eb D", "Bb A A"),
        ("Gb", "Cb Cb Bb", "Gb F F"),
        ("E", "A A G#", "E D# D#"),
        ("C minor", "F F Eb", "C B A"),
        ("F# minor", "B B A", "F# E# D#"),
    ],
)
def test_thirds_and_sevenths_lead_to_each_other(key, first, second):
    lines = guide_tone_lines(two_five_one(key), longest=4)
    assert [names(line) for line in lines] == [first, second]


@pytest.mark.parametrize(
    ("chord", "pair"),
    [("Dm7", "F C"), ("G7sus4", "C F"), ("C6", "E A"), ("C", "E C"), ("Bdim7", "D Ab")],
)
def test_what_stands_for_third_and_seventh(chord, pair):
    assert " ".join(map(str, guide_tones(Chord.parse(chord)))) == pair


@together("key", KEYS, ids=str)
@together("form", FORMS)
def test_both_tones_sound_over_every_chord_in_half_notes(key, form):
    over = two_five_one(key, form)
    lines = guide_tone_lines(over)
    assert all(note.beats <= 2 for line in lines for note in line.notes)
    for chord in merged_chords(over):
        sounding = {
            note.pitch.note
            for line in lines
            for note in line.notes
            if chord.start <= note.start < chord.end
        }
        assert sounding == set(guide_tones(chord.chord))
    assert all(line.notes[-1].end == over.beats for line in lines)


def test_no_other_leading_moves_less():
    """Every way to share the tones between two voices, counted out by hand for a turnaround."""
    chords = "Em7 A7 Dm7 G7 Cmaj7".split()
    over = Progression(Key.parse("C"), tuple(Bar.even(chord) for chord in chords))
    lines = guide_tone_lines(over, longest=4)
    found = sum(abs(a.pitch.midi - b.pitch.midi) for line in lines for a, b in pairwise(line.notes))
    pairs = [[note.semitone for note in guide_tones(Chord.parse(c))] for c in chords]
    moves = []
    for swaps in product((0, 1), repeat=len(chords)):
        voices = [(pair[swap], pair[1 - swap]) for pair, swap in zip(pairs, swaps, strict=True)]
        moves.append(
            sum(
                min((a - b) % 12, (b - a) % 12)
                for one, other in pairwise(voices)
                for a, b in zip(one, other, strict=True)
            )
        )
    assert found == min(moves)


def test_a_long_chart_stays_in_range():
    bars = [bar for key in KEYS[:15] for bar in two_five_one(key.tonic.__str__()).bars]
    for line in guide_tone_lines(Progression(Key.parse("C"), tuple(bars)), "b9"):
        pitches = [note.pitch.midi for note in line.notes]
        assert Pitch.parse("A3").midi <= min(pitches)
        assert max(pitches) <= Pitch.parse("F5").midi


# Common practice: the b9 comes from the 5th of ii and falls to the 5th of I, the 13 is the 9 of ii
# and falls to the 9 or stays as the 3rd of I, the b13 falls to the 9 or rises to the 3rd.
@pytest.mark.parametrize(
    ("key", "colour", "third"),
    [
        ("C", "b9", "A Ab G"),
        ("Db", "b9", "Bb Bbb Ab"),
        ("C", "b9 13", "A Ab G"),
        ("C minor", "b9 b13", "Ab Ab G"),
        ("G", "9 #11 13", "E E D"),
    ],
)
def test_a_third_line_brings_the_colour(key, colour, third):
    assert names(guide_tone_lines(two_five_one(key), colour, longest=4)[2]) == third


def test_a_colour_without_tensions_brings_no_third_line():
    assert len(guide_tone_lines(two_five_one("C"))) == 2
    assert all(len(guide_tone_lines(two_five_one("C"), row)) == 3 for row in COLOURS)


def test_silence_has_no_guide_tones():
    over = Progression(Key.parse("C"), (Bar.even("N.C."), Bar.even("G7"), Bar.even("N.C.")))
    assert [line.notes[0].start for line in guide_tone_lines(over, longest=4)] == [4, 4]
    empty = Progression(Key.parse("C"), (Bar.even("N.C."),))
    assert [line.notes for line in guide_tone_lines(empty)] == [(), ()]


@pytest.mark.parametrize(
    ("wrong", "match"),
    [
        ({"lowest": "C4", "highest": "G4"}, "too narrow"),
        ({"longest": 0}, "not a length"),
        ({"colour": "blue"}, "no such colour"),
    ],
)
def test_what_cannot_be_is_refused(wrong, match):
    with pytest.raises(TheoryError, match=match):
        guide_tone_lines(two_five_one("C"), **wrong)


def test_what_is_no_progression_is_refused():
    with pytest.raises(TheoryError, match="not a progression"):
        guide_tone_lines("Dm7 G7")


@together("how", DECORATIONS)
@together("key", KEYS, ids=str)
def test_a_decorated_line_keeps_its_guide_tones_and_lands_by_step(how, key):
    for plain in guide_tone_lines(two_five_one(key), "b9"):
        rich = decorated(plain, how, "b9")
        kept = {(note.pitch, note.start) for note in rich.notes}
        assert {(note.pitch, note.start) for note in plain.notes} <= kept
        assert len(rich.notes) > 2 * len(plain.notes)
        for a, b in pairwise(rich.notes):
            assert a.end == b.start
        arrivals = [
            (a.pitch.midi, b.pitch.midi)
            for a, b in pairwise(rich.notes)
            if b.start in {note.start for note in plain.notes}
        ]
        assert how == "neighbour" or all(abs(a - b) <= 3 for a, b in arrivals)


def test_figures_in_c():
    """A neighbour, an enclosure and a run into the 3rd of C, written out by hand."""
    line = guide_tone_lines(two_five_one("C", "short"), longest=4)[0]
    ends = {how: decorated(line, how).text.split(" | ")[0].split("8th")[-1] for how in DECORATIONS}
    assert ends["neighbour"].split() == ["G4", "F4"]
    assert ends["enclosure"].split() == ["F4", "D#4"]
    assert ends["scale run"].split()[-3:] == ["A4", "G4", "F4"]


def test_a_wrong_decoration_is_refused():
    line = guide_tone_lines(two_five_one("C"))[0]
    with pytest.raises(TheoryError, match="no such decoration"):
        decorated(line, "trill")


# Chord and scale chart of Sabatella, *A Jazz Improvisation Primer*, undated.
@pytest.mark.parametrize(
    ("chord", "key", "scale"),
    [
        ("Dm7", "C", "1 9 b3 11 5 13 b7"),  # dorian
        ("G7", "C", "1 9 3 11 5 13 b7"),  # mixolydian
        ("Fmaj7", "C", "1 9 3 #11 5 13 7"),  # lydian
        ("Cm6", "C minor", "1 9 b3 11 5 6 7"),  # melodic minor
        ("Dm7b5", "C minor", "1 b9 b3 11 b5 b13 b7"),  # locrian
        ("G7#11", "C", "1 9 3 #11 5 13 b7"),  # lydian dominant
        ("G7alt", "C", "1 b9 #9 3 #11 b13 b7"),  # altered
        ("G13b9", "C", "1 b9 #9 3 #11 5 13 b7"),  # half-whole
        ("Db7", "C", "1 9 3 #11 5 13 b7"),  # the substitute is lydian dominant
        ("Bdim7", "C", "1 9 b3 11 b5 b13 bb7 7"),  # whole-half
        ("G7sus4", "C", "1 9 4 5 13 b7"),
    ],
)
def test_the_scale_of_a_chord(chord, key, scale):
    assert chord_scale(Chord.parse(chord), Key.parse(key)) == degrees(scale)


@together("row", COLOURS, ids=str)
@together("minor", [False, True])
def test_the_scale_of_a_colour_holds_the_colour(row, minor):
    found = chord_scale(Chord.parse("G7"), Key.parse("C"), row, minor=minor)
    assert set(row.degrees) <= set(found)
    assert [d.semitone for d in found] == sorted({d.semitone for d in found})
    assert set(COLOUR_SCALES) <= {one.name for one in COLOURS}
