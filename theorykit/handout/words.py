"""The blocks made of words: free text, a practice plan, questions; and the end of a page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from theorykit.errors import TheoryError, shown
from theorykit.handout.block import Block, Question, Step, offered, whole
from theorykit.handout.names import checked_names
from theorykit.handout.texts import checked_text
from theorykit.harmony.colours import colour
from theorykit.notes.key import Key

__all__ = ["ANSWERS", "NewPageBlock", "PlanBlock", "QuestionBlock", "TextBlock"]

ANSWERS = ("last page", "teacher only")
MOST_DAYS, MOST_STEPS, MOST_QUESTIONS = 14, 40, 60


@dataclass(frozen=True, slots=True, kw_only=True)
class TextBlock(Block):
    """Free text; an empty line begins a new paragraph.

    ``names`` are the words in it that name notes or chords in concert pitch and ``key``: they are
    moved for each reader. Everything else is printed as it was typed.
    """

    kind: ClassVar[str] = "text"

    text: str
    names: tuple[str, ...] = ()
    key: str = "C"

    def check(self) -> None:
        """Refuse text that no page shows, and names that name nothing."""
        checked_text(self.text, "text")
        Key.parse(self.key)
        checked_names(self.names)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanBlock(Block):
    """A practice plan: steps with their minutes, and a box to tick for each day."""

    kind: ClassVar[str] = "plan"

    steps: tuple[Step, ...]
    days: int = 7

    def check(self) -> None:
        """Refuse a plan without steps, and more than a page holds."""
        whole(self.days, "days", 0, MOST_DAYS)
        if not 1 <= len(self.steps) <= MOST_STEPS:
            raise TheoryError(f"a plan of {len(self.steps)} steps (want 1 to {MOST_STEPS})")


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionBlock(Block):
    """Questions, typed ones first, then one for each colour in each of the keys.

    ``answers`` says where their answers stand: on the last page for everybody, or in the
    teacher's edition only. ``names`` and ``key`` are those of a text.
    """

    kind: ClassVar[str] = "questions"

    questions: tuple[Question, ...] = ()
    colours: tuple[str, ...] = ()
    keys: tuple[str, ...] = ("C",)
    answers: str = ANSWERS[0]
    names: tuple[str, ...] = ()
    key: str = "C"

    def check(self) -> None:
        """Refuse a block that asks nothing, and unknown colours and keys."""
        offered(self.answers, "answers", ANSWERS)
        for name in self.colours:
            colour(name)
        for key in (*self.keys, self.key):
            Key.parse(key)
        checked_names(self.names)
        count = len(self.questions) + len(self.colours) * len(self.keys)
        if not 1 <= count <= MOST_QUESTIONS:
            raise TheoryError(
                f"no such number of questions: {shown(count)} (want 1 to {MOST_QUESTIONS}, typed "
                "or made of colours and keys)"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class NewPageBlock(Block):
    """The end of a page: what follows begins on the next one."""

    kind: ClassVar[str] = "new page"
