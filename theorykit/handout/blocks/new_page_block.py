"""The block that ends a page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from theorykit.handout.blocks.block import Block, Place
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import NewPage, Section


@dataclass(frozen=True, slots=True, kw_only=True)
class NewPageBlock(Block):
    """The end of a page: what follows begins on the next one."""

    kind: ClassVar[str] = "new page"

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return the end of a page."""
        return Section(self.headed(engraver), (NewPage(),))
