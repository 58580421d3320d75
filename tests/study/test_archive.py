"""A reader's work in one file: whole as it went in, twice is once, a bad file does nothing."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from theorykit import Journal, PhraseBook, TheoryError, demonstration, question
from theorykit.show.review_dates import ReviewDates
from theorykit.study.archive import OwnWork
from theorykit.study.archive.container import packed, unpacked
from theorykit.study.drafts import Drafts

DATES = ReviewDates()
MONDAY = datetime(2026, 11, 30, 19, 30, tzinfo=UTC)


class Room:
    """A folder with a reader's work."""

    def __init__(self, folder: Path) -> None:
        folder.mkdir()
        self.work = OwnWork(folder)
        self.folder = folder

    @property
    def book(self) -> PhraseBook:
        return PhraseBook(self.folder / "phrases.sqlite")

    @property
    def journal(self) -> Journal:
        return Journal(self.folder / "journal.sqlite")

    @property
    def drafts(self) -> Drafts:
        return Drafts(self.folder / "drafts.sqlite")

    def told(self) -> list[Any]:
        """Everything that is there, without the numbers that a file counts by."""
        drafts = self.drafts
        works = [
            (kind, work.title, [(s.changed, s.data) for s in drafts.states(work.number)])
            for kind in ("tune", "line")
            for work in drafts.works(kind)
        ]
        journal = self.journal
        rows = [*journal.answers, *journal.practice, *journal.notes, *journal.cards]
        return [self.book.export_json(), [*map(str, rows)], works, journal.sitting("chapter 1")]


def answer(journal: Journal, right: bool, at: datetime) -> None:
    """Answer a question, rightly or not."""
    asked = question("shortcut over V", keys=["Db"], topic="b9 13", level=3)
    text = asked.answer if right else "C"
    journal.answered(asked, text, asked.judge(text), memory=DATES, at=at)


@pytest.fixture
def school(tmp_path: Path) -> Room:
    """A week's work: phrases in flat and sharp keys, answers, notes, a tune with two states."""
    room = Room(tmp_path / "school")
    for key in ("Db", "F#", "Bb minor"):
        room.book.keep(f"turn in {key}", demonstration(key, "long"), tags=["Thursday"])
    for number, right in enumerate((True, False, True)):
        answer(room.journal, right, MONDAY + timedelta(minutes=number))
    room.journal.practised("Ida's turn", 15, tempo=96, at=MONDAY)
    room.journal.noted("slower: the third bar ♭9", about="Ida's turn", at=MONDAY)
    room.journal.sit("chapter 1", "{}", at=MONDAY)
    first = room.drafts.begin("tune", "Wet Gloves", {"text": "| Dm7 |"})
    room.drafts.save(first, "Wet Gloves", {"text": "| Dm7 | G7 |"}, fresh=True)
    room.drafts.leave("tune Thursday", first.work, {"tempo": 96})
    return room


def test_all_work_comes_out_of_the_file_as_it_went_in(school: Room, tmp_path: Path):
    home = Room(tmp_path / "home")
    brought = home.work.bring(school.work.packed("trumpet"))
    assert brought.player == "trumpet"
    counts = brought.phrases, brought.answers, brought.practice, brought.notes, brought.works
    assert counts == (3, 3, 1, 1, 1)
    assert home.told() == school.told()
    work, setting = home.drafts.left("tune Thursday")
    assert work is not None
    assert home.drafts.opened(work).state.data == {"text": "| Dm7 | G7 |"}
    assert setting == {"tempo": 96}


def test_to_and_fro_both_have_everything_once(school: Room, tmp_path: Path):
    home = Room(tmp_path / "home")
    home.book.keep("at home", demonstration("Gb", "short"))
    home.journal.noted("before", at=MONDAY - timedelta(days=1))
    home.work.bring(school.work.packed())
    tune = home.drafts.works("tune")[0]
    home.drafts.save(
        home.drafts.opened(tune.number), "Wet Gloves", {"text": "| Em7b5 | A7 |"}, fresh=True
    )
    answer(home.journal, False, MONDAY + timedelta(days=1))
    school.work.bring(home.work.packed())
    assert [work.title for work in school.drafts.works("tune")] == ["Wet Gloves"]
    texts = [state.data["text"] for state in school.drafts.states(1)]
    assert texts == ["| Em7b5 | A7 |", "| Dm7 | G7 |", "| Dm7 |"]
    assert school.drafts.opened(1).state.data == {"text": "| Em7b5 | A7 |"}
    assert sorted(school.book.names) == sorted(home.book.names)
    assert [note.words for note in school.journal.notes][-1] == "before"
    assert school.journal.cards == home.journal.cards
    before = school.told()
    for _ in range(2):
        assert school.work.bring(home.work.packed()).words == "Nothing in it was new here."
        assert school.work.bring(school.work.packed()).words == "Nothing in it was new here."
    assert school.told() == before


def test_what_both_changed_stays_and_the_later_one_is_shown(school: Room, tmp_path: Path):
    home = Room(tmp_path / "home")
    home.work.bring(school.work.packed())
    for room, text in ((home, "at home"), (school, "at school, later")):
        room.drafts.save(room.drafts.opened(1), text, {"text": text}, fresh=True)
    school.work.bring(home.work.packed())
    home.work.bring(school.work.packed())
    for room in (school, home):
        texts = {state.data["text"] for state in room.drafts.states(1)}
        assert texts >= {"at home", "at school, later"}
        assert room.drafts.opened(1).state.data == {"text": "at school, later"}


def test_what_was_forgotten_here_is_not_brought_back(school: Room):
    file = school.work.packed()
    school.journal.forget("answers")
    school.journal.forget("notes")
    brought = school.work.bring(file)
    assert (brought.answers, brought.notes) == (0, 0)
    assert school.journal.answers == ()
    assert school.journal.cards == ()


# === Files of another hand ===


def changed(file: bytes, part: str, change: Callable[[Any], object]) -> bytes:
    """The file with one part changed."""
    parts, player = unpacked(file)
    change(parts[part])
    return packed(parts, player)


def text_of(file: bytes, name: str, text: str) -> bytes:
    """The file with the text of one part in place of what it was."""
    box = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(file)) as old, zipfile.ZipFile(box, "w") as new:
        for one in old.namelist():
            new.writestr(one, text if one == name else old.read(one))
    return box.getvalue()


def added(file: bytes, name: str, data: bytes = b"{}") -> bytes:
    """The file with one more member."""
    box = io.BytesIO(file)
    with zipfile.ZipFile(box, "a", zipfile.ZIP_DEFLATED) as new:
        new.writestr(name, data)
    return box.getvalue()


def bomb() -> bytes:
    """A small file that unfolds into a large one."""
    box = io.BytesIO()
    with zipfile.ZipFile(box, "w", zipfile.ZIP_DEFLATED) as new:
        new.writestr("about.json", b" " * 90_000_000)
    return box.getvalue()


def repacked(file: bytes, way: int) -> bytes:
    """The same parts, packed in another way, the last byte of them damaged."""
    box = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(file)) as old, zipfile.ZipFile(box, "w", way) as new:
        for name in old.namelist():
            new.writestr(name, old.read(name))
    return box.getvalue()


HOSTILE: dict[str, Callable[[bytes], bytes]] = {
    "no zip": lambda file: b"PK\x03\x04 no zip",
    "empty": lambda file: b"",
    "cut off": lambda file: file[: len(file) // 2],
    "a path that leads out": lambda file: added(file, "../phrases.json"),
    "a part that is there twice": lambda file: added(file, "journal.json"),
    "unfolds": lambda file: bomb(),
    "another kind": lambda file: text_of(file, "about.json", '{"format": "letters"}'),
    "a later version": lambda file: text_of(
        file, "about.json", '{"format": "theorykit work", "version": 2}'
    ),
    "an instrument nobody plays": lambda file: text_of(
        file, "about.json", '{"format": "theorykit work", "version": 1, "player": "kazoo"}'
    ),
    "no JSON": lambda file: text_of(file, "journal.json", "{"),
    "nested": lambda file: text_of(file, "drafts.json", '{"works":' + "[" * 100_000),
    "a list": lambda file: text_of(file, "drafts.json", "[]"),
    "a number without end": lambda file: text_of(
        file, "drafts.json", '{"works": [], "places": [["a", null, "{}", 1e999]]}'
    ),
    "a word for a number": lambda file: changed(
        file, "journal", lambda part: part["answers"][0].__setitem__(3, "two")
    ),
    "no time": lambda file: changed(
        file, "journal", lambda part: part["notes"][0].__setitem__(0, "yesterday")
    ),
    "a list in a cell": lambda file: changed(
        file, "journal", lambda part: part["notes"][0].__setitem__(2, ["a"])
    ),
    "half a letter": lambda file: text_of(
        file,
        "phrases.json",
        '{"format": "theorykit phrases", "version": 1, "phrases": ["\\ud800"]}',
    ),
    "a row too short": lambda file: changed(file, "journal", lambda part: part["cards"][0].pop()),
    "no table": lambda file: changed(file, "journal", lambda part: part.pop("cards")),
    "a card twice": lambda file: changed(
        file, "journal", lambda part: part["cards"].append(part["cards"][0])
    ),
    "a phrase that is none": lambda file: changed(
        file, "phrases", lambda part: part["phrases"].append({"name": "x"})
    ),
    "a state that is no object": lambda file: changed(
        file, "drafts", lambda part: part["works"][0]["states"][0].__setitem__(2, "[]")
    ),
    "a work without its state": lambda file: changed(
        file, "drafts", lambda part: part["works"][0].__setitem__("now", 99)
    ),
    "a number too large": lambda file: changed(
        file, "drafts", lambda part: part["works"][0].__setitem__("now", 2**70)
    ),
    "a place of no work": lambda file: changed(
        file, "drafts", lambda part: part["places"][0].__setitem__(1, 7)
    ),
    "a time beyond all calendars": lambda file: changed(
        file, "drafts", lambda part: part["works"][0].__setitem__("changed", 1e300)
    ),
    "a state behind which none fits": lambda file: changed(
        file, "drafts", lambda part: part["works"][0]["states"][0].__setitem__(0, 2**63 - 1)
    ),
    "packed in another way": lambda file: repacked(file, zipfile.ZIP_LZMA),
    "a state that is too long": lambda file: changed(
        file,
        "drafts",
        lambda part: part["works"][0]["states"][0].__setitem__(
            2, json.dumps({"text": "a" * 1_000_001})
        ),
    ),
}


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_file_of_another_hand_is_refused_and_nothing_comes_in(name: str, school: Room, tmp_path):
    file = HOSTILE[name](school.work.packed("trumpet"))
    home, before = Room(tmp_path / "home"), school.told()
    for room in (school, home):
        with pytest.raises(TheoryError, match="no work that can be brought in"):
            room.work.bring(file)
    assert school.told() == before
    assert [*home.folder.iterdir()] == []


def test_a_work_that_was_stepped_back_keeps_its_state_when_many_come_in(tmp_path: Path):
    """Theirs go behind ours, and there are more of them than a work keeps."""
    home, school = Room(tmp_path / "home"), Room(tmp_path / "school")
    first = home.drafts.begin("tune", "Wet Gloves", {"text": "| Dm7 |"})
    school.work.bring(home.work.packed(""))
    ours = home.drafts.save(first, "Wet Gloves", {"text": "| Dm7 | G7 |"}, fresh=True)
    home.drafts.step(ours, -1)
    (theirs,) = school.drafts.works("tune")
    there = school.drafts.opened(theirs.number)
    for number in range(99):
        there = school.drafts.save(there, "Wet Gloves", {"text": f"| {number} |"}, fresh=True)
    home.work.bring(school.work.packed(""))
    (mine,) = home.drafts.works("tune")
    assert home.drafts.opened(mine.number).state.data
    kept = {state.data["text"] for state in home.drafts.states(mine.number)}
    assert "| Dm7 | G7 |" in kept
    assert home.work.bring(home.work.packed("")).words == "Nothing in it was new here."
    now = home.drafts.opened(mine.number)
    home.drafts.save(now, "Wet Gloves", {"text": "| C6 |"}, fresh=True)
    assert len(home.drafts.states(mine.number)) <= 100


def test_work_that_no_file_could_bring_in_again_is_not_put_into_one(monkeypatch):
    from theorykit.study.archive import container

    monkeypatch.setattr(container, "LARGEST_PART", 1000)
    with pytest.raises(TheoryError, match=r"your drafts are .* too many for one file"):
        packed({"drafts": {"works": ["a" * 2000]}}, "")


def test_a_write_that_fails_at_its_end_leaves_all_files_as_they_were(
    school: Room, tmp_path, monkeypatch
):
    from theorykit.study.archive import own_work

    home = Room(tmp_path / "home")
    home.book.keep("at home", demonstration("Gb", "short"))
    before = home.told()

    def full(*_: object) -> int:
        raise TheoryError("the disk is full")

    monkeypatch.setattr(own_work, "merge_drafts", full)
    with pytest.raises(TheoryError, match="disk is full"):
        home.work.bring(school.work.packed())
    assert home.told() == before
