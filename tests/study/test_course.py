"""What the chapters ask: questions in every key that fits, whose own answers are right."""

import json
import tomllib
from itertools import pairwise

import pytest
from house import ROOT
from sweeps import KEYS_TRIED, SWEPT_KEYS

from theorykit import KINDS_OF_QUESTION, Key, TheoryError, colour, question
from theorykit.study.course import CHAPTERS, chapter, reached, taught_in
from theorykit.study.questions import LEVELS
from theorykit.tunes.progression import cadence_chords

FEWEST, MOST = 4, 8
THREE = ("F", "Db", "A")  # the keys in which chapters 4, 5 and 7 ask before their tables
BOOKS = sorted((ROOT / "workbook").glob("[0-9][0-9]_*.ipynb"))


def asked(number: int, keys, level=None):
    """Every question of a chapter in some keys."""
    for exercise in chapter(number).asked:
        for key in keys:
            if exercise.fits(key) and key in chapter(number).keys:
                yield question(
                    exercise.kind, level=level or exercise.level, keys=[key], topic=exercise.topic
                )


def test_the_chapters_are_numbered_from_nought_and_each_asks_something_of_its_own():
    assert [row.number for row in CHAPTERS] == list(range(14))
    assert len({row.asked for row in CHAPTERS}) == len(CHAPTERS)
    assert len({row.can_do for row in CHAPTERS}) == len(CHAPTERS)


@pytest.mark.parametrize("row", CHAPTERS, ids=str)
def test_a_chapter_asks_four_to_eight_questions_that_exist(row):
    kinds = {kind.name: kind for kind in KINDS_OF_QUESTION}
    assert FEWEST <= len(row.asked) <= MOST
    assert len(set(row.asked)) == len(row.asked)
    for exercise in row.asked:
        assert exercise.topic in kinds[exercise.kind].topics
        assert exercise.level in LEVELS
        assert any(exercise.fits(key) for key in row.keys)
    assert row.can_do.startswith("You ")
    assert row.can_do.endswith(".")


@pytest.mark.parametrize("row", CHAPTERS, ids=str)
@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_the_answer_to_each_question_is_right_in_each_key(row, keys):
    for one in asked(row.number, keys):
        assert one.judge(one.answer).right, one.prompt
        assert not any(one.judge(miss).right for miss in one.near_misses), one.prompt


@pytest.mark.parametrize("row", CHAPTERS, ids=str)
def test_no_two_questions_of_a_chapter_read_alike(row):
    for key in KEYS_TRIED:
        prompts = [(one.prompt, one.answer, one.topic) for one in asked(row.number, [key])]
        assert len(set(prompts)) == len(prompts)


@pytest.mark.parametrize("number", [14, -1, True, "4", 4.0, None])
def test_there_is_no_other_chapter(number):
    with pytest.raises(TheoryError, match="no such chapter"):
        chapter(number)


# Wikipedia contributors, "Upper structure", undated: the nine over C7, here on the way to F, Db, A.
NINE = {
    "F": "D Eb Gb Ab A Cm Dbm Ebm F#m",
    "Db": "Bb Cb Ebb Fb F Abm Am Cbm Dm",
    "A": "F# G Bb C C# Em Fm Gm A#m",
}


@pytest.mark.parametrize("name", THREE)
def test_each_of_the_nine_triads_answers_a_question_of_chapter_4_in_three_keys(name):
    questions = list(asked(4, [Key.parse(name)]))
    for triad in NINE[name].split():
        right = [one.topic for one in questions if one.judge(triad).right]
        assert len(right) == 1, triad


# Written by hand (common practice): the scale that begins a half step above V, and the family of V.
SYMMETRIC = {
    "F": ("Db whole-half diminished", "C whole tone", "Eb7", "A7", "Gb7"),
    "Db": ("A whole-half diminished", "Ab whole tone", "B7", "F7", "D7"),
    "A": ("F whole-half diminished", "E whole tone", "G7", "C#7", "Bb7"),
}


@pytest.mark.parametrize("name", THREE)
def test_both_symmetric_sets_and_the_family_of_v_are_asked_in_three_keys(name):
    questions = list(asked(5, [Key.parse(name)]))
    shapes = [one for one in questions if one.kind in ("shortcut over V", "substitute")]
    assert len(shapes) == len(SYMMETRIC[name])
    for one, right in zip(shapes, SYMMETRIC[name], strict=True):
        assert one.judge(right).right, (one.prompt, one.judge(right).words)


# Written by hand (common practice).
SUBSTITUTES = {
    "F": ("Gb7", "Dbm7", "Dbm7 Gb7", "Emaj7"),
    "Db": ("D7", "Am7", "Am7 D7", "Cmaj7"),
    "A": ("Bb7", "Fm7", "Fm7 Bb7", "G#maj7"),
}


@pytest.mark.parametrize("name", THREE)
def test_each_substitute_of_chapter_7_is_asked_in_three_keys(name):
    questions = [one for one in asked(7, [Key.parse(name)]) if one.kind == "substitute"]
    assert len(questions) == len(SUBSTITUTES[name])
    for one, right in zip(questions, SUBSTITUTES[name], strict=True):
        assert one.judge(right).right, (one.prompt, one.judge(right).words)


def test_what_a_later_chapter_asks_was_taught_by_then():
    """A colour is asked for in the chapter that is named for it, or after one that asked for it."""
    first: dict[str, int] = {}
    for row in CHAPTERS[1:]:
        for exercise in row.asked:
            if exercise.kind.startswith("shortcut"):
                first.setdefault(colour(exercise.topic).name, row.number)
    assert first["b9 13"] == 1
    assert first["b9"] == 3
    assert {first[name] for name in ("b9 b13", "9 #11 13", "#9")} == {4}
    assert (first["altered"], first["whole tone"], first["minor's own"]) == (6, 5, 8)


def test_every_colour_is_met_in_a_chapter_by_its_shortcut():
    """Written by hand from the chapters: where each colour is first told."""
    told = {
        "b9 13": 1, "b9": 3, "b9 b13": 4, "b9 #11": 4, "b9 #11 13": 4, "9 #11 13": 4, "#9": 4,
        "#9 b13": 4, "#9 #11": 4, "suspended": 4, "half-whole diminished": 5, "whole tone": 5,
        "altered": 6, "lydian dominant": 6, "tritone substitute": 7, "its related ii": 7,
        "minor's own": 8, "suspended b9": 8,
    }  # fmt: skip
    topics = next(kind.topics for kind in KINDS_OF_QUESTION if kind.name == "shortcut over V")
    assert {topic: taught_in("shortcut over V", topic) for topic in topics} == told


def test_minor_is_met_where_the_chapters_tell_of_it():
    assert [taught_in(kind, "minor") for kind in ("guide tones", "ii of a V")] == [2, 8]


@pytest.mark.parametrize("row", CHAPTERS, ids=str)
def test_who_answered_the_chapters_so_far_has_reached_the_last_that_brought_something_new(row):
    so_far = [(one.kind, one.topic) for r in CHAPTERS[: row.number + 1] for one in r.asked]
    assert reached(so_far) == min(row.number, 9)  # 10 to 13 ask anew what was asked before
    assert all(taught_in(one.kind, one.topic) <= row.number for one in row.asked)


def test_the_minor_chapter_asks_in_minor_keys_alone():
    assert {key.mode for key in chapter(8).keys} == {"minor"}
    for one in asked(8, [Key.parse("Bb minor"), Key.parse("F# minor")]):
        assert cadence_chords(one.key)[2].pretty[-2:] == "m6"


@pytest.mark.parametrize("book", BOOKS, ids=lambda file: file.stem)
def test_a_chapter_says_the_same_as_its_notebook(book):
    row = chapter(int(book.stem[:2]))
    cells = json.loads(book.read_text(encoding="utf-8"))["cells"]
    assert "".join(cells[0]["source"]).splitlines()[0] == f"# {row.title}"


def test_neighbouring_chapters_do_not_ask_the_same():
    for one, other in pairwise(CHAPTERS):
        assert len(set(one.asked) & set(other.asked)) <= 1


def test_the_chapter_on_handouts_asks_what_its_page_of_six_colours_asks():
    page = tomllib.loads((ROOT / "workbook/handouts/six_colours.toml").read_text(encoding="utf-8"))
    colours = [block["colour"] for block in page["block"] if block["kind"] == "colour"]
    assert [exercise.topic for exercise in chapter(12).asked] == colours
