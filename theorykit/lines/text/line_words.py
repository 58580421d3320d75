"""The words of a written line: their lengths, and proposals for what cannot be read."""

from __future__ import annotations

import re
from difflib import get_close_matches
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor

from theorykit.errors import TheoryError, shown
from theorykit.notes.chord import Chord
from theorykit.notes.note import LETTERS, Note, Pitch, ascii_accidentals

HOLD, PICKUP, REST = "hold", "pickup", "rest"
DOTTED, TRIPLET = "dotted", "triplet"

# Each note value: the word that is printed, its length in beats, other words that are read.
# American and British names of the values are both at home in lessons (common practice).
_VALUES = (
    ("whole", Fraction(4), "wholes semibreve semibreves"),
    ("half", Fraction(2), "halves minim minims"),
    ("quarter", Fraction(1), "quarters crotchet crotchets"),
    ("8th", Fraction(1, 2), "8ths eighth eighths quaver quavers"),
    ("16th", Fraction(1, 4), "16ths sixteenth sixteenths semiquaver semiquavers"),
    ("32nd", Fraction(1, 8), "32nds"),
    ("64th", Fraction(1, 16), "64ths"),
)
PLAIN = {name: beats for name, beats, _ in _VALUES}
# What each word of a value phrase means: a length, or one of the two marks.
WORDS: dict[str, Fraction | str] = {
    **{word: beats for name, beats, others in _VALUES for word in (name, *others.split())},
    **{DOTTED: DOTTED, TRIPLET: TRIPLET, "triplets": TRIPLET},
}

# The length of each phrase, the longest first.
_DUPLE = {
    beats: phrase
    for beats, phrase in sorted(
        [(beats, name) for name, beats in PLAIN.items()]
        + [(beats * 3 / 2, f"{DOTTED} {name}") for name, beats in PLAIN.items() if name != "64th"],
        reverse=True,
    )
}
_THIRDS = {beats * 2 / 3: f"{TRIPLET} {name}" for name, beats in PLAIN.items()}


def is_odd(place: Fraction) -> bool:
    """Tell whether a place in time can only be reached by a triplet.

    >>> is_odd(Fraction(2, 3)), is_odd(Fraction(3, 4))
    (True, False)
    """
    return place.denominator & (place.denominator - 1) != 0


def value_phrases(start: Fraction, beats: Fraction) -> list[tuple[str, Fraction]]:
    """Return the values that a stretch of time is written in, with their lengths.

    The longest comes first, and last where the stretch begins off the beat.

    >>> value_phrases(Fraction(0), Fraction(5, 2))
    [('half', Fraction(2, 1)), ('8th', Fraction(1, 2))]
    >>> [phrase for phrase, _ in value_phrases(Fraction(3, 2), Fraction(5, 2))]
    ['8th', 'half']
    >>> value_phrases(Fraction(1, 3), Fraction(2, 3))
    [('triplet quarter', Fraction(2, 3))]
    """
    table = _THIRDS if is_odd(start) or is_odd(beats) else _DUPLE
    if beats in table:
        return [(table[beats], beats)]
    found, left = [], beats
    for length, phrase in table.items():
        while left >= length:
            found.append((phrase, length))
            left -= length
    if left:
        raise TheoryError(
            f"no note value lasts {beats} beats from beat {start} "
            "(want halves of the beat down to 1/16, or triplets down to 1/24)"
        )
    return found if start.denominator == 1 else found[::-1]


def rest_phrases(start: Fraction, beats: Fraction) -> list[tuple[str, Fraction]]:
    """Return the values that a rest is written in: inside a triplet only what the beat has of it.

    >>> [phrase for phrase, _ in rest_phrases(Fraction(3, 2), Fraction(11, 6))]
    ['dotted quarter', 'triplet 8th']
    """
    end = start + beats
    cuts = {ceil(start) if is_odd(start) else start, floor(end) if is_odd(end) else end}
    edges = sorted({start, end, *(Fraction(cut) for cut in cuts if start < cut < end)})
    return [one for a, b in pairwise(edges) for one in value_phrases(a, b - a)]


def beats_in_words(beats: Fraction) -> str:
    """Return a length as it is said.

    >>> beats_in_words(Fraction(7, 2)), beats_in_words(Fraction(1)), beats_in_words(Fraction(1, 3))
    ('3 1/2 beats', '1 beat', '1/3 of a beat')
    """
    whole, part = divmod(beats, 1)
    if not whole:
        return f"{part} of a beat" if part else "0 beats"
    return f"{whole}{f' {part}' if part else ''} beat{'s' * (beats != 1)}"


# === Proposals ===

# What other hands write for a rest or for a tie.
_HABITS = {**dict.fromkeys(("-", "r", "R", "z"), REST), **dict.fromkeys(("~", "tie", "tied"), HOLD)}
_METRE = re.compile(r"[0-9]{1,2}/[0-9]{1,2}")
_NOTE = re.compile(r"([A-Ha-h])([b#]*)(-?\d*)")
_HOME = Pitch(Note("B"), 4)  # the middle of the treble staff


def propose(word: str, before: Pitch | None) -> str:
    """Say what may have been meant by ``word``; ``before`` is the last note that was read.

    >>> propose("bb", Pitch.parse("C5")), propose("qarter", None), propose("-", None)
    ('write Bb4', 'write quarter', 'write rest')
    """
    if word in _HABITS:
        return f"write {_HABITS[word]}"
    if is_metre(word):
        return "take it out: the bars are as long as those of the chords"
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
        where = octave or str(nearest(note, near).octave)
        return f"write {Pitch.parse(f'{note}{where}')}"
    except TheoryError:
        return "want a letter A-G, at most three b's or #'s, and an octave -1 to 9"


def nearest(note: Note, near: Pitch | None) -> Pitch:
    """Return the pitch with a name that lies nearest to another one, or to the middle of the staff.

    Of two that are a tritone away, fewer letters lead to it: a fourth comes before a fifth.

    >>> f = Pitch.parse("F4")
    >>> [str(nearest(Note.parse(name), f)) for name in ("Ab", "C", "D", "B", "Cb")]
    ['Ab4', 'C4', 'D4', 'B4', 'Cb4']
    """
    home = near or _HOME
    octaves = (home.octave - 1, home.octave, home.octave + 1)
    return min((Pitch(note, one) for one in octaves), key=lambda one: _distance(one, home))


def _distance(one: Pitch, home: Pitch) -> tuple[int, int]:
    """Return how far two pitches are apart, by half steps and then by letters."""
    letters = (one.octave - home.octave) * len(LETTERS) + one.note.step - home.note.step
    return abs(one.midi - home.midi), abs(letters)


def is_metre(word: str) -> bool:
    """Tell whether a word is a metre.

    >>> is_metre("4/4"), is_metre("Dm7/C")
    (True, False)
    """
    return _METRE.fullmatch(word) is not None


def what_it_is(word: str) -> str:
    """Say what a word is that is no note: a metre, a chord, or nothing that is known.

    >>> what_it_is("4/4"), what_it_is("Dm7"), what_it_is("H5")
    ("'4/4' is a metre and no note", "'Dm7' is a chord and no note", "'H5' is no note")
    """
    if is_metre(word):
        return f"{shown(word)} is a metre and no note"
    try:
        Chord.parse(word)
    except TheoryError:
        return f"{shown(word)} is no note"
    return f"{shown(word)} is a chord and no note"


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
