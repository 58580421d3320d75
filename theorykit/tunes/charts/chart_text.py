"""The text of a chart: its head lines, sections and rows, and what is wrong with them.

The typed form is what a lead sheet shows, in plain text:

* Head lines stand at the top, in any order: ``title: ...``, ``by: ...``, ``key: Bb`` or
  ``key: G minor``, ``metre: 3/4``, ``tempo: 132``, ``feel: swing``. All of them may be left out.
* ``[A]`` names the section that begins; a letter or a word such as ``Bridge`` alone on its line
  does as well.
* Bars stand between bar lines ``|``; a double or a final bar line counts as one, and a row may
  leave the outer ones out, or have commas in place of them all. ``|:`` and ``:|`` are repeats,
  ``:| x3`` is played three times; ``1.`` and ``2.`` at the head of a bar begin the endings. A metre
  at the head of a bar changes it.
* ``segno`` and ``coda`` stand at the head of a bar; ``to coda``, ``fine``, ``D.C.`` and ``D.S.``,
  each also with ``al fine`` or ``al coda``, at its end or after the last bar line. A section named
  Coda is the coda.
* In a bar chords stand as lead sheets write them. They share the bar evenly, up to one
  a beat, or more where all come out alike; ``/`` holds a chord for one beat more, so
  ``Dm7 / / G7`` is three beats and one. ``%`` is the bar before, ``N.C.`` is silence.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from theorykit.errors import TheoryError, shown
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.tunes.bars import COMMON_TIME, Metre, Section, is_section_name, with_named_coda
from theorykit.tunes.charts.chart_cells import METRE
from theorykit.tunes.charts.chart_rows import BAR_SIGNS, Problem, ProblemList, Rows
from theorykit.tunes.charts.play_order import close_up, jump_faults, play_order, repeat_faults

TEMPI = (20, 400)  # beats a minute, from the slowest ballad to the fastest bebop
LONGEST_LINE = 200
# Every name that a head line may have, and the field it fills.
_NAMES = {
    "title": "title",
    "by": "by", "composer": "by", "music": "by", "written by": "by",
    "key": "key",
    "metre": "metre", "meter": "metre", "time": "metre", "time signature": "metre",
    "tempo": "tempo", "bpm": "tempo",
    "feel": "feel", "style": "feel", "groove": "feel",
}  # fmt: skip
FIELDS = tuple(dict.fromkeys(_NAMES.values()))
_LINE = re.compile(r"\s*([A-Za-z]+(?: [A-Za-z]+)?)\s*[:=](.*)")
_NO_COLON = re.compile(rf"\s*({'|'.join(_NAMES)})\s+(\S.*)", re.IGNORECASE)
_TEMPO = re.compile(r"(?:♩\s*=?|=)?\s*([0-9]{1,4})\s*(?:bpm)?", re.IGNORECASE)


@dataclass(slots=True)
class Heads:
    """What the head lines say, as far as they have been read."""

    title: str = ""
    by: str = ""
    key: Key | None = None
    metre: Metre = COMMON_TIME
    tempo: int | None = None
    feel: str = ""

    def take(self, name: str, value: str) -> None:
        """Fill one field, or say in a TheoryError what it takes."""
        setattr(self, name, _READERS[name](value.strip()))


def head_of(line: str) -> tuple[str, str, int] | None:
    """Return field, value and the place of the value if the line is a head line.

    >>> head_of("Meter: 3/4"), head_of("| C | F |")
    (('metre', ' 3/4', 6), None)
    """
    found = _LINE.fullmatch(line)
    if found is None or found[1].lower() not in _NAMES:
        return None
    return _NAMES[found[1].lower()], found[2], found.start(2)


# What no page and no MusicXML can hold (XML 1.0, Char), but a line end or a tab.
UNWRITABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def checked_line(text: str, what: str) -> str:
    """Return text fit for one head line, spaces tidied, or refuse it."""
    if not isinstance(text, str):
        raise TheoryError(f"not a {what}: {shown(text)} (want text)")
    tidy = " ".join(text.split())
    if odd := UNWRITABLE.search(tidy):
        raise TheoryError(f"a {what} with {odd[0]!r} (want signs that can be written)")
    if len(tidy) > LONGEST_LINE:
        raise TheoryError(
            f"{what} of {len(tidy)} characters: {shown(tidy)} (want at most {LONGEST_LINE})"
        )
    return tidy


def checked_tempo(tempo: int) -> int:
    """Return a tempo in beats a minute, or refuse it."""
    low, high = TEMPI
    if not isinstance(tempo, int) or not low <= tempo <= high:
        raise TheoryError(f"not a tempo: {shown(tempo)} (want {low} to {high} beats a minute)")
    return tempo


def _read_tempo(text: str) -> int:
    """Read beats a minute."""
    found = _TEMPO.fullmatch(text) if len(text) < 20 else None
    if found is None:
        low, high = TEMPI
        raise TheoryError(f"not a tempo: {shown(text)} (want {low} to {high} beats a minute)")
    return checked_tempo(int(found[1]))


def _read_metre(text: str) -> Metre:
    """Read a metre; the sign of common time may be typed as C."""
    return COMMON_TIME if text in ("C", "c") else Metre.parse(text)


_READERS: dict[str, Callable[[str], object]] = {
    "title": lambda text: checked_line(text, "title"),
    "by": lambda text: checked_line(text, "name"),
    "feel": lambda text: checked_line(text, "feel"),
    "key": Key.parse,
    "metre": _read_metre,
    "tempo": _read_tempo,
}


# === The whole text ===

LONGEST_TEXT = 1_000_000
MOST_LINES = 10_000
MOST_PLAYED = 20_000  # bars, repeats played out
NO_BARS = "no bars (want chords between bar lines, such as | Dm7 G7 | Cmaj7 |)"
_LINE_ENDS = re.compile(r"\r\n|\r|\n")
_UNSEEN = str.maketrans({sign: " " for sign in "\ufeff\u200b\u200c\u200d\u2060"})
_KNOWN_NAMES = (
    "intro introduction verse chorus refrain bridge interlude solo solos vamp tag coda ending "
    "outro head theme turnaround release channel middle shout"
)
_LETTER = r"[A-Z](?:[1-4]|['’′]{1,3})?"
_NAME = re.compile(
    rf"(?:(?:section|part|letter)\s+(?P<said>\S.*?)|(?P<letter>{_LETTER})"
    rf"|(?P<known>(?:{'|'.join(_KNOWN_NAMES.split())})(?: [A-Z0-9]+)?))\s*:?",
    re.IGNORECASE,
)
_HALF_NAME = re.compile(r"[\[({<]\s*([^\[\](){}<>|]{1,40}?)\s*[\])}>]?|([^\[\]|]{1,40}?)\s*\]")
_LABELLED_ROW = re.compile(rf"\s*([^|:\[\]]{{1,40}}):\s+(?=[{BAR_SIGNS}])")


@dataclass(frozen=True, slots=True)
class ChartParts:
    """What a text says, before it is a chart."""

    heads: Heads
    sections: tuple[Section, ...]


def read_chart_text(text: str) -> tuple[ChartParts | None, tuple[Problem, ...]]:
    """Return the parts of a chart and no problem, or None and every problem that was found."""
    if not isinstance(text, str):
        raise TheoryError(
            f"not a chart: {shown(text)} (want a chart, or text such as | Dm7 G7 | C6 |)"
        )
    if len(text) > LONGEST_TEXT:
        raise TheoryError(
            f"not a chart: a text of {len(text)} characters (want at most {LONGEST_TEXT})"
        )
    lines = _LINE_ENDS.split(text.translate(_UNSEEN))
    if len(lines) > MOST_LINES:
        said = f"too many lines: {len(lines):,} (want at most {MOST_LINES:,})"
        return None, (Problem(MOST_LINES + 1, 1, said),)
    reader = _Reader()
    for number, line in enumerate(lines, 1):
        if reader.problems.full:
            break
        if line.strip():
            reader.take(line, number)
    return reader.result()


class _Reader:
    """Tells the lines of a chart apart."""

    def __init__(self) -> None:
        self.problems = ProblemList()
        self.heads = Heads()
        self.seen: dict[str, int] = {}
        self.rows: Rows | None = None
        self.begun = False
        self.last_line = 1

    def take(self, line: str, number: int) -> None:
        """Take one line that is not empty."""
        first, self.begun, self.last_line = not self.begun, True, number
        head = head_of(line)
        if head is not None:
            self.take_head(*head, number)
        elif self.rows is None and first and _is_title(line):
            self.take_head("title", line, 0, number)
        else:
            self.take_music(line, number)

    def take_head(self, name: str, value: str, column: int, number: int) -> None:
        """Take a head line."""
        column += 1 + len(value) - len(value.lstrip())
        if self.rows is not None:
            self.problems.add(
                number, 1, f"{shown(name)} after the first bar (want head lines above all bars)"
            )
        elif name in self.seen:
            self.problems.add(
                number, 1, f"{shown(name)} again (line {self.seen[name]} has it; want one)"
            )
        else:
            self.seen[name] = number
            try:
                self.heads.take(name, value)
            except TheoryError as error:
                self.problems.add(number, column, str(error))

    def take_music(self, line: str, number: int) -> None:
        """Take a section name, a row, or a row that begins with a section name."""
        name = section_name(line)
        labelled = _LABELLED_ROW.match(line)
        label = section_name(labelled[1]) if labelled and name is None else None
        if name is not None:
            self.music().begin(name, number)
        elif labelled and label is not None:
            self.music().begin(label, number)
            self.music().read(" " * labelled.end() + line[labelled.end() :], number)
        elif _looks_like_head(line):
            self.problems.add(
                number, 1, f"no such head line: {shown(line.strip())} (want {', '.join(FIELDS)})"
            )
        elif mended := _with_brackets(line):
            self.problems.add(
                number,
                1,
                f"not the name of a section: {shown(line.strip())} (want {shown(mended)})",
            )
        elif mended := _with_colon(line):
            self.problems.add(
                number, 1, f"no colon in {shown(line.strip())} (want {shown(mended)})"
            )
        else:
            self.music().read(line, number)

    def music(self) -> Rows:
        """Return the rows, begun at the first line of music."""
        if self.rows is None:
            self.rows = Rows(self.heads.metre, self.problems)
        return self.rows

    def result(self) -> tuple[ChartParts | None, tuple[Problem, ...]]:
        """Return what was read."""
        rows = self.rows
        if rows is None or not rows.bars:
            if not self.problems.found:
                self.problems.add(self.last_line, 1, NO_BARS)
            return None, self.problems.sorted()
        rows.finish()
        sections = [] if self.problems.found else self.sections(rows)
        if self.problems.found:
            return None, self.problems.sorted()
        return ChartParts(self.heads, tuple(sections)), ()

    def sections(self, rows: Rows) -> list[Section]:
        """Return the sections, repeats completed and checked."""
        bars = close_up(rows.bars, [first for _, first, _ in rows.sections])
        bars = with_named_coda(bars, [(name, first) for name, first, _ in rows.sections])
        for index, message in repeat_faults(bars):
            self.problems.add(*rows.places[index], message)
        for index, mark, message in [] if self.problems.found else jump_faults(bars):
            place = rows.mark_places.get((index, mark), rows.places[index])
            self.problems.add(*place, message)
        if not self.problems.found and len(play_order(bars)) > MOST_PLAYED:
            self.problems.add(1, 1, f"more than {MOST_PLAYED} bars played (want a shorter chart)")
        marks = list(rows.sections)
        if not marks or marks[0][1] > 0:
            marks.insert(0, ("", 0, 1))
        ends = [first for _, first, _ in marks[1:]] + [len(bars)]
        for (name, first, line), end in zip(marks, ends, strict=True):
            if first == end:
                self.problems.add(line, 1, f"section {shown(name)} has no bars (want some)")
        if self.problems.found:
            return []
        return [
            Section(name, tuple(bars[first:end]))
            for (name, first, _), end in zip(marks, ends, strict=True)
        ]


def section_name(line: str) -> str | None:
    """Return the name if the line is nothing but the name of a section.

    >>> section_name("B"), section_name("Bridge:"), section_name("part II"), section_name("Dm7")
    ('B', 'Bridge', 'II', None)
    """
    text = line.strip()
    found = _NAME.fullmatch(text) if len(text) <= 50 else None
    if found is not None:
        name = " ".join((found["said"] or found["letter"] or found["known"]).split())
    elif text.endswith(":"):
        name = " ".join(text[:-1].split())
    else:
        return None
    return name if is_section_name(name) else None


def _with_brackets(line: str) -> str:
    """Return the name of a section in its brackets where one is left out or is another.

    >>> [_with_brackets(line) for line in ("[B", "A2 ]", "(Bridge)", "[C]", "| Dm7 |", "(C6)")]
    ['[B]', '[A2]', '[Bridge]', '', '', '']
    """
    found = _HALF_NAME.fullmatch(line.strip())
    if found is not None and found[0][0] + found[0][-1] == "[]":  # both are there
        return ""
    name = section_name(found[1] or found[2]) if found is not None else None
    return "" if name is None else f"[{name}]"


def _with_colon(line: str) -> str:
    """Return a head line whose colon was left out as it is meant; empty for any other line.

    >>> _with_colon("tempo 132"), _with_colon("| C | F |"), _with_colon("C F G")
    ('tempo: 132', '', '')
    """
    found = None if any(sign in line for sign in BAR_SIGNS) else _NO_COLON.fullmatch(line)
    return "" if found is None else f"{found[1]}: {found[2].strip()}"


def _looks_like_head(line: str) -> bool:
    """Tell whether a line has a name, a colon and a text, and no bar line."""
    name, colon, value = line.partition(":")
    return bool(
        colon
        and value.strip()
        and name.strip().replace(" ", "").isalpha()
        and not any(sign in line for sign in BAR_SIGNS)
    )


def _is_title(line: str) -> bool:
    """Tell whether the first line is a title: words, none of which is a chord but by chance."""
    words = line.split()
    if any(sign in line for sign in f"{BAR_SIGNS}[]:%𝄋𝄌⊕") or section_name(line) is not None:
        return False
    if METRE.fullmatch(line.strip()):
        return False
    return len(line) < 200 and not any(len(word) > 1 and _is_chord(word) for word in words[:40])


def _is_chord(word: str) -> bool:
    """Tell whether a word reads as a chord."""
    try:
        Chord.parse(word)
    except TheoryError:
        return False
    return True
