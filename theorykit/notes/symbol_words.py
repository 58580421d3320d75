"""Chords written in words: what symbol a reader meant who typed C dominant 7."""

from __future__ import annotations

import re

__all__ = ["in_signs"]

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
_WORD = re.compile("|".join(_WORDS), re.IGNORECASE)
_DOMINANT = re.compile(r"dominant(?!.*(\d|sev|nin|ele|thir))", re.IGNORECASE)
_HALF = re.compile(r"(half[ -]diminished)[ -]*(7|seventh|seven)?", re.IGNORECASE)


def in_signs(words: str) -> str:
    """Return a symbol with its words as signs; the empty text where it has no word.

    >>> in_signs("B flat minor seventh"), in_signs("C dominant"), in_signs("Cm7b10")
    ('Bbm7', 'C7', '')
    """
    if not _WORD.search(words):
        return ""
    plain = _HALF.sub(r"\1", _DOMINANT.sub("7", words))
    return re.sub(r"[ -]+", "", _WORD.sub(lambda found: _WORDS[found[0].lower()], plain))
