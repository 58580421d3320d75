"""The keeper of one desk: its last word is written after a quiet moment, at a press, at the end.

A keystroke costs no file. What was typed is written when the reader pauses, at the latest after two
seconds, before anything else takes its place, and when the kernel ends.
"""

from __future__ import annotations

import atexit
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from threading import RLock, Timer
from time import monotonic
from weakref import WeakSet

from theorykit.errors import TheoryError
from theorykit.study.drafts import Data, Drafts, Opened

QUIET, LONGEST, AGAIN = 0.4, 2.0, 5.0  # seconds: a pause, the longest wait, until the next try
STEP = 120.0  # seconds of typing that one step back takes away at most
FEW = 12  # characters that may go without a state of their own
TEXT, BESIDE = "text", "beside"  # what is typed, and what stands beside it and makes no step


@dataclass(frozen=True, slots=True)
class Word:
    """The last word of a desk: a work with its title, how the desk is set, and whether it is a step
    from what was there before.
    """

    title: str
    data: Data
    setting: Data
    is_step: bool


class Keeper:
    """What one desk keeps in ``drafts`` under its ``place``.

    ``opened`` is the work on the desk, None for what the cell shows; the first change then begins a
    work whose first state is ``base``. ``wrote`` is told whether another desk had kept newer work
    meanwhile, ``failed`` why something could not be written. Without a page to answer everything is
    written ``at_once``.
    """

    def __init__(
        self,
        drafts: Drafts,
        place: str,
        kind: str,
        wrote: Callable[[bool], None],
        failed: Callable[[Exception], None],
        *,
        forks: bool,
        at_once: bool,
    ) -> None:
        self.drafts, self.place, self.kind = drafts, place, kind
        self._wrote, self._failed = wrote, failed
        self._forks, self._at_once = forks, at_once
        self.opened: Opened | None = None
        self.base: Data = {}
        self.last: int | None = None  # the own work that was open here last
        self._word: Word | None = None
        self.setting: Data = {}  # how the desk was set when it was last written
        self._full, self._begun = "", 0.0
        self._turn = RLock()
        self._timer: Timer | None = None
        self._since = 0.0
        _KEEPERS.add(self)

    def open(self, opened: Opened | None, base: Data, setting: Data) -> None:
        """Put another work on the desk, or none; what was there before is written already."""
        with self._turn:
            self.opened, self.base, self.setting = opened, base, setting
            self.last = opened.work if opened is not None else self.last
            self._word = None
            self._full, self._begun = str(self.data.get(TEXT, "")), 0.0

    @property
    def data(self) -> Data:
        """What was on the desk when it was last looked at."""
        if self._word is not None:
            return self._word.data
        return self.base if self.opened is None else self.opened.state.data

    @property
    def is_written(self) -> bool:
        """True where nothing waits to be written."""
        return self._word is None

    def hear(self, title: str, data: Data, setting: Data) -> None:
        """Take the word of a desk; what it would put an end to is written first."""
        with self._turn:
            before = self.data
            if data == before and setting == (self._word or self).setting:
                return
            is_step = self._is_step(before, data)
            if is_step and self._word is not None and self._word.data != self._saved:
                self.tried()
            waits = self._word is not None and self._word.is_step
            self._fill(str(data.get(TEXT, "")), is_step)
            self._word = Word(title, data, setting, is_step or waits)
        if self._at_once:
            self.tried()
        else:
            self._wait()

    @property
    def _saved(self) -> Data:
        """What lies in the file."""
        return self.base if self.opened is None else self.opened.state.data

    def part(self) -> None:
        """Let the next word be a step of its own, however little it changes."""
        with self._turn:
            self._begun = 0.0

    def _is_step(self, before: Data, data: Data) -> bool:
        """Tell whether one wants to come back to what was there before."""
        if before.get(TEXT) == data.get(TEXT) and _others(before) == _others(data):
            return False
        if _others(before) != _others(data) or not self._begun:
            return True
        return monotonic() - self._begun > STEP or loses(self._full, str(data.get(TEXT, "")))

    def _fill(self, text: str, is_step: bool) -> None:
        """Remember the fullest text of the present state, and when the state was begun."""
        if is_step or not lost(self._full, text):
            self._full = text
        if is_step:
            self._begun = monotonic()

    def _wait(self) -> None:
        """Wait for a quiet moment, but not for ever."""
        with self._turn:
            now = monotonic()
            if self._timer is None:
                self._since = now
            else:
                self._timer.cancel()
            self._set_timer(min(QUIET, max(0.0, self._since + LONGEST - now)))

    def _set_timer(self, seconds: float) -> None:
        """Write after some seconds."""
        self._timer = Timer(seconds, self.tried)
        self._timer.daemon = True
        self._timer.start()

    def tried(self) -> None:
        """Write what waits; what goes wrong is told, and tried again while there is a page."""
        try:
            self.write()
        except Exception as wrong:  # a timer has nobody else to tell
            self._failed(wrong)
            with self._turn:
                if not self._at_once:
                    self._set_timer(AGAIN)

    def write(self) -> None:
        """Write what waits, or raise."""
        with self._turn:
            word, is_newer = self._word, False
            if word is None:
                return
            before = self.opened, self.last
            try:
                with self.drafts.together():  # half the work for the disk, and never half a word
                    if word.data != self._saved:
                        is_newer = self._keep(word)
                    self.drafts.leave(self.place, self.last, word.setting)
            except BaseException:
                self.opened, self.last = before
                raise
            self._word, self.setting = None, word.setting
            if self._timer is not None:
                self._timer.cancel()
                self._timer = None
        self._wrote(is_newer)

    def _keep(self, word: Word) -> bool:
        """Keep the work of a word, and tell whether another desk had kept something meanwhile."""
        before, is_newer = self.opened, False
        if before is None:
            there, _ = self.drafts.left(self.place)
            is_newer = there is not None and there != self.last
            if there is not None and is_newer and not self._forks:
                before = self.drafts.opened(there)
            else:
                before = self.drafts.begin(self.kind, word.title, self.base)
            self.opened = before
        saved = self.drafts.save(
            before, word.title, word.data, fresh=word.is_step, forks=self._forks
        )
        self.opened, self.last = saved, saved.work
        return is_newer or saved.work != before.work or saved.revision > before.revision + 1

    def leave(self) -> None:
        """Note down which work is open here now."""
        self.drafts.leave(self.place, self.last, self.setting)


_KEEPERS: WeakSet[Keeper] = WeakSet()


def write_all() -> None:
    """Write what waits on any desk of this kernel."""
    for keeper in list(_KEEPERS):
        keeper.tried()


def _at_end() -> None:
    """Write the last words; at the end there is nobody to tell."""
    for keeper in list(_KEEPERS):
        with suppress(TheoryError, OSError):
            keeper.write()


atexit.register(_at_end)


def _others(data: Data) -> Data:
    """Return what is chosen beside the text."""
    return {name: value for name, value in data.items() if name not in (TEXT, BESIDE)}


def lost(full: str, text: str) -> int:
    """Return how many characters of a text are gone in another one.

    >>> lost("| Dm7 | G7 |", "| Dm7 | G7 | C6 |"), lost("| Dm7 | G7 |", "| Dm7 |")
    (0, 5)
    """
    before = _alike(full, text)
    after = min(_alike(full[::-1], text[::-1]), min(len(full), len(text)) - before)
    return len(full) - before - after


def loses(full: str, text: str) -> bool:
    """Tell whether more of a text is gone than a slip of the finger."""
    return lost(full, text) > FEW


def _alike(one: str, other: str) -> int:
    """Return how many characters two texts begin with alike."""
    low, high = 0, min(len(one), len(other))
    while low < high:
        middle = (low + high + 1) // 2
        if one[:middle] == other[:middle]:
            low = middle
        else:
            high = middle - 1
    return low
