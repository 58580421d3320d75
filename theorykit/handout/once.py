"""What a handout says once, though several of its blocks have it to say."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from theorykit.handout.pieces import Para, Section

__all__ = ["STAFF_WORDS", "said_once"]

STAFF_WORDS = (
    "Under each note stands what it is over its chord: the colour underlined, the note on which it "
    "lands slanted."
)

_SOURCE = re.compile(r", counted in transcribed solos \([^()]*\)(?=\.$)")


def said_once(sections: Iterable[Section]) -> tuple[Section, ...]:
    """Return sections that explain their staves once, and name each source and count once.

    >>> legend = Para(STAFF_WORDS, small=True)
    >>> source = ", counted in transcribed solos (456 solos)."
    >>> one = Section("", (legend,), margin=("A: 1" + source,))
    >>> two = Section("", (legend,), margin=("B: 2" + source, "A: 1" + source))
    >>> [(len(section.pieces), section.margin) for section in said_once([one, two])]
    [(1, ('A: 1, counted in transcribed solos (456 solos).',)), (0, ('B: 2.',))]
    """
    said: set[str] = set()
    found = []
    for section in sections:
        pieces = [p for p in section.pieces if not (_explains(p) and STAFF_WORDS in said)]
        said.update(STAFF_WORDS for piece in pieces if _explains(piece))
        found.append(replace(section, pieces=tuple(pieces), margin=tuple(_notes(section, said))))
    return tuple(found)


def _explains(piece: object) -> bool:
    """Tell whether a piece is the one that explains a staff."""
    return isinstance(piece, Para) and piece.text == STAFF_WORDS


def _notes(section: Section, said: set[str]) -> Iterator[str]:
    """Yield the notes of a margin without what was said before; ``said`` grows."""
    for text in section.margin:
        source = _SOURCE.search(text)
        if source is None:
            yield text
        elif text not in said:
            said.add(text)
            yield text.replace(source[0], "") if source[0] in said else text
            said.add(source[0])
