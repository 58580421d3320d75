"""The drill of a chapter in keys that are named: each question in each of them, on its own."""

from __future__ import annotations

from itertools import pairwise

import pytest

from theorykit import Key, TheoryError
from theorykit.notes.reader import reader
from theorykit.study.course import chapter
from theorykit.widgets import drill

THREE = ("F major", "Db major", "A major")


@pytest.mark.parametrize("number", [4, 5, 7, 11])
def test_each_question_comes_in_each_key_and_the_key_changes_every_time(number, tmp_path):
    box = drill(chapter=number, keys=["F", "D♭", "A"], journal=tmp_path / "journal.sqlite")
    tasks = box.sitting.tasks
    asked = chapter(number).asked
    for exercise in asked:
        keys = {t.key for t in tasks if (t.kind, t.topic) == (exercise.kind, exercise.topic)}
        assert keys == set(THREE)
    assert len(tasks) == 3 * len(asked)
    assert [(t.kind, t.topic) for t in tasks[: len(asked)]] == [(e.kind, e.topic) for e in asked]
    same = [one.key == other.key for one, other in pairwise(tasks)]
    assert sum(same) <= 2  # where one round ends and the next begins


def test_the_questions_in_three_keys_and_those_at_the_end_do_not_meet(tmp_path):
    path = tmp_path / "journal.sqlite"
    three = drill(chapter=4, keys=["F", "D♭", "A"], journal=path)
    for _ in range(2):
        three.page.field.value = three.asked.answer
        three.page.go.click()
        three.next.click()
    end = drill(chapter=4, journal=path)
    assert (len(three.sitting.done), len(end.sitting.done)) == (2, 0)
    again = drill(chapter=4, keys=["F", "D♭", "A"], journal=path)
    assert len(again.sitting.done) == 2
    assert again.asked.prompt == three.asked.prompt


def test_named_keys_are_those_on_the_reader_s_page(tmp_path):
    box = drill(chapter=4, keys=["D♭"], written_for="trumpet", journal=tmp_path / "journal.sqlite")
    assert box.reader.value == reader("trumpet")
    assert box.asked.key == Key.parse("Db")


def test_c_comes_last_when_no_key_is_named(tmp_path):
    box = drill(chapter=4, journal=tmp_path / "journal.sqlite")
    seen = []
    while box.asked is not None:
        seen.append(box.asked.key.tonic.pretty)
        box.page.field.value = box.asked.answer
        box.page.go.click()
        box.next.click()
    assert len(seen) == len(chapter(4).asked)
    assert "C" not in seen
    assert len(set(seen)) > 4


def test_a_chapter_in_a_mode_that_it_has_not_is_refused(tmp_path):
    path = tmp_path / "journal.sqlite"
    with pytest.raises(TheoryError, match="chapter 8 asks nothing in F major and Eb major"):
        drill(chapter=8, keys=["F", "E♭"], journal=path)
    mixed = drill(chapter=8, keys=["F", "F minor"], journal=path)
    assert {task.key for task in mixed.sitting.tasks} == {"F minor"}
    with pytest.raises(TheoryError, match="no key to ask in"):
        drill(chapter=4, keys=[], journal=path)


@pytest.mark.parametrize("who", ["concert", "trumpet", "alto saxophone", "horn"])
def test_the_first_chapter_begins_in_keys_of_few_signs_on_the_page(who, tmp_path):
    box = drill(chapter=0, written_for=who, journal=tmp_path / "journal.sqlite")
    for _ in box.sitting.tasks:
        assert abs(box.asked.key.fifths) <= 3
        box.page.field.value = box.asked.answer
        box.page.go.click()
        box.next.click()
