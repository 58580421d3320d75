"""The pages of substitutes, identification and tensions: a change answered in the kernel.

A round changes to what was not shown before in the same order. The yardstick for pictures and text
is the bare engraving of the same staff by verovio from MusicXML that is written already.
"""

from itertools import cycle

import verovio
from measure import Bench, p95_at_most

import theorykit.widgets.identifying as identifying
import theorykit.widgets.substituting as substituting
from theorykit.harmony.substitution import NAMES
from theorykit.notes.key import KEYS
from theorykit.show.engraving import musicxml
from theorykit.tunes.progression import cadence_chords
from theorykit.views.substitutes_view import substitution
from theorykit.views.tension_table import SORTS
from theorykit.widgets import SubsetTable

# Neighbours in this order share neither key nor substitute.
CHOICES = cycle([(str(KEYS[7 * n % 30]), NAMES[5 * n % 12]) for n in range(60)])
TAPS = cycle(range(60, 84))
CADENCES = cycle([cadence_chords(key)[1:] for key in KEYS])
TABLES = cycle(list(zip(map(str, KEYS), list(SORTS) * 8, strict=False)))


def _page(*, heard: bool) -> substituting.Substitutions:
    """Return the page of substitutes, with or without its players."""
    box = substituting.Substitutions()
    if not heard:
        box._play = lambda: None  # type: ignore[method-assign]
    return box


SEEN, HEARD = _page(heard=False), _page(heard=True)
NOTES, TABLE = identifying.IdentifyNotes(), SubsetTable()


def change_seen() -> None:
    """Change key, then substitute: words, staff, keyboard, motion and clock."""
    SEEN.key.value, SEEN.substitute.value = next(CHOICES)


def change_heard() -> None:
    """The same with all three players."""
    HEARD.key.value, HEARD.substitute.value = next(CHOICES)


def tap() -> None:
    """Tap a key over another chord, three answers in all, each with pictures and player."""
    v, one = next(CADENCES)
    NOTES.over.value, NOTES.target.value = str(v), str(one)
    NOTES.piano.tap(next(TAPS))


def sort_table() -> None:
    """Show the table of another key in another order."""
    TABLE.key.value, TABLE.sort.value = next(TABLES)


TOOLKIT = verovio.toolkit()
SCORE = musicxml(substitution("F#", "chain of dominants").staff)


def bare_engraving() -> str:
    """Engrave a staff that is written already, twice, as the two changes do."""
    for _ in range(2):
        TOOLKIT.loadData(SCORE)
        picture = TOOLKIT.renderToSVG(1)
    return str(picture)


BENCHES = (
    Bench(
        name="two changes in the page of substitutes, seen (100 ms each)",
        candidate=change_seen,
        reference=bare_engraving,
        goal=p95_at_most(0.200),
        rounds=60,
    ),
    Bench(
        name="two changes in the page of substitutes, seen and heard (250 ms each)",
        candidate=change_heard,
        reference=bare_engraving,
        goal=p95_at_most(0.500),
        rounds=60,
    ),
    Bench(
        name="three changes in identification, seen and heard (250 ms each)",
        candidate=tap,
        reference=None,
        goal=p95_at_most(0.750),
        rounds=48,
    ),
    Bench(
        name="two changes in the table of tensions (100 ms each)",
        candidate=sort_table,
        reference=None,
        goal=p95_at_most(0.200),
        rounds=60,
    ),
)
