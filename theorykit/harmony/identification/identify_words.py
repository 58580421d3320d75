"""Sentences about notes that a player brought."""

from __future__ import annotations

from theorykit.harmony.counts import Evidence
from theorykit.harmony.identification.brought_notes import ColourMatch, Sounds, Suggestion
from theorykit.harmony.resolution import Move, Resolution
from theorykit.harmony.shortcuts import Shortcut, route
from theorykit.harmony.superimposition import move_words as note_move
from theorykit.harmony.wording import STEPS, listed, sentence
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.note import Note, pretty_words
from theorykit.notes.scales import SCALES
from theorykit.notes.spelling import above

MOST_COLOURS = 3
EVERYTHING = 12
ROOT, NATURALS = Degree(1), (Degree(7), Degree(11))
_BY_FORMULA = {frozenset(d.semitone for d in row.degrees): row.name for row in reversed(SCALES)}


def degree_words(sounds: Sounds, over: Chord, found: tuple[Degree, ...]) -> tuple[str, ...]:
    """Say what each note is over the chord."""
    if len(found) == EVERYTHING:
        return (
            "All twelve notes: the chromatic scale. It holds every colour and so names none; what "
            "colours the chord then is which notes fall on the beats.",
        )
    places = [_place(note, over, degree) for note, degree in zip(sounds.notes, found, strict=True)]
    said = f"Over {over.pretty}, {listed(places)}."
    return (said, _apart(sounds.notes)) if len(found) == 2 else (said,)


def _place(note: Note, over: Chord, degree: Degree) -> str:
    """Say what one note is, with the name that its degree asks for."""
    natural = "natural " * (degree in NATURALS and degree not in over.degrees)
    name = "root" if degree == ROOT else f"{natural}{degree.pretty}"
    asked = above(over.root, degree)
    other = f" ({asked.pretty})" if asked != note else ""
    return f"{note.pretty} is the {name}{other}"


def _apart(notes: tuple[Note, ...]) -> str:
    """Say how far two notes are apart, the nearer way."""
    first, second = notes
    way = (second.semitone - first.semitone) % 12
    step = STEPS[min(way, 12 - way)].removeprefix("a ")
    return f"The two lie a {step} apart."


def colour_words(
    over: Chord, found: tuple[Degree, ...], matches: tuple[ColourMatch, ...]
) -> tuple[str, ...]:
    """Say which colours the notes are, or are in, or come near."""
    outside = tuple(degree for degree in found if degree not in over.degrees)
    if len(outside) + len(over.degrees) >= EVERYTHING:
        return ()
    if not outside:
        these = "These are tones" if len(found) > 1 else "This is a tone"
        return (f"{these} of {over.pretty} itself: no colour.",)
    if not matches:
        return (f"Colours belong to dominant chords here, and {over.pretty} is none.",)
    exact = [match for match in matches if match.is_exact]
    holding = [match for match in matches if match.holds and not match.is_exact]
    if exact:
        names = listed(match.colour.pretty for match in exact)
        what = "These are the tensions" if len(outside) > 1 else "This is the tension"
        noun = "colours" if len(exact) > 1 else "colour"
        also = "They are also in" if len(outside) > 1 else "It is also in"
        return (f"{what} of the {noun} {names}.", *_held(holding[:MOST_COLOURS], also))
    they = "They are in" if len(found) > 1 else "It is in"
    return _held(holding[:MOST_COLOURS], they) or _near(matches[0])


def _held(holding: list[ColourMatch], start: str) -> tuple[str, ...]:
    """List colours that hold all the notes, with what each brings besides."""
    if not holding:
        return ()
    names = [f"{match.colour.pretty} (adds {_names(match.missing)})" for match in holding]
    return (f"{start} {listed(names)}.",)


def _near(match: ColourMatch) -> tuple[str, ...]:
    """Name the nearest colour, with what it leaves out and what it would add."""
    adds = f" and adds {_names(match.missing)}" if match.missing else ""
    return (
        "No colour of the table holds all of them.",
        f"The nearest is {match.colour.pretty}, which leaves out {_names(match.extra)}{adds}.",
    )


def _names(found: tuple[Degree, ...]) -> str:
    """List degrees for the eye."""
    return listed(degree.pretty for degree in found)


def shape_words(
    shapes: tuple[Shortcut, ...], is_shape: bool, target: Chord | None
) -> tuple[str, ...]:
    """Name the shape that the notes are, with its other names, or the small ones that hold them."""
    if not shapes:
        return ()
    if is_shape:
        first, others = shapes[0], [shape.pretty for shape in shapes[1:]]
        also = f"; by another name {listed(others, 'or')}" if others else ""
        return (f"{_shape(first, target)}{also}.",)
    held = listed(f"{shape.pretty}{_adds(shape)}" for shape in shapes)
    it = "they are" if len(shapes[0].wanted) > 1 else "it is"
    return (f"No shape of the table is just that; {it} held by {held}.",)


def _shape(shape: Shortcut, target: Chord | None) -> str:
    """Say where a shape stands; without a target only over the chord."""
    if target is not None:
        return shape.words
    place = route(shape.place, shape.chord.pretty, shape.chord.degrees)
    return f"{shape.root.pretty} {shape.row.noun} on {place}"


def _adds(shape: Shortcut) -> str:
    """Say which degrees a shape adds to those asked for."""
    asked = {degree.semitone for degree in shape.wanted}
    more = tuple(degree for degree in shape.degrees if degree.semitone not in asked)
    return f" (adds {_names(more)})" if more else ""


def scale_words(scales: tuple[Shortcut, ...], over: Chord, fit: bool) -> tuple[str, ...]:
    """Name the scales that hold the notes, and each by its name on the chord's own root."""
    if not scales:
        return ()
    names = listed(map(_scale, scales))
    many = len(scales[0].wanted) > 1
    it = "them" if many else "it"
    if fit:
        return (f"Scales of {over.pretty} that hold {it}: {names}.",)
    alone = "by themselves they are" if many else "by itself it is"
    return (
        f"No scale of the table holds {it} together with the root, 3rd and 7th of {over.pretty}; "
        f"{alone} in {names}.",
    )


def _scale(scale: Shortcut) -> str:
    """Name one scale."""
    here = _BY_FORMULA.get(frozenset(scale.semitones))
    if here is None or scale.place == 0:
        return scale.pretty
    return f"{scale.pretty} (on {scale.chord.root.pretty}: {pretty_words(here)})"


def suggestion_words(suggestions: tuple[Suggestion, ...]) -> tuple[str, ...]:
    """Name the substitutes that the notes suggest; explain the first if it is just these notes."""
    said = [sentence(one.words) for one in suggestions]
    if suggestions and suggestions[0].is_whole and not suggestions[0].ninth:
        _, explained = suggestions[0].substitute.sections[0]
        said += explained
    return tuple(said)


def clash_words(
    clashes: tuple[tuple[Note, Degree, str], ...], over: Chord, resolution: Resolution | None
) -> tuple[str, ...]:
    """Say what rubs, and where it may go on passing."""
    if not clashes:
        return (f"Nothing rubs over {over.pretty}.",)
    said = []
    moves = {} if resolution is None else {move.degree: move for move in resolution.moves}
    for _, degree, why in clashes:
        said.append(sentence(why))
        if degree in moves:
            said.append(f"{_excuse(moves[degree])}.")
    return tuple(said)


def _excuse(move: Move) -> str:
    """Say how a note that rubs goes on."""
    start = "But it moves on" if move.semitones else "But it waits for what follows"
    return f"{start}: {note_move(move)}"


def move_words(resolution: Resolution | None, outside: int) -> tuple[str, ...]:
    """Say where the notes go and, where they are more than a lone note, what they add."""
    if resolution is None or len(resolution.colour) == EVERYTHING:
        return ()
    said = resolution.words[:-1]
    if outside and len(resolution.colour) > 1:
        verb = "take away" if resolution.added_pulls < 0 else "add"
        said = (*said, f"together these notes {verb} {resolution.added_words}")
    return tuple(map(sentence, said))


def evidence_words(counts: Evidence | None) -> tuple[str, ...]:
    """Say how often a lone note was played."""
    return () if counts is None else (counts.words,)
