"""Labelled controls of one width, and the one way to change a picture."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from threading import RLock
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.show.text import problem_html

__all__ = ["choice", "guarded", "offer", "panel", "picture", "put", "slider", "typed"]

_ONE_ANSWER = RLock()
WIDTH = "340px"
LABEL_WIDTH = "110px"


def choice(
    label: str,
    options: Sequence[Any],
    value: Any,
    tip: str = "",
    *,
    width: str = WIDTH,
    label_width: str = LABEL_WIDTH,
) -> ipw.Dropdown:
    """Return a labelled list to choose from; options are texts or (text, value) pairs."""
    return ipw.Dropdown(
        description=label,
        options=options,
        value=value,
        tooltip=tip or label,
        layout=ipw.Layout(width=width),
        style={"description_width": label_width},
    )


def slider(
    label: str, value: float, low: float, high: float, step: float, tip: str = ""
) -> ipw.FloatSlider:
    """Return a labelled slider that answers when it is let go, so that sound is made once."""
    return ipw.FloatSlider(
        description=label,
        value=value,
        min=low,
        max=high,
        step=step,
        tooltip=tip or label,
        continuous_update=False,
        readout_format="d" if step >= 1 else ".1f",
        layout=ipw.Layout(width=WIDTH),
        style={"description_width": LABEL_WIDTH},
    )


def typed(label: str, value: str, tip: str = "", *, width: str = WIDTH) -> ipw.Text:
    """Return a labelled field to type in; it answers at Enter, or when it is left."""
    return ipw.Text(
        description=label,
        value=value,
        tooltip=tip or label,
        continuous_update=False,
        layout=ipw.Layout(width=width),
        style={"description_width": LABEL_WIDTH},
    )


def picture(height: int = 0) -> ipw.HTML:
    """Return a place for a picture or text; ``height`` in pixels keeps the rest in its place."""
    room = {"min_height": f"{height}px"} if height else {}
    return ipw.HTML(layout=ipw.Layout(width="auto", max_width="100%", margin="2px", **room))


def put(place: ipw.HTML, text: str) -> None:
    """Show ``text`` in a place, and touch nothing if it is there already."""
    if place.value != text:
        place.value = text


def panel(*controls: ipw.Widget) -> ipw.Box:
    """Return controls in rows that fill the width and wrap where it is small."""
    return ipw.Box(
        controls, layout=ipw.Layout(flex_flow="row wrap", width="100%", grid_gap="2px 12px")
    )


def guarded(problem: ipw.HTML, *steps: Callable[[], None]) -> None:
    """Take steps; what goes wrong is said in ``problem``, and the last good picture stays.

    JupyterLab answers controls in more than one thread; the steps of one answer are taken before
    those of the next begin.
    """
    with _ONE_ANSWER:
        try:
            for step in steps:
                step()
        except TheoryError as error:
            put(problem, problem_html(str(error)))
        else:
            put(problem, "")


def offer(
    control: ipw.Dropdown, options: Sequence[Any], value: Any, answer: Callable[[Any], None]
) -> None:
    """Fill a list anew without its ``answer`` being called; the same options are left alone."""
    control.unobserve(answer, "value")
    if control.options != tuple(options):
        control.options = options
    control.value = value
    control.observe(answer, "value")
