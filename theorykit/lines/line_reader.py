"""Reading a written line word by word. What the words mean, ``lines.line_text`` explains."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate

from theorykit.errors import TheoryError, shown
from theorykit.lines.line_help import propose, too_long
from theorykit.lines.line_words import (
    HOLD,
    PICKUP,
    REST,
    WORDS,
    beats_in_words,
    is_odd,
    value_phrases,
)
from theorykit.lines.timed import TimedNote
from theorykit.notes.pitch import Pitch

__all__ = ["LineReader"]

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

    def read(self, text: str) -> tuple[TimedNote, ...]:
        """Read every word of the text."""
        for match in _TOKEN.finditer(text):
            self.at = match.start() + 1
            self.take(match.group())
        self.at = len(text) + 1
        self.close_phrase()
        if self.place or self.bar < 0:
            self.end_bar()
        return self.notes

    @property
    def notes(self) -> tuple[TimedNote, ...]:
        """The notes read so far; those of an open pickup stand before the first beat."""
        early = self.place if self.bar < 0 else Fraction(0)
        return tuple(TimedNote(p, start - early, beats) for p, start, beats in self.events if p)

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
        """Read a note name with its octave."""
        before = next((pitch for pitch, _, _ in reversed(self.events) if pitch), None)
        try:
            return Pitch.parse(word)
        except TheoryError:
            raise self.fail(f"{shown(word)} is no note", propose(word, before)) from None

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
