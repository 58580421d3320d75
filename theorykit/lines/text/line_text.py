"""The text of a line: what a musician would jot, and its reader, word by word.

A note value stands before the notes that have it and holds until the next one: ``whole``, ``half``,
``quarter``, ``8th``, ``16th``, ``32nd``, ``64th``, with ``dotted`` or ``triplet`` in front where
wanted. Notes are names with their octave, C4 being middle C; one without its octave is the one
nearest to the note before, or to the middle of the staff. ``rest`` is silent for one value;
``hold`` lets the last note sound for one value more, over a bar line too. ``|`` ends a bar, and
every bar must be full. A line that begins before bar 1 begins with ``pickup``. Bars at the end that
stay empty need not be written. ``eighth``, ``quaver`` and their like are read as well, and ♭ ♯.

Eighths, then a long note:

>>> from theorykit.lines.text.line import Line
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

Notes without an octave:

>>> jot("8th F Ab C E half D | whole Db")
['F4 0+1/2', 'Ab4 1/2+1/2', 'C5 1+1/2', 'E5 3/2+1/2', 'D5 2+2', 'Db5 4+4']

Back to text, in one fixed way of writing:

>>> Line.parse("eighths D5 F5 A5 C6 minim E♭5|whole D5", over).text
'8th D5 F5 A5 C6 half Eb5 | whole D5'

A mistake is told with its bar, its place and a proposal, a metre before all others:

>>> jot("8th D5 F5 H5 C6 half E5")
Traceback (most recent call last):
theorykit.errors.TheoryError: bar 1, character 11: 'H5' is no note (write B5 or Bb5)
>>> jot("8th F Ab C | 4/4 E")
Traceback (most recent call last):
theorykit.errors.TheoryError: bar 2, character 14: '4/4' is a metre and no note (take it out: the \
bars are as long as those of the chords)
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import suppress
from fractions import Fraction
from itertools import accumulate

from theorykit.errors import TheoryError, shown
from theorykit.lines.text.line_words import (
    HOLD,
    PICKUP,
    REST,
    WORDS,
    beats_in_words,
    is_metre,
    is_odd,
    nearest,
    propose,
    too_long,
    value_phrases,
    what_it_is,
)
from theorykit.notes.note import Note, Pitch

_TOKEN = re.compile(r"\|+|[^\s|]+")
Event = tuple[Pitch | None, Fraction, Fraction]  # pitch or rest, start, length in beats


class LineReader:
    """The state of reading: the bar, the place in it, the value in force."""

    def __init__(self, bars: Sequence[Fraction]) -> None:
        self.bars = bars
        self.starts = (Fraction(0), *accumulate(bars))
        self.bar = 0  # the bar being filled; -1 is the pickup
        self.place = Fraction(0)  # in the bar
        self.value: Fraction | None = None
        self.phrase: list[str] = []  # words of the value that is being read
        self.events: list[Event] = []
        self.at = 1  # the character being read, counted from 1
        self.found_octaves = False  # whether a note came without its own

    def read(self, text: str) -> None:
        """Read every word of the text; a metre that strayed into it is told before all else."""
        words = list(_TOKEN.finditer(text))
        try:
            for match in words:
                self.at = match.start() + 1
                self.take(match.group())
            self.at = len(text) + 1
            self.close_phrase()
            if self.place or self.bar < 0:
                self.end_bar()
        except TheoryError:
            self.look_for_metre(words)
            raise

    def look_for_metre(self, words: Sequence[re.Match[str]]) -> None:
        """Refuse a metre, at its place; whoever wrote one counts the bars by it."""
        for place, match in enumerate(words):
            if is_metre(match[0]):
                before = [word[0] for word in words[:place]]
                self.bar = sum(word.startswith("|") for word in before)
                self.bar -= any(word.lower() == PICKUP for word in before)
                self.at = match.start() + 1
                raise self.fail(what_it_is(match[0]), propose(match[0], None)) from None

    @property
    def notes(self) -> Iterator[tuple[Pitch, Fraction, Fraction]]:
        """The notes read so far; those of an open pickup stand before the first beat."""
        early = self.place if self.bar < 0 else Fraction(0)
        return ((p, start - early, beats) for p, start, beats in self.events if p)

    def take(self, word: str) -> None:
        """Read one word."""
        low = word.lower()
        if low in WORDS:
            self.phrase.append(low)
            return
        self.close_phrase()
        if word.startswith("|"):
            self.end_bar()
        elif low == PICKUP:
            self.begin_pickup()
        else:
            self.add(low, self.read_pitch(word) if low not in (REST, HOLD) else None)

    def fail(self, what: str, proposal: str) -> TheoryError:
        """Word an error with its bar, its place and a proposal."""
        where = f"bar {self.bar + 1}" if self.bar >= 0 else "the pickup"
        return TheoryError(f"{where}, character {self.at}: {what} ({proposal})")

    def close_phrase(self) -> None:
        """Turn the words of a value into the value in force."""
        words, self.phrase = self.phrase, []
        if not words:
            return
        marks = [mark for word in words if isinstance(mark := WORDS[word], str)]
        values = [beats for word in words if isinstance(beats := WORDS[word], Fraction)]
        said = " ".join(words)
        if len(values) != 1 or len(marks) > 1:
            want = f'write "{marks[0]} quarter"' if marks and not values else "write one of them"
            raise self.fail(f"before this, {shown(said)} is not one note value", want)
        factor = {"dotted": Fraction(3, 2), "triplet": Fraction(2, 3)}
        self.value = values[0] * (factor[marks[0]] if marks else 1)

    def begin_pickup(self) -> None:
        """Go before the first bar."""
        if self.events or self.bar:
            raise self.fail("a pickup stands at the beginning", "move the word to the front")
        self.bar = -1

    def read_pitch(self, word: str) -> Pitch:
        """Read a note name with its octave, or find the octave that is nearest."""
        before = next((pitch for pitch, _, _ in reversed(self.events) if pitch), None)
        with suppress(TheoryError):
            return Pitch.parse(word)
        try:
            found = nearest(Note.parse(word), before)
        except TheoryError:
            raise self.fail(what_it_is(word), propose(word, before)) from None
        self.found_octaves = True
        return found

    def add(self, word: str, pitch: Pitch | None) -> None:
        """Add a note or a rest, or lengthen the last note."""
        value = self.checked(str(pitch) if pitch else word)
        if word == HOLD:
            self.lengthen(value)
        else:
            before = self.starts[self.bar] if self.bar > 0 else Fraction(0)
            self.events.append((pitch, before + self.place, value))
        self.place += value

    def lengthen(self, value: Fraction) -> None:
        """Let the last note sound longer."""
        if not self.events or self.events[-1][0] is None:
            raise self.fail("there is no note to hold", "write a note or rest")
        pitch, start, beats = self.events[-1]
        self.events[-1] = (pitch, start, beats + value)

    def checked(self, said: str) -> Fraction:
        """Return the value in force, if it may stand here."""
        if self.value is None:
            raise self.fail(f"{said} has no note value yet", f'write "8th {said}"')
        if self.bar >= len(self.bars):
            count = f"{len(self.bars)} bar{'s' * (len(self.bars) != 1)}"
            raise self.fail(f"the progression has {count}", "end the line here")
        if is_odd(self.place) and not is_odd(self.value):
            raise self.fail(f"the triplet before {said} is not full", "add a triplet note or rest")
        left = self.length() - self.place
        if self.value > left:
            raise self.fail(*too_long(said, self.value, left))
        return self.value

    def length(self) -> Fraction:
        """Return the length of the bar being filled; a pickup is shorter than the first bar."""
        return self.bars[max(self.bar, 0)]

    def end_bar(self) -> None:
        """Go to the next bar, if this one is full."""
        if self.bar < 0:
            self.end_pickup()
        elif self.bar < len(self.bars):
            self.check_full(self.length() - self.place)
        self.bar += 1
        self.place = Fraction(0)

    def check_full(self, missing: Fraction) -> None:
        """Refuse a bar that is too short."""
        if missing:
            phrases = [f"{phrase} {REST}" for phrase, _ in value_phrases(self.place, missing)]
            raise self.fail(
                f"the bar is {beats_in_words(missing)} short",
                f'write "{" ".join(phrases)}" or lengthen a note',
            )

    def end_pickup(self) -> None:
        """Move the notes of the pickup before the first beat."""
        if not 0 < self.place < self.bars[0]:
            lasts = f"the pickup lasts {beats_in_words(self.place)}"
            raise self.fail(lasts, f"want less than {beats_in_words(self.bars[0])}, more than none")
        self.events = [(p, start - self.place, beats) for p, start, beats in self.events]
