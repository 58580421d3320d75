"""Work beside the page: it can be stopped, it ends by itself, and the page answers meanwhile."""

from __future__ import annotations

import time
from threading import Event

import pytest
from uploads import uploaded

from theorykit.errors import TheoryError
from theorykit.widgets.controls import guarded, picture
from theorykit.widgets.reader_files import FileOpening
from theorykit.widgets.side_work import TOO_LONG, SideWork

LONG = 30.0  # seconds, in which a test that hangs fails


def for_ever(begun: Event) -> None:
    """Work that does not end, and that takes every fault for its own, as some libraries do."""
    while True:
        begun.set()
        try:
            time.sleep(0.001)
        except Exception:
            continue


def worked(find, take=None, longest=LONG):
    """A piece of work, and what is told of it."""
    told: list[object] = []
    ended = Event()
    work = SideWork(find, take or told.append, told.append, told.append, ended.set, longest)
    work.begin()
    return work, told, ended


def test_what_is_found_is_taken():
    work, told, ended = worked(lambda: 7)
    work.wait()
    assert (told, ended.is_set()) == ([7], True)


def test_a_fault_is_handed_on():
    work, told, _ = worked(lambda: [][0])
    work.wait()
    assert isinstance(told[0], IndexError)


def test_work_without_end_is_stopped_by_the_reader():
    begun = Event()
    work, told, ended = worked(lambda: for_ever(begun))
    assert begun.wait(LONG)
    work.stop()
    assert ended.wait(LONG)
    assert told == ["Stopped; nothing was changed."]


def test_work_without_end_is_stopped_by_the_clock():
    _, told, ended = worked(lambda: for_ever(Event()), longest=0.05)
    assert ended.wait(LONG)
    assert told == [TOO_LONG.format(0.05)]


def test_what_is_being_taken_is_not_stopped():
    begun, going = Event(), Event()
    taken: list[object] = []

    def take(found: object) -> None:
        begun.set()
        assert going.wait(LONG)
        taken.append(found)

    work, told, ended = worked(lambda: 7, take)
    assert begun.wait(LONG)
    work.stop()
    going.set()
    assert ended.wait(LONG)
    assert (taken, told) == ([7], [])


@pytest.fixture
def page(monkeypatch):
    """As if there were a page, which answers from other threads."""
    monkeypatch.setattr("theorykit.widgets.reader_files.in_notebook", lambda: True)


@pytest.mark.usefixtures("page")
def test_the_page_answers_while_a_file_is_read_and_stop_leaves_all_as_it_is():
    begun, taken = Event(), []
    opening = FileOpening("open", (".txt",), lambda *_: for_ever(begun), take=taken.append)
    opening.file.value = uploaded("a.txt", b"abc")
    assert begun.wait(LONG)
    answered, place = [], picture()
    guarded(place, lambda: answered.append(1))  # the lock of the page is free
    assert answered == [1]
    assert "Reading" in opening.told.value
    assert opening.stop.layout.display == ""
    opening.stop.click()
    opening.wait()
    assert "Stopped; nothing was changed." in opening.told.value
    assert opening.stop.layout.display == "none"
    assert taken == []


@pytest.mark.usefixtures("page")
def test_another_file_takes_the_place_of_the_one_in_hand():
    begun = Event()

    def read(name: str, content: bytes) -> tuple[str, ...]:
        if name == "slow.txt":
            for_ever(begun)
        return name, f"{len(content)} bytes"

    opening = FileOpening("open", (".txt",), read)
    opening.file.value = uploaded("slow.txt", b"")
    assert begun.wait(LONG)
    opening.file.value = uploaded("quick.txt", b"abc")
    opening.wait()
    assert "3 bytes" in opening.told.value


def test_what_nobody_foresaw_is_told_too():
    def read(name: str, content: bytes) -> tuple[str, ...]:
        raise ZeroDivisionError("by nought")

    opening = FileOpening("open", (".txt",), read)
    opening.file.value = uploaded("a.txt", b"abc")
    assert "(ZeroDivisionError: by nought). Nothing was changed" in opening.problem.value
    assert opening.told.value == ""


def test_what_cannot_be_put_on_the_page_is_told():
    def take(_: object) -> tuple[str, ...]:
        raise TheoryError("no room on the page")

    opening = FileOpening("open", (".txt",), lambda *_: (), take=take)
    opening.file.value = uploaded("a.txt", b"abc")
    assert "no room on the page" in opening.problem.value
