"""Filling a block: the form of its kind, for the block that is chosen or for a new one."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any, Protocol

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.handout.block import Block
from theorykit.handout.handout import Handout
from theorykit.handout.kinds import KINDS, entries
from theorykit.show.text import sentences_html
from theorykit.widgets.block_form import FRONT, Form
from theorykit.widgets.controls import choice, guarded, panel, picture, put
from theorykit.widgets.fields import button, discard, unwatched
from theorykit.widgets.handout_sources import Desks, Sources

__all__ = ["Filling", "Page"]

OF_ITS_OWN = ("heading", "margin")  # entries that belong to one block, whatever its kind
CHOSEN = "What you change here changes the handout."
NEW = "A new block: it is not in the handout before you add it."


class Page(Protocol):
    """What a form is filled for: the handout on the desk."""

    handout: Handout

    def put(self, made: Any) -> None:
        """Put a changed block, or title and note, in the place of the chosen ones."""

    def add(self, made: Any) -> None:
        """Add a new block."""

    def choose(self, place: int | None) -> None:
        """Choose a block by its number from 0, title and note as -1, or none."""

    def keep(self) -> None:
        """Keep what is typed."""


class Filling(ipw.VBox):
    """A list of kinds, the form of one, buttons, and what a form can be filled from.

    ``chosen`` is the block of the handout that the form stands for, None for a new one. A form of
    a chosen block changes it as soon as it can be read; what cannot be read, and a new block that
    is left for another, is there again when the reader comes back.
    """

    def __init__(self, page: Page, book: str, desks: Desks) -> None:
        self._page = page
        self.chosen: Any = None
        self._unfinished: dict[Hashable, dict[str, str]] = {}
        self.kind = choice("kind of block", [*KINDS, FRONT], "colour")
        self.form, self.holder = Form("colour"), ipw.VBox()
        where = "after the block chosen last, or at the end"
        self.add = button("add to the handout", lambda _: self._add(), where)
        self.fresh = button("begin a new block", lambda _: self.begin(self.kind.value))
        self.sources = Sources(desks, book, self._taken)
        self.told, self.problem = picture(), picture()
        pressed = panel(self.add, self.fresh)
        parts = [self.kind, self.told, self.holder, self.problem, pressed, self.sources]
        super().__init__(parts)
        self.kind.observe(self._new_kind, "value")
        self._open(self.form, None)

    @property
    def typed(self) -> dict[str, Any]:
        """What stands in the form, to be kept."""
        return {"kind": self.form.kind, "values": self.form.values, "new": self.chosen is None}

    def restore(self, kept: object) -> None:
        """Put back what was typed into a form and not taken up yet."""
        if not isinstance(kept, dict) or kept.get("kind") not in self.kind.options:
            return
        values = kept.get("values")
        if kept.get("new", True):
            self.begin(kept["kind"])
        if isinstance(values, dict) and kept["kind"] == self.form.kind:
            self.form.fill(values)

    def show(self, kind: str, one: Any) -> None:
        """Open the form of the chosen block, as it was left."""
        self._leave()
        self._open(Form(kind, one), one)
        left = self._unfinished.pop(one, None)
        if left is not None:
            self.form.fill(left)

    def begin(self, kind: str, block: Block | None = None) -> None:
        """Open a form for a new block of a kind: empty, as it was left, or as another one is."""
        if kind == FRONT:
            self._page.choose(-1)
            return
        self._leave()
        self._open(Form(kind, block), None)
        if block is None:
            self.form.fill(self._unfinished.pop(kind, {}))
        self._page.choose(None)
        self._page.keep()

    def _taken(self, block: Block) -> None:
        """Open a form with a block that was taken over."""
        self.begin(block.kind, block)

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
        if not self.is_taken_up:
            key = self.form.kind if self.chosen is None else self.chosen
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

    def _open(self, form: Form, chosen: Any) -> None:
        """Put a form in the place of the one before."""
        old, self.form, self.chosen = self.holder.children, form, chosen
        with unwatched(self._new_kind, self.kind):
            self.kind.value = form.kind
        self.add.disabled = form.kind == FRONT
        put(self.problem, "")
        put(self.told, sentences_html("", NEW if chosen is None else CHOSEN))
        form.watch(self._changed)
        self.holder.children = [form]
        for one in old:
            discard(one)

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
            self._page.add(self.form.read())
            self._unfinished.pop(kind, None)
            self.sources.clear()
            self._open(Form(kind), None)
            self._page.keep()

        guarded(self.problem, act)


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
