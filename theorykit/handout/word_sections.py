"""What the blocks made of words put on a page."""

from __future__ import annotations

from collections.abc import Iterator

from theorykit.handout.block import Question
from theorykit.handout.desk import Desk
from theorykit.handout.names import moved_names
from theorykit.handout.pieces import Ask, NewPage, Para, Piece, Section, Table
from theorykit.handout.texts import paragraphs
from theorykit.handout.words import ANSWERS, NewPageBlock, PlanBlock, QuestionBlock, TextBlock
from theorykit.harmony.wording import listed
from theorykit.notes.key import Key
from theorykit.views.explorer_view import explore

__all__ = ["new_page_section", "plan_section", "question_section", "text_section"]

BOX = "☐"
CAUTION = "Rest between repetitions, and stop when something hurts."
LONG_ANSWER = 60  # characters from which an answer is given two lines


def text_section(block: TextBlock, desk: Desk) -> Section:
    """Return free text, the names in it moved for the reader."""
    old = Key.parse(block.key)
    text = moved_names(block.text, block.names, old, desk.written(old))
    pieces = tuple(map(Para, paragraphs(text)))
    return Section(block.heading, pieces, (block.margin,) if block.margin.strip() else ())


def plan_section(block: PlanBlock, desk: Desk) -> Section:
    """Return a practice plan: a row for each step, a box for each day."""
    heads = ("minutes", "what", *(str(day) for day in range(1, block.days + 1)))
    rows = tuple((str(step.minutes), step.what, *(BOX,) * block.days) for step in block.steps)
    widths = (0.0, 1.0, *(0.0,) * block.days)
    total = sum(step.minutes for step in block.steps)
    return Section(
        block.heading or "A plan for the week",
        (
            Table("steps, with a box for each day", heads, rows, widths),
            Para(f"{total} minutes a day. {CAUTION}", small=True),
        ),
        (block.margin,) if block.margin.strip() else (),
    )


def question_section(block: QuestionBlock, desk: Desk, first: int = 1) -> Section:
    """Return questions, the first of them with the number ``first``."""
    asked = [*_typed(block, desk), *_made(block, desk)]
    pieces: tuple[Piece, ...] = tuple(
        Ask(number, one.question, one.answer, 1 + (len(one.answer) > LONG_ANSWER))
        for number, one in enumerate(asked, first)
    )
    shared = block.answers == ANSWERS[0]
    answers = tuple((number, one.answer) for number, one in enumerate(asked, first))
    return Section(
        block.heading or "Questions",
        pieces,
        (block.margin,) if block.margin.strip() else (),
        answers if shared else (),
    )


def _typed(block: QuestionBlock, desk: Desk) -> Iterator[Question]:
    """Yield the typed questions, the names in them moved for the reader."""
    old = Key.parse(block.key)
    new = desk.written(old)
    for one in block.questions:
        yield Question(
            question=moved_names(one.question, block.names, old, new),
            answer=moved_names(one.answer, block.names, old, new),
        )


def _made(block: QuestionBlock, desk: Desk) -> Iterator[Question]:
    """Yield a question for each colour in each key."""
    for name in block.colours:
        for key in block.keys:
            view = explore(desk.written(key), "long", name)
            best = view.shortcut
            yield Question(
                question=(
                    f"What is the shortest way to think of {view.colour.pretty} over "
                    f"{view.dominant.pretty}, on the way to {view.target.pretty}?"
                ),
                answer=f"{best.words}: {listed(note.pretty for note in best.notes)}.",
            )


def new_page_section(block: NewPageBlock, desk: Desk) -> Section:
    """Return the end of a page."""
    return Section(block.heading, (NewPage(),))
