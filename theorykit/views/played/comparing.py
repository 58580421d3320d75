"""Lines one under the other: what was asked and what was answered, and where they differ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.errors import TheoryError
from theorykit.lines.reading import place_words
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.reader import READERS, Reader
from theorykit.views.staves import StaffView, staff_of_line

MARK = "colour"  # how a note that differs is marked
OTHER, MORE, LEFT_OUT = "other", "added", "left out"  # under a note that differs
MOST_TOLD = 8
FEW = 2  # notes, from which on all of them may be said to be elsewhere
# How far a whole line may be from what was asked, in quarters and in half steps.
_LATER = {
    Fraction(1, 4): "a sixteenth",
    Fraction(1, 2): "an eighth",
    Fraction(1): "a quarter",
    Fraction(2): "a half note",
}
_FARTHER = {12: "an octave", 24: "two octaves"}


@dataclass(frozen=True, slots=True)
class ComparedLines:
    """Two lines on staves of their own, notes that differ marked on both.

    ``same`` of the ``asked`` notes were answered; ``differences`` say in words what was played
    otherwise, in order. ``elsewhere`` says how far off all of them are together, such as an octave
    lower; it is empty where they are not.
    """

    first: StaffView
    second: StaffView
    same: int
    asked: int
    differences: tuple[str, ...]
    elsewhere: str = ""

    @property
    def words(self) -> str:
        """How many notes agree, and which do not."""
        if self.elsewhere:
            return f"All {self.asked} notes {self.elsewhere}."
        count = f"{self.same} of {self.asked} notes are the same"
        if not self.differences:
            return f"{count}."
        told = "; ".join(self.differences[:MOST_TOLD])
        rest = len(self.differences) - MOST_TOLD
        but = "Besides" if self.same == self.asked else "Not so"
        return f"{count}. {but}: {told}{f' and {rest} more' if rest > 0 else ''}."


def compared_lines(asked: Line, answered: Line, *, reader: Reader = READERS[0]) -> ComparedLines:
    """Return two lines over the same chords compared, note by note.

    Notes are the same where they begin on the same beat at the same pitch; how long they are held
    is not compared. All names are those on the reader's page.

    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> asked = Line.parse("half F4 quarter B4 Ab4 | whole G4", over)
    >>> answered = Line.parse("half F4 quarter Bb4 8th A4 G4 | whole rest", over)
    >>> compared_lines(asked, answered).words
    '1 of 4 notes are the same. Not so: bar 1, beat 3: B♭4 for B4; bar 1, beat 4: A4 for A♭4; \
bar 1, the and of 4: G4 added; bar 2, beat 1: G4 left out.'
    """
    if asked.progression != answered.progression:
        raise TheoryError("two lines over two progressions (want both over the same chords)")
    one, other = asked.written_for(reader), answered.written_for(reader)
    heard = {note.start: note for note in other.notes}
    wanted = {note.start: note for note in one.notes}
    starts = sorted({*heard, *wanted})
    told = [_told(wanted.get(at), heard.get(at), place_words(at, one.progression)) for at in starts]
    return ComparedLines(
        _staff(asked, one, heard, LEFT_OUT, reader),
        _staff(answered, other, wanted, MORE, reader),
        sum(_agree(note, heard.get(note.start)) for note in one.notes),
        len(one.notes),
        tuple(words for words in told if words),
        _elsewhere(one, other),
    )


def _elsewhere(asked: Line, answered: Line) -> str:
    """Say how far off the notes are where all are alike in that, and not where they should be.

    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("Db", "short")
    >>> asked = Line.parse("half Gb4 F4 | whole F4", over)
    >>> _elsewhere(asked, Line.parse("half Gb3 F3 | whole F3", over))
    'are an octave lower'
    >>> _elsewhere(asked, Line.parse("quarter rest Gb4 rest F4 | rest dotted half F4", over))
    'come a quarter late'
    """
    if not FEW <= len(asked.notes) == len(answered.notes):
        return ""
    pairs = list(zip(asked.notes, answered.notes, strict=True))
    steps = {it.pitch.midi - one.pitch.midi for one, it in pairs}
    late = {it.start - one.start for one, it in pairs}
    if len(steps) > 1 or len(late) > 1 or steps == late == {0}:
        return ""
    (step,), (by,) = steps, late
    far = _LATER | {asked.progression.bars[0].beats: "a bar"} | {Fraction(0): ""}
    if abs(by) not in far or abs(step) not in (0, *_FARTHER):
        return ""
    pitch = f"are {_FARTHER[abs(step)]} {'higher' if step > 0 else 'lower'}" if step else ""
    time = f"come {far[abs(by)]} {'late' if by > 0 else 'early'}" if by else ""
    return " and ".join(filter(None, (pitch, time)))


def _agree(one: TimedNote, other: TimedNote | None) -> bool:
    """Tell whether two notes on one beat have one pitch."""
    return other is not None and one.pitch.midi == other.pitch.midi


def _told(wanted: TimedNote | None, heard: TimedNote | None, where: str) -> str:
    """Say how what was answered on a beat differs from what was asked; nothing where it agrees."""
    if wanted is None:
        return "" if heard is None else f"{where}: {heard.pitch.pretty} {MORE}"
    if heard is None:
        return f"{where}: {wanted.pitch.pretty} {LEFT_OUT}"
    return (
        "" if _agree(wanted, heard) else f"{where}: {heard.pitch.pretty} for {wanted.pitch.pretty}"
    )


def _staff(
    line: Line, page: Line, others: dict[Fraction, TimedNote], alone: str, reader: Reader
) -> StaffView:
    """Return the staff of a line, a word under each note that the other line has not."""
    differing = [not _agree(note, others.get(note.start)) for note in page.notes]
    labels = tuple(
        ((OTHER if note.start in others else alone),) if differs else ()
        for note, differs in zip(page.notes, differing, strict=True)
    )
    marks = tuple(MARK if differs else "" for differs in differing)
    return staff_of_line(line, labels=labels, marks=marks, reader=reader, page=page)


def compared_rounds(
    asked: Line | None, answers: Sequence[Line | None], *, reader: Reader = READERS[0]
) -> tuple[tuple[str, ComparedLines], ...]:
    """Return each round with its name beside what it answers, None for one without a note.

    Without a line that ``asked``, the first round with notes is what later ones are beside.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("whole F4 | E4", two_five_one("C", "short"))
    >>> [(name, one.same) for name, one in compared_rounds(line, [None, line])]
    [('the question and round 2', 2)]
    >>> compared_rounds(None, [line, line])[0][0]
    'round 1 and round 2'
    """
    heard = [(number, one) for number, one in enumerate(answers, 1) if one is not None]
    first = "the question"
    if asked is None and heard:
        (number, asked), *heard = heard
        first = f"round {number}"
    if asked is None:
        return ()
    several = len(answers) > 1
    return tuple(
        (
            f"{first} and {f'round {number}' if several else 'your answer'}",
            compared_lines(asked, one, reader=reader),
        )
        for number, one in heard
        if one.progression == asked.progression
    )
