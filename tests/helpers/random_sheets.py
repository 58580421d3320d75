"""Random sheets: what a teacher might put on one, drawn with a seed, and their editions."""

from __future__ import annotations

import random
import re

from house import ROOT

from theorykit.handout import EVERYONE, Edition, Handout
from theorykit.handout.blocks import Block, ColourBlock, LineBlock, TextBlock, TuneBlock
from theorykit.handout.blocks.all_keys_block import KEY_LAYOUTS, AllKeysBlock
from theorykit.handout.blocks.block import STAFF_LAYOUTS
from theorykit.handout.blocks.guide_tone_block import GuideToneBlock
from theorykit.handout.blocks.idea_block import IdeaBlock
from theorykit.handout.blocks.line_keys_block import LineInKeysBlock
from theorykit.handout.blocks.plan_block import PlanBlock, Step
from theorykit.handout.blocks.question_block import Question, QuestionBlock
from theorykit.handout.blocks.staff_block import StaffBlock
from theorykit.handout.blocks.substitution_block import SubstitutionBlock
from theorykit.handout.blocks.tune_block import JOBS, TUNE_LINES
from theorykit.handout.fitting import fitted
from theorykit.handout.front import FITS
from theorykit.harmony.colours import COLOURS
from theorykit.harmony.substitution import NAMES
from theorykit.lines.band import STEPS
from theorykit.notes.key import KEYS
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import FORMS

SHEETS = 30
SEED = 16  # of the order in which editions have their turn
ALL_COLOURS = tuple(row.name for row in COLOURS)
ALL_KEYS = tuple(map(str, KEYS))
MAJOR = tuple(key.removesuffix(" major") for key in ALL_KEYS if key.endswith(" major"))
TUNES = tuple(sorted((ROOT / "workbook" / "tunes").glob("*.txt")))
CHANGES = (
    "Fm7 Bb7b9 | Ebmaj7 C7 | Fm7 Bb7b9 | Eb6",
    "G#m7 C#7 | F#maj7 D#7b9 | G#m7b5 C#7b9 | F#m6 | Bm7 E7 | Amaj7 | G#m7b5 C#7#9 | F#6",
    "Cm7b5 F7b9 | Bbm6 | Ebm7 Ab7 | Dbmaj7 Gb7#11 | Cm7b5 | F7#9 | Bbm7 | %",
    "Dm7 | G7 | Cmaj7",
)
MELODY = (
    "half D5 A4 | quarter G4 A4 half Bb4 | whole C5 | rest | half Bb4 Ab4 | quarter G4 F4 half Eb4"
)
MELODY_CHART = (
    "title: Steam on the Window\nkey: {0}\n\n| {1} | {2} | {3} | % | {1} | {2} | {3} | {3} |\n"
)
PROSE = (
    "Over G7 think an E triad, and hear where A♭ goes. ",
    "Play it softly. Then leave the B flat out, and sing it. ",
    "In bar 3 the Cm7b5 waits; F7b9 does the work. ",
)
ASKED = (
    Question(question="Which note bends B flat 7?", answer="C flat."),
    Question(question="What is the 3rd of Db7?", answer="F, and it stays for Gbmaj7."),
    Question(question="Where does the E of C7 go?", answer="To F. " * 20),
)
STEPS_OF_A_PLAN = (
    Step(minutes=5, what="Sing the guide tones from bar 3"),
    Step(minutes=10, what="The line with the recording, slowly, then at 120 without the book"),
    Step(minutes=3, what="Write one bar of your own over A♭7"),
)


def random_sheet(seed: int) -> Handout:
    """Return a handout of two to five random blocks with a target of one or two pages."""
    chance = random.Random(f"sheet {seed}")
    pages = chance.randint(1, 2)
    kinds = chance.sample(sorted(_MAKERS), pages + chance.randint(1, 3))
    blocks = tuple(_MAKERS[kind](chance) for kind in kinds)
    note = chance.choice(PROSE) * chance.randint(0, 4)
    return Handout(
        f"Sheet {seed}: over {chance.choice(MAJOR)}7",
        note=note,
        teacher="Mirela Okafor",
        blocks=blocks,
        fits=tuple(FITS)[pages],
    )


def assert_fits_without_what_is_named(handout: Handout, told: str, edition: Edition) -> None:
    """What is said to be too much names blocks or parts; without them the target is kept."""
    names = [name.removesuffix("…") for name in re.findall(r"“(.+?)”", told)]
    one = fitted(handout, handout.blocks, edition)
    rest = []
    for block, section in zip(handout.blocks, one.sections, strict=True):
        own = section.heading or block.kind
        parts = [part for part in block.parts if f"{part} of {own}".startswith(tuple(names))]
        if parts:
            rest.append(block.without(*parts))
        elif not own.startswith(tuple(names)):
            rest.append(block)
    assert names
    assert tuple(rest) != handout.blocks
    assert fitted(handout, rest, edition).told == ""


def turns() -> tuple[tuple[int, Edition], ...]:
    """Return pairs of a sheet and an edition: every sheet and every edition has its turn."""
    order = random.Random(SEED).sample(EVERYONE, len(EVERYONE))
    return tuple((number % SHEETS, edition) for number, edition in enumerate(order))


def _form(chance: random.Random) -> str:
    """Return the name of a form."""
    return chance.choice(tuple(FORMS))


def _parts(chance: random.Random, offered: tuple[str, ...]) -> tuple[str, ...]:
    """Return most of some parts, in their order; at least one."""
    left = chance.choice((None, None, *offered))
    return tuple(part for part in offered if part != left or len(offered) == 1)


def _colour(chance: random.Random) -> Block:
    return ColourBlock(
        colour=chance.choice(ALL_COLOURS),
        key=chance.choice(ALL_KEYS),
        form=_form(chance),
        spelling=chance.choice(("by function", "by shape")),
        show=_parts(chance, ("notes", "staff", "keyboard", "table", "pull")),
        layout=chance.choice(STAFF_LAYOUTS),
    )


def _all_keys(chance: random.Random) -> Block:
    return AllKeysBlock(
        colour=chance.choice(ALL_COLOURS),
        key=chance.choice(MAJOR),
        step=chance.choice(tuple(STEPS)),
        keys=chance.choice((4, 6, 12)),
        layout=chance.choice(KEY_LAYOUTS),
    )


def _substitution(chance: random.Random) -> Block:
    return SubstitutionBlock(substitute=chance.choice(tuple(NAMES)), key=chance.choice(MAJOR))


def _line(chance: random.Random) -> Block:
    over = {"changes": chance.choice(CHANGES)} if chance.random() < 0.5 else _two_five(chance)
    return LineBlock(line="", seed=chance.randrange(99), colour=_light(chance), **over)


def _two_five(chance: random.Random) -> dict[str, str]:
    """Return entries of a ii-V-I."""
    return {"key": chance.choice(ALL_KEYS), "form": _form(chance)}


def _light(chance: random.Random) -> str:
    """Return a colour in which a line is written over any dominant."""
    return chance.choice(("b9", "b9 13", "altered", "#9 b13"))


def _line_keys(chance: random.Random) -> Block:
    return LineInKeysBlock(
        line="", seed=chance.randrange(99), colour="b9 13", form="short", keys=chance.choice((3, 6))
    )


def _idea(chance: random.Random) -> Block:
    return IdeaBlock(
        colours=("b9", _light(chance)),
        key=chance.choice(MAJOR),
        form="short",
        seed=chance.randrange(99),
        leads=chance.choice(("the same", "fresh")),
    )


def _tune(chance: random.Random) -> Block:
    chart = Chart.parse(chance.choice(TUNES).read_text(encoding="utf-8"))
    key = chance.choice([key for key in KEYS if key.mode == chart.key.mode])
    return TuneBlock(
        chart=str(chart.transposed(key)),
        treatment=chance.choice(("", "proposed")),
        seed=chance.randrange(99),
        lines=chance.choice(TUNE_LINES),
        jobs=chance.choice(JOBS),
        show=_parts(chance, ("grid", "brackets", "plan")),
    )


def _melody(chance: random.Random) -> Block:
    key, *chords = chance.choice(
        (("Bb", "Cm7", "F7b9", "Bbmaj7"), ("Eb", "Fm7 Bb7b9", "Ebmaj7 C7", "Fm7"))
    )
    return TuneBlock(chart=MELODY_CHART.format(key, *chords), melody=MELODY, lines="none")


def _guide_tones(chance: random.Random) -> Block:
    return GuideToneBlock(changes=chance.choice(CHANGES), colour=_light(chance))


def _staves(chance: random.Random) -> Block:
    return StaffBlock(
        keys=tuple(chance.sample(MAJOR, 3)),
        rows=chance.randint(1, 2),
        layout=chance.choice(STAFF_LAYOUTS),
    )


def _text(chance: random.Random) -> Block:
    return TextBlock(text=chance.choice(PROSE) * chance.randint(1, 8), heading="Before you play")


def _questions(chance: random.Random) -> Block:
    return QuestionBlock(
        questions=tuple(chance.sample(ASKED, chance.randint(1, 3))),
        colours=(chance.choice(ALL_COLOURS),),
        keys=tuple(chance.sample(MAJOR, 2)),
    )


def _plan(chance: random.Random) -> Block:
    return PlanBlock(steps=STEPS_OF_A_PLAN[: chance.randint(1, 3)], days=chance.choice((0, 5, 7)))


_MAKERS = {
    "a colour": _colour,
    "a colour in all keys": _all_keys,
    "a line": _line,
    "a line in keys": _line_keys,
    "a melody": _melody,
    "a plan": _plan,
    "a substitute": _substitution,
    "a tune": _tune,
    "guide tones": _guide_tones,
    "one idea": _idea,
    "questions": _questions,
    "staves": _staves,
    "text": _text,
}
