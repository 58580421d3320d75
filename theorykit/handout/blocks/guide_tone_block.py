"""The block that shows the lines of 3rds and 7ths."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, ClassVar

from theorykit.handout.blocks.block import (
    WITHOUT,
    Block,
    Changes,
    ColourName,
    Example,
    FormName,
    Place,
    first_changes,
    progression_of,
)
from theorykit.handout.entries import About
from theorykit.handout.front import ChangesKey
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import Para, Piece, Section, StaffLabel
from theorykit.harmony.colours import colour
from theorykit.lines.band import colours_over, performance
from theorykit.lines.guide_tones import guide_tone_lines
from theorykit.lines.text import Line
from theorykit.notes.degree import single
from theorykit.notes.note import Pitch
from theorykit.notes.reader import Reader
from theorykit.views.staves import StaffView, phrase_staff, with_pitches

LONGEST_NOTE = 8  # beats
VOICES = (
    "The line that begins on the 3rd",
    "The line that begins on the 7th",
    "The line that brings the colour",
)
GUIDES = ("with the line from the 3rd", "with the line from the 7th", "with the colour's line")


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideToneBlock(Block):
    """The lines of 3rds and 7ths through a progression, and a third where a colour brings one.

    No note lasts longer than ``longest`` beats.
    """

    kind: ClassVar[str] = "guide tones"
    telling: ClassVar[tuple[str, ...]] = ("colour", "changes", "key")

    key: ChangesKey = ""
    form: FormName = "long"
    changes: Changes = ""
    colour: ColourName = ""
    longest: Annotated[
        int, About(least=1, most=LONGEST_NOTE, says="no note lasts longer, in beats")
    ] = 4

    @property
    def prints_notes(self) -> bool:
        """True where the lines are, always."""
        return True

    def check(self) -> None:
        """Refuse changes that cannot be read."""
        progression_of(self.key, self.form, self.changes)

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return the guide-tone lines, a staff for each."""
        over = progression_of(self.key, self.form, self.changes)
        lines = guide_tone_lines(over, self.colour or None, longest=self.longest)
        written = over.transposed(engraver.written(over.key))
        heading = self.headed(engraver, f"Guide tones through {first_changes(written)}")
        views = [
            (name, guide_staff(one, engraver.reader))
            for name, one in zip(VOICES, lines, strict=False)
        ]
        pieces: list[Piece] = []
        if self.colour:
            pieces.append(
                Para(f"The third line brings {colour(self.colour).pretty} over each dominant.")
            )
        staves = engraver.staves([view for _, view in views])
        for (name, _), staff in zip(views, staves, strict=True):
            pieces += [StaffLabel(name), *staff]
        scores = tuple((f"{heading}: {name}", view) for name, view in views)
        return Section(heading, tuple(pieces), self.margin_notes, scores=scores)

    @property
    def labels(self) -> tuple[str, ...]:
        """The lines, and the bars without them."""
        has_third = bool(self.colour and colour(self.colour).tensions)
        return *GUIDES[: 2 + has_third], WITHOUT

    def examples(self, tempo: int) -> Iterator[Example]:
        """Yield each of the guide-tone lines, then the bars without them."""
        over = progression_of(self.key, self.form, self.changes)
        lines = guide_tone_lines(over, self.colour or None, longest=self.longest)
        for label, line in zip(GUIDES, lines, strict=False):
            colours = colours_over(line, colour(self.colour)) if self.colour else None
            yield Example(label, performance(line, over, tempo=tempo, colours=colours))
        yield Example(WITHOUT, performance(None, over, tempo=tempo))


def guide_staff(line: Line, who: Reader) -> StaffView:
    """Return the staff of a line of guide tones, to be read at sight: no double accidental."""
    view = phrase_staff(line, reader=who)
    names = (single(note.pitch.note) for note in view.notes)
    pairs = zip(names, view.notes, strict=True)
    return with_pitches(view, [Pitch.numbered(name, note.pitch.midi) for name, note in pairs])
