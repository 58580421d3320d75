"""A line as text: what a musician would jot, word by word. This is the page that explains it.

A note value stands before the notes that have it and holds until the next one: ``whole``, ``half``,
``quarter``, ``8th``, ``16th``, ``32nd``, ``64th``, with ``dotted`` or ``triplet`` in front where
wanted. Notes are names with their octave, C4 being middle C. ``rest`` is silent for one value;
``hold`` lets the last note sound for one value more, over a bar line too. ``|`` ends a bar, and
every bar must be full. A line that begins before bar 1 begins with ``pickup``. Bars at the end that
stay empty need not be written. ``eighth``, ``quaver`` and their like are read as well, and ♭ ♯.

Eighths, then a long note:

>>> from theorykit.lines.line import Line
>>> from theorykit.tunes.progression import two_five_one
>>> over = two_five_one("C")
>>> def jot(text, over=over):
...     return [f"{n.pitch} {n.start}+{n.beats}" for n in Line.parse(text, over).notes]
>>> jot("8th D5 F5 A5 C6 B5 G5 F5 D5 | whole E5")[-2:]
['D5 7/2+1/2', 'E5 4+4']

Rests, and a value that changes inside the bar:

>>> jot("quarter rest 8th F4 A4 half C5")
['F4 1+1/2', 'A4 3/2+1/2', 'C5 2+2']

Dotted values:

>>> jot("dotted quarter F4 8th E4 dotted half D4 | whole B3", two_five_one("C", "short"))
Traceback (most recent call last):
theorykit.errors.TheoryError: bar 1, character 38: D4 is too long: 2 beats are left and it lasts 3 \
beats (write "half D4 | quarter hold")
>>> jot("dotted quarter F4 8th E4 dotted quarter D4 8th C4 | whole B3")
['F4 0+3/2', 'E4 3/2+1/2', 'D4 2+3/2', 'C4 7/2+1/2', 'B3 4+4']

Triplets, three in the time of two, of any value:

>>> jot("triplet 8th D4 F4 A4 quarter C5 triplet quarter B4 A4 G4")
['D4 0+1/3', 'F4 1/3+1/3', 'A4 2/3+1/3', 'C5 1+1', 'B4 2+2/3', 'A4 8/3+2/3', 'G4 10/3+2/3']

A triplet of two lengths:

>>> jot("triplet quarter D4 triplet 8th F4 dotted half A4")
['D4 0+2/3', 'F4 2/3+1/3', 'A4 1+3']

A note held over the bar line, and one of a length that has no value of its own:

>>> jot("dotted half F4 8th A4 C5 | 8th hold B4 dotted half G4")
['F4 0+3', 'A4 3+1/2', 'C5 7/2+1', 'B4 9/2+1/2', 'G4 5+3']
>>> jot("half C5 8th hold B4 quarter A4")
['C5 0+5/2', 'B4 5/2+1/2', 'A4 3+1']

A pickup:

>>> jot("pickup 8th C5 C#5 | whole D5")
['C5 -1+1/2', 'C#5 -1/2+1/2', 'D5 0+4']

A bar of rest:

>>> jot("whole rest | 8th B4 Ab4 F4 D4 half E4")[0]
'B4 4+1/2'

Back to text, in one fixed way of writing:

>>> Line.parse("eighths D5 F5 A5 C6 minim E♭5|whole D5", over).text
'8th D5 F5 A5 C6 half Eb5 | whole D5'

A mistake is told with its bar, its place and a proposal:

>>> jot("8th D5 F5 H5 C6 half E5")
Traceback (most recent call last):
theorykit.errors.TheoryError: bar 1, character 11: 'H5' is no note (write B5 or Bb5)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.lines.line_reader import LineReader
from theorykit.lines.timed import TimedNote

__all__ = ["SoFar", "read_line_text", "read_so_far"]

LONGEST_TEXT = 100_000  # characters


@dataclass(frozen=True, slots=True)
class SoFar:
    """The notes of a text up to its first problem, the problem in words, what comes after it.

    ``rest`` begins with the word that cannot be read; it is empty where the text simply ends.
    """

    notes: tuple[TimedNote, ...]
    problem: str = ""
    rest: str = ""


def read_line_text(text: str, bars: Sequence[Fraction]) -> tuple[TimedNote, ...]:
    """Return the notes of a written line; ``bars`` are the lengths of the bars in beats."""
    return LineReader(bars).read(_checked_text(text))


def read_so_far(text: str, bars: Sequence[Fraction]) -> SoFar:
    """Return what can be read of a line that is still being written.

    >>> found = read_so_far("8th D5 F5 A", [Fraction(4)])
    >>> [str(note.pitch) for note in found.notes], found.problem, found.rest
    (['D5', 'F5'], "bar 1, character 11: 'A' is no note (write A5)", 'A')
    """
    reader, text = LineReader(bars), _checked_text(text)
    try:
        return SoFar(reader.read(text))
    except TheoryError as problem:
        return SoFar(reader.notes, str(problem), text[reader.at - 1 :])


def _checked_text(text: str) -> str:
    """Refuse what is no text, or too much of it."""
    if not isinstance(text, str):
        raise TheoryError(f"not a line: {shown(text)} (want text such as '8th D5 F5 A5 C6')")
    if len(text) > LONGEST_TEXT:
        raise TheoryError(f"a line of {len(text)} characters (want at most {LONGEST_TEXT})")
    return text
