"""The questions of a week: what a handout can be asked about, and the section of the web page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest
from string import ascii_lowercase

from theorykit.handout.blocks import Block
from theorykit.handout.pieces import Ask, Para, Section
from theorykit.harmony.colours import COLOURS, colour
from theorykit.notes.key import Key
from theorykit.notes.reader import Reader
from theorykit.study.class_file import ClassQuestions
from theorykit.study.sitting import Task
from theorykit.views.question_view import question_view

__all__ = ["asked_section", "week_tasks"]

MOST = 12  # questions of a week
HEADING = "Questions for this week"
FIRST = "Answer before you look: say it, sing it or play it."
# What is asked of a colour in a key, and of a key alone; and what comes first, while there is room.
OF_COLOUR = ("shortcut over V", "colour of a shape", "colour by ear")
OF_KEY = ("guide tones", "ii of a V")
ORDER = ("shortcut over V", "guide tones", "colour of a shape", "ii of a V", "colour by ear")


def week_tasks(blocks: Sequence[Block]) -> tuple[Task, ...]:
    """Return what a class is asked in a week: colours and keys of the blocks, kinds by turns.

    >>> from theorykit.handout.blocks import ColourBlock, TextBlock
    >>> [task.kind for task in week_tasks([ColourBlock(colour="b9", key="Db")])][:2]
    ['shortcut over V', 'guide tones']
    >>> week_tasks([TextBlock(text="Sing.")])
    ()
    """
    pairs = [pair for block in blocks for pair in block.asks_about()]
    made = {kind: _of_colours(kind, pairs) for kind in OF_COLOUR}
    made |= {kind: _of_keys(kind, pairs) for kind in OF_KEY}
    chosen = [task for kind in ORDER for task in made[kind]][:MOST]
    rows = ([task for task in chosen if task.kind == kind] for kind in ORDER)
    return tuple(task for turn in zip_longest(*rows) for task in turn if task is not None)


def _of_colours(kind: str, pairs: list[tuple[str, Key]]) -> list[Task]:
    """Return a question of a kind on each colour that the house knows, in its key."""
    known = {row.name for row in COLOURS}
    fitting = ((name, key) for name, key in pairs if name in known and colour(name).suits(key.mode))
    return [Task(kind, name, 2, str(key)) for name, key in dict.fromkeys(fitting)]


def _of_keys(kind: str, pairs: list[tuple[str, Key]]) -> list[Task]:
    """Return a question of a kind in each key."""
    return [Task(kind, key.mode, 2, str(key)) for key in dict.fromkeys(key for _, key in pairs)]


def asked_section(title: str, blocks: Sequence[Block], who: Reader) -> Section | None:
    """Return the questions of a week for the web page of a reader; None for nothing to ask.

    They are those of the class's drill that need no sound, asked alike, and numbered on from the
    questions of the blocks.

    >>> from theorykit.handout.blocks import ColourBlock
    >>> from theorykit.notes.reader import reader
    >>> found = asked_section("One", [ColourBlock(colour="b9 13", key="Db")], reader("B flat"))
    >>> found.pieces[1].question.splitlines()[:2]
    ['Which shape brings ♭9 13 over B♭7, on the way to E♭maj7?', 'a: A♭']
    """
    tasks = week_tasks(blocks)
    if not tasks:
        return None
    asked = tuple(_asked(ClassQuestions(title, tasks), who, 1 + sum(one.asks for one in blocks)))
    answers = tuple((one.number, one.answer) for one in asked)
    return Section(HEADING, (Para(FIRST), *asked), answers=answers)


def _asked(week: ClassQuestions, who: Reader, first: int) -> Iterator[Ask]:
    """Yield what can be asked without a sound, as this reader is asked it.

    An answer has the letter of its choice: "C" alone is taken for the choice c.
    """
    number = first
    for place in range(len(week.tasks)):
        one = week.asked(place, who.name)
        if one.heard is not None:
            continue
        view = question_view(one, reader=who)
        offered: list[str] = []
        answer = view.answer
        for letter, (read, given) in zip(ascii_lowercase, view.choices, strict=False):
            offered.append(f"{letter}: {read}")
            if given == one.answer:
                answer = offered[-1]
        words = one.judge(one.answer).words
        yield Ask(number, "\n".join([view.prompt, *offered]), f"{answer}. {words}")
        number += 1
