"""The journal: kept in order, private, shared between notebooks, exported."""

import csv
import io
import os
import sqlite3
import stat
import subprocess
import sys
from contextlib import closing
from datetime import UTC, date, datetime, timedelta

import pytest

from theorykit import Journal, PhraseBook, TheoryError, question
from theorykit.show.review_dates import ReviewDates
from theorykit.study.session import Session

NOW = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)  # a Thursday
DATES = ReviewDates()


@pytest.fixture
def journal(tmp_path):
    return Journal(tmp_path / "journal.sqlite")


def answer(journal, given=None, *, topic="b9 13", key="Db", at=NOW, **more):
    """Ask for a shortcut and answer it, rightly unless told otherwise."""
    asked = question("shortcut over V", keys=[key], topic=topic, level=3)
    text = asked.answer if given is None else given
    return journal.answered(asked, text, asked.judge(text), memory=DATES, at=at, **more)


def test_an_answer_is_kept_with_its_card(journal):
    card = answer(journal, seconds=4.5)
    again = Journal(journal.path)
    (kept,) = again.answers
    assert (kept.kind, kept.topic, kept.key) == ("shortcut over V", "b9 13", "Db major")
    assert (kept.given, kept.is_right, kept.seconds, kept.level) == ("F", True, 4.5, 3)
    assert kept.asked == "Which shape brings ♭9 13 over A♭7, on the way to D♭maj7?"
    assert kept.at == NOW
    assert again.cards == (card,)
    assert card.due == NOW + timedelta(minutes=10)


def test_a_wrong_answer_comes_sooner_than_one_with_a_hint_and_that_sooner_than_a_right_one(
    tmp_path,
):
    due = [
        answer(Journal(tmp_path / f"{n}.sqlite"), given, hinted=hinted).due
        for n, (given, hinted) in enumerate([("Fm", False), ("F", True), ("F", False)])
    ]
    assert due == sorted(set(due))


def test_tapped_keys_are_kept_as_they_were_tapped(journal):
    answer(journal, [65, 69, 72])
    assert journal.answers[0].given == "65 69 72"
    assert journal.answers[0].is_right


def test_practice_and_notes(journal):
    journal.practised("Ida's turn", 12, tempo=96, keys=["Db", "Gb"], at=NOW)
    journal.practised("Ida's turn", 8, tempo=104, at=NOW + timedelta(days=3))
    journal.practised("long tones", 5, at=NOW + timedelta(days=4))
    journal.noted("the landing comes late", about="Ida's turn", at=NOW)
    assert journal.weeks() == {date(2026, 11, 23): 20.0, date(2026, 11, 30): 5.0}
    assert journal.tempos() == {"Ida's turn": 104.0}
    assert journal.practice[0].keys == ("Db major", "Gb major")
    assert journal.practice[2].tempo is None
    assert [(one.about, one.words) for one in journal.notes] == [
        ("Ida's turn", "the landing comes late")
    ]


def test_the_grid_of_keys_and_colours_counts_answers(journal):
    for given in ("F", "Fm", "F"):
        answer(journal, given)
    answer(journal, "E", key="C")
    found = journal.known()
    assert (found["Db major", "b9 13"].asked, found["Db major", "b9 13"].right) == (3, 2)
    assert found["C major", "b9 13"].share == 2 / 3


def test_the_past_of_a_session(journal):
    answer(journal, topic="b9", key="F#", at=NOW - timedelta(days=2))
    answer(journal)
    answer(journal, "Fm")
    past = journal.past(NOW)
    assert past.new_today == 1
    assert [one.key for one in past.lately] == ["Db major", "Db major", "F# major"]
    assert past.by_key["Db major"].asked == 2
    assert Session().next(past, NOW + timedelta(hours=1)).why.startswith("Due")


def test_due_by_the_end_of_the_week(journal):
    answer(journal, topic="b9")
    answer(journal, "Fm")
    assert [card.topic for card in journal.due_by(NOW + timedelta(days=7))] == ["b9 13", "b9"]
    assert journal.due_by(NOW) == ()


def test_a_clock_set_back_changes_no_order_and_the_card_is_asked_again(journal):
    answer(journal)
    back = NOW - timedelta(days=800)
    card = answer(journal, "Fm", at=back)
    assert [one.at for one in journal.answers] == [NOW, back]
    assert back < card.due <= back + timedelta(days=1)
    assert journal.due_by(back + timedelta(days=1)) == (card,)


WRITER = """
import sys
from theorykit import Journal, question
from theorykit.show.review_dates import ReviewDates
journal, dates = Journal(sys.argv[1]), ReviewDates()
asked = question("guide tones", keys=["Db"], topic="major", level=3)
for number in range(25):
    journal.answered(asked, asked.answer, asked.judge(asked.answer), memory=dates)
    journal.noted(f"{sys.argv[2]} {number}")
"""


def test_two_processes_write_at_once_and_no_answer_is_lost(tmp_path):
    path = tmp_path / "journal.sqlite"
    writers = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(path), who], stderr=subprocess.PIPE)
        for who in ("one", "other")
    ]
    told = [writer.communicate()[1].decode() for writer in writers]
    assert [writer.returncode for writer in writers] == [0, 0], told
    journal = Journal(path)
    assert len(journal.answers) == 50
    assert len({note.words for note in journal.notes}) == 50
    assert len(journal.cards) == 1
    assert journal.past(datetime.now(UTC)).by_key["Db major"].asked == 50


def test_the_card_is_read_inside_the_write(journal):
    """Two notebooks that both opened it before either answered."""
    other = Journal(journal.path)
    first, second = answer(journal), answer(other, at=NOW + timedelta(minutes=10))
    assert first.step == 1
    assert second.step is None
    assert second.due > NOW + timedelta(days=1)


def test_an_answer_that_cannot_be_dated_leaves_nothing(journal):
    class Broken:
        def reviewed(self, card, grade, when):
            raise RuntimeError("no date")

    asked = question("guide tones", keys=["Db"], level=3)
    with pytest.raises(RuntimeError):
        journal.answered(asked, asked.answer, asked.judge(asked.answer), memory=Broken())
    assert journal.answers == ()
    assert journal.cards == ()


@pytest.mark.skipif(os.name != "posix", reason="modes of files are POSIX")
def test_nobody_else_may_read_it(tmp_path):
    old = os.umask(0)
    try:
        journal = Journal(tmp_path / "journal.sqlite")
    finally:
        os.umask(old)
    assert stat.S_IMODE(journal.path.stat().st_mode) == 0o600
    journal.path.chmod(0o644)
    Journal(journal.path).noted("closed again")
    assert stat.S_IMODE(journal.path.stat().st_mode) == 0o600


def test_csv_is_read_back(journal):
    answer(journal)
    answer(journal, "Fm", seconds=2.5)
    rows = list(csv.DictReader(io.StringIO(journal.csv())))
    assert [(row["given"], row["is_right"], row["key"]) for row in rows] == [
        ("F", "1", "Db major"), ("Fm", "0", "Db major"),
    ]  # fmt: skip


def test_csv_is_a_table_that_pandas_reads_in_one_line(journal):
    pandas = pytest.importorskip("pandas")  # no part of the workbook, and readers may have it
    answer(journal)
    answer(journal, "Fm")
    table = pandas.read_csv(io.StringIO(journal.csv()), parse_dates=["at"])
    assert table["is_right"].mean() == 0.5
    assert table["at"][0] == NOW


@pytest.mark.parametrize("words", ["=1+1", "+cmd", "-2", "@x", 'say "so", and\nso', "ünï 🎷"])
def test_csv_holds_any_text_and_no_formula(journal, words):
    journal.noted(words)
    (row,) = csv.DictReader(io.StringIO(journal.csv("notes")))
    assert row["words"] == (f"'{words}" if words[0] in "=+-@" else words)
    assert journal.notes[0].words == words


def test_what_cannot_be_kept_is_refused(journal):
    for wrong in ("", "  ", None, 3, "x" * 10_001, "\ud800"):
        with pytest.raises(TheoryError, match="not words"):
            journal.noted(wrong)
    for minutes in (0, -1, 1e9, float("nan")):
        with pytest.raises(TheoryError, match="not minutes"):
            journal.practised("scales", minutes)
    with pytest.raises(TheoryError, match="not a tempo"):
        journal.practised("scales", 1, tempo=-3)
    with pytest.raises(TheoryError, match="time zone"):
        journal.noted("when?", at=datetime(2026, 1, 1))
    with pytest.raises(TheoryError, match="no such table"):
        journal.csv("cards; DROP TABLE answers")
    assert journal.notes == journal.practice == ()


def test_another_kind_of_file_is_refused_and_left_as_it_is(tmp_path):
    book = PhraseBook(tmp_path / "phrases.sqlite")
    text, other, newer = (tmp_path / name for name in ("a.txt", "other.sqlite", "newer.sqlite"))
    text.write_text("Dear journal, " * 20)
    with sqlite3.connect(other) as found:
        found.execute("CREATE TABLE t (x)")
    Journal(newer)
    with sqlite3.connect(newer) as found:
        found.execute("PRAGMA user_version = 9")
    found.close()
    for path, words in (
        (book.path, "a database, but no journal"),
        (text, "no journal, or one whose beginning is damaged"),
        (other, "a database, but no journal"),
        (newer, "of version 9, newer than 2"),
    ):
        before, mode = path.read_bytes(), path.stat().st_mode
        with pytest.raises(TheoryError, match=words):
            Journal(path)
        assert path.read_bytes() == before
        assert path.stat().st_mode == mode
    with pytest.raises(TheoryError, match="but no phrase book"):
        PhraseBook(Journal(tmp_path / "mine.sqlite").path)
    for path, words in (
        (tmp_path, "a folder"),
        (tmp_path / "no" / "j", "no such folder"),
        (3, "path"),
    ):
        with pytest.raises(TheoryError, match=words):
            Journal(path)


def test_a_damaged_journal_is_refused(journal):
    for number in range(8):
        journal.noted(f"note {number} " + "x" * 9_000)
    data = bytearray(journal.path.read_bytes())
    data[4096 * 3 : 4096 * 6] = b"\x55" * 4096 * 3
    journal.path.write_bytes(data)
    with pytest.raises(TheoryError, match="damaged"):
        Journal(journal.path)


# === Forgetting, sittings and older files ===


def test_what_is_forgotten_comes_back_in_its_order_and_between_what_was_written_since(journal):
    for place in range(3):
        journal.noted(f"old {place}", at=NOW)
    assert journal.forget("notes") == 3
    journal.noted("new", at=NOW)
    assert [one.words for one in journal.notes] == ["new"]
    assert journal.bring_back() == 3
    assert [one.words for one in journal.notes] == ["old 0", "old 1", "old 2", "new"]
    assert journal.bring_back() == 0
    assert journal.forget_last("notes")
    assert [one.words for one in journal.notes] == ["old 0", "old 1", "old 2"]
    assert journal.bring_back() == 1


def test_forgotten_answers_take_their_cards_along_and_newer_ones_stay(journal):
    answer(journal)
    old = journal.cards
    journal.sit("drill", "{}", at=NOW)
    assert journal.forget("answers") == 1
    assert journal.cards == journal.answers == ()
    assert journal.sitting("drill") is None
    newer = answer(journal, "Fm", at=NOW + timedelta(days=3))
    assert newer != old[0]
    journal.bring_back()
    assert journal.cards == (newer,)
    assert len(journal.answers) == 2


def test_what_is_forgotten_for_good_is_in_no_byte_of_the_file(journal):
    journal.noted("the secret of the bridge", at=NOW)
    journal.forget("notes")
    assert b"secret of the bridge" in journal.path.read_bytes()
    journal.forget_for_good()
    assert b"secret of the bridge" not in journal.path.read_bytes()
    assert journal.bring_back() == 0
    assert not journal.forget_last("notes")


@pytest.mark.parametrize("table", ["cards", "sittings", "", None, 3, "notes; DROP TABLE notes"])
def test_only_tables_of_the_reader_are_forgotten(journal, table):
    for forget in (journal.forget, journal.forget_last):
        with pytest.raises(TheoryError, match="no such table"):
            forget(table)


def test_a_journal_of_version_1_is_brought_up_and_keeps_what_it_holds(journal):
    card = answer(journal)
    with sqlite3.connect(journal.path) as book:
        for name in ("answers", "practice", "notes", "cards"):
            book.execute(f"DROP TABLE forgotten_{name}")
        book.execute("DROP TABLE sittings")
        book.execute("PRAGMA user_version = 1")
    book.close()
    again = Journal(journal.path)
    assert again.cards == (card,)
    again.sit("drill", "{}", at=NOW)
    assert again.sitting("drill") == (NOW, "{}")
    assert again.forget("answers") == again.bring_back() == 1


def test_an_answer_and_its_sitting_are_kept_both_or_neither(journal):
    class Breaks:
        def reviewed(self, card, grade, when):
            raise RuntimeError("full disk")

    asked = question("guide tones", keys=["Db"])
    with pytest.raises(RuntimeError):
        journal.answered(
            asked, "x", asked.judge(asked.answer), memory=Breaks(), sitting=("drill", "{}")
        )
    assert journal.answers == ()
    assert journal.sitting("drill") is None


ODD_ROWS = (
    "UPDATE answers SET at = 'last Thursday'",
    "UPDATE answers SET at = '2026-13-45T19:30:00+00:00'",
    "UPDATE answers SET at = '2026-11-26T19:30:00'",
    "UPDATE answers SET level = 'high'",
    "UPDATE answers SET is_right = ''",
    "UPDATE answers SET seconds = 'long'",
    "UPDATE practice SET minutes = 'x'",
    "UPDATE practice SET tempo = x'ff'",
    "UPDATE notes SET words = x'ff'",
    "UPDATE cards SET due = 'soon'",
    "UPDATE cards SET stability = 'firm'",
    "UPDATE cards SET first = ''",
    "UPDATE notes SET words = CAST(x'ff80' AS TEXT), about = CAST(x'80' AS TEXT), at = 'x'",
)


@pytest.mark.parametrize("odd", ODD_ROWS)
def test_rows_that_no_journal_has_written_are_refused_and_left(journal, odd):
    """A sound database with a row of another hand once broke the first page that read it."""
    answer(journal, seconds=3.0)
    journal.practised("turn", 5, tempo=96, keys=["Db"])
    journal.noted("late", about="turn")
    Journal(journal.path)  # as it was written it is sound
    with closing(sqlite3.connect(journal.path)) as base:
        base.execute(odd)
        base.commit()
    before = journal.path.read_bytes()
    with pytest.raises(TheoryError, match="damaged"):
        Journal(journal.path)
    assert journal.path.read_bytes() == before


def test_a_complaint_that_is_no_text_is_told(journal, monkeypatch):
    """SQLite names a damaged table in its complaint, by bytes that may be no text."""

    def complains(*_):
        raise UnicodeDecodeError("utf-8", b"\x9e", 0, 1, "invalid start byte")

    monkeypatch.setattr("theorykit.study.own_file.OwnFile._inspect", complains)
    with pytest.raises(TheoryError, match="damaged"):
        Journal(journal.path)
