"""Choices at one place: there again tomorrow, one step back, or as the example has them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from os import PathLike
from pathlib import Path
from typing import Any

import ipywidgets as ipw
from traitlets import TraitError

from theorykit.errors import TheoryError, expect, expect_path
from theorykit.show.html_text import sentences_html
from theorykit.study.drafts import Data, Drafts, Opened
from theorykit.widgets.controls import (
    answer,
    button,
    guarded,
    in_notebook,
    panel,
    picture,
    put,
    watch,
)
from theorykit.widgets.faults import Page, afterwards
from theorykit.widgets.reader_files import own_drafts
from theorykit.widgets.works.keeper import Keeper, write_all

NOT_KEPT = "What you typed stands on the page, but is not kept; it is tried again."
NOT_TOLD = "Whether it is kept or is not kept cannot be told here; the next change tells it."
GIVEN = "This is the example. What you change is kept."
YOURS = "This is yours, as you left it."
BOTH_HERE = (
    "Another desk or notebook has changed this since you opened it. Both are kept: you see yours, "
    "and the other is one step back (undo)."
)
EXAMPLE = "the example"
REPLACE = "replace"  # a tick that is meant for one press, and not for tomorrow


@dataclass(frozen=True, slots=True)
class Hands:
    """How a page hands its work over: ``read`` returns it, ``show`` puts another one on the page.

    ``titled`` names a work. ``setting`` are the controls that stay set whatever work is there.
    """

    read: Callable[[], Data]
    show: Callable[[Data], None]
    titled: Callable[[Data], str] = str
    setting: Mapping[str, Any] = field(default_factory=dict)


def place_of(kind: str, draft: str, given: Data) -> str:
    """Return the place of a page: its ``draft`` by name, or else what its cell gives it.

    >>> place_of("explorer", "Ida", {}), place_of("explorer", "", {"key": "F"})[:10]
    ('explorer Ida', 'explorer #')
    """
    if expect(draft, str, "the name of a draft", "text such as 'Ida'").strip():
        return f"{kind} {draft.strip()}"
    text = json.dumps(given, sort_keys=True)
    return f"{kind} #{hashlib.sha256(text.encode('utf-8', 'replace')).hexdigest()[:24]}"


class KeptWork(Page):
    """A line that says what is shown, and buttons: undo, redo, and back to the example.

    A page calls ``begin`` when it stands, and ``later`` in each answer that changes its work.
    """

    forks = False

    def __init__(
        self,
        kind: str,
        place: str,
        hands: Hands,
        path: str | PathLike[str] | None = None,
    ) -> None:
        self._hands, self.kind = hands, kind
        self.is_showing = True  # what is set is not the reader's doing: until the page begins
        self.told, self.problem, self.saved = picture(), picture(), picture()
        self.drafts = self._drafts(path)
        self.keeper = Keeper(
            self.drafts,
            place,
            kind if self.forks else place,
            self._wrote,
            self._failed,
            forks=self.forks,
            at_once=not in_notebook(),
        )
        self.undo = button("undo", self._undo, "one step back; nothing is lost by it")
        self.redo = button("redo", self._redo, "one step forward")
        self.example = button(
            f"back to {EXAMPLE}", self._example, "what you chose is one undo away"
        )
        super().__init__(self._parts())

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        self.told.layout.flex = "1 1 300px"
        return [panel(self.undo, self.redo, self.example, self.told), self.problem, self.saved]

    def _drafts(self, path: str | PathLike[str] | None) -> Drafts:
        """Return the drafts of the page; where they cannot be used, it goes on in memory."""
        if path is None and not in_notebook():
            return Drafts()
        try:
            return own_drafts(None if path is None else Path(expect_path(path)))
        except TheoryError as wrong:
            self._failed(wrong)
            return Drafts()

    # What was kept.

    def begin(self, given: Data | None = None) -> None:
        """Show what was kept here, or else what the cell gives; nothing is written.

        What the cell gives is on the page already, or it is told in ``given``.
        """
        self.given = self._hands.read() if given is None else given
        write_all()
        if not guarded(self.problem, self._find):
            self._open(None)
        self.is_showing = False
        watch(self._hands.setting.values(), self._set)
        self._tell()

    def _find(self) -> None:
        """Put what was kept on the page, or else what the cell gives."""
        work, setting = self.drafts.left(self.keeper.place)
        put_back(self._hands.setting, setting)
        self._open(None if work is None else self.drafts.opened(work))
        put_back(self._hands.setting, setting)  # a work may bring some of its own, such as a tempo
        self.keeper.setting = self._setting

    @property
    def _setting(self) -> Data:
        """How the page is set."""
        return told_by(self._hands.setting)

    def _open(self, opened: Opened | None) -> None:
        """Put a work on the page, or what the cell gives."""
        self._show(self.given if opened is None else opened.state.data)
        self.keeper.open(opened, self._hands.read(), self._setting)

    def _show(self, data: Data) -> None:
        """Put a state on the page without its being taken for the reader's doing."""
        before, self.is_showing = self.is_showing, True
        try:
            self._hands.show(data)
        finally:
            self.is_showing = before

    @answer
    def _set(self, _: object) -> None:
        """The page was set in another way: keep that."""
        self.later()

    def later(self) -> None:
        """Keep the work of the page when the answer that is being given has been given."""
        if not self.is_showing:
            afterwards(self.keep)

    def step_later(self) -> None:
        """Keep the work of the page as ``later`` does, as a step that can be taken back alone."""
        if not self.is_showing:
            self.keeper.part()
            self.later()

    def keep(self) -> None:
        """Keep the work of the page, soon; what goes wrong is told beside it."""
        guarded(self.problem, self._hear, stays=NOT_KEPT)

    def _hear(self) -> None:
        """Hand the work of the page over."""
        if not self.is_showing:
            data = self._hands.read()
            self.keeper.hear(self._hands.titled(data), data, self._setting)

    def write(self) -> None:
        """Keep the work of the page, now, or raise."""
        self._hear()
        self.keeper.write()

    def _wrote(self, is_newer: bool) -> None:
        """Say what has become of what was written; another desk's newer work is told."""

        def say() -> None:
            put(self.saved, "")
            self._tell()
            if is_newer:
                put(self.told, sentences_html(self._both_kept))

        guarded(self.saved, say, stays=NOT_TOLD)

    @property
    def _both_kept(self) -> str:
        """What is said where another desk has changed the work meanwhile."""
        return BOTH_HERE

    @property
    def _standing(self) -> str:
        """What is to be said as long as nothing happens."""
        return YOURS if self.keeper.opened is not None else self._words_given

    @property
    def _words_given(self) -> str:
        """What is said of what the cell gives."""
        return GIVEN

    def _tell(self, words: str | None = None) -> None:
        """Say what is shown, and let the buttons follow."""
        opened = self.keeper.opened
        self.undo.disabled = opened is None or not opened.before
        self.redo.disabled = opened is None or not opened.after
        put(self.told, sentences_html("", self._standing if words is None else words))

    def _failed(self, wrong: Exception) -> None:
        """Say why something is not kept."""

        def again() -> None:
            raise wrong

        guarded(self.saved, again, stays=NOT_KEPT)

    # Buttons.

    @answer
    def _undo(self, _: object) -> None:
        """One step back."""
        guarded(self.problem, lambda: self._step(-1))

    @answer
    def _redo(self, _: object) -> None:
        """One step forward."""
        guarded(self.problem, lambda: self._step(1))

    def _step(self, by: int) -> None:
        """Go to the state before or after."""
        self.write()
        if self.keeper.opened is not None:
            self._open(self.drafts.step(self.keeper.opened, by))
            self._tell()

    @answer
    def _example(self, _: object) -> None:
        """What the cell gives: one more step, which can be taken back."""
        guarded(self.problem, self._show_given)

    def _show_given(self) -> None:
        """Show what the cell gives."""
        self.write()
        self._show(self.given)
        self.keep()
        self._tell(GIVEN)


# === Controls as plain data ===


_FIELDS = (ipw.Text, ipw.Textarea, ipw.Dropdown, ipw.Checkbox, ipw.FloatSlider, ipw.BoundedIntText)


def by_label(*parts: ipw.Box) -> dict[str, Any]:
    """Return the fields, lists, sliders and ticks that are attributes of parts of a page."""
    found = [
        (f"{type(part).__name__} {name}", control)
        for part in parts
        for name, control in vars(part).items()
        if isinstance(control, _FIELDS) and name != REPLACE
    ]
    return dict(found)


def told_by(controls: Mapping[str, Any]) -> Data:
    """Return what controls say, by name: plain values, or the label of what is chosen."""
    return {name: _plain(control) for name, control in controls.items()}


def _plain(control: Any) -> Any:
    """Return what one control says."""
    value = control.value
    return value if isinstance(value, str | int | float | None) else control.label


def put_back(controls: Mapping[str, Any], kept: Mapping[str, Any]) -> None:
    """Set controls to what they said; what a list does not offer any more is left."""
    for name, control in controls.items():
        if name in kept:
            with suppress(TraitError, TypeError, ValueError):
                _set(control, kept[name])


def _set(control: Any, value: Any) -> None:
    """Set one control by its value or its label."""
    options = getattr(control, "_options_full", None)
    if options is None:
        control.value = value
        return
    for label, offered in options:
        if offered == value or label == value:
            control.value = offered
            return
