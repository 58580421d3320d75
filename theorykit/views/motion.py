"""The motion picture of a resolution: two ladders of notes and the ways between them."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass

from theorykit.harmony.resolution import Move, Resolution
from theorykit.harmony.superimposition import motion_words, move_words
from theorykit.harmony.tensions import LANDING, role_over
from theorykit.notes.degree import Degree

__all__ = ["WAYS", "MotionView", "Rung", "Way", "motion_of"]

# How a note goes, from the shortest way to the longest.
WAYS = ("held", "half step", "whole step", "wider")


@dataclass(frozen=True, slots=True)
class Rung:
    """One note of a ladder: its height in half steps, its name, its degree, its role.

    ``role`` is one of ``note_roles``, as on a keyboard; what is landed on is a landing.
    """

    height: int
    name: str
    degree: str
    role: str = "chord"


@dataclass(frozen=True, slots=True)
class Way:
    """One line from a rung on the left to a rung on the right; ``kind`` is one of ``WAYS``.

    ``through`` names the degree of a passing note on the way, or is the empty text.
    """

    start: int
    end: int
    kind: str
    through: str = ""

    @property
    def label(self) -> str:
        """What stands beside the line.

        >>> Way(4, 5, "half step").label, Way(7, 5, "whole step").label, Way(0, 0, "held").label
        ('half ↑', 'whole ↓', 'held')
        >>> Way(3, 0, "wider", "♭9").label
        'by ♭9 ↓'
        """
        if self.start == self.end:
            return self.kind
        if self.through:
            return f"by {self.through} {'↑' if self.end > self.start else '↓'}"
        size = {"half step": "half", "whole step": "whole"}.get(self.kind)
        far = size or f"{abs(self.end - self.start)} half"
        return f"{far} {'↑' if self.end > self.start else '↓'}"


@dataclass(frozen=True, slots=True)
class MotionView:
    """A chord on the left, the next chord on the right, a way from each note to its goal."""

    titles: tuple[str, str]
    left: tuple[Rung, ...]
    right: tuple[Rung, ...]
    ways: tuple[Way, ...]
    caption: str
    alt: str


def motion_of(resolution: Resolution, rubbing: Container[Degree] | None = None) -> MotionView:
    """Return the picture of a resolution, the lowest note at height 0.

    ``rubbing`` are the degrees that rub, where the page has found them already.

    >>> from theorykit.harmony.resolution import resolve
    >>> view = motion_of(resolve("G7", "b9", "C"))
    >>> view.titles, [(way.start, way.end, way.kind) for way in view.ways][:2]
    (('G7 with ♭9', 'C'), [(0, 0, 'held'), (1, 0, 'half step')])
    """
    moves = sorted(resolution.moves, key=lambda move: move.degree.semitone)
    floor = min(0, *(_end(move) for move in moves))
    ways = tuple(
        Way(move.degree.semitone - floor, _end(move) - floor, _kind(move), _through(move))
        for move in moves
    )
    return MotionView(
        (_title(resolution), resolution.target.pretty),
        tuple(_rung(move, way, resolution, rubbing) for move, way in zip(moves, ways, strict=True)),
        _goals(moves, ways),
        ways,
        motion_words(resolution),
        _alt(resolution, moves),
    )


def _end(move: Move) -> int:
    """Return where a note comes to stand, in half steps above the root of the chord."""
    return move.degree.semitone + move.semitones


def _kind(move: Move) -> str:
    """Return what kind of way a note goes."""
    return WAYS[min(abs(move.semitones), 3)]


def _through(move: Move) -> str:
    """Return the degree of the passing note on the way, or nothing."""
    return "" if move.through is None else move.through.degree.pretty


def _title(resolution: Resolution) -> str:
    """Return the chord, and the tensions of the colour behind it."""
    added = [degree for degree in resolution.colour if degree not in resolution.chord.degrees]
    added.sort(key=lambda degree: (degree.number, degree.alteration))
    chord, tensions = resolution.chord.pretty, " ".join(degree.pretty for degree in added)
    return f"{chord} with {tensions}" if tensions else chord


def _rung(move: Move, way: Way, resolution: Resolution, rubbing: Container[Degree] | None) -> Rung:
    """Return one note of the chord."""
    role = role_over(resolution.chord, move.degree, resolution.target, resolution.colour)
    if role != "chord" and rubbing is not None:
        role = "outside" if move.degree in rubbing else "colour"
    return Rung(way.start, move.note.pretty, move.degree.pretty, role)


def _goals(moves: list[Move], ways: tuple[Way, ...]) -> tuple[Rung, ...]:
    """Return the notes of the next chord that something goes to, each height once."""
    found = {
        way.end: Rung(way.end, move.to_note.pretty, move.to_degree.pretty, LANDING)
        for move, way in zip(moves, ways, strict=True)
    }
    return tuple(found[height] for height in sorted(found))


def _alt(resolution: Resolution, moves: list[Move]) -> str:
    """Say in words what the picture shows."""
    ways = "; ".join(move_words(move) for move in moves)
    return f"From {_title(resolution)} to {resolution.target.pretty}: {ways}."
