"""Proposals for a word or a length that a written line cannot take."""

from __future__ import annotations

import re
from difflib import get_close_matches
from fractions import Fraction

from theorykit.errors import TheoryError
from theorykit.lines.line_words import HOLD, PICKUP, REST, WORDS, beats_in_words, value_phrases
from theorykit.notes.note import Note, ascii_accidentals
from theorykit.notes.pitch import Pitch

__all__ = ["propose", "too_long"]

# What other hands write for a rest or for a tie.
_HABITS = {**dict.fromkeys(("-", "r", "R", "z"), REST), **dict.fromkeys(("~", "tie", "tied"), HOLD)}
_NOTE = re.compile(r"([A-Ha-h])([b#]*)(-?\d*)")
_HOME = Pitch(Note("B"), 4)  # the middle of the treble staff


def propose(word: str, before: Pitch | None) -> str:
    """Say what may have been meant by ``word``; ``before`` is the last note that was read.

    >>> propose("bb", Pitch.parse("C5")), propose("qarter", None), propose("-", None)
    ('write Bb4', 'write quarter', 'write rest')
    """
    if word in _HABITS:
        return f"write {_HABITS[word]}"
    match = _NOTE.fullmatch(ascii_accidentals(word)) if len(word) < 12 else None
    if match is not None:
        letter, signs, octave = match.groups()
        return _propose_note(letter, signs, octave, before or _HOME)
    near = get_close_matches(word.lower()[:20], [*WORDS, REST, HOLD, PICKUP], 1)
    return f"write {near[0]}" if near else "want a note such as B4 or Eb5, rest, hold or a value"


def _propose_note(letter: str, signs: str, octave: str, near: Pitch) -> str:
    """Propose a note: a capital letter, at most two accidentals, an octave near the last note."""
    if letter in "Hh":
        where = octave or str(near.octave)
        return f"write B{where} or Bb{where}"
    try:
        note = Note.parse(letter.upper() + signs)
        where = octave or str(_nearest(note, near).octave)
        return f"write {Pitch.parse(f'{note}{where}')}"
    except TheoryError:
        return "want a letter A-G, at most three b's or #'s, and an octave -1 to 9"


def _nearest(note: Note, near: Pitch) -> Pitch:
    """Return the pitch with a name that lies nearest to another pitch."""
    return Pitch.at_or_above(note, near.midi - 5)


def too_long(said: str, value: Fraction, left: Fraction) -> tuple[str, str]:
    """Say that a note does not fit into what is left of the bar, and what to write instead.

    >>> too_long("C5", Fraction(1), Fraction(0))
    ('the bar is full before C5', 'write "| C5"')
    """
    if not left:
        return f"the bar is full before {said}", f'write "| {said}"'
    room = f"{beats_in_words(left)} {'are' if left > 1 else 'is'} left"
    what = f"{said} is too long: {room} and it lasts {beats_in_words(value)}"
    after = REST if said == REST else HOLD
    try:
        now, later = (
            " ".join(p for p, _ in value_phrases(Fraction(0), v)) for v in (left, value - left)
        )
    except TheoryError:
        return what, "shorten it or move the bar line"
    return what, f'write "{now} {said} | {later} {after}"'


def _phrase(beats: Fraction) -> str:
    """Return the value words for a length, as many as it needs."""
    return f" {HOLD} ".join(phrase for phrase, _ in value_phrases(Fraction(0), beats))
