"""Labelled controls, the one way to change a picture, and keys that stay in the page.

A notebook takes plain keys for its own commands wherever no text is being typed: with a list in
focus the arrow keys would go to another cell, B would insert one, and M would turn the cell that
holds the page into text. Lists, sliders and players need these keys themselves.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial, wraps
from threading import RLock
from time import sleep
from typing import Any

import ipywidgets as ipw
from IPython import get_ipython

from theorykit.errors import TheoryError, expect, shown
from theorykit.harmony.colours import COLOURS, colour
from theorykit.harmony.wording import listed
from theorykit.notes.reader import READERS, Reader
from theorykit.show.own_reader import own_reader
from theorykit.widgets.faults import (
    answering,
    fault_html,
    fault_said,
    is_answering,
    noted,
    says_fault,
)

__all__ = [
    "KEYS_STAY",
    "answer",
    "area",
    "button",
    "choice",
    "colours",
    "discard",
    "guarded",
    "in_notebook",
    "keep_keys",
    "number",
    "offer",
    "panel",
    "picture",
    "put",
    "readers",
    "safely",
    "slider",
    "tick",
    "typed",
    "unwatched",
    "upload",
    "watch",
]

_ONE_ANSWER = RLock()
WIDTH = "340px"
WHOLE = "calc(100% - 4px)"  # of the page without margins: where it is narrow nothing is cut off
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
    offered = [one[1] if isinstance(one, tuple) else one for one in options]
    if value is not None and value not in offered:
        want = listed(map(str, offered), "or")
        raise TheoryError(f"no such {label}: {shown(value)} (want {want})")
    return ipw.Dropdown(
        description=label,
        options=options,
        value=value,
        tooltip=tip or label,
        layout=ipw.Layout(width=width, max_width=WHOLE),
        style={"description_width": label_width},
    )


def readers(*others: Reader) -> ipw.Dropdown:
    """Return the list of readers, opened on the one that was kept as what the reader plays."""
    return choice("written for", [(one.name, one) for one in (*READERS, *others)], own_reader())


def colours(chosen: str) -> ipw.Dropdown:
    """Return the list of colours, with the reader's own one last where it is chosen.

    >>> colours("mine: b9 11 13").options[-1]
    ('mine', 'mine: b9 11 13')
    """
    options = [(row.pretty, row.name) for row in COLOURS]
    own = colour(chosen)
    known = any(name == chosen for _, name in options)
    return choice("colour over V", options if known else [*options, (own.pretty, chosen)], chosen)


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
        layout=ipw.Layout(width=WIDTH, max_width=WHOLE),
        style={"description_width": LABEL_WIDTH},
    )


def typed(
    label: str, value: str, tip: str = "", *, example: str = "", width: str = WIDTH
) -> ipw.Text:
    """Return a labelled field to type in; it answers at Enter, or when it is left.

    ``example`` is what stands in it while nothing is typed.
    """
    return ipw.Text(
        description=label,
        value=expect(value, str, f"text for {label}", "letters"),
        placeholder=example,
        tooltip=tip or label,
        continuous_update=False,
        layout=ipw.Layout(width=width, max_width=WHOLE),
        style={"description_width": LABEL_WIDTH},
    )


def picture(height: int = 0) -> ipw.HTML:
    """Return a place for a picture or text; ``height`` in pixels keeps the rest in its place."""
    room = {"min_height": f"{height}px"} if height else {}
    return ipw.HTML(layout=ipw.Layout(width="auto", max_width="100%", margin="2px", **room))


def put(place: ipw.HTML, text: str) -> None:
    """Show ``text`` in a place, and touch nothing if it is there already."""
    if place.value != text:
        noted(partial(setattr, place, "value", place.value))
        place.value = text


def panel(*controls: ipw.Widget) -> ipw.Box:
    """Return controls in rows that fill the width and wrap where it is small."""
    return ipw.Box(
        controls, layout=ipw.Layout(flex_flow="row wrap", width="100%", grid_gap="2px 12px")
    )


def guarded(problem: ipw.HTML, *steps: Callable[[], object], stays: str = "") -> bool:
    """Take steps, and tell whether all were taken; what goes wrong is said in ``problem``.

    ``stays`` is the sentence that says how things are then, where it is more than that nothing was
    changed.
    Then everything that the steps did to the page is taken back, and the last good picture stays.
    JupyterLab answers controls in more than one thread; the steps of one answer are taken before
    those of the next begin.
    """
    done = _taken(problem, "", *steps, stays=stays)
    if done and not says_fault(problem):
        problem.value = ""
    return done


def _taken(problem: ipw.HTML, doing: str, *steps: Callable[[], object], stays: str = "") -> bool:
    """Take steps; what is said in ``problem`` already stays, unless something goes wrong."""
    with _ONE_ANSWER:
        try:
            with answering(doing) as now:
                for step in steps:
                    step()
        except Exception as error:  # whatever it is, the reader is told and not only a log
            problem.value = fault_html(error, now, stays)
            fault_said(problem)
            return False
    return True


def answer(method: Callable[..., None]) -> Callable[..., None]:
    """Let a method answer a control: whatever goes wrong in it is said in ``self.problem``.

    Every method that a page hands to ``observe``, to a button or to an upload is one of these. An
    answer that is called by another one is a part of it, and breaks off with it.
    """

    @wraps(method)
    def answered(self: Any, *given: Any) -> None:
        if is_answering():
            method(self, *given)
        else:
            _taken(self.problem, _name_of(*given), partial(method, self, *given))

    return answered


def safely(problem: ipw.HTML, act: Callable[[], object]) -> Callable[[Any], None]:
    """Return an answer that does one thing; what goes wrong is said in ``problem``."""

    def answered(given: Any) -> None:
        if is_answering():
            act()
        else:
            _taken(problem, _name_of(given), act)

    return answered


def _name_of(given: Any = None, *_: Any) -> str:
    """Return what the control that was touched is called on the page."""
    owner = given.get("owner") if isinstance(given, dict) else given
    return str(getattr(owner, "description", "") or getattr(owner, "tooltip", "") or "")


def offer(
    control: ipw.Dropdown, options: Sequence[Any], value: Any, answer: Callable[[Any], None]
) -> None:
    """Fill a list anew without its ``answer`` being called; the same options are left alone."""
    noted(partial(_fill, control, control.options, control.value, answer))
    _fill(control, options, value, answer)


def _fill(
    control: ipw.Dropdown, options: Sequence[Any], value: Any, answer: Callable[[Any], None]
) -> None:
    """Set options and value of a list."""
    control.unobserve(answer, "value")
    try:
        if control.options != tuple(options):
            control.options = options
        control.value = value
    finally:
        control.observe(answer, "value")


# === Fields, ticks and buttons ===

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
        value=expect(value, bool, f"a yes or no for {label}", "True or False"),
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
        layout=ipw.Layout(width=WIDTH, max_width=WHOLE),
        style={"description_width": LABEL_WIDTH},
    )


def button(label: str, act: Callable[[Any], None], tip: str = "") -> ipw.Button:
    """Return a button that does one thing when it is pressed.

    In a notebook it waits for what was typed right before: JupyterLab sends fields and buttons to
    different threads, and a press may come in first.
    """
    room = ipw.Layout(width="auto", margin="2px 8px")
    made = ipw.Button(description=label, tooltip=tip or label, layout=room)

    def press(pressed: Any) -> None:
        _wait_for_fields()
        act(pressed)

    made.on_click(press)
    return made


def _wait_for_fields() -> None:
    """Let fields that were left a moment ago be taken in, where a page could have sent them."""
    if in_notebook():
        sleep(ON_ITS_WAY)


def in_notebook() -> bool:
    """Tell whether there is a page, which answers from other threads than this one."""
    shell = get_ipython()
    return shell is not None and getattr(shell, "kernel", None) is not None


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


def watch(controls: Iterable[ipw.Widget], answer: Callable[[Any], object]) -> None:
    """Let one answer follow a change of any of the controls."""
    for control in controls:
        control.observe(answer, "value")


@contextmanager
def unwatched(answer: Callable[[Any], None], *controls: ipw.Widget) -> Iterator[None]:
    """Set controls inside the block without their ``answer`` being called."""
    for control in controls:
        noted(partial(_set_unwatched, answer, control, control.value))
        control.unobserve(answer, "value")
    try:
        yield
    finally:
        watch(controls, answer)


def _set_unwatched(answer: Callable[[Any], None], control: ipw.Widget, value: Any) -> None:
    """Set one control without its ``answer`` being called."""
    control.unobserve(answer, "value")
    try:
        control.value = value
    finally:
        control.observe(answer, "value")


def discard(widget: ipw.Widget) -> None:
    """Close a widget that is not shown any more, with all that is in it."""
    for child in getattr(widget, "children", ()):
        discard(child)
    widget.close()


# === Keys that stay in the page ===

KEYS_STAY = "theorykit-keys-stay"  # the class of a page whose keys are its own

# Letters, signs, the space bar and the keys that move; keys with Control, Command or Alt pass, and
# so do Enter (with Shift it runs the cell), Tab and Escape.
_SCRIPT = f"""
if (!window.theorykitKeysStay) {{
    window.theorykitKeysStay = true;
    document.body.addEventListener("keydown", event => {{
        const own = event.key.length === 1 || /^(Arrow|Page|Home$|End$)/.test(event.key);
        const command = event.ctrlKey || event.metaKey || event.altKey;
        if (own && !command && event.target.closest(".{KEYS_STAY}")) event.stopPropagation();
    }});
}}
"""


def keep_keys(page: ipw.Box) -> None:
    """Keep plain keys that are pressed in ``page`` from the notebook; call it once for a page.

    Widgets have no way to say this, so that the page carries a script, in an output that is not
    seen. Where scripts are not run, everything else works as before.
    """
    data = {"application/javascript": _SCRIPT}
    script = {"output_type": "display_data", "metadata": {}, "data": data}
    carrier = ipw.Output(outputs=(script,), layout=ipw.Layout(display="none"))
    page.children = (*page.children, carrier)
    page.add_class(KEYS_STAY)
