"""Rounds beside each other: what was played round after round, counted and compared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from theorykit.lines.reading import read_line
from theorykit.lines.taking import TakenLine
from theorykit.notes.reader import READERS, Reader
from theorykit.views.played.timing import timing_of

HEADS = ("round", "notes", "in time", "colour over V", "comes home on", "what was played")
AT_CONCERT = "as text, at concert pitch"  # as every text of a line: so it can be typed elsewhere
NOTHING = "no note was heard"


@dataclass(frozen=True, slots=True)
class RoundsView:
    """A row for each round, and a sentence on which of them was most in time."""

    cells: tuple[tuple[str, ...], ...]
    words: str
    is_moved: bool = False

    @property
    def caption(self) -> str:
        """What the table is about."""
        return "Your rounds"

    @property
    def heads(self) -> tuple[str, ...]:
        """The heads of the table."""
        return (*HEADS[:-1], AT_CONCERT) if self.is_moved else HEADS


def rounds_of(
    rounds: Sequence[TakenLine | None], *, within: int = 50, reader: Reader = READERS[0]
) -> RoundsView:
    """Return rounds compared, None for one in which nothing was heard.

    ``within`` are the milliseconds that pass for in time.

    >>> from theorykit.lines.taking import HeardNote, taken_line
    >>> from theorykit.tunes.progression import two_five_one
    >>> heard = [HeardNote(at, at + 0.4, midi) for at, midi in ((0, 65), (1.0, 68), (2.0, 67))]
    >>> one = taken_line(heard, two_five_one("C", "short"), tempo=120, start=0)
    >>> rounds_of([None, one]).cells[1][:5]
    ('2', '3', '3 of 3', '♭9', '5')
    """
    cells, shares = [], []
    for number, taken in enumerate(rounds, 1):
        if taken is None:
            cells.append((str(number), "0", "", "", "", NOTHING))
            shares.append(0.0)
            continue
        notes = timing_of(taken, within=within).notes
        good = sum(note.side == "in time" for note in notes)
        shares.append(good / len(notes))
        told = (str(number), str(len(notes)), f"{good} of {len(notes)}")
        cells.append((*told, *_harmony(taken), taken.line.text))
    return RoundsView(tuple(cells), _best(shares, within), is_moved=reader.semitones != 0)


def _harmony(taken: TakenLine) -> tuple[str, str]:
    """Return the colour that a line spells over its first dominant, and the degree it lands on."""
    reading = read_line(taken.line)
    found = reading.dominants[0].colour if reading.dominants else None
    chords = taken.line.progression.chords
    ends = [one.end for one in chords[:-1] if one.chord.kind.is_dominant]
    home = max(ends, default=taken.line.progression.bar_starts[-2])
    landing = next((one.degree for one in reading.notes if one.note.end > home), None)
    return ("none" if found is None else found.pretty, "" if landing is None else landing.pretty)


def _best(shares: Sequence[float], within: int) -> str:
    """Say which round was most in time, where one was."""
    best = max(shares, default=0.0)
    if len(shares) < 2 or shares.count(best) > 1 or not best:
        return ""
    return f"Round {shares.index(best) + 1} was most in time, within {within} milliseconds."
