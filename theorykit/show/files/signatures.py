"""Key signatures and tempi of a score, out of plain XML: as read, or what is odd in words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from theorykit.errors import TheoryError
from theorykit.notes.key import MODES
from theorykit.notes.note import Note
from theorykit.show.files.harmony_xml import whole_number

MOST_SIGNS = 7
SHARPS = "FCGDAEB"  # in the order in which signatures have them; flats come the other way round


@dataclass(frozen=True, slots=True)
class Signature:
    """A key signature as a file has it: ``fifths`` is None where no major or minor key has it.

    ``told`` says why in that case.
    """

    fifths: int | None = None
    mode: str = ""
    told: str = "The file has no key signature"


def signature_of(part: Element) -> Signature:
    """Return the first key signature of a part, as it is written.

    >>> from xml.etree.ElementTree import fromstring
    >>> flats = "".join(f"<key-step>{n}</key-step><key-alter>-1</key-alter>" for n in "BE")
    >>> part = fromstring(f"<part><attributes><key>{flats}</key></attributes></part>")
    >>> signature_of(part).fifths
    -2
    """
    key = part.find(".//attributes/key")
    if key is None:
        return Signature()
    mode = (key.findtext("mode") or "").strip()
    said = mode if mode in MODES else ""
    text = (key.findtext("fifths") or "").strip()
    if key.find("key-step") is not None:
        return _stepwise(key, said)
    try:
        fifths = whole_number(text)
    except TheoryError:
        return Signature(None, said, "The key signature does not say how many signs it has")
    if abs(fifths) > MOST_SIGNS:
        return Signature(None, said, f"The key signature has more than {MOST_SIGNS} signs")
    return Signature(fifths, said, "")


def _stepwise(key: Element, mode: str) -> Signature:
    """Read a signature that names its signs one by one."""
    steps = [(step.text or "").strip() for step in key.findall("key-step")]
    alters = [(alter.text or "").strip() for alter in key.findall("key-alter")]
    named = ", ".join(f"{step} {alter}" for step, alter in zip(steps, alters, strict=False))
    odd = Signature(
        None, mode, f"The key signature names signs that no major or minor key has ({named})"
    )
    try:
        signs = {Note(s, whole_number(a)) for s, a in zip(steps, alters, strict=True)}
    except (TheoryError, ValueError):
        return odd
    signs = {sign for sign in signs if sign.alteration}
    for fifths in range(-MOST_SIGNS, MOST_SIGNS + 1):
        if signs == set(_signs(fifths)):
            return Signature(fifths, mode, "")
    return odd


def _signs(fifths: int) -> Iterator[Note]:
    """Return the signs of a signature."""
    letters = SHARPS[:fifths] if fifths > 0 else SHARPS[::-1][: -fifths or 0]
    return (Note(letter, 1 if fifths > 0 else -1) for letter in letters)


# Lengths of beat units in quarters (MusicXML 4.0, note-type-value).
UNITS = {"breve": 8.0, "whole": 4.0, "half": 2.0, "quarter": 1.0, "eighth": 0.5, "16th": 0.25}
SLOWEST, FASTEST = 10, 500  # quarters a minute that are believed


def tempi_of(element: Element) -> list[float]:
    """Return the tempi that are stated inside an element, in quarters a minute, in order.

    What is played counts before what is printed, where a direction has both.
    """
    found: list[float] = []
    for one in element.iter():
        if one.tag == "direction":
            heard = [_played(sound) for sound in one.iter("sound")]
            seen = [_printed(mark) for mark in one.iter("metronome")]
            found += [next(filter(None, [*heard, *seen]), 0.0)]
        elif one.tag == "measure":
            found += [_played(sound) for sound in one.findall("sound")]
    return [tempo for tempo in found if tempo]


def _played(sound: Element) -> float:
    """Return the tempo of a sound element, 0 for none."""
    text = sound.get("tempo", "").strip()
    return _believed(float(text)) if re.fullmatch(r"\d{1,6}(\.\d{1,6})?", text, re.ASCII) else 0.0


def _printed(mark: Element) -> float:
    """Return the tempo of a metronome mark, 0 where it is no number for a beat."""
    unit = UNITS.get((mark.findtext("beat-unit") or "").strip(), 0.0)
    number = re.search(r"\d{1,4}(\.\d{1,4})?", mark.findtext("per-minute") or "", re.ASCII)
    dots = len(mark.findall("beat-unit-dot"))
    return _believed(unit * (2 - 0.5**dots) * float(number[0])) if number else 0.0


def _believed(quarters: float) -> float:
    """Return a tempo that music can have, 0 for others."""
    return quarters if SLOWEST <= quarters <= FASTEST else 0.0
