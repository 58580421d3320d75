"""Styles of piano voicings: the degrees they may take, from the bottom, and how low.

A voicing has four places besides the root: third, fifth, seventh and ninth. Each place holds the
degrees that may fill it. A suspension fills the place of the third, a 6 that of a missing seventh,
a 13, a flat 13 or a sharp 11 that of the fifth (Mark Levine, *The Jazz Piano Book*, 1989, left-hand
voicings, from memory).

Sources: shells and the two rootless positions as in Mark Levine, *The Jazz Piano Book*, 1989;
upper structures over guide tones as in Wikipedia contributors, *Upper structure*, undated; drop 2
as in Pease and Pullig, *Modern Jazz Voicings*, 2001 (the books from memory).

The table gives, for an interval in half steps, the lowest MIDI number of its lower note. Source:
the low interval limits taught in jazz arranging, as in Ted Pease and Ken Pullig, *Modern Jazz
Voicings*, 2001 (from memory; printed tables differ from each other by about a half step). Intervals
that the table leaves out, the octave and what is wider than a tenth, have no limit here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product

from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, degrees
from theorykit.notes.key import Key

ROOT, THIRD, FIFTH, NINTH = degrees("1 3 5 9")
PLAIN = frozenset(degrees("1 3 5 b7"))
GUIDE_NUMBERS = (3, 6, 7)

# What players add to a bare symbol: the degrees that mark the family, then what may be added.
# Source: Terefenko, *Jazz Theory*, 2014, ch. 5 (the diatonic extensions of each family); a dominant
# that falls a fifth to a minor chord takes the b9 and the b13 of that key (common practice). The
# natural 9 of a half-diminished chord is left to the reader: tables disagree about it.
FAMILIES = (
    ("3 7", "9"),
    ("3 6", "9"),
    ("b3 5 b7", "9"),
    ("b3 5 7", "9"),
    ("b3 5 6", "9"),
    ("3 5 b7", "9 13"),
    ("4 5 b7", "9"),
)
_FAMILIES = tuple((frozenset(degrees(have)), degrees(added)) for have, added in FAMILIES)
TO_MINOR = degrees("b9 b13")
ALTERED = frozenset(degrees("b9 #9 b13"))  # a dominant that says so in its symbol is left as it is


@dataclass(frozen=True, slots=True)
class Tones:
    """The degrees that may fill each place of a voicing; an empty place is left out."""

    third: tuple[Degree, ...]
    fifth: tuple[Degree, ...]
    seventh: tuple[Degree, ...]
    ninth: tuple[Degree, ...]
    rest: tuple[Degree, ...]  # the root, and the fifth that a tension has pushed out of its place

    @property
    def all(self) -> tuple[Degree, ...]:
        """Every degree that may sound, each once."""
        places = (self.rest, self.third, self.fifth, self.seventh, self.ninth)
        return tuple(dict.fromkeys(degree for place in places for degree in place))

    @property
    def root(self) -> tuple[Degree, ...]:
        """The root, if it may sound above the bass."""
        return self.rest[:1] if ROOT in self.rest else ()

    @property
    def tensions(self) -> tuple[Degree, ...]:
        """The degrees of fifth and ninth that are no tones of a plain chord."""
        return tuple(degree for degree in (*self.fifth, *self.ninth) if degree.number > 7)


def tones_of(
    chord: Chord,
    *,
    colour: tuple[Degree, ...] = (),
    target: Chord | None = None,
    key: Key | None = None,
) -> Tones:
    """Return what a voicing of a chord may take.

    With a ``colour``, a set of degrees over the chord, nothing sounds that contradicts it. Without
    one, ``target`` (the chord that follows) and ``key`` decide what is added to a bare symbol.

    >>> v7 = Chord.parse("G7")
    >>> [str(d) for d in tones_of(v7).fifth], [str(d) for d in tones_of(v7).ninth]
    (['13'], ['9'])
    >>> [str(d) for d in tones_of(v7, target=Chord.parse("Cm")).all]
    ['3', 'b13', 'b7', 'b9']
    >>> [str(d) for d in tones_of(v7, colour=tuple(degrees("#9 5 b7"))).all]
    ['1', '5', '3', 'b7', '#9']
    """
    found = chord.degrees
    added = () if colour else _added(chord, target, key)
    tensions = tuple(d for d in colour if d not in PLAIN) if colour else added
    kept = [d for d in found if not _contradicts(d, tensions, colour)]
    if THIRD in colour:  # a colour with its own third has its 11 in passing
        colour = tuple(d for d in colour if (d.number, d.alteration) != (11, 0))
    return _placed((*kept, *(d for d in (*colour, *added) if d not in kept)))


def _added(chord: Chord, target: Chord | None, key: Key | None) -> tuple[Degree, ...]:
    """Return what players add to a bare symbol."""
    have = frozenset(chord.degrees)
    if have & ALTERED:
        return ()
    added = next((more for family, more in _FAMILIES if family <= have), ())
    numbers = {degree.number for degree in have}
    if Degree(13) in added and target is not None and _falls_to_minor(chord, target):
        added = () if numbers & {9, 11, 13} else TO_MINOR
    filled = numbers | ({13} if numbers & {11, 13} else set())
    wanted = tuple(degree for degree in added if degree.number not in filled)
    return wanted if key is None else _of_key(wanted, chord, key)


def _falls_to_minor(chord: Chord, target: Chord) -> bool:
    """Tell whether a chord falls a fifth to a minor chord."""
    fifth = (chord.root.semitone - target.root.semitone) % 12 == FIFTH.semitone
    return fifth and target.kind.has("b3")


def _of_key(added: tuple[Degree, ...], chord: Chord, key: Key) -> tuple[Degree, ...]:
    """Leave out what the key does not hold, where the key holds the whole chord."""
    held = {note.semitone for note in key.notes}
    if not {note.semitone for note in chord.notes} <= held:
        return added
    return tuple(degree for degree in added if above(chord.root, degree).semitone in held)


def _contradicts(degree: Degree, tensions: tuple[Degree, ...], colour: tuple[Degree, ...]) -> bool:
    """Tell whether a tone of the chord rubs a half step against a tension, and must give way.

    The guide tones stay, unless the colour brings its own fourth or seventh in their place.
    """
    if degree in colour:
        return False
    if degree.number in GUIDE_NUMBERS:
        place = (4, 11) if degree.number == 3 else (7,)
        return bool(colour) and any(d.number in place and not d.alteration for d in tensions)
    return any((degree.semitone - d.semitone) % 12 in (1, 11) for d in tensions)


def _placed(found: tuple[Degree, ...]) -> Tones:
    """Sort degrees into the places of a voicing."""
    third, natural_eleventh = _thirds(found)
    sevenths = tuple(d for d in found if d.number == 7)
    sixths = tuple(d for d in found if d.number in (6, 13))
    high = tuple(d for d in found if d.number == 11 and d not in third and not natural_eleventh)
    upper = (*high, *(sixths if sevenths else ()))
    fifths = tuple(d for d in found if d.number == 5)
    half_diminished = Degree(5, -1) in fifths and Degree(3, -1) in third
    ninth = tuple(d for d in found if d.number in (2, 9) and d not in third)
    if half_diminished:  # its flat fifth is what makes it; an eleventh goes on top
        ninth, upper = (*ninth, *upper), ()
    rest = tuple(d for d in found if d.number in (1, 5))
    return Tones(third, upper or fifths, sevenths or sixths, ninth, rest)


def _thirds(found: tuple[Degree, ...]) -> tuple[tuple[Degree, ...], bool]:
    """Return what fills the place of the third, and whether a natural 11 must stay out.

    Over a major third the natural 11 is avoided; a dominant eleventh chord gives up its third
    instead (common practice: C11 is played as a suspended chord).
    """
    thirds = tuple(d for d in found if d.number == 3)
    elevenths = tuple(d for d in found if d.number in (4, 11) and d.alteration == 0)
    if not thirds:
        return elevenths or tuple(d for d in found if d.number == 2), False
    if THIRD in thirds and elevenths:
        dominant = Degree(7, -1) in found
        return (elevenths, False) if dominant else (thirds, True)
    return thirds, False


# === Styles ===

Arrangement = tuple[Degree, ...]

# Half steps above its root: major, minor, diminished, augmented.
TRIADS = ((0, 4, 7), (0, 3, 7), (0, 3, 6), (0, 4, 8))


@dataclass(frozen=True, slots=True)
class Style:
    """A way to voice: its name, its range in MIDI numbers, what it is in words.

    ``lowest`` is the lowest bottom note, ``top`` the lowest and the highest top note.
    """

    name: str
    lowest: int
    top: tuple[int, int]
    words: str
    arrange: Callable[[Tones], Iterator[Arrangement]]


def _choices(*places: tuple[Degree, ...]) -> Iterator[Arrangement]:
    """Yield one degree for each place that has any."""
    return product(*(place for place in places if place))


def _four(tones: Tones) -> Iterator[Arrangement]:
    """Yield third, fifth, seventh and ninth; what is missing gives its place to the root."""
    sevenths = tones.seventh or (() if tones.ninth else tones.root)
    ninths = tones.ninth or (tones.root if tones.seventh else ())
    fifths = tones.fifth
    if not any(degree.alteration for degree in ninths):  # an altered fifth must tell the colour
        fifths = tuple(degree for degree in fifths if degree.alteration) or fifths
    return _choices(tones.third or fifths[:1], fifths, sevenths, ninths)


def _distinct(chosen: Arrangement) -> Arrangement:
    """Leave out what stands twice."""
    return tuple(dict.fromkeys(chosen))


def _shells(tones: Tones) -> Iterator[Arrangement]:
    """Yield root, third and seventh, and root, seventh and third."""
    sevenths = tones.seventh or tones.fifth
    for chosen in _choices(tones.third, sevenths):
        yield (ROOT, *chosen)
        yield (ROOT, *reversed(chosen))


def _rootless(tones: Tones) -> Iterator[Arrangement]:
    """Yield the two positions: third at the bottom, seventh at the bottom."""
    for chosen in _four(tones):
        notes = _distinct(chosen)
        yield notes
        yield notes[-2:] + notes[:-2]
        if len(notes) < 4:
            yield notes[1:] + notes[:1]


def _drop2(tones: Tones) -> Iterator[Arrangement]:
    """Yield each inversion of the close chord with its second note from the top an octave down."""
    for chosen in _four(tones):
        notes = sorted(_distinct(chosen), key=lambda degree: degree.semitone)
        for turn in range(len(notes)):
            close = (*notes[turn:], *notes[:turn])
            yield (close[-2], *close[:-2], close[-1]) if len(notes) > 2 else close


def _upper(tones: Tones) -> Iterator[Arrangement]:
    """Yield guide tones under the triads that bring the most tensions."""
    triads = list(_triads(tones))
    if not triads or not tones.third:
        yield from _drop2(tones)
        return
    most = max(sum(degree in tones.tensions for degree in triad) for triad in triads)
    guides = [(t, s) for t in tones.third for s in tones.seventh or tones.fifth[:1]]
    for triad in triads:
        if sum(degree in tones.tensions for degree in triad) == most:
            for low, turn in product((g[::way] for g in guides for way in (1, -1)), range(3)):
                yield (*low, *triad[turn:], *triad[:turn])


def _triads(tones: Tones) -> Iterator[Arrangement]:
    """Yield the triads that can be built of the degrees that may sound."""
    named = {degree.semitone: degree for degree in reversed(tones.all)}
    for root, shape in product(range(12), TRIADS):
        members = [(root + step) % 12 for step in shape]
        if all(member in named for member in members):
            yield tuple(named[member] for member in members)


STYLES = {
    style.name: style
    for style in (
        Style("shell", 43, (55, 70), "root, third and seventh for the left hand", _shells),
        Style("rootless", 48, (60, 74), "four notes for the left hand, no root", _rootless),
        Style("upper structure", 48, (66, 81), "a triad over the guide tones, two hands", _upper),
        Style("drop 2", 47, (62, 79), "a close chord, its second voice an octave lower", _drop2),
    )
}


# === Low intervals ===

LOW_INTERVAL_LIMITS = {
    1: 52,  # minor second from E3
    2: 51,  # major second from E flat 3
    3: 48,  # minor third from C3
    4: 46,  # major third from B flat 2
    5: 46,  # fourth from B flat 2
    6: 47,  # tritone from B2
    7: 34,  # fifth from B flat 1
    8: 43,  # minor sixth from G2
    9: 41,  # major sixth from F2
    10: 41,  # minor seventh from F2
    11: 41,  # major seventh from F2
    13: 40,  # minor ninth from E2
    14: 39,  # major ninth from E flat 2
    15: 36,  # minor tenth from C2
    16: 34,  # major tenth from B flat 1
}


def sounds_clear(midis: Sequence[int]) -> bool:
    """Tell whether every interval between climbing MIDI numbers keeps its low interval limit.

    >>> sounds_clear((48, 52, 59)), sounds_clear((41, 45, 52))
    (True, False)
    """
    limits = LOW_INTERVAL_LIMITS
    return all(low >= limits.get(high - low, 0) for low, high in combinations(midis, 2))
