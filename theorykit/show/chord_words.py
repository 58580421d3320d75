"""Chord symbols in a bar of a grid: how wide they are and where they stand beside each other."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from theorykit.views.tune_page import GridWord

__all__ = ["CHORD", "chord_width", "set_words"]

CHORD, SMALLEST, STEP = 19.0, 9.0, 0.5  # sizes of letters, and the steps between them
BETWEEN = 0.35  # the least space between two words, by the size of their letters

# Widths by the size of the letters, in bold type: those of common sans-serif fonts, rounded up.
_WIDTHS = {"m": 0.9, "M": 0.84, "G": 0.79, "°": 0.41, "ø": 0.62, "♯": 0.56, "♭": 0.48, "♮": 0.4}
_NARROW = dict.fromkeys("ijlI./(),|", 0.34)
_WIDE = dict.fromkeys("ABCDEFHN", 0.73)
_TABLE = _WIDTHS | _NARROW | _WIDE
_OTHERS = 0.59


def chord_width(text: str, size: float) -> float:
    """Return how wide a chord symbol is in bold letters of a size, in pixels.

    >>> chord_width("Am7", 10) > chord_width("A♭7", 10)
    True
    """
    return size * sum(_TABLE.get(letter, _OTHERS) for letter in text)


def set_words(
    words: Sequence[GridWord], first: float, last: float, left: float, width: float
) -> tuple[float, list[float]]:
    """Return the size of the letters, and where each word of a bar begins.

    A word stands where its beat is in the bar (from ``left``, so many pixels wide), between
    ``first`` and ``last``; one that has no room there begins earlier, and only where that does not
    help are the letters smaller.

    >>> from fractions import Fraction
    >>> long = [GridWord("Am7", Fraction(0)), GridWord("D7♭9♭13", Fraction(2, 3))]
    >>> set_words(long, 9, 183, 0, 188)
    (19.0, [9, 106.05])
    """
    size = CHORD
    while size > SMALLEST and _needed(words, size) > last - first:
        size -= STEP
    places = [max(first, left + 0.04 * width + 0.96 * width * float(word.at)) for word in words]
    edge = last
    for number in range(len(words) - 1, -1, -1):
        places[number] = min(places[number], edge - chord_width(words[number].text, size))
        edge = places[number] - BETWEEN * size
    places[0] = max(places[0], first)
    for before, after in pairwise(range(len(words))):
        least = places[before] + chord_width(words[before].text, size) + BETWEEN * size / 2
        places[after] = max(places[after], least)
    return size, [round(place, 2) for place in places]


def _needed(words: Sequence[GridWord], size: float) -> float:
    """Return the room that words need side by side."""
    return sum(chord_width(word.text, size) + BETWEEN * size for word in words) - BETWEEN * size
