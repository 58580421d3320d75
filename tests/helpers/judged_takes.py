"""Takes that were taken down, judged: notes by ``mir_eval``, what went wrong, bars of right rhythm.

Source of the measure: Colin Raffel and others, *mir_eval: A transparent implementation of common
MIR metrics*, ISMIR 2014.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from mir_eval.transcription import match_notes

ONSET, CENTS = 0.05, 50  # what counts as right: seconds and cents
LATE = 0.15  # seconds: a note of the right pitch that is so far off is late or early
Row = tuple[float, float, int]  # start and end in seconds, MIDI number


@dataclass(frozen=True)
class Judged:
    """How many notes were played, heard and right, each fault by its kind, right bars and all."""

    played: int
    heard: int
    right: int
    faults: Counter[str]
    bars: tuple[int, int]

    def __add__(self, other: Judged) -> Judged:
        bars = (self.bars[0] + other.bars[0], self.bars[1] + other.bars[1])
        counts = (self.played + other.played, self.heard + other.heard, self.right + other.right)
        return Judged(*counts, self.faults + other.faults, bars)

    @property
    def precision(self) -> float:
        """Right notes among those that were heard."""
        return self.right / max(self.heard, 1)

    @property
    def recall(self) -> float:
        """Right notes among those that were played."""
        return self.right / self.played

    @property
    def measure(self) -> float:
        """F1: the harmonic mean of precision and recall, over all notes."""
        return 2 * self.right / (self.played + self.heard)


def judged(
    played: Sequence[Row],
    heard: Sequence[Row],
    places: Sequence[Fraction] = (),
    written: Sequence[Fraction] = (),
    bars: int = 0,
) -> Judged:
    """What was heard beside what was played, and where it is written beside where it belongs."""
    pairs = matched(played, heard)
    alone = [note for n, note in enumerate(played) if n not in {one for one, _ in pairs}]
    extra = [note for n, note in enumerate(heard) if n not in {other for _, other in pairs}]
    faults = Counter(_fault(note, extra, played) for note in alone)
    faults["too much"] = max(len(extra) - sum(faults[kind] for kind in TAKEN), 0)
    good = sum(right_bars(places, written, bars))
    return Judged(len(played), len(heard), len(pairs), +faults, (good, bars))


TAKEN = ("octave", "pitch", "late or early")  # faults of a note that leave another note over


def matched(played: Sequence[Row], heard: Sequence[Row]) -> list[tuple[int, int]]:
    """The pairs of notes that are the same by ``mir_eval``; ends do not count."""
    if not played or not heard:
        return []
    wishes = {"onset_tolerance": ONSET, "pitch_tolerance": CENTS, "offset_ratio": None}
    return list(match_notes(*_arrays(played), *_arrays(heard), **wishes))


def _arrays(notes: Sequence[Row]) -> tuple[np.ndarray, np.ndarray]:
    """Notes as ``mir_eval`` has them: intervals and hertz."""
    hertz = [440 * 2 ** ((midi - 69) / 12) for *_, midi in notes]
    return np.array([row[:2] for row in notes]), np.array(hertz)


def _fault(note: Row, extra: Sequence[Row], played: Sequence[Row]) -> str:
    """What became of a note that was not found."""
    near = [other for other in extra if abs(other[0] - note[0]) <= ONSET]
    if any(other[2] != note[2] and (other[2] - note[2]) % 12 == 0 for other in near):
        return "octave"
    if near:
        return "pitch"
    if any(other[2] == note[2] and abs(other[0] - note[0]) <= LATE for other in extra):
        return "late or early"
    number = played.index(note)
    again = number > 0 and played[number - 1][2] == note[2]
    return "missed repeat" if again else "missed"


def right_bars(
    places: Sequence[Fraction], written: Sequence[Fraction], bars: int
) -> tuple[bool, ...]:
    """For each bar of four beats whether its notes are written where they belong, and no others."""

    def of_bar(starts: Sequence[Fraction], bar: int) -> set[Fraction]:
        return {start for start in starts if start // 4 == bar}

    return tuple(of_bar(places, bar) == of_bar(written, bar) for bar in range(bars))
