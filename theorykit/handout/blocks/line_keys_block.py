"""The block that takes a line through the keys."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, ClassVar

from theorykit.handout.blocks.block import (
    ANSWER,
    MOST_KEYS,
    WITH,
    WITHOUT,
    Example,
    KeyCount,
    Place,
    StepName,
)
from theorykit.handout.blocks.line_block import WrittenLine, moved
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import Para, Piece, Section, StaffLabel
from theorykit.harmony.colours import colour
from theorykit.lines.band import colours_over, keys_by, through_keys
from theorykit.views.staves import phrase_staff


@dataclass(frozen=True, slots=True, kw_only=True)
class LineInKeysBlock(WrittenLine):
    """A line through the keys: a staff for each."""

    kind: ClassVar[str] = "line in all keys"
    telling: ClassVar[tuple[str, ...]] = ("colour", "changes", "keys")

    step: StepName = "fifths"
    keys: KeyCount = MOST_KEYS

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return a line through the keys, a staff for each."""
        line = self.music()
        heading = self.headed(engraver, "The line in all keys")
        pieces: list[Piece] = []
        scores = []
        keys = keys_by(line.progression.key, self.step, self.keys)
        views = [
            phrase_staff(moved(line, key), self.chosen, reader=engraver.reader) for key in keys
        ]
        for key, view, staff in zip(keys, views, engraver.staves(views), strict=True):
            label = engraver.written(key).pretty
            pieces += [StaffLabel(label), *staff]
            scores.append((f"{heading}: {label}", view))
        told = dict.fromkeys(view.legend for _, view in scores)
        pieces += [Para(words, small=True) for words in told if words]
        return Section(heading, tuple(pieces), self.margin_notes, scores=tuple(scores))

    def examples(self, tempo: int) -> Iterator[Example]:
        """Yield a typed line through the keys."""
        line = self.music()
        over = line.progression
        wishes: dict[str, Any] = {"step": self.step, "keys": self.keys, "tempo": tempo}
        wishes["colours"] = colours_over(line, colour(self.colour)) if self.colour else None
        yield Example(WITH, through_keys(line, over, **wishes))
        yield Example(WITHOUT, through_keys(None, over, **wishes))
        yield Example(ANSWER, through_keys(line, over, answer_bars=True, **wishes))
