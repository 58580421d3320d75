"""Class work on the page: a student answers and hands back, the teacher reads a table."""

from __future__ import annotations

import base64
import re
from datetime import UTC, datetime, timedelta

import pytest

from theorykit import TheoryError
from theorykit.study.class_file import ClassAnswers, ClassQuestions
from theorykit.study.sitting import Task
from theorykit.widgets import class_answers, drill
from theorykit.widgets.drills import drilling

WEEK = ClassQuestions(
    "One colour over the five",
    (Task("shortcut over V", "b9 13", 2, "Db major"), Task("ii of a V", "minor", 3, "Bb minor")),
)


@pytest.fixture
def week(tmp_path):
    file = tmp_path / "week.toml"
    file.write_text(str(WEEK), encoding="utf-8")
    return file


def linked(html: str) -> bytes:
    """What a link on the page holds."""
    return base64.b64decode(re.search(r"base64,([^\"]+)", html)[1])


def test_a_student_answers_hands_back_and_the_teacher_sees_it(week, tmp_path):
    handed = tmp_path / "handed"
    handed.mkdir()
    for name, reader, wrong in (("Ida", "alto", False), ("Bo", "concert", True)):
        box = drill(class_file=week, written_for=reader, journal=tmp_path / f"{name}.sqlite")
        assert box.asked.prompt == WEEK.asked(0, reader).prompt
        while box.asked:
            box.page.field.value = "E" if wrong else box.asked.answer
            if wrong and box.asked.kind != "shortcut over V":
                box.page.pass_by.click()
            else:
                box.page.go.click()
            box.next.click()
            assert box.reader.disabled
        box.hand_back.click()
        assert "no name" in box.handed_problem.value
        box.who.value = name
        box.hand_back.click()
        data = linked(box.handed.value)
        assert f"One_colour_over_the_five_{name}.json" in box.handed.value
        (handed / f"{name}.json").write_bytes(data)
        assert ClassAnswers.parse(data.decode()).who == name
    page = class_answers(week, handed)
    assert page.table.overview == (
        ("Bo", "no", "no", "0 of 2"),
        ("Ida", "yes", "yes", "2 of 2"),
    )
    assert "Ida" in page.seen.value
    page.save.click()
    assert linked(page.link.value).decode() == page.table.csv


def test_a_file_that_is_none_is_told_and_the_rest_is_shown(week, tmp_path):
    handed = tmp_path / "handed"
    handed.mkdir()
    (handed / "a.json").write_text("import os", encoding="utf-8")
    page = class_answers(week, handed)
    assert "a.json: no answers of a class" in page.faults.value
    with pytest.raises(TheoryError, match="no such file"):
        class_answers(tmp_path / "none.toml")
    assert "no such folder" in class_answers(week, tmp_path / "none").problem.value


def test_one_more_file_can_be_opened(week, tmp_path):
    page = class_answers(week)
    text = ClassAnswers("Ida", "concert", WEEK.check, ()).text
    (tmp_path / "ida.json").write_text(text, encoding="utf-8")
    page.opening.path.value = str(tmp_path / "ida.json")
    page.opening.wait()
    assert "ida.json" in page.opening.told.value


def test_a_week_goes_on_days_later_and_can_be_handed_back_after_a_restart(
    week, tmp_path, monkeypatch
):
    file = tmp_path / "journal.sqlite"
    box = drill(class_file=week, journal=file)
    box.page.pass_by.click()
    later = datetime.now(UTC) + timedelta(days=5)
    monkeypatch.setattr(drilling, "_now", lambda: later)
    again = drill(class_file=week, journal=file)
    assert again.sitting.done == box.sitting.done
    while again.asked:
        again.page.pass_by.click()
        again.next.click()
    third = drill(class_file=week, journal=file)
    assert third.sitting.done == again.sitting.done
    assert third.handing.layout.display != "none"
    third.who.value = "Bo"
    third.hand_back.click()
    assert len(ClassAnswers.parse(linked(third.handed.value).decode()).done) == 4
    third.again.click()
    assert third.sitting.done == ()
