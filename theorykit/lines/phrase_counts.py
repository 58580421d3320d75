"""Phrase counts: when the notes of a line begin, how long they last, what its leaps lead to.

The labels are those of the tables in ``theorykit.harmony.counts``, so that written lines stand
beside transcribed solos.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from theorykit.lines.text import Line, TimedNote

__all__ = ["PhraseCounts", "phrases_of", "place_in_bar"]

BREATH = Fraction(1)  # a rest of a beat and more parts two phrases
FIFTH, STEP, SKIP = 7, 2, 6  # half steps
DOUBLE_TIME = ("sixteenth", "other", "shorter than a triplet")

# Upper ends of the bins, each with its label; the last label is for what is more.
_LENGTHS = (
    (Fraction(3, 10), Fraction(2, 5), Fraction(11, 20), Fraction(19, 20), Fraction(21, 20), 2),
    ("shorter than a triplet", "triplet eighth", "eighth", "dotted eighth or quarter triplet",
     "quarter", "up to a half", "longer"),
)  # fmt: skip
_NOTES = ((2, 4, 8, 12, 16, 24, 40), "1-2 3-4 5-8 9-12 13-16 17-24 25-40 41+".split())
_BEATS = ((2, 4, 6, 8, 12, 16), "0-2 2-4 4-6 6-8 8-12 12-16 16+".split())
_RESTS = ((1, 2, 3, 4, 6, 8), ("up to 1", *"1-2 2-3 3-4 4-6 6-8 8+".split()))
_PARTS = {
    Fraction(0): "",
    Fraction(1, 2): "&",
    Fraction(2, 3): "&",
    Fraction(1, 3): "triplet",
    Fraction(1, 4): "sixteenth",
    Fraction(3, 4): "sixteenth",
}


def phrases_of(line: Line) -> tuple[tuple[TimedNote, ...], ...]:
    """Return the notes of a line phrase by phrase: a rest of a beat and more parts two of them.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th D5 F5 A5 quarter rest 8th C6 B5 Ab5 | whole G5",
    ...                   two_five_one("C", "short"))
    >>> [len(phrase) for phrase in phrases_of(line)]
    [3, 4]
    """
    found: list[list[TimedNote]] = []
    for note in line.notes:
        if not found or note.start - found[-1][-1].end >= BREATH:
            found.append([])
        found[-1].append(note)
    return tuple(map(tuple, found))


def place_in_bar(line: Line, start: Fraction) -> str:
    """Return the label of a place in its bar; a pickup stands at the end of a bar before the first.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line(two_five_one("C"), ())
    >>> [place_in_bar(line, Fraction(n, 6)) for n in (-3, 0, 3, 26, 33)]
    ['4&', '1', '1&', 'triplet', '2&']
    """
    edges = line.progression.bar_starts
    begin = max((edge for edge in edges[:-1] if edge <= start), default=-edges[1])
    beat, part = divmod(start - begin, 1)
    said = _PARTS.get(part, "other")
    return f"{beat + 1}{said}" if said in ("", "&") else said


def binned(value: Fraction | int, bins: tuple[Sequence[Fraction | int], Sequence[str]]) -> str:
    """Return the label of a value; an upper end belongs to its bin."""
    return bins[1][bisect_left(bins[0], value)]


class PhraseCounts:
    """What was counted, by the name of the table beside which it stands.

    >>> from theorykit.tunes.progression import two_five_one
    >>> counts = PhraseCounts()
    >>> counts.add(Line.parse("8th rest F4 A4 C5 B4 Ab4 F4 D4 | whole E4",
    ...                       two_five_one("C", "short")))
    >>> counts.tables["places of first notes"], counts.tables["lengths inside phrases"]
    (Counter({'1&': 1}), Counter({'eighth': 7}))
    """

    def __init__(self) -> None:
        self.tables: dict[str, Counter[str]] = {}
        self.sizes: Counter[int] = Counter()
        self.repeated_ends = 0

    def add(self, line: Line) -> None:
        """Count one line."""
        phrases = phrases_of(line)
        self._count("places in the bar", (place_in_bar(line, n.start) for n in line.notes))
        self._count("places of first notes", (place_in_bar(line, p[0].start) for p in phrases))
        self._count("places of last notes", (place_in_bar(line, p[-1].start) for p in phrases))
        gaps = (b[0].start - a[-1].start for a, b in pairwise(phrases))
        self._count("beats between phrases", (binned(gap, _RESTS) for gap in gaps))
        for phrase in phrases:
            self._phrase(phrase)

    def _phrase(self, phrase: Sequence[TimedNote]) -> None:
        """Count one phrase."""
        self._count("notes in a phrase", [binned(len(phrase), _NOTES)])
        self._count("beats of a phrase", [binned(phrase[-1].start - phrase[0].start, _BEATS)])
        lengths = (b.start - a.start for a, b in pairwise(phrase))
        self._count("lengths inside phrases", (binned(length, _LENGTHS) for length in lengths))
        sizes = [b.pitch.midi - a.pitch.midi for a, b in pairwise(phrase)]
        self.sizes.update(sizes)
        self.repeated_ends += bool(sizes) and not sizes[-1]
        self._count("after a wide leap", _after_leaps(sizes))

    def _count(self, name: str, labels: Iterable[str]) -> None:
        """Add labels to a table."""
        self.tables.setdefault(name, Counter()).update(labels)

    def share(self, widest: int) -> float:
        """Return the share of moves of so many half steps and more; of repeats for 0."""
        found = sum(n for size, n in self.sizes.items() if abs(size) >= widest)
        return (found if widest else self.sizes[0]) / max(1, self.sizes.total())


def _after_leaps(sizes: Sequence[int]) -> Iterator[str]:
    """Run through what follows each leap of a fifth and more."""
    for leap, after in pairwise(sizes):
        if abs(leap) < FIFTH:
            continue
        width = "step" if abs(after) <= STEP else "skip" if abs(after) <= SKIP else "leap"
        yield f"{width} {'back' if leap * after < 0 else 'on'}" if after else "repeat"
