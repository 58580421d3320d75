"""Sentences about notes that a player brought."""

from __future__ import annotations

from collections.abc import Collection

from theorykit.harmony.chord_families import OUTSIDE, family, opposed, standings
from theorykit.harmony.counts import Evidence
from theorykit.harmony.identification.brought_notes import ColourMatch, Sounds, Suggestion
from theorykit.harmony.resolution import Move, Resolution
from theorykit.harmony.shortcuts import Shortcut
from theorykit.harmony.superimposition import move_words as note_move
from theorykit.harmony.tensions import degrees_over
from theorykit.harmony.wording import STEPS, listed, route, sentence
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, degrees, written_above
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note, pretty_words
from theorykit.notes.scales import SCALES

MOST_COLOURS = 3
EVERYTHING, SEVENTH, FIFTH = 12, 7, Degree(5)
PLAIN_DOMINANT = degrees("1 3 5 b7")
OPEN = ChordKind.of("1 5")  # a bass alone, with no third to name degrees by
THIRDS, THIRTEENTH, SIXTH = degrees("3 b3"), Degree(13), Degree(6)
FLAT_FIFTH, DIMINISHED_SEVENTH = degrees("b5 bb7")
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
    asked = written_above(over.root, degree)
    other = f" ({asked.pretty})" if asked != note else ""
    return f"{note.pretty} is the {name}{other}"


def _apart(notes: tuple[Note, ...]) -> str:
    """Say how far two notes are apart, the nearer way."""
    first, second = notes
    way = (second.semitone - first.semitone) % 12
    step = STEPS[min(way, 12 - way)].removeprefix("a ")
    return f"The two lie a {step} apart."


def bass_words(sounds: Sounds, over: Chord, other: Chord) -> tuple[str, ...]:
    """Say what the notes are over a foreign bass, and what the chord is heard as from there."""
    if over.lowest in over.notes or len(sounds.notes) == EVERYTHING:
        return ()
    bass = other if other != over else Chord(over.lowest, OPEN)
    found = degrees_over(bass, sounds.notes)
    places = listed(_place(n, bass, d) for n, d in zip(sounds.notes, found, strict=True))
    if other != over:
        return (f"{over.pretty} is heard as {other.pretty}; there {places}.",)
    return (f"Over the bass, {over.lowest.pretty}, {places}.",)


def tension_words(over: Chord, other: Chord, free: tuple[Degree, ...]) -> tuple[str, ...]:
    """Name the tensions of a chord that is no dominant; of one that is heard as one, its symbol."""
    if over.kind.is_dominant:
        return ()
    if other != over:
        return (f"Write it as {other.pretty} to ask for its colours.",)
    sevenths = tuple(degree for degree in free if _completes(over, degree))
    strangers = frozenset(degree.semitone for degree in family(over.kind).chromatic)
    passing = tuple(degree for degree in free if degree.semitone in strangers)
    rest = tuple(degree for degree in free if degree not in (*sevenths, *passing))
    return (
        *(_completed(over, degree) for degree in sevenths),
        *_tensions(over, rest, "tension", "and may be held"),
        *_tensions(over, passing, "chromatic tension", "for a line on its way"),
    )


def _completes(chord: Chord, degree: Degree) -> bool:
    """Tell whether a degree makes a sixth or seventh chord of one that leaves its 6 and 7 open."""
    is_bare = all(held.number not in (6, SEVENTH) for held in chord.degrees)
    is_triad = any(third in chord.degrees for third in THIRDS)
    return is_bare and (degree.number == SEVENTH or (degree == THIRTEENTH and is_triad))


def _completed(chord: Chord, degree: Degree) -> str:
    """Say which chord a 6th or 7th makes of a triad: the 13 of one is its 6."""
    if degree == THIRTEENTH:
        degree = DIMINISHED_SEVENTH if FLAT_FIFTH in chord.degrees else SIXTH
    whole = Chord(chord.root, ChordKind.of((*chord.degrees, degree)), chord.bass)
    return f"With the {degree.pretty} the chord is {whole.pretty}."


def _tensions(over: Chord, found: tuple[Degree, ...], kind: str, told: str) -> tuple[str, ...]:
    """Name tensions, and say what they are good for."""
    if not found:
        return ()
    names = listed(f"the {degree.pretty}" for degree in found)
    are = f"are {kind}s" if len(found) > 1 else f"is a {kind}"
    return (sentence(f"{names} {are} of {over.pretty}, {told}"),)


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
    is_plain, against = over.degrees == PLAIN_DOMINANT, _strange_to(over)
    strangers = tuple(degree for degree in outside if degree.semitone in against)
    if strangers and not is_plain:
        verb = "contradict" if len(strangers) > 1 else "contradicts"
        return (f"{_names(strangers)} {verb} what {over.pretty} says: no colour of it.",)
    meant = [match for match in matches if not _brings(match, found, against)]
    exact = [match for match in meant if match.is_exact]
    holding = [match for match in meant if match.holds and not match.is_exact]
    if exact:
        also = "They are also in" if len(outside) > 1 else "It is also in"
        return (_exactly(exact, over, found), *_held(holding[:MOST_COLOURS], also, over))
    they = "They are in" if len(found) > 1 else "It is in"
    return _held(holding[:MOST_COLOURS], they, over) or _near(meant, found)


def _strange_to(over: Chord) -> frozenset[int]:
    """Return the sounds that contradict a dominant; its plain 5 is kept or dropped."""
    strange = (s for s, standing in enumerate(standings(over.kind)) if standing == OUTSIDE)
    return frozenset((*opposed(over.kind), *(s for s in strange if s != FIFTH.semitone)))


def _brings(match: ColourMatch, found: tuple[Degree, ...], against: Collection[int]) -> bool:
    """Tell whether a colour brings a sound, asked by nobody, that contradicts the chord."""
    asked = {degree.semitone for degree in found}
    return any(d.semitone in against and d.semitone not in asked for d in match.colour.degrees)


def _exactly(exact: list[ColourMatch], over: Chord, found: tuple[Degree, ...]) -> str:
    """Name the colours whose tensions these are, a lone one with the 4 of a suspension."""
    names = f"{'colours' if len(exact) > 1 else 'colour'} {listed(m.colour.pretty for m in exact)}"
    several = len(exact[0].colour.tensions) > 1
    if several and len(found) == 1:
        return f"With the 4 of {over.pretty} it is the {names}."
    what = "These are the tensions" if several else "This is the tension"
    return f"{what} of the {names}."


def _held(holding: list[ColourMatch], start: str, over: Chord) -> tuple[str, ...]:
    """List colours that hold all the notes, with what each brings besides to the chord."""
    if not holding:
        return ()
    return (
        f"{start} {listed(f'{match.colour.pretty}{_more(match, over)}' for match in holding)}.",
    )


def _more(match: ColourMatch, over: Chord) -> str:
    """Say which tensions a colour adds that neither the notes nor the chord have."""
    held = {degree.semitone for degree in over.degrees}
    more = tuple(degree for degree in match.missing if degree.semitone not in held)
    return f" (adds {_names(more)})" if more else ""


def _near(matches: list[ColourMatch], found: tuple[Degree, ...]) -> tuple[str, ...]:
    """Name the nearest colour that has one of the tensions, with what it leaves out and adds."""
    none = f"No colour of the table holds {'all of them' if len(found) > 1 else 'it'}."
    given = {degree.semitone for degree in found}
    near = (m for m in matches if any(d.semitone in given for d in m.colour.tensions))
    match = next(near, None)
    if match is None:
        return (none,)
    adds = f" and adds {_names(match.missing)}" if match.missing else ""
    left = f"The nearest is {match.colour.pretty}, which leaves out {_names(match.extra)}{adds}."
    return none, left


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


def scale_words(
    scales: tuple[Shortcut, ...], over: Chord, fit: bool, found: tuple[Degree, ...]
) -> tuple[str, ...]:
    """Name the scales that hold the notes, and each by its name on the chord's own root."""
    if len(found) == EVERYTHING:
        return ()
    it = "them" if len(found) > 1 else "it"
    if fit:
        return (f"Scales of {over.pretty} that hold {it}: {listed(map(_scale, scales))}.",)
    said = f"No scale of {over.pretty} holds {it}"
    if not scales:
        return (f"{said}.",)
    names = listed(scale.pretty for scale in scales)
    return (f"{said}; by themselves they are in {names}.",)


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
    clashes: tuple[tuple[Note, Degree, str], ...],
    hard: tuple[Note, ...],
    over: Chord,
    resolution: Resolution | None,
) -> tuple[str, ...]:
    """Say what rubs, how hard, and where it may go on passing."""
    if not clashes:
        return (f"Nothing rubs over {over.pretty}.",)
    said = []
    moves = {} if resolution is None else {move.degree: move for move in resolution.moves}
    for note, degree, why in clashes:
        said.append(sentence(f"a hard clash: {why}" if note in hard else why))
        if note not in hard and degree not in moves:
            said.append("It is an avoid note: it may pass, and is not held.")
        if degree in moves:
            said.append(f"{_excuse(moves[degree], note in hard)}.")
    return tuple(said)


def _excuse(move: Move, is_hard: bool) -> str:
    """Say how a note that rubs goes on; one that clashes hard does not wait."""
    start = "But it moves on" if move.semitones else "But it waits for what follows"
    if is_hard:
        start = "It moves on" if move.semitones else "It belongs to what follows"
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
