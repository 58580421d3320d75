"""The feed of a page: what is needed first comes first, and what nobody asked for waits."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import pytest

from theorykit.show.sound import NoteStock, single_notes
from theorykit.views.explorer_view import explore
from theorykit.widgets.player import feed as feeding
from theorykit.widgets.player.feed import Feed

ROUNDS = 2000  # looks at a loop, after which a test fails that waits in vain


class Page:
    """A page that notes down what it is sent, and that may be closed."""

    def __init__(self, stock: NoteStock) -> None:
        self.sent: list[list[str]] = []
        self.paces: list[float] = []
        self.is_open = True
        self.feed = Feed(stock, self.take, lambda: self.is_open)

    def take(self, message: Any, files: Any) -> None:
        assert len(files) == len(message["sounds"])
        self.sent.append([one["name"] for one in message["sounds"]])
        self.paces.append(message["pace"])

    @property
    def names(self) -> list[str]:
        return [name for names in self.sent for name in names]


@pytest.fixture(autouse=True)
def fresh(monkeypatch: pytest.MonkeyPatch) -> None:
    """No sound has been made, and nothing waits long."""
    monkeypatch.setattr(single_notes, "_FILES", {})
    for name, seconds in (("QUIET", 0.001), ("PAUSE", 0.0), ("AT_ONCE", 0.0)):
        monkeypatch.setattr(feeding, name, seconds)


def told(key: str = "C", colour: str = "b9 13") -> tuple[NoteStock, list[str]]:
    """A stock that was told of a take, and the names in it, the drums first."""
    stock = NoteStock()
    take = explore(key, "long", colour).takes(100, 2.0)[1]
    return stock, [*stock.told(take, "flute")["names"]]  # type: ignore[misc]


async def until(is_so: Callable[[], bool]) -> None:
    for _ in range(ROUNDS):
        if is_so():
            return
        await asyncio.sleep(0.005)
    raise AssertionError("it never came")


def test_without_a_loop_all_is_sent_in_the_order_in_which_it_is_asked_for():
    stock, names = told()
    page = Page(stock)
    page.feed.ask([*reversed(names)], "ogg")
    assert page.names == [*reversed(names)]
    assert page.sent[0] == []  # the first answer makes nothing, and says how long it will take
    assert min(page.paces) > 0


def test_what_was_made_before_comes_with_the_first_answer():
    stock, names = told()
    Page(stock).feed.ask(names, "ogg")
    page = Page(stock)
    page.feed.ask(names[:1], "ogg")
    assert page.sent == [names[:1]]


def test_another_question_comes_before_what_is_left_of_the_last_one():
    stock, names = told()
    page = Page(stock)

    async def ask_twice() -> None:
        page.feed.ask(names, "ogg")
        await until(lambda: len(page.names) >= 2)
        before = len(page.names)
        page.feed.ask(names[-2:], "ogg")
        await until(lambda: len(page.names) >= before + 2)
        assert page.names[before:] == names[-2:]
        await asyncio.sleep(0.05)
        assert len(page.names) == before + 2

    asyncio.run(ask_twice())


def test_when_it_is_quiet_the_notes_around_are_made_and_another_colour_finds_them():
    stock, names = told()
    page = Page(stock)
    most = len([*stock.likely()]) + len(names)

    async def wait() -> None:
        page.feed.ask(names, "ogg")
        await until(lambda: len(single_notes._FILES) == most)

    asyncio.run(wait())
    assert page.names == names  # what nobody asked for is kept, not sent
    for colour in ("altered", "b9", "whole tone"):
        take = explore("C", "long", colour).takes(100, 2.0)[1]
        new = stock.told(take, "flute")["names"]
        assert all(stock.has(name, "ogg") for name in new)  # type: ignore[union-attr]


def test_a_page_that_is_closed_gets_nothing_made():
    stock, names = told()
    page = Page(stock)

    async def close() -> None:
        page.feed.ask(names[:2], "ogg")
        await until(lambda: len(page.names) == 2)
        page.is_open = False
        await asyncio.sleep(0.02)
        made = len(single_notes._FILES)
        await asyncio.sleep(0.05)
        assert len(single_notes._FILES) == made

    asyncio.run(close())


def test_no_more_files_are_kept_than_there_is_room_for(monkeypatch):
    monkeypatch.setattr(single_notes, "KEPT", 3)
    stock, names = told()
    Page(stock).feed.ask(names, "ogg")
    assert [name for name, _ in single_notes._FILES] == names[-3:]


def test_the_notes_named_ahead_are_bounded_and_near():
    stock, names = told("Gb")
    ahead = [*stock.likely()]
    assert 20 < len(ahead) <= single_notes.MOST_AHEAD
    assert not {*ahead} & {*names}
    assert len({*ahead}) == len(ahead)


def test_a_page_has_the_sounds_of_a_take_that_another_page_was_told_before():
    take = explore("Gb").takes(100, 2.0)[1]
    told = NoteStock().told(take, "flute")
    stock = NoteStock()
    again = stock.told(explore("Gb").takes(100, 2.0)[1], "flute")
    assert again == told
    assert again["notes"] is told["notes"]  # it was not worked out anew
    assert stock.sound(told["names"][0], "ogg") is not None
    assert [*stock.likely()]
