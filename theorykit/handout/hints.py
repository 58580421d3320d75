"""Words that look like chords or notes and would stay in concert pitch on a transposed page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from theorykit.errors import TheoryError
from theorykit.handout.editions import Edition
from theorykit.handout.words import QuestionBlock, TextBlock
from theorykit.notes.chord import Chord

if TYPE_CHECKING:
    from theorykit.handout.handout import Handout

__all__ = ["unmoved_hint", "unmoved_words"]

MOST_TOLD = 8
OCTAVE = 12
# A letter with its sign, alone or with what makes it a chord; "A" alone is more often a word.
_NAME = re.compile(
    r"(?<![\w♭♯#'’.-])(?!A(?![\w♭♯#]))"
    r"[A-G][b#♭♯]?(?:(?:m|maj|min|dim|aug|sus|add)?\d[\w♭♯#()]*|maj7?|m|dim|aug|sus|ø7?|°7?|\+)?"
    r"(?![\w♭♯#'’-]|\.\w)"
)


def unmoved_words(handout: Handout) -> tuple[str, ...]:
    """Return the words of a teacher's texts that name notes or chords and are not listed as names.

    >>> from theorykit.handout.handout import Handout
    >>> unmoved_words(Handout("Over G7", note="A triad on E. Go on to Am7!", names=("G7",)))
    ('E', 'Am7')
    """
    found = (
        word[0]
        for text, names in _texts(handout)
        for word in _NAME.finditer(text)
        if word[0] not in names and _is_name(word[0])
    )
    return tuple(dict.fromkeys(found))


def unmoved_hint(handout: Handout, edition: Edition) -> str:
    """Return what to say of such words on a page for an edition; empty where nothing is amiss.

    >>> from theorykit.handout.handout import Handout
    >>> unmoved_hint(Handout("Over G7"), Edition("B flat"))
    "In this edition these words stay as you typed them: G7. List them under 'names' to have them \
written for the reader."
    >>> unmoved_hint(Handout("Over G7"), Edition("guitar"))
    ''
    """
    words = unmoved_words(handout) if edition.who.semitones % OCTAVE else ()
    if not words:
        return ""
    more = " and more" if len(words) > MOST_TOLD else ""
    return (
        "In this edition these words stay as you typed them: "
        f"{', '.join(words[:MOST_TOLD])}{more}. "
        "List them under 'names' to have them written for the reader."
    )


def _texts(handout: Handout) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield the texts whose names can be moved, each with the names that are listed for it."""
    yield handout.title, handout.names
    yield handout.note, handout.names
    for block in handout.blocks:
        if isinstance(block, TextBlock):
            yield block.text, block.names
        elif isinstance(block, QuestionBlock):
            for one in block.questions:
                yield one.question, block.names
                yield one.answer, block.names


def _is_name(word: str) -> bool:
    """Tell whether a word names a note or a chord."""
    try:
        Chord.parse(word)
    except TheoryError:
        return False
    return True
