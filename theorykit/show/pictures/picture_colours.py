"""The colours of every picture, chosen so that they can be told apart and read.

Source of the hues: Okabe and Ito, *Color Universal Design* (2002, revised 2008): vermillion, blue,
bluish green and reddish purple. The hues are kept; how dark each is was searched, so that text in
it stands out from the paper by at least 4.5 to 1, white text on it likewise (WCAG 2.1, success
criterion 1.4.3), and the closest two lie as far apart as can be for every kind of colour vision.
A colour never stands alone: beside it is a label, a shape or a letter style.
"""

from __future__ import annotations

PAPER = "#fffdf8"
INK = "#1b1b1b"
FADED = "#5c5c5c"  # what is said in passing: legends, key lines
LINE = "#8a8a8a"  # edges that carry no text

VERMILLION = "#b24f00"
BLUE = "#0079bd"
GREEN = "#006147"
PURPLE = "#a95182"

# Which role of a note has which of them stands in note_marks; these are for what is no note.
BARE = LINE  # bars of counts
TINT = "#dcebf5"  # behind what is filled or chosen


def luminance(colour: str) -> float:
    """Return the relative luminance of ``#rrggbb``, 0 for black to 1 for white (WCAG 2.1).

    >>> luminance("#ffffff"), luminance("#000000")
    (1.0, 0.0)
    """
    red, green, blue = (_linear(int(colour[place : place + 2], 16) / 255) for place in (1, 3, 5))
    return round(0.2126 * red + 0.7152 * green + 0.0722 * blue, 10)


def _linear(channel: float) -> float:
    """Undo the gamma of one sRGB channel."""
    return channel / 12.92 if channel <= 0.04045 else float(((channel + 0.055) / 1.055) ** 2.4)


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21 (WCAG 2.1).

    >>> contrast("#000000", "#ffffff")
    21.0
    """
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)
