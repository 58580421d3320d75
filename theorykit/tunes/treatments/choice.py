"""Choices: the change made to one dominant, as a line of text and as a chord symbol."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.harmony.agreement import agrees
from theorykit.harmony.colours import CHORD_TONES, Colour, colour
from theorykit.harmony.substitution import NAMES, substitute_name
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.kinds import ChordKind

_LINE = re.compile(
    r"bar (?P<bar>[0-9]{1,5})(?: beat (?P<beat>[0-9]{1,2}(?:/[0-9]{1,2})?))?"
    r" of \| (?P<written>[^:]+) \|(?:, cadences? (?P<cadences>[0-9, ]+))?: (?P<what>.*)"
)
LONGEST_LINE = 1000  # characters of a choice
_WANT = "want a line such as 'bar 4 of | Ab7 |, cadence 1: split, colour b9 13'"


@dataclass(frozen=True, slots=True)
class Choice:
    """What is done to one dominant.

    ``bar`` and ``beat`` say where it is written, from 1; ``written`` is the text of that bar, and
    of the next ones it is held through; ``cadences`` are the numbers, from 0, of the cadences it
    is the V of. ``split`` puts the ii before it, ``colour`` names a colour, ``substitute`` a
    substitute; empty texts leave it as it is written.

    >>> one = Choice(4, Fraction(1), ("Ab7",), (0,), split=True, colour="b9 13")
    >>> str(one)
    'bar 4 of | Ab7 |, cadence 1: split, colour b9 13'
    >>> Choice.parse(str(one)) == one
    True
    """

    bar: int
    beat: Fraction
    written: tuple[str, ...]
    cadences: tuple[int, ...] = ()
    split: bool = False
    colour: str = ""
    substitute: str = ""

    def __post_init__(self) -> None:
        """Refuse what nobody can do; names are kept in their plain form."""
        if self.bar < 1 or self.beat < 1 or not self.written:
            raise TheoryError(
                f"no place for a choice: bar {self.bar}, beat {self.beat} (want 1 up)"
            )
        if self.colour:
            object.__setattr__(self, "colour", str(colour(self.colour)))
        if self.substitute and self.substitute not in NAMES:
            raise TheoryError(
                f"no such substitute: {shown(self.substitute)} (want one of {', '.join(NAMES)})"
            )

    @property
    def is_plain(self) -> bool:
        """True where the dominant stays as it is written."""
        return not (self.split or self.colour or self.substitute)

    def with_(
        self, split: bool | None = None, colour: str | None = None, substitute: str | None = None
    ) -> Choice:
        """Return the choice with what is given changed."""
        new = {"split": split, "colour": colour, "substitute": substitute}
        given = {name: value for name, value in new.items() if value is not None}
        return replace(self, **given)  # type: ignore[arg-type]

    @classmethod
    def parse(cls, line: str) -> Choice:
        """Read one line. The reverse of ``str``."""
        is_short = isinstance(line, str) and len(line) < LONGEST_LINE
        found = _LINE.fullmatch(" ".join(line.split())) if is_short else None
        if found is None:
            raise TheoryError(f"not a choice: {shown(line)} ({_WANT})")
        numbers = (found["cadences"] or "").replace(",", " ").split()
        split, named = _read_what(found["what"], line)
        return cls(
            bar=int(found["bar"]),
            beat=_read_beat(found["beat"] or "1", line),
            written=tuple(text.strip() for text in found["written"].split("|")),
            cadences=tuple(int(number) - 1 for number in numbers),
            split=split,
            **named,
        )

    def __str__(self) -> str:
        beat = "" if self.beat == 1 else f" beat {self.beat}"
        numbers = " ".join(str(number + 1) for number in self.cadences)
        plural = "s" if len(self.cadences) > 1 else ""
        whose = f", cadence{plural} {numbers}" if numbers else ""
        return f"bar {self.bar}{beat} of | {' | '.join(self.written)} |{whose}: {self._what()}"

    def _what(self) -> str:
        """Say what is done."""
        parts = ["split"] if self.split else []
        parts += [f"colour {self.colour}"] if self.colour else []
        parts += [f"substitute {self.substitute}"] if self.substitute else []
        return ", ".join(parts) or "as written"


def _read_beat(text: str, line: str) -> Fraction:
    """Read a beat such as 3 or 7/2."""
    try:
        return Fraction(text)
    except ZeroDivisionError:
        raise TheoryError(f"not a choice: {shown(line)} ({_WANT})") from None


def _read_what(text: str, line: str) -> tuple[bool, dict[str, str]]:
    """Read what is done."""
    if text.strip() == "as written":
        return False, {}
    split, named = False, dict[str, str]()
    for part in text.split(","):
        word, _, name = part.strip().partition(" ")
        if word == "split" and not name and not split:
            split = True
        elif word in ("colour", "substitute") and name and word not in named:
            plain = name.strip()
            named[word] = substitute_name(plain) if word == "substitute" else plain
        else:
            raise TheoryError(
                f"not a choice: {shown(part.strip())} in {shown(line)} (want 'as written', or "
                "'split', 'colour ...' and 'substitute ...' with commas between)"
            )
    return split, named


# === Symbols with a colour ===

# Scales and suspensions are written with the symbol that the trade has for them (common practice):
# nobody writes all seven notes. The natural 7 of the last row belongs to no symbol of the V.
_SYMBOLS = {
    "half-whole diminished": "1 3 5 b7 b9 13",
    "altered": "1 3 b7 b9 #9 #11 b13",
    "whole tone": "1 3 #5 b7 9",
    "lydian dominant": "1 3 5 b7 9 #11",
    "suspended": "1 4 5 b7 9",
    "suspended b9": "1 4 5 b7 b9",
    "its related ii": "1 3 5 b7 #9 b13",
}

THIRD, FIFTH, FLAT_THIRTEENTH = degrees("3 5 b13")
_THIRDS = (2, 3, 4)  # the numbers of a third and of what suspends it


def coloured(chord: Chord, name: str | Colour) -> Chord:
    """Return a dominant with the symbol of a colour; its root and bass stay.

    What is written in the symbol stays there too, unless the colour contradicts it.

    >>> [str(coloured(Chord.parse("Ab7"), c)) for c in ("b9 13", "altered", "suspended")]
    ['Ab13b9', 'Ab7alt', 'Ab9sus4']
    >>> [str(coloured(Chord.parse(c), "b9 b13")) for c in ("C7alt", "C7#5", "C7#9")]
    ['C7alt', 'C7#5b9', 'C7b9#9b13']
    """
    row = colour(name)
    row.notes(chord)  # refuses what is no dominant
    formula = _SYMBOLS.get(row.name)
    kind = ChordKind.of(formula if formula is not None else CHORD_TONES.union(row.degrees))
    if not agrees(row, chord):
        return replace(chord, kind=kind)
    return replace(chord, kind=_together(chord.kind, kind))


def _together(written: ChordKind, new: ChordKind) -> ChordKind:
    """Return the kind that says what is written and what a colour adds.

    The symbol of the colour is enough where it says all of that. A note that both have keeps the
    name that is written: the #5 of C7#5 does not become a b13.
    """
    said = {degree.semitone for degree in written.degrees if degree not in CHORD_TONES}
    is_alike = (THIRD in written.degrees) == (THIRD in new.degrees)
    has_fifth = FIFTH in written.degrees or FIFTH not in new.degrees
    if is_alike and has_fifth and said <= {degree.semitone for degree in new.degrees}:
        return new
    own = [degree for degree in written.degrees if degree != FIFTH or FIFTH in new.degrees]
    return ChordKind.of([*own, *_added(own, new)])


def _added(own: Sequence[Degree], new: ChordKind) -> Iterator[Degree]:
    """Yield what a colour adds: no other third, no plain fifth, one altered fifth at most."""
    known = {degree.semitone for degree in own}
    altered = any(degree.number == FIFTH.number and degree.alteration for degree in own)
    for degree in new.degrees:
        if degree.number in _THIRDS or degree == FIFTH or degree.semitone in known:
            continue
        yield FLAT_THIRTEENTH if altered and degree.number == FIFTH.number else degree
