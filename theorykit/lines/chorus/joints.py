"""Joints: where one phrase of a chorus ends and the next begins, without torn triplets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import zip_longest
from math import floor

from theorykit.lines.text import TimedNote

BEAT, EIGHTH = Fraction(1), Fraction(1, 2)
THIRDS = 3


def before_beat(edge: Fraction) -> Fraction:
    """Return where a phrase ends that has to end by a place: no later, and inside no triplet.

    >>> before_beat(Fraction(13, 3)), before_beat(Fraction(9, 2))
    (Fraction(4, 1), Fraction(9, 2))
    """
    return Fraction(floor(edge)) if _is_third(edge) else edge


def whole_triplets(
    notes: Sequence[TimedNote], coming: Fraction | None = None
) -> tuple[TimedNote, ...]:
    """Return notes of which none before a rest ends inside a triplet; ``coming`` is what follows.

    A note that begins on the beat is a plain eighth then, one that is tied into the beat ends with
    the beat before, and one inside a triplet fills it.

    >>> from theorykit.notes.note import Pitch
    >>> (note,) = whole_triplets([TimedNote(Pitch.parse("C5"), Fraction(4), Fraction(1, 3))])
    >>> note.beats
    Fraction(1, 2)
    """
    after = [*(note.start for note in notes[1:]), coming]
    return tuple(_whole(note, then) for note, then in zip_longest(notes, after[: len(notes)]))


def _whole(note: TimedNote, then: Fraction | None) -> TimedNote:
    """Return a note that leaves no triplet open."""
    beat = Fraction(floor(note.end))
    torn = _is_third(note.end) or (_is_third(note.start) and note.end != beat)
    if then == note.end or not torn:
        return note
    if note.start < beat and not _is_third(note.start):
        return replace(note, beats=beat - note.start)
    end = beat + (EIGHTH if note.start == beat else BEAT)
    return replace(note, beats=(end if then is None else min(end, then)) - note.start)


def _is_third(place: Fraction) -> bool:
    """Tell whether only a triplet reaches a place."""
    return place.denominator % THIRDS == 0
