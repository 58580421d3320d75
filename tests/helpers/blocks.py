"""One block of every kind, with entries that differ from their defaults."""

from theorykit.handout.blocks import Block, ColourBlock, LineBlock, TextBlock, TuneBlock
from theorykit.handout.blocks.all_keys_block import AllKeysBlock
from theorykit.handout.blocks.guide_tone_block import GuideToneBlock
from theorykit.handout.blocks.idea_block import IdeaBlock
from theorykit.handout.blocks.line_keys_block import LineInKeysBlock
from theorykit.handout.blocks.listen_block import ListenBlock
from theorykit.handout.blocks.new_page_block import NewPageBlock
from theorykit.handout.blocks.plan_block import PlanBlock, Step
from theorykit.handout.blocks.question_block import Question, QuestionBlock
from theorykit.handout.blocks.staff_block import StaffBlock
from theorykit.handout.blocks.substitution_block import SubstitutionBlock

LINE = "8th D5 F5 A5 C6 B5 Ab5 E5 Ab5 | whole G5"
QUESTIONS = (Question(question="?", answer="!"),)
STEPS = (Step(minutes=5, what='say "now"'), Step(minutes=7, what="a \\ b"))

ONE_OF_EACH: tuple[Block, ...] = (
    ColourBlock(colour="♭9 13", key="F", form="split", shortcut=2, show=("staff",), heading="A"),
    AllKeysBlock(colour="altered", layout="staves", step="half steps", keys=3, margin="two\nlines"),
    SubstitutionBlock(substitute="side step", key="Eb"),
    LineBlock(line=LINE, form="short", colour="b9 13"),
    LineInKeysBlock(line=LINE, form="short", keys=5),
    IdeaBlock(colours=("b9", "b9 13"), key="Bb", form="short", seed=3, leads="fresh"),
    TuneBlock(chart="key: F\n\n| Gm7 | C7 | Fmaj7 | % |\n", treatment="proposed", seed=2),
    GuideToneBlock(changes="Dm7 G7 | C6", colour="b9", longest=2),
    StaffBlock(keys=("F", "Bb"), rows=2, layout="beside"),
    ListenBlock(
        things=("Bar 3, then bar 5", "the E in bar 2"), names=("E",), example="plain chord"
    ),
    PlanBlock(steps=STEPS, days=3),
    TextBlock(text='"""\n\ttab, \\n and "quotes"', names=("G7", "E"), key="Db"),
    QuestionBlock(questions=QUESTIONS, colours=("b9",), keys=("C", "D")),
    NewPageBlock(),
)
