"""From blocks to the sections of a page, for one reader and one size of print."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from theorykit.handout.block import Block
from theorykit.handout.blocks import AllKeysBlock, ColourBlock, SubstitutionBlock
from theorykit.handout.colour_sections import all_keys_section, colour_section, substitution_section
from theorykit.handout.desk import Desk
from theorykit.handout.line_blocks import GuideToneBlock, LineBlock, LineInKeysBlock, StaffBlock
from theorykit.handout.line_sections import (
    guide_tone_section,
    line_keys_section,
    line_section,
    staff_section,
)
from theorykit.handout.pieces import Ask, Para, Section
from theorykit.handout.ranges import at_ease, octaves_moved, range_words
from theorykit.handout.tune_block import TuneBlock
from theorykit.handout.tune_sections import tune_section
from theorykit.handout.word_sections import (
    new_page_section,
    plan_section,
    question_section,
    text_section,
)
from theorykit.handout.words import NewPageBlock, PlanBlock, QuestionBlock, TextBlock

__all__ = ["sections_of"]

_MAKERS: dict[type[Block], Callable[[Any, Desk], Section]] = {
    ColourBlock: colour_section,
    AllKeysBlock: all_keys_section,
    SubstitutionBlock: substitution_section,
    LineBlock: line_section,
    LineInKeysBlock: line_keys_section,
    GuideToneBlock: guide_tone_section,
    StaffBlock: staff_section,
    TuneBlock: tune_section,
    TextBlock: text_section,
    PlanBlock: plan_section,
    NewPageBlock: new_page_section,
}


def sections_of(blocks: Iterable[Block], desk: Desk) -> tuple[Section, ...]:
    """Return what blocks put on the pages of a reader; questions are numbered through.

    >>> from theorykit.handout.words import TextBlock
    >>> sections_of([TextBlock(text="Sing it first.")], Desk())[0].pieces
    (Para(text='Sing it first.', small=False),)
    """
    sections: list[Section] = []
    asked = 0
    for block in blocks:
        if isinstance(block, QuestionBlock):
            sections.append(question_section(block, desk, asked + 1))
            asked += sum(isinstance(piece, Ask) for piece in sections[-1].pieces)
        else:
            sections.append(_MAKERS[type(block)](block, desk))
    return tuple(_playable(section, desk) for section in sections)


def _playable(section: Section, desk: Desk) -> Section:
    """Return a section with its music in the octaves in which it is printed.

    Where that leaves the range of the reader's instrument all the same, the section says so.
    """
    who = desk.reader
    scores = tuple((title, at_ease(view, who)) for title, view in section.scores)
    moved = tuple(octaves_moved(view, who) for _, view in section.scores)
    words = range_words([view for _, view in scores], who)
    said = (Para(words, small=True),) if words else ()
    return replace(section, pieces=(*section.pieces, *said), scores=scores, moved=moved)
