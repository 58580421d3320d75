"""Words on octaves: what a page says where its lines lie in another octave than is usual for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from theorykit.handout.front import reader_words
from theorykit.handout.pieces import Beside, Para, Picture, Section, StaffLabel
from theorykit.harmony.wording import listed
from theorykit.notes.reader import Reader

USUAL = "an octave below the concert page."  # of the bass clef
TOLD = "an octave below the concert page where nothing else is said."


def said_of(who: Reader, sections: Sequence[Section]) -> str:
    """Return whose page this is, how it is written, and in which octave its lines are.

    Where some lines are in another octave than the others, those say so themselves.

    >>> from theorykit.notes.reader import reader
    >>> said_of(reader("guitar"), [Section("A colour", (), moved=(-1,))])[-53:]
    'The lines are an octave lower than in the recordings.'
    >>> said_of(reader("bass clef"), [Section("A colour", (), moved=(-1,))])[-58:]
    'Written, and sounding, two octaves below the concert page.'
    """
    said, ways = reader_words(who), _ways(sections)
    if not any(ways):
        return said
    if len(set(ways)) > 1:
        return said.replace(USUAL, TOLD)
    where = _where(ways[0], who)
    if who.clef == "bass":
        return said.replace(USUAL, f"{where}.")
    return f"{said} The lines are {where}."


def octaves_said(who: Reader, sections: Sequence[Section]) -> tuple[Section, ...]:
    """Return sections that say which of their lines are in another octave than is usual.

    Where all lines of a page are, its head says it once.

    >>> from theorykit.notes.reader import reader
    >>> one, two = (Section("", (StaffLabel("x"),), moved=(way,)) for way in (0, -1))
    >>> [piece.text for piece in octaves_said(reader("F"), [one, two])[1].pieces]
    ['This line is an octave lower than in the recordings.', 'x']
    """
    if len(set(_ways(sections))) < 2:
        return tuple(sections)
    return tuple(_told(section, who) if any(section.moved) else section for section in sections)


def _ways(sections: Sequence[Section]) -> list[int]:
    """Return by how many octaves each line of a page was moved."""
    return [way for section in sections for way in section.moved]


def _told(section: Section, who: Reader) -> Section:
    """Return a section with a sentence on its octaves above its first staff."""
    pieces = section.pieces
    firsts = [n for n, one in enumerate(pieces) if isinstance(one, StaffLabel)]
    firsts += [n for n, one in enumerate(pieces) if isinstance(one, Picture | Beside)]
    at = firsts[0] if firsts else 0
    said = Para(" ".join(_sentences(section.moved, who)), small=True)
    return replace(section, pieces=(*pieces[:at], said, *pieces[at:]))


def _sentences(moved: Sequence[int], who: Reader) -> Iterator[str]:
    """Yield a sentence for each octave in which some lines of a section are.

    >>> from theorykit.notes.reader import reader
    >>> list(_sentences((0, -1, -1), reader("F")))
    ['Staves 2 and 3 are an octave lower than in the recordings.']
    """
    for way in sorted({one for one in moved if one}):
        numbers = [str(number) for number, one in enumerate(moved, 1) if one == way]
        many = len(numbers) > 1
        which = f"Sta{'ves' if many else 'ff'} {listed(numbers)}"
        if len(numbers) == len(moved):
            which = "These lines" if many else "This line"
        yield f"{which} {'are' if many else 'is'} {_where(way, who)}."


def _where(way: int, who: Reader) -> str:
    """Say where a line is that was moved by an octave."""
    if who.clef == "bass":
        return "two octaves below the concert page" if way < 0 else "as high as the concert page"
    return f"an octave {'lower' if way < 0 else 'higher'} than in the recordings"
