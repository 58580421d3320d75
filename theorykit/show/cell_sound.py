"""Sounds of cells: a control of the page where a notebook has one, a plain player everywhere."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from theorykit.lines.parts import MELODY_SOUNDS, Performance
from theorykit.show.sound import performance_html
from theorykit.views.sounding import Take

__all__ = ["Heard", "heard"]

_CONTROL = "theorykit.widgets.player"  # above this room: asked by its name, and only by a notebook
_FIRST = next(iter(MELODY_SOUNDS))


@dataclass(frozen=True, slots=True)
class Heard:
    """What a control of the page plays: takes, with the sound of the line; ``note`` is said below.

    >>> Heard((), "flute").bundle("<audio>", "Player: C")
    {}
    """

    takes: tuple[Take, ...]
    melody: str
    note: str = ""

    def bundle(self, plain: str, words: str) -> dict[str, Any]:
        """Return what a notebook keeps of the control, nothing where there is none.

        ``plain`` is the HTML of the plain players, ``words`` what is said where there is neither.
        """
        control = _control()
        if control is None:
            return {}
        found: dict[str, Any] = control.cell_bundle(
            self.takes, self.melody, self.note, plain, words
        )
        return found


def heard(
    played: Mapping[str, Performance], *, melody: str = _FIRST, loops: bool = False
) -> tuple[str, Heard]:
    """Return the plain players of some performances, by their labels, and what a control plays."""
    is_spare = _control() is not None
    html = "".join(
        performance_html(
            one, label=label, melody=melody, loops=loops, is_kept=True, is_spare=is_spare
        )
        for label, one in played.items()
    )
    takes = tuple(Take.of(label, one, loops=loops) for label, one in played.items())
    return html, Heard(takes, melody)


def _control() -> Any:
    """Return the module of the control where a kernel answers a page; None elsewhere."""
    ipython = sys.modules.get("IPython")
    shell = None if ipython is None else ipython.get_ipython()
    if getattr(shell, "kernel", None) is None:
        return None
    try:
        return import_module(_CONTROL)
    except ModuleNotFoundError:
        return None
