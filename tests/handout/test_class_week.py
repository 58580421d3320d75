"""A week for a class: its questions out of handouts, and the notebook that asks them."""

import json
from itertools import pairwise
from pathlib import Path

import nbformat
import pytest
from house import ROOT

from theorykit import TheoryError
from theorykit.handout import Handout, class_files, class_questions
from theorykit.study.class_file import MOST_QUESTIONS, ClassQuestions

HANDOUTS = sorted((ROOT / "workbook" / "handouts").glob("*.toml"))


@pytest.mark.parametrize("file", HANDOUTS, ids=lambda file: file.stem)
def test_every_handout_of_the_workbook_gives_questions_that_can_be_asked(file: Path):
    week = class_questions(Handout.read(file))
    assert 0 < len(week.tasks) <= MOST_QUESTIONS
    for place in range(len(week.tasks)):
        asked = week.asked(place, "alto sax")
        assert asked.judge(asked.answer).right
    assert ClassQuestions.parse(str(week)) == week


def test_colours_are_asked_in_the_keys_of_the_page_and_kinds_take_turns():
    week = class_questions(Handout.read(ROOT / "workbook" / "handouts" / "six_colours.toml"))
    shortcuts = [(one.topic, one.key) for one in week.tasks if one.kind == "shortcut over V"]
    assert shortcuts == [
        *(("b9", "C major"), ("b9 13", "C major"), ("9 #11 13", "C major")),
        *(("b9 b13", "C minor"), ("#9 b13", "C minor"), ("altered", "C minor")),
    ]
    kinds = [one.kind for one in week.tasks]
    assert all(one != other for one, other in pairwise(kinds[:7]))


def test_a_handout_with_nothing_to_ask_is_told():
    text = 'title = "x"\n[[block]]\nkind = "text"\ntext = "Bring your horns."\n'
    with pytest.raises(TheoryError, match="nothing to ask about"):
        class_questions(Handout.parse(text))


def test_the_two_files_are_written_once_and_the_notebook_is_one(tmp_path: Path):
    handout = Handout.read(HANDOUTS[0])
    questions, notebook = class_files(handout, tmp_path)
    assert ClassQuestions.read(questions) == class_questions(handout)
    made = nbformat.reads(notebook.read_text(encoding="utf-8"), as_version=4)
    nbformat.validate(made)
    assert json.dumps(questions.name) in made.cells[1].source
    with pytest.raises(TheoryError, match="there is a file"):
        class_files(handout, tmp_path)
    assert class_files(handout, tmp_path, overwrite=True) == [questions, notebook]
    assert all(one.is_file() for one in class_files(handout, tmp_path / "thursday"))


def test_the_questions_of_a_sheet_on_colours_in_keys_are_asked_of_the_class():
    text = (
        'title = "Thursday"\n[[block]]\nkind = "questions"\ncolours = ["b9", "altered"]\n'
        'keys = ["Db", "F#", "Bb minor"]\n'
    )
    tasks = class_questions(Handout.parse(text)).tasks
    asked = {(one.topic, one.key) for one in tasks if one.kind == "shortcut over V"}
    assert {("b9", "Db major"), ("altered", "F# major"), ("altered", "Bb minor")} <= asked
