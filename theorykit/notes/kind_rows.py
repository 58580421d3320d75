"""The table of chord kinds: one row a kind, with every spelling that is read as a whole.

Source of the formulas: the symbol conventions taught in jazz theory classes, as restated by Earl
MacDonald, *Chordal extensions & alterations* (9 implies 7; 11 implies 9 and 7; 13 implies 9 and
7 but no 11; a half-diminished chord has b5 and not #11; a major chord has #11 and not b5).
The seven notes of ``7alt`` are the altered scale without its fifth (Wikipedia, *Altered scale*).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import product

from theorykit.notes.degree import Degree, degrees

__all__ = ["CHORD_KINDS", "KindRow", "expanded"]


@dataclass(frozen=True, slots=True)
class KindRow:
    """One row: the symbol we print, a plain name, the formula, the spellings we read besides."""

    symbol: str
    name: str
    formula: str
    spellings: tuple[str, ...] = ()

    @property
    def degrees(self) -> tuple[Degree, ...]:
        """The formula as degrees."""
        return degrees(self.formula)


# In a spelling, {m} stands for every way to write minor, {M} major, {o} diminished, {+} augmented.
FAMILIES = {
    "m": ("m", "-", "mi", "min"),
    "M": ("maj", "Maj", "ma", "M", "Δ"),
    "o": ("o", "dim"),
    "+": ("+", "aug"),
}

CHORD_KINDS = (
    # triads and chords with less or more than a triad
    KindRow("", "major triad", "1 3 5", ("maj", "Maj", "ma", "M")),
    KindRow("m", "minor triad", "1 b3 5", ("{m}",)),
    KindRow("dim", "diminished triad", "1 b3 b5", ("{o}", "{m}b5", "{m}(b5)")),
    KindRow("aug", "augmented triad", "1 3 #5", ("{+}",)),
    KindRow("sus4", "suspended fourth", "1 4 5", ("sus",)),
    KindRow("sus2", "suspended second", "1 2 5"),
    KindRow("5", "open fifth", "1 5"),
    KindRow("add9", "major triad with added 9", "1 3 5 9", ("2", "(9)")),
    KindRow("madd9", "minor triad with added 9", "1 b3 5 9", ("{m}add9", "{m}2", "{m}(9)")),
    # sixths
    KindRow("6", "major sixth", "1 3 5 6", ("{M}6",)),
    KindRow("6/9", "six-nine", "1 3 5 6 9", ("69", "{M}6/9", "{M}69")),
    KindRow("m6", "minor sixth", "1 b3 5 6", ("{m}6",)),
    KindRow("m6/9", "minor six-nine", "1 b3 5 6 9", ("{m}6/9", "{m}69")),
    # major with the seventh
    KindRow("maj7", "major seventh", "1 3 5 7", ("{M}7", "Δ")),
    KindRow("maj9", "major ninth", "1 3 5 7 9", ("{M}9",)),
    KindRow("maj11", "major eleventh", "1 3 5 7 9 11", ("{M}11",)),
    KindRow("maj13", "major thirteenth", "1 3 5 7 9 13", ("{M}13",)),
    KindRow("maj7#5", "major seventh, sharp 5", "1 3 #5 7", ("{+}{M}7", "{+}(maj7)", "{+}Δ")),
    # minor with the seventh
    KindRow("m7", "minor seventh", "1 b3 5 b7", ("{m}7",)),
    KindRow("m9", "minor ninth", "1 b3 5 b7 9", ("{m}9",)),
    KindRow("m11", "minor eleventh", "1 b3 5 b7 9 11", ("{m}11",)),
    KindRow("m13", "minor thirteenth", "1 b3 5 b7 9 13", ("{m}13",)),
    KindRow(
        "m(maj7)",
        "minor with major seventh",
        "1 b3 5 7",
        ("{m}{M}7", "{m}({M}7)", "{m}/{M}7", "{m}Δ", "{m}(Δ)"),
    ),
    KindRow(
        "m(maj9)", "minor with major ninth", "1 b3 5 7 9", ("{m}{M}9", "{m}({M}9)", "{m}/{M}9")
    ),
    KindRow(
        "m7b5",
        "half-diminished",
        "1 b3 b5 b7",
        ("{m}7b5", "{m}7-5", "ø", "ø7", "{m}7(b5)", "{m}7(-5)"),
    ),
    KindRow("m9b5", "half-diminished ninth", "1 b3 b5 b7 9", ("ø9", "{m}9(b5)")),
    KindRow("m11b5", "half-diminished eleventh", "1 b3 b5 b7 9 11", ("ø11", "{m}11(b5)")),
    KindRow("dim7", "diminished seventh", "1 b3 b5 bb7", ("{o}7",)),
    KindRow("dim(maj7)", "diminished with major seventh", "1 b3 b5 7", ("{o}{M}7", "{o}({M}7)")),
    # dominants
    KindRow("7", "dominant seventh", "1 3 5 b7", ("dom7",)),
    KindRow("9", "dominant ninth", "1 3 5 b7 9"),
    KindRow("11", "dominant eleventh", "1 3 5 b7 9 11"),
    KindRow("13", "dominant thirteenth", "1 3 5 b7 9 13"),
    KindRow("7#5", "dominant seventh, sharp 5", "1 3 #5 b7", ("{+}7", "7+", "7aug")),
    KindRow("9#5", "dominant ninth, sharp 5", "1 3 #5 b7 9", ("{+}9", "9+")),
    KindRow("7alt", "altered dominant", "1 3 b7 b9 #9 #11 b13", ("alt", "7(alt)")),
    KindRow("7sus4", "suspended dominant", "1 4 5 b7", ("7sus", "sus7", "sus47")),
    KindRow("9sus4", "suspended dominant ninth", "1 4 5 b7 9", ("9sus", "sus9")),
    KindRow("13sus4", "suspended dominant thirteenth", "1 4 5 b7 9 13", ("13sus", "sus13")),
    KindRow("7sus2", "dominant with suspended second", "1 2 5 b7"),
    KindRow("7sus4b9", "suspended dominant, flat 9", "1 4 5 b7 b9", ("7susb9", "susb9")),
)


def expanded(spelling: str) -> Iterable[str]:
    """Write out the family marks of one spelling.

    >>> list(expanded("{o}7"))
    ['o7', 'dim7']
    """
    parts = spelling.split("{")
    options = [(parts[0],)] + [
        tuple(way + part[2:] for way in FAMILIES[part[0]]) for part in parts[1:]
    ]
    return map("".join, product(*options))
