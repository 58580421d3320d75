"""The drill without a browser: every way to answer, going on, settings, and the end."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

import ipywidgets as ipw
import pytest
from faults import said_by, widgets_of
from sweeps import swept

from theorykit import KINDS_OF_QUESTION, Journal, TheoryError
from theorykit.study.course import CHAPTERS
from theorykit.widgets import drill, ear_training, explorer, line_desk
from theorykit.widgets.drills import drilling

NAMES = [kind.name for kind in KINDS_OF_QUESTION]
GONE = "none"


@pytest.fixture
def path(tmp_path):
    return tmp_path / "journal.sqlite"


def told(box) -> str:
    """Everything that stands on the page in words."""
    return " ".join(one.value for one in widgets_of(box) if isinstance(one, ipw.HTML))


def right(box) -> None:
    """Answer what is asked rightly, by the field, and go on."""
    box.page.field.value = box.asked.answer
    box.page.go.click()
    assert box.judged.right
    box.next.click()


@pytest.mark.parametrize("kind", swept(NAMES, lambda name: name in NAMES[::4]))
def test_every_kind_is_asked_answered_told_and_kept(kind, path):
    box = drill(kind, keys=["Db", "Bb minor"], level=2, journal=path)
    asked = box.asked
    assert asked.kind == kind
    assert asked.prompt.replace("'", "&#x27;") in box.page.words.value
    assert (len(box.page.player.shown) == 1) == (asked.heard is not None)
    place = [given for _, given in box.page.view.choices].index(asked.answer)
    box.page.choices[place].click()
    assert box.judged.right
    assert "Right." in box.verdict.value
    assert box.page.answering.layout.display == GONE
    assert "Next: " in box.ahead.value
    (kept,) = Journal(path).answers
    assert (kept.kind, kept.is_right, kept.asked) == (kind, True, asked.prompt)
    box.next.click()
    assert box.judged is None
    assert box.asked.kind == kind
    assert box.page.answering.layout.display != GONE


def test_the_name_that_is_typed_may_be_any_and_what_cannot_be_read_may_be_typed_anew(path):
    box = drill(["shortcut over V", "b9 13"], keys="Db", level=3, journal=path)
    box.page.field.value = "Hm"
    box.page.go.click()
    assert 'role="alert"' in box.page.problem.value
    assert box.judged is None
    assert box.page.field.value == "Hm"
    box.page.field.value = ""
    box.page.go.click()
    assert "no answer yet" in box.page.problem.value
    assert Journal(path).answers == ()
    box.page.field.value = "f TRIAD"
    box.page.field._handle_custom_msg({"event": "submit"}, [])  # what the page sends at Enter
    assert box.judged.right
    assert said_by(box) == ""


def test_one_note_is_answered_by_one_tap_and_some_by_as_many(path):
    box = drill("note of a degree", keys="Db", level=3, journal=path)
    taps = {text: one for (text, _), one in zip(drilling_keys(), box.page.key_buttons, strict=True)}
    assert box.page.key_rows.layout.display != GONE
    from theorykit.study.questions.typed import key_name, note_typed

    taps[str(key_name(60 + note_typed(box.asked.answer).semitone))].click()
    assert box.judged.right
    box = drill("guide tones", keys="Db", level=3, journal=path)
    for name in ("F#", "Db"):
        taps = dict(zip([t for t, _ in drilling_keys()], box.page.key_buttons, strict=True))
        taps[name].click()
    assert box.page.field.value == "F# Db"
    box.page.clear.click()
    assert box.page.field.value == ""
    for name in ("F#", "Db", "C", "F#", "F", "C"):
        taps[name].click()
    box.page.go.click()
    assert box.judged.right


def drilling_keys():
    from theorykit.views.question_view import KEY_BUTTONS

    return KEY_BUTTONS


def test_a_hint_and_giving_up_are_kept_as_what_they_are(path):
    box = drill(["shortcut over V", "b9"], keys="F#", level=3, journal=path)
    hint, answer = box.asked.hint, box.page.view.answer
    box.page.hint.click()
    assert hint.replace("'", "&#x27;") in box.page.hint_words.value
    box.page.pass_by.click()
    assert not box.judged.right
    assert f"A right answer: {answer}." in box.verdict.value
    (kept,) = Journal(path).answers
    assert (kept.given, kept.is_right, kept.hinted) == ("I do not know", False, True)
    box.page.pass_by.click()  # a second press, on its way already
    assert len(Journal(path).answers) == 1


def test_a_restart_in_the_middle_loses_nothing_and_asks_the_same(path):
    box = drill(chapter=4, keys="Db", journal=path)
    right(box)
    right(box)
    again = drill(chapter=4, keys="Db", journal=path)
    assert again.asked == box.asked
    assert again.sitting == box.sitting
    assert "Going on after 2 questions" in again.page.words.value
    again.page.field.value = again.asked.answer
    again.page.go.click()  # and a restart before the next question is shown
    third = drill(chapter=4, keys="Db", journal=path)
    assert len(third.sitting.done) == 3
    assert third.sitting.open == again.sitting.open
    assert drill(journal=path).sitting.done == ()  # another drill is another sitting


@pytest.mark.parametrize("number", [one.number for one in CHAPTERS][::4])
def test_a_chapter_asks_all_it_has_and_says_what_one_can_do(number, path):
    box = drill(chapter=number, journal=path, tempo=200)
    asked = box.chapter.asked
    for one in asked:
        assert (box.asked.kind, box.asked.topic, box.asked.level) == (
            one.kind,
            one.topic,
            one.level,
        )
        right(box)
    assert box.asked is None
    assert f"{len(asked)} of {len(asked)} right" in box.verdict.value
    assert box.chapter.can_do.replace("'", "&#x27;") in box.verdict.value
    assert box.again.layout.display != GONE
    box.again.click()
    assert box.sitting.done == ()
    assert box.asked is not None


def test_what_a_chapter_teaches_is_not_promised_while_something_is_wrong(path):
    box = drill(chapter=4, keys="Db", journal=path)
    while box.asked:
        box.page.pass_by.click()
        box.next.click()
    assert len(box.sitting.done) == 2 * len(box.chapter.asked)
    assert box.chapter.can_do not in box.verdict.value
    assert "Not yet: " in box.verdict.value


def test_a_drill_ends_when_its_minutes_are_over_and_says_what_waits(path, monkeypatch):
    clock = [0.0]
    monkeypatch.setattr(drilling, "monotonic", lambda: clock[0])
    box = drill("recall", minutes=3, journal=path)
    for _ in range(3):
        clock[0] += 60
        right(box)
    assert box.asked is None
    assert "3 of 3 right, in three minutes." in box.verdict.value
    assert "Next: " in box.verdict.value


def test_the_clock_counts_only_where_it_is_asked_for(path, monkeypatch):
    clock = [0.0]
    monkeypatch.setattr(drilling, "monotonic", lambda: clock[0])
    due = []
    for number, timed in enumerate((False, True)):
        file = path.with_name(f"{number}.sqlite")
        box = drill(["shortcut over V", "b9"], keys="C", timed=timed, journal=file)
        clock[0] += 50
        box.page.field.value = box.asked.answer
        box.page.go.click()
        assert ("It took you 50 seconds" in box.verdict.value) == timed
        due.append(Journal(file).cards[0].due - datetime.now(UTC))
    assert due[1] < due[0]  # slow is hard, and hard comes sooner


def test_a_new_day_begins_a_new_sitting_and_due_cards_come_first(path, monkeypatch):
    box = drill("recall", journal=path)
    first = box.asked
    box.page.pass_by.click()
    box.next.click()
    right(box)
    for days in (1, 90):
        later = datetime.now(UTC) + timedelta(days=days)
        monkeypatch.setattr(drilling, "_now", lambda later=later: later)
        again = drill("recall", journal=path)
        assert again.sitting.done == ()
        assert (again.asked.kind, again.asked.topic) == (first.kind, first.topic)
        assert "Due " in again.page.words.value
    monkeypatch.setattr(drilling, "_now", lambda: datetime.now(UTC) - timedelta(days=400))
    back = drill("recall", journal=path)
    assert back.asked is not None
    right(back)
    assert len(Journal(path).answers) == 3


def test_two_drills_at_once_keep_every_answer(path):
    one, other = drill(journal=path), drill(journal=path)
    for _ in range(3):
        for box in (one, other):
            box.page.pass_by.click()
            box.next.click()
    assert len(Journal(path).answers) == 6


def test_settings_change_what_is_asked_and_what_was_done_stays(path):
    box = drill("recall", journal=path)
    right(box)
    box.in_keys.value = "Bb minor"
    assert str(box.asked.key) == "Bb minor"
    box.about.value = "degree of a note"
    assert box.asked.kind == "degree of a note"
    box.level.value = 3
    assert box.asked.choices == ()
    assert len(box.sitting.done) == 1
    box.page.field.value = box.asked.answer
    box.page.go.click()
    before = box.verdict.value
    box.about.value = "guide tones"
    assert box.verdict.value == before
    assert "guide tones" in box.ahead.value
    box.next.click()
    assert box.asked.kind == "guide tones"


def test_a_trumpet_reads_its_own_key_and_is_told_so(path):
    box = drill("form by ear", keys="D", written_for="trumpet", journal=path)
    assert "D major" in box.page.words.value
    assert str(box.page.view.heard.key) == "C major"
    assert "what you hear is at concert pitch" in box.ahead.value
    box.reader.value = next(one for _, one in box.reader.options if one.name == "concert")
    assert str(box.page.view.heard.key) == "D major"
    assert "concert pitch" not in box.ahead.value


def words_of(box) -> str:
    return "".join(one.value for one in widgets_of(box) if isinstance(one, ipw.HTML))


def test_a_field_for_notes_says_whose_names_it_takes(path, tmp_path):
    box = drill("bar of a colour", keys="D", level=3, written_for="trumpet", journal=path)
    assert box.page.field.placeholder.endswith("as written for B flat")
    assert "what you type is as written for B flat" in box.ahead.value
    box.page.field.value = box.asked.answer  # D major on the page
    box.page.go.click()
    assert box.judged.right
    box = drill("bar of a colour", keys="D", level=3, journal=tmp_path / "concert.sqlite")
    assert "as written" not in box.page.field.placeholder
    assert "typed at concert pitch" in words_of(line_desk())


def test_another_surface_keeps_what_was_typed(path):
    box = drill("wrong note", keys="Db", level=3, journal=path)
    keyboard = box.page.seen.value
    box.page.field.value = "Ab"
    box.surface.value = "staff"
    assert box.page.seen.value != keyboard
    assert box.page.field.value == "Ab"


def test_another_tempo_is_the_same_take_faster(path):
    box = ear_training("top note", keys="Db", journal=path)
    before, asked = box.page.player.takes, box.asked
    box.page.tempo.value = 160
    assert box.page.player.tempo == 160
    assert box.page.player.takes == before
    assert box.asked is asked
    assert "volume low" in told(box)


def test_ear_training_asks_what_is_heard_alone(path):
    box = ear_training(keys="Db", journal=path)
    assert {kind.way for kind in box.sitting.session.kinds} == {"hear"}
    heard = {kind.name for kind in KINDS_OF_QUESTION if kind.way == "hear"}
    assert {value for _, value in box.about.options} == {"", *heard}


def test_where_the_key_is_the_answer_it_is_not_told(path):
    box = drill("major or minor target", keys=["Db", "Bb minor"], journal=path)
    for _ in range(3):
        box.page.pass_by.click()
        assert "major" not in box.ahead.value.partition("Next: ")[2].replace("to major or to", "")
        box.next.click()


def test_screen_readers_are_told_the_question_and_the_verdict(path):
    box = drill("shortcut over V", keys="Db", journal=path)
    for place in (box.page.words,):
        assert 'role="status"' in place.value
    assert box.asked.prompt in box.page.field.tooltip
    box.page.pass_by.click()
    assert 'role="status"' in box.verdict.value
    assert box.judged.words in box.next.tooltip
    for one in widgets_of(box):
        if isinstance(one, ipw.Button | ipw.Text | ipw.Dropdown | ipw.FloatSlider):
            assert one.description or one.layout.display == GONE
            assert one.tooltip


def test_a_journal_that_cannot_be_used_is_told(tmp_path):
    box = drill(journal=tmp_path / "no" / "journal.sqlite")
    assert "no such folder" in said_by(box)
    assert box.asked is None


@pytest.mark.parametrize(
    "wishes",
    [{"what": "riddle"}, {"keys": "H"}, {"keys": []}, {"chapter": 99}, {"chapter": True},
     {"written_for": "kazoo"}, {"class_file": "no.toml"}, {"what": "hear", "chapter": 4},
     {"minutes": 0}, {"minutes": "x"}, {"level": 7}, {"tempo": 5}],
)  # fmt: skip
def test_wishes_that_are_none_are_refused(wishes, path):
    with pytest.raises(TheoryError):
        drill(**wishes, journal=path)


def test_the_explorer_asks_about_its_colour_in_its_key():
    box = explorer("Db", "altered")
    box.ask.click()
    (made,) = box.asking.children
    assert (made.asked.topic, str(made.asked.key)) == ("altered", "Db major")
    box.colour.value = "b9"
    box.ask.click()
    (other,) = box.asking.children
    assert other is not made
    assert other.asked.topic == "b9"
    assert json.loads(Journal(drilling.own_journal()).sitting(other._name)[1])["open"]


def test_who_says_how_it_went_is_not_told_another_answer(path):
    box = drill("guide tones over the loop", keys="Db", level=1, journal=path)
    assert [text for text, _ in box.page.view.choices] == ["clean", "with slips", "lost"]
    box.page.choices[2].click()
    assert not box.judged.right
    assert "A right answer" not in box.verdict.value
    assert "the other " in box.verdict.value
