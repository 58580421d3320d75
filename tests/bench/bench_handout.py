"""Handouts: one page, two pages, and everyone in the room against the engines alone.

A letter that is typed is answered as in a notebook: pages with a target are set as they were
before, and looked at again when the reader pauses.
"""

import atexit
import os
import shutil
from dataclasses import replace
from functools import cache
from itertools import count
from pathlib import Path
from tempfile import mkdtemp

from engines import Material, engines_alone, written_down
from house import ROOT
from measure import Bench, Comparison, Goal, median_at_most, p95_at_most

from theorykit.handout import EVERYONE, Handout
from theorykit.handout.blocks.line_keys_block import LineInKeysBlock
from theorykit.handout.files import making
from theorykit.handout.files.kept_sounds import KeptSounds
from theorykit.widgets import HandoutDesk, handout_desk

FOLDER = Path(mkdtemp(prefix="theorykit-bench-"))
atexit.register(shutil.rmtree, FOLDER, ignore_errors=True)
NUMBERS = count()
PROCESSES = min(2, os.cpu_count() or 1)
SLOWEST, MOST = 20.0, 1.3  # seconds, times the engines alone

ONE = Handout.read(ROOT / "workbook/handouts/one_colour.toml")
TUNE = Handout.read(ROOT / "workbook/handouts/a_tune_with_its_lines.toml")
SIX = Handout.read(ROOT / "workbook/handouts/six_colours.toml")
FITTED = replace(TUNE, fits="2 pages")
LINE = LineInKeysBlock(line="8th D5 F5 A5 C6 B5 Ab5 E5 Ab5 | whole G5", form="short")
TWELVE = Handout("A line through twelve keys", blocks=(LINE,))


def made(handout: Handout, editions: object = "concert", **wishes: object) -> int:
    """Make a handout in a folder of its own; return how many files there are."""
    folder = FOLDER / str(next(NUMBERS))
    making.SOUNDS = KeptSounds()  # as in the first evening: nothing was recorded before
    files = handout.make(folder, editions, progress=False, **wishes)  # type: ignore[arg-type]
    shutil.rmtree(folder)
    return len(files)


@cache
def material() -> Material:
    """What the engines are given for everyone in the room."""
    with written_down() as found:
        made(SIX, "everyone", processes=1)
    return found


def same_work() -> None:
    """Raise where the engines are not given all that is made."""
    recordings = sum(len(block.labels) for block in SIX.blocks)
    given = material()
    if (len(given.sheets), len(given.played)) != (len(EVERYONE), recordings):
        raise ValueError(f"{len(given.sheets)} documents and {len(given.played)} recordings")


def in_time(comparison: Comparison) -> bool:
    """Tell whether both goals are met."""
    return comparison.candidate.median <= SLOWEST and comparison.times_as_fast * MOST >= 1


@cache
def desk(handout: Handout) -> HandoutDesk:
    """The desk for handouts with one on it."""
    name = "fitted" if handout is FITTED else "plain"
    made = handout_desk(handout, path=FOLDER / f"{name}.json", book=FOLDER / "no book")
    made.looking.quiet.at_once = False
    return made


def keystroke(handout: Handout) -> None:
    """Type a letter more into the title: the text is kept and read, both pages are set."""
    text = desk(handout).text
    text.value = text.value.replace('title = "', 'title = "a', 1)


def answered(handout: Handout) -> None:
    """Raise where a keystroke does not come to the page."""
    keystroke(handout)
    before = desk(handout).looking.pages.shown.value
    keystroke(handout)
    if desk(handout).problem.value or desk(handout).looking.pages.shown.value == before:
        raise ValueError(f"not answered: {desk(handout).problem.value}")


BENCHES = (
    Bench(
        name="a colour on one page",
        candidate=lambda: made(ONE, files="pages"),
        reference=None,
        goal=median_at_most(0.3),
        rounds=5,
    ),
    Bench(
        name="a line through twelve keys, two pages",
        candidate=lambda: made(TWELVE, files="pages"),
        reference=None,
        goal=median_at_most(4),
        rounds=5,
    ),
    Bench(
        name="six colours for everyone in the room, against the engines alone",
        candidate=lambda: made(SIX, "everyone", processes=PROCESSES),
        reference=lambda: engines_alone(material(), processes=PROCESSES),
        goal=Goal(f"at most {SLOWEST:g} s and {MOST:g} times as long", in_time),
        rounds=2,
        check=same_work,
    ),
    Bench(
        name="a tune that is to fit on two pages, for everyone in the room",
        candidate=lambda: made(FITTED, "everyone", processes=PROCESSES),
        reference=None,
        goal=median_at_most(SLOWEST),
        rounds=1,
    ),
    Bench(
        name="a keystroke in the desk for handouts, two pages",
        candidate=lambda: keystroke(SIX),
        reference=None,
        goal=p95_at_most(0.15),
        check=lambda: answered(SIX),
    ),
    Bench(
        name="a keystroke in the desk for handouts, a tune that is to fit on two pages",
        candidate=lambda: keystroke(FITTED),
        reference=None,
        goal=p95_at_most(0.15),
        check=lambda: answered(FITTED),
    ),
)
