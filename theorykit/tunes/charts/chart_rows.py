"""Rows of a typed chart: bar lines, repeats, endings, cells; and the problems found in a text."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from theorykit.errors import TheoryError, shown
from theorykit.tunes.bars import (
    MOST_TIMES,
    ChartBar,
    Metre,
    is_section_name,
    jump_mark,
    mark_at,
    marks_of,
)
from theorykit.tunes.charts.chart_cells import (
    METRE,
    REPEAT_BAR,
    MarkWord,
    Word,
    ending_of,
    head_mark,
    parted,
    read_cell,
)
from theorykit.tunes.progression import Bar

MOST_KEPT = 100  # beyond that a text is no chart with slips in it
MOST_TOLD = 12  # in one message


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong at one place. Line and column count from 1.

    ``message`` says what came, why it cannot be read, and what would be accepted.
    """

    line: int
    column: int
    message: str

    def __str__(self) -> str:
        return f"line {self.line}, column {self.column}: {self.message}"


class ProblemList:
    """The problems found so far, at most a hundred."""

    def __init__(self) -> None:
        self.found: list[Problem] = []

    def add(self, line: int, column: int, message: str) -> None:
        """Note one down."""
        if not self.full:
            self.found.append(Problem(line, column, message))

    @property
    def full(self) -> bool:
        """True when reading on would teach nobody anything."""
        return len(self.found) >= MOST_KEPT

    def sorted(self) -> tuple[Problem, ...]:
        """Return them in the order of the page."""
        return tuple(sorted(self.found, key=lambda p: (p.line, p.column)))


def refusal(problems: Iterable[Problem]) -> TheoryError:
    """Return the one error that tells all problems of a text.

    >>> print(refusal([Problem(2, 5, "no chord"), Problem(3, 1, "no bar")]))
    2 problems in the chart:
    line 2, column 5: no chord
    line 3, column 1: no bar
    """
    given = tuple(problems)
    if len(given) == 1:
        return TheoryError(str(given[0]))
    told = [str(problem) for problem in given[:MOST_TOLD]]
    if len(given) > MOST_TOLD:
        more = f"{len(given) - MOST_TOLD}" + ("" if len(given) < MOST_KEPT else " or more")
        told.append(f"and {more} others")
    return TheoryError("\n".join([f"{len(given)} problems in the chart:", *told]))


# === Rows ===

MOST_BARS = 20_000
BAR_LINES = "|‖¦│┃"
BAR_SIGNS = f"{BAR_LINES}𝄆𝄇"
_COMMA = re.compile(r",(?=\s*(?:[A-G%]|N\.?C))")  # before a chord; G7(b9,b13) has another one
_TOKEN = re.compile(
    r"(?P<bar>(?P<shut>:[ \t]?)?(?:[|‖¦│┃]+)\]?(?P<open>[ \t]?:(?![ \t]?[|‖¦│┃]))?)"
    r"|(?P<sign>[𝄆𝄇])"
    r"|(?P<box>\[[^\[\]|]{1,60}\])"
    r"|(?P<word>[^\s|‖¦│┃:𝄆𝄇]+)"
    r"|(?P<stray>:)"
)
_TIMES = re.compile(r"\(?(?:[x×]([0-9])|([0-9])[x×])\)?", re.IGNORECASE)


def with_bar_lines(row: str) -> str:
    """Return a row that has commas and no bar line with bar lines in their place.

    >>> with_bar_lines("Ebm7, Ab7(b9,b13), Dbmaj7"), with_bar_lines("| Dm7, G7 | C6 |")
    ('Ebm7| Ab7(b9,b13)| Dbmaj7', '| Dm7, G7 | C6 |')
    """
    return row if any(sign in row for sign in BAR_SIGNS) else _COMMA.sub("|", row)


class Rows:
    """The bars read so far. Feed it the rows in order, then take ``bars`` and ``sections``."""

    def __init__(self, metre: Metre, problems: ProblemList) -> None:
        self.metre = metre
        self.problems = problems
        self.bars: list[ChartBar] = []
        self.places: list[tuple[int, int]] = []  # line and column of each bar
        self.sections: list[tuple[str, int, int]] = []  # name, first bar, line
        self.mark_places: dict[tuple[int, str], tuple[int, int]] = {}  # by bar and name
        self.line = 0
        self.words: list[Word] = []
        self.opens = False
        self.ending: tuple[int, ...] = ()
        self.heads: list[tuple[str, int, int]] = []  # marks before a bar: name, line, column
        self.new_metre: tuple[str, int, int] | None = None  # with no bar yet: text, line, column
        self.after_bar_line = False  # a bar line stands right before, with nothing after it
        self.is_too_long = False
        self.known: dict[tuple[tuple[str, ...], Metre], Bar] = {}

    def read(self, row: str, line: int) -> None:
        """Read one row."""
        self.line, self.after_bar_line = line, False
        row = with_bar_lines(row)
        for token in _TOKEN.finditer(_open_ended(row)):
            if self.problems.full or self.is_too_long:
                break
            column = token.start() + 1
            kind = token.lastgroup
            if token["bar"]:
                self.bar_line(column, bool(token["shut"]), bool(token["open"]))
            elif kind == "sign":
                self.bar_line(column, token[0] == "𝄇", token[0] == "𝄆")
            elif kind == "box":
                self.box(token[0][1:-1].strip(), column)
            elif kind == "word":
                self.word(token[0], column)
            else:
                self.problems.add(line, column, "':' stands alone (want |: or :| for a repeat)")
        if self.words:
            self.check_bare(row)
            self.flush(alone=True)

    def word(self, word: str, column: int) -> None:
        """Take a word: a mark at the head of a bar, or part of what it holds."""
        if not self.words and self.take_mark(word, column):
            return
        self.words.append((word, column))

    def take_mark(self, word: str, column: int) -> bool:
        """Take an ending's number, a metre, how often a repeat is played, segno or coda."""
        name = head_mark(word)
        if name:
            self.heads.append((name, self.line, column))
            return True
        numbers = ending_of(word)
        if numbers:
            self.ending = numbers
            return True
        if METRE.fullmatch(word):
            self.change_metre(word, column)
            return True
        times = _TIMES.fullmatch(word)
        if times is not None:
            self.set_times(int(times[1] or times[2]), column)
        return times is not None

    def change_metre(self, word: str, column: int) -> None:
        """Go on in another metre."""
        try:
            self.metre = Metre.parse(word)
            self.new_metre = (word, self.line, column)
        except TheoryError as error:
            self.problems.add(self.line, column, str(error))

    def refuse_metre(self) -> None:
        """Say what a metre is that stands before no bar."""
        if self.new_metre is not None:
            word, line, column = self.new_metre
            self.problems.add(
                line, column, f"{shown(word)} is a metre, not a bar (want it before a bar's chords)"
            )
            self.new_metre = None

    def set_times(self, times: int, column: int) -> None:
        """Say how often the repeat that just closed is played."""
        if not self.bars or not self.bars[-1].closes:
            self.problems.add(self.line, column, "no repeat closes before this (want :| x3)")
        elif not 2 <= times <= MOST_TIMES:
            self.problems.add(
                self.line, column, f"a repeat played {times} times (want x2 to x{MOST_TIMES})"
            )
        else:
            self.remake_last(times)

    def remake_last(self, closes: int) -> None:
        """Let the last bar close a repeat."""
        self.bars[-1] = replace(self.bars[-1], closes=closes)

    def box(self, name: str, column: int) -> None:
        """Begin a section."""
        if self.words and mark_at([word for word, _ in self.words]):
            self.flush(alone=True)
        elif self.words:
            self.problems.add(
                self.line, column, f"section {shown(name)} begins inside a bar (want | before it)"
            )
            self.flush()
        if is_section_name(name):
            self.begin(name, self.line)
        else:
            self.problems.add(
                self.line, column, f"not a section: {shown(name)} (want a letter or a name)"
            )

    def begin(self, name: str, line: int) -> None:
        """Begin a section."""
        self.sections.append((name, len(self.bars), line))
        self.after_bar_line = False

    def bar_line(self, column: int, shut: bool, opens: bool) -> None:
        """End a bar, and perhaps a repeat; perhaps begin one."""
        if self.words:
            self.flush()
        elif self.after_bar_line and self.new_metre is not None:
            self.refuse_metre()
        elif self.after_bar_line and not shut and not opens and not self.opens:
            self.problems.add(
                self.line, column, "an empty bar (want a chord, % for the bar before, or N.C.)"
            )
        if shut and self.bars:
            self.remake_last(2)
        elif shut:
            self.problems.add(self.line, column, "a repeat closes before any bar (want |: first)")
        self.opens = self.opens or opens
        self.after_bar_line = not shut and not opens

    def check_bare(self, row: str) -> None:
        """Refuse a row of many chords without a bar line: nobody can tell where bars begin."""
        alone = not any(sign in row for sign in BAR_SIGNS)
        words = parted(self.words)[0]
        if alone and len(words) > self.metre.beats and "/" not in {w for w, _ in words}:
            self.problems.add(
                self.line,
                words[0][1],
                f"{len(words)} chords without a bar line (want | between the bars)",
            )

    def flush(self, *, alone: bool = False) -> None:
        """Make a bar of the words that have come since the last bar line.

        Marks ``alone`` after the last bar line belong to the bar before.
        """
        words, marks, faults = parted(self.words)
        self.words = []
        for column, message in faults:
            self.problems.add(self.line, column, message)
        if words:
            self.make(words, marks)
        elif alone and self.bars:
            self.hang(marks)
        elif not faults:
            name, column = marks[0]
            self.problems.add(
                self.line, column, f"{name} without a chord (want it at the end of the bar before)"
            )

    def make(self, words: list[Word], marks: list[MarkWord]) -> None:
        """Make a bar of chords, with the marks before and after them."""
        place = (self.line, words[0][1])
        content = self.content(words)
        if len(self.bars) == MOST_BARS and not self.is_too_long:
            self.problems.add(*place, f"more than {MOST_BARS} bars (want a shorter chart)")
            self.is_too_long = True
        elif content is not None and len(self.bars) < MOST_BARS:
            self.bars.append(ChartBar(content, self.metre, self.opens, 0, self.ending))
            self.places.append(place)
            for name, line, column in self.heads:
                self.mark(name, line, column)
            for name, column in marks:
                self.mark(name, self.line, column)
        self.opens, self.ending, self.heads, self.after_bar_line = False, (), [], False
        self.new_metre = None

    def hang(self, marks: list[MarkWord]) -> None:
        """Hang marks on the last bar, segno and coda before the next."""
        for name, column in marks:
            if jump_mark(name).at_head:
                self.heads.append((name, self.line, column))
            else:
                self.mark(name, self.line, column)

    def mark(self, name: str, line: int, column: int) -> None:
        """Mark the last bar."""
        bar = self.bars[-1]
        if name in bar.marks:
            self.problems.add(line, column, f"{name} again in one bar (want it once)")
        self.bars[-1] = replace(bar, marks=(*bar.marks, name))
        self.mark_places.setdefault((len(self.bars) - 1, name), (line, column))

    def finish(self) -> None:
        """Refuse a metre, a segno or a coda after which no bar comes."""
        self.refuse_metre()
        for name, line, column in self.heads:
            self.problems.add(line, column, f"{name} after the last bar (want a bar after it)")

    def content(self, words: list[Word]) -> Bar | None:
        """Return what a bar holds; None, with the problems noted, where it cannot be read."""
        key = (tuple(word for word, _ in words), self.metre)
        if key in self.known:
            return self.known[key]
        before = self.bars[-1].content if self.bars else None
        content, faults = read_cell(words, self.metre, before)
        for column, message in faults:
            self.problems.add(self.line, column, message)
        if (
            content is not None
            and not words[0][0].startswith("/")
            and words[0][0] not in REPEAT_BAR
        ):
            self.known[key] = content
        return content


def _open_ended(row: str) -> str:
    """Return a row without its last bar line if nothing but marks stands before that line."""
    shorter = row.rstrip(f"{BAR_LINES}] \t")
    last = max(map(shorter.rfind, BAR_SIGNS), default=-1)
    return shorter if marks_of(shorter[last + 1 :]) else row
