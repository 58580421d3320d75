"""Choices: the change made to one dominant, as a line of text and as a chord symbol."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import CHORD_TONES, Colour, colour
from theorykit.harmony.substitution import NAMES
from theorykit.notes.chord import Chord
from theorykit.notes.kinds import ChordKind

_LINE = re.compile(
    r"bar (?P<bar>[0-9]{1,5})(?: beat (?P<beat>[0-9]{1,2}(?:/[0-9]{1,2})?))?"
    r" of \| (?P<written>[^:]+) \|(?:, cadences? (?P<cadences>[0-9, ]+))?: (?P<what>.*)"
)
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
            object.__setattr__(self, "colour", colour(self.colour).name)
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
        found = _LINE.fullmatch(" ".join(line.split())) if len(line) < 1000 else None
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
            named[word] = name.strip()
        else:
            raise TheoryError(
                f"not a choice: {shown(part.strip())} in {shown(line)} (want 'as written', or "
                "'split', 'colour ...' and 'substitute ...' with commas between)"
            )
    return split, named


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


def coloured(chord: Chord, name: str | Colour) -> Chord:
    """Return a dominant with the symbol of a colour; its root and bass stay.

    >>> [str(coloured(Chord.parse("Ab7"), c)) for c in ("b9 13", "altered", "suspended")]
    ['Ab13b9', 'Ab7alt', 'Ab9sus4']
    """
    row = colour(name)
    row.notes(chord)  # refuses what is no dominant
    formula = _SYMBOLS.get(row.name)
    if formula is not None:
        return replace(chord, kind=ChordKind.of(formula))
    return replace(chord, kind=ChordKind.of(CHORD_TONES.union(row.degrees)))
