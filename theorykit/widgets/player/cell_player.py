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

from theorykit.show.player import cell_script, player_script, player_style
from theorykit.views.sounding import FASTEST, SLOWEST, Take
from theorykit.widgets.player.page_player import Player

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
    """A player with no other controls beside it; ``note`` is a sentence that stands below."""

    _esm = cell_script()
    _css = ""
    stands_alone = t.Bool(True).tag(sync=True)
    tempos = t.List([SLOWEST, FASTEST]).tag(sync=True)
    pace = t.Float(120.0).tag(sync=True)
    note = t.Unicode("").tag(sync=True)

    def __init__(self, takes: Iterable[Take], melody: str = "", note: str = "") -> None:
        """Show takes, at the tempo of the first one."""
        some = tuple(takes)
        written = some[0].performance.tempo / float(some[0].pulse) if some else 120.0
        super().__init__(tempo=min(max(written, SLOWEST), FASTEST))
        self.pace, self.note = self.tempo, note
        self.show(some, melody)


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
