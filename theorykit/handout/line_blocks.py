"""The blocks that show lines, and the empty staves to write one on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from theorykit.errors import TheoryError
from theorykit.handout.block import Block, offered, progression_of, whole
from theorykit.handout.blocks import MOST_KEYS, STAFF_LAYOUTS
from theorykit.harmony.colours import colour
from theorykit.lines.band import STEPS
from theorykit.lines.text import Line
from theorykit.tunes.progression import FORMS

__all__ = ["GuideToneBlock", "LineBlock", "LineInKeysBlock", "StaffBlock"]

MOST_ROWS, LONGEST_NOTE = 12, 8


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenLine(Block):
    """A line, written as ``Line.parse`` reads it, in concert pitch.

    It stands over ``changes`` (bars between bar lines) or, without them, over a ii-V-I.
    """

    line: str
    key: str = "C"
    form: str = "long"
    changes: str = ""
    colour: str = ""

    @property
    def prints_notes(self) -> bool:
        """True where the line is, always."""
        return True

    def check(self) -> None:
        """Refuse a line that does not fit its progression."""
        offered(self.form, "form", FORMS)
        if self.colour:
            colour(self.colour)
        self.music()

    def music(self) -> Line:
        """Return the line over its progression, in concert pitch and the key that is written."""
        over = progression_of(self.key, self.form, self.changes)
        try:
            return Line.parse(self.line, over)
        except TheoryError as error:
            raise TheoryError(f"line: {error}") from None


@dataclass(frozen=True, slots=True, kw_only=True)
class LineBlock(WrittenLine):
    """A line with the degree and the role of every note."""

    kind: ClassVar[str] = "line"


@dataclass(frozen=True, slots=True, kw_only=True)
class LineInKeysBlock(WrittenLine):
    """A line through the keys: a staff for each."""

    kind: ClassVar[str] = "line in all keys"

    step: str = "fifths"
    keys: int = MOST_KEYS

    def check(self) -> None:
        """Refuse a line that does not fit its progression, and an unknown step."""
        offered(self.step, "step", STEPS)
        whole(self.keys, "keys", 1, MOST_KEYS)
        WrittenLine.check(self)


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

    @property
    def prints_notes(self) -> bool:
        """True where the lines are, always."""
        return True

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

    Without ``keys`` they stand in ``key`` alone. Each stands there ``rows`` times, as wide as the
    page or beside the name of the key.
    """

    kind: ClassVar[str] = "staves"

    key: str = "C"
    form: str = "long"
    changes: str = ""
    keys: tuple[str, ...] = ()
    rows: int = 1
    layout: str = STAFF_LAYOUTS[0]

    def check(self) -> None:
        """Refuse changes that cannot be read, and keys of another mode."""
        offered(self.form, "form", FORMS)
        whole(self.rows, "rows", 1, MOST_ROWS)
        offered(self.layout, "layout", STAFF_LAYOUTS)
        if len(self.keys) > MOST_KEYS:
            raise TheoryError(f"too many keys: {len(self.keys)} (want at most {MOST_KEYS})")
        over = progression_of(self.key, self.form, self.changes)
        for key in self.keys:
            over.transposed(key)
