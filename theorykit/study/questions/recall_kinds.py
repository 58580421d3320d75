"""Kinds of question that are answered from memory, in words or on the keyboard."""

from __future__ import annotations

from collections.abc import Sequence

from theorykit.harmony.colours import COLOURS, colour
from theorykit.harmony.resolution import resolve
from theorykit.harmony.substitution import Substitute, substitute
from theorykit.harmony.tensions import TENSION_NAMES, why_it_rubs
from theorykit.harmony.wording import listed
from theorykit.lines.guide_tones import guide_tones
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, written_above
from theorykit.notes.key import MODES, Key
from theorykit.notes.note import MOST_ACCIDENTALS, Note
from theorykit.study.questions.colour_judges import ColourJudge, ShapeJudge, called, thought
from theorykit.study.questions.judges import (
    ChordsJudge,
    DegreeJudge,
    GoalJudge,
    GuideToneJudge,
    NoteJudge,
    apart,
)
from theorykit.study.questions.near_misses import (
    best_shortcut,
    colours_apart,
    near_degrees,
    near_note,
    near_roots,
    near_shapes,
)
from theorykit.study.questions.question import Draft, QuestionKind, Shown, Spot, anywhere, suits
from theorykit.tunes.progression import cadence_chords

COLOUR_TOPICS = tuple(row.name for row in COLOURS)
DEGREE_TOPICS = tuple(str(degree) for degree in TENSION_NAMES[1:])
MOVING = ("b9", "9", "#9", "3", "#11", "b13", "13", "b7")
SUBSTITUTED = (
    "tritone substitute",
    "related ii of the tritone substitute",
    "ii-V of the tritone substitute",
    "major seventh chord a half step below I",
    "backdoor dominant",
    "leading-note diminished chord",
    "dominant a minor third above",
    "dominant a minor third below",
)
ALONE = "backdoor dominant"  # whose dominant may come without its ii
NEARBY = {  # how a degree is found from a tone that one has
    "b9": "a half step above the root", "9": "a whole step above the root",
    "#9": "a half step above the 9", "3": "a whole step above the 9",
    "11": "a half step above the 3", "#11": "a half step below the 5",
    "5": "a whole step above the 11", "b13": "a half step above the 5",
    "13": "a whole step above the 5", "b7": "a whole step below the root",
    "7": "a half step below the root",
}  # fmt: skip
NUMBERS = {1: "one chord", 2: "two chords"}


def in_mode(topic: str, key: Key) -> bool:
    """Tell whether a key has the mode that a topic names."""
    return key.mode == topic


def can_be_written(topic: str, key: Key) -> bool:
    """Tell whether the note of a degree of V can be written: three accidentals are not read."""
    v = cadence_chords(key)[1]
    return abs(above(v.root, Degree.parse(topic)).alteration) < MOST_ACCIDENTALS


def moves_well(topic: str, key: Key) -> bool:
    """Tell whether a tension goes with the I of a key: no natural 13 before a minor tonic."""
    _, v, i = cadence_chords(key)
    return not why_it_rubs(v, Degree.parse(topic).semitone, i)


def shortcut_over_v(spot: Spot) -> Draft:
    """Ask for the shape that brings a colour over a V."""
    row = colour(spot.topic)
    goal = f"over {spot.v.pretty}, on the way to {spot.i.pretty}"
    return _shortcut(spot, f"Which shape brings {row.spoken} {goal}?")


def shortcut_to_i(spot: Spot) -> Draft:
    """Ask for the shape on the way to a key; the V is the reader's to find."""
    row = colour(spot.topic)
    return _shortcut(
        spot, f"You go to {spot.key.pretty}. Which shape brings {row.spoken} on its V?"
    )


def _shortcut(spot: Spot, prompt: str) -> Draft:
    """Ask for a shortcut."""
    row = colour(spot.topic)
    best = best_shortcut(spot.v, row, spot.i)
    return Draft(
        prompt,
        f"Think of {thought(best)}.",
        best.shape,
        ShapeJudge(spot.v, row, best),
        tuple(near_shapes(best, row, spot.key.mode)),
        Shown(spot.v if "over" in prompt else spot.i),
    )


def colour_of_shape(spot: Spot) -> Draft:
    """Ask for the colour that a shape brings."""
    row = colour(spot.topic)
    best = best_shortcut(spot.v, row, spot.i)
    found = listed(degree.pretty for degree in best.degrees[:1])
    name = f"{best.pretty} {best.row.noun}" if not best.row.suffix else best.pretty
    verb = "is" if best.second is None else "are"
    own = {degree.semitone for degree in row.degrees}
    passing = tuple(degree for degree in best.degrees if degree.semitone not in own)
    return Draft(
        f"Which colour {verb} {name} over {spot.v.pretty}?",
        f"Its first note is {found} over {spot.v.pretty}.",
        row.name,
        ColourJudge(spot.v, row, f"{name} {verb}", passing),
        tuple(other.name for other in colours_apart(row, spot.key.mode)),
        Shown(spot.v, best.notes),
    )


def degree_of_note(spot: Spot) -> Draft:
    """Ask which degree of V a note is."""
    degree = Degree.parse(spot.topic)
    note = above(spot.v.root, degree)
    return Draft(
        f"Which degree of {spot.v.pretty} is {note.pretty}?",
        f"Count the letters from {spot.v.root.pretty} up to {note.pretty}.",
        str(degree),
        DegreeJudge(spot.v, degree, note.pretty),
        tuple(map(str, near_degrees(degree))),
        Shown(spot.v, (note,)),
    )


def note_of_degree(spot: Spot) -> Draft:
    """Ask which note stands on a degree of V."""
    degree = Degree.parse(spot.topic)
    near = (written_above(spot.v.root, one) for one in near_degrees(degree))
    note = above(spot.v.root, degree)
    return Draft(
        f"Which note is {called(degree)} of {spot.v.pretty}?",
        f"Its letter is {note.letter}, and it lies {NEARBY[spot.topic]}.",
        str(note),
        NoteJudge(spot.v, degree, NEARBY[spot.topic]),
        tuple(map(str, near)),
        Shown(spot.v),
    )


def guide_tones_of_way(spot: Spot) -> Draft:
    """Ask for the guide tones of a ii-V-I."""
    chords = (spot.ii, spot.v, spot.i)
    return Draft(
        f"Which are the guide tones of {spot.way}? Two notes for each chord.",
        "The 3rd and the 7th of each chord; of a sixth chord the 3rd and the 6th.",
        _pairs([guide_tones(chord) for chord in chords]),
        GuideToneJudge(chords),
        tuple(_wrong_guides(chords)),
        Shown(spot.ii),
    )


def _pairs(pairs: list[tuple[Note, Note]]) -> str:
    """Write pairs of notes with bar lines between them."""
    return " | ".join(f"{one} {other}" for one, other in pairs)


def _wrong_guides(chords: tuple[Chord, ...]) -> list[str]:
    """Return pairs in which one note is another: the root, the natural 7 of V, the 5th of I."""
    found = [guide_tones(chord) for chord in chords]
    ii, v, i = chords
    return [
        _pairs([found[0], (found[1][0], above(v.root, Degree(7))), found[2]]),
        _pairs([found[0], found[1], (found[2][0], above(i.root, Degree(5)))]),
        _pairs([(ii.root, found[0][1]), found[1], found[2]]),
        _pairs([found[0], (found[0][0], found[0][1]), found[2]]),
    ]


def goal_of_note(spot: Spot) -> Draft:
    """Ask where a note of V goes."""
    degree = Degree.parse(spot.topic)
    move = resolve(spot.v, (degree,), spot.i).colour_moves[0]
    far = apart(move.to_note, move.note)  # what lies as near is no miss: it may go there as well
    tones = [note for note in spot.i.notes if apart(note, move.note) > far]
    aside = [near_note(spot.i, move.to_note.semitone + step) for step in (1, -1, 2)]
    through = " It has a way of its own." * (move.through is not None)
    return Draft(
        f"Where does {move.note.pretty}, {called(degree)} of {spot.v.pretty}, "
        f"go when {spot.i.pretty} comes, or does it stay?",
        f"Look for the nearest tone of {spot.i.pretty}; what both chords have may stay.{through}",
        str(move.to_note),
        GoalJudge(spot.i, move),
        tuple(str(note) for note in (*tones, *aside)),
        Shown(spot.v, (move.note,)),
    )


def substitute_of_v(spot: Spot) -> Draft:
    """Ask for the chords of a substitute."""
    found = substitute(spot.topic, spot.v, spot.i)
    chords = _own_chords(found)
    name = found.name if spot.topic != ALONE else f"{found.name} with its ii"
    return Draft(
        f"What is the {name} for {spot.v.pretty} on the way to {spot.i.pretty}? "
        f"({NUMBERS[len(chords)]})",
        f"The first root is {_place(spot.v, chords[0])} of {spot.v.pretty}.",
        " ".join(map(str, chords)),
        ChordsJudge(
            chords,
            f"the {found.name}",
            spot.v,
            f"{_place(spot.v, chords[0])} of {spot.v.pretty}",
            may_be_last=spot.topic == ALONE,
        ),
        tuple(_wrong_chords(chords, spot.i)),
        Shown(spot.v),
    )


def _own_chords(found: Substitute) -> tuple[Chord, ...]:
    """Return the chords of a substitute but for the dominant itself."""
    return tuple(chord for chord in found.chords if chord != found.dominant)


def _place(v: Chord, chord: Chord) -> str:
    """Say where the root of a chord stands over V."""
    semitone = (chord.root.semitone - v.root.semitone) % 12
    names = "root,♭9,9,♭3rd,3rd,4th,♭5,5th,♭6th,6th,♭7th,natural 7".split(",")
    return f"the {names[semitone]}"


def _wrong_chords(chords: tuple[Chord, ...], i: Chord) -> list[str]:
    """Return chords a half step aside, of the other quality, and a fourth away."""
    other = {"7": "maj7", "m7": "7", "m7b5": "m7", "maj7": "7", "dim7": "m7b5"}
    quality = [Chord.parse(f"{c.root}{other.get(c.kind.symbol, '7')}") for c in chords]
    moved = [_moved(chords, step, i) for step in (1, -1, 5, 2)]
    return [" ".join(map(str, one)) for one in (moved[0], quality, *moved[1:])]


def _moved(chords: Sequence[Chord], step: int, i: Chord) -> list[Chord]:
    """Return the same kinds of chord some half steps higher, as written on the way to I."""
    roots = near_roots(i, [(chord.root.semitone + step, chord.kind) for chord in chords])
    return [chord.on(root) for chord, root in zip(chords, roots, strict=True)]


def ii_of_v(spot: Spot) -> Draft:
    """Ask for the ii that belongs to a V."""
    other = Chord.parse(f"{spot.ii.root}{'m7' if spot.key.is_minor else 'm7b5'}")
    dominant = Chord.parse(f"{spot.ii.root}7")
    aside = _moved([spot.ii], -2, spot.i)
    return Draft(
        f"Which ii belongs to {spot.v.pretty} on the way to {spot.i.pretty}?",
        f"Its root lies a fifth above {spot.v.root.pretty}.",
        str(spot.ii),
        ChordsJudge(
            (spot.ii,),
            f"the ii that belongs to {spot.v.pretty}",
            spot.v,
            f"a fifth above {spot.v.root.pretty}",
        ),
        tuple(map(str, (other, *_moved([spot.ii], 1, spot.i), dominant, *aside))),
        Shown(spot.v),
    )


_RECALL = "recall"
RECALL_KINDS = (
    QuestionKind(
        "shortcut over V", _RECALL, "the shape for a colour over a V",
        COLOUR_TOPICS, suits, shortcut_over_v,
    ),
    QuestionKind(
        "shortcut to I", _RECALL, "the shape for a colour on the way to a key",
        COLOUR_TOPICS, suits, shortcut_to_i,
    ),
    QuestionKind(
        "colour of a shape", _RECALL, "the colour that a shape brings",
        COLOUR_TOPICS, suits, colour_of_shape,
    ),
    QuestionKind(
        "degree of a note", _RECALL, "the degree of a note over V",
        DEGREE_TOPICS, can_be_written, degree_of_note,
    ),
    QuestionKind(
        "note of a degree", _RECALL, "the note of a degree over V",
        DEGREE_TOPICS, can_be_written, note_of_degree,
    ),
    QuestionKind(
        "guide tones", _RECALL, "the guide tones of a ii-V-I",
        MODES, in_mode, guide_tones_of_way,
    ),
    QuestionKind(
        "where a note goes", _RECALL, "where a note of V goes",
        MOVING, moves_well, goal_of_note,
    ),
    QuestionKind(
        "substitute", _RECALL, "the chords of a substitute",
        SUBSTITUTED, anywhere, substitute_of_v,
    ),
    QuestionKind(
        "ii of a V", _RECALL, "the ii that belongs to a V",
        MODES, in_mode, ii_of_v,
    ),
)  # fmt: skip
