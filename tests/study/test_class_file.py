"""The class file: written, read, handed back, judged anew, and never run."""

import csv
import io
import json

import pytest
from together import together

from theorykit import TheoryError
from theorykit.notes.reader import READERS
from theorykit.study.class_file import HEADS, ClassAnswers, ClassQuestions, ClassTable
from theorykit.study.sitting import Result, Task

WEEK = ClassQuestions(
    'Thursday: "six" colours',
    (
        Task("shortcut over V", "b9 13", 2, "Db major"),
        Task("guide tones", "minor", 3, "Bb minor"),
        Task("colour by ear", "altered", 2, "F# major"),
    ),
)


def handed(who: str, *given: str, reader: str = "concert") -> str:
    done = tuple(Result("", "", "", False, place=place, given=g) for place, g in enumerate(given))
    return ClassAnswers(who, reader, WEEK.check, done).text


def test_it_reads_back_as_it_was_written():
    assert ClassQuestions.parse(str(WEEK)) == WEEK
    text = handed("Ünal 🎷", "F", "♭9", reader="E flat")
    assert ClassAnswers.parse(text).text == text


def test_what_is_wrong_is_said_with_its_question():
    text = str(WEEK)
    for old, new, words in (
        ("version = 1", "version = 2", "want version = 1"),
        ("version = 1", "version = true", "want version = 1"),
        ("version = 1\n", "", "want version = 1"),
        ('key = "Db major"', 'key = "H"', "question 1: not a key: 'H'"),
        ('topic = "b9 13"', 'topic = "blue"', "question 1: no such topic of shortcut over V"),
        ("level = 3", "level = 4", "question 2: no such level: 4"),
        ("level = 3", "level = true", "question 2: no such level: True"),
        ("level = 3", 'run = "x"', "question 2: an entry that no question has"),
        ('kind = "colour by ear"', "", "question 3: no kind"),
        ('key = "Bb minor"', 'key = "Bb"', "question 2: guide tones, minor: not in Bb major"),
        ("[[question]]", "[question]", "not a class file"),
        ("title = ", "titel = ", "no such entry in a class file: 'titel'"),
    ):
        assert old in text
        with pytest.raises(TheoryError) as refusal:
            ClassQuestions.parse(text.replace(old, new, 1 if "version" in old else -1))
        assert words in str(refusal.value)


@pytest.mark.parametrize(
    "text",
    [
        *("", "\0", "x" * 60_001, "[[question]]", "a." * 20_000 + "b = 1", "a = " + "[" * 20_000),
        "\n".join("a." * 39 + f"b{n} = 1" for n in range(600)),
        "version = 1\ntitle = 'x'\nquestion = [" + "{}," * 41 + "]",
        "version = 1\ntitle = 'x'\nquestion = [1, 2]",
        "version = 1\ntitle = ''\n[[question]]\nkind='top note'\ntopic='9'\nkey='C'",
    ],
)
def test_hostile_questions_are_refused(text):
    with pytest.raises(TheoryError):
        ClassQuestions.parse(text)


def changed(**entries: object) -> str:
    return json.dumps({**json.loads(handed("Ida", "F")), **entries})


@together(
    "text",
    [
        *("", "null", "[]", "3", "{", "[" * 30_000, "x" * 60_001, "NaN", '{"a":' * 9000),
        *(changed(who=who) for who in ("", 5, None, "a\nb", "x" * 61, "\u202e")),
        *(changed(version=version) for version in (2, "1", None)),
        *(changed(answers=rows) for rows in (3, [3], [{}], [{"place": 0, "given": "E"}] * 81)),
        changed(answers=[{"place": True, "given": "E", "hinted": False}]),
        changed(answers=[{"place": 0, "given": "E" * 1001, "hinted": False}]),
        *(changed(reader=who) for who in ("kazoo", None, 3)),
        *(changed(questions=check) for check in ("1", None, 1.5)),
    ],
)
def test_hostile_answers_are_refused(text):
    with pytest.raises(TheoryError):
        ClassAnswers.parse(text)


def test_a_table_judges_anew_and_tells_which_files_are_none():
    second = WEEK.asked(1).answer
    files = {
        "ida.json": handed("Ida", "F major triad", second, "altered"),
        "bo.json": handed("Bo", "I do not know", "Db F | Eb A | Db F", "whole tone"),
        "other.json": changed(questions=1),
        "far.json": changed(answers=[{"place": 7, "given": "E", "hinted": False}]),
        "virus.json": "import os",
    }
    table = ClassTable.of(WEEK, files)
    assert table.overview == (
        ("Ida", "yes", "yes", "yes", "3 of 3"),
        ("Bo", "no", "no", "no", "0 of 3"),
    )
    assert [name for name, _ in table.faults] == ["other.json", "far.json", "virus.json"]
    row = dict(zip(HEADS, table.rows[0], strict=True))
    assert (row["question"], row["right"]) == (WEEK.asked(0).prompt, "yes")
    assert "♭9 13" in row["in words"]


def test_a_claim_to_be_right_counts_for_nothing():
    text = json.loads(handed("Bo", "C"))
    text["answers"][0]["right"] = True
    assert ClassTable.of(WEEK, {"bo": json.dumps(text)}).overview[0][1] == "no"


def test_every_reader_is_asked_the_same_sound_in_the_own_key():
    for who in READERS:
        asked = WEEK.asked(0, who.name)
        assert who.sounding_key(asked.key).tonic.semitone == 1
        text = handed("Ida", asked.answer, reader=who.name)
        assert ClassTable.of(WEEK, {"ida": text}).rows[0][4] == "yes"


def test_the_csv_is_a_table_without_formulas():
    table = ClassTable.of(WEEK, {"x": handed("=cmd()", "=1+1")})
    (row,) = csv.DictReader(io.StringIO(table.csv))
    assert (row["student"], row["given"]) == ("'=cmd()", "'=1+1")


def test_files_are_read_and_what_is_none_is_told(tmp_path):
    week = tmp_path / "week.toml"
    week.write_text(str(WEEK), encoding="utf-8")
    good, bad = tmp_path / "ida.json", tmp_path / "bad.json"
    good.write_text(handed("Ida", "F"), encoding="utf-8")
    bad.write_bytes(b"\xff\xfe\x00")
    table = ClassTable.read(week, [good, bad, tmp_path / "none.json", tmp_path])
    assert [row[0] for row in table.rows] == ["Ida"]
    assert len(table.faults) == 3
    with pytest.raises(TheoryError, match="no such file"):
        ClassQuestions.read(tmp_path / "no.toml")
