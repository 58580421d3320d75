"""A sitting: what it asks next, what it keeps, how it goes on and what it says at the end."""

import json
import multiprocessing
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from theorykit import Journal, Key, TheoryError
from theorykit.show.review_dates import ReviewDates
from theorykit.study.drill_wishes import KEY_SETS, keys_on_page, kinds_wanted
from theorykit.study.session import Past, Session
from theorykit.study.sitting import LONGEST_WAIT, Sitting, Task

NOW = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)  # a Thursday
KEYS = tuple(map(Key.parse, ("C", "Db", "F#", "Bb minor")))
DATES = ReviewDates()


def sitting(**more) -> Sitting:
    return Sitting("drill", Session(10, keys=KEYS), **more)


def test_it_asks_until_the_minutes_are_over_and_waiting_does_not_count():
    one, seconds = sitting(), 0.0
    while not (one := one.opened(Past(), NOW, 5)).over:
        one = one.answered("?", False, seconds=500)
        seconds += LONGEST_WAIT
    assert one.open is None
    assert one.spent == seconds / 60 == 10
    assert one.opened(Past(), NOW, 6) is one


def test_tasks_are_asked_once_and_what_was_wrong_once_more_and_not_again():
    tasks = (Task("guide tones", "major", 3), Task("ii of a V", "minor", 2, "Bb minor"))
    one, places, whys = sitting(tasks=tasks), [], []
    while not (one := one.opened(Past(), NOW, 1)).over:
        places.append(one.open.place)
        whys.append(one.open.why)
        one = one.answered("?", False)
    assert places == [0, 1, 0, 1]
    assert whys[:3] == [
        "Question 1 of 2.",
        "Question 2 of 2.",
        "Once more: it was not right before.",
    ]
    one = sitting(tasks=tasks)
    for _ in tasks:
        one = one.opened(Past(), NOW, 1).answered("x", True)
    assert one.opened(Past(), NOW, 1).over


def test_a_task_without_a_key_goes_through_the_keys_and_one_with_a_key_keeps_it():
    tasks = (*[Task("note of a degree", "b9", 2)] * 4, Task("note of a degree", "b9", 2, "F#"))
    one, keys = sitting(tasks=tasks), []
    while not (one := one.opened(Past(), NOW, 1)).over:
        keys.append(one.open.key)
        one = one.answered("x", True)
    assert set(keys[:4]) == set(map(str, KEYS))
    assert keys[4] == "F# major"


def test_the_same_sitting_asks_the_same_question_after_it_was_kept():
    one = sitting().opened(Past(), NOW, 77).answered("E", True, seconds=9)
    one = one.opened(Past(), NOW, 78)
    again = sitting().open_again(one.state)
    assert again == one
    assert again.open.question == one.open.question


@pytest.mark.parametrize(
    "state",
    [
        *("", "{", "[]", "null", "3", "{}", '{"done": 3}', "[" * 9999),
        '{"done": [], "spent": "x", "open": null, "over": false}',
        '{"done": [{"kind": "top note"}], "spent": 1, "open": null, "over": false}',
    ],
)
def test_a_state_that_cannot_be_read_begins_anew(state):
    assert sitting().open_again(state) == sitting()


@pytest.mark.parametrize(
    ("name", "value"),
    [("kind", "riddle"), ("topic", "b5"), ("key", "H"), ("key", "G major"), ("level", 9)],
)
def test_a_question_that_is_no_longer_one_begins_anew(name, value):
    one = sitting().opened(Past(), NOW, 3)
    kept = json.loads(one.state)
    kept["open"][name] = value
    assert sitting().open_again(json.dumps(kept)) == sitting()


def test_it_goes_on_the_same_day_and_after_the_clock_was_set_back_and_not_next_week():
    one = sitting().opened(Past(), NOW, 3)
    for later, goes_on in ((0, True), (11, True), (-24 * 30, True), (13, False), (24 * 90, False)):
        found = sitting().gone_on((NOW, one.state), NOW + timedelta(hours=later))
        assert (found == one) == goes_on, later
    assert sitting().gone_on(None, NOW) == sitting()
    over = replace(one, open=None, over=True)
    assert sitting().gone_on((NOW, over.state), NOW) == sitting()
    assert sitting().gone_on((NOW, over.state), NOW + timedelta(days=9), always=True) == over
    assert over.summary((), NOW)[0] == "Nothing was asked."


def test_an_answer_without_a_question_is_refused():
    with pytest.raises(TheoryError, match="nothing is asked"):
        sitting().answered("E", True)


def test_at_the_end_it_says_what_was_right_what_comes_next_when_and_why(tmp_path):
    journal, one = Journal(tmp_path / "journal.sqlite"), sitting()
    for place, right in enumerate((True, False, True)):
        one = one.opened(journal.past(NOW), NOW + timedelta(minutes=place), place)
        asked = one.open.question
        given = asked.answer if right else asked.near_misses[0]
        judged = asked.judge(given)
        assert judged.right == right
        one = one.answered(given, right, seconds=60)
        at = NOW + timedelta(minutes=place)
        journal.answered(asked, given, judged, memory=DATES, at=at, sitting=("drill", one.state))
    first, wrong, next_ = one.summary(journal.cards, NOW + timedelta(minutes=2))
    missed = one.done[1]
    assert first == "2 of 3 right, in three minutes."
    assert wrong.startswith(f"Not yet: {missed.kind} (")
    assert next_.startswith(f"Next: {missed.kind} (")
    assert "because it was not right" in next_
    kept = journal.sitting("drill")
    assert sitting().gone_on(kept, NOW + timedelta(minutes=5)).done == one.done


def write(path: str, name: str, count: int) -> None:
    """Answer in another process."""
    journal, one = Journal(path), sitting()
    for seed in range(count):
        one = one.opened(journal.past(NOW), NOW, seed)
        asked = one.open.question
        one = one.answered(asked.answer, True, seconds=1)
        judged = asked.judge(asked.answer)
        journal.answered(
            asked, asked.answer, judged, memory=DATES, at=NOW, sitting=(name, one.state)
        )


def test_two_kernels_at_once_lose_no_answer_and_each_goes_on(tmp_path):
    path = str(tmp_path / "journal.sqlite")
    Journal(path)
    both = [
        multiprocessing.get_context("spawn").Process(target=write, args=(path, name, 8))
        for name in ("one", "other")
    ]
    for one in both:
        one.start()
    for one in both:
        one.join(60)
    assert [one.exitcode for one in both] == [0, 0]
    journal = Journal(path)
    assert len(journal.answers) == 16
    for name in ("one", "other"):
        assert len(sitting().gone_on(journal.sitting(name), NOW).done) == 8


# === Wishes ===


def test_the_sets_hold_twelve_sounding_keys_of_each_mode_with_few_signs():
    for mode in ("major", "minor"):
        found = KEY_SETS[f"{mode} keys"]
        assert len({key.tonic.semitone for key in found}) == len(found) == 12
        assert {key.mode for key in found} == {mode}
        assert max(abs(key.fifths) for key in found) == 6
    assert [str(key) for key in KEY_SETS["all keys"]][:4] == [
        *("C major", "A minor", "F major", "G major"),
    ]


@pytest.mark.parametrize("who", ["concert", "trumpet", "alto", "horn", "bass", "guitar"])
def test_the_keys_of_a_page_sound_as_the_twelve_and_read_back(who):
    from theorykit.notes.reader import reader

    page = keys_on_page(None, reader(who))
    assert len(page) == 24
    sounds = {(reader(who).sounding_key(key).tonic.semitone, key.mode) for key in page}
    assert len(sounds) == 24
    for key in page:
        assert reader(who).written_key(reader(who).sounding_key(key)) == key


@pytest.mark.parametrize("wrong", [[], 5, ["H"], "H", {"C": 1}, b"C", [None]])
def test_keys_that_are_none_are_refused(wrong):
    with pytest.raises(TheoryError):
        keys_on_page(wrong)


@pytest.mark.parametrize(
    "wrong", ["riddle", ["hear", None], 5, b"hear", {"hear": 1}, ["guide tones", "b9"], "x" * 99]
)
def test_names_that_mean_nothing_are_refused(wrong):
    with pytest.raises(TheoryError):
        kinds_wanted(wrong)


def test_a_colour_by_another_of_its_names_is_asked_in_every_kind_that_has_it():
    found = kinds_wanted("♭9 13")
    assert len(found) > 8
    assert {kind.topics for kind in found} == {("b9 13",)}
