"""The class file: a week's questions as text, what a student hands back, and the table of a class.

Both files are data, never programs. Questions are TOML 1.0 (toml.io): ``version``, ``title``, and a
``[[question]]`` for each, with ``kind``, ``topic``, ``key`` and ``level``. Keys are those that
sound; every student reads them in the own key. What is handed back is JSON (ECMA-404) and holds
what was answered, not whether it was right: that is judged anew where it is read.
"""

from __future__ import annotations

import csv
import io
import json
import tomllib
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.notes.key import Key
from theorykit.notes.reader import reader
from theorykit.study import questions
from theorykit.study.questions import LEVELS, Judgement, Question, kind_named
from theorykit.study.sitting import MOST_SEED, Result, Task

__all__ = ["ClassAnswers", "ClassQuestions", "ClassTable"]

VERSION = 1
LONGEST_FILE = 60_000  # bytes of either file
MOST_QUESTIONS, LONGEST_TITLE, LONGEST_NAME, LONGEST_GIVEN = 40, 120, 60, 1000
HANDED = "theorykit class answers"
HEADS = ("student", "number", "question", "given", "right", "hinted", "in words")
FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")  # a spreadsheet takes such a text for a formula


@dataclass(frozen=True, slots=True)
class ClassQuestions:
    """A week's questions: a title and what is asked.

    >>> text = '''
    ... version = 1
    ... title = "One colour over the five"
    ...
    ... [[question]]
    ... kind = "shortcut over V"
    ... topic = "b9 13"
    ... key = "Db"
    ... '''
    >>> week = ClassQuestions.parse(text)
    >>> week.tasks[0].key, ClassQuestions.parse(str(week)) == week
    ('Db major', True)
    """

    title: str
    tasks: tuple[Task, ...]

    def __post_init__(self) -> None:
        """Refuse what no class can be asked."""
        _line(self.title, "a title", LONGEST_TITLE)
        if not 0 < len(self.tasks) <= MOST_QUESTIONS:
            raise TheoryError(f"{len(self.tasks)} questions (want 1 to {MOST_QUESTIONS})")

    @classmethod
    def parse(cls, text: str) -> ClassQuestions:
        """Read questions. The reverse of ``str``.

        >>> ClassQuestions.parse('version = 1\\ntitle = "x"\\n[[question]]\\nkind = "riddle"\\n')
        Traceback (most recent call last):
        theorykit.errors.TheoryError: question 1: no topic (want kind, topic and key)
        """
        table = _toml(text)
        version = table.pop("version", None)
        if version != VERSION or isinstance(version, bool):
            raise TheoryError(
                f"no class file of version {VERSION} (want version = {VERSION} in it)"
            )
        title, rows = table.pop("title", None), table.pop("question", None)
        if table:
            raise TheoryError(
                f"no such entry in a class file: {shown(next(iter(table)))} "
                "(want version, title, [[question]])"
            )
        if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
            raise TheoryError("no questions (want [[question]] on a line of its own before each)")
        if len(rows) > MOST_QUESTIONS:
            raise TheoryError(f"{len(rows)} questions (want 1 to {MOST_QUESTIONS})")
        tasks = tuple(_task(number, row) for number, row in enumerate(rows, 1))
        return cls(_line(title, "a title", LONGEST_TITLE), tasks)

    @classmethod
    def read(cls, path: str | Path) -> ClassQuestions:
        """Read questions from a file.

        >>> ClassQuestions.read("nowhere.toml")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: no such file: 'nowhere.toml' (want a class file)
        """
        return cls.parse(_text(path))

    @property
    def check(self) -> int:
        """A number that tells whether answers belong to these questions."""
        return zlib.crc32(str(self).encode())

    @property
    def seed(self) -> int:
        """Where chance begins, so that everyone is asked the same."""
        return self.check % MOST_SEED

    def asked(self, place: int, who: str = "concert") -> Question:
        """Return a question as a reader is asked it; places are counted from 0.

        >>> week = ClassQuestions("One", (Task("ii of a V", "major", 2, "C major"),))
        >>> week.asked(0, "trumpet").prompt
        'Which ii belongs to A7 on the way to Dmaj7?'
        """
        task = self.tasks[place]
        key = reader(who).written_key(Key.parse(task.key))
        seed = self.seed + place
        return questions.question(
            task.kind, level=task.level, keys=[key], seed=seed, topic=task.topic
        )

    def __str__(self) -> str:
        lines = [f"version = {VERSION}", f"title = {_quoted(self.title)}"]
        for one in self.tasks:
            lines += ["", "[[question]]"]
            lines += [
                f"{name} = {_quoted(getattr(one, name))}" for name in ("kind", "topic", "key")
            ]
            lines.append(f"level = {one.level}")
        return "\n".join(lines) + "\n"


@dataclass(frozen=True, slots=True)
class ClassAnswers:
    """What a student hands back: who it is, for which questions, and what was answered.

    >>> week = ClassQuestions("One", (Task("ii of a V", "major", 2, "C major"),))
    >>> done = ClassAnswers("Ida", "concert", week.check, (Result("", "", "", True, given="Dm7"),))
    >>> ClassAnswers.parse(done.text).who
    'Ida'
    """

    who: str
    reader: str
    check: int
    done: tuple[Result, ...]

    @property
    def text(self) -> str:
        """The answers as text: what ``parse`` reads."""
        rows = [
            {"place": one.place, "given": one.given[:LONGEST_GIVEN], "hinted": one.hinted}
            for one in self.done
        ]
        kept = {"format": HANDED, "version": VERSION, "who": self.who, "reader": self.reader}
        whole = {**kept, "questions": self.check, "answers": rows}
        return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"

    @classmethod
    def parse(cls, text: str) -> ClassAnswers:
        """Read what was handed back. The reverse of ``text``.

        >>> ClassAnswers.parse("{}")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: no answers of a class, of version 1 (want the file that a \
student hands back)
        """
        table = _json(text)
        if table.get("format") != HANDED or table.get("version") != VERSION:
            raise _no_answers()
        rows = table.get("answers")
        if not isinstance(rows, list) or len(rows) > 2 * MOST_QUESTIONS:
            raise TheoryError(f"no list of answers (want at most {2 * MOST_QUESTIONS})")
        if not isinstance(table.get("questions"), int):
            raise _no_answers()
        who = _line(table.get("who"), "a name", LONGEST_NAME)
        mine = reader(table.get("reader")).name  # type: ignore[arg-type]
        return cls(who, mine, table["questions"], tuple(map(_result, rows)))


def _no_answers() -> TheoryError:
    """Word the refusal of another file."""
    return TheoryError(
        f"no answers of a class, of version {VERSION} (want the file that a student hands back)"
    )


@dataclass(frozen=True, slots=True)
class ClassTable:
    """A class on one page: one row for every question that a student was asked.

    ``faults`` are the files that could not be read, each with the reason.
    """

    week: ClassQuestions
    rows: tuple[tuple[str, ...], ...]
    faults: tuple[tuple[str, str], ...] = ()

    @classmethod
    def of(cls, week: ClassQuestions, handed: Mapping[str, str]) -> ClassTable:
        """Return the table of files, by their names; every answer is judged anew.

        >>> week = ClassQuestions("One", (Task("ii of a V", "major", 2, "C major"),))
        >>> done = (Result("", "", "", True, place=0, given="Dm7"),)
        >>> text = ClassAnswers("Ida", "concert", week.check, done).text
        >>> ClassTable.of(week, {"ida.json": text, "bo.json": "?"}).rows[0][:5]
        ('Ida', '1', 'Which ii belongs to G7 on the way to Cmaj7?', 'Dm7', 'yes')
        """
        rows: list[tuple[str, ...]] = []
        faults: list[tuple[str, str]] = []
        for name, text in handed.items():
            try:
                rows += _rows(week, ClassAnswers.parse(text))
            except TheoryError as why:
                faults.append((name, str(why)))
        return cls(week, tuple(rows), tuple(faults))

    @classmethod
    def read(cls, questions: str | Path, files: Iterable[str | Path]) -> ClassTable:
        """Return the table of some files; one that cannot be read is told, not fatal."""
        week, handed, faults = ClassQuestions.read(questions), {}, []
        for path in files:
            try:
                handed[str(path)] = _text(path)
            except TheoryError as why:
                faults.append((str(path), str(why)))
        found = cls.of(week, handed)
        return cls(week, found.rows, (*found.faults, *faults))

    @property
    def overview(self) -> tuple[tuple[str, ...], ...]:
        """A row for each student: the name, each question, and how many were right at once."""
        whole = len(self.week.tasks)
        names = dict.fromkeys(row[0] for row in self.rows)
        return tuple((name, *self._marks(name, whole)) for name in names)

    def _marks(self, name: str, whole: int) -> list[str]:
        """Return what became of each question at the first try, and the sum."""
        first: dict[str, str] = {}
        for row in self.rows:
            if row[0] == name:
                first.setdefault(row[1], row[4])
        marks = [first.get(str(number), "–") for number in range(1, whole + 1)]
        return [*marks, f"{marks.count('yes')} of {whole}"]

    @property
    def csv(self) -> str:
        """All rows as CSV text, which pandas reads in one line; no text in it is a formula."""
        text = io.StringIO()
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(HEADS)
        writer.writerows([_harmless(cell) for cell in row] for row in self.rows)
        return text.getvalue()


def _harmless(cell: str) -> str:
    """Return a text that no spreadsheet takes for a formula."""
    return f"'{cell}" if cell.startswith(FORMULA_SIGNS) else cell


def _rows(week: ClassQuestions, handed: ClassAnswers) -> list[tuple[str, ...]]:
    """Return the rows of one student."""
    if handed.check != week.check:
        raise TheoryError(f"answers of {handed.who} to other questions (want those of this file)")
    found: list[tuple[str, ...]] = []
    for one in handed.done:
        if not 0 <= one.place < len(week.tasks):
            raise TheoryError(f"an answer to question {one.place + 1} (want one there is)")
        asked = week.asked(one.place, handed.reader)
        judged = _judged(asked, one.given)
        marks = ("yes" if judged.right else "no", "yes" if one.hinted else "no")
        found.append(
            (handed.who, str(one.place + 1), asked.prompt, one.given, *marks, judged.words)
        )
    return found


def _judged(asked: Question, given: str) -> Judgement:
    """Judge an answer anew; what cannot be read, such as giving up, is not right."""
    try:
        return asked.judge(given)
    except TheoryError:
        return Judgement(False, asked.judge(asked.answer).words)


# === Reading ===


def _text(path: str | Path) -> str:
    """Read a small text file."""
    file = Path(path)
    try:
        if not file.is_file():
            raise TheoryError(f"no such file: {shown(str(path))} (want a class file)")
        with file.open("rb") as opened:
            data = opened.read(LONGEST_FILE + 1)
        return _bounded(data.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise TheoryError(f"{shown(file.name)} is no text (want UTF-8)") from None
    except (OSError, ValueError) as wrong:
        if isinstance(wrong, TheoryError):
            raise
        raise TheoryError(f"cannot read {shown(str(path))} (want a class file)") from None


def _bounded(text: object) -> str:
    """Return text of a file, or refuse one that is too long."""
    if not isinstance(text, str) or len(text) > LONGEST_FILE:
        raise TheoryError(f"not a class file (want text of at most {LONGEST_FILE:,} characters)")
    return text


def _toml(text: object) -> dict[str, Any]:
    """Read a flat TOML text."""
    whole = _bounded(text)
    if any(line.count(".") > 40 for line in whole.splitlines()):
        raise TheoryError("a line with too many dots (want a flat file)")
    try:
        return tomllib.loads(whole)
    except (ValueError, RecursionError) as wrong:
        why = str(wrong).splitlines()[0] if str(wrong) else "too deep"
        raise TheoryError(f"not a class file: {why[:200]} (want TOML)") from None


def _json(text: object) -> dict[str, Any]:
    """Read a JSON object."""
    try:
        found = json.loads(_bounded(text))
    except TheoryError:
        raise
    except (ValueError, RecursionError):
        raise _no_answers() from None
    if not isinstance(found, dict):
        raise _no_answers()
    return found


def _task(number: int, row: dict[str, Any]) -> Task:
    """Return one question of the file, tried."""
    try:
        values = dict(row)
        level = values.pop("level", 2)
        missing = [name for name in ("kind", "topic", "key") if name not in values]
        if missing:
            missing.sort(key=("topic", "kind", "key").index)
            raise TheoryError(f"no {missing[0]} (want kind, topic and key)")
        if set(values) - {"kind", "topic", "key"}:
            raise TheoryError("an entry that no question has (want kind, topic, key and level)")
        if level not in LEVELS or isinstance(level, bool):
            raise TheoryError(f"no such level: {shown(level)} (want 1, 2 or 3)")
        kind, key = kind_named(values["kind"]), Key.parse(values["key"])
        questions.question(
            kind, level=level, keys=[key], topic=_line(values["topic"], "a topic", 80)
        )
    except TheoryError as why:
        raise TheoryError(f"question {number}: {why}") from None
    return Task(kind.name, values["topic"], level, str(key))


def _result(row: object) -> Result:
    """Return one answer of a file."""
    if not isinstance(row, dict):
        raise TheoryError("an answer that is none (want place, given and hinted)")
    place, given, hinted = row.get("place"), row.get("given"), row.get("hinted")
    is_number = isinstance(place, int) and not isinstance(place, bool)
    if not is_number or not isinstance(given, str) or len(given) > LONGEST_GIVEN:
        raise TheoryError("an answer that is none (want place, given and hinted)")
    return Result("", "", "", False, hinted is True, place or 0, given)


def _line(text: object, what: str, longest: int) -> str:
    """Return one line of text, or refuse it."""
    if not isinstance(text, str) or not text.strip() or len(text) > longest:
        raise TheoryError(f"not {what}: {shown(text)} (want 1 to {longest} characters)")
    if not text.isprintable():
        raise TheoryError(f"not {what}: {shown(text)} (want one line of printed letters)")
    return text


def _quoted(text: str) -> str:
    """Return a text as TOML and JSON both write it."""
    return json.dumps(text, ensure_ascii=False)
