"""The explorer: a change answered in the kernel, and all colours with all their shortcuts.

A round of the explorer changes key or colour to one that was not shown before in the same order, so
that nothing is answered from a picture that was kept. The yardstick for pictures and text is the
bare engraving of the same staff by verovio from MusicXML that is written already.
"""

from itertools import cycle, product

import verovio
from measure import Bench, median_at_most, p95_at_most

import theorykit.widgets.exploring as room
from theorykit.harmony.colours import COLOURS
from theorykit.harmony.shortcuts import shortcuts
from theorykit.notes.key import KEYS
from theorykit.show.engraving import musicxml
from theorykit.views.explorer_view import explore

DOMINANTS = "C7 Db7 D7 Eb7 E7 F7 F#7 G7 Ab7 A7 Bb7 B7".split()
# Neighbours in this order share neither key nor colour.
CHOICES = cycle([(str(KEYS[7 * n % 30]), COLOURS[5 * n % 18].name) for n in range(90)])


def all_shortcuts() -> int:
    """Find every shortcut of every colour over every dominant, and name it."""
    found = product(DOMINANTS, COLOURS)
    return sum(len(s.shape) for chord, colour in found for s in shortcuts(chord, colour))


def _explorer(*, heard: bool) -> room.Explorer:
    """Return an explorer, with or without its players."""
    box = room.Explorer()
    if not heard:
        box._play = lambda: None  # type: ignore[method-assign]
    return box


SEEN, HEARD = _explorer(heard=False), _explorer(heard=True)


def change_seen() -> None:
    """Change key, then colour: sentence, staff, keyboard and table."""
    SEEN.key.value, SEEN.colour.value = next(CHOICES)


def change_heard() -> None:
    """The same with both players."""
    HEARD.key.value, HEARD.colour.value = next(CHOICES)


TOOLKIT = verovio.toolkit()
SCORE = musicxml(explore("F#", "long", "altered").staff)


def bare_engraving() -> str:
    """Engrave a staff that is written already, twice, as the two changes do."""
    for _ in range(2):
        TOOLKIT.loadData(SCORE)
        picture = TOOLKIT.renderToSVG(1)
    return str(picture)


BENCHES = (
    Bench(
        name="all colours over 12 dominants, all shortcuts named",
        candidate=all_shortcuts,
        reference=None,
        goal=median_at_most(0.150),
    ),
    Bench(
        name="two changes in the explorer, seen (100 ms each)",
        candidate=change_seen,
        reference=bare_engraving,
        goal=p95_at_most(0.200),
        rounds=60,
    ),
    Bench(
        name="two changes in the explorer, seen and heard (250 ms each)",
        candidate=change_heard,
        reference=bare_engraving,
        goal=p95_at_most(0.500),
        rounds=60,
    ),
)
