"""The journal as pictures: what is known, minutes, tempi and dates, on the first day and later."""

from datetime import UTC, datetime, timedelta

import pytest

from theorykit import Journal, question
from theorykit.notes.reader import reader
from theorykit.show.pictures import picture_bytes, picture_svg
from theorykit.show.review_dates import ReviewDates
from theorykit.study.session import Tally
from theorykit.views.journal_view import SIGNS, journal_view, known_grid

NOW = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)  # a Thursday
DATES = ReviewDates()


@pytest.fixture
def journal(tmp_path):
    return Journal(tmp_path / "journal.sqlite")


def answer(journal, topic, key, right, at, seconds=30.0):
    asked = question("shortcut over V", keys=[key], topic=topic, level=2)
    given = asked.answer if right else asked.near_misses[0]
    judged = asked.judge(given)
    assert judged.right == right
    journal.answered(asked, given, judged, memory=DATES, seconds=seconds, at=at)


def cell(view, colour, key):
    return view.cells[view.rows.index(colour)][view.columns.index(key)]


@pytest.mark.parametrize(
    ("asked", "right", "text", "strength"),
    [(3, 3, "● 3/3", 3), (2, 2, "◐ 2/2", 2), (5, 4, "● 4/5", 3), (5, 3, "◐ 3/5", 2),
     (2, 1, "◐ 1/2", 2), (3, 1, "○ 1/3", 1), (1, 0, "○ 0/1", 1), (0, 0, "", 0)],
)  # fmt: skip
def test_a_cell_tells_without_its_shade(asked, right, text, strength):
    view = known_grid({("Db major", "b9 13"): Tally(asked, right)}, "major")
    assert cell(view, "♭9 13", "D♭") == text
    assert view.strengths[view.rows.index("♭9 13")][view.columns.index("D♭")] == strength
    assert len(set(SIGNS)) == 3


def test_keys_that_sound_alike_are_one_column_and_every_key_has_one():
    found = {("C# major", "b9"): Tally(2, 1), ("Db major", "b9"): Tally(1, 1)}
    view = known_grid(found, "major")
    assert cell(view, "♭9", "D♭") == "◐ 2/3"
    assert len(view.columns) == 12
    minor = known_grid({}, "minor")
    assert len(minor.columns) == 12
    assert "B♭m" in minor.columns
    assert "lydian dominant" not in minor.rows
    assert "minor's own" in minor.rows


def test_a_trumpet_has_the_keys_of_its_own_page():
    view = known_grid({("Eb major", "b9"): Tally(3, 3)}, "major", reader("trumpet"))
    assert cell(view, "♭9", "E♭") == "● 3/3"
    assert set(view.columns) == set("C D♭ D E♭ E F F♯ G A♭ A B♭ B".split())


def test_the_first_day_has_its_words_and_its_pictures(journal):
    view = journal_view(journal, NOW)
    assert view.words[0].startswith("Nothing is in the journal yet")
    assert view.tempi is None
    assert view.notes == ()
    assert [row.words for row in view.due.rows] == [""] * 7
    for one in (*view.grids.values(), view.minutes, view.due):
        assert one.alt in picture_svg(one).replace("&#x27;", "'").replace("&amp;", "&")


def test_the_minutes_of_a_week_are_practice_and_drills_together(journal):
    monday = datetime(2026, 11, 23, 8, tzinfo=UTC)
    journal.practised("long tones", 20, at=monday)
    for place in range(4):
        answer(journal, "b9", "C", True, monday + timedelta(minutes=place), seconds=90)
    answer(journal, "b9", "C", True, monday + timedelta(hours=1), seconds=9999)
    journal.practised("long tones", 7, at=monday - timedelta(days=1))  # the Sunday before
    rows = journal_view(journal, NOW).minutes.rows
    assert [row.name for row in rows] == ["2 Nov", "9 Nov", "16 Nov", "this week"]
    assert [row.words for row in rows[2:]] == ["7 minutes", "28 minutes, 8 of them drills"]
    assert rows[3].share == 1
    assert rows[2].share == pytest.approx(7 / 28)


def test_what_is_due_stands_on_its_day_and_three_months_away_all_of_it_today(journal):
    for place, topic in enumerate(("b9", "b9 13", "altered")):
        for _ in range(2):
            answer(journal, topic, "Db", topic != "b9", NOW + timedelta(hours=place))
    cards = journal.cards
    view = journal_view(journal, NOW + timedelta(hours=4))
    counts = [int(row.words.partition(":")[0] or 0) for row in view.due.rows]
    days = [max(0, (card.due.date() - NOW.date()).days) for card in cards]
    assert counts == [days.count(day) for day in range(7)]
    later = journal_view(journal, NOW + timedelta(days=90))
    assert later.due.rows[0].words.startswith("3:")
    assert "Due now: 3" in later.words[1]
    back = journal_view(journal, NOW - timedelta(days=400))  # the clock was set back
    assert back.due.rows[0].words.startswith("3:")


def test_tempi_are_the_highest_reached_and_notes_stand_with_their_day(journal):
    for tempo in (96, 104, 100):
        journal.practised("Ida's turn", 10, tempo=tempo, at=NOW)
    journal.practised("x" * 60, 10, tempo=52, at=NOW)
    journal.noted("late", about="Ida's turn", at=NOW)
    view = journal_view(journal, NOW)
    assert [row.words for row in view.tempi.rows] == ["104 beats a minute", "52 beats a minute"]
    assert len(view.tempi.rows[1].name) == 30
    assert view.notes == (("2026-11-26", "Ida's turn", "late"),)


@pytest.mark.parametrize("ending", [".png", ".pdf", ".svg"])
def test_the_pictures_are_files_too(journal, ending):
    answer(journal, "b9 13", "F#", True, NOW)
    view = journal_view(journal, NOW)
    for one in (view.grids["major"], view.due):
        assert len(picture_bytes(one, ending, dpi=50)) > 1000
