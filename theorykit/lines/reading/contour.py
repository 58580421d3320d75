"""The contour of a line: range, leaps, direction, density, rests."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.harmony.wording import counted
from theorykit.lines.placed import PlacedNote, is_triad
from theorykit.lines.reading.roles import moves
from theorykit.notes.note import Pitch

FIFTH = 7  # half steps: a leap is wider, and asks to be answered by a step back
STEP = 2
THIRD_MORE = Fraction(3, 2)  # how many times more moves one way make a direction


@dataclass(frozen=True, slots=True)
class LineShape:
    """Measures of a line.

    ``lowest`` and ``highest`` are its pitches; ``steps``, ``skips`` and ``leaps`` count moves of at
    most a whole step, up to a fifth, and wider; ``unanswered`` are the leaps that no step back
    follows, by the index of the note leapt to; ``repeats`` are notes that come a third time at
    once; ``direction`` is rising, falling or turning; ``per_beat`` is how many notes start in a
    beat while the line sounds; ``longest_run`` is the longest stretch of beats without a rest.
    """

    lowest: Pitch | None
    highest: Pitch | None
    steps: int
    skips: int
    leaps: int
    unanswered: tuple[int, ...]
    repeats: tuple[int, ...]
    direction: str
    per_beat: Fraction
    longest_run: Fraction

    @property
    def span(self) -> int:
        """The half steps from the lowest to the highest note."""
        return self.highest.midi - self.lowest.midi if self.highest and self.lowest else 0

    @property
    def words(self) -> str:
        """The measures in a sentence without its full stop."""
        if self.lowest is None or self.highest is None:
            return "there is no note yet"
        counts = ((self.steps, "step"), (self.skips, "skip"), (self.leaps, "leap"))
        moved = ", ".join(counted(count, noun) for count, noun in counts)
        compass = f"from {self.lowest.pretty} to {self.highest.pretty}"
        way = "turning often" if self.direction == "turning" else f"mostly {self.direction}"
        density = "one note" if self.per_beat == 1 else f"{_decimal(self.per_beat)} notes"
        return f"{compass}, {moved}, {way}, {density} a beat"


def _decimal(value: Fraction) -> str:
    """Print a number with one decimal, none where it is whole."""
    return f"{float(value):.1f}".removesuffix(".0")


def line_shape(notes: Sequence[PlacedNote]) -> LineShape:
    """Return the measures of a line."""
    if not notes:
        return LineShape(None, None, 0, 0, 0, (), (), "turning", Fraction(0), Fraction(0))
    pitches = [note.note.pitch for note in notes]
    sizes = [moves(notes, i)[0] for i in range(1, len(notes))]
    joined = [size for size, note in zip(sizes, notes[1:], strict=True) if note.follows]
    runs = _runs(notes)
    sounding = sum(runs, Fraction(0))
    return LineShape(
        min(pitches, key=lambda pitch: pitch.midi),
        max(pitches, key=lambda pitch: pitch.midi),
        sum(abs(size) <= STEP for size in joined),
        sum(STEP < abs(size) <= FIFTH for size in joined),
        sum(abs(size) > FIFTH for size in joined),
        tuple(i for i in range(1, len(notes)) if _unanswered(notes, i)),
        tuple(i for i in range(2, len(notes)) if _third_time(notes, i)),
        _direction(joined),
        len(notes) / sounding,
        max(runs),
    )


def _direction(sizes: Sequence[int]) -> str:
    """Return where most moves go."""
    up, down = sum(size > 0 for size in sizes), sum(size < 0 for size in sizes)
    if up >= THIRD_MORE * max(down, 1):
        return "rising"
    return "falling" if down >= THIRD_MORE * max(up, 1) else "turning"


def _unanswered(notes: Sequence[PlacedNote], i: int) -> bool:
    """Tell whether a leap to a note is followed by no step back, and is no part of a shape."""
    into, out = moves(notes, i)
    goes_on = i + 1 < len(notes) and notes[i + 1].follows
    back = into * out < 0 and abs(out) <= STEP
    return abs(into) > FIFTH and goes_on and not back and not _spells(notes[i - 1 : i + 2])


def _spells(three: Sequence[PlacedNote]) -> bool:
    """Tell whether three notes are a broken triad, or different tones of their chords."""
    sounds = {note.midi % 12 for note in three}
    return len(sounds) == len(three) and (
        is_triad(sounds) or all(note.is_chord_tone for note in three)
    )


def _third_time(notes: Sequence[PlacedNote], i: int) -> bool:
    """Tell whether a note is the third of its pitch in a row."""
    return notes[i].follows and notes[i].midi == notes[i - 1].midi == notes[i - 2].midi


def _runs(notes: Sequence[PlacedNote]) -> list[Fraction]:
    """Return the lengths of the stretches without a rest, in beats."""
    runs, start, end = [], notes[0].note.start, notes[0].note.end
    for note in notes[1:]:
        if note.note.start > end:
            runs.append(end - start)
            start = note.note.start
        end = note.note.end
    return [*runs, end - start]
