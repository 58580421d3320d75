"""Whether what stands on a page can be played on the instrument that reads it.

Source of the ranges: Samuel Adler, *The Study of Orchestration* (3rd edition, 2002), from memory,
as written; they are what most players have, not the limit of a few. Who reads at concert pitch may
have any instrument, so nothing is said there.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from theorykit.notes.instruments import Reader
from theorykit.notes.pitch import Pitch
from theorykit.views.staff import StaffView

__all__ = ["RANGES", "Range", "range_words"]


@dataclass(frozen=True, slots=True)
class Range:
    """The lowest and the highest written note of an instrument, and its name in the plural."""

    low: Pitch
    high: Pitch
    players: str


RANGES = {
    "B flat": Range(Pitch.parse("F#3"), Pitch.parse("C6"), "trumpets"),
    "E flat": Range(Pitch.parse("Bb3"), Pitch.parse("F6"), "alto saxophones"),
    "F": Range(Pitch.parse("F#3"), Pitch.parse("C6"), "horns"),
    "bass clef": Range(Pitch.parse("E2"), Pitch.parse("C5"), "trombones"),
    "guitar": Range(Pitch.parse("E3"), Pitch.parse("C7"), "guitars"),
}


def range_words(views: Iterable[StaffView], reader: Reader) -> str:
    """Return what to do where staves lie outside an instrument's range; empty text if none does.

    >>> from theorykit.notes.instruments import reader
    >>> from theorykit.views.explorer import explore
    >>> who = reader("F")
    >>> range_words([explore("C", reader=who).staff], who)
    ''
    >>> range_words([explore("G", reader=who).staff], who)
    'Some of this lies above what most horns play (up to C6): take it an octave lower there.'
    """
    wanted = RANGES.get(reader.name)
    midis = [note.pitch.midi for view in views for note in view.notes]
    if wanted is None or not midis:
        return ""
    high, low = max(midis) > wanted.high.midi, min(midis) < wanted.low.midi
    if high and low:
        return f"Some of this lies outside what most {wanted.players} play: change octaves there."
    if high:
        return (
            f"Some of this lies above what most {wanted.players} play (up to "
            f"{wanted.high.pretty}): take it an octave lower there."
        )
    if low:
        return (
            f"Some of this lies below what most {wanted.players} play (down to "
            f"{wanted.low.pretty}): take it an octave higher there."
        )
    return ""
