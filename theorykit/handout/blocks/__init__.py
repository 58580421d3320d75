"""The blocks of a handout: one file a kind. A new kind is a new file and a row in ``KINDS``."""

from theorykit.handout.blocks.all_keys_block import AllKeysBlock
from theorykit.handout.blocks.block import (
    Block,
    Recording,
    key_of,
    keyed,
    placed,
    recordings,
    section_of,
    sections_of,
    told_key,
)
from theorykit.handout.blocks.colour_block import ColourBlock
from theorykit.handout.blocks.guide_tone_block import GuideToneBlock
from theorykit.handout.blocks.idea_block import IdeaBlock
from theorykit.handout.blocks.line_block import LineBlock, draft_of
from theorykit.handout.blocks.line_keys_block import LineInKeysBlock
from theorykit.handout.blocks.listen_block import ListenBlock
from theorykit.handout.blocks.new_page_block import NewPageBlock
from theorykit.handout.blocks.plan_block import PlanBlock
from theorykit.handout.blocks.question_block import QuestionBlock
from theorykit.handout.blocks.staff_block import StaffBlock
from theorykit.handout.blocks.substitution_block import SubstitutionBlock
from theorykit.handout.blocks.text_block import TextBlock
from theorykit.handout.blocks.tune_block import TuneBlock

__all__ = [
    "KINDS",
    "Block",
    "ColourBlock",
    "LineBlock",
    "Recording",
    "TextBlock",
    "TuneBlock",
    "draft_of",
    "key_of",
    "keyed",
    "placed",
    "recordings",
    "section_of",
    "sections_of",
    "told_key",
]

# Every kind of block by the name that it has in a text file, in the order in which it is offered.
KINDS: dict[str, type[Block]] = {
    one.kind: one
    for one in (
        ColourBlock,
        AllKeysBlock,
        SubstitutionBlock,
        LineBlock,
        LineInKeysBlock,
        IdeaBlock,
        TuneBlock,
        GuideToneBlock,
        StaffBlock,
        ListenBlock,
        PlanBlock,
        TextBlock,
        QuestionBlock,
        NewPageBlock,
    )
}
