"""Shortcuts: the shapes that bring wanted degrees over a chord, found by search."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from theorykit.harmony.colours import Colour, as_degrees, colour
from theorykit.harmony.shapes import SHAPES, Shape
from theorykit.harmony.tensions import as_chord, as_target, degree_names, why_it_rubs
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import Key
from theorykit.notes.note import Note, pretty_words
from theorykit.notes.spelling import AWKWARD, above, enharmonics, plain_root, readable

__all__ = ["Shortcut", "every_shape", "route", "shortcuts"]

ALL = 0xFFF
GUIDE_TONES = 1 << 4 | 1 << 10  # 3 and b7
PAIR_PLAINNESS = 17  # after every chord, before every scale
PAIR_STEP = 2  # half steps between the two roots of a triad pair
FEWEST_FOR_A_PAIR = 5  # wanted degrees from which a pair of triads is worth a thought

# Which root of a shape that repeats is named: a chord by its guide tone, a scale by the root of V
# or a half step above it, where players look first (common practice). Half steps above V.
_CHORD_ROOTS = (4, 10, 0, 7, 9, 2, 1, 3, 8, 6, 5, 11)
_SCALE_ROOTS = (0, 1, 7, 5, 2, 9, 4, 10, 3, 8, 6, 11)

# Roots that the trade names by another degree than the tension: a triad on the b3, not on the #9;
# a substitute on the b5, not on the #11 (common practice). By half steps above the root of V.
ROOT_NAMES = {3: Degree(3, -1), 6: Degree(5, -1)}

_ORDINALS = (
    "the root of {}", "the ♭9 of {}", "the 9th of {}", "the ♭3rd of {}", "the 3rd of {}",
    "the 4th of {}", "the ♯11 of {}", "the 5th of {}", "the ♭6th of {}", "the 6th of {}",
    "the ♭7th of {}", "the 7th of {}",
)  # fmt: skip


def route(semitone: int, whose: str) -> str:
    """Say which degree of a chord a note is, by half steps above that chord's root.

    >>> route(9, "V"), route(4, "I")
    ('the 6th of V', 'the 3rd of I')
    """
    return _ORDINALS[semitone % 12].format(whose)


@dataclass(frozen=True, slots=True)
class Shortcut:
    """A shape on a root over a chord.

    ``row`` is the shape's row, ``place`` how many half steps above the chord's root it stands;
    ``second`` is the place of the other triad of a pair, or None.

    >>> best = shortcuts("G7", "b9 13")[0]
    >>> best.shape, [str(n) for n in best.notes], [str(d) for d in best.degrees]
    ('E', ['E', 'G#', 'B'], ['13', 'b9', '3'])
    >>> [str(n) for n in best.function_notes], best.routes
    (['E', 'Ab', 'B'], ('the 6th of V', 'the 3rd of I', 'the 9th of ii'))
    """

    chord: Chord
    target: Chord
    row: Shape
    place: int
    second: int | None = None
    wanted: tuple[Degree, ...] = ()

    @property
    def root(self) -> Note:
        """The root of the shape, named so that its notes read easily."""
        return self._spelled(self.place)[0]

    @property
    def shape(self) -> str:
        """The shape as text: ``E``, ``Abm``, ``Bdim7``, ``Ab melodic minor``."""
        name = f"{self.root}{self.row.suffix}"
        if self.second is None:
            return name
        return f"{name} and {self._spelled(self.second)[0]}{self.row.suffix}"

    @property
    def pretty(self) -> str:
        """The shape with ♭ and ♯."""
        return pretty_words(self.shape)

    @property
    def notes(self) -> tuple[Note, ...]:
        """The notes as the shape itself is spelled, root first."""
        own = self._spelled(self.place)[1]
        return own if self.second is None else own + self._spelled(self.second)[1]

    @property
    def degrees(self) -> tuple[Degree, ...]:
        """What each note of the shape is over the chord, in the shape's order."""
        names = degree_names(self.chord)
        return tuple(names[semitone] for semitone in self.semitones)

    @property
    def function_notes(self) -> tuple[Note, ...]:
        """The notes spelled by what they are over the chord, in the shape's order."""
        return tuple(above(self.chord.root, degree) for degree in self.degrees)

    @property
    def semitones(self) -> tuple[int, ...]:
        """The half steps of the notes above the root of the chord, in the shape's order."""
        places = (self.place,) if self.second is None else (self.place, self.second)
        return tuple((p + d.semitone) % 12 for p in places for d in self.row.degrees)

    @property
    def adds(self) -> tuple[Degree, ...]:
        """The degrees that are no tones of the chord."""
        return tuple(degree for degree in self.degrees if degree not in self.chord.degrees)

    @property
    def extra(self) -> tuple[Degree, ...]:
        """The degrees that it adds though they were not asked for."""
        asked = {degree.semitone for degree in self.wanted}
        return tuple(degree for degree in self.adds if degree.semitone not in asked)

    @property
    def clashes(self) -> tuple[Degree, ...]:
        """The degrees that rub over the chord, or against a minor target."""
        return tuple(d for d in self.degrees if self._why(d))

    @property
    def why_clashes(self) -> tuple[str, ...]:
        """Why each clash rubs, in words."""
        return tuple(self._why(degree) for degree in self.clashes)

    @property
    def routes(self) -> tuple[str, ...]:
        """The root as a degree of V, of I and of the ii, and as a half step from V and from I."""
        of_one = (self.place + self.chord.root.semitone - self.target.root.semitone) % 12
        of_two = (self.place - 7) % 12
        found = [route(self.place, "V"), route(of_one, "I"), route(of_two, "ii")]
        if self.place in (1, 11):
            found.insert(0, _half_step(self.place, "V"))
        if of_one in (1, 11):
            found.append(_half_step(of_one, "I"))
        return tuple(found)

    @property
    def words(self) -> str:
        """The shortcut in a sentence.

        >>> shortcuts("G7", "altered")[0].words
        'A♭ melodic minor scale, a half step above V: the ♭9 of V, the ♭6th of I'
        >>> shortcuts("G7", "b9 13")[0].words
        'E major triad on the 6th of V, which is the 3rd of I'
        """
        noun, name = self.row.noun, self.root.pretty
        if self.second is not None:
            two = f"{name} and {self._spelled(self.second)[0].pretty}"
            return f"{noun}s on {two}: {route(self.place, 'V')} and {route(self.second, 'V')}"
        near = [one for one in self.routes if one.startswith("a half step")]
        of_v, of_one = [one for one in self.routes if one not in near][:2]
        if not near:
            return f"{name} {noun} on {of_v}, which is {of_one}"
        return f"{name} {noun}, {near[0]}: {of_v}, {of_one}"

    def _why(self, degree: Degree) -> str:
        """Say why a degree rubs, or nothing."""
        return why_it_rubs(self.chord, degree.semitone, self.target)

    def _spelled(self, place: int) -> tuple[Note, tuple[Note, ...]]:
        """Return root and notes of the shape on a place, in the spelling that reads best."""
        return _spell_shape(self.chord, self.row, place)

    def __str__(self) -> str:
        return self.shape


def _half_step(semitone: int, whose: str) -> str:
    """Say on which side of a root a neighbour lies."""
    return f"a half step {'above' if semitone == 1 else 'below'} {whose}"


def shortcuts(
    chord: Chord | str,
    degrees_or_colour: Colour | str | tuple[Degree | str, ...],
    target: Chord | Key | str | None = None,
) -> tuple[Shortcut, ...]:
    """Return every shape that brings the wanted degrees over a chord, best first.

    Every shape of the table is tried on all twelve roots, and pairs of like triads a whole step
    apart where five or more degrees are wanted. Best first means, in this order: no clash that was
    not asked for; the wanted degrees and nothing else but chord tones; fewer notes; the plainer
    shape; at least one guide tone (3 or b7); the root that players look for first. ``target`` is
    what the chord goes to: a chord, a key, ``"minor"``; a major triad a fifth below if not given.

    >>> [s.shape for s in shortcuts("G7", "b9 b13")][:3]
    ['Abm', 'Fm7b5', 'Abm6']
    >>> shortcuts("Db7", "altered")[0].shape
    'D melodic minor'
    """
    over = as_chord(chord)
    goal = as_target(over, target)
    wanted = as_degrees(degrees_or_colour)
    joining = _passing(degrees_or_colour)
    need = _mask(wanted)
    free = need | _mask(joining) | _mask(over.degrees)
    rubbing = sum(1 << s for s in range(12) if why_it_rubs(over, s, goal)) & ~free
    found = [(_rank(c, free, rubbing), c) for c in _candidates(wanted) if not need & ~c[0]]
    found.sort(key=lambda pair: pair[0])
    return tuple(
        Shortcut(over, goal, row, place, second, wanted) for _, (_, row, place, second) in found
    )


def every_shape(
    chord: Chord | str, family: str, target: Chord | Key | str | None = None
) -> tuple[Shortcut, ...]:
    """Return all shapes of one family on all twelve roots over a chord.

    >>> len(every_shape("G7", "triad"))
    48
    """
    over = as_chord(chord)
    goal = as_target(over, target)
    return tuple(
        Shortcut(over, goal, row, place)
        for row in SHAPES
        if row.family == family
        for place in range(12)
    )


_Candidate = tuple[int, Shape, int, int | None]


def _passing(wanted: object) -> tuple[Degree, ...]:
    """Return the degrees that may join a colour, however it was named."""
    if isinstance(wanted, str):
        try:
            wanted = colour(wanted)
        except ValueError:
            return ()
    return wanted.passing if isinstance(wanted, Colour) else ()


def _mask(found: tuple[Degree, ...]) -> int:
    """Return degrees as twelve bits."""
    mask = 0
    for degree in found:
        mask |= 1 << degree.semitone
    return mask


def _turned(mask: int, place: int) -> int:
    """Move a mask up by half steps."""
    return (mask << place | mask >> (12 - place)) & ALL


_SINGLE: tuple[_Candidate, ...] = tuple(
    (_turned(mask, place), row, place, None)
    for row, mask in ((row, row.mask) for row in SHAPES)
    for place in range(12)
)
_PAIRS: tuple[_Candidate, ...] = tuple(
    (first | _turned(row.mask, (place + PAIR_STEP) % 12), row, place, (place + PAIR_STEP) % 12)
    for first, row, place, _ in _SINGLE
    if row.family == "triad"
)


def _candidates(wanted: tuple[Degree, ...]) -> Iterator[_Candidate]:
    """Run through the shapes that may answer."""
    yield from _SINGLE
    if len(wanted) >= FEWEST_FOR_A_PAIR:
        yield from _PAIRS


def _rank(candidate: _Candidate, free: int, rubbing: int) -> tuple[int, ...]:
    """Return the place in the order that ``shortcuts`` promises."""
    mask, row, place, second = candidate
    roots = _SCALE_ROOTS if row.family == "scale" or second is not None else _CHORD_ROOTS
    return (
        (mask & rubbing).bit_count(),
        (mask & ~free).bit_count(),
        mask.bit_count(),
        row.plainness if second is None else PAIR_PLAINNESS,
        not mask & GUIDE_TONES,
        roots.index(place),
    )


@cache
def _spell_shape(chord: Chord, row: Shape, place: int) -> tuple[Note, tuple[Note, ...]]:
    """Return root and notes of a shape over a chord, in the spelling that reads best."""
    function = _function_names(chord)
    semitone = (chord.root.semitone + place) % 12
    wish = plain_root(above(chord.root, ROOT_NAMES[place])) if place in ROOT_NAMES else None
    wish = wish or plain_root(function[semitone])
    if place == 0:
        return wish, _spell_from(wish, row)
    stranger = 2 if place == 6 else 5  # on the tritone both names are at home
    root, notes, _ = min(
        _readings(row, semitone),
        key=lambda found: (
            found[2]
            + stranger * (found[0] != wish)
            + sum(note != function[note.semitone] for note in found[1]),
            found[0] != wish,
        ),
    )
    return root, notes


@cache
def _function_names(chord: Chord) -> tuple[Note, ...]:
    """Return the name of each of the twelve sounds by its degree over a chord, from C up."""
    notes = sorted((above(chord.root, d) for d in degree_names(chord)), key=lambda n: n.semitone)
    return tuple(notes)


@cache
def _readings(row: Shape, semitone: int) -> tuple[tuple[Note, tuple[Note, ...], int], ...]:
    """Return the ways to spell a shape on a root, each with how hard it reads."""
    spelled = ((root, _spell_from(root, row)) for root in enharmonics(semitone))
    return tuple((root, notes, _hardness(root, notes, row)) for root, notes in spelled)


def _spell_from(root: Note, row: Shape) -> tuple[Note, ...]:
    """Spell a shape by degree; one that repeats itself has no letters to keep and reads plainly."""
    notes = tuple(above(root, degree) for degree in row.degrees)
    return (root, *readable(notes[1:])) if row.repeats and len(notes) != 4 else notes


def _hardness(root: Note, notes: tuple[Note, ...], row: Shape) -> int:
    """Weigh a spelling: an awkward root, then double accidentals, awkward names, accidentals.

    A diminished fifth on a flat root brings a double flat that the trade is used to.
    """
    double = 3 if Degree(5, -1) in row.degrees and row.family != "scale" else 12
    return (
        10 * (root in AWKWARD)
        + sum(double * max(0, abs(note.alteration) - 1) for note in notes)
        + sum(3 * (note in AWKWARD) + abs(note.alteration) for note in notes)
    )
