"""The styles of a piano voicing: which degrees, from the bottom, each the nearest above the last.

Sources: shells and the two rootless positions as in Mark Levine, *The Jazz Piano Book*, 1989;
upper structures over guide tones as in Wikipedia, *Upper structure*; drop 2 as in Pease and Pullig,
*Modern Jazz Voicings*, 2001 (the books from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import product

from theorykit.lines.voicing_tones import ROOT, Tones
from theorykit.notes.degree import Degree

__all__ = ["STYLES", "Style"]

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
