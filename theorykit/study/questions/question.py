"""A question: what is asked, shown and played, and the judge of its answers."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from random import Random
from typing import Protocol

from theorykit.harmony.colours import colour
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.notes.note import Note, Pitch
from theorykit.notes.values import Value
from theorykit.study.questions.heard import Heard

LEVELS = (1, 2, 3)
MISSES_AT = {1: 1, 2: 3, 3: 0}  # near misses beside the answer; none: nothing is offered
WAYS = ("recall", "see", "hear", "do")

Given = str | Line | Iterable["Note | Pitch | int | str"]  # typed, written, or tapped on keys


@dataclass(frozen=True, slots=True)
class Judgement:
    """Whether an answer is right, and in words why, or what the answer is instead."""

    right: bool
    words: str


class Judge(Protocol):
    """What judges the answers to one question; what cannot be read is a ``TheoryError``."""

    def judge(self, given: Given) -> Judgement:
        """Return the judgement on one answer."""


@dataclass(frozen=True, slots=True)
class Shown:
    """What the eye is given: a chord, notes over it as they are spelled, lines to choose from."""

    chord: Chord | None = None
    notes: tuple[Note, ...] = ()
    lines: tuple[Line, ...] = ()


@dataclass(frozen=True, slots=True)
class Draft:
    """A question before chance and level: the near misses in the order of their nearness.

    ``sounds`` are what each choice would sound like; with ``all_offered`` every choice is offered
    at the highest level, because nobody answers out of nothing there. ``is_report`` is True where
    the reader says how it went: then all is offered at every level, in its own order.
    """

    prompt: str
    hint: str
    answer: str
    judging: Judge
    misses: tuple[str, ...]
    shown: Shown = Shown()
    heard: Heard | None = None
    sounds: tuple[tuple[str, Heard], ...] = ()
    all_offered: bool = False
    is_report: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """A place to ask at: a topic in a key, with its ii, V and I, and chance."""

    topic: str
    key: Key
    level: int
    ii: Chord
    v: Chord
    i: Chord
    rng: Random

    @property
    def way(self) -> str:
        """The ii-V-I in words: ``Dm7 G7 Cmaj7``."""
        return f"{self.ii.pretty} {self.v.pretty} {self.i.pretty}"


@dataclass(frozen=True, slots=True)
class QuestionKind:
    """A kind of question: how it is answered, what it is about, and how one is made.

    ``way`` is one of ``WAYS``; ``topics`` are the colours or facts, each of which is a card;
    ``fits`` tells whether a topic can be asked in a key.
    """

    name: str
    way: str
    title: str
    topics: tuple[str, ...]
    fits: Callable[[str, Key], bool]
    make: Callable[[Spot], Draft]

    def __str__(self) -> str:
        return self.name


@dataclass(frozen=True, slots=True, repr=False)
class Question(Value):
    """One question, the same for the same seed; made from the theory and stored nowhere.

    ``topic`` is the colour or the fact it is about; ``answer`` is one right answer as it is
    printed, ``near_misses`` are wrong ones by rule, ``choices`` what the level offers, empty where
    the reader is to find it alone; ``sounds`` is what each choice sounds like; ``is_report`` is
    True where the reader says how it went, and no answer is the right one for everybody.
    """

    kind: str
    way: str
    topic: str
    level: int
    key: Key
    prompt: str
    hint: str
    answer: str
    near_misses: tuple[str, ...]
    choices: tuple[str, ...]
    judging: Judge
    shown: Shown = Shown()
    heard: Heard | None = None
    sounds: tuple[tuple[str, Heard], ...] = ()
    is_report: bool = False

    def __str__(self) -> str:
        return self.prompt

    def _about(self) -> str:
        return f"{self.kind}: {self.topic} in {self.key}"

    def judge(self, answer: Given) -> Judgement:
        """Return whether an answer is right, and why; an answer that cannot be read is refused.

        ``answer`` is what was typed or chosen, a line, or notes: keys tapped, as MIDI numbers.

        >>> from theorykit import question
        >>> asked = question("shortcut over V", level=3, keys=["C"], seed=1, topic="b9 13")
        >>> asked.prompt
        'Which shape brings ♭9 13 over G7, on the way to Cmaj7?'
        >>> asked.judge("e major triad").right, asked.judge([64, 68, 71]).right
        (True, True)
        >>> asked.judge("Em").words
        'Over G7, E minor triad is 13, 1 and 3: it lacks the ♭9. \
Think of a major triad on the 6th of V or the 3rd of I.'
        """
        return self.judging.judge(answer)


def suits(topic: str, key: Key) -> bool:
    """Tell whether a colour may be asked in a key."""
    return colour(topic).suits(key.mode)


def anywhere(topic: str, key: Key) -> bool:
    """Tell that a topic may be asked in every key."""
    return True
