"""Near misses: wrong answers that are near the right one by rule, the nearest first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from theorykit.harmony.colours import COLOURS, Colour
from theorykit.harmony.shapes import SHAPES
from theorykit.harmony.shortcuts import Shortcut, shortcuts
from theorykit.harmony.substitution import held_notes, sensible_roots
from theorykit.harmony.tensions import TENSION_NAMES
from theorykit.notes.chord import Chord
from theorykit.notes.degree import AWKWARD, Degree, above, degrees, plain_root, single
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note
from theorykit.study.questions.colour_judges import tensions_of
from theorykit.study.questions.typed import shape_typed

OTHER_QUALITY = {"": "m", "m": "", "7": "maj7", "maj7": "m7", "m7b5": "dim7", "dim7": "m7b5"}
OTHER_SCALE = {
    " melodic minor": " harmonic minor",
    " harmonic minor": " melodic minor",
    " whole-half diminished": " half-whole diminished",
}
# Roots that a key has not, as they are written most often (common practice), of major shapes and of
# minor ones: in a key with flats, with few sharps, with many.
FLAT_ROOTS = ("C Db D Eb E F Gb G Ab A Bb B".split(), "C Db D Eb E F F# G Ab A Bb B".split())
ROOTS = ("C Db D Eb E F F# G Ab A Bb B".split(), "C C# D Eb E F F# G G# A Bb B".split())
SHARP_ROOTS = ("C C# D D# E F F# G G# A A# B".split(),) * 2
MANY_SHARPS = 4
MINOR_THIRD = Degree(3, -1)
# The notes of a key and those between them, as they are written in it (common practice).
IN_MAJOR = degrees("1 b9 9 b3 3 4 #11 5 b6 6 b7 7")
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
        yield f"{_same_root(best, other) if suffix in OTHER_QUALITY else best.root}{other}"
    yield from (one.shape for one in alike[:1])
    yield from aside[:1] if best.second is None else ()
    yield from (one.shape for one in (*neighbours[:2], *alike[1:], *neighbours[2:]))
    yield from aside[1:] if best.second is None else ()


def _same_root(best: Shortcut, suffix: str) -> Note:
    """Return the root of a shape under another one: its own name, if that reads as well.

    The E flat major seventh chord of B7 has an E flat m7 beside it, the A flat triad a G sharp
    minor one, whose notes are in E.
    """
    named = _aside(best, 0, suffix)
    kind = _kind(suffix)
    return min((best.root, named), key=lambda root: sum(map(_hard, Chord(root, kind).notes)))


def _hard(note: Note) -> bool:
    """Tell whether a name is doubly altered, or E#, B#, Cb or Fb."""
    return abs(note.alteration) > 1 or note in AWKWARD


def _aside(best: Shortcut, step: int, suffix: str) -> Note:
    """Return the root some half steps aside, as the trade writes it in the key of the target.

    >>> from theorykit.harmony.colours import colour
    >>> over = best_shortcut(Chord.parse("Bb7"), colour("b9"), Chord.parse("Ebmaj7"))
    >>> str(over.root), [str(_aside(over, step, "dim7")) for step in (-1, 4)]
    ('D', ['Db', 'Gb'])
    """
    return near_roots(best.target, [(best.root.semitone + step, _kind(suffix))])[0]


@lru_cache(maxsize=64)
def _kind(suffix: str) -> ChordKind:
    """Return the chord that a shape is, or the one that its scale reads like."""
    row = next(row for row in SHAPES if row.suffix == suffix)
    if row.family in ("triad", "seventh"):
        return ChordKind.of(row.formula)
    if "diminished" in suffix:
        return ChordKind.of("1 b3 b5 bb7")
    return ChordKind.of("1 b3 5" if MINOR_THIRD in row.degrees else "1 3 5")


def near_roots(target: Chord, chords: Sequence[tuple[int, ChordKind]]) -> tuple[Note, ...]:
    """Return the roots of a row of chords as they are written on the way to a target.

    ``chords`` are the half steps of each root above C, in any octave, and its kind. The key has its
    own names; the others lean to the side of its signature, and a ii goes with its V.

    >>> minor, dominant = ChordKind.of("1 b3 5 b7"), ChordKind.of("1 3 5 b7")
    >>> for tonic in ("E", "C#m", "Gb", "C"):
    ...     found = near_roots(Chord.parse(tonic), [(10, minor), (15, dominant)])
    ...     print(tonic, *found, *near_roots(Chord.parse(tonic), [(11, dominant)]))
    E A# D# B
    C#m A# D# B
    Gb Bb Eb Cb
    C Bb Eb B
    """
    plain = (note for note in target.notes if note not in AWKWARD)
    held = (*held_notes(target), *plain)  # C#m6 brings A sharp along
    wishes = [(_wished(semitone % 12, kind, held), kind) for semitone, kind in chords]
    if len(wishes) > 1:
        ii, v, *others = sensible_roots(wishes, held)
        return (ii, v if ii.fifths - v.fifths == 1 else plain_root(ii.along(-1)), *others)
    ((wish, kind),) = wishes
    keeps = wish in held or kind.has("b5")
    root = wish if keeps else sensible_roots(wishes, held)[0]
    return (Chord(root, kind).readable_root(root, held),)


def _wished(semitone: int, kind: ChordKind, held: Sequence[Note]) -> Note:
    """Return the name of a root in a key: its own, or the one that is written most often there.

    A minor third with a double flat is for diminished seventh chords alone.
    """
    is_minor = kind.has("b3") and not kind.has("bb7")
    for own in (note for note in held if note.semitone == semitone):
        third = above(own, MINOR_THIRD).alteration
        if abs(own.alteration) <= 1 and not (is_minor and third < -1):
            return own
    signs = sum(note.alteration for note in held[:7])
    if signs < 0:
        return Note.parse(FLAT_ROOTS[is_minor][semitone])
    return Note.parse((SHARP_ROOTS if signs >= MANY_SHARPS else ROOTS)[kind.has("b3")][semitone])


def near_note(target: Chord, semitone: int) -> Note:
    """Return the name of a note in the key of a target: of the scale, or of a step between.

    >>> [str(near_note(Chord.parse(i), 5)) for i in ("C#m", "C", "B")]
    ['E#', 'F', 'E#']
    >>> [str(near_note(Chord.parse(i), 4)) for i in ("Abm", "C", "Gb")]
    ['Fb', 'E', 'Fb']
    """
    between = (above(target.root, degree) for degree in IN_MAJOR)
    named = (*held_notes(target), *between)
    return single(next(note for note in named if note.semitone == semitone % 12))


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
