"""Bars: metre, chords, repeats and endings, segno and other marks; and sections of bars.

Names, meanings and spellings are common practice.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

from theorykit.errors import TheoryError, expect_all, shown
from theorykit.notes.chord import Chord
from theorykit.notes.values import Value
from theorykit.tunes.progression import Bar

__all__ = [
    "COMMON_TIME",
    "JUMP_MARKS",
    "MARK_NAMES",
    "METRES",
    "MOST_TIMES",
    "ChartBar",
    "JumpMark",
    "Metre",
    "Section",
    "bar_words",
    "has_marks",
    "in_order",
    "jump_mark",
    "mark_at",
    "marks_of",
    "may_begin",
    "names_coda",
    "shares",
    "with_named_coda",
]

_TEXT = re.compile(r"([0-9]{1,2})\s*/\s*([0-9]{1,2})")
_WRITABLE = {"2/4": 2, "3/4": 3, "4/4": 4, "5/4": 5, "6/4": 6, "6/8": 2, "12/8": 4}


@dataclass(frozen=True, slots=True)
class Metre:
    """A time signature. In 6/8 and 12/8 a beat is a dotted quarter (common practice).

    >>> m = Metre.parse("6/8")
    >>> str(m), m.beats, m.quarters
    ('6/8', 2, Fraction(3, 2))
    """

    count: int
    unit: int

    def __post_init__(self) -> None:
        """Refuse a metre that charts do not use."""
        if f"{self.count}/{self.unit}" not in _WRITABLE:
            raise TheoryError(
                f"not a metre for a chart: {self.count}/{self.unit} (want {_ACCEPTED})"
            )

    @classmethod
    def parse(cls, text: str) -> Metre:
        """Read a metre such as ``3/4``. The reverse of ``str``.

        >>> Metre.parse("7/9")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: not a metre for a chart: '7/9' (want 2/4, 3/4, 4/4, 5/4, \
6/4, 6/8 or 12/8)
        """
        found = _TEXT.fullmatch(text.strip()) if isinstance(text, str) and len(text) < 20 else None
        if found is None or f"{int(found[1])}/{int(found[2])}" not in _WRITABLE:
            raise TheoryError(f"not a metre for a chart: {shown(text)} (want {_ACCEPTED})")
        return cls(int(found[1]), int(found[2]))

    @property
    def beats(self) -> int:
        """How many beats a musician counts in a bar: 4 in 4/4 and in 12/8."""
        return _BEATS[self.count, self.unit]

    @property
    def quarters(self) -> Fraction:
        """The length of one beat in quarter notes."""
        return Fraction(4 * self.count, self.unit * self.beats)

    @property
    def grids(self) -> tuple[int, ...]:
        """Into how many equal parts the chords and slashes of a bar may divide it."""
        if self.unit == 8:
            return (self.beats, self.count, 2 * self.count)
        return (self.beats, 2 * self.beats, 4 * self.beats)

    def __str__(self) -> str:
        return f"{self.count}/{self.unit}"


_BEATS = {(int(n.partition("/")[0]), int(n.partition("/")[2])): b for n, b in _WRITABLE.items()}
*_most, _last = _WRITABLE
_ACCEPTED = f"{', '.join(_most)} or {_last}"
COMMON_TIME = Metre(4, 4)
METRES = tuple(Metre(*map(int, name.split("/"))) for name in _WRITABLE)


@lru_cache(maxsize=256)
def shares(metre: Metre, chords: int) -> tuple[Fraction, ...]:
    """Return the beats of each chord of a bar that is written without slashes.

    They share the bar evenly; where whole beats do not come out even, the earlier chords get the
    beats that are left over, as lead sheets are read (common practice). So it goes with parts of
    beats, but nobody reads a page so: see ``is_read_evenly``.

    >>> [str(beats) for beats in shares(Metre(4, 4), 3)], [str(b) for b in shares(Metre(3, 4), 2)]
    (['2', '1', '1'], ['2', '1'])
    """
    for grid in metre.grids:
        if chords <= grid:
            each, more = divmod(grid, chords)
            return tuple(
                Fraction((each + (place < more)) * metre.beats, grid) for place in range(chords)
            )
    raise TheoryError(
        f"{chords} chords in one bar of {metre} (want at most {metre.grids[-1]}; a | between bars)"
    )


def is_read_evenly(metre: Metre, chords: int) -> bool:
    """Tell whether players know how long each chord of a bar without slashes lasts.

    So they do up to a chord a beat, and where all are alike in parts of beats: six in 3/4, three in
    6/8. Five in 4/4 leave it to the eye (common practice).

    >>> [number for number in range(1, 17) if is_read_evenly(Metre(4, 4), number)]
    [1, 2, 3, 4, 8, 16]
    >>> [number for number in range(1, 13) if is_read_evenly(Metre(6, 8), number)]
    [1, 2, 3, 6, 12]
    """
    return chords <= metre.beats or len(set(shares(metre, chords))) == 1


# === Segno, coda, fine and jumps ===


@dataclass(frozen=True, slots=True)
class JumpMark:
    """One mark.

    ``name`` is how a chart says it and ``page`` how a page prints it; ``at_head`` tells whether it
    stands at the head of its bar or at its end. A jump goes ``back`` to ``top`` or ``segno``, and
    then on ``until`` ``fine`` or ``coda``, or as far as the other marks say. ``reads`` is a pattern
    for all its spellings, in small letters.
    """

    name: str
    page: str
    reads: str
    at_head: bool = False
    back: str = ""
    until: str = ""


_DC = r"(?:d\.?c\.?|d\. c\.?|da capo)"
_DS = r"(?:d\.?s\.?|d\. s\.?|d[ae]l segno|d[ae]l 𝄋|d\.?𝄋)"
_AL_FINE = r",? ?(?:al|alla) fine"
_CODA = r"(?:coda|[𝄌⊕])"  # the second sign is what plain text has for the first
_AL_CODA = rf",? ?(?:al|alla|to|to the) {_CODA}"

# In the order in which the marks of one bar are printed.
JUMP_MARKS = (
    JumpMark("segno", "Segno", "segno|𝄋", at_head=True),
    JumpMark("coda", "Coda", _CODA, at_head=True),
    JumpMark("to coda", "To Coda", rf"to (?:the )?{_CODA}"),
    JumpMark("fine", "Fine", "fine"),
    JumpMark("D.C.", "D.C.", _DC, back="top"),
    JumpMark("D.C. al fine", "D.C. al Fine", _DC + _AL_FINE, back="top", until="fine"),
    JumpMark("D.C. al coda", "D.C. al Coda", _DC + _AL_CODA, back="top", until="coda"),
    JumpMark("D.S.", "D.S.", _DS, back="segno"),
    JumpMark("D.S. al fine", "D.S. al Fine", _DS + _AL_FINE, back="segno", until="fine"),
    JumpMark("D.S. al coda", "D.S. al Coda", _DS + _AL_CODA, back="segno", until="coda"),
)
MARK_NAMES = ", ".join(mark.name for mark in JUMP_MARKS)
_BY_NAME = {mark.name: mark for mark in JUMP_MARKS}
_PLACES = {mark.name: place for place, mark in enumerate(JUMP_MARKS)}
_MOST_WORDS = 5  # of one mark: "D. S. to the coda"
_ENDS = r"[.,;)]*(?!\S)"
_ALL = reversed(tuple(enumerate(JUMP_MARKS)))  # the longer spellings before their beginnings
_ANY = re.compile(r"\(?(?:" + "|".join(f"(?P<m{n}>{m.reads}){_ENDS}" for n, m in _ALL) + ")")
_FIRST = re.compile(r"\(?(?:d\.|dc|ds|d[ae]|d𝄋|fine|to|segno|coda|[𝄋𝄌⊕])", re.IGNORECASE)


def jump_mark(name: str) -> JumpMark:
    """Return the mark of a name.

    >>> jump_mark("D.S. al coda").back, jump_mark("fine").page
    ('segno', 'Fine')
    """
    if name not in _BY_NAME:
        raise TheoryError(f"not a mark: {shown(name)} (want {MARK_NAMES})")
    return _BY_NAME[name]


def in_order(names: Iterable[str]) -> tuple[str, ...]:
    """Return the names of marks in the order in which they are printed, each once.

    >>> in_order(["D.S.", "to coda", "segno"])
    ('segno', 'to coda', 'D.S.')
    """
    return tuple(sorted({jump_mark(name).name for name in names}, key=_PLACES.__getitem__))


@lru_cache(maxsize=4096)
def may_begin(word: str) -> bool:
    """Tell whether a mark may begin with a word; charts say the same words often.

    >>> may_begin("Da"), may_begin("Dm7")
    (True, False)
    """
    return _FIRST.match(word) is not None


def mark_at(words: Sequence[str], place: int = 0) -> tuple[str, int] | None:
    """Return the mark that begins with a word, and how many words it has; None if none does.

    >>> mark_at("C Da Capo al Fine".split(), 1), mark_at(["D.C."]), mark_at(["C"])
    (('D.C. al fine', 4), ('D.C.', 1), None)
    """
    if not may_begin(words[place]):
        return None
    found = _ANY.match(" ".join(words[place : place + _MOST_WORDS]).lower())
    if found is None or found.lastgroup is None:
        return None
    return JUMP_MARKS[int(found.lastgroup[1:])].name, found[0].count(" ") + 1


def marks_of(text: str) -> tuple[str, ...]:
    """Return the marks that a text is made of, in its order; nothing if it says anything else.

    >>> marks_of("D.S. al Coda"), marks_of("To Coda"), marks_of("fine, but slower")
    (('D.S. al coda',), ('to coda',), ())
    """
    words, names, place = text.split(), [], 0
    while place < len(words):
        found = mark_at(words, place)
        if found is None:
            return ()
        names.append(found[0])
        place += found[1]
    return tuple(names)


# === Bars and sections ===

MOST_TIMES = 9  # how often a repeat may be played
LONGEST_NAME = 40
_CLOSES = (0, *range(2, MOST_TIMES + 1))
_NAME = re.compile(r"[^\[\]|\s](?:[^\[\]|]*[^\[\]|\s])?")


@dataclass(frozen=True, slots=True)
class ChartBar:
    """A written bar: its chords with their beats, its metre, and the marks at its lines.

    The lengths in ``content`` are beats of the metre (in 6/8 a dotted quarter). ``opens`` is a
    repeat sign before the bar; ``closes`` is how often the repeat that ends with this bar is
    played, 0 where none ends; ``ending`` are the numbers over an ending that starts here; ``marks``
    are names of ``JUMP_MARKS``, such as ``segno`` at its head and ``D.C. al fine`` at its end.

    >>> str(ChartBar(Bar.of(("Dm7", 3), ("G7", 1)), Metre(4, 4), closes=2))
    'Dm7 / / G7'
    """

    content: Bar
    metre: Metre
    opens: bool = False
    closes: int = 0
    ending: tuple[int, ...] = ()
    marks: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse lengths that do not fill the bar or that no slashes can show; order the marks."""
        if not _fills(self.content.lengths, self.metre):
            said = " + ".join(map(str, self.content.lengths))
            finest = Fraction(self.metre.beats, self.metre.grids[-1])
            raise TheoryError(
                f"not a bar of {self.metre}: chords of {said} beats "
                f"(want {self.metre.beats} beats in all, each a multiple of {finest})"
            )
        if self.closes not in _CLOSES:
            raise TheoryError(
                f"a repeat played {shown(self.closes)} times (want 2 to {MOST_TIMES}, or 0)"
            )
        if self.ending and any(number not in range(1, MOST_TIMES + 1) for number in self.ending):
            raise TheoryError(f"not an ending: {self.ending} (want numbers 1 to {MOST_TIMES})")
        if self.marks:
            object.__setattr__(self, "marks", in_order(self.marks))

    @property
    def chords(self) -> tuple[Chord, ...]:
        """The chords in order."""
        return self.content.chords

    @property
    def pretty(self) -> str:
        """The chords and slashes with ♭ and ♯ for the eye."""
        return " ".join(bar_words(self.content, self.metre, name=lambda chord: chord.pretty))

    def __str__(self) -> str:
        return " ".join(bar_words(self.content, self.metre))


@lru_cache(maxsize=1024)
def _fills(lengths: tuple[Fraction, ...], metre: Metre) -> bool:
    """Tell whether lengths fill a bar, each so long that slashes can show it."""
    finest = Fraction(metre.beats, metre.grids[-1])
    return sum(lengths) == metre.beats and not any(length % finest for length in lengths)


def bar_words(content: Bar, metre: Metre, *, name: Callable[[Chord], str] = str) -> list[str]:
    """Return the chords of a bar as words, with slashes only where the reader needs them."""
    names = [name(chord) for chord in content.chords]
    if content.lengths == shares(metre, len(names)) and is_read_evenly(metre, len(names)):
        return names
    grid = next(g for g in metre.grids if _fits(content, metre, g))
    words = []
    for word, length in zip(names, content.lengths, strict=True):
        words += [word] + ["/"] * (int(length * grid / metre.beats) - 1)
    return words


def _fits(content: Bar, metre: Metre, grid: int) -> bool:
    """Tell whether every length is a whole number of parts of the grid."""
    return all((length * grid / metre.beats).denominator == 1 for length in content.lengths)


@dataclass(frozen=True, slots=True, repr=False)
class Section(Value):
    """A stretch of bars under a letter or a name; the name may be empty in the first section."""

    name: str
    bars: tuple[ChartBar, ...]

    if TYPE_CHECKING:  # what is taken; the fields say what is kept

        def __init__(self, name: str, bars: Iterable[ChartBar]) -> None: ...

    def __post_init__(self) -> None:
        """Refuse an empty section and a name that could not be printed in a box."""
        bars = expect_all(self.bars, ChartBar, "the bars of a section", "ChartBars")
        object.__setattr__(self, "bars", bars)
        if not self.bars:
            raise TheoryError(f"section {shown(self.name)} without a bar (want at least one)")
        if self.name and not is_section_name(self.name):
            raise TheoryError(
                f"not the name of a section: {shown(self.name)} (want a letter or a name of at "
                f"most {LONGEST_NAME} characters on one line, without [ ] and |)"
            )

    def __str__(self) -> str:
        return f"[{self.name}] {' | '.join(map(str, self.bars))}".removeprefix("[] ")


def is_section_name(text: str) -> bool:
    """Tell whether a section can bear this name."""
    return (
        len(text) <= LONGEST_NAME
        and _NAME.fullmatch(text) is not None
        and text.isprintable()
        and text == " ".join(text.split())
    )


def has_marks(bars: Sequence[ChartBar]) -> bool:
    """Tell whether any bar bears a mark."""
    return any(bar.marks for bar in bars)


def names_coda(section: str) -> bool:
    """Tell whether a section is the coda by its name."""
    return section.casefold() == "coda"


def with_named_coda(
    bars: Sequence[ChartBar], sections: Sequence[tuple[str, int]]
) -> list[ChartBar]:
    """Return the bars with the coda begun by the section of that name.

    That is so where a mark asks for a coda and no bar has one; ``sections`` are names and first
    bars.
    """
    marked = list(bars)
    names = {name for bar in bars for name in bar.marks}
    asked = "to coda" in names or any(jump_mark(name).until == "coda" for name in names)
    begun = [first for name, first in sections if names_coda(name) and first < len(bars)]
    if asked and "coda" not in names and begun:
        bar = marked[begun[0]]
        marked[begun[0]] = replace(bar, marks=(*bar.marks, "coda"))
    return marked
