"""Faults: what went wrong while a control was answered, in words, and the way back from it.

While an answer is given, every change of a page is noted down. Where the answer breaks off, the
changes are taken back, so that the last good picture stays and "nothing was changed" is true.
"""

from __future__ import annotations

import errno
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from threading import local
from typing import Any

import ipywidgets as ipw
from IPython.display import HTML, display

from theorykit.errors import TheoryError, needs_workbook, shown
from theorykit.show.html_text import problem_html

__all__ = [
    "Page",
    "PageRow",
    "afterwards",
    "answering",
    "fault_html",
    "fault_said",
    "is_answering",
    "lasting",
    "noted",
    "says_fault",
]

_NOW = local()  # per thread: the answers that are being given, one inside the other
MOST_LINES = 30  # of the details
NOTHING = "Nothing was changed: what you typed stays, and what is shown is from before."
_WORDS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "there is no room left for you on this disk",
    errno.ENAMETOOLONG: "the name of the file or folder is too long",
    errno.EACCES: "it is not allowed there",
    errno.EPERM: "it is not allowed there",
    errno.EROFS: "nothing can be written there",
}


class _Answer:
    """One answer: how to take back what it did, and what it did for good."""

    def __init__(self, doing: str) -> None:
        self.doing = doing
        self.undo: list[Callable[[], None]] = []
        self.lasting: list[str] = []
        self.faults: list[object] = []  # where a fault was said
        self.after: dict[Callable[[], None], None] = {}  # what is done when it has been given

    def take_back(self) -> None:
        """Take back every change, the last one first."""
        for undo in reversed(self.undo):
            with suppress(Exception):  # the rest is still to be taken back
                undo()


def _answers() -> list[_Answer]:
    """Return the answers that are being given in this thread."""
    found: list[_Answer] = _NOW.__dict__.setdefault("answers", [])
    return found


def is_answering() -> bool:
    """Tell whether an answer is being given in this thread."""
    return bool(_answers())


@contextmanager
def answering(doing: str = "") -> Iterator[_Answer]:
    """Note every change inside the block down; where it breaks off, all are taken back.

    ``doing`` is what a fault calls the answer: the name of its control.
    """
    answers = _answers()
    one = _Answer(doing or (answers[-1].doing if answers else ""))
    answers.append(one)
    try:
        yield one
    except BaseException:
        answers.remove(one)
        one.take_back()
        raise
    else:
        answers.remove(one)
        if answers:
            answers[-1].undo += one.undo
            answers[-1].lasting += one.lasting
    finally:
        if answers:
            answers[-1].after |= one.after
        else:
            for act in one.after:
                act()


def afterwards(act: Callable[[], None]) -> None:
    """Do something once when the whole of the answer has been given, or now if none is."""
    answers = _answers()
    if answers:
        answers[-1].after[act] = None
    else:
        act()


def fault_said(place: object) -> None:
    """Note down that a fault was said in a place, for the whole of the answer."""
    for one in _answers()[:1]:
        one.faults.append(place)


def says_fault(place: object) -> bool:
    """Tell whether a place says a fault of the answer that is being given."""
    return any(place is one for answer in _answers()[:1] for one in answer.faults)


def noted(undo: Callable[[], None]) -> None:
    """Note down how to take back one change, if an answer is being given."""
    answers = _answers()
    if answers:
        answers[-1].undo.append(undo)


def lasting(words: str) -> None:
    """Note down, in a sentence, what was done for good: a file was written, a phrase kept."""
    answers = _answers()
    if answers:
        answers[-1].lasting.append(words)


_MISSING = object()
_OF_WIDGETS = frozenset(vars(ipw.VBox())) | {"_property_lock", "_holding_sync", "_states_to_send"}


class _Noting:
    """What a page has besides its widgets: attributes that go back where an answer breaks off."""

    def __setattr__(self, name: str, value: Any) -> None:
        """Set an attribute, and note down what it was."""
        if _answers() and name not in _OF_WIDGETS and not name.startswith("_trait"):
            noted(_back(self, name))
        super().__setattr__(name, value)


def _back(page: object, name: str) -> Callable[[], None]:
    """Return what gives an attribute the value that it has now."""
    before = getattr(page, name, _MISSING)
    if before is _MISSING:
        return lambda: delattr(page, name)
    return lambda: setattr(page, name, before)


# A notebook that is opened again has its widgets' places, but not the widgets: JupyterLab says
# "Error displaying widget". Beside a page goes a style that says in its place how to wake it.
ASLEEP = (
    "This page sleeps. Run its cell (Shift+Enter), or all cells (menu Run), to wake it: "
    "what you typed and chose was kept."
)
_EMPTY = (
    ".jp-OutputArea-child:has(.theorykit-asleep) + .jp-OutputArea-child > "
    ".jp-OutputArea-output.jupyter-widgets:not(:has(*))"
)
_SLEEP = (
    '<span class="theorykit-asleep"></span><style>'
    ".jp-OutputArea-child:has(.theorykit-asleep){display:none}"
    f"{_EMPTY}{{visibility:hidden;font-size:0}}"
    f'{_EMPTY}::before{{visibility:visible;content:"{ASLEEP}";font-size:14px;'
    "font-family:var(--jp-ui-font-family,sans-serif);color:var(--jp-ui-font-color1,inherit)}"
    "</style>"
)


class Page(_Noting, ipw.VBox):
    """A page or a part of one, whose attributes go back with its pictures.

    >>> page = Page()
    >>> page.view = "good"
    >>> with suppress(KeyError), answering():
    ...     page.view = "half drawn"
    ...     raise KeyError
    >>> page.view
    'good'
    """

    def _repr_mimebundle_(self, **wishes: Any) -> Any:
        """Return what a notebook keeps of the page, and put what is seen tomorrow beside it."""
        display(HTML(_SLEEP))
        found = super()._repr_mimebundle_(**wishes)
        return {**found, "text/plain": ASLEEP} if isinstance(found, dict) else found


class PageRow(_Noting, ipw.HBox):
    """A part of a page whose parts stand side by side."""


def fault_html(error: BaseException, answer: _Answer, stays: str = "") -> str:
    """Return what went wrong, as it is said on a page: refusals as they are, others with details.

    ``stays`` says how things are then; without it, that nothing was changed.

    >>> fault = fault_html(OSError(errno.ENOSPC, "No space left on device"), _Answer("keep"))
    >>> "keep could not be done: the disk is full." in fault, "<details" in fault
    (True, True)
    >>> no = ModuleNotFoundError("No module named 'mido'", name="mido")
    >>> "mido is not installed (want" in fault_html(no, _Answer("save"))
    True
    """
    if isinstance(error, TheoryError):
        return problem_html(str(error))
    done = f"But this is done: {' '.join(answer.lasting)}" if answer.lasting else stays or NOTHING
    if isinstance(error, ModuleNotFoundError) and _is_asked_here(error):
        return problem_html(f"{needs_workbook(error)}. {done}")
    what = answer.doing or "What you asked for"
    lines = traceback.format_exception(error)
    details = "".join(lines[-MOST_LINES:])
    return problem_html(f"{what} could not be done: {_why(error)}. {done}", details=details)


def _is_asked_here(error: ModuleNotFoundError) -> bool:
    """Tell whether a package is lacking that our own code asked for, and not one of another's."""
    frames = [frame for frame, _ in traceback.walk_tb(error.__traceback__)]
    names = [str(frame.f_globals.get("__name__")) for frame in frames]
    asked = [name for name in names if not name.startswith("importlib.") and name != "importlib"]
    own = not asked or asked[-1].partition(".")[0] == __name__.partition(".")[0]
    return own and "." not in str(error.name or ".")


def _why(error: BaseException) -> str:
    """Say why in a few words."""
    if isinstance(error, OSError):
        words = _WORDS.get(error.errno or 0) or error.strerror or "a file cannot be used"
        return f"{words} ({shown(str(error.filename))})" if error.filename else words
    if isinstance(error, MemoryError):
        return "there is not enough memory for it"
    if "null byte" in str(error) or "null character" in str(error):
        return "a path cannot hold the character NUL"
    if isinstance(error, RecursionError):
        return "it is nested too deep"
    first = next(iter(str(error).splitlines()), "")
    return f"the program met what it did not expect ({type(error).__name__}: {first[:120]})"
