"""What a staff shows, decided before anything is drawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.errors import TheoryError
from theorykit.lines.line import Line
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.instruments import READERS, Reader
from theorykit.notes.key import Key
from theorykit.notes.note import LETTERS
from theorykit.notes.pitch import Pitch
from theorykit.notes.spelling import above
from theorykit.tunes.progression import Progression
from theorykit.views.bar_marks import PLAIN_BAR, BarMark

__all__ = ["MARKS", "StaffNote", "StaffView", "octaves_away", "staff_of_line", "with_pitches"]

# What a mark on a note says. A mark is drawn by colour and always stands beside a label.
MARKS = ("", "colour", "landing")


@dataclass(frozen=True, slots=True)
class StaffNote:
    """One written note: pitch on the page, start and length in beats, label, mark.

    ``labels`` are the lines of text under the note, the nearest first; ``mark`` is one of
    ``MARKS``: nothing, a note of the colour over V, the note it lands on.
    """

    pitch: Pitch
    start: Fraction
    beats: Fraction
    labels: tuple[str, ...] = ()
    mark: str = ""


@dataclass(frozen=True, slots=True)
class StaffView:
    """A single staff as it stands on the page, transposed and spelled for its reader.

    ``bars`` are the lengths of the bars in beats, ``chords`` the symbols with the beat each stands
    on; ``alt`` says in words what the picture shows, for those who cannot see it. ``marks`` are
    what stands at the lines of the bars, one for each or none at all; ``first`` is the number of
    the first bar.
    """

    key: Key
    clef: str
    bars: tuple[Fraction, ...]
    chords: tuple[tuple[Fraction, Chord], ...]
    notes: tuple[StaffNote, ...]
    alt: str
    transposition: int = 0  # half steps from the sounding to the written pitch
    time: tuple[int, int] = (4, 4)
    marks: tuple[BarMark, ...] = ()
    first: int = 1
    letters: int = 0  # between the sounding and the written pitch, for the names

    def __post_init__(self) -> None:
        """Refuse marks that do not belong to the bars."""
        if self.marks and len(self.marks) != len(self.bars):
            raise TheoryError(
                f"{len(self.marks)} marks for {len(self.bars)} bars (want one for each, or none)"
            )

    def mark(self, bar: int) -> BarMark:
        """Return the marks of a bar, counted from 0."""
        return self.marks[bar] if self.marks else PLAIN_BAR


def staff_of_line(
    line: Line,
    *,
    labels: tuple[tuple[str, ...], ...] = (),
    marks: tuple[str, ...] = (),
    reader: Reader = READERS[0],
) -> StaffView:
    """Return the staff of a line over its progression, written for a reader.

    ``labels`` and ``marks`` stand for the notes in order; missing ones are empty.

    >>> from theorykit.lines.line import TimedNote
    >>> from theorykit.tunes.progression import two_five_one
    >>> note = TimedNote(Pitch.parse("F4"), Fraction(0), Fraction(4))
    >>> view = staff_of_line(Line(two_five_one("C"), (note,)))
    >>> view.alt
    '3 bars in C major, chords Dm7, G7, Cmaj7; notes F4.'
    """
    progression = line.progression
    key = progression.key
    notes = tuple(
        StaffNote(
            reader.written(note.pitch, key),
            note.start,
            note.beats,
            labels[i] if i < len(labels) else (),
            marks[i] if i < len(marks) else "",
        )
        for i, note in enumerate(line.notes)
    )
    written = reader.written_key(key)
    chords = tuple(
        (placed.start, _written(placed.chord, key, written)) for placed in progression.chords
    )
    return StaffView(
        written,
        reader.clef,
        tuple(bar.beats for bar in progression.bars),
        chords,
        notes,
        _alt(progression, written, chords, notes),
        reader.semitones,
        letters=_letters(key, reader),
    )


def _letters(key: Key, reader: Reader) -> int:
    """Return how many letters the page stands above the sound, which depends on its key."""
    sounding = Pitch(key.tonic, 4)
    page = reader.written(sounding, key)
    apart = LETTERS.index(page.note.letter) - LETTERS.index(sounding.note.letter)
    return apart + len(LETTERS) * (page.octave - sounding.octave)


def _written(chord: Chord, key: Key, written: Key) -> Chord:
    """Return a chord as it stands on the page: as it is, unless the page is in another key.

    The leading note of minor is no awkward root, though no signature holds it: E sharp in F sharp
    minor.
    """
    if written == key:
        return chord
    leading = above(written.tonic, Degree(7))
    held = (leading,) if written.is_minor and abs(leading.alteration) == 1 else ()
    return chord.transposed(key.tonic, written.tonic, (*written.notes, *held))


def _alt(
    progression: Progression,
    key: Key,
    chords: tuple[tuple[Fraction, Chord], ...],
    notes: tuple[StaffNote, ...],
) -> str:
    """Say in words what the staff shows."""
    symbols = ", ".join(chord.pretty for _, chord in chords)
    count = len(progression.bars)
    names = _names(notes)
    heading = f"{count} bar{'s' * (count != 1)} in {key.pretty}, chords {symbols}"
    return f"{heading}; notes {names}." if names else f"{heading}."


def _names(notes: tuple[StaffNote, ...]) -> str:
    """Name notes with their labels."""
    return ", ".join(
        note.pitch.pretty + (f" ({' '.join(note.labels)})" if note.labels else "") for note in notes
    )


def octaves_away(view: StaffView, octaves: int) -> StaffView:
    """Return a staff whose notes are written, and sound, so many octaves higher.

    >>> from theorykit.lines.line import TimedNote
    >>> from theorykit.tunes.progression import two_five_one
    >>> note = TimedNote(Pitch.parse("F4"), Fraction(0), Fraction(4))
    >>> view = staff_of_line(Line(two_five_one("C"), (note,)))
    >>> octaves_away(view, -1).alt
    '3 bars in C major, chords Dm7, G7, Cmaj7; notes F3.'
    """
    return with_pitches(view, [Pitch(n.pitch.note, n.pitch.octave + octaves) for n in view.notes])


def with_pitches(view: StaffView, pitches: Sequence[Pitch]) -> StaffView:
    """Return a staff with other pitches, one for each of its notes, told in words too."""
    notes = tuple(replace(n, pitch=one) for n, one in zip(view.notes, pitches, strict=True))
    alt = view.alt.replace(_names(view.notes), _names(notes)) if notes else view.alt
    return replace(view, notes=notes, alt=alt)
