"""Faults on purpose: every function that a page calls may be made to break in the middle.

``Faults`` wraps each function of the library that a module of widgets has imported. ``touched``
is what a reader does to a control.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from functools import wraps
from types import FunctionType
from typing import Any

import ipywidgets as ipw
import pytest

from theorykit.widgets.player import Player

__all__ = ["Faults", "controls_of", "pictures_of", "said_by", "touch", "typed_in"]

OWN = "theorykit.widgets"
SPARED = ("theorykit.widgets.controls", "theorykit.widgets.faults", "theorykit.errors")


class Fault(Exception):
    """What no page expects."""


class Faults:
    """Functions that break when they are told to; ``calls`` are those that were called."""

    def __init__(self, patch: pytest.MonkeyPatch) -> None:
        self.calls: list[str] = []
        self.armed = ""
        self.broke = False
        for name, module in list(sys.modules.items()):
            if name.startswith(OWN) and name not in SPARED:
                for word, found in list(vars(module).items()):
                    if isinstance(found, FunctionType) and self._is_ours(found):
                        patch.setattr(module, word, self._wrapped(f"{name}.{word}", found))

    @staticmethod
    def _is_ours(found: FunctionType) -> bool:
        """Tell whether a function is the library's, and no helper of the pages themselves."""
        home = found.__module__ or ""
        return home.startswith("theorykit.") and home not in SPARED and found.__name__[0] != "_"

    def _wrapped(self, key: str, function: Callable[..., Any]) -> Callable[..., Any]:
        """Return the function, which breaks while it is armed."""

        @wraps(function)
        def call(*given: Any, **named: Any) -> Any:
            self.calls.append(key)
            if key == self.armed:
                self.broke = True
                raise Fault(f"{key} broke on purpose")
            return function(*given, **named)

        return call

    def called(self, act: Callable[[], object]) -> list[str]:
        """Return which functions are called by an act, in order, each once."""
        self.calls.clear()
        act()
        return list(dict.fromkeys(self.calls))


def widgets_of(page: ipw.Widget) -> Iterator[Any]:
    """Run through a page and everything in it."""
    yield page
    for child in getattr(page, "children", ()):
        yield from widgets_of(child)


TOUCHED = (
    *(ipw.Dropdown, ipw.Select, ipw.Text, ipw.Textarea, ipw.Checkbox, ipw.ToggleButton),
    *(ipw.FloatSlider, ipw.BoundedIntText, ipw.Button),
)


def controls_of(page: ipw.Widget) -> list[Any]:
    """Return every control of a page that a reader can touch now."""
    return [one for one in widgets_of(page) if isinstance(one, TOUCHED) and not one.disabled]


def touch(control: Any, texts: dict[str, str]) -> Callable[[], None]:
    """Touch a control and return what sets it back; ``texts`` are good ones, by label."""
    if isinstance(control, ipw.Button):
        control.click()
        return lambda: None
    before = control.value
    control.value = _other(control, texts)
    return lambda: setattr(control, "value", before)


def _other(control: Any, texts: dict[str, str]) -> Any:
    """Return another value for a control."""
    if isinstance(control, ipw.Dropdown | ipw.Select):
        values = [one[1] if isinstance(one, tuple) else one for one in control.options]
        others = [value for value in values if value != control.value]
        return others[0] if others else control.value
    if isinstance(control, ipw.Checkbox | ipw.ToggleButton):
        return not control.value
    if isinstance(control, ipw.FloatSlider | ipw.BoundedIntText):
        return control.value + control.step if control.value < control.max else control.min
    return texts.get(control.description, f"{control.value} ")


def pictures_of(page: ipw.Widget) -> list[str]:
    """Return every picture and player of a page."""
    found = [one.value for one in widgets_of(page) if isinstance(one, ipw.HTML)]
    seen = [value for value in found if "<svg" in value or "<img" in value or "<audio" in value]
    return seen + [str(one.takes) for one in widgets_of(page) if isinstance(one, Player)]


def typed_in(page: ipw.Widget) -> dict[int, str]:
    """Return what stands in the fields of a page, by field."""
    fields = [one for one in widgets_of(page) if isinstance(one, ipw.Text | ipw.Textarea)]
    return {id(one): one.value for one in fields}


def said_by(page: ipw.Widget) -> str:
    """Return everything that a page says as a problem."""
    found = [one.value for one in widgets_of(page) if isinstance(one, ipw.HTML)]
    return "".join(value for value in found if 'role="alert"' in value)
