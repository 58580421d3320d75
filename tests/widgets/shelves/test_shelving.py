"""The shelf and its desks, without a browser."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from theorykit.lines.demonstration import demonstration
from theorykit.show.own_reader import own_files_in
from theorykit.show.work_folder import KINDS
from theorykit.study.phrasebook import PhraseBook
from theorykit.widgets import handout_desk, line_desk, shelf, tune_desk
from theorykit.widgets.shelves import Shelf

CHART = "title: Wet Gloves\nkey: Db\n\n| Ebm7 | Ab7 | Dbmaj7 | % |\n"
SHEET = """\
title = "Bridges"
date = 2026-11-19

[[block]]
kind = "colour"
colour = "b9 13"
key = "Db"
"""


@pytest.fixture(autouse=True)
def own(tmp_path: Path):
    with own_files_in(tmp_path / "own"):
        yield


class Room:
    """The desks of a week with a shelf, on one file of drafts."""

    def __init__(self, home: Path) -> None:
        path = home / "drafts.sqlite"
        self.book = home / "book.sqlite"
        self.tunes = tune_desk(draft="t", path=path, book=self.book)
        self.lines = line_desk(draft="l", path=path, book=self.book)
        self.sheet = handout_desk(draft="h", path=path, lines=self.lines, tunes=self.tunes)
        self.shelf = shelf(self.tunes, self.lines, self.sheet, book=self.book)


@pytest.fixture
def room(tmp_path: Path) -> Room:
    return Room(tmp_path)


def rows(box: Shelf) -> list[str]:
    return [label for label, _ in box.list.options]


def titles(box: Shelf) -> list[str]:
    return [label.rpartition(",")[0] for label in rows(box)]


def test_what_is_typed_on_a_desk_is_on_the_shelf_with_its_day(room):
    assert rows(room.shelf) == []
    room.tunes.text.value = CHART
    (row,) = rows(room.shelf)
    assert row.startswith("Wet Gloves, ")
    assert str(date.today().year) in row
    room.shelf.kind.value = "line"
    room.lines.text.value = "8th F Ab C"
    assert titles(room.shelf) == ["in C major: 8th F Ab C"]


def test_search_finds_words_of_titles_and_texts(room):
    room.tunes.text.value = CHART
    room.tunes.mine.new.click()
    room.tunes.text.value = "title: Two Bridges\n| C6 |"
    assert titles(room.shelf) == ["Two Bridges", "Wet Gloves"]
    for words, found in (("gloves", ["Wet Gloves"]), ("c6", ["Two Bridges"]), ("none", [])):
        room.shelf.search.value = words
        assert titles(room.shelf) == found


def test_a_search_that_finds_nothing_says_so(room):
    room.tunes.text.value = CHART
    room.shelf.search.value = "kazoo"
    assert rows(room.shelf) == []
    assert "Nothing on this shelf has" in room.shelf.term.value
    room.shelf.search.value = "gloves"
    assert room.shelf.term.value == ""


def test_the_day_of_a_long_line_is_in_sight(room):
    """A list cuts off what is too long for it, at its end."""
    room.lines.text.value = "8th F4 A4 C5 E5 D5 C5 A4 F4 | E4 F4 G4 Ab4 B4 D5 Ab4 B4 | " * 2
    room.shelf.kind.value = "line"
    (row,) = rows(room.shelf)
    title, _, day = row.rpartition(", ")
    assert title.startswith("in C major: 8th F4 A4 C5")
    assert str(date.today().year) in day
    assert len(row) <= 85  # letters that are seen in the list at 1280 pixels


def test_of_two_works_with_one_title_and_day_the_newer_has_the_number(room):
    """The new sheet was the first of the list and chosen, but the old one had the number."""
    room.sheet.text.value = 'title = "Bridges"\n'
    room.shelf.kind.value = "handout"
    old = room.shelf.list.value
    room.shelf.copy.click()
    assert room.shelf.list.value != old
    assert room.shelf.list.label.endswith(" (2)")
    assert not dict((own, label) for label, own in room.shelf.list.options)[old].endswith(")")


def test_a_work_is_opened_copied_taken_out_and_brought_back(room):
    room.tunes.text.value = CHART
    room.shelf.copy.click()
    assert titles(room.shelf) == ["Wet Gloves", "Wet Gloves"]
    assert len(set(rows(room.shelf))) == 2
    assert room.tunes.mine.has(room.shelf.list.value)
    room.tunes.text.value = CHART.replace("Wet", "Dry")
    assert titles(room.shelf) == ["Dry Gloves", "Wet Gloves"]
    room.shelf.out.click()
    assert titles(room.shelf) == ["Wet Gloves"]
    assert "Dry" not in room.tunes.text.value
    room.shelf.undo.click()
    assert titles(room.shelf) == ["Dry Gloves", "Wet Gloves"]
    assert room.shelf.undo.disabled
    room.shelf.list.value = dict(room.shelf.list.options)[rows(room.shelf)[0]]
    room.shelf.bring.click()
    assert room.tunes.text.value.startswith("title: Dry Gloves")
    assert room.shelf.problem.value == ""


def test_a_work_that_the_desk_takes_out_is_brought_back_by_the_shelf(room):
    room.tunes.text.value = CHART
    room.tunes.mine.out.click()
    room.tunes.mine.yes.click()
    assert rows(room.shelf) == []
    room.shelf.again.click()
    room.shelf.undo.click()
    assert titles(room.shelf) == ["Wet Gloves"]


def test_a_new_handout_from_last_weeks_has_the_day_of_this_week(room):
    room.sheet.text.value = SHEET
    room.shelf.kind.value = "handout"
    room.shelf.next.click()
    assert room.shelf.problem.value == ""
    made = room.sheet.handout
    assert (made.title, made.blocks[0].key) == ("Bridges", "Db")
    assert made.date >= date.today() or made.date == date(2026, 11, 26)
    assert made.date.weekday() == date(2026, 11, 19).weekday()
    assert titles(room.shelf) == ["Bridges", "Bridges"]
    assert rows(room.shelf)[1] == "Bridges, 19 Nov 2026"  # the day that it says
    assert rows(room.shelf)[0] != rows(room.shelf)[1]


def test_without_a_handout_of_last_week_it_is_told(room):
    room.shelf.kind.value = "term"
    room.shelf.next.click()
    assert "no handout of last week" in room.shelf.problem.value


def test_the_term_tells_what_was_given_when_and_what_is_not_yet(room):
    room.tunes.text.value = CHART
    room.sheet.text.value = SHEET
    room.shelf.kind.value = "term"
    said = room.shelf.term.value
    for words in ("19 Nov 2026", "Bridges", "♭9 13", "D♭", "Tunes not given yet: Wet Gloves."):
        assert words in said
    left = said.partition("Keys not given yet: ")[2].partition(".")[0].split(", ")
    assert "D♭" not in left
    assert {"C", "G♭", "B♭ minor"} <= set(left)
    assert len(left) == 23  # of twelve major and twelve minor ones, one was given


def test_phrases_are_listed_taken_out_and_put_on_the_desk_for_lines(room):
    line = demonstration("Db", "short")
    PhraseBook(room.book).keep("Ida's turn", line, colour="b9", tags=["easy"])
    room.shelf.kind.value = "phrase"
    assert titles(room.shelf) == ["Ida's turn: short in D♭ major, ♭9"]
    room.shelf.bring.click()
    assert room.lines.view.line == line
    room.shelf.out.click()
    assert PhraseBook(room.book).names == ()
    room.shelf.undo.click()
    assert PhraseBook(room.book).phrase("Ida's turn").tags == ("easy",)


def test_without_desks_works_are_listed_and_it_says_what_is_missing(tmp_path, room):
    room.tunes.text.value = CHART
    box = shelf(path=tmp_path / "drafts.sqlite", book=room.book)
    assert titles(box) == ["Wet Gloves"]
    box.bring.click()
    assert "no desk for tunes is open beside the shelf" in box.problem.value
    box.save.click()
    assert 'download="Wet_Gloves.txt"' in box.told.value or "Wet Gloves.txt" in box.told.value


def test_works_go_into_the_folder_that_is_named_and_come_from_there(tmp_path, room):
    room.tunes.text.value = CHART
    room.shelf.folder.value = str(tmp_path / "works")
    file = tmp_path / "works" / "tunes" / "Wet Gloves.txt"
    assert file.read_text(encoding="utf-8").startswith(CHART)
    room.tunes.text.value = CHART.replace("%", "Db6")
    assert "Db6" in file.read_text(encoding="utf-8")
    (tmp_path / "works" / "handouts").mkdir()
    (tmp_path / "works" / "handouts" / "week.toml").write_text(SHEET, encoding="utf-8")
    room.shelf.kind.value = "handout"
    room.shelf.again.click()
    assert titles(room.shelf) == ["Bridges"]
    room.shelf.bring.click()
    assert room.sheet.handout.title == "Bridges"
    room.shelf.folder.value = ""
    assert "on this computer alone" in room.shelf.where.value


def below(folder: Path) -> list[str]:
    return sorted(file.name for file in folder.iterdir())


def test_the_file_of_a_copied_handout_takes_its_new_title_when_that_is_typed(tmp_path, room):
    sheets = tmp_path / "works" / "handouts"
    room.shelf.folder.value = str(tmp_path / "works")
    room.sheet.text.value = SHEET
    room.sheet.mine.copy.click()
    assert below(sheets) == ["Bridges (2).toml", "Bridges.toml"]
    for title in ("Bri", "Way", "Way home"):  # typed, with pauses
        room.sheet.text.value = SHEET.replace("Bridges", title)
        assert below(sheets) == ["Bridges (2).toml", "Bridges.toml"]
    room.sheet.text.value = SHEET.replace("Bridges", "Way home").replace("b9 13", "altered")
    assert below(sheets) == ["Bridges.toml", "Way home.toml"]
    assert "b9 13" in (sheets / "Bridges.toml").read_text("utf-8")
    assert "altered" in (sheets / "Way home.toml").read_text("utf-8")
    states = [one.data["text"] for one in room.sheet.mine.drafts.states(2)]
    assert {"Bridges", "Way home"} <= {text.split('"')[1] for text in states}
    room.sheet.mine.undo.click()
    assert "b9 13" in (sheets / "Way home.toml").read_text("utf-8")
    assert "way home.toml" not in " ".join(below(sheets.parent / "taken out" / "handouts")).lower()
    room.shelf.again.click()
    assert below(sheets) == ["Bridges.toml", "Way home.toml"]


@pytest.mark.parametrize("act", ["new", "copy", "list"])
def test_a_title_that_was_changed_last_names_the_file_when_another_handout_comes(
    tmp_path, room, act
):
    sheets = tmp_path / "works" / "handouts"
    room.shelf.folder.value = str(tmp_path / "works")
    room.sheet.text.value = SHEET
    room.sheet.mine.copy.click()
    room.sheet.text.value = SHEET.replace("Bridges", "Way home")
    mine = room.sheet.mine
    if act == "list":
        mine.list.value = next(number for _, number in mine.list.options if number == 1)
    else:
        getattr(mine, act).click()
    assert set(below(sheets)) >= {"Bridges.toml", "Way home.toml"}
    assert "Bridges (2).toml" not in below(sheets)


def test_a_title_that_was_changed_last_names_the_file_when_files_are_made(tmp_path, room):
    room.shelf.folder.value = str(tmp_path / "works")
    room.sheet.text.value = SHEET
    room.sheet.mine.copy.click()
    room.sheet.text.value = SHEET.replace("Bridges", "Way home")
    room.sheet.making.folder.value = str(tmp_path / "out")
    room.sheet.making.make.click()
    room.sheet.making.wait()
    assert below(tmp_path / "works" / "handouts") == ["Bridges.toml", "Way home.toml"]


def test_a_file_that_was_changed_elsewhere_comes_onto_the_desk_that_shows_it(tmp_path, room):
    room.tunes.text.value = CHART
    room.shelf.folder.value = str(tmp_path / "works")
    file = tmp_path / "works" / "tunes" / "Wet Gloves.txt"
    file.write_text(file.read_text("utf-8").replace("Ebm7", "Ebm9"), encoding="utf-8")
    room.shelf.again.click()
    assert "changed elsewhere" in room.shelf.told.value
    assert room.tunes.text.value == CHART.replace("Ebm7", "Ebm9")
    room.tunes.mine.undo.click()
    assert room.tunes.text.value == CHART
    assert titles(room.shelf) == ["Wet Gloves"]


def test_the_folder_has_all_that_a_desk_keeps_and_a_melody_comes_back_from_it(tmp_path, room):
    """A file that left something out would take it from the work when the file is changed."""
    desks = {"tune": room.tunes, "line": room.lines, "handout": room.sheet}
    for kind, desk in desks.items():
        assert set(KINDS[kind].plain) | {"text", "beside"} >= set(desk.mine.keeper.data), kind
    melody = "half F4 Ab4 | half C5 Eb5 | whole F5 | whole rest"
    room.tunes.take(CHART, melody)
    room.shelf.folder.value = str(tmp_path / "works")
    file = tmp_path / "works" / "tunes" / "Wet Gloves.txt"
    file.write_text(file.read_text("utf-8").replace("Ebm7", "Ebm9"), encoding="utf-8")
    room.shelf.again.click()
    assert room.tunes.state.data["text"] == CHART.replace("Ebm7", "Ebm9")
    assert room.tunes.state.data["melody"] == melody
    file.write_text(file.read_text("utf-8").replace("Eb5", "Bb4"), encoding="utf-8")
    room.shelf.again.click()
    assert room.tunes.state.data["melody"] == melody.replace("Eb5", "Bb4")


def test_a_second_day_finds_the_shelf_and_the_desks_as_they_were(tmp_path, room):
    room.tunes.text.value = CHART
    room.sheet.text.value = SHEET
    again = Room(tmp_path)
    assert again.tunes.text.value == CHART
    assert again.sheet.handout.title == "Bridges"
    assert titles(again.shelf) == ["Wet Gloves"]
