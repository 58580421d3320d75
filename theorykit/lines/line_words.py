"""The words of a written line and the lengths they stand for: one table, read both ways."""

from __future__ import annotations

from fractions import Fraction

from theorykit.errors import TheoryError

__all__ = ["HOLD", "PICKUP", "REST", "WORDS", "beats_in_words", "is_odd", "value_phrases"]

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


def beats_in_words(beats: Fraction) -> str:
    """Return a length as it is said.

    >>> beats_in_words(Fraction(7, 2)), beats_in_words(Fraction(1)), beats_in_words(Fraction(1, 3))
    ('3 1/2 beats', '1 beat', '1/3 of a beat')
    """
    whole, part = divmod(beats, 1)
    if not whole:
        return f"{part} of a beat" if part else "0 beats"
    return f"{whole}{f' {part}' if part else ''} beat{'s' * (beats != 1)}"
