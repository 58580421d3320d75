"""Chord symbols of a score: what a ``<harmony>`` means, out of plain XML.

A symbol is said twice: by a kind with degrees, and by the text that is printed. The kind and the
degrees decide; where the text says the same and more, the text does, and where the two contradict
each other, that is told. A 13 is read as players mean it, without the 11 that the standard puts
into it (MusicXML 4.0, ``kind-value``).

Programs differ. Read here besides what the standard says: a fifth that is *added* altered takes the
place of the plain one, degrees may be added to the kind ``none`` or to a kind known by its text
alone, and a few names of kinds are in use that the standard does not have.
"""

from __future__ import annotations

from xml.etree.ElementTree import Element

from theorykit.errors import TheoryError, shown
from theorykit.notes.chord import NO_CHORD, Chord
from theorykit.notes.degree import Degree, above, degrees
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note
from theorykit.show.engraving import KINDS

_TRADE = {
    "dominant-13th": "1 3 5 b7 9 13",
    "major-13th": "1 3 5 7 9 13",
    "minor-13th": "1 b3 5 b7 9 13",
}
# Names that are in use beside those of the standard (music21 9, ``harmony.CHORD_TYPES``).
_BESIDE = {
    "dominant-seventh": "1 3 5 b7",
    "minor-major-seventh": "1 b3 5 7",
    "minor-major-ninth": "1 b3 5 7 9",
    "minor-major-11th": "1 b3 5 7 9 11",
    "minor-major-13th": "1 b3 5 7 9 13",
    "augmented-major-seventh": "1 3 #5 7",
    "augmented-major-ninth": "1 3 #5 7 9",
    "augmented-major-11th": "1 3 #5 7 9 11",
    "augmented-major-13th": "1 3 #5 7 9 13",
    "augmented-dominant-ninth": "1 3 #5 b7 9",
    "augmented-dominant-13th": "1 3 #5 b7 9 13",
    "augmented-11th": "1 3 #5 b7 9 11",
    "seventh-flat-five": "1 3 b5 b7",
    "half-diminished-seventh": "1 b3 b5 b7",
    "half-diminished-ninth": "1 b3 b5 b7 9",
    "half-diminished-minor-ninth": "1 b3 b5 b7 b9",
    "half-diminished-11th": "1 b3 b5 b7 9 11",
    "half-diminished-13th": "1 b3 b5 b7 9 13",
    "diminished-ninth": "1 b3 b5 bb7 9",
    "diminished-minor-ninth": "1 b3 b5 bb7 b9",
    "diminished-11th": "1 b3 b5 bb7 9 11",
    "suspended-fourth-seventh": "1 4 5 b7",
}
_BASES = {kind: degrees(formula) for kind, formula in (KINDS | _BESIDE | _TRADE).items()}
_ROOT = degrees("1")
NO_KIND, ANY_KIND = "none", "other"
SOUNDING = ("degree", "bass", "inversion")  # what a symbol for no chord cannot have
FIFTH, HIGHEST = 5, 13
COMPOUND = {2: 9, 4: 11}  # what an added 2 or 4 is beside a third
SKELETON = (2, 3, 4, 6, 7)  # the degrees that make a kind what it is: third, sixth, seventh
INVERTED = (1, 3, 5, 7)  # the degree in the bass of a root position, of a first inversion, and on


def chord_of(harmony: Element) -> Chord:
    """Return the chord that a ``<harmony>`` means.

    >>> from theorykit.show.engraving.mark_xml import harmony_element
    >>> symbols = ("Bb7b9/Ab", "C13", "F#m7b5", "N.C.")
    >>> [str(chord_of(harmony_element(Chord.parse(symbol)))) for symbol in symbols]
    ['Bb7b9/Ab', 'C13', 'F#m7b5', 'N.C.']
    """
    return symbol_of(harmony)[0]


def symbol_of(harmony: Element) -> tuple[Chord, str]:
    """Return the chord that a ``<harmony>`` means, and what must be told of it, if anything."""
    kinds = [(kind.text or "").strip() for kind in harmony.findall("kind")]
    if len(kinds) > 1:
        raise TheoryError(f"{len(kinds)} chords in one symbol (want one)")
    name = kinds[0] if kinds else ""
    text = _printed(harmony)
    if name == NO_KIND and _is_silent(text) and not any(map(harmony.findall, SOUNDING)):
        return NO_CHORD, ""
    root = _note(harmony, "root")
    if root is None:
        raise TheoryError("a chord symbol without a root (want a note, not a function)")
    said = _by_text(root, text)
    kind, told = _settled(root, name, harmony, said)
    return _with_bass(Chord(root, kind), said, harmony), told


def _printed(harmony: Element) -> str:
    """Return the text of the symbol as it is printed, without its root."""
    kind = harmony.find("kind")
    return kind.get("text", "").strip() if kind is not None else ""


def _is_silent(text: str) -> bool:
    """Tell whether the text of a kind says no chord, or nothing."""
    return text.replace(".", "").replace(" ", "").upper() in ("", "NC", "NOCHORD")


def _note(harmony: Element, role: str) -> Note | None:
    """Return the root or the bass."""
    letter = harmony.findtext(f"{role}/{role}-step")
    if letter is None:
        return None
    return Note(letter.strip(), whole_number(harmony.findtext(f"{role}/{role}-alter") or "0"))


def whole_number(text: str) -> int:
    """Read a whole number of half steps or a degree, written as one or with decimals.

    >>> whole_number("-1.0")
    -1
    """
    try:
        value = float(text)
    except ValueError:
        value = 0.5
    if not value.is_integer() or abs(value) > HIGHEST + 2:
        raise TheoryError(f"not a number of half steps or a degree: {shown(text)}")
    return int(value)


def _settled(root: Note, name: str, harmony: Element, said: Chord | None) -> tuple[ChordKind, str]:
    """Return the kind out of what is described and what is printed, and what must be told."""
    printed = said.kind if said is not None else None
    if printed is None and name == NO_KIND and _only_high(harmony):
        found = _drawn(_BASES["major"], harmony)
        return found, f"{root}{found.symbol} is read for a symbol without a kind or a triad"
    try:
        found = _described(name, harmony, printed)
    except TheoryError:
        if printed is None or name in _BASES:
            raise
        found = printed
    if printed is None or printed == found:
        return found, ""
    if _is_six_over_seven(printed, found):
        return printed, ""
    if _says_less(printed, found, harmony):
        return found, ""
    if frozenset(found.degrees) < frozenset(printed.degrees) or _only_marked(
        found, printed, harmony
    ):
        return printed, ""
    words = f"{root}{_printed(harmony)} is printed, but the file means {root}{found.symbol}"
    return found, f"{words}, which is read"


def _only_high(harmony: Element) -> bool:
    """Tell whether the file names degrees, and none of them below the sixth."""
    marks = harmony.findall("degree")
    numbers = [whole_number(mark.findtext("degree-value") or "") for mark in marks]
    return bool(numbers) and min(numbers) > FIFTH


def _is_six_over_seven(printed: ChordKind, found: ChordKind) -> bool:
    """Tell whether the text has a 6 over its 7 where what is described has a 13, the same note."""
    plain = {Degree(13) if degree == Degree(6) else degree for degree in printed.degrees}
    return plain == set(found.degrees)


def _says_less(printed: ChordKind, found: ChordKind, harmony: Element) -> bool:
    """Tell whether the text leaves out, at most, what the degrees of the file say beside it."""
    changed = {(mark.findtext("degree-value") or "").strip() for mark in harmony.findall("degree")}
    extra = frozenset(printed.degrees) - frozenset(found.degrees)
    return all(not degree.alteration and str(degree.number) in changed for degree in extra)


def _only_marked(found: ChordKind, printed: ChordKind, harmony: Element) -> bool:
    """Tell whether the text is the kind with marks that the file gives no degrees for."""
    bones = [[d for d in kind.degrees if d.number in SKELETON] for kind in (found, printed)]
    return harmony.find("degree") is None and bones[0] == bones[1]


def _described(name: str, harmony: Element, printed: ChordKind | None) -> ChordKind:
    """Return the kind with its degrees altered, added and left out.

    Where the standard has no such kind, it is the printed one that the degrees change.
    """
    if name in _BASES:
        base = _BASES[name]
    elif printed is not None:
        base = printed.degrees
    elif name in (NO_KIND, ANY_KIND) and harmony.find("degree") is not None:
        base = _ROOT
    else:
        raise TheoryError(f"no such kind of chord: {shown(name)}")
    return _drawn(base, harmony)


def _drawn(base: tuple[Degree, ...], harmony: Element) -> ChordKind:
    """Return what the degrees of the file make of a base, if a symbol says it."""
    kind = ChordKind.of(_changed(base, harmony))
    if Chord.parse(f"C{kind.symbol}").kind != kind:
        raise TheoryError(f"no symbol says {' '.join(map(str, kind.degrees))}")
    return kind


def _changed(base: tuple[Degree, ...], harmony: Element) -> list[Degree]:
    """Return the degrees of a kind after those that the file alters, adds and leaves out."""
    found = {degree.number: degree for degree in base if degree.number not in (9, 11, 13)}
    tall = [degree for degree in base if degree.number in (9, 11, 13)]
    added: list[tuple[int, int]] = []
    for mark in harmony.findall("degree"):
        number = whole_number(mark.findtext("degree-value") or "")
        change = whole_number(mark.findtext("degree-alter") or "0")
        action = (mark.findtext("degree-type") or "").strip()
        above_7 = next((degree for degree in tall if degree.number == number), None)
        if action == "subtract":
            found.pop(number, None)
            tall = [degree for degree in tall if degree.number != number]
        elif action == "alter" and number in found:
            found[number] = Degree(number, found[number].alteration + change)
        elif action == "alter" and above_7 is not None:
            tall[tall.index(above_7)] = Degree(number, above_7.alteration + change)
        else:
            added.append((number, change))
    more = [_added(*one, found) for one in added]
    if any(degree.number == 5 and degree.alteration for degree in more):
        found = {number: one for number, one in found.items() if one != Degree(5)}
    return [*found.values(), *tall, *more]


def _added(number: int, change: int, found: dict[int, Degree]) -> Degree:
    """Return an added degree; the standard counts from a dominant chord, whose 7 is minor.

    A 7 that would be lower still belongs to a diminished triad alone; over other chords the file
    counts from the major scale.
    """
    alteration = change - (number in (7, 14))
    if number == 7 and alteration == -2 and found.get(5) != Degree(5, -1):
        alteration = -1
    if 3 in found:
        number = COMPOUND.get(number, number)
    return Degree(13 if number == 6 and 7 in found else number, alteration)


def _by_text(root: Note, text: str) -> Chord | None:
    """Return the chord as it is printed, None where there is no text, or none that can be read."""
    if not text:
        return None
    for symbol in (f"{root}{text}", f"{root}({text})"):
        try:
            found = Chord.parse(symbol)
        except TheoryError:
            continue
        if found.root == root and not found.is_silent:
            return found  # the text b5 after E is not the chord on E flat
    return None


def _with_bass(chord: Chord, said: Chord | None, harmony: Element) -> Chord:
    """Return the chord with its bass: as the file names it, else by inversion, else by text."""
    bass = _note(harmony, "bass") or _inverted(chord, harmony.findtext("inversion"))
    if bass is None and said is not None:
        bass = said.bass
    return chord if bass is None else Chord(chord.root, chord.kind, bass)


def _inverted(chord: Chord, text: str | None) -> Note | None:
    """Return the bass of an inversion, by its number."""
    number = whole_number(text) if text is not None else 0
    if not number:
        return None
    tones = {degree.number: degree for degree in chord.degrees}
    wanted = INVERTED[number] if 0 < number < len(INVERTED) else 0
    if wanted not in tones:
        raise TheoryError(f"no inversion {number} of {chord} (want one with a note of the chord)")
    return above(chord.root, tones[wanted])
