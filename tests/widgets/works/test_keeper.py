"""The keeper: a pause, a press and the end write the last word; nothing is overwritten unseen."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from threading import Event

import pytest
from hypothesis import given, strategies as st

from theorykit.errors import TheoryError
from theorykit.study.drafts import Drafts
from theorykit.widgets.works import keeper as module
from theorykit.widgets.works.keeper import FEW, Keeper, lost, write_all

LONG = "8th D5 F5 A5 C6 B5 A5 G5 E5"


class Desk:
    """A keeper with what it told."""

    def __init__(self, drafts: Drafts, *, at_once: bool = False) -> None:
        self.wrote, self.failed = Event(), Event()
        self.why: list[Exception] = []
        self.keeper = Keeper(
            drafts,
            "here",
            "line",
            lambda _: self.wrote.set(),
            self._failed,
            forks=True,
            at_once=at_once,
        )
        self.keeper.open(None, {"text": ""}, {})

    def _failed(self, why: Exception) -> None:
        self.why.append(why)
        self.failed.set()

    def type(self, text: str, **more: object) -> None:
        """Let the desk have another word."""
        self.keeper.hear(text or "empty", {"text": text, **more}, {})


def texts(drafts: Drafts) -> list[str]:
    """Return the texts of all states of the only work, the newest first."""
    (work,) = drafts.works("line")
    return [state.data["text"] for state in drafts.states(work.number)]


@pytest.fixture
def drafts(tmp_path: Path) -> Drafts:
    return Drafts(tmp_path / "drafts.sqlite")


def test_what_was_typed_is_written_after_a_pause_by_itself(drafts):
    desk = Desk(drafts)
    for end in range(1, len(LONG) + 1):
        desk.type(LONG[:end])
    assert desk.wrote.wait(20)
    assert texts(drafts) == [LONG, ""]


def test_who_types_without_a_pause_is_kept_all_the_same(drafts, monkeypatch):
    monkeypatch.setattr(module, "QUIET", 1000.0)
    monkeypatch.setattr(module, "LONGEST", 0.2)
    desk = Desk(drafts)
    desk.type("8th")
    assert desk.wrote.wait(20)
    assert texts(drafts)[0] == "8th"


def test_a_text_that_gives_way_to_another_is_written_before_it(drafts, monkeypatch):
    monkeypatch.setattr(module, "QUIET", 1000.0)
    monkeypatch.setattr(module, "LONGEST", 1000.0)
    desk = Desk(drafts)
    desk.type(LONG)
    desk.type("")  # all of it marked and deleted, in one breath
    desk.type("8th D4")
    desk.type("8th D4", key="F")
    desk.keeper.write()
    assert texts(drafts) == ["8th D4", "8th D4", LONG, ""]


def test_a_slip_of_the_finger_is_no_step_of_its_own(drafts):
    desk = Desk(drafts, at_once=True)
    desk.type(LONG)
    for end in range(1, 4):
        desk.type(LONG[:-end])
    desk.type(LONG[:-3] + " E5 |")
    assert texts(drafts) == [LONG[:-3] + " E5 |", ""]


def test_deleting_letter_by_letter_leaves_the_whole_text_in_the_list(drafts):
    desk = Desk(drafts, at_once=True)
    desk.type(LONG)
    for end in range(1, len(LONG) + 1):
        desk.type(LONG[:-end])
    kept = texts(drafts)
    assert kept[0] == ""
    assert max(kept, key=len) == LONG[: len(LONG) - FEW]
    assert min(lost(LONG, text) for text in kept) <= FEW


@given(st.text("abc ", max_size=30), st.text("abc ", max_size=30))
def test_what_is_lost_of_a_text_is_what_stands_between_its_beginning_and_its_end(full, text):
    gone = lost(full, text)
    assert 0 <= gone <= len(full)
    assert (gone == 0) == any(
        full == text[:at] + text[at + len(text) - len(full) :]
        for at in range(len(full) + 1)
        if len(text) >= len(full)
    )


def test_what_cannot_be_written_is_told_stays_and_is_tried_again(drafts, monkeypatch):
    monkeypatch.setattr(module, "AGAIN", 0.05)
    desk = Desk(drafts)

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as disk:
        disk.setattr(Drafts, "begin", full)
        desk.type(LONG)
        assert desk.failed.wait(20)
        assert not desk.keeper.is_written
        with pytest.raises(OSError, match="No space"):
            desk.keeper.write()
    assert desk.wrote.wait(20)
    assert texts(drafts) == [LONG, ""]


def test_of_a_word_that_breaks_off_half_written_nothing_is_kept(drafts, monkeypatch):
    desk = Desk(drafts, at_once=True)
    desk.type(LONG)
    opened = desk.keeper.opened

    def full(*_: object) -> None:
        raise TheoryError("the disk is full")

    with monkeypatch.context() as broken:
        broken.setattr(drafts, "leave", full)
        desk.type("")
        assert desk.why
    assert (texts(drafts), desk.keeper.opened) == ([LONG, ""], opened)
    write_all()
    assert texts(drafts) == ["", LONG, ""]


def test_a_cell_that_is_run_again_finds_the_last_word_of_the_desk_before(drafts, monkeypatch):
    monkeypatch.setattr(module, "QUIET", 1000.0)
    monkeypatch.setattr(module, "LONGEST", 1000.0)
    desk = Desk(drafts)
    desk.type(LONG)
    assert drafts.works("line") == ()
    write_all()
    assert texts(drafts) == [LONG, ""]


def test_what_is_too_long_is_told_and_the_last_that_was_kept_stays(drafts):
    desk = Desk(drafts, at_once=True)
    desk.type(LONG)
    desk.type("x" * 2_000_000)
    assert isinstance(desk.why[-1], TheoryError)
    assert texts(drafts)[0] == LONG


LAST_WORD = """
from pathlib import Path
import sys
from theorykit.study.drafts import Drafts
from theorykit.widgets.works.keeper import Keeper

keeper = Keeper(
    Drafts(Path(sys.argv[1])), "here", "line", print, print, forks=True, at_once=False
)
keeper.open(None, {"text": ""}, {})
keeper.hear("t", {"text": "the last word"}, {})
"""


def test_the_last_word_is_written_when_the_process_ends(drafts):
    subprocess.run([sys.executable, "-c", LAST_WORD, str(drafts.path)], check=True)
    assert texts(drafts) == ["the last word", ""]
