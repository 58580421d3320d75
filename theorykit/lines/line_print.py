"""Printing a line as text, the reverse of reading it."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from operator import itemgetter

from theorykit.lines.line_words import HOLD, PICKUP, REST, value_phrases
from theorykit.lines.timed import TimedNote

__all__ = ["print_line"]

Event = tuple[str, Fraction, Fraction]  # what is printed, start, end


def print_line(notes: Sequence[TimedNote], bars: Sequence[Fraction]) -> str:
    """Return the text of a line; ``bars`` are the lengths of the bars in beats.

    A value is printed where it changes. Bars after the last note are not printed.
    """
    if not notes:
        return ""
    edges = _edges(bars, notes[-1].end)
    events = list(_events(notes, edges[-1]))
    words, value = [], ""
    if notes[0].start < 0:
        edges.insert(0, notes[0].start)
        words.append(PICKUP)
    for start, end in pairwise(edges):
        for phrase, said in _bar(events, start, end):
            words += [phrase, said] if phrase != value else [said]
            value = phrase
        words.append("|")
    return " ".join(words[:-1])


def _edges(bars: Sequence[Fraction], end: Fraction) -> list[Fraction]:
    """Return where the bars that are printed begin, and where the last of them ends."""
    edges = [Fraction(0)]
    for beats in bars:
        if edges[-1] >= end:
            break
        edges.append(edges[-1] + beats)
    return edges


def _events(notes: Sequence[TimedNote], end: Fraction) -> Iterator[Event]:
    """Run through notes and the rests between them."""
    place = min(Fraction(0), notes[0].start)
    for note in notes:
        if note.start > place:
            yield REST, place, note.start
        yield str(note.pitch), note.start, note.end
        place = note.end
    if place < end:
        yield REST, place, end


def _bar(events: Sequence[Event], start: Fraction, end: Fraction) -> Iterator[tuple[str, str]]:
    """Run through the values of one bar, each with the word after it."""
    begin = bisect_right(events, start, key=itemgetter(2))
    after = bisect_left(events, end, key=itemgetter(1))
    for said, since, until in events[begin:after]:
        first, last = max(since, start), min(until, end)
        again = REST if said == REST else HOLD
        word = said if first == since else again
        for phrase, _ in value_phrases(first - start, last - first):
            yield phrase, word
            word = again
