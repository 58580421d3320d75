"""The block that shows one idea in several colours."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, ClassVar

from theorykit.errors import TheoryError
from theorykit.handout.blocks.block import (
    ANSWER,
    WITH,
    WITHOUT,
    Block,
    Example,
    FormName,
    Place,
)
from theorykit.handout.blocks.line_block import LAST_SEED
from theorykit.handout.entries import About
from theorykit.handout.front import KeyName
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import Para, Piece, Section, StaffLabel
from theorykit.lines.band import performance
from theorykit.lines.vocabulary import OneIdea, one_idea
from theorykit.views.staves import cadence_staff

FIRST_COLOURS = ("9 #11 13", "b9 13", "altered")
PLAYED = (
    "The same phrase each time: only the V bar changes. Play them back to back, with a bar of "
    "rest between."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class IdeaBlock(Block):
    """One written phrase in several colours of V, alike but for the colour.

    With ``leads`` each has another way in over the ii bar. The same ``seed`` gives the same phrase.
    """

    kind: ClassVar[str] = "one idea"
    telling: ClassVar[tuple[str, ...]] = ("colours", "key")

    colours: Annotated[tuple[str, ...], About(says="colours over V with commas between them")] = (
        FIRST_COLOURS
    )
    key: KeyName = "C"
    form: FormName = "long"
    seed: Annotated[int, About(least=0, most=LAST_SEED, says="which phrase is written")] = 0
    leads: Annotated[
        str, About(offers=("the same", "fresh"), says="what stands over the ii of each")
    ] = "the same"

    @property
    def prints_notes(self) -> bool:
        """True: each colour has its staff."""
        return True

    def check(self) -> None:
        """Refuse colours that are none, and too many for one phrase."""
        if not self.colours:
            raise TheoryError("no colours for the idea (want some, such as b9 13 and altered)")
        self.idea()

    def idea(self) -> OneIdea:
        """Return the phrase in its colours, in concert pitch."""
        return _idea(self.key, self.colours, self.form, self.seed, self.leads)

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return a staff for each colour, with the degrees."""
        idea = self.idea()
        heading = self.headed(engraver, f"One idea in {len(idea.colours)} colours")
        pieces: list[Piece] = [Para(PLAYED)]
        scores = []
        pairs = zip(idea.colours, idea.lines, strict=True)
        views = [cadence_staff(line, row, reader=engraver.reader) for row, line in pairs]
        for row, view, staff in zip(idea.colours, views, engraver.staves(views), strict=True):
            pieces += [StaffLabel(row.pretty), *staff]
            scores.append((f"{heading}: {row.pretty}", view))
        return Section(heading, tuple(pieces), self.margin_notes, scores=tuple(scores))

    @property
    def labels(self) -> tuple[str, ...]:
        """All versions, the bars without them, both in turn."""
        return WITH, WITHOUT, ANSWER

    def examples(self, tempo: int) -> Iterator[Example]:
        """Yield the versions back to back with a bar between, three times."""
        idea = self.idea()
        line, band = idea.joined, idea.band
        over = line.progression
        yield Example(WITH, performance(line, over, tempo=tempo, colours=band))
        yield Example(WITHOUT, performance(None, over, tempo=tempo, colours=band))
        yield Example(ANSWER, performance(line, over, tempo=tempo, colours=band, answer_bars=True))

    @property
    def own_title(self) -> str:
        """The idea and its key."""
        return f"One idea in {self.key}"


@lru_cache(maxsize=32)  # a page asks several times for the same idea
def _idea(key: str, colours: tuple[str, ...], form: str, seed: int, leads: str) -> OneIdea:
    """Return the phrase in its colours."""
    found = one_idea(key, colours, form=form, seed=seed)
    return found.led_in(seed=seed) if leads == "fresh" else found
