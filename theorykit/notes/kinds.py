"""Chord kinds: one table, what each is made of, how it is read, printed and named.

Source of the formulas: the symbol conventions taught in jazz theory classes, as restated by Earl
MacDonald, *Chordal extensions & alterations*, undated (9 implies 7; 11 implies 9 and 7; 13 implies
9 and 7 but no 11; a half-diminished chord has b5 and not #11; a major chord has #11 and not b5).
The seven notes of ``7alt`` are the altered scale without its fifth (Wikipedia contributors,
*Altered scale*, undated).

A kind *is* its set of degrees. Two spellings with the same degrees are the same kind, and the
symbol that is printed is found from the degrees alone. The table is in ``kind_rows``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

from theorykit.errors import TheoryError
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.note import pretty_accidentals

__all__ = ["CHORD_KINDS", "REPLACED_BY", "SPELLINGS", "ChordKind", "KindRow", "expanded"]


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
        (
            *("{m}{M}7", "{m}({M}7)", "{m}/{M}7", "{m}Δ", "{m}(Δ)"),
            *("{m}#7", "{m}(#7)", "{m}(+7)"),
        ),
    ),
    KindRow(
        "m(maj9)",
        "minor with major ninth",
        "1 b3 5 7 9",
        ("{m}{M}9", "{m}({M}9)", "{m}/{M}9", "{m}9(#7)", "{m}9(+7)"),
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
    KindRow("9sus4", "suspended dominant ninth", "1 4 5 b7 9", ("9sus", "sus9", "sus(9)")),
    KindRow(
        "13sus4",
        "suspended dominant thirteenth",
        "1 4 5 b7 9 13",
        ("13sus", "sus13", "sus(13)"),
    ),
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


# === Symbols and names ===

# A mark that stands at the end of a symbol and changes one degree of it.
REPLACED_BY = {
    Degree(5, -1): Degree(5),
    Degree(5, 1): Degree(5),
    Degree(9, -1): Degree(9),
    Degree(9, 1): Degree(9),
    Degree(11, 1): Degree(11),
    Degree(13, -1): Degree(13),
}
OMITTABLE = degrees("1 3 5 9 11")
THIRD = Degree(3)
SUSPENSIONS = {Degree(4): "sus4", Degree(2): "sus2"}
SILENT = "N.C."

_ROWS = {frozenset(row.degrees): row for row in CHORD_KINDS}
_BASES = tuple((row, row.degrees) for row in CHORD_KINDS if "alt" not in row.symbol)


@lru_cache(maxsize=2048)  # a chart says few kinds, and each many times
def named(found: tuple[Degree, ...]) -> tuple[str, str]:
    """Return symbol and name of a set of degrees; ``N.C.`` for none.

    >>> named(degrees("1 3 5 b7 b9 13"))
    ('13b9', 'dominant thirteenth, flat 9')
    >>> named(degrees("1 4 5 7"))
    ('maj7sus4', 'major seventh, suspended')
    """
    if not found:
        return SILENT, "no chord"
    row = _ROWS.get(frozenset(found))
    if row is not None:
        return row.symbol, row.name
    options = () if _contradicts(found) else _options(frozenset(found))
    best = min(options, key=lambda marks: marks.cost, default=None)
    if best is None:
        raise TheoryError(
            f"no symbol for the degrees {' '.join(map(str, found))} "
            "(want one third or suspension, one fifth and one seventh at most)"
        )
    return best.symbol, best.words


@dataclass(frozen=True, slots=True)
class _Marks:
    """A row and what must be suspended, altered, added and left out to reach other degrees."""

    row: KindRow
    suspended: str
    altered: list[Degree]
    added: list[Degree]
    omitted: list[Degree]

    @property
    def cost(self) -> int:
        """How hard it reads: an alteration is read at a glance, a late 3 or 7 is a riddle."""
        riddles = sum(degree.number in (3, 7) for degree in self.added)
        marks = len(self.altered) + 2 * len(self.added) + 3 * len(self.omitted)
        return bool(self.suspended) + marks + 6 * riddles

    @property
    def symbol(self) -> str:
        """The symbol; a triad without a letter takes brackets: Cb5 would be read as C flat."""
        start = self.row.symbol + self.suspended
        alterations = "".join(map(str, self.altered))
        if alterations and not start:
            alterations = f"({alterations})"
        adds = "".join(f"add{degree}" for degree in self.added)
        return start + alterations + adds + "".join(f"no{degree}" for degree in self.omitted)

    @property
    def words(self) -> str:
        """The name of the row, then the marks."""
        marks = [f"{'flat' if d.alteration < 0 else 'sharp'} {d.number}" for d in self.altered]
        marks += [f"added {degree}" for degree in self.added]
        marks += [f"without {degree}" for degree in self.omitted]
        return ", ".join([self.row.name, *["suspended"] * bool(self.suspended), *marks])


def _contradicts(found: tuple[Degree, ...]) -> bool:
    """Tell whether there are two thirds or suspensions, or two sevenths."""
    thirds = sum(degree.number in (2, 3, 4) for degree in found)
    return thirds > 1 or sum(degree.number == 7 for degree in found) > 1


def _options(wanted: frozenset[Degree]) -> Iterator[_Marks]:
    """Run through the ways to write some degrees, the third suspended where a 4 or 2 is for it."""
    for row, base in _BASES:
        plain = _marks(row, base, wanted)
        if plain is not None:
            yield plain
    for degree in wanted.intersection(SUSPENSIONS):
        unsuspended = wanted - {degree} | {THIRD}
        for row, base in _BASES:
            marks = _marks(row, base, unsuspended, SUSPENSIONS[degree]) if THIRD in base else None
            if marks is not None:
                yield marks


def _marks(
    row: KindRow, base: tuple[Degree, ...], wanted: frozenset[Degree], suspended: str = ""
) -> _Marks | None:
    """Return what turns a row into the wanted degrees, or None where no marks do."""
    missing = [degree for degree in base if degree not in wanted]
    extra = sorted(wanted.difference(base), key=lambda degree: degree.semitones)
    seventh = any(degree.number in (6, 7) for degree in base)
    altered = [d for d in extra if d in REPLACED_BY and (seventh or d.number == 5)]
    if any(d.number == 5 and REPLACED_BY[d] not in missing for d in altered):
        return None  # a fifth that is both plain and altered has no symbol
    replaced = {REPLACED_BY[degree] for degree in altered}
    if replaced.intersection(base) - set(missing):
        return None  # the plain degree would be lost, but is wanted
    omitted = [degree for degree in missing if degree not in replaced]
    added = [degree for degree in extra if degree not in altered]
    if any(degree not in OMITTABLE for degree in omitted) or _unwritten(added):
        return None
    return _Marks(row, suspended, altered, added, omitted)


def _unwritten(added: list[Degree]) -> bool:
    """Tell whether an added degree has no mark: a minor third, or a 4 or 2 without the third."""
    return any(d in SUSPENSIONS or (d.number == 3 and d != THIRD) for d in added)


_SEVENTH, _MINOR_THIRD, *_THIRDS = degrees("b7 b3 3 4 2")  # what makes a dominant, or no dominant


# === The kind of a chord ===


@dataclass(frozen=True, slots=True)
class ChordKind:
    """What a chord is made of, root left out. Equal degrees, equal kind.

    >>> kind = ChordKind.of("1 3 5 b7 b9 13")
    >>> kind.symbol, kind.name
    ('13b9', 'dominant thirteenth, flat 9')
    """

    degrees: tuple[Degree, ...]

    @classmethod
    def of(cls, formula: str | Iterable[Degree]) -> ChordKind:
        """Return the kind with these degrees, in climbing order, each once.

        >>> ChordKind.of("1 5 b3 b7") == ChordKind.of("1 b3 5 b7")
        True
        """
        found = degrees(formula) if isinstance(formula, str) else tuple(formula)
        return cls(tuple(sorted(set(found), key=lambda d: (d.semitones, d.number))))

    @property
    def symbol(self) -> str:
        """The symbol that we print, plain ASCII; the empty text for a major triad."""
        return named(self.degrees)[0]

    @property
    def name(self) -> str:
        """The kind in words."""
        return named(self.degrees)[1]

    @property
    def pretty(self) -> str:
        """The symbol with ♭ and ♯."""
        return pretty_accidentals(self.symbol)

    def has(self, degree: str) -> bool:
        """Tell whether a degree, such as ``"b7"``, belongs to the kind."""
        return Degree.parse(degree) in self.degrees

    @property
    def is_dominant(self) -> bool:
        """Major third (or a suspension of it) under a minor seventh.

        >>> [ChordKind.of(f).is_dominant for f in ("1 3 5 b7", "1 4 5 b7", "1 b3 5 b7")]
        [True, True, False]
        """
        held = self.degrees
        return _SEVENTH in held and _MINOR_THIRD not in held and any(d in held for d in _THIRDS)

    def __str__(self) -> str:
        return self.symbol


# Every spelling that is read as a whole, and its kind.
SPELLINGS: dict[str, ChordKind] = {
    spelling: ChordKind.of(row.formula)
    for row in CHORD_KINDS
    for written in (row.symbol, *row.spellings)
    for spelling in expanded(written)
}
