"""Files of a class and states of a sitting: what is drawn for their readers, what they promise."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from tests.proof.files_read import from_file, kept
from tests.proof.hostile import bytes_like, json_like, text_like
from tests.proof.texts_read import Reading, parsed
from theorykit.notes.key import Key
from theorykit.study.class_file import ClassAnswers, ClassQuestions, ClassTable
from theorykit.study.handed_in import HandedIn, HandedLine, WeekDone
from theorykit.study.session import Past, Session
from theorykit.study.sitting import Result, Sitting, Task

__all__ = ["CLASS"]

HERE = "theorykit.study"
NOW = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)
WEEK = ClassQuestions(
    "One colour over the five",
    (
        Task("shortcut over V", "b9 13", 2, "Db major"),
        Task("ii of a V", "minor", 3, "Bb minor"),
    ),
)
DONE = (Result("", "", "", True, given="F"), Result("", "", "", False, given="Cm7b5", hinted=True))
HANDED = ClassAnswers("Ida", "concert", WEEK.check, DONE)
GIVEN_BACK = HandedIn(
    "Ida",
    NOW,
    (WeekDone(NOW.date(), 12, 9, 25),),
    (HandedLine("Ida's turn", "8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", NOW.date()),),
)
NAMES = ("shortcut over V", "ii of a V", "b9 13", "minor", "Bb minor", "level", "[[question]]")


def opened() -> Sitting:
    """Return a sitting with an open question."""
    sitting = Sitting("proof", Session(keys=(Key.parse("C"), Key.parse("Db"))), tasks=WEEK.tasks)
    return sitting.opened(Past(), NOW, 1)


def table(data: bytes) -> ClassTable:
    """Read a file of answers beside sound questions into a table, and write its rows."""
    questions = kept("week.toml", str(WEEK).encode())
    found = ClassTable.read(questions, [kept("ida.json", data)])
    assert isinstance(found.csv, str)
    return found


def from_questions(path: Path) -> ClassQuestions:
    """Read questions from a file and ask them all."""
    week = ClassQuestions.read(path)
    for place in range(len(week.tasks)):
        week.asked(place, "B flat")
    return week


CLASS: tuple[Reading, ...] = (
    parsed(ClassQuestions, str(WEEK), words=NAMES),
    Reading(
        "class file",
        bytes_like(str(WEEK).encode()),
        from_file("week.toml", from_questions),
        share=6,
        covers=(f"{HERE}.class_file.ClassQuestions.read",),
    ),
    Reading(
        "ClassAnswers.parse",
        json_like(HANDED.text),
        ClassAnswers.parse,
        lambda one: ClassAnswers.parse(one.text) == one,
        10,
        (f"{HERE}.class_file.ClassAnswers.parse",),
    ),
    Reading(
        "HandedIn.parse",
        json_like(GIVEN_BACK.text),
        HandedIn.parse,
        lambda one: HandedIn.parse(one.text) == one,
        10,
        (f"{HERE}.handed_in.HandedIn.parse",),
    ),
    Reading(
        "class table",
        bytes_like(HANDED.text.encode()),
        table,
        share=6,
        covers=(f"{HERE}.class_file.ClassTable.read",),
    ),
    Reading(
        "state of a sitting",
        json_like(opened().state),
        lambda text: opened().open_again(text).opened(Past(), NOW, 2).state,
        share=6,
        covers=(f"{HERE}.sitting.Sitting.open_again",),
    ),
    Reading("state as text", text_like(opened().state), lambda t: opened().open_again(t), share=3),
)
