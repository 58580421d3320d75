"""The table of tensions: every set of them over V, to be filtered and sorted."""

from __future__ import annotations

from os import PathLike
from typing import Any

import ipywidgets as ipw

from theorykit.harmony.subsets import SIX_TENSIONS
from theorykit.notes.degree import Degree
from theorykit.notes.key import KEYS, Key
from theorykit.show.html_text import sentences_html, wide_table_html
from theorykit.views.tension_table import (
    ANY_SHAPE,
    ROWS,
    SHAPE_NAMES,
    SORTS,
    TensionTable,
    tension_table,
)
from theorykit.widgets.controls import (
    answer,
    choice,
    guarded,
    keep_keys,
    panel,
    picture,
    put,
    readers,
    unwatched,
)
from theorykit.widgets.faults import Page
from theorykit.widgets.works import Hands, KeptWork, place_of, put_back, told_by

__all__ = ["SubsetTable", "subset_table"]

EITHER, WITH, WITHOUT = WISHES = ("either way", "with it", "without it")
WIDE = "460px"  # the longest wish is not cut
NARROW = {"width": "160px", "label_width": "44px"}  # six in a row


class SubsetTable(Page):
    """The table as a widget; its controls are attributes, ``tensions`` one for each tension.

    >>> box = SubsetTable("Eb")
    >>> box.tensions[0].value = box.tensions[3].value = "with it"
    >>> [row.pretty for row in box.view.rows][:2]
    ['♭9 ♯11', '♭9 9 ♯11']
    """

    def __init__(
        self,
        key: str = "C major",
        *,
        draft: str = "",
        path: str | PathLike[str] | None = None,
    ) -> None:
        home = str(Key.parse(key))
        self.view: TensionTable = tension_table(home)
        self.key = choice("key", [(k.pretty, str(k)) for k in KEYS], home)
        self.sort = choice("order", list(SORTS), next(iter(SORTS)))
        self.shape = choice("shape", [ANY_SHAPE, *SHAPE_NAMES], ANY_SHAPE)
        self.rows = choice("rows", ROWS, ROWS[0], width=WIDE)
        self.reader = readers()
        self.tensions = [choice(degree.pretty, WISHES, EITHER, **NARROW) for degree in SIX_TENSIONS]
        self.problem, self.told, self.table = picture(), picture(), picture()
        chosen = [self.key, self.sort, self.shape, self.rows, self.reader]
        controls = [*chosen, *self.tensions]
        above = [panel(*controls[: -len(SIX_TENSIONS)]), panel(*self.tensions)]
        place = place_of("tensions", draft, {"key": home})
        hands = Hands(lambda: told_by(self._chosen), self._bring, setting={"for": self.reader})
        self.mine = KeptWork("tensions", place, hands, path)
        super().__init__([*above, self.mine, self.problem, self.told, self.table])
        keep_keys(self)
        for control in controls:
            control.observe(self._change, "value")
        self.mine.begin()

    @property
    def _chosen(self) -> dict[str, ipw.Dropdown]:
        """What is wished, by name."""
        chosen = {"key": self.key, "sort": self.sort, "shape": self.shape, "rows": self.rows}
        return chosen | {
            str(one): box for one, box in zip(SIX_TENSIONS, self.tensions, strict=True)
        }

    def _bring(self, kept: dict[str, Any]) -> None:
        """Show what was wished once."""
        with unwatched(self._change, *self._chosen.values()):
            put_back(self._chosen, kept)
        self._answer()

    @answer
    def _change(self, _: object) -> None:
        """Answer a change of a control."""
        self.mine.later()
        self._answer()

    def _answer(self) -> None:
        """Show the rows that are wished for."""
        guarded(self.problem, self._look)

    def _look(self) -> None:
        """Decide, then draw."""
        self.view = view = tension_table(
            self.key.value,
            having=self._wished(WITH),
            without=self._wished(WITHOUT),
            shape=self.shape.value,
            rows=self.rows.value,
            sort=self.sort.value,
            reader=self.reader.value,
        )
        put(self.told, sentences_html("", view.written) if view.written else "")
        put(self.table, wide_table_html(view.caption, view.heads, view.cells))

    def _wished(self, wish: str) -> list[Degree]:
        """Return the tensions of which one thing is wished."""
        pairs = zip(SIX_TENSIONS, self.tensions, strict=True)
        return [degree for degree, control in pairs if control.value == wish]


def subset_table(
    key: str = "C major", *, draft: str = "", path: str | PathLike[str] | None = None
) -> SubsetTable:
    """Return the table of tensions, opened over the V of a key.

    What is wished is there again when the cell is run again: ``draft`` names the table, so that two
    over the same key each have their own, and ``path`` is the file, by default the reader's own.

    >>> len(subset_table("B♭ minor").view.rows)
    64
    """
    return SubsetTable(key, draft=draft, path=path)
