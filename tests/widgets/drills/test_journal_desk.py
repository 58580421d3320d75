"""The journal on the page: its pictures, its forms, what is taken out, and forgetting."""

from __future__ import annotations

import base64
import re

import pytest
from faults import said_by

from theorykit import Journal
from theorykit.widgets import drill, journal


@pytest.fixture
def path(tmp_path):
    return tmp_path / "journal.sqlite"


@pytest.fixture
def desk(path):
    box = drill(["shortcut over V", "b9 13"], keys="Db", level=3, journal=path)
    box.page.field.value = box.asked.answer
    box.page.go.click()
    return journal(path)


def linked(html: str) -> bytes:
    return base64.b64decode(re.search(r"base64,([^\"]+)", html)[1])


def test_the_pictures_show_what_was_answered(desk):
    assert "1 question answered, 1 right." in desk.words.value
    assert "D♭ 1/1" in desk.grid.value
    desk.mode.value = "minor"
    assert "D♭ 1/1" not in desk.grid.value
    assert "in 12 minor keys" in desk.grid.value
    desk.savings[0].opener.value = True
    desk.savings[0].link.click()
    assert 'download="grid_minor_keys.png"' in desk.savings[0].told.value


def test_practice_is_noted_from_a_small_form(desk, path):
    form = desk.practice
    form.keep.click()
    assert "nothing was practised" in form.problem.value
    form.what.value, form.minutes.value = "Two Chairs", 20
    for wrong, words in (("fast", "not a tempo"), ("-3", "not a tempo"), ("nan", "not a tempo")):
        form.tempo.value = wrong
        form.keep.click()
        assert words in form.problem.value
    form.tempo.value, form.in_keys.value = "96", "Db, H"
    form.keep.click()
    assert "not a key" in form.problem.value
    assert Journal(path).practice == ()
    form.in_keys.value = "Db, f minor"
    form.keep.click()
    assert "not a key" in form.problem.value  # a small letter is no key
    form.in_keys.value = "Db, F minor"
    form.keep.click()
    (kept,) = Journal(path).practice
    assert (kept.what, kept.minutes, kept.tempo) == ("Two Chairs", 20, 96)
    assert kept.keys == ("Db major", "F minor")
    assert "20 minutes" in desk.minutes.value
    assert "96 beats a minute" in desk.tempi.value
    assert "Kept: Two Chairs" in form.told.value


def test_notes_are_kept_and_shown_as_they_were_typed(desk, path):
    desk.notes.keep.click()
    assert "nothing is written" in desk.notes.problem.value
    desk.notes.words.value, desk.notes.about.value = "the <b>bridge</b>\nis late", "Two Chairs"
    desk.notes.keep.click()
    assert Journal(path).notes[0].words == "the <b>bridge</b>\nis late"
    assert "&lt;b&gt;bridge" in desk.notes.seen.value
    assert desk.notes.words.value == ""


def test_tables_and_the_page_are_taken_out(desk, path):
    desk.taking.csv.click()
    assert linked(desk.taking.told.value).decode() == Journal(path).csv("answers")
    assert str(path) in desk.taking.line.value
    desk.taking.table.value = "notes"
    assert "select * from notes" in desk.taking.line.value
    desk.taking.print.click()
    assert linked(desk.taking.told.value).startswith(b"%PDF-")


def test_forgetting_asks_first_and_has_a_way_back_until_it_is_for_good(desk, path):
    taking = desk.taking
    taking.forget.click()
    taking.no.click()
    assert len(Journal(path).answers) == 1
    taking.forget.click()
    taking.yes.click()
    assert Journal(path).answers == Journal(path).cards == ()
    assert "Nothing is in the journal yet" in desk.words.value
    taking.back.click()
    assert len(Journal(path).answers) == len(Journal(path).cards) == 1
    taking.last.click()
    taking.good.click()
    taking.yes.click()
    taking.back.click()
    assert Journal(path).answers == ()
    assert said_by(desk) == ""


def test_a_journal_that_another_notebook_writes_is_shown_when_one_looks_again(desk, path):
    Journal(path).practised("long tones", 9)
    desk.refresh.click()
    assert "9 minutes" in desk.minutes.value


def test_a_journal_that_cannot_be_used_is_told(tmp_path):
    file = tmp_path / "journal.sqlite"
    file.write_text("Dear journal, " * 20)
    box = journal(file)
    assert "no journal, or one whose beginning is damaged" in said_by(box)
