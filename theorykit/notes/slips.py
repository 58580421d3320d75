"""Slips in chord symbols: chords in words, and what a symbol that is refused probably means."""

from __future__ import annotations

import re
from collections.abc import Iterator

__all__ = ["in_signs", "mended"]

# What a word stands for in a symbol (common practice); the longer words first.
_WORDS = {
    "half diminished": "m7b5",
    "half-diminished": "m7b5",
    "diminished": "dim",
    "augmented": "aug",
    "suspended": "sus",
    "dominant": "",
    "major": "maj",
    "minor": "m",
    "natural": "",
    "sharp": "#",
    "flat": "b",
    "seventh": "7",
    "ninth": "9",
    "eleventh": "11",
    "thirteenth": "13",
    "seven": "7",
    "nine": "9",
    "eleven": "11",
    "thirteen": "13",
    "fourth": "4",
    "fifth": "5",
    "four": "4",
    "five": "5",
    "chord": "",
    "triad": "",
    "with": "",
    "and": "",
}
_WORD = re.compile("|".join(_WORDS), re.IGNORECASE | re.ASCII)  # a dotless i is no i
_DOMINANT = re.compile(r"dominant(?!.*(\d|sev|nin|ele|thir))", re.IGNORECASE | re.ASCII)
_HALF = re.compile(r"(half[ -]diminished)[ -]*(7|seventh|seven)?", re.IGNORECASE | re.ASCII)


def in_signs(words: str) -> str:
    """Return a symbol with its words as signs; the empty text where it has no word.

    >>> in_signs("B flat minor seventh"), in_signs("C dominant"), in_signs("Cm7b10")
    ('Bbm7', 'C7', '')
    """
    if not _WORD.search(words):
        return ""
    plain = _HALF.sub(r"\1", _DOMINANT.sub("7", words))
    return re.sub(r"[ -]+", "", _WORD.sub(lambda found: _WORDS[found[0].lower()], plain))


MOST_SYMBOLS = 4  # that are told apart in one text
# What hands write that is no symbol of ours, and what they mean (common practice).
_SLIPS = tuple(
    (re.compile(pattern), meant)
    for pattern, meant in (
        (r"^[Hh](?=[^a-z]|m|$)", "B"),  # the German name of B
        (r"^[a-g]", lambda found: found[0].upper()),
        (r"(?<=\d)(?:st|nd|rd|th)\b", ""),
        (r"\^(?=\d)|[jJ](?=\d|$)", "maj"),
        (r"\^", "maj7"),
        (r"dom\b", "7"),
        (r"m\+7", "m(maj7)"),
        (r"[b#+-]10", "#9"),
        (r"\(?[#+]7\)?", "maj7"),
        (r"(?<=[A-G])\(?b7\)?|(?<=[A-G]m)\(?b7\)?", "7"),
        (r"(?<=[A-G])(6|7|9|11|13)\(?maj7\)?", r"maj\1"),
        (r"m7\(?b7\)?", "m7"),
        (r"(?<=[A-G])4\b", "sus4"),
        (r"/9$", "add9"),
        (r"dim5", "dim"),
        (r"[^\w#+/øΔ-]+", ""),
    )
)
_DOUBLED = re.compile(r"([A-G])(bb|##)")
_BETWEEN = re.compile(r"[\s,;|]+")
STEPS = {"C": "D", "D": "E", "F": "G", "G": "A", "A": "B"}  # a whole step up, on white keys
STEPS_DOWN = {up: low for low, up in STEPS.items()}
ODD_STEPS = {"Cbb": "Bb", "Fbb": "Eb", "E##": "F#", "B##": "C#"}


def mended(plain: str) -> Iterator[str]:
    """Run through what a refused symbol may mean: one slip mended, then all of them.

    Several symbols in one text come with spaces between them.

    >>> list(mended("c7"))[0], list(mended("Dm7 | G7"))[0], list(mended("Cbbm"))[0]
    ('C7', 'Dm7 G7', 'Bbm')
    """
    symbols = [part for part in _BETWEEN.split(plain) if part]
    if 1 < len(symbols) <= MOST_SYMBOLS:
        yield " ".join(symbols)
    changed = _DOUBLED.sub(_plainly, plain, count=1)
    yield from [changed] * (changed != plain)
    for slip, meant in _SLIPS:
        alone = slip.sub(meant, plain)
        changed = slip.sub(meant, changed)
        yield from [alone] * (alone != plain)
    yield from [changed] * (changed != plain)


def _plainly(found: re.Match[str]) -> str:
    """Return a note with two accidentals by its plain name."""
    steps = STEPS if found[2] == "##" else STEPS_DOWN
    return ODD_STEPS.get(found[0]) or steps[found[1]]
