"""Which degrees the piano plays over the dominants of a line: a colour, or the plain chord."""

from __future__ import annotations

from theorykit.harmony.colours import Colour
from theorykit.lines.line import Line
from theorykit.notes.degree import Degree

__all__ = ["colours_over"]


def colours_over(line: Line, colour: Colour | None) -> dict[int, tuple[Degree, ...]]:
    """Return the degrees that the piano plays over the dominants of a line, by their place.

    Without a colour they are the plain tones of the chord, so that plain sounds plain.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.lines.demonstration import demonstration
    >>> for wanted in (colour("b9 13"), None):
    ...     found = colours_over(demonstration("C", "long"), wanted)
    ...     {place: " ".join(map(str, degrees)) for place, degrees in found.items()}
    {1: '13 b9 3'}
    {1: '1 3 5 b7'}
    """
    return {
        place: placed.chord.degrees if colour is None else colour.degrees
        for place, placed in enumerate(line.progression.chords)
        if placed.chord.kind.is_dominant
    }
