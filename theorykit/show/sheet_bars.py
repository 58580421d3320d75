"""The bars of a lead sheet as its MusicXML writes them: times, repeats, sections, chords."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from xml.etree.ElementTree import Element

from theorykit.notes.chord import NO_CHORD, Chord
from theorykit.show.score_in import PlacedSymbol
from theorykit.show.sheet_jumps import (
    JumpSign,
    direction_signs,
    line_signs,
    settle_jumps,
    sound_signs,
)
from theorykit.tunes.bars import marks_of

__all__ = ["SheetBar", "duration_of", "sheet_bars"]

SILENT_WORDS = re.compile(r"\s*n\.?\s?c\.?\s*", re.IGNORECASE)
HALVES = frozenset(("to", "al", "d.s. al", "d.c. al"))  # words before the sign of a coda
MOST_WORDS = 200  # characters of a direction that a report repeats


@dataclass(slots=True)
class SheetBar:
    """One measure of the file: its number from 1, its time, how long it is, what stands in it.

    ``beats`` are quarter notes that its notes and rests fill, 0 where it has none; ``symbols`` are
    chords with their place in quarters; ``words`` are directions that are no section letters;
    ``signs`` tell players to jump, ``marks`` are what they come to, as in ``ChartBar``. ``parts``
    are the measures that were joined in it, each with its place in quarters.
    """

    number: int
    time: tuple[int, int]
    beats: Fraction = Fraction(0)
    opens: bool = False
    closes: int = 0
    ending: tuple[int, ...] = ()
    section: str = ""
    symbols: list[tuple[Fraction, Chord]] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    signs: list[JumpSign] = field(default_factory=list)
    marks: tuple[str, ...] = ()
    parts: list[tuple[int, Fraction]] = field(default_factory=list)

    @property
    def whole(self) -> Fraction:
        """The length that the time signature gives, in quarter notes."""
        return Fraction(4 * self.time[0], self.time[1])


def sheet_bars(part: Element, symbols: Sequence[PlacedSymbol]) -> list[SheetBar]:
    """Return the measures of a part, with the chord symbols that were found over it."""
    bars: list[SheetBar] = []
    time, divisions = (4, 4), Fraction(1)
    for number, measure in enumerate(part.findall("measure"), 1):
        time = _time(measure, time)
        bar = SheetBar(number, time, parts=[(number, Fraction(0))])
        divisions = _fill(bar, measure, divisions)
        bars.append(bar)
    for symbol in symbols:
        bars[symbol.measure].symbols.append((symbol.beat, symbol.chord))
    settle_jumps(bars)
    return bars


def _time(measure: Element, before: tuple[int, int]) -> tuple[int, int]:
    """Return the time signature of a measure; sums such as 3+2 are added up."""
    beats = measure.findtext("attributes/time/beats")
    unit = measure.findtext("attributes/time/beat-type")
    if beats is None or unit is None:
        return before
    counts = [part.strip() for part in beats.split("+")]
    if not unit.strip().isdecimal() or not all(count.isdecimal() for count in counts):
        return before
    found = sum(map(int, counts)), int(unit)
    return found if 0 < found[0] < 100 and 0 < found[1] < 100 else before


def _fill(bar: SheetBar, measure: Element, divisions: Fraction) -> Fraction:
    """Go through a measure once; return the divisions of a quarter that hold after it."""
    here = Fraction(0)
    for element in measure:
        if element.tag == "attributes":
            divisions = duration_of(element, "divisions") or divisions
        elif element.tag == "backup":
            here -= duration_of(element) / divisions
        elif element.tag == "forward" or (element.tag == "note" and element.find("chord") is None):
            here += duration_of(element) / divisions
            bar.beats = max(bar.beats, here)
        elif element.tag == "barline":
            _bar_line(bar, element)
        elif element.tag == "direction":
            _direction(bar, element, max(here, Fraction(0)))
        elif element.tag == "sound":
            bar.signs += sound_signs(element, late=here >= bar.whole)
    return divisions


def duration_of(element: Element, tag: str = "duration") -> Fraction:
    """Return a number of divisions that an element holds; 0 where there is none."""
    plain = (element.findtext(tag) or "").strip()
    digits = plain.replace(".", "", 1)
    return Fraction(plain) if digits.isdecimal() and len(digits) < 16 else Fraction(0)


def _bar_line(bar: SheetBar, line: Element) -> None:
    """Read repeats and endings."""
    repeat, ending = line.find("repeat"), line.find("ending")
    if repeat is not None and repeat.get("direction") == "forward":
        bar.opens = True
    elif repeat is not None:
        times = (repeat.get("times") or "2").strip()
        bar.closes = min(max(int(times), 2), 9) if times.isdecimal() and len(times) < 4 else 2
    if ending is not None and ending.get("type") == "start":
        numbers = re.findall(r"[1-9]", (ending.get("number") or "") + " " + (ending.text or ""))
        bar.ending = tuple(sorted({int(number) for number in numbers}))
    bar.signs += line_signs(line)


def _direction(bar: SheetBar, direction: Element, here: Fraction) -> None:
    """Read a section letter, a sign for no chord, a jump, or other words."""
    signs = direction_signs(direction, late=here >= bar.whole)
    bar.signs += signs
    for kind in direction.findall("direction-type"):
        for element in kind:
            text = " ".join((element.text or "").split())
            if element.tag == "rehearsal" and text:
                bar.section = bar.section or text
            elif element.tag == "words" and SILENT_WORDS.fullmatch(text):
                bar.symbols.append((here, NO_CHORD))
            elif element.tag == "words" and text and not _is_jump(text, signs):
                bar.words.append(text[:MOST_WORDS])


def _is_jump(text: str, signs: Sequence[JumpSign]) -> bool:
    """Tell whether words say nothing but what the signs of their direction say."""
    return bool(signs) and (bool(marks_of(text)) or text.lower() in HALVES)
