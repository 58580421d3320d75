"""The explorer as a reader sees it: from a choice to the change in the page, in Chromium."""

import atexit
from contextlib import ExitStack
from itertools import cycle
from pathlib import Path
from tempfile import mkdtemp

from lab import Lab, NotebookPage, chromium, find_chromium, server
from measure import Bench, median_at_most

CHOICES = cycle(
    [
        (label, option)
        for n in range(6)
        for label, option in (
            ("key", ("E♭ major", "A major", "G minor", "B major", "F minor", "D♭ major")[n]),
            ("colour over V", ("altered", "♭9", "whole tone", "♯9", "suspended", "♭9 ♯11")[n]),
        )
    ]
)
STILL = 0.4  # seconds without a change, after which the answer counts as whole
_OPEN: list[NotebookPage] = []


def page() -> NotebookPage:
    """Return the first chapter, opened once."""
    if not _OPEN:
        stack = ExitStack()
        atexit.register(stack.close)
        browser = stack.enter_context(chromium(str(find_chromium())))
        lab = Lab(stack.enter_context(server(Path(mkdtemp()))), browser)
        opened = stack.enter_context(lab.open_notebook("01_motion_over_the_five"))
        opened.run_all()
        _OPEN.append(opened)
    return _OPEN[0]


def choose() -> None:
    """Choose once; the bench's clock runs until the page has been still for a while."""
    label, option = next(CHOICES)
    page().time_choice(label, option.replace(" ", "\u00a0"), quiet=STILL)


BENCHES = (
    (
        Bench(
            name="a choice in the explorer, seen in the page (250 ms, and 400 ms of stillness)",
            candidate=choose,
            reference=None,
            goal=median_at_most(0.250 + STILL),
            rounds=24,
        ),
    )
    if find_chromium()
    else ()
)
