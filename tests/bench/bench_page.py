"""Pages as a reader sees them: from a choice or a letter to the change in the page, in Chromium."""

import atexit
from contextlib import ExitStack
from functools import cache
from itertools import cycle
from pathlib import Path
from random import Random
from tempfile import mkdtemp

from lab import Lab, NotebookPage, chromium, find_chromium, server
from measure import Bench, median_at_most, p95_at_most

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
DESK = """from IPython.display import display
from ipywidgets import HTML, Textarea
from theorykit.widgets import line_desk
bare, echo = Textarea(description="bare"), HTML()
bare.observe(lambda change: setattr(echo, "value", change.new), "value")
display(bare, echo)
line_desk()
"""
LINE = "8th F4 A4 C5 E5 D5 C5 A4 F4 | E4 F4 G4 Ab4 B4 D5 Ab4 B4 | half C5 rest"
LETTERS, OTHERS = (cycle(LINE.replace("A4 F4", f"A4 {one}4") for one in "GFDE") for _ in range(2))
# Another key or colour by chance, again and again: some have all their notes new. The player says
# when it can start without ever waiting for a sound (tests/browser/test_player_supply.py).
CHANCE = Random(14)
_TRAVEL = """([label, number, still]) => new Promise((resolve, reject) => {
    const named = box => box.querySelector('.widget-label')?.textContent.trim() === label;
    const box = [...document.querySelectorAll('.jp-Notebook .widget-dropdown')].find(named);
    const select = box.querySelector('select');
    const others = [...select.options].filter(one => !one.selected);
    const player = document.querySelector('.theorykit-player');
    const before = player.dataset.ready;
    select.value = others[Math.floor(number * others.length)].value;
    select.dispatchEvent(new Event('change', {bubbles: true}));
    const end = setTimeout(() => reject(new Error('no sound')), 20000);
    const timer = setInterval(() => {
        if (player.dataset.ready === before) return;
        clearInterval(timer);
        clearTimeout(end);
        setTimeout(resolve, 1000 * still);
    }, 1);
})"""


@cache
def lab() -> Lab:
    """Return JupyterLab and a browser, started once."""
    stack = ExitStack()
    atexit.register(stack.close)
    browser = stack.enter_context(chromium(str(find_chromium())))
    found = Lab(stack.enter_context(server(Path(mkdtemp()))), browser)
    stack.callback(found.close)
    return found


@cache
def page() -> NotebookPage:
    """Return the first chapter, opened once."""
    opened = lab().open_notebook("01_motion_over_the_five")
    opened.run_all()
    return opened


@cache
def desk() -> NotebookPage:
    """Return the desk for lines under a bare field, opened once."""
    opened = lab().open_notebook(lab().write_notebook("lines.ipynb", DESK))
    opened.run_all()
    return opened


def choose() -> None:
    """Choose once; the bench's clock runs until the page has been still for a while."""
    label, option = next(CHOICES)
    page().time_choice(label, option.replace(" ", "\u00a0"), quiet=STILL)


@cache
def sounding() -> NotebookPage:
    """Return an explorer of its own, opened once, with the sounds of its first colour."""
    source = "from theorykit.widgets import explorer\nexplorer('C')"
    opened = lab().open_notebook(lab().write_notebook("sounding.ipynb", source))
    opened.run_all()
    opened.page.locator(".theorykit-player[data-ready]").wait_for()
    return opened


def travel() -> None:
    """Choose a key or a colour by chance; the clock runs until it can be heard, and a while on."""
    label = CHANCE.choice(("key", "colour over V", "colour over V"))
    sounding().page.evaluate(_TRAVEL, [label, CHANCE.random(), STILL])


def type_letter() -> None:
    """Change a letter of a line; the staff answers."""
    desk().time_text("your line", next(LETTERS), quiet=STILL)


def type_bare() -> None:
    """Change a letter of a bare field, which the kernel only hands back."""
    desk().time_text("bare", next(OTHERS), quiet=STILL)


BENCHES = (
    (
        Bench(
            name="a choice in the explorer, seen in the page (250 ms, and 400 ms of stillness)",
            candidate=choose,
            reference=None,
            goal=median_at_most(0.250 + STILL),
            rounds=24,
        ),
        Bench(
            name="a key or colour by chance, to be heard in the page (150 ms, and 400 still)",
            candidate=travel,
            reference=None,
            goal=p95_at_most(0.150 + STILL),
            rounds=60,
        ),
        Bench(
            name="a letter in the desk for lines, seen in the page (400 ms, and 400 still)",
            candidate=type_letter,
            reference=type_bare,
            goal=median_at_most(0.400 + STILL),
            rounds=12,
        ),
    )
    if find_chromium()
    else ()
)
