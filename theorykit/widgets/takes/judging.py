"""Judging: a line that was played in, judged as an answer to the colour that is chosen."""

from __future__ import annotations

from theorykit.harmony.colours import Colour
from theorykit.lines.text import Line
from theorykit.notes.reader import Reader
from theorykit.study.questions import LineJudge


def judged(line: Line, colour: Colour, reader: Reader) -> list[str]:
    """Return whether a colour is spelled and I is reached in time, with the reader's names.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.lines.demonstration import demonstration
    >>> from theorykit.notes.reader import READERS
    >>> judged(demonstration("C", "short", "b9"), colour("b9"), READERS[0])[0][:39]
    '♭9 over V: spelled, and I is reached. O'
    """
    page = line.written_for(reader)
    head, judgement = LineJudge(page.progression, colour).headed(page)
    return [f"{colour.pretty} over V: {head}. {judgement.words}"]
