"""A line: notes with exact times over a progression, read from text and printed."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from operator import itemgetter
from typing import TYPE_CHECKING, SupportsIndex, overload

from theorykit.errors import TheoryError, expect, expect_all, shown
from theorykit.lines.text.legibility import Sound
from theorykit.lines.text.line_spelling import (
    MovedNote,
    keep_letters,
    legible_names,
    moved_name,
    page_names,
    sounds_over,
    spelled,
)
from theorykit.lines.text.line_text import LineReader
from theorykit.lines.text.line_words import HOLD, PICKUP, REST, rest_phrases, value_phrases
from theorykit.notes.key import Key
from theorykit.notes.note import Note, Pitch
from theorykit.notes.reader import Reader, reader
from theorykit.notes.values import Value
from theorykit.tunes.progression import Progression

HIGHEST_MIDI = 127


@dataclass(frozen=True, slots=True, repr=False)
class TimedNote(Value):
    """One note: its pitch, its start and its length in beats.

    The first beat of the progression is 0; a pickup starts before it, below 0. Whole numbers are
    taken as fractions; other numbers are refused, because a third of a beat has no exact float.

    >>> from fractions import Fraction
    >>> TimedNote(Pitch.parse("F4"), 0, Fraction(3, 2)).end
    Fraction(3, 2)
    """

    pitch: Pitch
    start: Fraction
    beats: Fraction

    def __post_init__(self) -> None:
        """Refuse a note without length or with a time that is not exact."""
        for name in ("start", "beats"):
            value = getattr(self, name)
            if isinstance(value, int):
                object.__setattr__(self, name, Fraction(value))
            elif not isinstance(value, Fraction):
                raise TheoryError(f"not a time: {shown(value)} (want a Fraction of a beat)")
        if not isinstance(self.pitch, Pitch) or self.beats.numerator <= 0:
            raise TheoryError(
                f"not a note of a line: {shown(self.pitch)} for {self.beats} beats "
                "(want a Pitch and a length above 0)"
            )
        if not 0 <= self.pitch.midi <= HIGHEST_MIDI:
            raise TheoryError(f"{self.pitch} is beyond what instruments play (want C-1 to G9)")

    @property
    def end(self) -> Fraction:
        """The beat on which the note ends."""
        return self.start + self.beats

    def __repr__(self) -> str:
        when = ", ".join(map(_exact, (self.start, self.beats)))
        return f"TimedNote(Pitch.parse('{self.pitch}'), {when})"

    def __str__(self) -> str:
        return f"{self.pitch} at {self.start} for {self.beats}"


def _exact(beats: Fraction) -> str:
    """Return beats as a program writes them."""
    return str(beats) if beats.denominator == 1 else repr(beats)


@dataclass(frozen=True, slots=True, repr=False)
class Line(Value):
    """One melody over a progression, in order, one note at a time; iterated and indexed by notes.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th D5 F5 A5 C6 B5 Ab5 F5 D5 | whole Eb5", two_five_one("C"))
    >>> line.transposed("Eb").text
    '8th F5 Ab5 C6 Eb6 D6 Cb6 Ab5 F5 | whole Gb5'
    >>> line[0], [str(note.pitch) for note in line[-2:]], len(line)
    (TimedNote(Pitch.parse('D5'), 0, Fraction(1, 2)), ['D5', 'Eb5'], 9)
    >>> line.onto(two_five_one("B"), -1).text
    '8th C#5 E5 G#5 B5 A#5 G5 E5 C#5 | whole D5'
    """

    progression: Progression
    notes: tuple[TimedNote, ...]

    if TYPE_CHECKING:  # what is taken; the fields say what is kept

        def __init__(self, progression: Progression, notes: Iterable[TimedNote]) -> None: ...

    def __post_init__(self) -> None:
        """Refuse notes that overlap or stand outside the progression."""
        _progression(self.progression)
        notes = expect_all(self.notes, TimedNote, "notes of a line", "TimedNotes in order")
        object.__setattr__(self, "notes", notes)
        for before, after in zip(self.notes, self.notes[1:], strict=False):
            if after.start < before.end:
                raise TheoryError(
                    f"{after.pitch} starts on beat {after.start} before {before.pitch} ends on "
                    f"{before.end} (want one note at a time, in order)"
                )
        if self.notes:
            self._check_ends(self.notes[0], self.notes[-1])

    def _check_ends(self, first: TimedNote, last: TimedNote) -> None:
        """Refuse a pickup of a bar and more, and notes after the last bar."""
        if last.end > self.progression.beats:
            raise TheoryError(
                f"{last.pitch} ends on beat {last.end} and the progression on "
                f"{self.progression.beats} (want a line no longer than its progression)"
            )
        if first.start <= -self.progression.bars[0].beats:
            raise TheoryError(
                f"{first.pitch} starts {-first.start} beats before the progression "
                "(want a pickup shorter than the first bar)"
            )

    @classmethod
    def parse(cls, text: str, progression: Progression) -> Line:
        """Read a line as ``text.line_text`` explains it. The reverse of ``text``."""
        bars = [bar.beats for bar in _progression(progression).bars]
        plain = text.removeprefix("\ufeff") if isinstance(text, str) else text  # an editor's mark
        return cls(progression, read_line_text(plain, bars))

    @property
    def text(self) -> str:
        """The line in words: what ``parse`` reads."""
        return print_line(self.notes, [bar.beats for bar in self.progression.bars])

    @property
    def readable(self) -> Line:
        """The same line by names for the eye, as ``line_spelling.legible_names`` finds them.

        >>> from theorykit.tunes.progression import two_five_one
        >>> Line.parse("half Db5 C5 | Bbb4 Gb4 | whole F4", two_five_one("Db")).readable.text
        'half Db5 C5 | A4 Gb4 | whole F4'
        """
        over, names = self.progression, [note.pitch.note for note in self.notes]
        chords = [(placed.start, placed.chord) for placed in over.chords]
        return self._renamed(legible_names(names, self._sounds(), chords, over.key.notes))

    def spelled(self, names: Sequence[tuple[Note, ...]]) -> Line:
        """Return the same line, legible; ``names`` are those that the degree of each note may have.

        >>> from theorykit.tunes.progression import two_five_one
        >>> line = Line.parse("half Db5 D5 | whole Eb5", two_five_one("C", "short"))
        >>> line.spelled([(), (Note("D"),), (Note("E", -1),)]).text
        'half C#5 D5 | whole Eb5'
        """
        given = expect_all(names, tuple, "names of notes", "a tuple of Notes for each note")
        own = [expect_all(one, Note, "names of a note", "Notes") for one in given]
        if len(own) != len(self.notes):
            raise TheoryError(f"names for {len(own)} notes (want {len(self.notes)}, one for each)")
        return self._renamed(spelled(self._sounds(own), self.progression.key.notes))

    def _sounds(self, names: Sequence[tuple[Note, ...]] | None = None) -> list[Sound]:
        """Return the notes as sounds that wait for a name."""
        times = [(note.start, note.end) for note in self.notes]
        midis = [note.pitch.midi for note in self.notes]
        return sounds_over(self.progression, times, midis, names or [()] * len(midis))

    def transposed(self, key: Key | str, *, octaves: int = 0) -> Line:
        """Return the line and its progression in another key of the same mode, respelled for it.

        Every note keeps its degree over its chord, and its letter, unless that would bring a double
        sharp, or a plain name stood for the b9 of Db7: then it is spelled as ``onto`` does. The
        line moves by a tritone at most, down where it is one; ``octaves`` are added to that.
        """
        moved = self.progression.transposed(key)
        distance = moved.key.tonic.semitone - self.progression.key.tonic.semitone
        steps = 12 * expect(octaves, int, "octaves", "a whole number")
        found = self._onto(moved, (distance + 6) % 12 - 6 + steps)
        if moved == self.progression or keep_letters(self._moved_notes(found)):
            return found
        return self.onto(moved, (distance + 6) % 12 - 6 + steps)

    def written_for(self, who: Reader | str) -> Line:
        """Return the line on the page of a reader, such as ``"B flat"`` or ``"trumpet"``.

        Every note keeps its degree over its chord. A line without double accidentals gets none.

        >>> from theorykit.tunes.progression import two_five_one
        >>> line = Line.parse("half F4 8th B4 Ab4 F4 D4 | whole E4", two_five_one("C", "short"))
        >>> line.written_for("trumpet").text
        'half G4 8th C#5 Bb4 G4 E4 | whole F#4'
        """
        one = reader(who)
        return self.onto(self.progression.written_for(one), one.semitones)

    def onto(self, moved: Progression, semitones: int) -> Line:
        """Return the line moved by half steps onto chords that were moved with it.

        Every note keeps its degree over its chord. A line without double accidentals gets none, and
        is spelled for its page, as ``line_spelling.page_names`` does.
        """
        expect(moved, Progression, "a progression", "one with as many chords, moved")
        found = self._onto(moved, expect(semitones, int, "half steps", "a whole number"))
        if any(abs(note.pitch.note.alteration) > 1 for note in self.notes):
            return found
        return found._renamed(page_names(self._moved_notes(found), moved.key.notes))

    def _moved_notes(self, found: Line) -> list[MovedNote]:
        """Return the notes beside those of the line moved by letters."""
        old, new = self.progression.chord_at, found.progression.chord_at
        return [
            MovedNote(
                *(sound, note.pitch.note, old(note.start).chord),
                *(on.pitch.note, new(on.start).chord),
            )
            for note, on, sound in zip(self.notes, found.notes, found._sounds(), strict=True)
        ]

    def _onto(self, moved: Progression, semitones: int) -> Line:
        """Return the line over other chords, each note named as it was before."""
        roots = zip(self._roots(self.progression), self._roots(moved), strict=True)
        named = [
            moved_name(note.pitch.note, old, new)
            for note, (old, new) in zip(self.notes, roots, strict=True)
        ]
        return replace(self, progression=moved)._renamed(named, semitones)

    def _roots(self, progression: Progression) -> list[Note]:
        """Return the root of the chord under each note."""
        chords = progression.chords
        found, at = [], 0
        for note in self.notes:
            while at + 1 < len(chords) and chords[at + 1].start <= note.start:
                at += 1
            found.append(chords[at].chord.root)
        return found

    def _renamed(self, names: Iterable[Note], semitones: int = 0) -> Line:
        """Return the line with other names, moved by half steps."""
        notes = (
            replace(note, pitch=Pitch.numbered(name, note.pitch.midi + semitones))
            for note, name in zip(self.notes, names, strict=True)
        )
        return replace(self, notes=tuple(notes))

    def __str__(self) -> str:
        return self.text

    def _about(self) -> str:
        return f"over {self.progression}: {self.text}"

    def __iter__(self) -> Iterator[TimedNote]:
        return iter(self.notes)

    def __len__(self) -> int:
        return len(self.notes)

    def __bool__(self) -> bool:  # a line that rests is a line
        return True

    @overload
    def __getitem__(self, place: SupportsIndex) -> TimedNote: ...

    @overload
    def __getitem__(self, place: slice) -> tuple[TimedNote, ...]: ...

    def __getitem__(self, place: SupportsIndex | slice) -> TimedNote | tuple[TimedNote, ...]:
        return self.notes[place]


def _progression(value: object) -> Progression:
    """Return a progression, or say that a line stands over one."""
    want = "a Progression such as two_five_one('C') or Chart.parse('| Dm7 | G7 |').progression"
    return expect(value, Progression, "a progression", want)


LONGEST_TEXT = 100_000  # characters


@dataclass(frozen=True, slots=True)
class SoFar:
    """The notes of a text up to its first problem, the problem in words, what comes after it.

    ``rest`` begins with the word that cannot be read; it is empty where the text simply ends.
    ``found_octaves`` tells that a note came without its octave, which was found.
    """

    notes: tuple[TimedNote, ...]
    problem: str = ""
    rest: str = ""
    found_octaves: bool = False


def read_line_text(text: str, bars: Sequence[Fraction]) -> tuple[TimedNote, ...]:
    """Return the notes of a written line; ``bars`` are the lengths of the bars in beats."""
    reader = LineReader(bars)
    reader.read(_checked_text(text))
    return _timed(reader)


def read_so_far(text: str, bars: Sequence[Fraction]) -> SoFar:
    """Return what can be read of a line that is still being written.

    >>> found = read_so_far("8th D5 F5 a", [Fraction(4)])
    >>> [str(note.pitch) for note in found.notes], found.problem, found.rest
    (['D5', 'F5'], "bar 1, character 11: 'a' is no note (write A5)", 'a')
    """
    reader, text = LineReader(bars), _checked_text(text)
    try:
        reader.read(text)
    except TheoryError as problem:
        rest = text[reader.at - 1 :]
        return SoFar(_timed(reader), str(problem), rest, reader.found_octaves)
    return SoFar(_timed(reader), found_octaves=reader.found_octaves)


def _timed(reader: LineReader) -> tuple[TimedNote, ...]:
    """Return the notes that were read."""
    return tuple(TimedNote(*note) for note in reader.notes)


def _checked_text(text: str) -> str:
    """Refuse what is no text, or too much of it."""
    if not isinstance(text, str):
        raise TheoryError(f"not a line: {shown(text)} (want text such as '8th D5 F5 A5 C6')")
    if len(text) > LONGEST_TEXT:
        raise TheoryError(f"a line of {len(text)} characters (want at most {LONGEST_TEXT})")
    return text


Printed = tuple[str, Fraction, Fraction]  # what is printed, start, end


def print_line(notes: Sequence[TimedNote], bars: Sequence[Fraction]) -> str:
    """Return the text of a line; ``bars`` are the lengths of the bars in beats.

    A value is printed where it changes. Bars after the last note are not printed.
    """
    if not notes:
        return ""
    edges = _edges(bars, notes[-1].end)
    events = list(_events(notes, edges[-1]))
    words, value = [], ""
    if notes[0].start < 0:
        edges.insert(0, notes[0].start)
        words.append(PICKUP)
    for start, end in pairwise(edges):
        for phrase, said in _bar(events, start, end):
            words += [phrase, said] if phrase != value else [said]
            value = phrase
        words.append("|")
    return " ".join(words[:-1])


def _edges(bars: Sequence[Fraction], end: Fraction) -> list[Fraction]:
    """Return where the bars that are printed begin, and where the last of them ends."""
    edges = [Fraction(0)]
    for beats in bars:
        if edges[-1] >= end:
            break
        edges.append(edges[-1] + beats)
    return edges


def _events(notes: Sequence[TimedNote], end: Fraction) -> Iterator[Printed]:
    """Run through notes and the rests between them."""
    place = min(Fraction(0), notes[0].start)
    for note in notes:
        if note.start > place:
            yield REST, place, note.start
        yield str(note.pitch), note.start, note.end
        place = note.end
    if place < end:
        yield REST, place, end


def _bar(events: Sequence[Printed], start: Fraction, end: Fraction) -> Iterator[tuple[str, str]]:
    """Run through the values of one bar, each with the word after it."""
    begin = bisect_right(events, start, key=itemgetter(2))
    after = bisect_left(events, end, key=itemgetter(1))
    for said, since, until in events[begin:after]:
        first, last = max(since, start), min(until, end)
        again = REST if said == REST else HOLD
        word = said if first == since else again
        phrases = rest_phrases if said == REST else value_phrases
        for phrase, _ in phrases(first - start, last - first):
            yield phrase, word
            word = again
