"""What students hand in, and the table of a class."""

from __future__ import annotations

import csv
import io
import json
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from together import together

from theorykit import Journal, TheoryError, question
from theorykit.show.review_dates import ReviewDates
from theorykit.study.handed_in import CLASS_HEADS, ClassTerm, HandedIn, HandedLine, WeekDone

THURSDAY = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)
BEFORE = datetime(2026, 11, 19, 19, 30, tzinfo=UTC)
WEEK, WEEK_BEFORE = date(2026, 11, 23), date(2026, 11, 16)
TURN = HandedLine("Ida's turn", "8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", WEEK)


def journal_of_two_weeks(folder: Path) -> Journal:
    """A journal with one question a week before and three this week, one of them wrong."""
    journal = Journal(folder / "journal.sqlite")
    for at, seed, is_wrong in (
        (BEFORE, 1, 0),
        (THURSDAY, 2, 0),
        (THURSDAY, 3, 1),
        (THURSDAY, 4, 0),
    ):
        asked = question("degree of a note", keys=["Db"], seed=seed)
        given = "b7" if is_wrong and asked.answer != "b7" else asked.answer
        judged = asked.judge(given)
        assert judged.right is not bool(is_wrong)
        journal.answered(asked, given, judged, memory=ReviewDates(), at=at)
    journal.practised("Ida's turn", 25, at=THURSDAY)
    journal.noted("the landing comes late", at=THURSDAY)
    return journal


def test_a_week_counts_what_was_asked_and_what_was_right(tmp_path: Path):
    done = HandedIn.of("Ida", journal_of_two_weeks(tmp_path), THURSDAY)
    assert done.weeks == (WeekDone(WEEK_BEFORE, 1, 1, 0), WeekDone(WEEK, 3, 2, 25))


def test_what_a_teacher_could_not_read_is_refused_where_the_student_sees_it(tmp_path: Path):
    journal = Journal(tmp_path / "journal.sqlite")
    with pytest.raises(TheoryError, match="21 lines to hand in"):
        HandedIn.of("Ida", journal, THURSDAY, [TURN] * 21)
    with pytest.raises(TheoryError, match="no line"):
        HandedIn.of("Ida", journal, THURSDAY, [HandedLine("Long", "C4 " * 2000, WEEK)])


def test_no_answer_and_no_note_is_handed_in(tmp_path: Path):
    journal = journal_of_two_weeks(tmp_path)
    text = HandedIn.of("Ida", journal, THURSDAY, [TURN]).text
    assert "landing" not in text
    assert not [one.asked for one in journal.answers if one.asked in text]
    assert set(json.loads(text)) == {"format", "version", "who", "at", "weeks", "lines"}


def test_the_text_reads_back(tmp_path: Path):
    done = HandedIn.of("Ida", journal_of_two_weeks(tmp_path), THURSDAY, [TURN])
    assert HandedIn.parse(done.text) == done


def test_a_class_is_a_row_for_each_student_and_week():
    ida = HandedIn(
        "Ida", THURSDAY, (WeekDone(WEEK_BEFORE, 1, 1), WeekDone(WEEK, 3, 2, 25)), (TURN,)
    )
    bo = HandedIn("bo", BEFORE)
    term = ClassTerm.of({"ida": ida.text, "bo": bo.text, "cleo": "{}"})
    assert term.rows == (
        ("bo", "", "", "", "", "", "19 Nov 2026"),
        ("Ida", "16 Nov 2026", "1", "1", "0", "", "26 Nov 2026"),
        ("Ida", "23 Nov 2026", "3", "2", "25", "Ida's turn", "26 Nov 2026"),
    )
    assert [name for name, _ in term.faults] == ["cleo"]
    assert term.lines == (("Ida", TURN),)
    later = ClassTerm.of({"ida": ida.text}, since=date(2026, 11, 25))
    assert [row[1] for row in later.rows] == ["23 Nov 2026"]


def test_the_table_stands_in_columns_and_no_cell_is_a_formula():
    term = ClassTerm.of({"x": HandedIn("=1+1", THURSDAY, (WeekDone(WEEK, 3, 2),)).text})
    rows = list(csv.reader(io.StringIO(term.csv)))
    assert rows[0] == list(CLASS_HEADS)
    assert rows[1][0] == "'=1+1"
    first, second = term.text.splitlines()
    assert first.index("week") == second.index("23 Nov")


@together(
    ("entry", "value"),
    [
        ("who", ""),
        ("who", "I\nda"),
        ("who", 7),
        ("at", "Thursday"),
        ("at", "2026-11-26T19:30:00"),
        ("weeks", {}),
        ("weeks", [{"week": "2026-11-23", "asked": -1, "right": 0, "minutes": 0}]),
        ("weeks", [{"week": "2026-11-23", "asked": True, "right": 0, "minutes": 0}]),
        ("weeks", [{"week": "soon", "asked": 1, "right": 0, "minutes": 0}]),
        ("lines", [{"name": "x", "text": "", "week": "2026-11-23"}]),
        ("version", 2),
        ("format", "another"),
    ],
)
def test_what_nobody_hands_in_is_refused(entry: str, value: object):
    table = json.loads(HandedIn("Ida", THURSDAY, (WeekDone(WEEK, 3, 2),)).text)
    with pytest.raises(TheoryError):
        HandedIn.parse(json.dumps({**table, entry: value}))
