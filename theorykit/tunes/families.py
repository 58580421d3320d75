"""Families of chords by their work in a cadence, and a tune as spans of them.

Which chords can stand for ii, V and I: common practice, as restated in the tests one by one. A
slash chord is heard from its bass where the trade hears it so: Dm7/G and F/G are G7 suspended,
Fm6/D is a half-diminished D, Bdim7/G is G7b9; G7/C and Bdim7/C stand over a pedal on C.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from theorykit.notes.chord import Chord
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note

__all__ = [
    "AUGMENTED",
    "DIMINISHED",
    "DIM_TRIAD",
    "DOMINANT",
    "FULL",
    "HALF",
    "LEADS",
    "MAJOR",
    "MINOR",
    "MINOR_7",
    "OPEN",
    "PEDAL",
    "SUBDOMINANT",
    "SUSPENDED",
    "SUS_TRIAD",
    "Span",
    "seventh_for",
    "spans_of",
    "stands_on",
]

MAJOR = "major"  # triads, sixths, major sevenths
MINOR = "minor"  # triads, sixths, with major seventh: a tonic, or a ii without its seventh
MINOR_7 = "minor seventh"
HALF = "half-diminished"
DOMINANT = "dominant"
SUSPENDED = "suspended dominant"
AUGMENTED = "augmented triad"
DIMINISHED = "diminished seventh"
DIM_TRIAD = "diminished triad"
SUS_TRIAD = "suspended triad"
OPEN = "open fifth"  # and the suspended second: nobody hears a third
PEDAL = "dominant over a pedal"  # over its own tonic, which is there already
SILENT = "silent"
# The families that can be a ii, that are a V by themselves, and that lead on as a V does.
SUBDOMINANT = frozenset((MINOR_7, HALF, MINOR, DIM_TRIAD))
FULL = frozenset((DOMINANT, SUSPENDED))
LEADS = frozenset((DOMINANT, SUSPENDED, AUGMENTED))


class Heard(NamedTuple):
    """A chord as the ear sorts it: the note it stands on, that as a number, its family.

    ``bare`` is true for a triad with at most an added 9; ``dark`` for a dominant that carries b9,
    #9 or b13, or a minor chord with the major seventh.
    """

    note: Note
    root: int
    family: str
    bare: bool
    dark: bool


_THIRDS = {(3, 0): "M", (3, -1): "m"}
_DARK = {(9, -1), (9, 1), (13, -1), (5, 1)}


@lru_cache(maxsize=1024)
def _family(kind: ChordKind) -> tuple[str, bool, bool]:
    """Return family, bare and dark of a kind."""
    has = {(degree.number, degree.alteration) for degree in kind.degrees}
    bare = not any(number in (6, 7) for number, _ in has)
    if not has:
        return SILENT, bare, False
    if (3, -1) in has:
        return _minor_family(has), bare, (7, 0) in has
    if (3, 0) in has:
        return _major_family(has), bare, bool(has & _DARK)
    if (7, -1) in has:
        return SUSPENDED, bare, bool(has & _DARK)
    return (SUS_TRIAD if (4, 0) in has else OPEN), bare, False


def _minor_family(has: set[tuple[int, int]]) -> str:
    """Sort a chord with a minor third."""
    if (5, -1) in has and (5, 0) not in has:
        if (7, -1) in has:
            return HALF
        return DIM_TRIAD if not {(7, -2), (7, 0), (6, 0)} & has else DIMINISHED
    return MINOR_7 if (7, -1) in has else MINOR


def _major_family(has: set[tuple[int, int]]) -> str:
    """Sort a chord with a major third."""
    if (7, -1) in has:
        return DOMINANT
    is_augmented = (5, 1) in has and not {(7, 0), (6, 0), (5, 0)} & has
    return AUGMENTED if is_augmented else MAJOR


# Family and half steps from root to bass, and what the whole is heard as, from the bass.
_FROM_BASS = {
    (MINOR_7, 5): SUSPENDED,  # Dm7/G
    (MINOR, 5): SUSPENDED,  # Dm/G
    (HALF, 5): SUSPENDED,  # Dm7b5/G
    (MAJOR, 2): SUSPENDED,  # F/G, Fmaj7/G
    (MAJOR, 9): MINOR_7,  # C/A, C6/A
    (MINOR, 9): HALF,  # Fm/D, Fm6/D
    **{(DIMINISHED, steps): DOMINANT for steps in (2, 5, 8, 11)},  # Bdim7/G
    (DOMINANT, 5): PEDAL,  # G7/C
    **{(DIMINISHED, steps): PEDAL for steps in (1, 4, 7, 10)},  # Bdim7/C
}


@lru_cache(maxsize=4096)
def heard(chord: Chord) -> Heard:
    """Return how a chord is heard.

    >>> [heard(Chord.parse(s)).family for s in ("Dm9", "C6/9", "G7alt", "Dm7/G")]
    ['minor seventh', 'major', 'dominant', 'suspended dominant']
    """
    family, bare, dark = _family(chord.kind)
    bass = chord.bass
    root = chord.root.semitone
    if bass is not None:
        instead = _FROM_BASS.get((family, (bass.semitone - root) % 12))
        if instead is not None:
            is_dark = instead == DOMINANT or family == HALF
            return Heard(bass, bass.semitone, instead, False, is_dark)
    return Heard(chord.root, root, family, bare, dark)


def stands_on(chord: Chord, root: int) -> bool:
    """Tell whether a chord is heard on a root; N.C. is on none.

    >>> stands_on(Chord.parse("Dm7/G"), 7), stands_on(Chord.parse("N.C."), 0)
    (True, False)
    """
    return not chord.is_silent and heard(chord).root == root


# The dominant seventh chord that a V of another family may be written as (common practice).
_SEVENTHS = {
    SUSPENDED: "1 4 5 b7 9",
    DOMINANT: "1 3 5 b7 b9",
    AUGMENTED: "1 3 #5 b7",
    SUS_TRIAD: "1 4 5 b7",
    MAJOR: "1 3 5 b7",
}
_SUSPENDED_DARK = "1 4 5 b7 b9"


def seventh_for(chord: Chord) -> Chord | None:
    """Return the dominant seventh chord that a V may be written as, None for what is heard as none.

    A dominant seventh chord is its own.

    >>> [str(seventh_for(Chord.parse(s))) for s in ("Dm7/G", "F/G", "Bdim7/G", "G", "Dm7")]
    ['G9sus4', 'G9sus4', 'G7b9', 'G7', 'None']
    """
    if chord.kind.is_dominant:
        return chord
    ear = heard(chord)
    dark = ear.family == SUSPENDED and ear.dark
    formula = _SUSPENDED_DARK if dark else _SEVENTHS.get(ear.family)
    return Chord(ear.note, ChordKind.of(formula)) if formula else None


# Two chords on one root that count as one, and as which.
_JOINED = {
    (SUSPENDED, DOMINANT): DOMINANT,
    (DOMINANT, SUSPENDED): DOMINANT,
    (SUS_TRIAD, DOMINANT): DOMINANT,
    (DOMINANT, SUS_TRIAD): DOMINANT,
    (SUS_TRIAD, SUSPENDED): SUSPENDED,
    (SUSPENDED, SUS_TRIAD): SUSPENDED,
    (AUGMENTED, DOMINANT): DOMINANT,
    (DOMINANT, AUGMENTED): DOMINANT,
    (SUS_TRIAD, MAJOR): MAJOR,
    (MAJOR, SUS_TRIAD): MAJOR,
    (SUS_TRIAD, MINOR): MINOR,
    (MINOR, SUS_TRIAD): MINOR,
    (DIM_TRIAD, HALF): HALF,
    (HALF, DIM_TRIAD): HALF,
}


def joined(first: str, second: str) -> str | None:
    """Return the family of two neighbours on one root if they are one chord, or None.

    >>> joined("suspended dominant", "dominant"), joined("minor", "minor seventh")
    ('dominant', None)
    """
    if first == second or second == OPEN:
        return first
    return second if first == OPEN else _JOINED.get((first, second))


# === Spans ===


@dataclass(slots=True)
class Span:
    """One chord with all that holds it: the first index among the played chords, its length.

    ``chord`` is the first symbol; ``note`` and ``root`` say what it stands on, ``family`` what it
    can do; ``bare`` and ``dark`` as in ``Heard``; ``beats`` in beats, as a float.
    """

    first: int
    chord: Chord
    note: Note
    root: int
    family: str
    bare: bool
    dark: bool
    beats: float


def spans_of(chords: Iterable[tuple[Chord, Fraction]]) -> list[Span]:
    """Return the spans of chords with their beats; N.C. is passed over.

    >>> pairs = [(Chord.parse(s), Fraction(2)) for s in ("Dm7", "G7sus4", "G7", "C/G", "G7", "C6")]
    >>> [(str(span.chord), span.beats) for span in spans_of(pairs)]
    [('Dm7', 2.0), ('G7sus4', 6.0), ('C6', 2.0)]
    """
    known: dict[int, Heard] = {}
    spans: list[Span] = []
    for index, (chord, beats) in enumerate(chords):
        found = known.get(id(chord))
        if found is None:
            found = known[id(chord)] = heard(chord)
        if found.family != SILENT:
            spans.append(Span(index, chord, *found, beats.numerator / beats.denominator))
    _hold_basses(spans)
    return _merged(_without_six_fours(_merged(spans)))


def _hold_basses(spans: Sequence[Span]) -> None:
    """Make a V over its own tonic a pedal where that bass is held from tonic to tonic."""
    start = None
    for n, span in enumerate(spans):
        if start is not None and _bass(span) != spans[start].root:
            start = None
        if span.chord.bass is None and span.family in (MAJOR, MINOR, MINOR_7):
            for between in spans[n if start is None else start + 1 : n]:
                if between.chord.bass is not None and _is_v_over(between, span.root):
                    between.family = PEDAL
            start = n


def _bass(span: Span) -> int:
    """Return the lowest note of a span as a number."""
    return (span.chord.bass or span.chord.root).semitone


def _is_v_over(span: Span, bass: int) -> bool:
    """Tell whether a chord over a bass is a triad a fifth above it, or the suspended seventh."""
    return span.family == SUSPENDED or (span.family == MAJOR and (bass - span.root) % 12 == 5)


def _merged(spans: Sequence[Span]) -> list[Span]:
    """Tell once what is held or repeated."""
    merged: list[Span] = []
    for span in spans:
        last = merged[-1] if merged else None
        family = joined(last.family, span.family) if last and last.root == span.root else None
        if last is None or family is None:
            merged.append(span)
        else:
            last.family = family
            last.dark = last.dark or span.dark
            last.bare = last.bare and span.bare
            last.beats += span.beats
    return merged


def _without_six_fours(spans: Sequence[Span]) -> list[Span]:
    """Leave out the tonic over its fifth where it delays the dominant on that bass."""
    kept = [span for span, after in pairwise(spans) if not _is_six_four(span, after)]
    return kept + list(spans[-1:])


def _is_six_four(span: Span, after: Span) -> bool:
    """Tell whether I over the fifth goes to V."""
    bass = span.chord.bass
    return (
        bass is not None
        and span.family in (MAJOR, MINOR)
        and (bass.semitone - span.root) % 12 == 7
        and after.root == bass.semitone
        and after.family in (DOMINANT, SUSPENDED, SUS_TRIAD)
    )
