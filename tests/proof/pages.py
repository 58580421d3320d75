"""Every public widget, and every control in it that a reader can touch, found and not listed.

A page is any widget that ``theorykit.widgets`` offers. Its controls are found by walking through
its parts, so that a new page, and a new control, is driven without a line here. What a control is
is told by what it holds: options, numbers, text, yes or no. One that holds something else fails
``unknown_in`` until ``values_for`` knows it.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from typing import Any

import ipywidgets as ipw
from uploads import uploaded

import theorykit.widgets
from tests.proof.files_read import BOOK, MIDIS, PACKED, SCORES, SHEETS
from tests.proof.hostile import NASTY, mutated_bytes, text_like
from tests.proof.texts_drawn import HANDOUTS, LINES, SYMBOLS, TUNES
from tests.proof.texts_read import a_book
from theorykit import PhraseBook
from theorykit.lines.demonstration import demonstration
from theorykit.widgets.reader_files import own_book

__all__ = ["MAKERS", "act", "controls", "everything_in", "opened", "unknown_in"]

SCRIPT = "<img src=x onerror=alert(1)>"
SILENT = (ipw.HTML, ipw.HTMLMath, ipw.Label, ipw.Image, ipw.Audio, ipw.Video, ipw.Output, ipw.Valid)
BARS = (ipw.IntProgress, ipw.FloatProgress)
TYPED = text_like(
    *TUNES, *HANDOUTS[:1], *(line.text for line in LINES), *SYMBOLS[::7], a_book(),
    "Ab C Eb", "D7", "Db major", "turn", "lines/turn.mid", "made", "b9 13", "120", SCRIPT,
    "~/own.sqlite", "no/such/folder/turn", "x" * 300, "a\0b",
    odd=False, words=(*NASTY, SCRIPT),
)  # fmt: skip
OPENED = (
    *SCORES[:2],
    *MIDIS[:1],
    *PACKED[:1],
    *SHEETS[:2],
    BOOK,
    *(one.encode() for one in HANDOUTS),
)
NAMES = (
    "turn.musicxml",
    "turn.mid",
    "turn.mxl",
    "tune.txt",
    "page.toml",
    "book.sqlite",
    "x",
    "\u202e",
)


def makers() -> dict[str, Callable[[], Any]]:
    """Return every function of the package that makes a page, by its name."""
    names = [name for name in theorykit.widgets.__all__ if name[0].islower()]
    return {name: getattr(theorykit.widgets, name) for name in names}


MAKERS = makers()


def unfit(maker: Callable[..., Any]) -> list[str]:
    """Return what a maker must be given; a page opens with nothing."""
    return [
        one.name
        for one in inspect.signature(maker).parameters.values()
        if one.default is one.empty and one.kind not in (one.VAR_POSITIONAL, one.VAR_KEYWORD)
    ]


def opened(name: str) -> Any:
    """Open a page as a chapter does, with nothing said; the reader's own book has some phrases."""
    book = PhraseBook(_folder_of(Path(own_book())))
    for number, key in enumerate(("C", "Db", "F#")):
        if f"turn {number}" not in book.names:
            book.keep(f"turn {number}", demonstration(key, "short"), colour="b9", tags=["a"])
    return MAKERS[name]()


def _folder_of(path: Path) -> Path:
    """Return a path whose folder is there."""
    path.parent.mkdir(parents=True, exist_ok=True)
    return path


def everything_in(page: Any, *, is_shown: bool = True) -> Iterator[tuple[Any, bool]]:
    """Run through a page and all its parts, each with whether it is shown."""
    shown = is_shown and page.layout.display != "none" and page.layout.visibility != "hidden"
    yield page, shown
    for child in getattr(page, "children", ()):
        yield from everything_in(child, is_shown=shown)


def controls(page: Any) -> list[Any]:
    """Return the controls that a reader can touch now."""
    return [
        one
        for one, shown in everything_in(page)
        if shown and is_control(one) and not getattr(one, "disabled", False)
    ]


def is_control(one: Any) -> bool:
    """Tell whether a part of a page is for touching."""
    if isinstance(one, (*SILENT, *BARS)):
        return False
    return isinstance(one, ipw.Button) or has(one, "value") or has(one, "selected_index")


def has(one: Any, name: str) -> bool:
    """Tell whether a widget holds something under a name."""
    return name in one.trait_names()


def unknown_in(page: Any) -> list[str]:
    """Return the controls of a page that nobody here knows how to touch."""
    rng = Random(0)
    found = (one for one, _ in everything_in(page) if is_control(one))
    return [type(one).__name__ for one in found if act(one, rng, is_tried=False) is None]


def act(one: Any, rng: Random, *, is_tried: bool = True) -> tuple[str, Callable[[], None]] | None:
    """Return what is done to a control, in words and as a deed; None for one of an unknown kind."""
    name = str(getattr(one, "description", "") or type(one).__name__)
    if isinstance(one, ipw.Button):
        return f"press {name!r}", one.click
    if isinstance(one, ipw.FileUpload):
        file = (rng.choice(NAMES), _a_file(rng))
        return f"open {file[0]!r} ({len(file[1])} bytes) with {name!r}", _setter(
            one, uploaded(*file)
        )
    if has(one, "selected_index"):
        value = rng.randrange(len(one.children)) if one.children else None
        return f"turn to {value}", lambda: setattr(one, "selected_index", value)
    found = value_for(one, rng)
    if found is NOTHING:
        return None
    said = repr(found) if len(repr(found)) < 200 else f"{repr(found)[:200]}..."
    return f"{name!r} = {said}", _setter(one, found)


def _setter(one: Any, value: Any) -> Callable[[], None]:
    return lambda: setattr(one, "value", value)


NOTHING = object()


def value_for(one: Any, rng: Random) -> Any:
    """Return a value that a reader could give to a control."""
    if has(one, "options"):
        values = [pair[1] for pair in one._options_full]
        if isinstance(one.value, tuple) and has(one, "index") and isinstance(one.index, tuple):
            return tuple(value for value in values if rng.random() < 0.5)
        return rng.choice(values) if values else one.value
    if isinstance(one.value, bool):
        return not one.value
    if isinstance(one.value, int | float) and has(one, "max"):
        steps = int((one.max - one.min) / (getattr(one, "step", 1) or 1))
        value = one.min + rng.randint(0, max(0, steps)) * (getattr(one, "step", 1) or 1)
        return type(one.value)(rng.choice((one.min, one.max, min(value, one.max))))
    if isinstance(one.value, int | float):
        return type(one.value)(rng.choice((0, -1, 1, 7, 10**6)))
    if isinstance(one.value, str):
        return _text(one.value, rng)
    return NOTHING


def _text(before: str, rng: Random) -> str:
    """Return what a reader could type next; half of the time what stands there is changed."""
    if rng.random() < 0.03:
        return SCRIPT
    if before and rng.random() < 0.5:
        return str(text_like(before, odd=False)(rng))[:20_000].encode("utf-8", "replace").decode()
    return str(TYPED(rng))[:20_000].encode("utf-8", "replace").decode()


def _a_file(rng: Random) -> bytes:
    """Return a file to open: a good one, or one that is spoiled."""
    return rng.choice(OPENED) if rng.random() < 0.5 else mutated_bytes(rng, OPENED)
