"""Played notes set on the grid of a page: eighths, triplets or sixteenths, beat by beat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor
from statistics import pstdev

__all__ = ["Played", "Quantised", "quantised"]

THIRD, HALF, QUARTER = Fraction(1, 3), Fraction(1, 2), Fraction(1, 4)
# The grids of a beat, and what it costs, in beats of misfit, to take a finer one.
GRIDS = ((HALF, 0.0), (THIRD, 0.05), (QUARTER, 0.06))
COLLISION = 1.0  # what it costs that two notes fall on one place
EARLY = 0.09  # beats: what comes so little before a beat belongs to it
SWUNG = 2 / 3  # where the second of two swung eighths comes; its page says 1/2
SWING_FROM, SWING_TO = 0.57, 0.76  # where it may come and still be one
EVEN_FROM, EVEN_TO = 0.43, 0.57
ALIKE = 0.035  # beats: the spread of second eighths that are swung in one way
LEGATO = Fraction(3, 10)  # beats: a shorter gap before the next note is no rest
NOTICED = 0.02  # beats from which a note counts as moved


@dataclass(frozen=True, slots=True)
class Played:
    """A note as it was played: start and end in beats, MIDI number."""

    start: float
    end: float
    midi: int


@dataclass(frozen=True, slots=True)
class Written:
    """A note as it stands on the page, and how far its start was moved, in beats."""

    start: Fraction
    beats: Fraction
    midi: int
    moved: float


@dataclass(frozen=True, slots=True)
class Quantised:
    """Notes on the grid; ``swung`` tells that swung eighths were read as eighths.

    ``dropped`` counts notes that sounded under a higher one that started with them.
    """

    notes: tuple[Written, ...]
    swung: bool
    dropped: int

    @property
    def moved(self) -> tuple[Written, ...]:
        """The notes that were moved by more than is worth ignoring."""
        return tuple(note for note in self.notes if abs(note.moved) > NOTICED)


def quantised(played: Sequence[Played]) -> Quantised:
    """Return one melody on the grid: of notes that start together the highest.

    Each beat takes the grid that fits its notes best, a finer one only where it fits better. Where
    most second eighths come late, as swing has them, they are read as eighths.

    >>> found = quantised([Played(0.02, 0.5, 60), Played(0.49, 1, 62), Played(1.31, 1.7, 64)])
    >>> [(str(n.start), str(n.beats)) for n in found.notes]
    [('0', '1/2'), ('1/2', '1/2'), ('4/3', '1/3')]
    """
    ordered = sorted(played, key=lambda note: (note.start, -note.midi))
    beats: dict[int, list[Played]] = {}
    for note in ordered:
        beats.setdefault(floor(note.start + EARLY), []).append(note)
    swung = _is_swung(beats)
    grids = {beat: _grid(beat, notes, swung) for beat, notes in beats.items()}
    starts = [(_start(note, grids, swung), note) for note in ordered]
    kept = _highest(starts)
    notes = tuple(
        _written(note, start, kept[place + 1][0] if place + 1 < len(kept) else None, grids, swung)
        for place, (start, note) in enumerate(kept)
    )
    return Quantised(notes, swung, len(starts) - len(kept))


def _is_swung(beats: dict[int, list[Played]]) -> bool:
    """Tell whether second eighths come late in most beats that have one, and alike."""
    seconds = [
        notes[1].start - beat
        for beat, notes in beats.items()
        if len(notes) == 2 and notes[0].start - beat < EVEN_FROM / 2
    ]
    late = [place for place in seconds if SWING_FROM <= place <= SWING_TO]
    even = sum(EVEN_FROM <= place < EVEN_TO for place in seconds)
    return len(late) > 2 and len(late) > 3 * even and pstdev(late) < ALIKE


def _places(grid: Fraction, swung: bool) -> list[tuple[Fraction, float]]:
    """Return the places of a grid in a beat and where they sound, the next beat among them."""
    places = [grid * number for number in range(int(1 / grid) + 1)]
    return [(p, SWUNG if swung and p == HALF and grid == HALF else float(p)) for p in places]


def _grid(beat: int, notes: Sequence[Played], swung: bool) -> Fraction:
    """Return the grid that fits the notes of a beat best."""

    def misfit(row: tuple[Fraction, float]) -> float:
        grid, dearer = row
        places = _places(grid, swung)
        taken = [min(places, key=lambda p: abs(p[1] - note.start + beat)) for note in notes]
        apart = sum(abs(p[1] - n.start + beat) for p, n in zip(taken, notes, strict=True))
        together = sum(
            a == b and m.start - n.start > EARLY
            for a, b, n, m in zip(taken, taken[1:], notes, notes[1:], strict=False)
        )
        return apart + dearer + COLLISION * together

    return min(GRIDS, key=misfit)[0]


def _start(note: Played, grids: dict[int, Fraction], swung: bool) -> Fraction:
    """Return where a note starts on the page."""
    beat = floor(note.start + EARLY)
    places = _places(grids[beat], swung)
    return beat + min(places, key=lambda p: abs(p[1] - note.start + beat))[0]


def _highest(starts: Sequence[tuple[Fraction, Played]]) -> list[tuple[Fraction, Played]]:
    """Return one note for each place, the highest."""
    found: dict[Fraction, Played] = {}
    for start, note in starts:
        if start not in found or note.midi > found[start].midi:
            found[start] = note
    return sorted(found.items(), key=lambda pair: pair[0])


def _written(
    note: Played,
    start: Fraction,
    following: Fraction | None,
    grids: dict[int, Fraction],
    swung: bool,
) -> Written:
    """Return a note with its length: to the next note if that is near, else to the grid."""
    beat = floor(note.end)
    grid = grids.get(beat, QUARTER)
    places = _places(grid, swung)
    end = beat + min(places, key=lambda p: abs(p[1] - note.end + beat))[0]
    shortest = grids.get(floor(start), QUARTER)
    end = max(end, start + shortest)
    if following is not None and (end > following or 0 < following - end < LEGATO):
        end = following
    sounds = float(start)
    if swung and start % 1 == HALF and shortest == HALF:
        sounds += SWUNG - 0.5
    return Written(start, end - start, note.midi, sounds - note.start)
