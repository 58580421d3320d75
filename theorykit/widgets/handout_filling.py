"""Filling a block: the form of its kind, typed or taken over from somewhere else."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as ipw

from theorykit.handout.block import Block
from theorykit.handout.handout import Handout
from theorykit.handout.kinds import KINDS
from theorykit.widgets.block_form import FRONT, Form
from theorykit.widgets.controls import choice, guarded, panel, picture
from theorykit.widgets.fields import button, discard, unwatched
from theorykit.widgets.handout_sources import Desks, Sources

__all__ = ["Filling"]

OF_ITS_OWN = ("heading", "margin")  # entries that belong to one block, whatever its kind


class Filling(ipw.VBox):
    """A list of kinds, the form of one, buttons, and what a form can be filled from.

    ``take_up`` is given what the form says and whether it is a new block; ``changed`` follows every
    change of a field; ``front`` returns the handout whose title and note are filled in.
    """

    def __init__(
        self,
        take_up: Callable[[Any, bool], None],
        changed: Callable[[object], None],
        front: Callable[[], Handout],
        book: str,
        desks: Desks,
    ) -> None:
        self._take_up, self._changed, self._front = take_up, changed, front
        self.kind = choice("kind of block", [*KINDS, FRONT], "colour")
        self.form, self.holder = Form("colour"), ipw.VBox()
        where = "after the chosen block, or at the end"
        self.add = button("add as a new block", lambda _: self._put(new=True), where)
        self.change = button("change the chosen block", lambda _: self._put(new=False))
        self.sources = Sources(desks, book, self._taken)
        self.problem = picture()
        pressed = panel(self.add, self.change)
        super().__init__([self.kind, self.holder, self.problem, pressed, self.sources])
        self.kind.observe(self._new_kind, "value")

    @property
    def typed(self) -> dict[str, Any]:
        """What stands in the form, to be kept."""
        return {"kind": self.form.kind, "values": self.form.values}

    def restore(self, kept: object) -> None:
        """Put back what was typed into a form and not taken up yet."""
        if isinstance(kept, dict) and kept.get("kind") in self.kind.options:
            with unwatched(self._new_kind, self.kind):
                self.kind.value = kept["kind"]
            self.form = Form(kept["kind"])
            if isinstance(kept.get("values"), dict):
                self.form.fill(kept["values"])
        self._open(self.form)

    def fill(self, kind: str, block: Any) -> None:
        """Open the form of a kind with what a block says."""
        with unwatched(self._new_kind, self.kind):
            self.kind.value = kind
        self._open(Form(kind, block))
        self._changed(None)

    def _taken(self, block: Block) -> None:
        """Open the form with a block that was taken over; it is added when that is pressed."""
        self.fill(block.kind, block)

    def _open(self, form: Form) -> None:
        """Put a form in the place of the one before."""
        old, self.form = self.holder.children, form
        form.watch(self._changed)
        self.holder.children = [form]
        for one in old:
            discard(one)

    def _new_kind(self, _: object) -> None:
        """Another kind of block: its form, with what the two kinds have in common."""
        kind, before = self.kind.value, self.form
        form = Form(kind, self._front() if kind == FRONT else None)
        if FRONT not in (kind, before.kind):
            form.fill({n: text for n, text in before.values.items() if n not in OF_ITS_OWN})
        self._open(form)
        self._changed(_)

    def _put(self, *, new: bool) -> None:
        """Take up what the form says; what is wrong is said, and the form stays as it is."""
        guarded(self.problem, lambda: self._take_up(self.form.read(), new))
