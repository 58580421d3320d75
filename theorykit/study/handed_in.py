"""Handed in: what a student gives to the teacher of a term, and the table of a class.

A file is JSON (ECMA-404): a name, a time, how much was asked and how much was right in each week,
and lines that the student chose. It holds no answer, no note of the journal and no other line.
"""

from __future__ import annotations

import csv
import io
import json
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.study.journal import Journal
from theorykit.study.term import day_words

__all__ = ["CLASS_HEADS", "ClassTerm", "HandedIn", "HandedLine", "WeekDone"]

FORMAT, VERSION = "theorykit handed in", 1
LONGEST_FILE = 100_000  # characters
MOST_WEEKS, MOST_LINES, MOST_COUNT = 60, 20, 100_000
LONGEST_NAME, LONGEST_LINE = 60, 4000
CLASS_HEADS = ("student", "week", "asked", "right", "minutes", "lines", "last seen")
WEEK = timedelta(days=7)
FORMULA_SIGNS = ("=", "+", "-", "@")  # a spreadsheet takes such a text for a formula


@dataclass(frozen=True, slots=True)
class WeekDone:
    """One week of a student, named by its Monday: questions asked, those right, minutes practised.

    >>> WeekDone(date(2026, 11, 23), 12, 9).right
    9
    """

    monday: date
    asked: int = 0
    right: int = 0
    minutes: int = 0


@dataclass(frozen=True, slots=True)
class HandedLine:
    """A line that is handed in: its name, its text, and the Monday of its week."""

    name: str
    text: str
    monday: date


@dataclass(frozen=True, slots=True)
class HandedIn:
    """What a student hands in.

    >>> done = HandedIn("Ida", datetime(2026, 11, 26, 19, 30, tzinfo=UTC), (
    ...     WeekDone(date(2026, 11, 23), 12, 9),))
    >>> HandedIn.parse(done.text) == done
    True
    """

    who: str
    at: datetime
    weeks: tuple[WeekDone, ...] = ()
    lines: tuple[HandedLine, ...] = ()

    @classmethod
    def of(
        cls, who: str, journal: Journal, at: datetime, lines: Iterable[HandedLine] = ()
    ) -> HandedIn:
        """Return what a journal says of the last weeks, with some lines.

        What the teacher could not read is refused here, where the student sees it.

        >>> from tempfile import TemporaryDirectory
        >>> with TemporaryDirectory() as folder:
        ...     journal = Journal(f"{folder}/journal.sqlite")
        ...     thursday = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)
        ...     journal.practised("Ida's turn", 12, at=thursday)
        ...     HandedIn.of("Ida", journal, thursday).weeks[0].minutes
        12
        """
        counts: dict[date, list[int]] = {}
        for one in journal.answers:
            row = counts.setdefault(monday_of(one.at), [0, 0, 0])
            row[0] += 1
            row[1] += one.is_right
        for monday, minutes in journal.weeks().items():
            counts.setdefault(monday, [0, 0, 0])[2] = round(minutes)
        weeks = [WeekDone(monday, *row) for monday, row in sorted(counts.items())]
        name = _line(who.strip() if isinstance(who, str) else who, "a name", LONGEST_NAME)
        chosen = tuple(lines)
        if len(chosen) > MOST_LINES:
            raise TheoryError(f"{len(chosen)} lines to hand in (want at most {MOST_LINES})")
        second = at.astimezone(UTC).replace(microsecond=0)
        return cls.parse(cls(name, second, tuple(weeks[-MOST_WEEKS:]), chosen).text)

    @property
    def text(self) -> str:
        """What is handed in as text: what ``parse`` reads."""
        weeks = [
            {"week": one.monday.isoformat(), "asked": one.asked, "right": one.right,
             "minutes": one.minutes} for one in self.weeks
        ]  # fmt: skip
        lines = [
            {"name": one.name, "text": one.text, "week": one.monday.isoformat()}
            for one in self.lines
        ]
        kept = {"format": FORMAT, "version": VERSION, "who": self.who}
        at = self.at.astimezone(UTC).isoformat(timespec="seconds")
        whole = {**kept, "at": at, "weeks": weeks, "lines": lines}
        return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"

    @classmethod
    def parse(cls, text: str) -> HandedIn:
        """Read what was handed in. The reverse of ``text``.

        >>> HandedIn.parse("[]")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: nothing that was handed in, of version 1 (want the file that \
a student's hand_in writes)
        """
        table = _table(text)
        who = _line(table.get("who"), "a name", LONGEST_NAME)
        weeks = tuple(map(_week, _rows(table, "weeks", MOST_WEEKS)))
        lines = tuple(map(_handed_line, _rows(table, "lines", MOST_LINES)))
        return cls(who, _time(table.get("at")), weeks, lines)


@dataclass(frozen=True, slots=True)
class ClassTerm:
    """A class over a term: a row for each student and week; ``faults`` are files and reasons."""

    rows: tuple[tuple[str, ...], ...]
    lines: tuple[tuple[str, HandedLine], ...] = ()
    faults: tuple[tuple[str, str], ...] = ()

    @classmethod
    def of(cls, handed: Mapping[str, str], *, since: date | None = None) -> ClassTerm:
        """Return the table of files, by their names, from the week of a day on.

        >>> done = HandedIn("Ida", datetime(2026, 11, 26, 19, 30, tzinfo=UTC), (
        ...     WeekDone(date(2026, 11, 23), 12, 9),))
        >>> print(ClassTerm.of({"ida": done.text, "bo": "?"}).rows[0])
        ('Ida', '23 Nov 2026', '12', '9', '0', '', '26 Nov 2026')
        """
        found: list[tuple[str, HandedIn]] = []
        faults: list[tuple[str, str]] = []
        for name, text in handed.items():
            try:
                found.append((name, HandedIn.parse(text)))
            except TheoryError as why:
                faults.append((name, str(why)))
        told = _told_apart(found)
        first = monday_of(since) if since else date.min
        rows = tuple(row for one in told for row in _rows_of(one, first))
        lines = tuple((one.who, line) for one in told for line in one.lines)
        return cls(rows, tuple(one for one in lines if one[1].monday >= first), tuple(faults))

    @property
    def text(self) -> str:
        """The table as plain text, its columns under their heads.

        >>> print(ClassTerm((("Ida", "23 Nov 2026", "12", "9", "0", "", "26 Nov 2026"),)).text)
        student  week         asked  right  minutes  lines  last seen
        Ida      23 Nov 2026  12     9      0               26 Nov 2026
        """
        table = [CLASS_HEADS, *self.rows]
        widths = [max(map(len, column)) for column in zip(*table, strict=True)]
        return "\n".join(
            "  ".join(cell.ljust(wide) for cell, wide in zip(row, widths, strict=True)).rstrip()
            for row in table
        )

    @property
    def csv(self) -> str:
        """The table as CSV text; no text in it is a formula."""
        text = io.StringIO()
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(CLASS_HEADS)
        for row in self.rows:
            writer.writerow([f"'{one}" if one.startswith(FORMULA_SIGNS) else one for one in row])
        return text.getvalue()


def _told_apart(found: list[tuple[str, HandedIn]]) -> list[HandedIn]:
    """Return what was handed in, by names; who shares one has the name of the file beside it.

    >>> ida = HandedIn("Ida", datetime(2026, 11, 26, tzinfo=UTC))
    >>> [one.who for one in _told_apart([("ida-3f2a1c", ida), ("ida-b40e77", ida)])]
    ['Ida (ida-3f2a1c)', 'Ida (ida-b40e77)']
    """
    names = Counter(one.who.casefold() for _, one in found)
    told = [
        replace(one, who=f"{one.who} ({name})") if names[one.who.casefold()] > 1 else one
        for name, one in found
    ]
    return sorted(told, key=lambda one: one.who.casefold())


def monday_of(day: date) -> date:
    """Return the Monday of the week of a day.

    >>> monday_of(date(2026, 11, 26)).isoformat()
    '2026-11-23'
    """
    plain = date(day.year, day.month, day.day)
    return plain - timedelta(days=plain.weekday())


def _rows_of(one: HandedIn, first: date) -> Iterable[tuple[str, ...]]:
    """Return the rows of a student; who did nothing has one all the same."""
    done = {week.monday: week for week in one.weeks}
    mondays = {*done, *(line.monday for line in one.lines)}
    seen = day_words(one.at.date())
    shown_weeks = sorted(day for day in mondays if day >= first)
    if not shown_weeks:
        yield one.who, "", "", "", "", "", seen
    for monday in shown_weeks:
        week = done.get(monday, WeekDone(monday))
        lines = ", ".join(line.name for line in one.lines if line.monday == monday)
        counts = (str(week.asked), str(week.right), str(week.minutes))
        yield one.who, day_words(monday), *counts, lines, seen


# === Reading ===


def _refused() -> TheoryError:
    """Word the refusal of another file."""
    return TheoryError(
        f"nothing that was handed in, of version {VERSION} (want the file that a student's "
        "hand_in writes)"
    )


def _table(text: object) -> dict[str, Any]:
    """Read the whole file."""
    if not isinstance(text, str) or len(text) > LONGEST_FILE:
        raise _refused()
    try:
        found = json.loads(text)
    except (ValueError, RecursionError):
        raise _refused() from None
    is_ours = isinstance(found, dict) and found.get("format") == FORMAT
    if not is_ours or found.get("version") != VERSION or found["version"] is True:
        raise _refused()
    return dict(found)


def _rows(table: Mapping[str, Any], name: str, most: int) -> list[dict[str, Any]]:
    """Return the rows of a list."""
    rows = table.get(name)
    if not isinstance(rows, list) or len(rows) > most:
        raise _refused()
    if not all(isinstance(row, dict) for row in rows):
        raise _refused()
    return rows


def _week(row: dict[str, Any]) -> WeekDone:
    """Read one week."""
    counts = (_count(row.get(name)) for name in ("asked", "right", "minutes"))
    return WeekDone(_day(row.get("week")), *counts)


def _count(value: object) -> int:
    """Read a number of things."""
    if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value <= MOST_COUNT:
        raise TheoryError(f"no count: {shown(value)} (want 0 to {MOST_COUNT:,})")
    return value


def _handed_line(row: dict[str, Any]) -> HandedLine:
    """Read one line."""
    name = _line(row.get("name"), "a name", 2 * LONGEST_NAME)
    text = row.get("text")
    if not isinstance(text, str) or not 0 < len(text) <= LONGEST_LINE:
        raise TheoryError(f"no line: {shown(text)} (want at most {LONGEST_LINE:,} letters)")
    return HandedLine(name, _line(text, "a line", LONGEST_LINE), _day(row.get("week")))


def _day(text: object) -> date:
    """Read the Monday of a week."""
    try:
        found = date.fromisoformat(text)  # type: ignore[arg-type]
        return monday_of(found)
    except (TypeError, ValueError, OverflowError):
        raise TheoryError(f"no day: {shown(text)} (want one such as 2026-11-23)") from None


def _time(text: object) -> datetime:
    """Read a time."""
    try:
        found = datetime.fromisoformat(text)  # type: ignore[arg-type]
        if found.tzinfo is not None:
            return found.astimezone(UTC).replace(microsecond=0)
    except (TypeError, ValueError, OverflowError):
        pass
    raise TheoryError(f"no time: {shown(text)} (want one such as 2026-11-26T19:30:00+00:00)")


def _line(text: object, what: str, longest: int) -> str:
    """Return one line of text, or refuse it."""
    if not isinstance(text, str) or not text.strip() or len(text) > longest:
        raise TheoryError(f"not {what}: {shown(text)} (want 1 to {longest} letters)")
    if not text.isprintable():
        raise TheoryError(f"not {what}: {shown(text)} (want letters that can be printed)")
    return text
