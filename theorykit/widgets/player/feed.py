"""The feed of a page: the sounds that it asks for, a few at a time, and what it may ask for next.

What is needed first is sent first, so that the page need not wait for the rest. In quiet moments
the notes around the ones that were asked for are made and kept, so that another colour or key finds
them. Whatever is asked comes before that.
"""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from time import monotonic

from theorykit.errors import TheoryError
from theorykit.show.sound import NoteStock

AT_ONCE = 0.03  # seconds of work after which what was made is sent
BREATH = 0.002  # seconds in which another question may come between
QUIET, PAUSE = 0.5, 0.02  # seconds without a question, and between two notes that nobody asked for
UNKNOWN, SLOWER = 0.1, 0.8  # seconds that a sound takes before one was made; how that is forgotten

Sound = tuple[dict[str, object], bytes]
Send = Callable[[Mapping[str, object], Sequence[bytes]], None]


class Feed:
    """What a page is sent; ``send`` takes a message and its files, ``is_open`` tells of the page.

    Without a loop that runs, as in a program, everything is sent at once and nothing is made ahead.

    >>> sent: list[bytes] = []
    >>> feed = Feed(NoteStock(), lambda told, files: sent.extend(files), lambda: True)
    >>> feed.ask(["room left", "a kazoo"], "ogg")
    >>> len(sent)
    1
    """

    def __init__(self, stock: NoteStock, send: Send, is_open: Callable[[], bool]) -> None:
        self._stock, self._send, self._is_open = stock, send, is_open
        self._names: deque[str] = deque()
        self._form, self._is_new = "", True
        self._pace = UNKNOWN
        self._likely: Iterator[str] = iter(())
        self._next: asyncio.TimerHandle | None = None

    def ask(self, names: Iterable[str], form: str) -> None:
        """Send sounds, in this order; what was still to be sent of an older question is dropped."""
        self._names, self._form, self._is_new = deque(names), form, True
        self._likely = self._stock.likely()
        self._go_on()

    def rest(self) -> None:
        """Let what nobody asked for wait until it is quiet again."""
        if self._next is not None and not self._names:
            self._later(QUIET)

    def _go_on(self) -> None:
        """Send a batch, or make one note ahead, and see to it that the next one follows."""
        if not self._names and self._is_open():
            self._make_ahead()
        while self._names and self._is_open():
            self._send(*self._batch())
            if self._later(BREATH if self._names else QUIET):
                return

    def _batch(self) -> tuple[dict[str, object], list[bytes]]:
        """Return what was made before, then sounds for about ``AT_ONCE`` seconds of work.

        With them goes how many seconds a new one takes; the page reckons with that. The first
        answer has nothing new, so that it comes at once.
        """
        found: list[Sound] = []
        begins = monotonic()
        while self._names and (not found or monotonic() < begins + AT_ONCE):
            if self._is_new and not self._stock.has(self._names[0], self._form):
                break
            made = self._made(self._names.popleft())
            found += [] if made is None else [made]
        self._is_new = False
        message = {"sounds": [told for told, _ in found], "pace": round(self._pace, 4)}
        return message, [data for _, data in found]

    def _made(self, name: str) -> Sound | None:
        """Return a sound, and look at the clock where it is a new one."""
        if self._stock.has(name, self._form):
            return self._stock.sound(name, self._form)
        begins = monotonic()
        found = self._stock.sound(name, self._form)
        self._pace = max(SLOWER * self._pace, monotonic() - begins)
        return found

    def _make_ahead(self) -> None:
        """Make one note that may be asked for next; a fault is told when somebody asks for it."""
        try:
            name = next(self._likely, None)
            if name is not None:
                self._made(name)
                self._later(PAUSE)
        except (TheoryError, OSError):
            self._likely = iter(())

    def _later(self, seconds: float) -> bool:
        """Go on after some seconds; tell whether there is a loop that will."""
        if self._next is not None:
            self._next.cancel()
            self._next = None
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return False
        self._next = loop.call_later(seconds, self._again)
        return True

    def _again(self) -> None:
        """Go on, and tell the page what goes wrong."""
        self._next = None
        try:
            self._go_on()
        except TheoryError as refusal:
            self._names.clear()
            self._send({"problem": str(refusal)}, [])
