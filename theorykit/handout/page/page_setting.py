"""Settings: how close a page is set, from the plain one to the closest, one step after another.

A handout with a target is set in the first of them in which it fits. The order is that of what a
player misses least: first the space between things, then the margins, then the size of letters and
staves, and only then a part. A staff never becomes smaller than music on a stand is (6 mm), and
what is to be played, asked or read in a teacher's own words is never left out.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from theorykit.handout.front import SIZES

# Width of the text in millimetres. In large print the margins give way.
NARROW, WIDE = 150.0, 180.0
APART = 0.6  # the least space between things in large print


@dataclass(frozen=True, slots=True)
class Setting:
    """How a page is set: width of the text in millimetres, letters and space as shares of theirs.

    ``top`` and ``bottom`` are margins in millimetres; ``small`` sets all staves in the smallest
    size; ``free`` lets a section break between pages wherever a piece ends; ``without`` are the
    parts of blocks that are left out.
    """

    measure: float = NARROW
    letters: float = 1.0
    space: float = 1.0
    top: float = 17.0
    bottom: float = 14.0
    small: bool = False
    free: bool = False
    without: tuple[str, ...] = ()

    def width(self, size: str) -> float:
        """Return the width of the text in millimetres, in a size of print.

        >>> PLAIN.width("normal"), PLAIN.width("large print")
        (150.0, 180.0)
        """
        return self.measure if SIZES[size] == 1 else WIDE

    def near(self, size: str) -> float:
        """Return the space between things in a size of print, as a share of that of normal print.

        It grows with large letters, but not where a page is as close as it can be: letters are what
        a reader of large print needs large. Lines and rules still stand apart there.

        >>> PLAIN.near("large print"), SETTINGS[-1].near("large print") == APART
        (1.5, True)
        """
        if SIZES[size] == 1:
            return self.space
        return max(APART, self.space * (SIZES[size] if self.space >= APART else 1.0))

    def margins(self, size: str) -> tuple[float, float]:
        """Return the margins above and below the text in millimetres; large print has small ones.

        >>> PLAIN.margins("normal"), PLAIN.margins("large print")
        ((17.0, 14.0), (11.0, 10.0))
        """
        return (self.top, self.bottom) if SIZES[size] == 1 else (_CLOSE.top, _CLOSE.bottom)

    def letters_in(self, size: str) -> float:
        """Return the size of letters as a share of theirs; those of large print never shrink.

        >>> SETTINGS[-1].letters_in("normal"), SETTINGS[-1].letters_in("large print")
        (0.92, 1.0)
        """
        return self.letters if SIZES[size] == 1 else 1.0


# What is left out, in this order; the names are those of the parts that blocks show. Asides are
# what the page adds to the teacher's own notes in the margin.
ASIDES = "asides"
LEFT_OUT = ((ASIDES, "pull"), ("reasons", "words"), ("keyboard", "motion"), ("table",), ("plan",))

PLAIN = Setting()
_CLOSE = replace(PLAIN, space=0.75, top=11.0, bottom=10.0)
_WIDER = replace(_CLOSE, measure=WIDE)
_SMALLER = replace(_WIDER, letters=0.92, space=0.6, small=True, free=True)


def _settings() -> tuple[Setting, ...]:
    """Return all settings, each closer than the one before."""
    found = [PLAIN, _CLOSE, _WIDER, _SMALLER, replace(_SMALLER, space=0.54)]
    for parts in LEFT_OUT:
        found.append(replace(found[-1], without=(*found[-1].without, *parts)))
    return *found, replace(found[-1], space=0.45)


SETTINGS = _settings()
