"""Bars of a lead sheet as MusicXML has them: times, repeats, sections, chords, jumps."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from xml.etree.ElementTree import Element

from theorykit.notes.chord import NO_CHORD, Chord
from theorykit.show.files.score_parts import PlacedSymbol, duration_of, time_of
from theorykit.tunes.bars import in_order, jump_mark, marks_of

# The attributes of a sound element, and the marks that they stand for (MusicXML 4.0).
SOUNDS = {
    "segno": "segno",
    "coda": "coda",
    "tocoda": "to coda",
    "fine": "fine",
    "dacapo": "D.C.",
    "dalsegno": "D.S.",
}
SIGNS = {"segno": "𝄋", "coda": "𝄌"}
MOST_WORDS = 200  # characters of a direction that are read, and that a report repeats
_READ = frozenset(("words", *SIGNS))


@dataclass(slots=True)
class JumpSign:
    """A mark that was found; ``late`` at the end of its bar, ``sure`` if no other can be meant."""

    name: str
    late: bool = False
    sure: bool = False


def sound_signs(sound: Element, *, late: bool = False) -> Iterator[JumpSign]:
    """Return what the attributes of a sound element tell.

    >>> [sign.name for sign in sound_signs(Element("sound", dacapo="yes", fine="no"))]
    ['D.C.']
    """
    for attribute, name in SOUNDS.items():
        if sound.get(attribute) not in (None, "", "no"):
            yield JumpSign(name, late, sure=True)


def line_signs(line: Element) -> Iterator[JumpSign]:
    """Return the signs at a bar line."""
    late = line.get("location", "right") == "right"
    yield from (JumpSign(name, late) for name in SIGNS if line.find(name) is not None)


def direction_signs(direction: Element, *, late: bool) -> list[JumpSign]:
    """Return what a direction tells: its words and signs read as one, and what it sounds like.

    >>> direction = Element("direction")
    >>> for tag in ("words", "coda"):
    ...     direction.append(Element("direction-type"))
    ...     direction[-1].append(Element(tag))
    >>> direction[0][0].text = "To"
    >>> [sign.name for sign in direction_signs(direction, late=False)]
    ['to coda']
    """
    parts = [part for kind in direction.findall("direction-type") for part in kind]
    texts = (SIGNS.get(part.tag, part.text or "") for part in parts if part.tag in _READ)
    said = " ".join(text[:MOST_WORDS] for text in texts)
    signs = [JumpSign(name, late) for name in marks_of(said)]
    if not signs:
        signs = [JumpSign(part.tag, late) for part in parts if part.tag in SIGNS]
    sounds = [one for sound in direction.findall("sound") for one in sound_signs(sound, late=late)]
    if any(one.name == "to coda" for one in sounds):
        signs = [one for one in signs if one.name != "coda"]
    return signs + sounds


def settle_jumps(bars: Sequence[SheetBar]) -> None:
    """Say of every bar which marks it has, from all the signs that were found."""
    _tell_codas_apart(bars)
    for place, bar in enumerate(bars):
        for sign in bar.signs:
            begins_next = sign.late and jump_mark(sign.name).at_head and bar is not bars[-1]
            owner = bars[place + begins_next]
            owner.marks = in_order((*owner.marks, sign.name))
    for bar in bars:
        bar.marks = _without_plain(bar.marks)


def _tell_codas_apart(bars: Sequence[SheetBar]) -> None:
    """Tell the sign where players leave from the sign where they come in: the first of two."""
    codas = [sign for bar in bars for sign in bar.signs if sign.name == "coda"]
    leaves = [bar for bar in bars if any(sign.name == "to coda" for sign in bar.signs)]
    where = [bar for bar in bars if any(sign.name == "coda" for sign in bar.signs)]
    if len(where) < 2:
        return
    if not leaves and not codas[0].sure:
        for sign in where[0].signs:
            sign.name = "to coda" if sign.name == "coda" else sign.name
    for bar in leaves:
        bar.signs = [sign for sign in bar.signs if sign.name != "coda" or sign.sure]


def _without_plain(marks: tuple[str, ...]) -> tuple[str, ...]:
    """Leave out a plain D.C. beside one that says until where, which is the same one."""
    said = {jump_mark(name).back for name in marks if jump_mark(name).until}
    plain = {name for name in marks if jump_mark(name).back in said and not jump_mark(name).until}
    return tuple(name for name in marks if name not in plain)


# === Bars ===

SILENT_WORDS = re.compile(r"\s*n\.?\s?c\.?\s*", re.IGNORECASE)
HALVES = frozenset(("to", "al", "d.s. al", "d.c. al"))  # words before the sign of a coda


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
        time = time_of(measure, time)
        bar = SheetBar(number, time, parts=[(number, Fraction(0))])
        divisions = _fill(bar, measure, divisions)
        bars.append(bar)
    for symbol in symbols:
        bars[symbol.measure].symbols.append((symbol.beat, symbol.chord))
    settle_jumps(bars)
    return bars


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
            text = " ".join((element.text or "")[: 2 * MOST_WORDS].split())
            if element.tag == "rehearsal" and text:
                bar.section = bar.section or text
            elif element.tag == "words" and SILENT_WORDS.fullmatch(text):
                bar.symbols.append((here, NO_CHORD))
            elif element.tag == "words" and text and not _is_jump(text, signs):
                bar.words.append(text[:MOST_WORDS])


def _is_jump(text: str, signs: Sequence[JumpSign]) -> bool:
    """Tell whether words say nothing but what the signs of their direction say."""
    return bool(signs) and (bool(marks_of(text)) or text.lower() in HALVES)
