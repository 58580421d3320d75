"""Chord symbols as three kinds of program write them, by hand after the standard.

Source: MusicXML 4.0, documentation of ``harmony``, ``kind``, ``degree``, ``bass`` and
``inversion``, and the examples on those pages. No rule of ours is used: each symbol is one row,
written out, of a kind and its degrees.
"""

from __future__ import annotations

from collections.abc import Iterable
from xml.etree.ElementTree import Element, SubElement

Degrees = Iterable[tuple[int, int, str]]

# By the letter of the standard: added degrees count from a dominant chord, so that an added 7 is
# minor and an added 7 raised by one is major; altered degrees count from the kind.
PLAIN: dict[str, tuple[str, Degrees]] = {
    "": ("major", []),
    "m": ("minor", []),
    "dim": ("diminished", []),
    "aug": ("augmented", []),
    "sus4": ("suspended-fourth", []),
    "sus2": ("suspended-second", []),
    "5": ("power", []),
    "add9": ("major", [(9, 0, "add")]),
    "madd9": ("minor", [(9, 0, "add")]),
    "6": ("major-sixth", []),
    "6/9": ("major-sixth", [(9, 0, "add")]),
    "m6": ("minor-sixth", []),
    "m6/9": ("minor-sixth", [(9, 0, "add")]),
    "maj7": ("major-seventh", []),
    "maj9": ("major-ninth", []),
    "maj11": ("major-11th", []),
    "maj13": ("major-13th", [(11, 0, "subtract")]),
    "maj7#5": ("major-seventh", [(5, 1, "alter")]),
    "m7": ("minor-seventh", []),
    "m9": ("minor-ninth", []),
    "m11": ("minor-11th", []),
    "m13": ("minor-13th", [(11, 0, "subtract")]),
    "m(maj7)": ("major-minor", []),
    "m(maj9)": ("major-minor", [(9, 0, "add")]),
    "m7b5": ("half-diminished", []),
    "m9b5": ("half-diminished", [(9, 0, "add")]),
    "m11b5": ("half-diminished", [(9, 0, "add"), (11, 0, "add")]),
    "dim7": ("diminished-seventh", []),
    "dim(maj7)": ("diminished", [(7, 1, "add")]),
    "7": ("dominant", []),
    "9": ("dominant-ninth", []),
    "11": ("dominant-11th", []),
    "13": ("dominant-13th", [(11, 0, "subtract")]),
    "7#5": ("augmented-seventh", []),
    "9#5": ("augmented-seventh", [(9, 0, "add")]),
    "7alt": (
        "dominant",
        [(5, 0, "subtract"), (9, -1, "add"), (9, 1, "add"), (11, 1, "add"), (13, -1, "add")],
    ),
    "7sus4": ("suspended-fourth", [(7, 0, "add")]),
    "9sus4": ("suspended-fourth", [(7, 0, "add"), (9, 0, "add")]),
    "13sus4": ("suspended-fourth", [(7, 0, "add"), (9, 0, "add"), (13, 0, "add")]),
    "7sus2": ("suspended-second", [(7, 0, "add")]),
    "7sus4b9": ("suspended-fourth", [(7, 0, "add"), (9, -1, "add")]),
}

# From a smaller chord upwards, every change an added degree, fifths too; no text.
ADDING: dict[str, tuple[str, Degrees]] = PLAIN | {
    "dim": ("minor", [(5, -1, "add")]),
    "aug": ("major", [(5, 1, "add")]),
    "5": ("none", [(5, 0, "add")]),
    "6/9": ("none", [(3, 0, "add"), (5, 0, "add"), (6, 0, "add"), (9, 0, "add")]),
    "6": ("major", [(6, 0, "add")]),
    "m6": ("minor", [(6, 0, "add")]),
    "m6/9": ("minor", [(6, 0, "add"), (9, 0, "add")]),
    "maj9": ("major-seventh", [(9, 0, "add")]),
    "maj11": ("major-seventh", [(9, 0, "add"), (11, 0, "add")]),
    "maj13": ("major-seventh", [(9, 0, "add"), (13, 0, "add")]),
    "maj7#5": ("major-seventh", [(5, 1, "add")]),
    "m7": ("minor", [(7, 0, "add")]),
    "m9": ("minor-seventh", [(9, 0, "add")]),
    "m11": ("minor-ninth", [(11, 0, "add")]),
    "m13": ("minor-ninth", [(13, 0, "add")]),
    "m(maj7)": ("minor", [(7, 1, "add")]),
    "m(maj9)": ("minor", [(7, 1, "add"), (9, 0, "add")]),
    "m7b5": ("minor-seventh", [(5, -1, "add")]),
    "m9b5": ("minor-ninth", [(5, -1, "add")]),
    "m11b5": ("minor-11th", [(5, -1, "add")]),
    "dim7": ("diminished", [(7, -1, "add")]),
    "7": ("major", [(7, 0, "add")]),
    "9": ("dominant", [(9, 0, "add")]),
    "11": ("dominant-ninth", [(11, 0, "add")]),
    "13": ("dominant-ninth", [(13, 0, "add")]),
    "7#5": ("dominant", [(5, 1, "add")]),
    "9#5": ("dominant-ninth", [(5, 1, "add")]),
    "7sus4": ("suspended-fourth-seventh", []),
    "9sus4": ("dominant-ninth", [(3, 0, "subtract"), (4, 0, "add")]),
    "7sus4b9": ("suspended-fourth-seventh", [(9, -1, "add")]),
}

# With text, altering what a kind has; ``other`` where the standard has no kind near.
TEXTED: dict[str, tuple[str, Degrees, str]] = {
    "": ("major", [], ""),
    "m": ("minor", [], "m"),
    "dim": ("diminished", [], "dim"),
    "aug": ("augmented", [], "+"),
    "sus4": ("suspended-fourth", [], "sus"),
    "sus2": ("suspended-second", [], "sus2"),
    "5": ("power", [], "5"),
    "add9": ("major", [(9, 0, "add")], "add9"),
    "madd9": ("minor", [(9, 0, "add")], "m(add9)"),
    "6": ("major-sixth", [], "6"),
    "6/9": ("other", [], "6/9"),
    "m6": ("minor-sixth", [], "m6"),
    "m6/9": ("other", [], "m6/9"),
    "maj7": ("major-seventh", [], "Maj7"),
    "maj9": ("major-ninth", [], "Maj9"),
    "maj11": ("major-11th", [], "Maj11"),
    "maj13": ("major-13th", [], "Maj13"),
    "maj7#5": ("major-seventh", [(5, 1, "alter")], "Maj7"),
    "m7": ("minor-seventh", [], "-7"),
    "m9": ("minor-ninth", [], "-9"),
    "m11": ("minor-11th", [], "-11"),
    "m13": ("minor-13th", [], "-13"),
    "m(maj7)": ("major-minor", [], "m(Maj7)"),
    "m(maj9)": ("other", [], "m(Maj9)"),
    "m7b5": ("minor-seventh", [(5, -1, "alter")], "m7"),
    "m9b5": ("minor-ninth", [(5, -1, "alter")], "m9"),
    "m11b5": ("minor-11th", [(5, -1, "alter")], "m11"),
    "dim7": ("diminished-seventh", [], "°7"),
    "dim(maj7)": ("other", [], "dim(maj7)"),
    "7": ("dominant", [], "7"),
    "9": ("dominant-ninth", [], "9"),
    "11": ("dominant-11th", [], "11"),
    "13": ("dominant-13th", [], "13"),
    "7#5": ("dominant", [(5, 1, "alter")], "7"),
    "9#5": ("dominant-ninth", [(5, 1, "alter")], "9"),
    "7alt": ("dominant", [], "7alt"),
    "7sus4": ("other", [], "7sus4"),
    "9sus4": ("dominant-ninth", [(3, 0, "subtract"), (4, 0, "add")], "9sus"),
    "13sus4": ("other", [], "13sus4"),
    "7sus2": ("other", [], "7sus2"),
    "7sus4b9": ("suspended-fourth", [(7, 0, "add"), (9, -1, "add")], "7sus"),
}


def harmony(
    root: str, kind: str, degrees: Degrees = (), text: str | None = None, more: str = ""
) -> Element:
    """Return a ``<harmony>`` on a root such as Bb; ``more`` are the letter and sign of a bass."""
    element = Element("harmony")
    _note(element, "root", root)
    SubElement(element, "kind", {} if text is None else {"text": text}).text = kind
    if more:
        _note(element, "bass", more)
    for number, change, action in degrees:
        degree = SubElement(element, "degree")
        SubElement(degree, "degree-value").text = str(number)
        SubElement(degree, "degree-alter").text = str(change)
        SubElement(degree, "degree-type").text = action
    return element


def _note(element: Element, role: str, name: str) -> None:
    """Add a root or a bass."""
    place = SubElement(element, role)
    SubElement(place, f"{role}-step").text = name[0]
    if name[1:]:
        SubElement(place, f"{role}-alter").text = str(name.count("#") - name.count("b"))


def plain(symbol: str, root: str) -> Element:
    """Write a kind of chord as the standard counts."""
    kind, degrees = PLAIN[symbol]
    return harmony(root, kind, degrees)


def adding(symbol: str, root: str) -> Element:
    """Write a kind of chord with added degrees alone."""
    kind, degrees = ADDING[symbol]
    return harmony(root, kind, degrees)


def texted(symbol: str, root: str) -> Element:
    """Write a kind of chord with its text, the root not in it."""
    kind, degrees, text = TEXTED[symbol]
    return harmony(root, kind, degrees, text)


WRITERS = {"plain": plain, "adding": adding, "texted": texted}
