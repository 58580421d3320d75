"""The demonstration phrase: in every key and form, plain and with every colour."""

from functools import cache
from itertools import groupby, pairwise

import pytest
from plain import names
from sweeps import keys

from theorykit import (
    COLOURS,
    FORMS,
    Chord,
    Colour,
    Key,
    Line,
    Pitch,
    TheoryError,
    TimedNote,
    degrees_over,
    demonstration,
    resolve,
)
from theorykit.notes.degree import single
from theorykit.tunes.progression import PlacedChord

LOWEST, HIGHEST = Pitch.parse("E3").midi, Pitch.parse("C6").midi
MOST_TENSIONS = 4  # there are four eighths
each_key = pytest.mark.parametrize("key", keys(), ids=str)


@cache
def phrases(key: Key) -> list[tuple[Colour | None, Line]]:
    """The plain phrase and one for each colour, in each form."""
    return [(row, demonstration(key, form, row)) for form in FORMS for row in (None, *COLOURS)]


def dominant(line: Line) -> PlacedChord:
    """V where it stands."""
    return next(chord for chord in line.progression.chords if chord.chord.kind.is_dominant)


def eighths(line: Line) -> tuple[TimedNote, ...]:
    """The notes in the last two beats of V."""
    end = dominant(line).end
    return tuple(note for note in line.notes if end - 2 <= note.start < end)


@each_key
def test_the_phrase_starts_with_the_guide_tones_of_ii(key: Key):
    for _, line in phrases(key):
        two = line.progression.chords[0]
        third, seventh = line.notes[:2]
        assert names(degrees_over(two.chord, [third.pitch.note, seventh.pitch.note])) == "b3 b7"
        assert {third.pitch.note, seventh.pitch.note} <= set(two.chord.notes)
        assert third.start == 0
        assert seventh.end == two.end


@each_key
def test_four_eighths_fill_the_last_two_beats_of_v_with_notes_of_the_colour(key: Key):
    for row, line in phrases(key):
        found = eighths(line)
        end = dominant(line).end
        assert [note.start for note in found] == [end - 2, end - 1.5, end - 1, end - 0.5]
        assert {note.beats for note in found} == {0.5}
        chord = dominant(line).chord
        allowed = chord.notes if row is None else row.notes(chord)
        # By function; only what no page can hold, the F### over E#7, has its plain name.
        names = {note if abs(note.alteration) < 3 else single(note) for note in allowed}
        assert {note.pitch.note for note in found} <= names


@each_key
def test_every_tension_of_the_colour_sounds_as_far_as_there_is_room(key: Key):
    for row, line in phrases(key):
        if row is not None:
            heard = set(degrees_over(dominant(line).chord, [n.pitch.note for n in eighths(line)]))
            assert set(row.tensions[:MOST_TENSIONS]) <= heard


@each_key
def test_the_last_eighth_moves_by_the_smallest_step_to_a_chord_tone_of_i(key: Key):
    for _, line in phrases(key):
        *_, last, landing = line.notes
        one = line.progression.chords[-1]
        assert landing.pitch.note in one.chord.notes
        assert (landing.start, landing.end) == (one.start, one.end)
        step = abs(landing.pitch.midi - last.pitch.midi)
        near = [m for m in range(last.pitch.midi - 6, last.pitch.midi + 7) if m != last.pitch.midi]
        sounds = {note.semitone for note in one.chord.notes}
        assert step == min(abs(m - last.pitch.midi) for m in near if m % 12 in sounds) <= 2


@each_key
def test_the_phrase_keeps_to_a_range_that_can_be_sung(key: Key):
    for _, line in phrases(key):
        heights = [note.pitch.midi for note in line.notes]
        assert min(heights) >= LOWEST
        assert max(heights) <= HIGHEST
        leaps = [abs(b - a) for a, b in pairwise(heights)]
        assert max(leaps) <= 9  # a major sixth


@each_key
def test_plain_and_coloured_differ_only_in_the_eighths_and_where_they_land(key: Key):
    for _, group in groupby(phrases(key), key=lambda pair: pair[1].progression):
        (_, plain), *coloured = group
        assert len(coloured) == len(COLOURS)
        for _, line in coloured:
            assert line.notes[:-5] == plain.notes[:-5]
            assert [n.start for n in line.notes] == [n.start for n in plain.notes]


@each_key
def test_the_natural_seven_over_v_moves_by_a_half_step(key: Key):
    """It passes because it moves, up to the root or down to the b7 (chapter 7)."""
    heard = 0
    for row, line in phrases(key):
        over = dominant(line)
        leaning = (over.chord.root.semitone + 11) % 12
        for note, after in pairwise(line.notes):
            if over.start <= note.start < over.end and note.pitch.midi % 12 == leaning:
                heard += 1
                assert abs(after.pitch.midi - note.pitch.midi) == 1, row
    assert heard >= len(FORMS)  # in the related ii of the tritone substitute


@each_key
def test_a_half_step_into_i_is_one_that_the_table_counts(key: Key):
    """The last step of the line on the staff is a pull where, and only where, the table has one."""
    for row, line in phrases(key):
        before, landing = line.notes[-2:]
        over, one = dominant(line).chord, line.progression.chords[-1].chord
        moves = {move.note.semitone: move for move in resolve(over, row, one).moves}
        move = moves[before.pitch.note.semitone]
        step = landing.pitch.midi - before.pitch.midi
        assert move.is_half_step == (abs(step) == 1), row
        if move.is_half_step:
            assert (move.semitones, move.to_note) == (step, landing.pitch.note), row


def test_notes_follow_each_other_without_a_gap():
    for form, count in zip(FORMS, (8, 7, 8), strict=True):
        notes = demonstration("Bb minor", form, "altered").notes
        assert len(notes) == count
        for before, after in pairwise(notes):
            assert before.end == after.start


@pytest.mark.parametrize(
    ("key", "colour", "phrase"),
    # Kept from the first edition: whoever changes them changes what readers hear.
    [
        ("C", None, "F5 C5 B4 D5 B4 G4 F4 E4"),
        ("C", "b9 13", "F5 C5 B4 B4 Ab4 E4 Ab4 G4"),
        ("C", "altered", "F5 C5 B4 C#5 A#4 Ab4 Eb4 E4"),
        ("Db", "9 #11 13", "Gb5 Db5 C5 D5 Bb4 F4 D4 Db4"),
        ("C minor", "b9 b13", "F5 C5 B4 Eb5 B4 Ab4 B4 C5"),
    ],
)
def test_the_phrases_that_readers_hear_first(key: str, colour: str | None, phrase: str):
    assert names(note.pitch for note in demonstration(key, "long", colour).notes) == phrase


def test_names_that_are_wished_for_are_used_over_v_alone():
    wished = {note.semitone: note for note in Chord.parse("E").notes}
    line = demonstration("C", "long", "b9 13", names=wished)
    assert names(note.pitch.note for note in eighths(line)) == "B G# E G#"
    plain = demonstration("C", "long", "b9 13")
    assert [n.pitch.midi for n in line.notes] == [n.pitch.midi for n in plain.notes]


@pytest.mark.parametrize(
    "wrong",
    [("H", "long", None), ("C", "endless", None), ("C", "long", "green"), (None, "long", None)],
)
def test_what_cannot_be_demonstrated_is_refused(wrong: tuple[str, str, str | None]):
    with pytest.raises(TheoryError):
        demonstration(*wrong)
