"""Where every note of a colour goes: the least motion, told in words that agree with it."""

import itertools

import pytest
from plain import names
from together import together

from theorykit import COLOURS, Chord, Colour, Degree, Key, Resolution, TheoryError, resolve
from theorykit.harmony.resolution import of_target
from theorykit.notes.degree import above

# The V of each of the twelve keys, and its tonic.
FIFTHS = (
    *(("G", "C"), ("Ab", "Db"), ("A", "D"), ("Bb", "Eb"), ("B", "E"), ("C", "F")),
    *(("C#", "F#"), ("D", "G"), ("Eb", "Ab"), ("E", "A"), ("F", "Bb"), ("F#", "B")),
)
TARGETS = ("", "6", "6/9", "maj7", "m", "m6", "m(maj7)", "m6/9", "maj9")
WAYS = {
    0: "stays",
    1: "rises a half step",
    2: "rises a whole step",
    3: "rises a minor third",
    -1: "falls a half step",
    -2: "falls a whole step",
    -3: "falls a minor third",
}
each_colour = together("row", [*COLOURS, None], ids=str)


def every_total(found: Resolution) -> set[int]:
    """The whole motion of every assignment of the notes to notes of the target, up or down.

    A #9 that goes through its b9 to the 5th has no choice; that is looked at by itself below.
    """
    led = [move for move in found.moves if move.through]
    totals = {sum(abs(move.semitones) for move in led)}
    for move in (move for move in found.moves if not move.through):
        goals = [(goal.semitone - move.note.semitone) % 12 for goal in found.target.notes]
        ways = {way for up in goals for way in (up, 12 - up)}
        totals = {total + way for total in totals for way in ways}
    return totals


@together(("root", "tonic"), FIFTHS, ids=lambda name: name)
@each_colour
def test_the_motion_is_the_least_of_all_assignments(row: Colour | None, root: str, tonic: str):
    for goal in (*(tonic + kind for kind in TARGETS), "Am7", "Ebmaj7"):
        found = resolve(f"{root}7", row, goal)
        assert found.total == min(every_total(found))


@each_colour
def test_every_move_starts_on_its_degree_and_ends_on_the_note_that_it_names(row: Colour | None):
    for (root, tonic), kind in itertools.product(FIFTHS, TARGETS):
        found = resolve(f"{root}7", row, tonic + kind)
        spelled = dict(zip(found.target.degrees, found.target.notes, strict=True))
        for move in (*found.moves, *found.plain):
            assert (move.note.semitone - found.chord.root.semitone) % 12 == move.degree.semitone
            assert spelled[move.to_degree] == move.to_note
            assert (move.note.semitone + move.semitones - move.to_note.semitone) % 12 == 0


@each_colour
def test_the_words_agree_with_the_numbers(row: Colour | None):
    for (root, tonic), kind in itertools.product(FIFTHS, TARGETS):
        found = resolve(f"{root}7", row, tonic + kind)
        for move in found.moves:
            way = "falls through ♭9" if move.through else WAYS[move.semitones]
            assert move.words.startswith(f"{move.degree.pretty} {way}")
            assert move.words.endswith(" of i" if found.target.kind.has("b3") else " of I")
            assert move.is_half_step == ("a half step" in move.words)
        assert len(found.words) == len(found.colour_moves or found.moves) + 1


@each_colour
def test_every_note_of_the_chord_and_of_the_colour_moves_once(row: Colour | None):
    found = resolve("Ab7", row, "Db6")
    colour = set(row.degrees) if row else set()
    suspended = Degree(11) in colour and Degree(3) not in colour
    expected = {d for d in found.chord.degrees if not (suspended and d == Degree(3))} | colour
    assert [move.degree for move in found.moves] == sorted(expected, key=lambda d: d.semitone)
    assert [move.degree for move in found.colour_moves] == list(row.degrees if row else ())


def test_among_equal_ways_flats_fall_then_more_notes_are_reached_then_more_notes_fall():
    """Every assignment with the least motion is weighed anew, over a triad and a sixth chord."""
    for row, goal in itertools.product([*COLOURS, None], ("C", "Cm6", "Fmaj7", "Dm7")):
        found = resolve("G7", row, goal)
        best = [weight(found, [(m.to_note.semitone, m.semitones) for m in found.moves])]
        ways = [
            [
                (goal.semitone, way)
                for goal in found.target.notes
                for up in [(goal.semitone - move.note.semitone) % 12]
                for way in (up, up - 12)
                if abs(way) == abs(move.semitones)
            ]
            for move in found.moves
        ]
        assert best == [min(weight(found, list(choice)) for choice in itertools.product(*ways))]


def weight(found: Resolution, ways: list[tuple[int, int]]) -> tuple[int, int, int]:
    """Flattened notes that rise, notes of the target that are missed, notes that rise."""
    flats = zip(found.moves, ways, strict=True)
    return (
        sum(move.degree.alteration < 0 < way for move, (_, way) in flats),
        -len({goal for goal, _ in ways}),
        sum(way > 0 for _, way in ways),
    )


def test_guide_tones_lead_where_every_textbook_lets_them_lead():
    """The 3 rises to the root and the b7 falls to the 3rd of I (common practice)."""
    for root, tonic in FIFTHS:
        found = resolve(f"{root}7", None, tonic)
        third, seventh = found.guide_tones
        assert third.words == "3 rises a half step to the root of I"
        assert seventh.words == "♭7 falls a half step to the 3rd of I"
        assert (found.total, found.added_pulls) == (4, 0)


@pytest.mark.parametrize(
    ("colour", "target", "moves"),
    # Written out by hand over G7.
    [
        ("b9 13", "C", "E-E Ab-G B-C"),
        ("b9 b13", "C", "Ab-G B-C Eb-E"),
        ("b9 b13", "Cm", "Ab-G B-C Eb-Eb"),
        ("b9 #11", "C", "C#-C F-E Ab-G"),
        ("9 #11 13", "Cmaj7", "A-G C#-C E-E"),
        ("b9", "Cm6", "B-C D-Eb F-Eb Ab-G"),
        ("its related ii", "C", "B-C Eb-E F#-G A#-G"),
    ],
)
def test_the_moves_of_known_colours(colour: str, target: str, moves: str):
    found = resolve("G7", colour, target)
    assert names(f"{move.note}-{move.to_note}" for move in found.colour_moves) == moves


@together(("root", "tonic"), FIFTHS, ids=lambda name: name)
def test_the_sharp_nine_falls_through_the_flat_nine_to_the_fifth_or_stays(root: str, tonic: str):
    """As players take it: #9 b9 5 (common practice). It stays where the next chord has it."""
    for row, kind in itertools.product(COLOURS, TARGETS):
        found = resolve(f"{root}7", row, tonic + kind)
        for move in (move for move in found.moves if move.degree == Degree(9, 1)):
            assert (move.to_degree, move.semitones) == (Degree(5), -3)
            assert move.through.degree == Degree(9, -1)
            assert move.through.note == above(found.chord.root, Degree(9, -1))
            assert not move.is_half_step
            assert move.words[2:] == f" falls through ♭9 to the 5th of {move.whose}"
    for kind in ("m7", "7", "m7b5"):  # its b7 is the #9 of V
        move = resolve(f"{root}7", "#9", tonic + kind).colour_moves[0]
        assert (move.semitones, move.through) == (0, None)


def test_the_sharp_nine_of_a_dominant_that_falls_no_fifth_goes_the_nearest_way():
    assert names(m.to_note for m in resolve("Db7", "#9", "C").colour_moves) == "E G C"
    assert resolve("G7", "#9", "Caug").colour_moves[0].through is None  # no 5 to fall to


@together("row", COLOURS, ids=str)
def test_what_a_colour_adds_is_the_same_on_every_major_tonic(row: Colour):
    """But for a suspension: a B that is gone could have stayed on Cmaj7, and had to move on C."""
    added = {kind: resolve("G7", row, f"C{kind}").added_pulls for kind in ("", "6", "6/9", "maj7")}
    if Degree(11) in row.degrees and Degree(3) not in row.degrees:
        assert added["maj7"] == added[""] + 1
        added.pop("maj7")
    assert len(set(added.values())) == 1, added


def test_a_suspended_colour_takes_the_place_of_the_third():
    found = resolve("G7", "suspended", "C")
    assert names(move.degree for move in found.moves) == "1 9 11 5 b7"
    assert found.added_pulls == -1
    assert found.summary == "this colour takes away one half-step pull"


def test_pulls_up_and_down_and_held_notes_are_told_apart():
    found = resolve("G7", "altered", "C")
    assert names(move.note for move in found.half_steps_up) == "B Eb"
    assert names(move.note for move in found.half_steps_down) == "Ab C# F"
    assert names(move.note for move in found.held) == "G"


@together(
    ("chord", "target", "called"),
    [
        ("G7", "C", "I"), ("G7sus4", "Cmaj7", "I"),
        ("G7", "Cm6", "i"), ("F#7", "Bm", "i"), ("Ab7", "Dbm7", "i"), ("Db7", "Cm6", "i"),
        ("Db7", "Cmaj7", "I"),  # the tritone substitute falls a half step,
        ("Bb7", "C6", "I"),  # the backdoor dominant rises a whole step (common practice)
        ("G7", "Am7", "Am7"), ("G7", "C7", "C7"), ("Dm7", "Gmaj7", "Gmaj7"), ("Db7", "Cm7", "Cm7"),
        ("G7", "Ebmaj7", "E♭maj7"),
    ],
)  # fmt: skip
def test_the_next_chord_is_called_i_only_where_it_is(chord: str, target: str, called: str):
    assert of_target(Chord.parse(chord), Chord.parse(target)) == called


def test_a_target_is_a_chord_a_key_or_a_mode():
    assert resolve("G7", "b9").target == Chord.parse("C")
    assert resolve("G7", "b9", "minor").target == Chord.parse("Cm")
    assert resolve("G7", "b9", Key.parse("C minor")).target == Chord.parse("Cm")


@pytest.mark.parametrize(
    "wrong", [("H7", "b9", "C"), ("N.C.", "b9", "N.C."), ("G7", "green", "C"), ("G7", "b9", "H")]
)
def test_what_cannot_resolve_is_refused(wrong: tuple[str, str, str]):
    with pytest.raises(TheoryError):
        resolve(*wrong)
