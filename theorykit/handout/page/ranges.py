"""Ranges: the octave in which a line lies best on the instrument that reads it.

Source of the ranges: Samuel Adler, *The Study of Orchestration* (3rd edition, 2002), from memory,
as written; they are what most players have, not the limit of a few. The part of them that lies at
ease is common practice: what parts for a first band ask for. Who reads at concert pitch may have
any instrument, so nothing is moved or said there.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from theorykit.handout.pieces import Para, Section
from theorykit.notes.instruments import Reader
from theorykit.notes.pitch import Pitch
from theorykit.views.staves import StaffView, octaves_away

WAYS = (0, -1, 1)  # octaves by which a line may be moved, the dearest last


@dataclass(frozen=True, slots=True)
class Range:
    """The lowest and the highest written note of an instrument, and its name in the plural.

    ``from_`` and ``to`` are the notes between which a line lies at ease.
    """

    low: Pitch
    high: Pitch
    players: str
    from_: Pitch
    to: Pitch


def _range(low: str, high: str, players: str, from_: str, to: str) -> Range:
    """Return a range from the names of its notes."""
    return Range(Pitch.parse(low), Pitch.parse(high), players, Pitch.parse(from_), Pitch.parse(to))


RANGES = {
    "B flat": _range("F#3", "C6", "trumpets", "A3", "A5"),
    "E flat": _range("Bb3", "F6", "alto saxophones", "C4", "D6"),
    "F": _range("F#3", "C6", "horns", "G3", "G5"),
    "bass clef": _range("E2", "C5", "trombones", "F2", "G4"),
    "guitar": _range("E3", "C7", "guitars", "E3", "C6"),
}


def octaves_moved(view: StaffView, reader: Reader) -> int:
    """Return by how many octaves a staff is to be moved so that it lies best; mostly 0.

    >>> from theorykit.notes.instruments import reader
    >>> from theorykit.views.explorer_view import explore
    >>> [octaves_moved(explore("C", reader=reader(n)).staff, reader(n)) for n in ("F", "B flat")]
    [-1, 0]
    """
    wanted = RANGES.get(reader.name)
    midis = [note.pitch.midi for note in view.notes]
    if wanted is None or not midis:
        return 0

    def outside(octaves: int, low: Pitch, high: Pitch) -> int:
        top, bottom = max(midis) + 12 * octaves, min(midis) + 12 * octaves
        return max(top - high.midi, 0) + max(low.midi - bottom, 0)

    return min(
        WAYS,
        key=lambda way: (
            outside(way, wanted.low, wanted.high),
            outside(way, wanted.from_, wanted.to),
        ),
    )


def at_ease(view: StaffView, reader: Reader) -> StaffView:
    """Return a staff in the octave in which it lies best on the instrument of its reader.

    >>> from theorykit.notes.instruments import reader
    >>> from theorykit.views.explorer_view import explore
    >>> high = explore("C", reader=reader("guitar")).staff
    >>> str(high.notes[0].pitch), str(at_ease(high, reader("guitar")).notes[0].pitch)
    ('F6', 'F5')
    """
    way = octaves_moved(view, reader)
    return octaves_away(view, way) if way else view


def moved_words(moved: Iterable[int]) -> str:
    """Return what a page says of the octaves of its lines; empty text if none was moved.

    >>> moved_words([0, -1])
    'Some lines are an octave lower than in the recordings.'
    """
    ways = list(moved)
    found = sorted({way for way in ways if way})
    if not found:
        return ""
    how = " or ".join("lower" if way < 0 else "higher" for way in found)
    which = "The" if len(set(ways)) == 1 else "Some"
    return f"{which} lines are an octave {how} than in the recordings."


def range_words(views: Iterable[StaffView], reader: Reader) -> str:
    """Return what to do where staves lie outside an instrument's range; empty text if none does.

    >>> from theorykit.notes.instruments import reader
    >>> from theorykit.views.explorer_view import explore
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


def playable(section: Section, who: Reader) -> Section:
    """Return a section with its music in the octaves in which it is printed.

    Where that leaves the range of the reader's instrument all the same, the section says so.
    """
    scores = tuple((title, at_ease(view, who)) for title, view in section.scores)
    moved = tuple(octaves_moved(view, who) for _, view in section.scores)
    words = range_words([view for _, view in scores], who)
    said = (Para(words, small=True),) if words else ()
    return replace(section, pieces=(*section.pieces, *said), scores=scores, moved=moved)
