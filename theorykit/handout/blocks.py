"""The blocks that show music. What is left out in the text file has the value given here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from theorykit.errors import TheoryError
from theorykit.handout.block import Block, offered, progression_of, whole
from theorykit.harmony.colours import colour
from theorykit.harmony.substitute_table import NAMES
from theorykit.lines.around_keys import STEPS
from theorykit.lines.line import Line
from theorykit.notes.key import Key
from theorykit.tunes.progression import FORMS
from theorykit.views.explorer import MOST_SHORTCUTS, SPELLINGS

__all__ = [
    "LAYOUTS",
    "PARTS",
    "AllKeysBlock",
    "ColourBlock",
    "GuideToneBlock",
    "LineBlock",
    "LineInKeysBlock",
    "StaffBlock",
    "SubstitutionBlock",
]

LAYOUTS = ("table", "staves")
PARTS = ("staff", "keyboard", "table")
MOST_KEYS, MOST_ROWS, LONGEST_NOTE = 12, 12, 8


@dataclass(frozen=True, slots=True, kw_only=True)
class ColourBlock(Block):
    """A colour over V: staff, keyboard, the way to think of it, where every note goes.

    ``shortcut`` counts the ways to think of it, the best being 1; ``show`` names what stands on
    the page besides the sentences.
    """

    kind: ClassVar[str] = "colour"

    colour: str
    key: str = "C"
    form: str = "long"
    shortcut: int = 1
    spelling: str = SPELLINGS[0]
    show: tuple[str, ...] = PARTS

    def check(self) -> None:
        """Refuse an unknown colour, key, form, shortcut or spelling."""
        colour(self.colour)
        Key.parse(self.key)
        offered(self.form, "form", FORMS)
        whole(self.shortcut, "shortcut", 1, MOST_SHORTCUTS)
        offered(self.spelling, "spelling", SPELLINGS)
        for part in self.show:
            offered(part, "part to show", PARTS)


@dataclass(frozen=True, slots=True, kw_only=True)
class AllKeysBlock(Block):
    """A colour through the keys, from ``key`` on, as a table or as staves."""

    kind: ClassVar[str] = "colour in all keys"

    colour: str
    key: str = "C"
    step: str = "fifths"
    keys: int = MOST_KEYS
    layout: str = LAYOUTS[0]
    form: str = "long"

    def check(self) -> None:
        """Refuse an unknown colour, key, step, layout or form."""
        colour(self.colour)
        Key.parse(self.key)
        offered(self.step, "step", STEPS)
        whole(self.keys, "keys", 1, MOST_KEYS)
        offered(self.layout, "layout", LAYOUTS)
        offered(self.form, "form", FORMS)


@dataclass(frozen=True, slots=True, kw_only=True)
class SubstitutionBlock(Block):
    """What may stand in the place of V, with its motion picture and the reasons."""

    kind: ClassVar[str] = "substitution"

    substitute: str
    key: str = "C"

    def check(self) -> None:
        """Refuse an unknown substitute or key."""
        offered(self.substitute, "substitute", NAMES)
        Key.parse(self.key)


@dataclass(frozen=True, slots=True, kw_only=True)
class LineBlock(Block):
    """A line, written as ``Line.parse`` reads it, with the degree and the role of every note.

    It stands over ``changes`` (bars between bar lines) or, without them, over a ii-V-I.
    """

    kind: ClassVar[str] = "line"

    line: str
    key: str = "C"
    form: str = "long"
    changes: str = ""
    colour: str = ""

    def check(self) -> None:
        """Refuse a line that does not fit its progression."""
        offered(self.form, "form", FORMS)
        if self.colour:
            colour(self.colour)
        self.music()

    def music(self) -> Line:
        """Return the line over its progression, in concert pitch."""
        return written_line(self.line, self.key, self.form, self.changes)


@dataclass(frozen=True, slots=True, kw_only=True)
class LineInKeysBlock(Block):
    """A line through the keys: a staff for each."""

    kind: ClassVar[str] = "line in all keys"

    line: str
    key: str = "C"
    form: str = "long"
    changes: str = ""
    colour: str = ""
    step: str = "fifths"
    keys: int = MOST_KEYS

    def check(self) -> None:
        """Refuse a line that does not fit its progression, and an unknown step."""
        offered(self.form, "form", FORMS)
        offered(self.step, "step", STEPS)
        whole(self.keys, "keys", 1, MOST_KEYS)
        if self.colour:
            colour(self.colour)
        self.music()

    def music(self) -> Line:
        """Return the line over its progression, in concert pitch and the first key."""
        return written_line(self.line, self.key, self.form, self.changes)


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideToneBlock(Block):
    """The lines of 3rds and 7ths through a progression, and a third where a colour brings one.

    No note lasts longer than ``longest`` beats.
    """

    kind: ClassVar[str] = "guide tones"

    key: str = "C"
    form: str = "long"
    changes: str = ""
    colour: str = ""
    longest: int = 4

    def check(self) -> None:
        """Refuse changes that cannot be read, and an unknown colour."""
        offered(self.form, "form", FORMS)
        if self.colour:
            colour(self.colour)
        whole(self.longest, "longest", 1, LONGEST_NOTE)
        progression_of(self.key, self.form, self.changes)


@dataclass(frozen=True, slots=True, kw_only=True)
class StaffBlock(Block):
    """Empty staves with chord symbols to write on: the same changes in ``keys``, one after another.

    Without ``keys`` they stand in ``key`` alone, ``rows`` times.
    """

    kind: ClassVar[str] = "staves"

    key: str = "C"
    form: str = "long"
    changes: str = ""
    keys: tuple[str, ...] = ()
    rows: int = 1

    def check(self) -> None:
        """Refuse changes that cannot be read, and keys of another mode."""
        offered(self.form, "form", FORMS)
        whole(self.rows, "rows", 1, MOST_ROWS)
        if len(self.keys) > MOST_KEYS:
            raise TheoryError(f"too many keys: {len(self.keys)} (want at most {MOST_KEYS})")
        over = progression_of(self.key, self.form, self.changes)
        for key in self.keys:
            over.transposed(key)


def written_line(line: str, key: str, form: str, changes: str) -> Line:
    """Return a typed line over the progression of its block, or say where it cannot be read."""
    over = progression_of(key, form, changes)
    try:
        return Line.parse(line, over)
    except TheoryError as error:
        raise TheoryError(f"line: {error}") from None
