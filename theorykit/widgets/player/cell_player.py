"""The player of a cell: the control of the page, and beside it a plain player for other days.

A saved notebook has the places of its widgets, but not the widgets. So the plain player lies there
too. JupyterLab hides it as long as the control stands. Where the control is gone, and in a page
that was made of the notebook, it is seen.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import anywidget
import traitlets as t
from IPython.display import display

from theorykit.errors import TheoryError
from theorykit.show.player import cell_script, player_script, player_style
from theorykit.study.drafts import Drafts
from theorykit.views.sounding import FASTEST, SLOWEST, Take
from theorykit.widgets.player.page_player import Player
from theorykit.widgets.reader_files import own_drafts
from theorykit.widgets.works import Keeper, place_of

PLAYER = "player"  # what is kept, by its name
VIEW = "application/vnd.jupyter.widget-view+json"
_PLAIN, _PLACE = "theorykit-plain-player", ".jp-NotebookPanel .jp-OutputArea-child"
_GONE = ".jp-OutputArea-child > .jp-OutputArea-output.jupyter-widgets"  # it says that it is
_STYLE = (
    f"<style>{_PLACE}:has(.{_PLAIN}):not(:has(+ {_GONE})){{display:none}}"
    f"{_PLACE}:has(.{_PLAIN}) + {_GONE}:not(:has(*)){{display:none}}</style>"
)


class _Module(anywidget.AnyWidget):
    """The module of the player, in the page once for all cells of a kernel; it is not seen."""

    _esm = player_script("arrival")
    _css = player_style()


class CellPlayer(Player):
    """A player with no other controls beside it; ``note`` is a sentence that stands below.

    How it is set is kept where its cell has the same to be heard.
    """

    _esm = cell_script()
    _css = ""
    stands_alone = t.Bool(True).tag(sync=True)
    tempos = t.List([SLOWEST, FASTEST]).tag(sync=True)
    pace = t.Float(120.0).tag(sync=True)
    note = t.Unicode("").tag(sync=True)
    paced = True

    def __init__(self, takes: Iterable[Take], melody: str = "", note: str = "") -> None:
        """Show takes, at the tempo of the first one."""
        some = tuple(takes)
        written = some[0].performance.tempo / float(some[0].pulse) if some else 120.0
        super().__init__(tempo=min(max(written, SLOWEST), FASTEST))
        self.pace, self.note = self.tempo, note
        self.show(some, melody)
        self._keeper: Keeper | None = None
        try:
            self._keep(own_drafts())
        except TheoryError as wrong:
            self._not_kept(wrong)

    def _keep(self, drafts: Drafts) -> None:
        """Put back how the player was set, and keep it from now on."""
        heard = {take.label: repr(take.performance) for take in self.shown}
        place = place_of("heard", "", {**heard, "melody": self._melody})
        keeper = Keeper(
            *(drafts, place, "heard", self._kept, self._not_kept), forks=False, at_once=False
        )
        _, setting = drafts.left(place)
        self.standing.value = setting.get(PLAYER, "")
        keeper.open(None, {}, {PLAYER: self.standing.value})
        self.standing.observe(self._changed, "value")
        self._keeper = keeper

    def _changed(self, change: dict[str, Any]) -> None:
        """The player is set in another way: keep that, soon."""
        if self._keeper is not None:
            self._keeper.hear("", {}, {PLAYER: change["new"]})

    def _kept(self, _: bool) -> None:
        """It is kept, and what was wrong is over."""
        self.problem = ""

    def _not_kept(self, wrong: Exception) -> None:
        """Say why it is not kept."""
        self.problem = f"How this player is set is not kept: {wrong}"


_MODULES: list[_Module] = []  # the one of this kernel


def cell_bundle(
    takes: Iterable[Take], melody: str, note: str, plain: str, words: str
) -> dict[str, Any]:
    """Return what a notebook keeps of a player under a cell, and put the plain one beside it."""
    _send_module()
    beside = f'<div class="{_PLAIN}">{plain}</div>{_STYLE}'
    display({"text/html": beside, "text/plain": ""}, raw=True)
    player = CellPlayer(takes, melody, note)
    view = {"version_major": 2, "version_minor": 0, "model_id": player.model_id}
    return {VIEW: view, "text/html": "", "text/plain": words}


def _send_module() -> None:
    """Send the module, if this kernel has not done so."""
    if not (_MODULES and _MODULES[-1].comm is not None):
        _MODULES[:] = [_Module()]
