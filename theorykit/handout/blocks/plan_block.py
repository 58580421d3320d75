"""The block with a plan for practice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from theorykit.errors import TheoryError
from theorykit.handout.blocks.block import Block, Place
from theorykit.handout.entries import About, check_entries
from theorykit.handout.front import KeyName, Names
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import BOX, Para, Section, Table, checked_text

MOST_DAYS, MOST_STEPS, MOST_MINUTES = 14, 40, 600
CAUTION = "Rest between repetitions, and stop when something hurts."


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a practice plan: what to do, and for how many minutes."""

    minutes: Annotated[int, About(least=1, most=MOST_MINUTES)]
    what: Annotated[str, About(names=True)]

    def __post_init__(self) -> None:
        """Check the entries."""
        check_entries(self)
        checked_text(self.what, "what", longest=400)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanBlock(Block):
    """A practice plan: steps with their minutes, and a box to tick for each day."""

    kind: ClassVar[str] = "plan"

    steps: Annotated[tuple[Step, ...], About(hint="5 | Sing the guide tones", rows=4)]
    days: Annotated[int, About(least=0, most=MOST_DAYS, says="boxes to tick for so many days")] = 7
    names: Names = ()
    key: KeyName = "C"

    def check(self) -> None:
        """Refuse a plan without steps, and more than a page holds."""
        if not 1 <= len(self.steps) <= MOST_STEPS:
            raise TheoryError(f"a plan of {len(self.steps)} steps (want 1 to {MOST_STEPS})")

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return a row for each step, with a box for each day."""
        heads = ("minutes", "what", *(str(day) for day in range(1, self.days + 1)))
        rows = tuple(
            (str(step.minutes), self.said(step.what, engraver), *(BOX,) * self.days)
            for step in self.steps
        )
        widths = (0.0, 1.0, *(0.0,) * self.days)
        total = sum(step.minutes for step in self.steps)
        return Section(
            self.headed(engraver, "A plan for the week"),
            (
                Table("steps, with a box for each day", heads, rows, widths),
                Para(f"{total} minutes a day. {CAUTION}", small=True),
            ),
            self.margin_notes,
        )
