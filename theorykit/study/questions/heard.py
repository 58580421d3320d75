"""Sounds of questions: a ii-V-I with the band, told by what is in it and made when it is played."""

from __future__ import annotations

from dataclasses import dataclass, replace

from theorykit.harmony.colours import colour
from theorykit.harmony.substitution import substitute
from theorykit.lines.band import colours_over, performance
from theorykit.lines.demonstration import demonstration
from theorykit.lines.parts import Performance
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.degree import Degree, above
from theorykit.notes.key import Key
from theorykit.notes.note import Note, Pitch
from theorykit.notes.reader import Reader
from theorykit.tunes.progression import Bar, Progression, two_five_one

TOP = 72  # MIDI: a note that is held on top lies in the octave above this C
REACH = 6  # half steps from the note before to a landing


@dataclass(frozen=True, slots=True)
class Heard:
    """What the ear is given: a ii-V-I in a key and a form, with what is special about it.

    ``colour`` is the colour of V, empty for the plain chord; ``landing`` the degree of I on which
    the phrase ends, empty for the nearest; ``top`` a degree that is held over V in place of a
    phrase; ``is_substituted`` puts the tritone substitute in the place of V; ``line`` gives a line
    of its own; ``more`` are bars for which I goes on.

    >>> sound = Heard(Key.parse("C"), colour="b9 13")
    >>> str(sound.progression), sound.phrase.text
    ('Dm7 | G7 | Cmaj7', 'half F5 C5 | B4 8th B4 Ab4 E4 Ab4 | whole G4')
    >>> sound.performance(tempo=140).tempo
    140
    """

    key: Key
    form: str = "long"
    colour: str = ""
    landing: str = ""
    top: str = ""
    is_substituted: bool = False
    line: Line | None = None
    more: int = 0

    @property
    def progression(self) -> Progression:
        """The chords that sound."""
        plain = two_five_one(self.key, self.form)
        plain = replace(plain, bars=plain.bars + plain.bars[-1:] * self.more)
        return _substituted(plain) if self.is_substituted else plain

    @property
    def phrase(self) -> Line | None:
        """The line that sounds over them, or None where the band plays alone."""
        if self.line is not None:
            return self.line
        if self.is_substituted:
            return None
        if self.top:
            return _held(self.progression, Degree.parse(self.top))
        line = demonstration(self.key, self.form, self.colour or None)
        line = replace(line, progression=self.progression) if self.more else line
        return landed(line, Degree.parse(self.landing)) if self.landing else line

    def sounding_for(self, reader: Reader) -> Heard:
        """Return what sounds where the page of a reader is in this key.

        >>> from theorykit.notes.reader import reader
        >>> str(Heard(Key.parse("D"), colour="b9").sounding_for(reader("trumpet")).key)
        'C major'
        """
        key = reader.sounding_key(self.key)
        if key == self.key:
            return self
        line = None if self.line is None else self.line.transposed(key)
        return replace(self, key=key, line=line)

    def performance(self, tempo: float = 120, *, count_in: int = 1) -> Performance:
        """Return it with the band, at a tempo in beats a minute."""
        over, phrase = self.progression, self.phrase
        row = colour(self.colour) if self.colour else None
        colours = None if phrase is None else colours_over(phrase, row)
        return performance(phrase, over, tempo=tempo, count_in=count_in, colours=colours)


def _substituted(plain: Progression) -> Progression:
    """Return a progression with the tritone substitute in the place of V."""
    i = plain.chords[-1].chord
    bars = []
    for bar in plain.bars:
        chords = (
            substitute("tritone substitute", chord, i).chords[0]
            if chord.kind.is_dominant
            else chord
            for chord in bar.chords
        )
        bars.append(Bar(tuple(chords), bar.lengths))
    return replace(plain, bars=tuple(bars))


def _held(over: Progression, degree: Degree) -> Line:
    """Return a line that holds one degree over V."""
    v = next(placed for placed in over.chords if placed.chord.kind.is_dominant)
    pitch = Pitch.at_or_above(above(v.chord.root, degree), TOP)
    return Line(over, (TimedNote(pitch, v.start, v.beats),))


def landed(line: Line, degree: Degree) -> Line:
    """Return a line whose last note is a degree of the last chord, the nearest one there is.

    >>> landed(demonstration("C", "short", "b9"), Degree(9)).text
    'quarter F5 C5 8th D5 B4 Ab4 F4 | whole D4'
    """
    *before, last = line.notes
    root = line.progression.chords[-1].chord.root
    goal = nearest(above(root, degree), before[-1].pitch.midi)
    return replace(line, notes=(*before, replace(last, pitch=goal)))


def nearest(note: Note, midi: int) -> Pitch:
    """Return the pitch of a note that is nearest to a MIDI number, the lower one of two.

    >>> str(nearest(Note.parse("C"), 59)), str(nearest(Note.parse("F#"), 60))
    ('C4', 'F#3')
    """
    return Pitch.at_or_above(note, midi - REACH)
