"""Parts of a score: the one with the melody, and the chords over it, out of plain XML."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from xml.etree.ElementTree import Element

from theorykit.errors import TheoryError
from theorykit.notes.chord import Chord
from theorykit.notes.note import LETTERS, NATURAL_SEMITONES
from theorykit.show.files.harmony_xml import symbol_of

MOST_PARTS = 200
# What a part that is read may have of each thing: no tune and no chorus has as much.
MOST_OF = {
    "measure": 1_001,
    "note": 12_000,
    "lyric": 24_000,
    "harmony": 4_000,
    "degree": 8_000,
    "direction": 4_000,
    "direction-type": 8_000,
    "words": 8_000,
    "barline": 4_000,
    "attributes": 4_000,
    "sound": 8_000,
    "ending": 4_000,
    "repeat": 4_000,
}
LONGEST_TIME, MOST_BEATS = 40, 100  # characters of a time signature; beats of a bar
# === Parts ===

NAMED = ("melody", "lead", "solo", "voice", "vocal", "line")  # names of parts that are melodies
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
    elements = root.findall("part")
    if len(elements) > MOST_PARTS:
        raise TheoryError(f"{len(elements):,} parts (want at most {MOST_PARTS})")
    names = {e.get("id", ""): (e.findtext("part-name") or "") for e in root.iter("score-part")}
    return tuple(_part(element, names) for element in elements)


def check_size(part: Element) -> None:
    """Refuse a part with more of a thing than a tune can have; reading it would take long."""
    counts = Counter(element.tag for element in part.iter())
    for tag, most in MOST_OF.items():
        if counts[tag] > most:
            name = "bars" if tag == "measure" else f"<{tag}>"
            raise TheoryError(f"{counts[tag]:,} {name} in one part (want at most {most:,})")


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
    check_size(part)
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
    """Say which parts have chord symbols of their own that are not those of the source.

    As many symbols are compared as one part may have; what comes after them is left out unread.
    """
    taken, _ = chords_of(source.element)
    left, names = MOST_OF["harmony"], []
    for part in parts:
        if part is source or not part.symbols:
            continue
        left -= part.symbols
        if left < 0 or not _has_symbols(part, taken):
            names.append(part.name or part.id)
    return [f"The chord symbols over {name!r} are left out." for name in names]


def _has_symbols(part: ScorePart, symbols: list[PlacedSymbol]) -> bool:
    """Tell whether a part has these symbols and no others; one too large to be read has others."""
    try:
        return chords_of(part.element)[0] == symbols
    except TheoryError:
        return False


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


def time_of(measure: Element, before: tuple[int, int]) -> tuple[int, int]:
    """Return the time signature of a measure, the one before where it has none to be read."""
    return _time(measure) or before


def unread_times(part: Element) -> list[str]:
    """Say which bars have a time signature that is not read, in a sentence or none.

    >>> from xml.etree.ElementTree import fromstring
    >>> time = "<attributes><time><beats>4</beats><beat-type>{}</beat-type></time></attributes>"
    >>> bars = "".join(f"<measure>{time.format(unit)}</measure>" for unit in (4, 5, 5))
    >>> unread_times(fromstring(f"<part>{bars}</part>"))
    ['The time signature of bar 2 and of 1 other cannot be read; the time before goes on.']
    """
    bars = [
        number
        for number, measure in enumerate(part.findall("measure"), 1)
        if measure.find("attributes/time") is not None and _time(measure) is None
    ]
    if not bars:
        return []
    more = f" and of {len(bars) - 1} other{'s' * (len(bars) > 2)}" * (len(bars) > 1)
    return [f"The time signature of bar {bars[0]}{more} cannot be read; the time before goes on."]


def _time(measure: Element) -> tuple[int, int] | None:
    """Return the time signature of a measure, if it can be read; sums such as 3+2 are added up."""
    beats = measure.findtext("attributes/time/beats")
    unit = measure.findtext("attributes/time/beat-type")
    if beats is None or unit is None or len(beats) > LONGEST_TIME or len(unit) > LONGEST_TIME:
        return None
    counts = [part.strip() for part in beats.split("+")]
    if not unit.strip().isdecimal() or not all(count.isdecimal() for count in counts):
        return None
    found = sum(map(int, counts)), int(unit)
    return found if is_believed(*found) else None


def is_believed(count: int, unit: int) -> bool:
    """Tell whether a time signature is one that music can have and that we can write again.

    >>> is_believed(12, 8), is_believed(33, 1), is_believed(4, 5)
    (True, False, False)
    """
    halved = unit.bit_count() == 1  # a whole note is halved, and halved again
    return halved and 0 < count < MOST_BEATS and unit < MOST_BEATS and 4 * count < MOST_BEATS * unit


def duration_of(element: Element, tag: str = "duration") -> Fraction:
    """Return a number of divisions that an element holds; 0 where there is none."""
    plain = (element.findtext(tag) or "").strip()
    digits = plain.replace(".", "", 1)
    return Fraction(plain) if digits.isdecimal() and len(digits) < 16 else Fraction(0)
