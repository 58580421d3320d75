"""Shortcuts: the shapes that bring wanted degrees over a chord, best first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import islice

from theorykit.errors import TheoryError, expect
from theorykit.harmony.agreement import why_against
from theorykit.harmony.colours import Colour, as_degrees_over, colour, takes_colour
from theorykit.harmony.resolution import of_target
from theorykit.harmony.shape_search import candidates, mask_of, rank
from theorykit.harmony.shapes import SHAPES, Shape, spelled_shape
from theorykit.harmony.tensions import (
    as_chord,
    as_target,
    degree_names,
    stands_for_third,
    why_it_rubs,
    written_pair,
)
from theorykit.harmony.wording import TONIC_NAMES, route
from theorykit.notes.chord import Chord
from theorykit.notes.degree import AWKWARD, Degree, above, degrees, written_above
from theorykit.notes.key import Key
from theorykit.notes.note import Note, pretty_words
from theorykit.notes.reader import Reader
from theorykit.notes.values import Value

__all__ = [
    "Shortcut",
    "every_shape",
    "once_each",
    "shortcuts",
    "ways_to_think",
]

_NAMED = degrees("1 b9 9 b3 3 4 #11 5 b6 6 b7 7")  # the degrees that ``route`` names
FIFTH_BELOW = 5  # half steps above the root of V
TRITONE = 6  # where a sharp 11 and a flat 5 are one key, and a root takes either name
THIRD = Degree(3)
OF_TWO = degrees("1 b3 5 b7")


@dataclass(frozen=True, slots=True, repr=False)
class Shortcut(Value):
    """A shape on a root over a chord.

    ``row`` is the shape's row, ``place`` how many half steps above the chord's root it stands;
    ``second`` is the place of the other triad of a pair, or None.

    >>> from theorykit import shortcuts
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

    def __post_init__(self) -> None:
        """Refuse what is no shape."""
        for one, kind in ((self.chord, Chord), (self.target, Chord), (self.row, Shape)):
            expect(one, kind, "a shape over a chord", "one of shortcuts")

    @property
    def root(self) -> Note:
        """The root of the shape, named so that its notes read easily.

        >>> str(shortcuts("Db7", "altered")[0].root), str(shortcuts("B7", "b9 13")[0].root)
        ('D', 'Ab')
        """
        return self._spelled(self.place)[0]

    @property
    def shape(self) -> str:
        """The shape as text: ``E``, ``Abm``, ``Bdim7``, ``Ab melodic minor``.

        >>> [found.shape for found in shortcuts("Ab7", "9 #11 13")][:3]
        ['Bb', 'Bb7', 'Gbmaj7#5']
        """
        name = f"{self.root}{self.row.suffix}"
        if self.second is None:
            return name
        return f"{name} and {self._spelled(self.second)[0]}{self.row.suffix}"

    @property
    def pretty(self) -> str:
        """The shape with ♭ and ♯.

        >>> shortcuts("Db7", "b9 13")[0].pretty, shortcuts("F#7", "altered")[0].pretty
        ('B♭', 'G melodic minor')
        """
        return pretty_words(self.shape)

    @property
    def notes(self) -> tuple[Note, ...]:
        """The notes as the shape itself is spelled, root first.

        >>> [str(note) for note in shortcuts("F7", "b9 13")[0].notes]
        ['D', 'F#', 'A']
        """
        own = self._spelled(self.place)[1]
        return own if self.second is None else own + self._spelled(self.second)[1]

    @property
    def degrees(self) -> tuple[Degree, ...]:
        """What each note of the shape is over the chord, in the shape's order.

        >>> [str(degree) for degree in shortcuts("F7", "b9 13")[0].degrees]
        ['13', 'b9', '3']
        """
        names = degree_names(self.chord)
        return tuple(names[semitone] for semitone in self.semitones)

    @property
    def function_notes(self) -> tuple[Note, ...]:
        """The notes spelled by what they are over the chord, in the shape's order.

        >>> [str(note) for note in shortcuts("F7", "b9 13")[0].function_notes]
        ['D', 'Gb', 'A']
        """
        return tuple(written_above(self.chord.root, degree) for degree in self.degrees)

    @property
    def semitones(self) -> tuple[int, ...]:
        """The half steps of the notes above the root of the chord, in the shape's order.

        >>> shortcuts("F7", "b9 13")[0].semitones
        (9, 1, 4)
        """
        places = (self.place,) if self.second is None else (self.place, self.second)
        return tuple((p + d.semitone) % 12 for p in places for d in self.row.degrees)

    @property
    def adds(self) -> tuple[Degree, ...]:
        """The degrees that are no tones of the chord.

        >>> [str(degree) for degree in shortcuts("Ab7", "b9 13")[0].adds]
        ['13', 'b9']
        """
        return tuple(degree for degree in self.degrees if degree not in self.chord.degrees)

    @property
    def extra(self) -> tuple[Degree, ...]:
        """The degrees that it adds though they were not asked for.

        >>> [str(degree) for degree in shortcuts("Ab7", "b9")[-1].extra]
        ['7', '9', '11', 'b13']
        """
        asked = {degree.semitone for degree in self.wanted}
        return tuple(degree for degree in self.adds if degree.semitone not in asked)

    @property
    def clashes(self) -> tuple[Degree, ...]:
        """The degrees that rub over the chord or a minor target, or contradict the symbol.

        >>> [str(degree) for degree in shortcuts("Ab7", "b9")[-1].clashes]
        ['7', '11']
        """
        return tuple(d for d in self.degrees if self._why(d))

    @property
    def why_clashes(self) -> tuple[str, ...]:
        """Why each clash rubs, in words.

        >>> shortcuts("Ab7", "b9")[-1].why_clashes[0]
        'the natural 7, G, rubs against the ♭7, G♭'
        """
        return tuple(self._why(degree) for degree in self.clashes)

    @property
    def routes(self) -> tuple[str, ...]:
        """The root as a degree of V, of I and of the ii, and as a half step from V and from I.

        Where the chord is no V, or does not lead to I, its routes name the chords instead; a
        tritone substitute is not the V of its I.

        >>> shortcuts("Ab7", "b9 13")[0].routes
        ('the 6th of V', 'the 3rd of I', 'the 9th of ii')
        """
        v = self._whose
        one = of_target(self.chord, self.target)
        of_one = (self.place + self.chord.root.semitone - self.target.root.semitone) % 12
        found = [route(self.place, v, self.chord.degrees), route(of_one, one, self.target.degrees)]
        if one in TONIC_NAMES and (self.place - of_one) % 12 == FIFTH_BELOW:
            found.append(route(self.place - 7, "ii", OF_TWO))
        if self.place in (1, 11):
            found.insert(0, _half_step(self.place, v))
        if of_one in (1, 11):
            found.append(_half_step(of_one, one))
        return tuple(found)

    @property
    def words(self) -> str:
        """The shortcut in a sentence.

        >>> from theorykit import shortcuts
        >>> shortcuts("G7", "altered")[0].words
        'A♭ melodic minor scale, a half step above V: the ♭9 of V, the ♭6th of I'
        >>> shortcuts("G7", "b9 13")[0].words
        'E major triad on the 6th of V, which is the 3rd of I'
        >>> shortcuts("F7", "altered")[0].words
        'F♯ melodic minor scale, a half step above V: the ♭9 of V (G♭), the ♭6th of I'
        >>> shortcuts("G7", "b9 b13", "C minor")[0].words
        'A♭ minor triad, a half step above V: the ♭9 of V, the ♭6th of i'
        """
        noun, name = self.row.noun, self.root.pretty
        if self.second is not None:
            two = f"{name} and {self._spelled(self.second)[0].pretty}"
            whose = self._whose
            own = self.chord.degrees
            places = f"{route(self.place, whose, own)} and {route(self.second, whose, own)}"
            return f"{noun}s on {two}: {places}"
        near = [one for one in self.routes if one.startswith("a half step")]
        of_v, of_one = [one for one in self.routes if one not in near][:2]
        of_v += self._other_name()
        if not near:
            return f"{name} {noun} on {of_v}, which is {of_one}"
        return f"{name} {noun}, {near[0]}: {of_v}, {of_one}"

    def written_for(self, who: Reader | str) -> Shortcut:
        """Return the shortcut on the page of a reader: the same shape over the chord that is read.

        >>> from theorykit import shortcuts
        >>> over_a7 = shortcuts("G7", "b9 13")[0].written_for("trumpet")
        >>> str(over_a7.chord), over_a7.words
        ('A7', 'F♯ major triad on the 6th of V, which is the 3rd of I')
        """
        chord, target = written_pair(self.chord, self.target, who)
        return replace(self, chord=chord, target=target)

    @property
    def _whose(self) -> str:
        """What sentences call the chord: V where it falls a fifth, else by its symbol."""
        fall = (self.target.root.semitone - self.chord.root.semitone) % 12
        is_v = self.chord.kind.is_dominant and fall == FIFTH_BELOW
        return "V" if is_v else self.chord.pretty

    def _other_name(self) -> str:
        """Name the degree of the chord that the shape stands on, where its root is another name.

        A double accidental would help nobody, nor E#, B#, Cb or Fb where no page writes it.
        """
        asked = above(self.chord.root, _NAMED[self.place])
        seen = {*self.chord.notes, *self.function_notes}
        awkward = asked in AWKWARD and asked not in seen
        if asked == self.root or self.place == TRITONE or abs(asked.alteration) > 1 or awkward:
            return ""
        return f" ({asked.pretty})"

    def _why(self, degree: Degree) -> str:
        """Say why a degree rubs, or nothing; a suspension that was asked for is no accident."""
        replaced = stands_for_third(degree, self.wanted)
        rubs = why_it_rubs(self.chord, degree.semitone, self.target, replaced=replaced)
        return rubs or _against(self.chord, degree)

    def _spelled(self, place: int) -> tuple[Note, tuple[Note, ...]]:
        """Return root and notes of the shape on a place, in the spelling that reads best."""
        return spelled_shape(self.chord, self.row, place)

    def __repr__(self) -> str:
        found = " ".join(map(str, self.degrees))
        return f"<{self.shape} over {self.chord}: {found}>"

    def __str__(self) -> str:
        return self.shape


def _against(chord: Chord, degree: Degree) -> str:
    """Say what a degree contradicts in the symbol of a dominant, or nothing."""
    return why_against(chord, degree) if chord.kind.is_dominant else ""


def _half_step(semitone: int, whose: str) -> str:
    """Say on which side of a root a neighbour lies."""
    return f"a half step {'above' if semitone == 1 else 'below'} {whose}"


def shortcuts(
    chord: Chord | str,
    degrees_or_colour: Colour | str | Iterable[Degree | str],
    target: Chord | Key | str | None = None,
) -> tuple[Shortcut, ...]:
    """Return every shape that brings the wanted degrees over a chord, best first.

    Every shape of the table is tried on all twelve roots, and pairs of like triads a whole step
    apart where five or more degrees are wanted. Best first means, in this order: no clash that was
    not asked for; the wanted degrees and nothing else but chord tones; fewer notes; the plainer
    shape; at least one guide tone (3 or b7); the root that players look for first. ``target`` is
    what the chord goes to: a chord, a key, ``"minor"``; a major triad a fifth below if not given.
    A colour is for a dominant; degrees may be looked for over any chord.

    >>> [s.shape for s in shortcuts("G7", "b9 b13")][:3]
    ['Abm', 'Fm7b5', 'Abm6']
    >>> shortcuts("Db7", "altered")[0].shape
    'D melodic minor'
    """
    over = as_chord(chord)
    goal = as_target(over, target)
    wanted = as_degrees_over(over, degrees_or_colour)
    if not wanted:
        raise TheoryError("no degrees to look for (want a colour or degrees such as 'b9 13')")
    joining = _passing(degrees_or_colour) if takes_colour(over) else ()
    need = mask_of(wanted)
    free = need | mask_of(joining) | mask_of(over.degrees)
    rubbing = _rubbing(over, goal) & ~free
    found = [(rank(c, free, rubbing), c) for c in candidates(wanted) if not need & ~c[0]]
    found.sort(key=lambda pair: pair[0])
    return tuple(
        Shortcut(over, goal, row, place, second, wanted) for _, (_, row, place, second) in found
    )


def _rubbing(over: Chord, goal: Chord) -> int:
    """Return as twelve bits what rubs over a chord, or contradicts its symbol."""
    names = degree_names(over)
    rubs = (s for s in range(12) if why_it_rubs(over, s, goal) or _against(over, names[s]))
    return sum(1 << sound for sound in rubs)


def ways_to_think(found: Iterable[Shortcut], most: int | None = None) -> tuple[Shortcut, ...]:
    """Return shortcuts that are worth a thought: each set of notes once, no scale without the 3rd.

    A scale that lacks the 3rd of the chord says another chord; where the 3rd was suspended by the
    wish it need not hold it. Of the names of one set of notes the first is kept, which is the best.
    ``most`` is how many are wanted; without it, all.

    >>> [one.shape for one in shortcuts("G7", "b9 b13")][:3]
    ['Abm', 'Fm7b5', 'Abm6']
    >>> [one.shape for one in ways_to_think(shortcuts("G7", "b9 b13"))][:3]
    ['Abm', 'Fm7b5', 'Abm(maj7)']
    """
    worth = (one for one in found if one.row.family != "scale" or _holds_third(one))
    return tuple(islice(_once_each(worth), most))


def once_each(found: Iterable[Shortcut]) -> tuple[Shortcut, ...]:
    """Return the first of the shortcuts that have the same notes."""
    return tuple(_once_each(found))


def _once_each(found: Iterable[Shortcut]) -> Iterator[Shortcut]:
    """Run through the first of the shortcuts that have the same notes."""
    seen: set[frozenset[int]] = set()
    for one in found:
        sound = frozenset(one.semitones)
        if sound not in seen:
            seen.add(sound)
            yield one


def _holds_third(one: Shortcut) -> bool:
    """Tell whether a shortcut holds the 3rd of its chord, if it is not to be replaced."""
    return _thirds(one.chord, one.wanted) <= {*one.semitones}


@lru_cache(maxsize=64)  # asked for each shortcut of a chord
def _thirds(chord: Chord, wanted: tuple[Degree, ...]) -> frozenset[int]:
    """Return the half steps of the 3rd of a chord, none where it is to be replaced."""
    if any(stands_for_third(degree, wanted) for degree in wanted):
        return frozenset()
    return frozenset(d.semitone for d in chord.degrees if d.number == THIRD.number)


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


def _passing(wanted: object) -> tuple[Degree, ...]:
    """Return the degrees that may join a colour, however it was named."""
    if isinstance(wanted, str):
        try:
            wanted = colour(wanted)
        except ValueError:
            return ()
    return wanted.passing if isinstance(wanted, Colour) else ()
