"""The block of free text."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from theorykit.handout.blocks.block import Block, Place
from theorykit.handout.entries import About
from theorykit.handout.front import KeyName, Names
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import Para, Section, checked_text, paragraphs


@dataclass(frozen=True, slots=True, kw_only=True)
class TextBlock(Block):
    """Free text; an empty line begins a new paragraph.

    ``names`` are the words in it that name notes or chords in concert pitch and ``key``: they are
    moved for each reader. Everything else is printed as it was typed.
    """

    kind: ClassVar[str] = "text"
    telling: ClassVar[tuple[str, ...]] = ("text", "key")

    text: Annotated[str, About(hint="Sing it before you play it.", rows=5, names=True)]
    names: Names = ()
    key: KeyName = "C"

    def check(self) -> None:
        """Refuse text that no page shows."""
        checked_text(self.text, "text")

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return the text, the names in it moved for the reader."""
        pieces = tuple(map(Para, paragraphs(self.said(self.text, engraver))))
        return Section(self.headed(engraver), pieces, self.margin_notes)
