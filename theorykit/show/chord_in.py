"""Chords out of MusicXML ``<harmony>`` elements: the reverse of ``show.chord_xml``.

The kind and the degrees decide, for ``text`` may say less than they do; where they say nothing that
can be read, the text is tried. A 13 is read as players mean it, without the 11 that the standard
puts into it (MusicXML 4.0, ``kind-value``).
"""

from __future__ import annotations

from xml.etree.ElementTree import Element

from theorykit.errors import TheoryError, shown
from theorykit.notes.chord import NO_CHORD, Chord
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note
from theorykit.show.chord_xml import KINDS

__all__ = ["chord_of"]

_TRADE = {"dominant-13th": "1 3 5 b7 9 13", "major-13th": "1 3 5 7 9 13"}
_BASES = {kind: degrees(formula) for kind, formula in (KINDS | _TRADE).items()}
HIGHEST = 13
COMPOUND = {2: 9, 4: 11}  # what an added 2 or 4 is beside a third


def chord_of(harmony: Element) -> Chord:
    """Return the chord that a ``<harmony>`` means.

    >>> from theorykit.show.chord_xml import harmony_element
    >>> symbols = ("Bb7b9/Ab", "C13", "F#m7b5", "N.C.")
    >>> [str(chord_of(harmony_element(Chord.parse(symbol)))) for symbol in symbols]
    ['Bb7b9/Ab', 'C13', 'F#m7b5', 'N.C.']
    """
    kind = (harmony.findtext("kind") or "").strip()
    root = _note(harmony, "root")
    if kind == "none":
        return NO_CHORD
    if root is None:
        raise TheoryError("a chord symbol without a root (want a note, not a function)")
    bass = _note(harmony, "bass")
    try:
        return Chord(root, _kind(kind, harmony), bass)
    except TheoryError:
        return _by_text(root, harmony, bass)


def _note(harmony: Element, role: str) -> Note | None:
    """Return the root or the bass."""
    letter = harmony.findtext(f"{role}/{role}-step")
    if letter is None:
        return None
    return Note(letter.strip(), _number(harmony.findtext(f"{role}/{role}-alter") or "0"))


def _number(text: str) -> int:
    """Read a whole number, written as one or with decimals."""
    try:
        value = float(text)
    except ValueError:
        value = 0.5
    if not value.is_integer() or abs(value) > HIGHEST + 2:
        raise TheoryError(f"not a number of half steps or a degree: {shown(text)}")
    return int(value)


def _kind(name: str, harmony: Element) -> ChordKind:
    """Return the kind with its degrees altered, added and left out."""
    if name not in _BASES:
        raise TheoryError(f"no such kind of chord: {shown(name)}")
    found = {degree.number: degree for degree in _BASES[name]}
    added: list[tuple[int, int]] = []
    for mark in harmony.findall("degree"):
        number = _number(mark.findtext("degree-value") or "")
        change = _number(mark.findtext("degree-alter") or "0")
        action = (mark.findtext("degree-type") or "").strip()
        if action == "subtract":
            found.pop(number, None)
        elif action == "alter" and number in found:
            found[number] = Degree(number, found[number].alteration + change)
        else:
            added.append((number, change))
    kind = ChordKind.of([*found.values(), *(_added(*one, found) for one in added)])
    _ = kind.symbol  # a kind that has no symbol is refused here
    return kind


def _added(number: int, change: int, found: dict[int, Degree]) -> Degree:
    """Return an added degree; the standard counts from a dominant chord, whose 7 is minor."""
    alteration = change - (number in (7, 14))
    if 3 in found:
        number = COMPOUND.get(number, number)
    return Degree(13 if number == 6 and 7 in found else number, alteration)


def _by_text(root: Note, harmony: Element, bass: Note | None) -> Chord:
    """Read the chord as it is printed."""
    kind = harmony.find("kind")
    text = kind.get("text", "") if kind is not None else ""
    chord = Chord.parse(f"{root}{text}")
    return chord if bass is None else Chord(chord.root, chord.kind, bass)
