"""The desk for lines: a keystroke answered in the kernel, with staff, words and table.

Only keystrokes that change the picture are timed: a letter of a note becomes another one, in a line
that is whole. The yardstick is the bare engraving of such a staff by verovio, from MusicXML that is
written already.

A long line is answered as in a notebook: its labels are as far apart as they were before, and are
looked at again when the reader pauses.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import cycle, product

import verovio
from measure import Bench, p95_at_most

from theorykit.lines.text import Line
from theorykit.lines.writing import write_lines
from theorykit.show.engraving import musicxml
from theorykit.tunes.progression import Progression, two_five_one
from theorykit.views.staves import staff_of_line
from theorykit.widgets import LineDesk

OVER = two_five_one("Db", "split")
LINE = write_lines(OVER, "altered", count=1, seed=4)[0]
TIMES, BARS = 11, 32
LONG_OVER = Progression(OVER.key, (OVER.bars * TIMES)[:BARS])
LONG = Line(
    LONG_OVER,
    tuple(
        replace(note, start=note.start + OVER.beats * turn)
        for turn in range(TIMES)
        for note in LINE.notes
        if note.start + OVER.beats * turn + note.beats <= LONG_OVER.beats
    ),
)


def texts(line: Line) -> Iterator[str]:
    """Run for ever through texts of which each differs from the one before by a letter or two."""
    words = line.text.split()
    notes = [at for at, word in enumerate(words) if word[0] in "ABCDEFG"]
    changed = [(at, letter + words[at][1:]) for letter, at in product("CDEFGAB", notes)]
    return cycle(" ".join([*words[:at], word, *words[at + 1 :]]) for at, word in changed)


DESK, LONG_DESK = (LineDesk(line=line, book="not opened") for line in (LINE, LONG))
LONG_DESK.page.quiet.at_once = False
TEXTS, LONG_TEXTS = texts(LINE), texts(LONG)


def keystroke() -> None:
    """Change a letter of a line over a ii-V-I."""
    DESK.text.value = next(TEXTS)


def long_keystroke() -> None:
    """Change a letter of a line of 32 bars."""
    LONG_DESK.text.value = next(LONG_TEXTS)


def answered() -> None:
    """Raise where a keystroke is not read to the end of the line."""
    for desk, work in ((DESK, keystroke), (LONG_DESK, long_keystroke)):
        before = desk.page.staff.value
        work()
        work()
        if desk.problem.value or desk.page.staff.value == before:
            raise ValueError(f"not answered: {desk.problem.value}")


TOOLKIT = verovio.toolkit()
SCORE, LONG_SCORE = (musicxml(staff_of_line(line)) for line in (LINE, LONG))


def bare(score: str) -> str:
    """Engrave a staff that is written already."""
    TOOLKIT.loadData(score)
    return str(TOOLKIT.renderToSVG(1))


BENCHES = (
    Bench(
        name="a keystroke in the desk for lines",
        candidate=keystroke,
        reference=lambda: bare(SCORE),
        goal=p95_at_most(0.150),
        rounds=60,
        check=answered,
    ),
    Bench(
        name="a keystroke in a line of 32 bars",
        candidate=long_keystroke,
        reference=lambda: bare(LONG_SCORE),
        goal=p95_at_most(0.150),
        rounds=40,
        check=answered,
    ),
)
