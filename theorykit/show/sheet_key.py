"""The key of a lead sheet: what its signature says, and what its changes say to that."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from xml.etree.ElementTree import Element

from theorykit.errors import TheoryError
from theorykit.notes.chord import Chord
from theorykit.notes.key import KEYS, MODES, Key
from theorykit.notes.note import Note
from theorykit.tunes.home_key import home_key

__all__ = ["key_at", "sheet_key"]

MINOR_STEP = 3  # fifths from a minor tonic down to that of the major key of its signature


def sheet_key(part: Element, chords: Sequence[tuple[Chord, Fraction]], report: list[str]) -> Key:
    """Return the key of the first signature of a part.

    Where the signature does not say major or minor, or there is none, the changes decide; where
    they point elsewhere than the signature, the report says so.
    """
    heard = home_key(chords)
    fifths = (part.findtext(".//key/fifths") or "").strip()
    mode = (part.findtext(".//key/mode") or "").strip()
    if not fifths.removeprefix("-").isdecimal() or abs(int(fifths)) > 7:
        report.append(f"The file has no key signature; its changes point to {heard.pretty}.")
        return heard
    said = mode if mode in MODES else heard.mode
    place = int(fifths) + (MINOR_STEP if said == "minor" else 0)
    key = key_at(Note.from_fifths(place), said)
    if mode not in MODES:
        report.append(f"The key signature does not say major or minor; taken for {key.pretty}.")
    if heard != key and any(not chord.is_silent for chord, _ in chords):
        report.append(
            f"The signature says {key.pretty} and is kept; the changes point to {heard.pretty}."
        )
    return key


def key_at(tonic: Note, mode: str) -> Key:
    """Return the key on a tonic, or on its other name where no signature has that one.

    >>> str(key_at(Note.parse("G#"), "major"))
    'Ab major'
    """
    found = [key for key in KEYS if key.mode == mode and key.tonic.semitone == tonic.semitone]
    exact = [key for key in found if key.tonic == tonic]
    if not found:
        raise TheoryError(f"no {mode} key on {tonic}")
    return (exact or found)[0]
