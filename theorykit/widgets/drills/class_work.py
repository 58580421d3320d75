"""Class work: the questions of a week for a student, and a table of the class for the teacher."""

from __future__ import annotations

from collections.abc import Iterable
from os import PathLike, fspath
from pathlib import Path
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError, expect_path, shown
from theorykit.show.exports import file_stem, link_html
from theorykit.show.html_text import problem_html, sentences_html, wide_table_html
from theorykit.study.class_file import ClassAnswers, ClassQuestions, ClassTable
from theorykit.widgets.controls import (
    answer,
    button,
    guarded,
    keep_keys,
    panel,
    picture,
    put,
    typed,
)
from theorykit.widgets.drills.drilling import Drill
from theorykit.widgets.drills.question_page import change, show
from theorykit.widgets.faults import Page
from theorykit.widgets.reader_files import FileOpening

MOST_FILES = 200
TABLE_HEIGHT = 300
NO_QUESTIONS = "Open the questions of the week first (.toml), then what was handed back (.json)."
HAND_BACK = (
    "Type your name or a sign that your teacher knows, make the link, save the file and give it to "
    "your teacher. It holds this name and your answers, and nothing else of your journal."
)


class ClassDrill(Drill):
    """What a class is asked this week, and at the end a file to hand back."""

    waits = True

    def __init__(self, class_file: str | PathLike[str], **wishes: Any) -> None:
        self.week = ClassQuestions.read(Path(expect_path(class_file, "a class file")))
        self.who = typed("your name", "", "for your teacher", example="Ida")
        self.hand_back = button("make the file to hand back", self._hand_back)
        self.handed, self.handed_problem = picture(), picture()
        explained = picture()
        explained.value = sentences_html("", HAND_BACK)
        row = panel(self.who, self.hand_back)
        self.handing = ipw.VBox([explained, row, self.handed_problem, self.handed])
        show(self.handing, False)
        super().__init__(
            **wishes,
            tasks=self.week.tasks,
            class_seed=self.week.seed,
            name=f"class {self.week.check}",
        )

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out, with what is handed back at the end."""
        *parts, settings, folded = super()._parts()
        return [*parts, self.handing, settings, folded]

    def _ask(self, said: str = "", *, focus: bool = True) -> None:
        """Show the open question; the reader's key stays once a question is answered."""
        change(self.reader, disabled=bool(self.sitting.done))
        show(self.handing, False)
        super()._ask(said, focus=focus)

    def _end(self, *, focus: bool = True) -> None:
        """Say how it went, and offer the file."""
        super()._end(focus=focus)
        show(self.handing)
        put(self.handed, "")
        if focus:
            self.who.focus()

    @answer
    def _hand_back(self, _: object) -> None:
        """Make the file to hand back."""
        guarded(self.handed_problem, self._make_link)

    def _make_link(self) -> None:
        """Put the answers into a link."""
        who = self.who.value.strip()
        if not who:
            raise TheoryError("no name (want yours, or a sign that your teacher knows)")
        made = ClassAnswers(who, self.reader.value.name, self.week.check, self.sitting.done)
        text = ClassAnswers.parse(made.text).text  # what cannot be read back is not handed out
        name = f"{file_stem(self.week.title, who)}.json"
        put(self.handed, link_html(name, "application/json", text.encode()))


class ClassAnswersPage(Page):
    """The answers of a class as a table; ``table`` is what it holds.

    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> from theorykit.study.class_file import ClassQuestions
    >>> from theorykit.study.sitting import Task
    >>> week = ClassQuestions("One", (Task("ii of a V", "major", 2, "C major"),))
    >>> with TemporaryDirectory() as folder:
    ...     _ = Path(folder, "one.toml").write_text(str(week))
    ...     box = ClassAnswersPage(Path(folder, "one.toml"), Path(folder))
    >>> box.table.overview
    ()
    """

    def __init__(
        self, class_file: str | PathLike[str] = "", folder: str | PathLike[str] = ""
    ) -> None:
        questions = expect_path(class_file, "a class file")
        self.week = ClassQuestions.read(Path(questions)) if questions else None
        self._handed: dict[str, str] = {}
        self.problem, self.seen, self.faults, self.link = (picture() for _ in range(4))
        self.opening = FileOpening("open a file", (".json", ".toml"), _read, take=self._take)
        self.save = button("make a link to all rows as CSV", self._save)
        super().__init__(
            [self.opening, self.problem, self.seen, self.faults, panel(self.save), self.link]
        )
        keep_keys(self)
        self.table: ClassTable | None = None
        guarded(self.problem, lambda: self._open(fspath(folder)))

    def _open(self, folder: str) -> None:
        """Show what a folder holds; none is needed."""
        files = _files(Path(folder)) if folder else []
        for file in files:
            self._handed[file.name] = file.read_bytes().decode("utf-8-sig", errors="replace")
        self._look()

    def _take(self, found: tuple[str, str]) -> tuple[str, str]:
        """Put another file into the table, or take the questions that it is about."""
        name, text = found
        if name.lower().endswith(".toml"):
            self.week = ClassQuestions.parse(text)
        else:
            self._handed[name] = text
        self._look()
        return "", f"Read {name}."

    def _look(self) -> None:
        """Judge, then show; without the questions nothing can be judged."""
        if self.week is None:
            put(self.seen, sentences_html("", NO_QUESTIONS))
            return
        self.table = table = ClassTable.of(self.week, self._handed)
        count = len(self.week.tasks)
        heads = ("student", *map(str, range(1, count + 1)), "right at the first try")
        rows = [[row[0], *row[1:]] for row in table.overview]
        caption = f"{self.week.title}: {len(rows)} students, {count} questions"
        put(self.seen, wide_table_html(caption, heads, rows, height=TABLE_HEIGHT, empty="No file."))
        told = "".join(problem_html(f"{name}: {why}") for name, why in table.faults)
        put(self.faults, told)
        put(self.link, "")

    @answer
    def _save(self, _: object) -> None:
        """Put all rows into a link."""
        guarded(self.problem, self._make_link)

    def _make_link(self) -> None:
        """Put all rows into a link."""
        if self.week is None or self.table is None:
            raise TheoryError("no rows yet (want the questions of the week, a file .toml)")
        name = f"{file_stem(self.week.title, 'answers')}.csv"
        put(self.link, link_html(name, "text/csv", self.table.csv.encode()))


def _read(name: str, content: bytes) -> tuple[str, str]:
    """Return a file as text; what is wrong with it is told in the table."""
    return name, content.decode("utf-8-sig", errors="replace")


def _files(folder: Path) -> list[Path]:
    """Return the files of a folder that may be answers."""
    if not folder.is_dir():
        raise TheoryError(f"no such folder: {shown(str(folder))} (want the one with the answers)")
    found: Iterable[Path] = sorted(folder.glob("*.json"))
    small = [file for file in found if file.stat().st_size < 10 * 60_000]
    if len(small) > MOST_FILES:
        raise TheoryError(f"{len(small)} files (want at most {MOST_FILES})")
    return small


def class_answers(
    class_file: str | PathLike[str] = "", folder: str | PathLike[str] = ""
) -> ClassAnswersPage:
    """Return what a class handed back, as a table; ``folder`` holds the files of the students.

    Without ``class_file`` the page opens the questions of the week itself.

    >>> class_answers("nowhere.toml")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such file: 'nowhere.toml' (want a class file)
    """
    return ClassAnswersPage(class_file, folder)
