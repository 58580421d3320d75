"""Subsets of the six tensions over a dominant, and the shapes that bring them, by search."""

from __future__ import annotations

from dataclasses import dataclass
from functools import reduce
from itertools import combinations, takewhile
from operator import or_

from theorykit.errors import TheoryError, expect, expect_all
from theorykit.harmony.shapes import SHAPES, Shape
from theorykit.harmony.shortcuts import Shortcut, every_shape, shortcuts
from theorykit.harmony.tensions import as_chord, as_target, why_it_rubs
from theorykit.harmony.wording import counted, listed
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.key import Key
from theorykit.notes.values import Value

__all__ = ["COLUMNS", "SIX_TENSIONS", "Subset", "subsets", "triad_groups"]

SIX_TENSIONS = degrees("b9 9 #9 #11 b13 13")
ALTERED = degrees("b9 #9 #11 b13")  # the chromatic tensions of a dominant (Terefenko, ch. 5)
NATURALS = degrees("7 11")
COMPACT = ("triad", "seventh")
_MASKS = {shape.suffix: shape.mask for shape in SHAPES}
COLUMNS: tuple[Shape, ...] = tuple(shape for shape in SHAPES if shape.family in COMPACT)


@dataclass(frozen=True, slots=True, repr=False)
class Subset(Value):
    """Some of the six tensions over a dominant, and what brings them.

    ``routes`` are the triads and seventh chords that bring them beside nothing but tones of the
    chord, best first; ``wider`` those that bring other tensions along, but nothing that rubs;
    ``smallest`` is the shape of any family with the fewest notes, or None where no shape of the
    table holds them all.

    >>> row = next(r for r in subsets("G7") if r.name == "b9 13")
    >>> [route.shape for route in row.routes][:2], row.cell("")
    (['E', 'E7'], ('E',))
    """

    chord: Chord
    target: Chord
    tensions: tuple[Degree, ...]
    routes: tuple[Shortcut, ...]
    wider: tuple[Shortcut, ...]
    smallest: Shortcut | None

    def __post_init__(self) -> None:
        """Refuse what are no tensions over a chord."""
        expect(self.chord, Chord, "a chord", "a Chord, or use subsets")
        expect_all(self.tensions, Degree, "tensions", "Degrees, or use subsets")
        for routes in (self.routes, self.wider):
            expect_all(routes, Shortcut, "routes", "Shortcuts, or use subsets")

    @property
    def name(self) -> str:
        """The tensions as text, plain ASCII; the empty text for none.

        >>> [row.name for row in subsets("Db7")][:4]
        ['', 'b9', '9', '#9']
        """
        return " ".join(map(str, self.tensions))

    @property
    def pretty(self) -> str:
        """The tensions for the eye.

        >>> [row.pretty for row in subsets("Db7")][:4]
        ['none', '♭9', '9', '♯9']
        """
        return " ".join(degree.pretty for degree in self.tensions) or "none"

    def cell(self, suffix: str) -> tuple[str, ...]:
        """Return the shapes of one kind that bring the tensions: a cell of the table.

        >>> row = next(row for row in subsets("Db7") if row.name == "b9 13")
        >>> row.cell(""), row.cell("7"), row.cell("m")
        (('Bb',), ('Bb7',), ())
        """
        return tuple(route.shape for route in self.routes if route.row.suffix == suffix)

    @property
    def cells(self) -> tuple[tuple[str, ...], ...]:
        """A cell for each of ``COLUMNS``: a row of the table.

        >>> row = next(row for row in subsets("Db7") if row.name == "b9 13")
        >>> [cell for cell in row.cells if cell]
        [('Bb',), ('Bb7',)]
        """
        return tuple(self.cell(shape.suffix) for shape in COLUMNS)

    @property
    def words(self) -> str:
        """The best route, or honestly that there is none so small.

        >>> rows = {row.name: row.words for row in subsets("G7")}
        >>> rows["b9 13"]
        'E major triad on the 6th of V, which is the 3rd of I; also E7'
        >>> rows["b9 9"]
        'no triad or seventh chord brings these alone; Amaj7♯5 brings ♯11 as well'
        >>> rows["9 b13"]
        'no triad or seventh chord brings these; the smallest shape that does is the G whole tone \
scale on the root of V, which is the 5th of I, with ♯11'
        >>> rows["#11"]
        'no triad or seventh chord brings this alone; D♭ brings ♭9 as well'
        """
        if not self.tensions:
            return f"these are tones of {self.chord.pretty} itself: no colour"
        if self.routes:
            others = [route.pretty for route in self.routes[1:]]
            also = f"; also {listed(others)}" if others else ""
            return self.routes[0].words + also + _but(self.routes[0])
        what = "these" if len(self.tensions) > 1 else "this"
        none = f"no triad or seventh chord brings {what}"
        if self.wider:
            best = self.wider[0]
            brings = f"{best.pretty} brings {_extra(best)} as well{_but(best)}"
            return f"{none} alone; {brings}"
        return f"{none}; {self._larger()}"

    def __str__(self) -> str:
        return f"{self.name or 'no tension'} over {self.chord}: {self.words}"

    def _about(self) -> str:
        routes = ", ".join(route.shape for route in self.routes)
        return f"{self.name or 'of no tension'} over {self.chord}: {routes or 'no shape'}"

    def _larger(self) -> str:
        """Name the smallest shape, with what comes along."""
        if self.smallest is None:
            return "nor does any other shape of the table"
        along = f", with {_extra(self.smallest)}" if self.smallest.extra else ""
        return (
            f"the smallest shape that does is the {self.smallest.words}{along}{_but(self.smallest)}"
        )


def _extra(route: Shortcut) -> str:
    """List the degrees that a shape brings besides."""
    found = sorted(route.extra, key=lambda degree: degree.semitone)
    return listed(f"natural {d}" if d in NATURALS else d.pretty for d in found)


def _but(route: Shortcut) -> str:
    """Say what rubs in a shape, if anything does."""
    return f"; but {'; '.join(route.why_clashes)}" if route.clashes else ""


def subsets(chord: Chord | str, target: Chord | Key | str | None = None) -> tuple[Subset, ...]:
    """Return all 64 subsets of the six tensions over a dominant, the smallest first.

    ``target`` is what the chord goes to, as in ``shortcuts``. A note that rubs is never brought
    along; a tension that rubs, such as the 13 before a minor tonic, is shown where it is asked for.

    >>> rows = subsets("G7")
    >>> len(rows), sum(bool(row.routes) for row in rows)
    (64, 27)
    """
    over = as_chord(chord)
    if not over.kind.is_dominant:
        raise TheoryError(f"no dominant: {str(over)!r} (want a chord such as G7, G7alt or G7sus4)")
    goal = as_target(over, target)
    rubs = sum(1 << place for place in range(12) if why_it_rubs(over, place, goal))
    return tuple(
        _subset(over, goal, wanted, rubs)
        for size in range(len(SIX_TENSIONS) + 1)
        for wanted in combinations(SIX_TENSIONS, size)
    )


def _subset(chord: Chord, target: Chord, wanted: tuple[Degree, ...], rubs: int) -> Subset:
    """Search one subset."""
    if not wanted:
        own = [s for family in COMPACT for s in every_shape(chord, family, target) if not s.adds]
        return Subset(chord, target, (), tuple(own), (), own[0] if own else None)
    found = shortcuts(chord, wanted, target)
    rubbing = rubs & ~sum(1 << degree.semitone for degree in wanted)
    clean = tuple(takewhile(lambda route: not rubbing & _sounds(route), found))
    compact = [route for route in clean if route.row.family in COMPACT and route.second is None]
    routes = tuple(takewhile(lambda route: not route.extra, compact))
    smallest = min(clean or found, key=lambda route: _sounds(route).bit_count(), default=None)
    return Subset(chord, target, wanted, routes, tuple(compact[len(routes) :]), smallest)


def _sounds(route: Shortcut) -> int:
    """Return the half steps of a shape above the chord's root as twelve bits."""
    mask = _MASKS[route.row.suffix]
    places = (route.place,) if route.second is None else (route.place, route.second)
    return reduce(or_, ((mask << place | mask >> (12 - place)) & 0xFFF for place in places))


@dataclass(frozen=True, slots=True)
class TriadGroups:
    """The 24 major and minor triads over a dominant, sorted by what they bring."""

    clashing: tuple[Shortcut, ...]
    plain: tuple[Shortcut, ...]
    upper: tuple[Shortcut, ...]

    @property
    def words(self) -> str:
        """What was found, counted.

        >>> triad_groups("G7").words
        'of 24 major and minor triads 12 hold the natural 11 or 7; 3 add at most a plain 9 or 13: \
G, Dm and Em; 9 are left, the upper structures: A, B♭, D♭, E♭, E, Gm, A♭m, B♭m and C♯m'
        """
        plain = listed(route.pretty for route in self.plain)
        upper = listed(route.pretty for route in self.upper)
        count = len(self.clashing) + len(self.plain) + len(self.upper)
        return (
            f"of {counted(count, 'major and minor triad')} {len(self.clashing)} hold the natural "
            f"11 or 7; {len(self.plain)} add at most a plain 9 or 13: {plain}; {len(self.upper)} "
            f"are left, the upper structures: {upper}"
        )


def triad_groups(chord: Chord | str) -> TriadGroups:
    """Return the major and minor triads over a dominant in three groups, found by search.

    First those that hold the natural 11 or 7, which rub; then those that add nothing, or a plain 9
    or 13; what is left are the upper structures.

    >>> [route.shape for route in triad_groups("C7").upper][:5]
    ['D', 'Eb', 'Gb', 'Ab', 'A']
    """
    triads = [s for s in every_shape(chord, "triad") if s.row.suffix in ("", "m")]
    free = [triad for triad in triads if not triad.clashes]
    return TriadGroups(
        tuple(triad for triad in triads if triad.clashes),
        tuple(triad for triad in free if not _altered(triad)),
        tuple(triad for triad in free if _altered(triad)),
    )


def _altered(triad: Shortcut) -> bool:
    """Tell whether a triad adds a chromatic tension."""
    return any(degree in ALTERED for degree in triad.adds)
