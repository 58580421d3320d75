"""Chord symbols in a bar: how wide they are, how large, and where each begins."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from theorykit.views.tune_page import GridWord

CHORD, SMALLEST, STEP = 19.0, 9.0, 0.5  # sizes of letters, and the steps between them
LOWER = 12.0  # the largest letters of which two lines stand in a bar
BETWEEN = 0.35  # the least space between two words, by the size of their letters
# Widths by the size of the letters, in bold type: those of DejaVu Sans, which paper has and which
# is wider than the fonts of most screens; of ♯ and ♮ those of screens, which are wider.
_WIDTHS = {"m": 1.05, "M": 1.0, "%": 1.01, "°": 0.5, "♯": 0.56, "♭": 0.48, "♮": 0.4, "t": 0.48}
_WIDTHS |= {"A": 0.78, "B": 0.77, "C": 0.74, "D": 0.83, "E": 0.69, "F": 0.69, "G": 0.83, "s": 0.6}
PLAIN = 0.91  # of the width of bold letters
_NARROW = dict.fromkeys("ijlI/|", 0.38) | dict.fromkeys("().,-", 0.46)
_TABLE = _WIDTHS | _NARROW | dict.fromkeys("HN+", 0.84)
_OTHERS = 0.7


def chord_width(text: str, size: float) -> float:
    """Return how wide a chord symbol is in bold letters of a size, in pixels.

    >>> chord_width("Am7", 10) > chord_width("A♭7", 10)
    True
    """
    return size * sum(_TABLE.get(letter, _OTHERS) for letter in text)


def symbol_width(text: str, size: float) -> float:
    """Return how wide a chord symbol is in plain letters of a size, in pixels.

    >>> symbol_width("Am7", 10) < chord_width("Am7", 10)
    True
    """
    return PLAIN * chord_width(text, size)


def set_words(
    words: Sequence[GridWord],
    first: float,
    last: float,
    left: float,
    width: float,
    *,
    least: float = SMALLEST,
) -> tuple[float, list[float]]:
    """Return the size of the letters, and where each word of a bar begins.

    A word stands where its beat is in the bar (from ``left``, so many pixels wide), between
    ``first`` and ``last``; one that has no room there begins earlier, and only where that does not
    help are the letters smaller, but none than ``least``.

    >>> from fractions import Fraction
    >>> long = [GridWord("Am7", Fraction(0)), GridWord("D7♭9♭13", Fraction(2, 3))]
    >>> set_words(long, 9, 183, 0, 188)
    (19.0, [9, 95.79])
    """
    size = CHORD
    while size > least and room_of(words, size) > last - first:
        size -= STEP
    return size, places_of(words, size, (first, last), left, width)


def places_of(
    words: Sequence[GridWord], size: float, ends: tuple[float, float], left: float, width: float
) -> list[float]:
    """Return where each word begins in letters of a size."""
    first, last = ends
    places = [max(first, left + 0.04 * width + 0.96 * width * float(word.at)) for word in words]
    edge = last
    for number in range(len(words) - 1, -1, -1):
        places[number] = min(places[number], edge - chord_width(words[number].text, size))
        edge = places[number] - BETWEEN * size
    places[0] = max(places[0], first)
    for before, after in pairwise(range(len(words))):
        least = places[before] + chord_width(words[before].text, size) + BETWEEN * size / 2
        places[after] = max(places[after], least)
    return [round(place, 2) for place in places]


def room_of(words: Sequence[GridWord], size: float) -> float:
    """Return the room that words need side by side."""
    return sum(chord_width(word.text, size) + BETWEEN * size for word in words) - BETWEEN * size
