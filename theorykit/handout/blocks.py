"""The blocks about colours and substitutes. What a text leaves out has the value given here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from theorykit.handout.block import Block, offered, whole
from theorykit.harmony.colours import colour
from theorykit.harmony.substitution import NAMES
from theorykit.lines.band import STEPS
from theorykit.notes.key import Key
from theorykit.tunes.progression import FORMS
from theorykit.views.explorer_view import MOST_SHORTCUTS, SPELLINGS

__all__ = [
    "KEY_LAYOUTS",
    "MOST_KEYS",
    "PARTS",
    "STAFF_LAYOUTS",
    "AllKeysBlock",
    "ColourBlock",
    "SubstitutionBlock",
]

KEY_LAYOUTS = ("table", "staves")
STAFF_LAYOUTS = ("wide", "beside")
PARTS = ("notes", "staff", "keyboard", "table", "pull")
MOST_KEYS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class ColourBlock(Block):
    """A colour over V: staff, keyboard, the way to think of it, where every note goes.

    ``shortcut`` counts the ways to think of it, the best being 1. ``show`` names what stands on the
    page below the first sentence: its notes, the staff, the keyboard, the table, how the colour
    pulls. The staff is as wide as the page, or stands beside the words.
    """

    kind: ClassVar[str] = "colour"

    colour: str
    key: str = "C"
    form: str = "long"
    shortcut: int = 1
    spelling: str = SPELLINGS[0]
    show: tuple[str, ...] = PARTS
    layout: str = STAFF_LAYOUTS[0]

    @property
    def prints_notes(self) -> bool:
        """True where the staff is shown."""
        return "staff" in self.show

    def check(self) -> None:
        """Refuse an unknown colour, key, form, shortcut or spelling."""
        colour(self.colour)
        Key.parse(self.key)
        offered(self.form, "form", FORMS)
        whole(self.shortcut, "shortcut", 1, MOST_SHORTCUTS)
        offered(self.spelling, "spelling", SPELLINGS)
        for part in self.show:
            offered(part, "part to show", PARTS)
        offered(self.layout, "layout", STAFF_LAYOUTS)


@dataclass(frozen=True, slots=True, kw_only=True)
class AllKeysBlock(Block):
    """A colour through the keys, from ``key`` on, as a table or as staves."""

    kind: ClassVar[str] = "colour in all keys"

    colour: str
    key: str = "C"
    step: str = "fifths"
    keys: int = MOST_KEYS
    layout: str = KEY_LAYOUTS[0]
    form: str = "long"

    @property
    def prints_notes(self) -> bool:
        """True where the keys are staves."""
        return self.layout == "staves"

    def check(self) -> None:
        """Refuse an unknown colour, key, step, layout or form."""
        colour(self.colour)
        Key.parse(self.key)
        offered(self.step, "step", STEPS)
        whole(self.keys, "keys", 1, MOST_KEYS)
        offered(self.layout, "layout", KEY_LAYOUTS)
        offered(self.form, "form", FORMS)


@dataclass(frozen=True, slots=True, kw_only=True)
class SubstitutionBlock(Block):
    """What may stand in the place of V, with its motion picture and the reasons."""

    kind: ClassVar[str] = "substitution"

    substitute: str
    key: str = "C"

    @property
    def prints_notes(self) -> bool:
        """True where the staff is, always."""
        return True

    def check(self) -> None:
        """Refuse an unknown substitute or key."""
        offered(self.substitute, "substitute", NAMES)
        Key.parse(self.key)
