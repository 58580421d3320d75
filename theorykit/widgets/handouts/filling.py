"""Filling a block: the form of its kind, for the block that is chosen or for a new one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.handout.blocks import KINDS, Block, told_key
from theorykit.handout.entries import entries
from theorykit.handout.handout import Handout
from theorykit.show.html_text import sentences_html
from theorykit.widgets.controls import (
    answer,
    button,
    choice,
    discard,
    guarded,
    panel,
    picture,
    put,
    unwatched,
)
from theorykit.widgets.faults import Page
from theorykit.widgets.handouts.block_form import FRONT, Form
from theorykit.widgets.handouts.sources import Desks, Sources, renewed

OF_ITS_OWN = ("heading", "margin")  # entries that belong to one block, whatever its kind
CHOSEN = "What you change here changes the handout."
NEW = "A new block: it is not in the handout before you add it."
EXCHANGED = "Put in the place of block {}. Undo brings back what was there."
WAITS = (
    "Not added: a new block ({0}). It waits: choose {0} as kind of block, and begin a new block."
)


class FilledPage(Protocol):
    """What a form is filled for: the handout on the desk."""

    handout: Handout

    def put(self, made: Any) -> None:
        """Put a changed block, or title and note, in the place of the chosen ones."""

    def add(self, made: Any) -> int:
        """Add a new block; return its place from 0."""

    def choose(self, place: int | None) -> None:
        """Choose a block by its number from 0, title and note as -1, or none."""

    def keep(self) -> None:
        """Keep what is typed."""


class Filling(Page):
    """A list of kinds, the form of one, buttons, and what a form can be filled from.

    ``chosen`` is the block of the handout that the form stands for and ``place`` its number, None
    for a new one. A form of a chosen block changes it as soon as it can be read; what cannot be
    read, and a new block that is left for another, is there again when the reader comes back.
    """

    def __init__(self, page: FilledPage, book: str, desks: Desks) -> None:
        self._page = page
        self.chosen: Any = None
        self.place: int | None = None
        self._is_gone = False  # the block of the form is there no more, or is another one
        self._unfinished: dict[int | str, dict[str, str]] = {}  # by place, or by kind of a new one
        self.kind = choice("kind of block", [*KINDS, FRONT], "colour")
        self.form, self.holder = Form("colour"), ipw.VBox()
        where = "after the block chosen last, or at the end"
        self.add = button("add to the handout", lambda _: self._add(), where)
        self.fresh = button("begin a new block", self._fresh)
        self.sources = Sources(desks, book, self._taken)
        self.told, self.problem = picture(), picture()
        pressed = panel(self.add, self.fresh)
        parts = [self.kind, self.told, self.holder, self.problem, pressed, self.sources]
        super().__init__(parts)
        self.kind.observe(self._new_kind, "value")
        self._open(self.form, None, None)

    @property
    def typed(self) -> dict[str, Any]:
        """What stands in the form, and what was left half typed, to be kept."""
        return {
            "kind": self.form.kind,
            "values": self.form.values,
            "new": self.chosen is None,
            "left": [[place, fields] for place, fields in self._unfinished.items()],
        }

    def restore(self, kept: object) -> None:
        """Put back what was typed into forms and not taken up yet."""
        if not isinstance(kept, dict) or kept.get("kind") not in self.kind.options:
            return
        left, values = kept.get("left"), kept.get("values")
        if isinstance(left, list):
            self._unfinished = dict(row for row in left if _is_left(row))
        if kept.get("new", True):
            self.begin(kept["kind"])
        if isinstance(values, dict) and kept["kind"] == self.form.kind:
            self.form.fill(values)

    def show(self, kind: str, one: Any, place: int) -> None:
        """Open the form of the chosen block, as it was left."""
        self._leave()
        waits = self._waits if self.place is None else ""
        self._open(Form(kind, one), one, place, waits)
        left = self._unfinished.pop(place, None)
        if left is not None:
            self.form.fill(left)

    def follow(self, origins: Sequence[int | None]) -> None:
        """Let what was left half typed go with its block; ``origins`` are the places of before."""
        now = {old: new for new, old in enumerate(origins) if old is not None}
        if self.place is not None and self.place >= 0:
            self._is_gone = self.place not in now
            self.place = now.get(self.place, -1)
        self._unfinished = {
            place if isinstance(place, str) or place < 0 else now[place]: fields
            for place, fields in self._unfinished.items()
            if isinstance(place, str) or place < 0 or place in now
        }

    def forget(self) -> None:
        """Let go of what stands in the form: its block was changed in another way."""
        self._is_gone = True

    def clear(self) -> None:
        """Let go of all that was left half typed: another handout comes to the desk."""
        self._is_gone, self._unfinished = True, {}

    def take_up(self) -> None:
        """Put what the form of the chosen block says into a handout that can be read again."""
        if self.chosen is not None and not self.is_taken_up:
            guarded(self.problem, self._put)

    @property
    def left_out(self) -> str:
        """What stands in the form and not in the handout, in a sentence; empty for nothing."""
        if self.is_taken_up:
            return ""
        if self.place is None:
            return f"The form holds a new block that is not in the handout: {self.form.kind}."
        what = FRONT if self.place < 0 else f"block {self.place + 1}"
        return f"What the form says of {what} is not in the handout."

    def begin(self, kind: str, block: Block | None = None) -> None:
        """Open a form for a new block of a kind: empty, as it was left, or as another one is."""
        if kind == FRONT:
            self._page.choose(-1)
            return
        self._leave()
        waits = self._waits if self.place is None and block is not None else ""
        self._open(Form(kind, block), None, None, waits)
        if block is None:
            self.form.fill(self._unfinished.pop(kind, {}))
        self._page.choose(None)
        self._page.keep()

    def _taken(self, block: Block) -> None:
        """Put a block that was taken over in the place of a chosen one of its kind.

        Where none is chosen, or something half typed would be lost, open a form with it.
        """
        is_alike = self.chosen is not None and self.form.kind == block.kind
        if not is_alike or self.place is None or self._is_gone or not self.is_taken_up:
            self.begin(block.kind, block)
            return
        place = self.place
        self._page.put(renewed(self.chosen, block) or block)
        self._page.choose(place)
        put(self.told, sentences_html(EXCHANGED.format(place + 1), CHOSEN))

    @answer
    def _fresh(self, _: object) -> None:
        """A new block of the kind that is chosen."""
        self.begin(self.kind.value)

    @answer
    def _new_kind(self, _: object) -> None:
        """Another kind of block: its form as it was left, or with what both kinds have."""
        kind, before = self.kind.value, self.form
        was_left = kind in self._unfinished
        self.begin(kind)
        if not was_left and _are_alike(kind, before.kind):
            self.form.fill({n: text for n, text in before.values.items() if n not in OF_ITS_OWN})

    def _leave(self) -> None:
        """Keep what stands in a form that is not taken up."""
        put(self.told, "")
        if not self._is_gone and not self.is_taken_up:
            key = self.form.kind if self.place is None else self.place
            self._unfinished[key] = self.form.values

    @property
    def is_taken_up(self) -> bool:
        """True where the form says no more than the handout does."""
        try:
            return bool(self.form.read() == self.chosen) or self._is_empty
        except TheoryError:
            return self._is_empty

    @property
    def _is_empty(self) -> bool:
        """True for the form of a new block in which nothing was typed."""
        return self.chosen is None and self.form.values == Form(self.form.kind).values

    @property
    def _waits(self) -> str:
        """What is said of a new block that is left without being added; empty for none."""
        kind = self.form.kind
        return WAITS.format(kind) if kind in self._unfinished else ""

    def _open(self, form: Form, chosen: Any, place: int | None, waits: str = "") -> None:
        """Put a form in the place of the one before; ``waits`` is said of what stood there."""
        old, self.form = self.holder.children, form
        self.chosen, self.place, self._is_gone = chosen, place, False
        with unwatched(self._new_kind, self.kind):
            self.kind.value = form.kind
        self.add.disabled = chosen is not None
        put(self.problem, "")
        put(self.told, sentences_html(waits, NEW if chosen is None else CHOSEN))
        form.watch(self._changed)
        form.plain_key = lambda: told_key(self._page.handout.blocks)
        self.holder.children = [form]
        for one in old:
            discard(one)

    @answer
    def _changed(self, _: object) -> None:
        """A field has changed: it changes the chosen block, as soon as the form can be read."""
        if self.chosen is not None:
            guarded(self.problem, self._put)
        self._page.keep()

    def _put(self) -> None:
        """Put what the form says into the handout."""
        made = self.form.read()
        if made != self.chosen:
            before, self.chosen = self.chosen, made
            try:
                self._page.put(made)
            except TheoryError:
                self.chosen = before
                raise

    def _add(self) -> None:
        """Add what the form says; what is wrong is said, and the form stays as it is."""

        def act() -> None:
            kind = self.form.kind
            number = self._page.add(self.form.read()) + 1
            self.sources.clear()
            self._open(Form(kind), None, None)
            self.form.fill(self._unfinished.pop(kind, {}))
            put(self.told, sentences_html("", f"Added as block {number}.", NEW))
            self._page.keep()

        guarded(self.problem, act)


def _is_left(row: Any) -> bool:
    """Tell whether a row of a kept draft is a place or a kind with the fields that were left."""
    return (
        isinstance(row, list)
        and len(row) == 2
        and isinstance(row[0], int | str)
        and isinstance(row[1], dict)
    )


def _are_alike(kind: str, other: str) -> bool:
    """Tell whether two kinds of block are about the same thing, such as a line.

    >>> _are_alike("line", "line in all keys"), _are_alike("text", "plan")
    (True, False)
    """
    return bool(_needed(kind) & _needed(other))


def _needed(kind: str) -> set[str]:
    """Return the entries that a kind of block cannot do without."""
    row: Any = KINDS.get(kind, Block)
    return {one.name for one in entries(row) if one.is_needed}
