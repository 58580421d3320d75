"""Names of notes and chords in a teacher's own words, moved for each reader."""

from __future__ import annotations

import re
from collections.abc import Sequence

from theorykit.errors import TheoryError, shown
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key

__all__ = ["checked_names", "moved_names"]

MOST_NAMES = 60


def checked_names(names: Sequence[str]) -> None:
    """Refuse names that name no note and no chord.

    >>> checked_names(["G7", "the"])
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no name of a note or chord: 'the' (want names such as 'E' or 'G7')
    """
    if len(names) > MOST_NAMES:
        raise TheoryError(f"too many names: {len(names)} (want at most {MOST_NAMES})")
    for name in names:
        _chord(name)


def _chord(name: str) -> Chord:
    """Read a name; a note alone reads as the chord on it, whose print is the note."""
    try:
        return Chord.parse(name)
    except TheoryError:
        raise TheoryError(
            f"no name of a note or chord: {shown(name)} (want names such as 'E' or 'G7')"
        ) from None


def moved_names(text: str, names: Sequence[str], old: Key, new: Key) -> str:
    """Return a text with the names in it moved from one key to another and set with ♭ and ♯.

    Only whole words that were listed are moved; every other letter stays as it was typed.

    >>> concert, trumpet = Key.parse("C"), Key.parse("D")
    >>> moved_names("Over G7 think E. A good idea!", ["G7", "E"], concert, trumpet)
    'Over A7 think F♯. A good idea!'
    """
    if not names:
        return text
    held = new.notes
    found = {
        name: _chord(name).transposed(old.tonic, new.tonic, held).pretty
        for name in sorted(names, key=len, reverse=True)
    }
    words = "|".join(map(re.escape, found))
    pattern = re.compile(rf"(?<![\w♭♯#])(?:{words})(?![\w♭♯#])")
    return pattern.sub(lambda match: found[match[0]], text)
