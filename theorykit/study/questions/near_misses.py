"""Near misses: wrong answers that are near the right one by rule, the nearest first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from theorykit.harmony.colours import COLOURS, Colour
from theorykit.harmony.shortcuts import Shortcut, shortcuts
from theorykit.harmony.tensions import TENSION_NAMES
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.note import Note
from theorykit.study.questions.colour_judges import tensions_of
from theorykit.study.questions.typed import shape_typed

OTHER_QUALITY = {"": "m", "m": "", "7": "maj7", "maj7": "m7", "m7b5": "dim7", "dim7": "m7b5"}
OTHER_SCALE = {
    " melodic minor": " harmonic minor",
    " harmonic minor": " melodic minor",
    " whole-half diminished": " half-whole diminished",
}
# Roots as they are written most often (common practice), of major shapes and of minor ones: in a
# key without flats, and in one that has some, where only the leading note is sharp, and F sharp
# minor, which would have a double flat as G flat minor.
ROOTS = ("C Db D Eb E F F# G Ab A Bb B".split(), "C C# D Eb E F F# G G# A Bb B".split())
FLAT_ROOTS = ("C Db D Eb E F Gb G Ab A Bb B".split(), "C Db D Eb E F F# G Ab A Bb B".split())
MINOR_SIGNS = 3  # flats more than in the major key on the same note
NEAR = 5  # neighbouring colours whose shapes are tried
STEPS_ASIDE = (1, -1, 2, -2)  # half steps from the right place to a near one


def near_colours(own: Colour, mode: str) -> tuple[Colour, ...]:
    """Return the other colours of a mode that sound differently, the most alike first.

    >>> from theorykit.harmony.colours import colour
    >>> [row.name for row in near_colours(colour("b9 13"), "major")][:3]
    ['b9 #11 13', 'b9', 'b9 b13']
    """
    sounds = _sounds(own)
    others = (row for row in COLOURS if row.suits(mode))
    unlike = [row for row in others if tensions_of(row.degrees) != tensions_of(own.degrees)]
    return tuple(
        sorted(
            unlike,
            key=lambda row: (
                len(tensions_of(row.degrees) ^ tensions_of(own.degrees)),
                len(_sounds(row) ^ sounds),
            ),
        )
    )


def colours_apart(own: Colour, mode: str) -> tuple[Colour, ...]:
    """Return the near colours that miss a tension of a colour: one that has all is right as well.

    >>> from theorykit.harmony.colours import colour
    >>> [row.name for row in colours_apart(colour("b9 13"), "major")][:3]
    ['b9', 'b9 b13', 'tritone substitute']
    """
    wanted = tensions_of(own.degrees)
    return tuple(row for row in near_colours(own, mode) if not wanted <= _sounds(row))


def _sounds(row: Colour) -> frozenset[int]:
    """Return a colour in half steps above the root of V."""
    return frozenset(degree.semitone for degree in row.degrees)


@lru_cache(maxsize=2048)
def best_shortcut(v: Chord, row: Colour, target: Chord) -> Shortcut:
    """Return the shape to think of for a colour.

    >>> from theorykit.harmony.colours import colour
    >>> best_shortcut(Chord.parse("Ab7"), colour("altered"), Chord.parse("Dbmaj7")).shape
    'A melodic minor'
    """
    return shortcuts(v, row, target)[0]


def near_shapes(best: Shortcut, own: Colour, mode: str) -> Iterator[str]:
    """Run through shapes near a shortcut: of neighbouring colours, of its root, a step aside.

    Each misses a tension of the colour: C♯ minor brings ♭9 and 13 over G7 as E does. Each
    is told once: G flat minor and F sharp minor are one.

    >>> from theorykit.harmony.colours import colour
    >>> found = best_shortcut(Chord.parse("G7"), colour("b9 13"), Chord.parse("Cmaj7"))
    >>> list(near_shapes(found, colour("b9 13"), "major"))[:4]
    ['Em', 'F', 'Bdim7', 'Abm']
    """
    wanted = {(best.chord.root.semitone + step) % 12 for step in tensions_of(own.degrees)}
    heard: set[frozenset[int]] = set()
    for name in _near_names(best, own, mode):
        sounds = frozenset(note.semitone for note in shape_typed(name).notes)
        if sounds not in heard and not wanted <= sounds:
            yield name
        heard.add(sounds)


def _near_names(best: Shortcut, own: Colour, mode: str) -> Iterator[str]:
    """Run through the names of near shapes, some sounds more than once."""
    suffix = best.row.suffix
    other = OTHER_QUALITY.get(suffix) or OTHER_SCALE.get(suffix)
    if suffix == "m":
        other = ""
    neighbours = [
        best_shortcut(best.chord, row, best.target) for row in near_colours(own, mode)[:NEAR]
    ]
    alike = [one for one in neighbours if one.row.family == best.row.family]
    aside = [f"{_aside(best, step, suffix)}{suffix}" for step in STEPS_ASIDE]
    if best.second is None and other is not None:
        yield f"{_aside(best, 0, other) if suffix in OTHER_QUALITY else best.root}{other}"
    yield from (one.shape for one in alike[:1])
    yield from aside[:1] if best.second is None else ()
    yield from (one.shape for one in (*neighbours[:2], *alike[1:], *neighbours[2:]))
    yield from aside[1:] if best.second is None else ()


def _aside(best: Shortcut, step: int, suffix: str) -> Note:
    """Return the root some half steps aside, as the trade writes it in the key of the target.

    >>> from theorykit.harmony.colours import colour
    >>> over = best_shortcut(Chord.parse("Bb7"), colour("b9"), Chord.parse("Ebmaj7"))
    >>> str(over.root), [str(_aside(over, step, "dim7")) for step in (-1, 4)]
    ('D', ['Db', 'Gb'])
    """
    semitone = (best.root.semitone + step) % 12
    home = best.target.root
    has_flats = home.fifths < MINOR_SIGNS * (Degree(3, -1) in best.target.degrees)
    if has_flats and semitone != (home.semitone - 1) % 12:
        return Note.parse(FLAT_ROOTS[suffix.startswith("m") and suffix[:3] != "maj"][semitone])
    minor = suffix.startswith(("m", "dim")) and suffix[:3] != "maj"
    return Note.parse(ROOTS[minor][semitone])


def near_degrees(own: Degree, offered: Iterable[Degree] = TENSION_NAMES) -> tuple[Degree, ...]:
    """Return other degrees, the nearest first: the same number, then a half step away, and on.

    >>> [str(degree) for degree in near_degrees(Degree(9, -1))][:3]
    ['9', '#9', '1']
    """
    others = [degree for degree in offered if degree.semitone != own.semitone]
    return tuple(
        sorted(others, key=lambda degree: (degree.number != own.number, _way(own, degree)))
    )


def _way(one: Degree, other: Degree) -> int:
    """Return how many half steps apart two degrees sound, the nearer way."""
    way = (one.semitone - other.semitone) % 12
    return min(way, 12 - way)
