"""Words of a lead sheet: verses under its notes, its feel, and the signs that are left out."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from xml.etree.ElementTree import Element

from theorykit.lines.band import written_swing
from theorykit.lines.chorus import straight
from theorykit.lines.text import TimedNote
from theorykit.show.files.score_parts import duration_of
from theorykit.show.files.sheet_bars import SheetBar
from theorykit.show.files.signatures import tempi_of

MOST_TOLD = 8  # of one kind
# Words at the top of a lead sheet that say how it is played (common practice).
FEEL = re.compile(
    r"\b(swing|swung|bossa|samba|latin|waltz|ballad|straight|even|shuffle|rock|funk|blues|medium|"
    r"slow|fast|up)\b",
    re.IGNORECASE,
)
LONGEST_FEEL = 200
# Marks on notes that a chart has no place for, with the words for them.
MARKS = {
    "slur": "slurs",
    "articulations": "articulations",
    "ornaments": "ornaments",
    "technical": "technical marks",
    "fermata": "fermatas",
    "dynamics": "dynamics",
    "wedge": "hairpins",
    "octave-shift": "octave signs",
    "pedal": "pedal marks",
    "figured-bass": "figured basses",
    "measure-repeat": "signs that repeat a bar",
    "swing": "settings of swing",
}


def syllables(
    part: Element,
    starts: Mapping[int, Fraction],
    melody: Sequence[TimedNote],
    report: list[str],
) -> tuple[tuple[str, ...], ...]:
    """Return the verses under each note of a melody; nothing where there are no words at all."""
    found = dict(_sung(part, starts))
    if not found:
        return ()
    words = tuple(found.pop(note.start, ()) for note in melody)
    if found:
        count = sum(map(len, found.values()))
        report.append(f"{count} syllables stand under no note of the melody and are left out.")
    return words


def _sung(
    part: Element, starts: Mapping[int, Fraction]
) -> Iterator[tuple[Fraction, tuple[str, ...]]]:
    """Return the verses of each note that has any, by where the note starts."""
    divisions = Fraction(1)
    for number, measure in enumerate(part.findall("measure"), 1):
        here = last = Fraction(0)
        for element in measure:
            if element.tag == "attributes":
                divisions = duration_of(element, "divisions") or divisions
            elif element.tag == "backup":
                here -= duration_of(element) / divisions
            elif element.tag == "forward":
                here += duration_of(element) / divisions
            elif element.tag == "note":
                place = last if element.find("chord") is not None else here
                verses = _verses(element)
                if verses and number in starts:
                    yield starts[number] + place, verses
                if element.find("chord") is None:
                    last, here = here, here + duration_of(element) / divisions


def _verses(note: Element) -> tuple[str, ...]:
    """Return the syllables under one note, verse by verse."""
    by_number: dict[int, str] = {}
    for lyric in note.findall("lyric"):
        text = " ".join("".join(part.text or "" for part in lyric.findall("text")).split())
        goes_on = (lyric.findtext("syllabic") or "").strip() in ("begin", "middle")
        number = (lyric.get("number") or "1").strip()
        if text:
            place = int(number) if number.isdecimal() and len(number) < 3 else len(by_number) + 1
            by_number[place] = text + "-" * goes_on
    return tuple(by_number.get(n, "") for n in range(1, max(by_number, default=0) + 1))


def feel_of(bars: Sequence[SheetBar], *, own: bool = False) -> str:
    """Return the words over some first bars that say how it is played, if there are any.

    In a file of our ``own`` the first words are the feel, whatever they say.
    """
    words = [text for bar in bars for text in bar.words]
    return next((text[:LONGEST_FEEL] for text in words if own or FEEL.search(text)), "")


def left_out(bars: Sequence[SheetBar], part: Element, feel: str) -> list[str]:
    """Return a sentence for each kind of thing that a chart and its melody have no place for."""
    words = [f"{text!r} (bar {bar.number})" for bar in bars for text in bar.words if text != feel]
    keys = [str(n) for n, m in enumerate(part.findall("measure"), 1) if n > 1 and _has_key(m)]
    counts = {tag: _count(part, tag) for tag in MARKS}
    counts["swing"] -= _says_swing(feel, part)
    marks = [f"{count} {MARKS[tag]}" for tag, count in counts.items() if count]
    told = (
        ("These words are left out", words),
        ("The key signature changes, which is left out, in bar", keys),
        ("The tempo changes, which is left out, in bar", _other_tempi(part)),
        ("These marks are left out", marks),
    )
    return [f"{lead}: {_listed(found)}." for lead, found in told if found]


def _says_swing(feel: str, part: Element) -> bool:
    """Tell whether the words of a feel say what the first setting of swing says.

    Very fast eighths are even in a swing as well.
    """
    swing = part.find(".//swing")
    if swing is None or not feel:
        return False
    tempo = next((one for measure in part.findall("measure") for one in tempi_of(measure)), None)
    is_fast = tempo is not None and written_swing(tempo) == 1
    return straight(feel) or is_fast if _is_even(swing) else not straight(feel)


def _is_even(swing: Element) -> bool:
    """Tell whether a setting of swing sets even eighths."""
    first, second = (swing.findtext(name, "").strip() for name in ("first", "second"))
    return swing.find("straight") is not None or first == second


def _other_tempi(part: Element) -> list[str]:
    """Return the bars that have another tempo than the one before."""
    found: list[str] = []
    before: float | None = None
    for number, measure in enumerate(part.findall("measure"), 1):
        for tempo in tempi_of(measure):
            if before not in (None, tempo):
                found.append(str(number))
            before = tempo
    return found


def _has_key(measure: Element) -> bool:
    """Tell whether a key signature stands in a measure."""
    return measure.find("attributes/key") is not None


def _count(part: Element, tag: str) -> int:
    """Count the marks of a kind; a slur counts where it starts."""
    ends = ("stop", "continue")
    return sum(1 for mark in part.iter(tag) if mark.get("type", "start") not in ends)


def _listed(texts: Sequence[str]) -> str:
    """List a few texts, and say how many more there are."""
    more = f" and {len(texts) - MOST_TOLD} more" if len(texts) > MOST_TOLD else ""
    return ", ".join(texts[:MOST_TOLD]) + more
