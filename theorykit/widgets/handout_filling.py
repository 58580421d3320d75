"""Filling a block: the form of its kind, or what comes from the explorer and the phrase book."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.handout.handout import Handout
from theorykit.handout.kinds import KINDS
from theorykit.handout.line_blocks import LineBlock
from theorykit.study.phrase import Phrase
from theorykit.widgets.block_form import FRONT, Form
from theorykit.widgets.controls import choice, guarded, panel, picture, typed
from theorykit.widgets.exploring import Explorer
from theorykit.widgets.fields import button, discard, unwatched
from theorykit.widgets.own_files import book_at, there_is_a_book

__all__ = ["Filling", "line_block"]


class Filling(ipw.VBox):
    """A list of kinds, the form of one, and buttons.

    ``take_up`` is given what the form says and whether it is a new block; ``changed`` follows every
    change of a field; ``front`` returns the handout whose title and note are filled in.
    """

    def __init__(
        self,
        take_up: Callable[[Any, bool], None],
        changed: Callable[[object], None],
        front: Callable[[], Handout],
        book: str,
        explorer: Explorer | None,
    ) -> None:
        self._take_up, self._changed, self._front = take_up, changed, front
        self.explorer = explorer
        self.kind = choice("kind of block", [*KINDS, FRONT], "colour")
        self.form, self.holder = Form("colour"), ipw.VBox()
        self.add = button("add as a new block", lambda _: self._put(new=True))
        self.change = button("change the chosen block", lambda _: self._put(new=False))
        self.take = button("take the colour of the explorer", lambda _: self.take_colour())
        self.book = typed("phrase book", book, "the file of the book")
        self.phrase = typed("phrase", "", "the name of a phrase in the book")
        self.take_line = button("take the phrase", lambda _: self.take_phrase())
        self.problem = picture()
        super().__init__(self._parts())
        self.kind.observe(self._new_kind, "value")

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        pressed = panel(self.add, self.change)
        taken = [self.take] if self.explorer is not None else []
        book = panel(self.book, self.phrase, self.take_line)
        return [self.kind, self.holder, self.problem, pressed, *taken, book]

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

    def _open(self, form: Form) -> None:
        """Put a form in the place of the one before."""
        old, self.form = self.holder.children, form
        form.watch(self._changed)
        self.holder.children = [form]
        for one in old:
            discard(one)

    def _new_kind(self, _: object) -> None:
        """Another kind of block: an empty form for it."""
        kind = self.kind.value
        self._open(Form(kind, self._front() if kind == FRONT else None))
        self._changed(_)

    def _put(self, *, new: bool) -> None:
        """Take up what the form says; what is wrong is said, and the form stays as it is."""
        guarded(self.problem, lambda: self._take_up(self.form.read(), new))

    def take_colour(self) -> None:
        """Open the form of a colour with the choice of the explorer."""
        if self.explorer is not None:
            form = Form("colour")
            names = ("key", "colour", "form", "spelling")
            values = {name: getattr(self.explorer, name).value for name in names}
            form.fill(values | {"key": values["key"].removesuffix(" major")})
            self.fill("colour", form.read())

    def take_phrase(self) -> None:
        """Open the form of a line with a phrase of the book."""
        guarded(self.problem, self._take_phrase)

    def _take_phrase(self) -> None:
        """Look the phrase up."""
        if not there_is_a_book(self.book.value):
            raise TheoryError("there is no phrase book of this name (want the file of one)")
        self.fill("line", line_block(book_at(self.book.value).phrase(self.phrase.value.strip())))


def line_block(phrase: Phrase) -> LineBlock:
    """Return a phrase as a block of a handout."""
    over = phrase.line.progression
    key = str(phrase.key).removesuffix(" major")
    changes = "" if phrase.form else str(over)
    return LineBlock(
        line=str(phrase.line),
        key=key,
        form=phrase.form or "long",
        changes=changes,
        colour=phrase.colour,
        heading=phrase.name,
    )
