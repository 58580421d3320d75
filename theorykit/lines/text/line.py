"""A line: notes with exact times over a progression. What is not a note is a rest."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from theorykit.errors import TheoryError
from theorykit.lines.text.line_text import print_line, read_line_text
from theorykit.lines.text.timed_note import TimedNote
from theorykit.notes.key import Key
from theorykit.notes.note import MOST_ACCIDENTALS, Note
from theorykit.notes.pitch import Pitch
from theorykit.notes.spelling import AWKWARD, enharmonics, spell_near
from theorykit.tunes.progression import Progression


@dataclass(frozen=True, slots=True)
class Line:
    """One melody over a progression, in order, one note at a time.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th D5 F5 A5 C6 B5 Ab5 F5 D5 | whole Eb5", two_five_one("C"))
    >>> str(line)
    '8th D5 F5 A5 C6 B5 Ab5 F5 D5 | whole Eb5'
    >>> line.transposed("Eb").text
    '8th F5 Ab5 C6 Eb6 D6 Cb6 Ab5 F5 | whole Gb5'
    """

    progression: Progression
    notes: tuple[TimedNote, ...]

    def __post_init__(self) -> None:
        """Refuse notes that overlap or stand outside the progression."""
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
        bars = [bar.beats for bar in progression.bars]
        return cls(progression, read_line_text(text, bars))

    @property
    def text(self) -> str:
        """The line in words: what ``parse`` reads."""
        return print_line(self.notes, [bar.beats for bar in self.progression.bars])

    @property
    def readable(self) -> Line:
        """The same line without double accidentals, E#, B#, Cb and Fb that the key has not.

        >>> from theorykit.tunes.progression import two_five_one
        >>> over = two_five_one("Db", "short")
        >>> Line.parse("half Db5 8th C5 Bbb4 Gb4 Eb4 | whole F4", over).readable.text
        'half Db5 8th C5 A4 Gb4 Eb4 | whole F4'
        """
        held = self.progression.key.notes
        return self._renamed(_readable_name(note.pitch.note, held) for note in self.notes)

    def transposed(self, key: Key | str, *, octaves: int = 0) -> Line:
        """Return the line and its progression in another key of the same mode, respelled for it.

        Every note keeps its degree over its chord, and with it the reason for its name. The line
        moves by a tritone at most, downwards if by a tritone; ``octaves`` are added to that.
        """
        moved = self.progression.transposed(key)
        distance = moved.key.tonic.semitone - self.progression.key.tonic.semitone
        semitones = (distance + 6) % 12 - 6 + 12 * octaves
        roots = zip(self._roots(self.progression), self._roots(moved), strict=True)
        named = [
            _moved_name(note.pitch.note, old, new)
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


def _moved_name(name: Note, old: Note, new: Note) -> Note:
    """Return the name that stands to the new root as ``name`` stands to the old one.

    A name that no page can hold, with more than two accidentals, gives way to a plain one.
    """
    place = name.fifths + new.fifths - old.fifths
    if abs((place + 1) // 7) < MOST_ACCIDENTALS:
        return Note.from_fifths(place)
    semitone = (name.semitone + new.semitone - old.semitone) % 12
    return spell_near(semitone, Note("C", 1 if place > 0 else -1))


def _readable_name(name: Note, held: tuple[Note, ...]) -> Note:
    """Return the name that the eye takes in at once."""
    if name in held or (abs(name.alteration) <= 1 and name not in AWKWARD):
        return name
    own = [other for other in enharmonics(name.semitone) if other in held]
    return own[0] if own else spell_near(name.semitone, name)
