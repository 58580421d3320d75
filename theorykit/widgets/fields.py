"""More labelled controls: a field of several lines, a tick, a number, a button, a file to open."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from time import sleep
from typing import Any

import ipywidgets as ipw
from IPython import get_ipython

from theorykit.widgets.controls import LABEL_WIDTH, WIDTH

__all__ = ["area", "button", "discard", "number", "tick", "unwatched", "upload", "watch"]

ON_ITS_WAY = 0.15  # seconds in which what was typed before a press comes in


def area(
    label: str, value: str, rows: int, hint: str = "", *, at_once: bool = True
) -> ipw.Textarea:
    """Return a labelled field of several rows over the whole width; ``hint`` is what it asks for.

    With ``at_once`` it answers every keystroke, else when it is left.
    """
    return ipw.Textarea(
        description=label,
        value=value,
        rows=rows,
        placeholder=hint,
        tooltip=label,
        continuous_update=at_once,
        layout=ipw.Layout(width="98%", max_width="1060px"),
        style={"description_width": LABEL_WIDTH},
    )


def tick(label: str, value: bool = False, tip: str = "") -> ipw.Checkbox:
    """Return a box to tick with its label behind it."""
    return ipw.Checkbox(
        description=label,
        value=value,
        tooltip=tip or label,
        indent=False,
        layout=ipw.Layout(width="auto", margin="2px 16px 2px 8px"),
    )


def number(label: str, value: int, low: int, high: int, tip: str = "") -> ipw.BoundedIntText:
    """Return a labelled field for a whole number."""
    return ipw.BoundedIntText(
        description=label,
        value=value,
        min=low,
        max=high,
        tooltip=tip or label,
        layout=ipw.Layout(width=WIDTH),
        style={"description_width": LABEL_WIDTH},
    )


def button(label: str, act: Callable[[Any], None], tip: str = "") -> ipw.Button:
    """Return a button that does one thing when it is pressed.

    In a notebook it waits for what was typed right before: JupyterLab sends fields and buttons to
    different threads, and a press may come in first.
    """
    made = ipw.Button(
        description=label, tooltip=tip or label, layout=ipw.Layout(width="auto", margin="2px 8px")
    )

    def press(pressed: Any) -> None:
        _wait_for_fields()
        act(pressed)

    made.on_click(press)
    return made


def _wait_for_fields() -> None:
    """Let fields that were left a moment ago be taken in, where a page could have sent them."""
    shell = get_ipython()
    if shell is not None and getattr(shell, "kernel", None) is not None:
        sleep(ON_ITS_WAY)


def upload(label: str, endings: Iterable[str], answer: Callable[[Any], None]) -> ipw.FileUpload:
    """Return a button that opens one file of the reader's with one of some endings."""
    made = ipw.FileUpload(
        description=label,
        accept=",".join(endings),
        multiple=False,
        tooltip=label,
        layout=ipw.Layout(width="auto", margin="2px 8px"),
    )
    made.observe(answer, "value")
    return made


def watch(controls: Iterable[ipw.Widget], answer: Callable[[Any], None]) -> None:
    """Let one answer follow a change of any of the controls."""
    for control in controls:
        control.observe(answer, "value")


@contextmanager
def unwatched(answer: Callable[[Any], None], *controls: ipw.Widget) -> Iterator[None]:
    """Set controls inside the block without their ``answer`` being called."""
    for control in controls:
        control.unobserve(answer, "value")
    try:
        yield
    finally:
        watch(controls, answer)


def discard(widget: ipw.Widget) -> None:
    """Close a widget that is not shown any more, with all that is in it."""
    for child in getattr(widget, "children", ()):
        discard(child)
    widget.close()
