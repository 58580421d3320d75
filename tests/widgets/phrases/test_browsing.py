"""The phrase book without a browser: every state of every control."""

from __future__ import annotations

import json
import re
import threading
from collections.abc import Iterable
from itertools import product
from pathlib import Path

import platformdirs
import pytest
from uploads import uploaded

from theorykit.lines.text import Line
from theorykit.notes.key import Key
from theorykit.show.files import line_bytes
from theorykit.study.phrasebook import PhraseBook
from theorykit.tunes.progression import Bar, Progression, two_five_one
from theorykit.views.shelf import ANY
from theorykit.views.sounding import Take
from theorykit.widgets import PhraseShelf, line_desk, phrase_book
from theorykit.widgets.player import Player
from theorykit.widgets.reader_files import own_book

SHORT = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", two_five_one("C", "short"))
LONG = Line.parse(
    "8th D5 F5 A5 C6 B5 A5 G5 E5 | F5 D5 E5 C5 B4 Ab4 F4 D4 | whole E4", two_five_one("C")
)
MINOR = Line.parse("8th Ab4 C5 D5 F5 B4 Ab4 Eb4 D4 | whole Eb4", two_five_one("C minor", "short"))
VAMP = Line.parse("whole A4", Progression(Key.parse("F"), (Bar.even("F7"),)))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    book = PhraseBook(tmp_path / "thursday.sqlite")
    book.keep("a turn", SHORT, colour="b9 13", tags=["falling", "Ida"], notes="Thursday")
    book.keep("long way", LONG, colour="b9", tags=["falling"])
    book.keep("minor", MINOR, colour="b9 b13")
    book.keep("vamp", VAMP, tags=["easy"])
    return book.path


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, object]]:
    noted: list[dict[str, object]] = []

    def shown(player: Player, takes: Iterable[Take], melody: str = "") -> None:
        player.shown = tuple(takes)
        noted.extend({"played": one.performance, "label": one.label} for one in player.shown)

    monkeypatch.setattr(Player, "show", shown)
    return noted


@pytest.fixture
def box(path, asked) -> PhraseShelf:
    return phrase_book(path)


def names(box: PhraseShelf) -> list[str]:
    return [name for _, name in box.finding.phrases.options]


def test_it_opens_on_the_first_phrase(box):
    assert names(box) == ["a turn", "long way", "minor", "vamp"]
    assert box.finding.phrases.value == "a turn"
    assert "a turn: short, ♭9 13, C major" in box.told.value
    assert "<svg" in box.page.staff.value
    assert box.editing.tags.value == "falling, Ida"


def test_every_question_in_every_combination_finds_what_the_book_finds(box, path):
    finding, book = box.finding, PhraseBook(path)
    asked = [control.options for control in finding.asked.values()]
    for values in product(*([value for _, value in options] for options in asked)):
        for control, value in zip(finding.asked.values(), values, strict=True):
            control.value = value
        wanted = {n: v for n, v in zip(finding.asked, values, strict=True) if v != ANY}
        assert names(box) == [phrase.name for phrase in book.find(**wanted)]
        assert box.finding.problem.value == ""
        assert f"{len(names(box))} of 4 phrases" in finding.count.value


@pytest.mark.parametrize("step", [4, pytest.param(1, marks=pytest.mark.sweep)])
def test_every_phrase_is_shown_in_every_key_and_form_and_for_every_reader(box, step):
    for name in names(box):
        box.finding.phrases.value = name
        for (_, key), (_, form) in product(box.key.options[::step], box.into.options):
            box.key.value, box.into.value = key, form
            assert box.problem.value == ""
            assert str(box.view.page.line.progression.key) == (key or str(box.view.phrase.key))
        for _, reader in box.reader.options:
            box.reader.value = reader
            assert box.problem.value == ""
    assert [value for _, value in box.into.options] == [""]  # the vamp is no ii-V-I


def test_the_key_stays_from_phrase_to_phrase_where_the_mode_allows_it(box):
    box.key.value = "Eb major"
    box.finding.phrases.value = "long way"
    assert box.key.value == "Eb major"
    assert "Moved to E♭ major" in box.told.value
    box.finding.phrases.value = "minor"
    assert box.key.value == ""
    assert all("major" not in text for text, _ in box.key.options)


def test_what_is_heard_is_what_is_seen_with_answer_bars_through_the_keys(box, asked):
    box.key.value, box.into.value = "Bb major", "long"
    box.hearing.answers.value = True
    box.hearing.journey.value = "twelve keys by half steps"
    box.hearing.hear.click()
    assert (
        "twelve keys by half steps from B♭ major, with answer bars"
        in box.hearing.player.shown[0].label
    )
    assert asked[-1]["played"].beats == 4 + 12 * 24
    box.finding.phrases.value = "long way"
    assert "before your last change" in box.hearing.note.value


def test_a_phrase_without_a_colour_is_heard_plain(box, asked):
    box.finding.phrases.value = "vamp"
    box.hearing.hear.click()
    assert asked[-1]["label"].startswith("plain, in F major")


def test_where_nothing_is_found_nothing_can_be_heard_exported_or_deleted(box, asked):
    box.finding.colour.value, box.finding.bars.value = "b9", 2
    assert names(box) == []
    assert "No phrase is chosen" in box.told.value
    box.hearing.hear.click()
    box.exporting.link.click()
    box.editing.save.click()
    for room in (box.hearing, box.exporting, box.editing):
        assert "no phrase is chosen" in room.problem.value
    assert box.editing.delete.disabled
    assert asked == []


# Editing.


def test_tags_and_notes_are_saved_and_the_lists_follow(box, path):
    box.editing.tags.value, box.editing.notes.value = "Ida, slow ,", "with the brushes"
    box.editing.save.click()
    phrase = PhraseBook(path).phrase("a turn")
    assert (phrase.tags, phrase.notes, phrase.line) == (("Ida", "slow"), "with the brushes", SHORT)
    assert phrase.colour == "b9 13"
    assert "Saved tags and notes of a turn" in box.editing.told.value
    assert "slow" in [value for _, value in box.finding.tag.options]
    assert "with the brushes" in box.told.value


def test_what_was_typed_stays_while_the_book_is_looked_at_again(box):
    box.editing.notes.value = "half a thought"
    box.finding.again.click()
    assert box.editing.notes.value == "half a thought"


def test_a_phrase_is_deleted_only_after_it_was_asked_twice(box, path):
    book = PhraseBook(path)
    assert box.editing.asked.layout.display == "none"
    box.editing.delete.click()
    assert box.editing.asked.layout.display == "flex"
    assert "Delete a turn for good?" in box.editing.question.value
    assert "a turn" in book.names
    box.editing.no.click()
    assert box.editing.asked.layout.display == "none"
    assert "a turn" in book.names
    box.editing.delete.click()
    box.editing.yes.click()
    assert "a turn" not in book.names
    assert names(box) == ["long way", "minor", "vamp"]
    assert "Deleted a turn" in box.editing.told.value
    assert box.finding.phrases.value == "long way"


def test_choosing_another_phrase_withdraws_the_question(box):
    box.editing.delete.click()
    box.finding.phrases.value = "vamp"
    assert box.editing.asked.layout.display == "none"


def test_a_phrase_that_another_notebook_deleted_is_told(box, path):
    PhraseBook(path).drop("a turn")
    box.editing.notes.value = "mine"
    box.editing.save.click()
    assert "no phrase called" in box.editing.problem.value
    assert box.editing.notes.value == "mine"
    assert "a turn" not in PhraseBook(path).names


# Two notebooks.


def test_two_notebooks_see_what_the_other_keeps(box, path):
    PhraseBook(path).keep("from another notebook", SHORT)
    assert "from another notebook" not in names(box)
    box.finding.again.click()
    assert "from another notebook" in names(box)
    assert box.finding.phrases.value == "a turn"


def test_a_phrase_kept_on_another_page_of_the_notebook_is_seen_at_once(box, path, tmp_path):
    elsewhere = phrase_book(tmp_path / "other.sqlite")
    desk = line_desk(line=SHORT, book=path)
    desk.keeping.name.value = "from the desk"
    desk.keeping.keep.click()
    assert "from the desk" in names(box)
    assert box.finding.phrases.value == "a turn"
    assert "This is the phrase book thursday.sqlite" in box.finding.count.value
    assert names(elsewhere) == []


def test_an_empty_path_is_the_readers_own_book_and_no_other_is_called_so(tmp_path, monkeypatch):
    monkeypatch.setattr(platformdirs, "user_data_dir", lambda *_, **__: str(tmp_path / "own"))
    box = phrase_book()
    assert box.finding.path.value == ""
    assert "your own phrase book" in box.finding.count.value
    desk = line_desk(line=SHORT, book=tmp_path / "demonstration.sqlite")
    desk.keeping.name.value = "mine"
    desk.keeping.book.value = " "
    desk.keeping.keep.click()
    assert "It is in your own phrase book" in desk.keeping.told.value
    assert names(box) == ["mine"]
    box.finding.path.value = str(tmp_path / "demonstration")
    assert "your own" not in box.finding.count.value
    box.finding.path.value = ""
    assert names(box) == ["mine"]


def test_controls_may_answer_in_another_thread_than_the_cell(box):
    """JupyterLab calls controls in a thread of their own."""
    box.key.value = "F major"
    done = threading.Thread(target=lambda: setattr(box.finding.form, "value", "long"))
    done.start()
    done.join(20)
    assert names(box) == ["long way"]
    assert box.finding.problem.value == ""


# Books.


def test_where_there_is_no_book_none_is_made_until_something_is_kept(tmp_path):
    box = phrase_book(tmp_path / "new.sqlite")
    assert "no book here yet" in box.finding.count.value
    assert list(tmp_path.iterdir()) == []


def test_another_book_can_be_opened_and_what_is_none_is_refused_and_left(box, tmp_path):
    damaged = tmp_path / "damaged.sqlite"
    damaged.write_bytes(b"SQLite format 3\x00 and no more")
    box.finding.path.value = str(damaged)
    assert 'role="alert"' in box.finding.problem.value
    assert damaged.read_bytes() == b"SQLite format 3\x00 and no more"
    assert names(box) == ["a turn", "long way", "minor", "vamp"]
    other = PhraseBook(tmp_path / "other.sqlite")
    other.keep("only one", LONG)
    box.finding.path.value = str(tmp_path / "other")
    assert names(box) == ["only one"]
    assert box.finding.problem.value == ""


def test_the_readers_own_book_lies_in_the_data_directory_of_the_user(tmp_path, monkeypatch):
    monkeypatch.setattr(platformdirs, "user_data_dir", lambda *_, **__: str(tmp_path / "a" / "b"))
    assert own_book().parent == tmp_path / "a" / "b"
    assert "no book here yet" in phrase_book().finding.count.value
    assert not (tmp_path / "a").exists()
    desk = line_desk(line=SHORT)
    desk.keeping.name.value = "first"
    desk.keeping.keep.click()
    assert own_book().exists()
    assert names(phrase_book()) == ["first"]


# Export and import.


def test_every_kind_of_file_can_be_taken_away(box):
    names = []
    for _, kind in box.exporting.kind.options:
        box.exporting.kind.value = kind
        box.exporting.link.click()
        assert box.exporting.problem.value == ""
        names.append(re.search(r'download="([^"]*)"', box.exporting.told.value)[1])
    stem = "a_turn_in_C_major"
    assert names == [
        f"{stem}_concert.musicxml",
        f"{stem}_concert.mxl",
        f"{stem}_even_eighths.mid",
        f"{stem}_swung_eighths.mid",
        f"{stem}_concert.txt",
        *(f"{stem}_tenor_saxophone{ending}" for ending in (".mp3", ".ogg", ".wav")),
        "phrases.json",
    ]


def test_a_link_goes_when_another_phrase_or_key_is_shown(box):
    for change in (("Eb major", box.key), ("long", box.into), ("long way", box.finding.phrases)):
        box.exporting.link.click()
        assert "download=" in box.exporting.told.value
        change[1].value = change[0]
        assert box.exporting.told.value == ""


def test_the_phrases_of_the_list_go_out_as_json_and_come_into_another_book(box, tmp_path):
    box.finding.tag.value = "falling"
    box.exporting.kind.value = box.exporting.kind.options[-1][1]
    box.exporting.path.value = str(tmp_path / "out")
    box.exporting.write.click()
    text = (tmp_path / "out.json").read_bytes()
    assert [p["name"] for p in json.loads(text)["phrases"]] == ["a turn", "long way"]
    other = phrase_book(tmp_path / "other.sqlite")
    other.bringing.file.value = uploaded("out.json", text)
    assert names(other) == ["a turn", "long way"]
    assert "Two new phrases: a turn and long way." in other.bringing.told.value
    other.bringing.file.value = uploaded("out.json", text)
    assert "No new phrase" in other.bringing.told.value
    assert len(names(other)) == 2


def test_a_score_comes_in_as_one_phrase_under_the_name_of_its_file(box, path):
    line = SHORT.transposed("Eb")
    box.bringing.file.value = uploaded("Ben's turn.musicxml", line_bytes(line, ".musicxml"))
    assert box.bringing.problem.value == ""
    phrase = PhraseBook(path).phrase("Ben's turn")
    assert (phrase.line, phrase.form, phrase.colour) == (line, "short", "b9 13")
    box.bringing.file.value = uploaded("Ben's turn.musicxml", line_bytes(line, ".musicxml"))
    assert "already" in box.bringing.problem.value


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("a.json", b"{"),
        ("a.json", b'{"format": "other"}'),
        ("a.json", b"\xff\xfe\x00"),
        ("a.musicxml", b"no music"),
        ("a.mid", b"MThd"),
    ],
)
def test_what_holds_no_phrase_is_refused_with_words(box, name, content):
    box.bringing.file.value = uploaded(name, content)
    assert 'role="alert"' in box.bringing.problem.value
    assert len(names(box)) == 4
