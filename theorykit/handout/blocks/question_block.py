"""The block of questions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, ClassVar

from theorykit.errors import TheoryError, shown
from theorykit.handout.blocks.block import Block, Place
from theorykit.handout.entries import About
from theorykit.handout.front import KeyName, Names
from theorykit.handout.own_colour import colour_from
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import Ask, Piece, Section, checked_text
from theorykit.harmony.colours import colour
from theorykit.harmony.wording import listed
from theorykit.notes.key import Key
from theorykit.views.explorer_view import explore

ANSWERS = ("last page", "teacher only", "nowhere")
MOST_QUESTIONS = 60
LONG_ANSWER = 60  # characters from which an answer is given two lines


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question with its answer."""

    question: Annotated[str, About(names=True)]
    answer: Annotated[str, About(names=True)]

    def __post_init__(self) -> None:
        """Check the fields."""
        checked_text(self.question, "question", longest=400)
        checked_text(self.answer, "answer", longest=400)


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionBlock(Block):
    """Questions, typed ones first, then one for each colour in each of the keys.

    ``answers`` says where their answers stand: at the foot of the last page for everybody, in the
    teacher's edition only, or nowhere. ``names`` and ``key`` are those of a text.
    """

    kind: ClassVar[str] = "questions"
    telling: ClassVar[tuple[str, ...]] = ("questions", "colours", "keys", "key")

    questions: Annotated[
        tuple[Question, ...], About(hint="Which note bends B flat 7? | Its b9, Cb.", rows=4)
    ] = ()
    colours: Annotated[
        tuple[str, ...],
        About(
            reads=colour,
            makes=colour_from,
            says="one question for each of these in each of the keys",
            hint="b9, altered",
        ),
    ] = ()
    keys: Annotated[
        tuple[str, ...],
        About(
            reads=Key.parse,
            says="how many, or their names with commas between them",
            hint="C, Db, F#",
        ),
    ] = ("C",)
    answers: Annotated[str, About(offers=ANSWERS)] = ANSWERS[0]
    names: Names = ()
    key: KeyName = "C"

    def check(self) -> None:
        """Refuse a block that asks nothing, and one that asks too much."""
        if not self.asks:
            raise TheoryError(
                "no questions yet (want some typed, each with its answer, or colours and keys to "
                "ask about)"
            )
        if self.asks > MOST_QUESTIONS:
            raise TheoryError(
                f"too many questions: {shown(self.asks)} (want at most {MOST_QUESTIONS}, "
                "typed or made of colours and keys)"
            )

    @property
    def asks(self) -> int:
        """How many questions it asks."""
        return len(self.questions) + len(self.colours) * len(self.keys)

    def asks_about(self) -> Iterator[tuple[str, Key]]:
        """Yield its colours in its keys; what was typed in words is asked on paper alone."""
        yield from ((str(name), Key.parse(key)) for key in self.keys for name in self.colours)

    def place_in(self, blocks: Sequence[Block], number: int) -> Place:
        """Return how many questions are asked before."""
        return Place(asked=sum(block.asks for block in blocks[:number]))

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return the questions, numbered on from those before."""
        asked = [*self._typed(engraver), *self._made(engraver)]
        first = place.asked + 1
        pieces: tuple[Piece, ...] = tuple(
            Ask(number, one.question, self._told(one), 1 + (len(one.answer) > LONG_ANSWER))
            for number, one in enumerate(asked, first)
        )
        answers = tuple((number, one.answer) for number, one in enumerate(asked, first))
        return Section(
            self.headed(engraver, "Questions"),
            pieces,
            self.margin_notes,
            answers if self.answers == ANSWERS[0] else (),
        )

    def _told(self, one: Question) -> str:
        """Return the answer that stands beside a question, if answers stand anywhere."""
        return "" if self.answers == ANSWERS[-1] else one.answer

    def _typed(self, engraver: Engraver) -> Iterator[Question]:
        """Yield the typed questions, the names in them moved for the reader."""
        for one in self.questions:
            yield Question(
                question=self.said(one.question, engraver),
                answer=self.said(one.answer, engraver),
            )

    def _made(self, engraver: Engraver) -> Iterator[Question]:
        """Yield a question for each colour in each key."""
        for name in self.colours:
            for key in self.keys:
                view = explore(engraver.written(key), "long", name)
                best = view.shortcut
                yield Question(
                    question=(
                        f"What is the shortest way to think of {view.colour.spoken} "
                        f"over {view.dominant.pretty}, "
                        f"on the way to {view.target.pretty}?"
                    ),
                    answer=f"{best.words}: {listed(note.pretty for note in best.notes)}.",
                )
