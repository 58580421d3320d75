"""Spans: the played chords with what is held or repeated told once, ready to be analysed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from theorykit.notes.chord import Chord
from theorykit.notes.note import Note
from theorykit.tunes.families import (
    DOMINANT,
    MAJOR,
    MINOR,
    SILENT,
    SUS_TRIAD,
    SUSPENDED,
    Heard,
    heard,
    joined,
)

__all__ = ["Span", "spans_of"]


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
    return _merged(_without_six_fours(_merged(spans)))


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
