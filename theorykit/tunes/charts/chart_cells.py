"""Cells of a typed chart: chords, slashes, signs of repetition, and the marks after them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache

from theorykit.errors import TheoryError, shown
from theorykit.notes.chord import Chord
from theorykit.tunes.bars import (
    MARK_NAMES,
    Metre,
    is_read_evenly,
    jump_mark,
    mark_at,
    may_begin,
    shares,
)
from theorykit.tunes.progression import Bar

MarkWord = tuple[str, int]  # the name of a mark and its column
Word = tuple[str, int]
Fault = tuple[int, str]
METRE = re.compile(r"[0-9]{1,2}/[0-9]{1,2}")
CODA_SIGNS = "𝄌⊕"  # at the end of a bar they send players to the coda (common practice)


def head_mark(word: str) -> str:
    """Return the name of the mark for the head of a bar that a word is, or nothing.

    >>> head_mark("Segno"), head_mark("fine")
    ('segno', '')
    """
    found = mark_at([word]) if may_begin(word) else None
    return found[0] if found and jump_mark(found[0]).at_head else ""


def parted(words: Sequence[Word]) -> tuple[list[Word], list[MarkWord], list[Fault]]:
    """Return the chords of a bar, the marks after them, and what is wrong with those.

    >>> parted([("C", 3), ("D.C.", 5), ("al", 10), ("Fine", 13)])
    ([('C', 3)], [('D.C. al fine', 5)], [])
    """
    if not any(may_begin(text) for text, _ in words):
        return [*words], [], []
    texts = [text for text, _ in words]
    start = next((place for place in range(len(texts)) if mark_at(texts, place)), len(texts))
    marks: list[MarkWord] = []
    place = start
    while place < len(texts):
        column = words[place][1]
        found = mark_at(texts, place)
        if found is None:
            return [*words[:start]], marks, [(column, _after(marks[-1][0], texts[place]))]
        name = "to coda" if start and texts[place][0] in CODA_SIGNS else found[0]
        if start and jump_mark(name).at_head:
            return [*words[:start]], marks, [(column, _late(name))]
        marks.append((name, column))
        place += found[1]
    return [*words[:start]], marks, []


def _after(mark: str, word: str) -> str:
    """Say that something follows a mark in its bar."""
    return f"{shown(word)} after {mark} (want {mark} at the end of its bar)"


def _late(name: str) -> str:
    """Say that a mark for the head of a bar stands after its chords."""
    leave = " and to coda where players leave" if name == "coda" else ""
    return f"{name} after a chord (want {name} at the head of its bar{leave})"


REPEAT_BAR = frozenset(("%", "𝄎", "./."))
PARTS_OF_MARKS = frozenset(("al", "alla", "to", "da", "dal", "capo"))
_ENDING = re.compile(r"\[?([1-9](?:(?:\.,?|,|-|–)[1-9])*)(?:\.|\)|st|nd|rd|th)\]?")
WANTED = "want a chord such as Dm7, / to hold it for a beat, or % for the bar before"


@lru_cache(maxsize=4096)
def _chord(text: str) -> Chord | TheoryError:
    """Return a chord, or the error that says why it is none; charts say the same chords often."""
    try:
        return Chord.parse(text)
    except TheoryError as error:
        return error.with_traceback(None)


def ending_of(word: str) -> tuple[int, ...]:
    """Return the numbers of an ending's mark, or nothing if the word is none.

    >>> ending_of("1."), ending_of("1.2."), ending_of("1-3."), ending_of("C7")
    ((1,), (1, 2), (1, 2, 3), ())
    """
    found = _ENDING.fullmatch(word) if len(word) < 24 else None
    if found is None:
        return ()
    numbers: list[int] = []
    for part in re.split(r"[.,]+", found[1]):
        first, _, last = part.replace("–", "-").partition("-")
        numbers += range(int(first), int(last[-1:] or first) + 1)
    return tuple(dict.fromkeys(numbers))


def read_cell(
    words: Sequence[Word], metre: Metre, before: Bar | None
) -> tuple[Bar | None, list[Fault]]:
    """Return the bar that the words make, or None and what is wrong with them."""
    if len(words) == 1 and words[0][0] in REPEAT_BAR:
        return _repeated(words[0], metre, before)
    cell = _Cell(before.chords[-1] if before else None)
    for word in words:
        cell.take(*word)
    if not cell.chords and not cell.faults:
        cell.faults.append((words[0][1], f"no chord in {shown(words[0][0])} ({WANTED})"))
    if cell.faults:
        return None, cell.faults
    try:
        return _timed(cell.chords, cell.holds, metre), []
    except TheoryError as error:
        return None, [(words[0][1], str(error))]


def _repeated(word: Word, metre: Metre, before: Bar | None) -> tuple[Bar | None, list[Fault]]:
    """Return the bar before, if it can stand here again."""
    if before is not None and before.beats == metre.beats:
        return before, []
    reason = "no bar stands before it" if before is None else f"the bar before is not in {metre}"
    return None, [(word[1], f"{shown(word[0])} repeats a bar, but {reason} (want chords)")]


class _Cell:
    """The words of one bar, read one by one: chords, and for how many words each is held."""

    def __init__(self, before: Chord | None) -> None:
        self.before = before
        self.chords: list[Chord] = []
        self.holds: list[int] = []
        self.faults: list[Fault] = []
        self.last = ""  # the text of the chord just read, while nothing has followed it

    def take(self, word: str, column: int) -> None:
        """Take one word."""
        text = word.rstrip(",")
        plain = text.rstrip("/")
        if plain and not self.take_chord(plain):
            self.faults.append((column, _reason(word, plain)))
        self.hold(len(text) - len(plain), column)

    def take_chord(self, text: str) -> bool:
        """Take a chord, as a whole or as the rest of the one before: ``Bb maj7``, ``G7 (b9)``."""
        found = _chord(text)
        if isinstance(found, Chord):
            self.add(found, text)
            return True
        joined = _chord(self.last + text) if self.last else found
        if isinstance(joined, Chord):
            self.chords[-1] = joined
            self.last += text
            return True
        bare = _chord(_unbracketed(text))
        if isinstance(bare, Chord):
            self.add(bare, text)
        return isinstance(bare, Chord)

    def add(self, chord: Chord, text: str) -> None:
        """Add a chord of one word."""
        self.chords.append(chord)
        self.holds.append(1)
        self.last = text

    def hold(self, slashes: int, column: int) -> None:
        """Hold the last chord; at the head of a bar it is that of the bar before."""
        if not slashes:
            return
        if not self.chords and self.before is None and not self.faults:
            self.faults.append((column, "'/' holds a chord, but none stands before it"))
        elif not self.chords and self.before is not None:
            self.add(self.before, "")
            self.holds[-1] = slashes
        elif self.chords:
            self.holds[-1] += slashes
        self.last = ""


def _unbracketed(text: str) -> str:
    """Take away the brackets that some hands put around the changes of a turnaround."""
    return text.removeprefix("(").removesuffix(")")


def _reason(word: str, plain: str) -> str:
    """Say why a word is no chord."""
    if word in REPEAT_BAR:
        return f"{shown(word)} repeats a whole bar (want it alone between two bar lines)"
    if word.lower() in PARTS_OF_MARKS:
        return f"{shown(word)} makes no mark with what stands beside it (want {MARK_NAMES})"
    if METRE.fullmatch(word):
        return f"{shown(word)} is a metre (want it at the head of a bar, before the chords)"
    found = _chord(plain)
    return str(found) if isinstance(found, TheoryError) else WANTED


def _timed(chords: Sequence[Chord], holds: Sequence[int], metre: Metre) -> Bar:
    """Return the bar with the length of each chord."""
    words = sum(holds)
    if words == len(chords):
        if not is_read_evenly(metre, words):
            raise TheoryError(
                f"{words} chords in a bar of {metre}, and how long each is cannot be seen (want at "
                f"most {metre.beats}, as many as come out alike, or a / after a chord for each "
                f"part of the bar that it is held, chords and slashes "
                f"{' or '.join(map(str, metre.grids[1:]))} in all)"
            )
        return Bar(tuple(chords), shares(metre, len(chords)))
    if words not in metre.grids:
        beats, *finer = metre.grids
        raise TheoryError(
            f"chords and slashes make {words} in a bar of {metre} (want {beats}, one for each "
            f"beat, or {' or '.join(map(str, finer))} for parts of beats)"
        )
    return Bar(tuple(chords), tuple(Fraction(hold * metre.beats, words) for hold in holds))
