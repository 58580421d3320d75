"""Parts of a score: the one with the melody, and the chords over it, out of plain XML."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from xml.etree.ElementTree import Element, SubElement, tostring

from theorykit.errors import TheoryError
from theorykit.notes.chord import Chord
from theorykit.notes.note import LETTERS, NATURAL_SEMITONES
from theorykit.show.files.harmony_xml import symbol_of

MOST_NOTES, MOST_MEASURES = 6_000, 1_001  # of one part: about five seconds of reading
NAMED = ("melody", "lead", "solo", "voice", "vocal", "line")  # names of parts that are melodies
# What is read of a note: its sound and its time; no lyrics, marks, or words.
NOTE = frozenset(
    "grace chord pitch unpitched rest cue duration tie voice type dot accidental "
    "time-modification notations".split()
)
NOTATIONS = frozenset(("tied", "tuplet"))
# The key is read by ``signatures``.
ATTRIBUTES = frozenset(("divisions", "time", "staves", "clef", "transpose"))
LETTERS_OF = dict(zip(LETTERS, NATURAL_SEMITONES, strict=True))


@dataclass(frozen=True, slots=True)
class ScorePart:
    """A part of a score: its name, how many notes, how many of them in chords, how high."""

    id: str
    name: str
    notes: int
    in_chords: int
    height: float
    symbols: int
    element: Element


@dataclass(frozen=True, slots=True)
class PlacedSymbol:
    """A chord symbol: in which measure, by number from 0, and on which beat of it, from 0."""

    measure: int
    beat: Fraction
    chord: Chord


def parts_of(root: Element) -> tuple[ScorePart, ...]:
    """Return the parts of a score that is written part by part."""
    if root.tag != "score-partwise":
        raise TheoryError(f"not a score by parts: <{root.tag[:40]}> (want <score-partwise>)")
    names = {e.get("id", ""): (e.findtext("part-name") or "") for e in root.iter("score-part")}
    return tuple(_part(element, names) for element in root.findall("part"))


def _part(element: Element, names: dict[str, str]) -> ScorePart:
    """Measure one part."""
    heights, in_chords = [], 0
    for note in element.iter("note"):
        pitch = note.find("pitch")
        if pitch is not None:
            heights.append(_height(pitch))
            in_chords += note.find("chord") is not None
    name = names.get(element.get("id", ""), "").strip()
    height = sum(heights) / len(heights) if heights else 0.0
    symbols = sum(1 for _ in element.iter("harmony"))
    return ScorePart(element.get("id", ""), name, len(heights), in_chords, height, symbols, element)


def _height(pitch: Element) -> int:
    """Return how high a pitch is, in half steps; what cannot be read counts as 0."""
    octave = (pitch.findtext("octave") or "").strip()
    letter = (pitch.findtext("step") or "").strip()
    return 12 * int(octave) + LETTERS_OF.get(letter, 0) if octave.isdecimal() else 0


def melody_part(parts: Sequence[ScorePart], wanted: str | int | None = None) -> ScorePart:
    """Return the part that is the melody: the one asked for, else the likeliest.

    Likeliest is a part that is called melody, lead, solo or voice; then one that has chord symbols
    over it; then one with few notes in chords; then the highest.
    """
    sounding = [part for part in parts if part.notes]
    if not sounding:
        raise TheoryError("no music in this file: no part has a note")
    if wanted is None:
        return max(sounding, key=_likeliness)
    by_name = {part.name: part for part in sounding} | dict(enumerate(parts, 1))
    if wanted not in by_name:
        names = ", ".join(repr(part.name) for part in sounding)
        raise TheoryError(f"no part {wanted!r} with notes (want {names}, or a number)")
    return by_name[wanted]


def _likeliness(part: ScorePart) -> tuple[bool, bool, bool, float]:
    """Rank a part as a melody."""
    named = any(word in part.name.lower() for word in NAMED)
    single = part.in_chords * 10 <= part.notes
    return named, part.symbols > 0 and single, single, part.height


def chords_of(part: Element) -> tuple[list[PlacedSymbol], list[str]]:
    """Return the chord symbols over a part, and what could not be read, in words."""
    found: list[PlacedSymbol] = []
    problems: list[str] = []
    divisions = Fraction(1)
    for number, measure in enumerate(part.findall("measure")):
        cursor = Fraction(0)
        for element in measure:
            stated = element.findtext("divisions") if element.tag == "attributes" else None
            divisions = _positive(stated) if stated else divisions
            if element.tag == "harmony":
                beat = max(cursor + _duration(element, "offset") / divisions, Fraction(0))
                _take_symbol(element, number, beat, found, problems)
            cursor += _advance(element) / divisions
    return found, problems


def _take_symbol(
    harmony: Element,
    measure: int,
    beat: Fraction,
    found: list[PlacedSymbol],
    problems: list[str],
) -> None:
    """Read one symbol; of two at one place the first stays, an alternative never does."""
    where = f"bar {measure + 1}"
    try:
        chord, told = symbol_of(harmony)
    except TheoryError as wrong:
        problems.append(f"{where}: a chord symbol is left out, {wrong}")
        return
    before = next((s for s in found[-1:] if (s.measure, s.beat) == (measure, beat)), None)
    if harmony.get("type") == "alternate" or (before is not None and before.chord != chord):
        problems.append(f"{where}: {chord} is left out, another chord than the one played there")
        return
    if told:
        problems.append(f"{where}: {told}")
    if before is None:
        found.append(PlacedSymbol(measure, beat, chord))


def symbols_beside(parts: Sequence[ScorePart], source: ScorePart) -> list[str]:
    """Say which parts have chord symbols of their own that are not those of the source."""
    taken, _ = chords_of(source.element)
    others = [part for part in parts if part is not source and part.symbols]
    names = [part.name or part.id for part in others if chords_of(part.element)[0] != taken]
    return [f"The chord symbols over {name!r} are left out." for name in names]


def _positive(text: str) -> Fraction:
    """Read the divisions of a quarter."""
    value = _fraction(text)
    return value if value > 0 else Fraction(1)


def _fraction(text: str) -> Fraction:
    """Read a number of divisions; 0 where there is none."""
    plain = text.strip()
    digits = plain.removeprefix("-").replace(".", "", 1)
    return Fraction(plain) if digits.isdecimal() and len(digits) < 16 else Fraction(0)


def _duration(element: Element, tag: str) -> Fraction:
    """Return a length in divisions."""
    return _fraction(element.findtext(tag) or "0")


def _advance(element: Element) -> Fraction:
    """Return how far an element moves on in its measure, in divisions."""
    if element.tag == "backup":
        return -_duration(element, "duration")
    goes_on = element.tag == "forward" or (element.tag == "note" and element.find("chord") is None)
    return _duration(element, "duration") if goes_on else Fraction(0)


def single_part(root: Element, part: ScorePart) -> str:
    """Return the text of a score with one part alone, without its chord symbols and lyrics."""
    if part.notes > MOST_NOTES:
        raise TheoryError(f"{part.notes:,} notes in one part (want at most {MOST_NOTES:,})")
    measures = part.element.findall("measure")
    if len(measures) > MOST_MEASURES:
        raise TheoryError(f"{len(measures):,} bars (want at most {MOST_MEASURES - 1:,})")
    score = Element("score-partwise", version="4.0")
    entry = SubElement(SubElement(score, "part-list"), "score-part", id="P1")
    SubElement(entry, "part-name").text = part.name
    one = SubElement(score, "part", id="P1")
    for measure in measures:
        plain = SubElement(one, "measure", dict(measure.attrib))
        plain.extend(_kept(measure))
    return tostring(score, encoding="unicode")


def _kept(measure: Element) -> Iterator[Element]:
    """Run through what a line needs of a measure."""
    for element in measure:
        if element.tag == "note":
            yield _pruned(element, NOTE)
        elif element.tag == "attributes":
            yield _pruned(element, ATTRIBUTES)
        elif element.tag in ("backup", "forward"):
            yield element


def _pruned(element: Element, wanted: frozenset[str]) -> Element:
    """Return an element with those of its children that are wanted."""
    plain = Element(element.tag, dict(element.attrib))
    for child in element:
        if child.tag in wanted:
            plain.append(_pruned(child, NOTATIONS) if child.tag == "notations" else child)
    return plain
