"""My work: the own tunes, lines or handouts in a list, begun, copied, and brought back."""

from __future__ import annotations

import time
from os import PathLike

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.show.html_text import sentences_html
from theorykit.study.drafts import Data, Opened, State, Work
from theorykit.widgets.controls import answer, button, choice, guarded, offer, panel, picture, put
from theorykit.widgets.works.kept_work import EXAMPLE, Hands, KeptWork
from theorykit.widgets.works.own_folder import folder_of, works_changed

CELL, NEW = 0, -1  # in the list: what the cell gives, and a new one that nothing was typed into
LONGEST = 60  # characters of a title, and of the end of a text
WIDE = "460px"
EMPTY_DESK = "an empty desk"
NO_STATE = ("none yet", 0)
NOT_WRITTEN = "It is kept on this computer, but not in the folder of your works."


class MyWork(KeptWork):
    """A list of own works of one ``kind`` beside a field, and the way back to every state.

    ``empty`` is what a new one begins with. ``hands.read()`` has what is typed as ``"text"``.
    """

    forks = True

    def __init__(
        self,
        kind: str,
        place: str,
        hands: Hands,
        empty: Data,
        path: str | PathLike[str] | None = None,
    ) -> None:
        self._empty = empty
        self._is_new = False
        self._called: tuple[int | None, str] = (None, "")  # the work on the desk, and its title
        self._is_called_anew = False  # its title has changed, and its file has the old one yet
        self.news = ""  # what is said of the work instead, until another state is on the desk
        self.list = choice(f"my {kind}s", [(EXAMPLE, CELL)], CELL, width=WIDE)
        self.new = button(f"new {kind}", self._begin_new, "the one on the desk stays in the list")
        self.copy = button("a copy of it", self._copy, "to change it and keep both")
        self.look = button("earlier states", self._look_back, "every state that was here before")
        self.out = button("take out", self._ask, "take it out of the list; the shelf has it still")
        self.earlier = choice("earlier", [NO_STATE], 0, width="620px")
        self.bring = button(
            "bring it back", self._bring, "what is on the desk stays, one undo away"
        )
        self.done = button("close", self._close)
        self.question = picture()
        self.yes = button("yes, take it out", self._take_out)
        self.no = button("no, keep it", self._close)
        super().__init__(kind, place, hands, path)
        self.list.observe(self._chosen, "value")

    def begin(self, given: Data | None = None) -> None:
        """Take in what has come into the folder of works, then show what was kept here."""
        guarded(self.problem, lambda: self._alike(renames=True))
        super().begin(given)
        self._called = self._now_called

    def _wrote(self, is_newer: bool) -> None:
        """Say what has become of what was written, and write it into the folder of works."""
        super()._wrote(is_newer)
        self._follow()

    def _open(self, opened: Opened | None) -> None:
        """Put a work on the page: what was said of the one before is no news of it."""
        self.news = ""
        super()._open(opened)

    def _follow(self) -> None:
        """Let the folder of works and the lists of other pages follow.

        A title that is being typed names no file yet. What is kept after it does, with the title as
        it is then.
        """
        now, before = self._now_called, self._called
        is_typed = now[0] == before[0] and now != before
        renames = self._is_called_anew and not is_typed
        self._called, self._is_called_anew = now, is_typed
        guarded(self.saved, lambda: self._alike(renames=renames), stays=NOT_WRITTEN)
        works_changed(self.kind)

    @property
    def _now_called(self) -> tuple[int | None, str]:
        """The work that is on the desk, and its title."""
        opened = self.keeper.opened
        return (
            (None, "") if opened is None else (opened.work, self._hands.titled(opened.state.data))
        )

    def settle(self) -> None:
        """Keep what is on the desk now, and its file under its title, or raise."""
        self.write()
        if self._is_called_anew:
            self._follow()

    def _step(self, by: int) -> None:
        """Go to the state before or after; files and lists follow."""
        super()._step(by)
        self._follow()

    def _alike(self, *, renames: bool = False) -> None:
        """Make the works and their files alike, where there is a folder of works."""
        folder = folder_of(self.kind, self.drafts, self._hands.titled)
        told = folder.agree(renames=renames) if folder is not None else ()
        if told and not self.is_showing:
            self._tell(" ".join(told))

    def has(self, work: object) -> bool:
        """Tell whether a work is on the desk."""
        return self.keeper.opened is not None and self.keeper.opened.work == work

    def look_again(self) -> None:
        """Look again at the list and at the work on the desk: the shelf may have changed them.

        What is half typed here stays; it becomes a work of its own when it is written.
        """
        opened = self.keeper.opened
        if opened is not None and self.keeper.is_written:
            now = self.drafts.opened(opened.work)
            if now.revision != opened.revision:
                self.put_on(now)
                return
        self._tell()

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        self.told.layout.flex = "1 1 300px"
        row = panel(
            *(self.list, self.new, self.copy, self.undo, self.redo, self.look, self.out, self.told)
        )
        self.states = panel(self.earlier, self.bring, self.done)
        self.asked = panel(self.question, self.yes, self.no)
        self._hide()
        return [row, self.states, self.asked, self.problem, self.saved]

    def _hide(self) -> None:
        """Take the earlier states and the question away."""
        self.states.layout.display = self.asked.layout.display = "none"

    # What is said.

    @property
    def _given_called(self) -> str:
        """What the cell gives, as a reader calls it."""
        is_empty = self.given.get("text", "") in ("", self._empty.get("text"))
        return EMPTY_DESK if is_empty else EXAMPLE

    @property
    def _words_given(self) -> str:
        """What is said of what the cell gives, or of a new one."""
        if self._is_new:
            return f"A new {self.kind}. It stands in the list as soon as you type."
        return f"This is {self._given_called}. What you type is kept as a {self.kind} of your own."

    @property
    def _standing(self) -> str:
        """What is to be said as long as nothing happens."""
        if self.keeper.opened is None:
            return self._words_given
        return self.news or f"This is your own {self.kind}, as you left it."

    @property
    def _both_kept(self) -> str:
        """What is said where another desk has changed the work meanwhile: both are in the list."""
        return (
            f"Another desk or notebook has changed this {self.kind} since you opened it. Both are "
            f"kept: you see yours, now a {self.kind} of its own; the other is in the list, too."
        )

    def _tell(self, words: str | None = None) -> None:
        """Say what is shown; list and buttons follow."""
        super()._tell(words)
        opened = self.keeper.opened
        self.copy.disabled = self.look.disabled = self.out.disabled = opened is None
        works = self.drafts.works(self.kind)
        rows = [(self._given_called, CELL), *_rows(works)]
        now = CELL if opened is None else opened.work
        if opened is None and self._is_new:
            rows, now = [(f"a new {self.kind}", NEW), *rows], NEW
        offer(self.list, rows, now, self._chosen)

    # The list.

    @answer
    def _chosen(self, _: object) -> None:
        """A row was chosen: its work comes on the desk."""
        if not guarded(self.problem, self._exchange):
            self._tell()

    def _exchange(self) -> None:
        """Put the chosen work on the desk; what was there is written first."""
        number = self.list.value
        if number == NEW:
            return
        self.put_on(None if number == CELL else self.drafts.opened(number))

    def put_on(self, opened: Opened | None, words: str | None = None) -> None:
        """Put a work on the desk, or what the cell gives."""
        self.settle()
        opened = self.drafts.opened(opened.work) if opened is not None else None
        self._is_new = False
        self._hide()
        self._open(opened)
        self._called = self._now_called
        self.keeper.leave()
        self._tell(words)

    def take(self, data: Data, words: str) -> None:
        """Begin a work of its own with what came to the desk, and say so."""
        self.settle()
        self.put_on(self.drafts.begin(self.kind, self._hands.titled(data), data), words)
        self._follow()

    @answer
    def _begin_new(self, _: object) -> None:
        """An empty desk."""
        guarded(self.problem, self._clear)

    def _clear(self) -> None:
        """Begin a new work; it is in the list when something is typed."""
        self.settle()
        self._hide()
        self._is_new, self.news = True, ""
        self._show(self._empty)
        self.keeper.open(None, self._hands.read(), self._setting)
        self._tell()

    @answer
    def _copy(self, _: object) -> None:
        """A copy of what is on the desk."""
        guarded(self.problem, self._double)

    def _double(self) -> None:
        """Begin a work with the same state."""
        if self.keeper.opened is None:
            raise TheoryError(f"no {self.kind} of your own is on the desk (want one of the list)")
        words = f"This is a copy. The {self.kind} that it was made of is in the list."
        self.take(self._hands.read(), words)

    # Earlier states.

    @answer
    def _look_back(self, _: object) -> None:
        """List every state, the newest first."""
        guarded(self.problem, self._list_states)

    def _list_states(self) -> None:
        """Fill the list of states."""
        self.write()
        opened = self.keeper.opened
        states = () if opened is None else self.drafts.states(opened.work)
        others = [one for one in states if opened and one.number != opened.state.number]
        rows = [(_label(one), one.number) for one in others] or [NO_STATE]
        self.earlier.options = rows
        self.earlier.value = rows[0][1]
        self.bring.disabled = not others
        self._hide()
        self.states.layout.display = "flex"

    @answer
    def _bring(self, _: object) -> None:
        """Bring the chosen state back."""
        guarded(self.problem, self._bring_back)

    def _bring_back(self) -> None:
        """Put a state on the desk as the newest one."""
        self.write()
        opened = self.keeper.opened
        states = () if opened is None else self.drafts.states(opened.work)
        found = [one for one in states if one.number == self.earlier.value]
        if opened is None or not found:
            raise TheoryError("no earlier state is chosen (want one of the list)")
        data = found[0].data
        saved = self.drafts.save(opened, self._hands.titled(data), data, fresh=True)
        self._open(saved)
        self._list_states()
        self._follow()
        self._tell(f"Brought back: {_label(found[0])}.")

    # Taking out.

    @answer
    def _ask(self, _: object) -> None:
        """Ask before a work is lost."""
        if self.keeper.opened is not None:
            title = self._hands.titled(self._hands.read())
            words = f"Take {title} out of your list? The shelf can bring it back."
            put(self.question, sentences_html("", words))
            self._hide()
            self.asked.layout.display = "flex"

    @answer
    def _take_out(self, _: object) -> None:
        """Take the work out; the desk then shows what the cell gives."""
        guarded(self.problem, self._drop)

    def _drop(self) -> None:
        """Take it out."""
        self.write()
        opened = self.keeper.opened
        if opened is not None:
            self.drafts.put_aside(opened.work)
            self._hide()
            self._open(None)
            self.keeper.last = None
            self.keeper.leave()
            self._tell()
            self._follow()

    @answer
    def _close(self, _: object) -> None:
        """Close what was opened below the list."""
        self._hide()


def _rows(works: tuple[Work, ...]) -> list[tuple[str, int]]:
    """Return the rows of a list; works of one title on one day are numbered as they were begun."""
    count: dict[str, int] = {}
    labels: dict[int, str] = {}
    for work in sorted(works, key=lambda one: one.number):
        label = f"{work.title[:LONGEST]}, {_day(work.changed)}"
        count[label] = count.get(label, 0) + 1
        labels[work.number] = label if count[label] == 1 else f"{label} ({count[label]})"
    return [(labels[work.number], work.number) for work in works]


def _label(state: State) -> str:
    """Return what a state is called in a list: when it was left, and how its text ends."""
    when = time.strftime("%H:%M:%S", time.localtime(state.changed))
    text = " ".join(str(state.data.get("text", "")).split())
    end = text if len(text) <= LONGEST else f"... {text[-LONGEST:]}"
    return f"{_day(state.changed)}, {when}: {end or 'empty'}"


def _day(seconds: float) -> str:
    """Return the day of a time, such as 29 Nov 2026."""
    return time.strftime("%d %b %Y", time.localtime(seconds)).lstrip("0")
