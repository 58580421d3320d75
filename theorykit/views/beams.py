"""Beams: eighths joined by the half bar, shorter notes and triplets by the beat."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from theorykit.views.written import Written

__all__ = ["with_beams"]


def with_beams(notes: Sequence[Written], pulse: Fraction, pair: Fraction) -> list[Written]:
    """Return the notes of a bar with their beams.

    ``pulse`` is the length of a beat and ``pair`` that of the stretch in which plain eighths are
    joined: two beats in 4/4, so that the middle of the bar stays visible (common practice). Rests
    and longer notes end a beam.
    """
    joined: list[Written] = []
    for stretch in _runs(notes, pair):
        if any(note.value.flags > 1 or _is_short_triplet(note, pulse) for note in stretch):
            for run in _runs(stretch, pulse):
                joined += _beamed(run)
        else:
            joined += _beamed(stretch)
    return joined


def _is_short_triplet(note: Written, pulse: Fraction) -> bool:
    """Tell whether a note belongs to a triplet inside one beat."""
    return note.triplet is not None and note.triplet.normal not in ("quarter", "half")


def _runs(notes: Sequence[Written], length: Fraction) -> Iterator[list[Written]]:
    """Cut notes into stretches that can be joined, and those that stand alone."""
    run: list[Written] = []
    for note in notes:
        can_join = note.pitch is not None and note.value.flags > 0
        if run and not (can_join and _joins(run[-1], note, length)):
            yield run
            run = []
        run.append(note)
    if run:
        yield run


def _joins(before: Written, note: Written, length: Fraction) -> bool:
    """Tell whether a note stands in the same stretch as the beamed note before it."""
    same = before.start // length == note.start // length
    return same and before.pitch is not None and before.value.flags > 0


def _beamed(run: list[Written]) -> list[Written]:
    """Join the notes of one stretch."""
    if len(run) < 2:
        return run
    flags = [note.value.flags for note in run]
    return [
        replace(note, beams=tuple(_beam(flags, place, level + 1) for level in range(flags[place])))
        for place, note in enumerate(run)
    ]


def _beam(flags: list[int], place: int, level: int) -> str:
    """Return what the beam of one level does at one note."""
    left = place > 0 and flags[place - 1] >= level
    right = place + 1 < len(flags) and flags[place + 1] >= level
    if left:
        return "continue" if right else "stop"
    if right:
        return "start"
    return "hook right" if place == 0 else "hook left"
