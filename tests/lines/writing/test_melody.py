"""The shape of written lines, counted by hand: leaps, first notes, rests, ends, sung lines."""

from collections import Counter
from fractions import Fraction
from itertools import pairwise

import pytest
from sweeps import swept

from theorykit.errors import TheoryError
from theorykit.harmony.colours import COLOURS, colour
from theorykit.lines.chord_palette import palettes
from theorykit.lines.placed import is_triad
from theorykit.lines.text import Line
from theorykit.lines.writing import DENSITIES, ENDINGS, Wishes, write_lines
from theorykit.lines.writing.melody import hard_to_sing, turns_on_the_spot
from theorykit.notes.key import Key
from theorykit.notes.reader import READERS
from theorykit.tunes.progression import FORMS, Bar, Progression, two_five_one

EIGHTH, BEAT = Fraction(1, 2), Fraction(1)
KEYS = ("C", "Db", "F#", "A", "Eb", "Bb minor", "C# minor", "D minor")
EVERY = [
    (KEYS[(3 * at + place) % len(KEYS)], form, row)
    for at, row in enumerate((None, *COLOURS))
    for place, form in enumerate(FORMS)
]


def suits(key, row):
    """Whether a colour suits the mode of a key."""
    return row is None or row.suits(Key.parse(key).mode)


CASES = [case for case in EVERY if suits(case[0], case[2])]
# Keys, forms and colours where a line goes wrong first; each form and both modes are among them,
# and nearly every colour.
TRIED = {
    ("C", "long", None),
    ("F#", "short", "b9 b13"),
    ("Bb minor", "short", "b9 #11"),
    ("Bb minor", "long", "#9"),
    ("Db", "long", "altered"),
    ("Db", "split", "lydian dominant"),
    ("F#", "split", "suspended b9"),
    ("C", "split", "its related ii"),
    ("Bb minor", "split", "b9"),
    ("C", "split", "b9 13"),
    ("Db", "split", "b9 #11 13"),
    ("F#", "long", "9 #11 13"),
    ("Db", "short", "#9 b13"),
    ("A", "long", "#9 #11"),
    ("C", "split", "half-whole diminished"),
    ("Eb", "long", "whole tone"),
    ("Eb", "short", "tritone substitute"),
}
SOME = swept(CASES, lambda case: (*case[:2], case[2] and case[2].name) in TRIED)


def written(key, form, row, count=4, **wishes):
    """Lines over a ii-V-I, none where the bars have no room and the error names a wish."""
    reader = READERS[(len(str(key)) + FORMS.index(form)) % len(READERS)]
    asked = Wishes.for_reader(reader, **wishes)
    return write_lines(two_five_one(key, form), row, count=count, seed=31, wishes=asked)


def midis(line):
    """The MIDI numbers of a line."""
    return [note.pitch.midi for note in line.notes]


def rests(line):
    """How many rests there are between the first and the last note."""
    return sum(b.start > a.end for a, b in pairwise(line.notes))


@pytest.mark.parametrize(("key", "form", "row"), SOME, ids=str)
def test_lines_have_the_shape_that_a_teacher_asks_for(key, form, row):
    """No seventh in eighths, no static start, no bare eighth at the end."""
    for line in written(key, form, row):
        notes, numbers = line.notes, midis(line)
        assert max(Counter(numbers[:4]).values()) < 3
        for a, b in pairwise(notes):
            assert abs(b.pitch.midi - a.pitch.midi) < 10 or max(a.beats, b.beats) > EIGHTH
            if a.pitch == b.pitch and a.end == b.start and b.start % 4 == 0:
                assert b.beats >= BEAT
        *_, before, last = notes
        if last.beats <= EIGHTH:
            assert last.start.denominator == 2
            assert (before.beats, before.end) == (EIGHTH, last.start)


@pytest.mark.parametrize(("key", "form", "row"), SOME, ids=str)
def test_no_line_turns_about_on_the_spot(key, form, row):
    for line in written(key, form, row):
        assert not turns_on_the_spot(line.notes)


@pytest.mark.parametrize(("key", "form", "row"), SOME, ids=str)
def test_much_rest_is_a_rest_in_every_line_and_little_in_most(key, form, row):
    assert all(map(rests, written(key, form, row, rests="a lot")))
    assert not any(map(rests, written(key, form, row, rests="none")))


def test_a_little_rest_is_one_in_most_lines():
    lines = [line for key, form, row in CASES[::4] for line in written(key, form, row, count=5)]
    assert sum(map(bool, map(rests, lines))) > 0.55 * len(lines)


@pytest.mark.parametrize("form", FORMS)
def test_wishes_for_much_and_little_are_kept_bar_by_bar(form):
    """A triplet in each bar of three notes, and 5 notes a bar where few are asked for."""
    for line in written("Db", form, "b9", count=8, triplets="a lot"):
        for bar in led_bars(line):
            assert len(bar) < 3 or any(note.start.denominator == 3 for note in bar), line.text
    for line in written("Db", form, "b9", count=8, density="sparse"):
        landing = line.progression.chords[-1].start
        assert sum(map(len, led_bars(line))) <= landing * 5 / 4, line.text


@pytest.mark.parametrize("form", FORMS)
def test_much_rest_is_an_eighth_of_the_line(form):
    for line in written("Db", form, "b9", count=6, rests="a lot"):
        silent = sum(b.start - a.end for a, b in pairwise(line.notes))
        assert silent * 8 >= line.notes[-1].end - line.notes[0].start, line.text


LETTERS = "CDEFGAB"


def torn(line):
    """Steps that look like thirds or stay on a line; fourths and fifths on wrong letters."""
    found = 0
    for one, two in pairwise(note.pitch for note in line.notes):
        size = abs(two.midi - one.midi)
        places = [LETTERS.index(p.note.letter) + 7 * p.octave for p in (one, two)]
        seconds = {1: (0, 1), 2: (1,), 5: (3,), 7: (4,)}
        found += size in seconds and abs(places[1] - places[0]) not in seconds[size]
    return found


@pytest.mark.parametrize("who", ["concert", "B flat", "E flat", "F"])
def test_lines_are_easy_to_read_on_their_readers_page(who):
    """A whole step looks like a second, a fourth like a fourth: in nine lines of ten."""
    rows = ("#9 #11", "b9 #11", "tritone substitute", "b9 b13")
    lines = [
        write_lines(two_five_one(key, "long"), row, count=2, seed=4, wishes=Wishes.for_reader(who))
        for key, row in zip(("F#", "C# minor", "B minor", "Db"), rows, strict=True)
    ]
    pages = [line.written_for(who) for some in lines for line in some]
    assert sum(map(bool, map(torn, pages))) <= len(pages) / 8


def test_much_chromatic_is_a_chromatic_note_in_nearly_every_bar():
    """Notes outside C major and the b9 and b13 of G7, in bars of four notes and more."""
    lines = written("C", "long", "b9", count=12, chromatic="a lot")
    roomy = [bar for line in lines for bar in led_bars(line) if len(bar) >= 4]
    kept = sum(any(n.pitch.midi % 12 in (1, 3, 6, 10) for n in bar) for bar in roomy)
    assert kept >= 0.8 * len(roomy)


def led_bars(line):
    """The notes of each bar up to the landing."""
    landing = line.progression.chords[-1].start
    edges = line.progression.bar_starts
    return [[n for n in line.notes if a <= n.start < min(b, landing)] for a, b in pairwise(edges)]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("8th D5 F5 Ab5 C6 B5 Eb5 D5 Ab4 | whole G4", False),
        ("8th D5 F5 Ab5 C6 F5 Eb5 B4 D5 | whole Eb5", True),
    ],
)
def test_a_singer_meets_no_diminished_fourth(text, fault):
    """B and Eb in C minor: down from Eb to B it is a fourth, up from Eb to B a fifth."""
    line = Line.parse(text, two_five_one("C minor", "short"))
    found = hard_to_sing(line.notes, palettes(line.progression, colour("b9 b13")))
    assert ("a diminished fourth" in found) is fault


def test_a_leading_note_that_is_sung_is_not_cancelled():
    over = two_five_one("C minor", "short")
    line = Line.parse("8th D5 F5 Ab5 C6 D5 B4 Bb4 Ab4 | whole G4", over)
    found = hard_to_sing(line.notes, palettes(line.progression, colour("#9")))
    assert "a leading note that is left by a leap or cancelled" in found


@pytest.mark.parametrize(("key", "form", "row"), SOME, ids=str)
def test_triplets_and_long_notes_are_there_where_they_are_asked_for(key, form, row):
    def quick(line):
        return [note for note in line.notes if note.start.denominator == 3]

    assert all(map(quick, written(key, form, row, count=3, triplets="a lot")))
    assert not any(map(quick, written(key, form, row, count=3, triplets="none", **EVEN)))
    for line in written(key, form, row, count=3, density="sparse"):
        landing = line.progression.chords[-1].start
        assert any(note.beats >= BEAT for note in line.notes if note.start < landing)


EVEN = {"density": "full"}


@pytest.mark.parametrize("form", FORMS)
def test_more_density_is_more_notes_for_each_beat(form):
    def density(wish):
        lines = written("F", form, "b9", count=12, density=wish)
        beats = sum(note.beats for line in lines for note in line.notes)
        return sum(len(line.notes) for line in lines) / beats

    full, medium, sparse = map(density, DENSITIES)
    assert full > medium > sparse


def test_a_wish_for_which_bars_have_no_room_is_named():
    """A dominant of one beat is filled up to the landing: there is no rest in it."""
    short = Progression(Key.parse("C"), (Bar.even("G7", "C6", beats=2),))
    assert write_lines(short, "b9 13", count=1)
    with pytest.raises(TheoryError, match="the wish for rests: a lot stands in the way"):
        write_lines(short, "b9 13", count=1, wishes=Wishes(rests="a lot"))


@pytest.mark.parametrize("word", ENDINGS)
def test_the_last_note_is_led_to_unless_a_short_one_is_asked_for(word):
    bare = 0
    for line in written("Eb", "long", "b9 13", count=20, ends=word):
        *_, before, last = line.notes
        bare += last.beats <= EIGHTH and (last.start.denominator == 1 or before.beats != EIGHTH)
    assert word in ("short", "off the beat") or not bare


@pytest.mark.parametrize(("key", "form", "row"), SOME, ids=str)
def test_sung_lines_have_nothing_that_singers_stumble_over(key, form, row):
    """No row of half steps, no augmented triad, the leading note led home (common practice in ear
    training), nothing wider than a tenth.
    """
    for line in written(key, form, row, manner="sung"):
        numbers = midis(line)
        sizes = [b - a for a, b in pairwise(numbers)]
        assert not any(a == b and abs(a) == 1 for a, b in pairwise(sizes))
        for three in zip(numbers, numbers[1:], numbers[2:], strict=False):
            sounds = {n % 12 for n in three}
            gaps = {(b - a) % 12 for a in sounds for b in sounds if a != b}
            assert len(sounds) < 3 or not is_triad(sounds) or gaps != {4, 8}
        tonic = line.progression.chords[-1]
        landing = next(at for at, note in enumerate(line.notes) if note.start == tonic.start)
        if numbers[landing - 1] % 12 == (tonic.chord.root.semitone + 11) % 12:
            assert sizes[landing - 1] in (0, 1)
        assert max(numbers) - min(numbers) <= 16
        assert hard_to_sing(line.notes, palettes(line.progression, row)) == ()


@pytest.mark.parametrize("key", ["C", "Db", "A", "D minor", "Bb minor"])
def test_the_major_third_over_a_minor_ii_is_not_leapt_to(key):
    for form in FORMS:
        for line in written(key, form, "b9", count=8, chromatic="a lot"):
            ii = line.progression.chords[0]
            other = (ii.chord.root.semitone + 4) % 12
            for a, b in pairwise(line.notes):
                if ii.start <= b.start < ii.end and b.pitch.midi % 12 == other:
                    assert abs(b.pitch.midi - a.pitch.midi) <= 2
