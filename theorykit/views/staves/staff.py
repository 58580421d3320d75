"""Staves: notes with degrees or roles under them, for one reader."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.errors import TheoryError
from theorykit.harmony.colours import Colour
from theorykit.harmony.tensions import LANDING, label_of, mark_of, role_over
from theorykit.lines.reading import LineReading, NoteReading
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, single
from theorykit.notes.key import Key
from theorykit.notes.note import LETTERS, Pitch
from theorykit.notes.reader import READERS, Reader
from theorykit.tunes.progression import PLAIN_PULSE, Bar, Progression
from theorykit.views.staves.bar_line_marks import PLAIN_BAR, BarMark


@dataclass(frozen=True, slots=True)
class StaffNote:
    """One written note: pitch on the page, start and length in beats, label, mark.

    ``labels`` are the lines of text under the note, the nearest first; ``mark`` is one of
    ``note_roles.MARKS``: nothing, a note of the colour over V, one that rubs, the note it lands on.
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
    the first bar. ``second`` are the notes of a second voice on the same staff, stems down.
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
    second: tuple[StaffNote, ...] = ()

    def __post_init__(self) -> None:
        """Refuse marks that do not belong to the bars."""
        if self.marks and len(self.marks) != len(self.bars):
            raise TheoryError(
                f"{len(self.marks)} marks for {len(self.bars)} bars (want one for each, or none)"
            )

    @property
    def legend(self) -> str:
        """What the short words under the degrees mean, nothing where there are none."""
        told = {label for note in self.notes for label in note.labels[1:]}
        return legend(role for role, short in ROLE_WORDS.items() if short in told)

    def mark(self, bar: int) -> BarMark:
        """Return the marks of a bar, counted from 0."""
        return self.marks[bar] if self.marks else PLAIN_BAR

    def held_singly(self) -> StaffView:
        """Return the staff without a double accidental on a note that is held for a bar.

        Such a note is read at once and then only held: it has the plainest name (common practice in
        parts that are read at sight). Quick notes keep the name that says where they go.

        >>> from theorykit.tunes.progression import two_five_one
        >>> note = TimedNote(Pitch.parse("Bbb4"), Fraction(0), Fraction(4))
        >>> str(staff_of_line(Line(two_five_one("Db"), (note,))).held_singly().notes[0].pitch)
        'A4'
        """
        bar = min(self.bars, default=Fraction(0))
        long = [one.beats >= bar and abs(one.pitch.note.alteration) > 1 for one in self.notes]
        if not any(long):
            return self
        return with_pitches(
            self,
            [
                Pitch.numbered(single(one.pitch.note), one.pitch.midi) if held else one.pitch
                for one, held in zip(self.notes, long, strict=True)
            ],
        )


def staff_of_line(
    line: Line,
    *,
    labels: tuple[tuple[str, ...], ...] = (),
    marks: tuple[str, ...] = (),
    reader: Reader = READERS[0],
    page: Line | None = None,
) -> StaffView:
    """Return the staff of a line over its progression, written for a reader.

    ``labels`` and ``marks`` stand for the notes in order; missing ones are empty. ``page`` is the
    line as the reader has it, where its names are others than those of the line moved.

    >>> from theorykit.lines.text import TimedNote
    >>> from theorykit.tunes.progression import two_five_one
    >>> note = TimedNote(Pitch.parse("F4"), Fraction(0), Fraction(4))
    >>> view = staff_of_line(Line(two_five_one("C"), (note,)))
    >>> view.alt
    '3 bars in C major, chords Dm7, G7, Cmaj7; notes F4.'
    """
    page = line.written_for(reader) if page is None else page
    notes = tuple(
        StaffNote(
            note.pitch,
            note.start,
            note.beats,
            labels[i] if i < len(labels) else (),
            marks[i] if i < len(marks) else "",
        )
        for i, note in enumerate(page.notes)
    )
    return StaffView(
        page.progression.key,
        reader.clef,
        tuple(bar.beats for bar in page.progression.bars),
        tuple((placed.start, placed.chord) for placed in page.progression.chords),
        notes,
        _alt(page.progression, notes),
        reader.semitones,
        letters=_letters(line.progression.key, page.progression.key, reader),
        time=_time(page.progression.bars[0]),
    )


def _time(bar: Bar) -> tuple[int, int]:
    """Return the time signature of a line: that of a dotted beat where its first bar has one."""
    is_plain = bar.pulse == PLAIN_PULSE or bar.beats % bar.pulse
    return (4, 4) if is_plain else (int(2 * bar.beats), 8)


def _letters(key: Key, written: Key, reader: Reader) -> int:
    """Return how many letters the page stands above the sound, which depends on its key."""
    sounding = Pitch(key.tonic, 4)
    page = Pitch.numbered(written.tonic, sounding.midi + reader.semitones)
    apart = LETTERS.index(page.note.letter) - LETTERS.index(sounding.note.letter)
    return apart + len(LETTERS) * (page.octave - sounding.octave)


def _alt(progression: Progression, notes: tuple[StaffNote, ...]) -> str:
    """Say in words what the staff shows."""
    symbols = ", ".join(placed.chord.pretty for placed in progression.chords)
    count = len(progression.bars)
    names = _names(notes)
    heading = f"{count} bar{'s' * (count != 1)} in {progression.key.pretty}, chords {symbols}"
    return f"{heading}; notes {names}." if names else f"{heading}."


def _names(notes: tuple[StaffNote, ...]) -> str:
    """Name notes with their labels."""
    return ", ".join(
        note.pitch.pretty + (f" ({' '.join(note.labels)})" if note.labels else "") for note in notes
    )


def octaves_away(view: StaffView, octaves: int) -> StaffView:
    """Return a staff whose notes are written, and sound, so many octaves higher.

    >>> from theorykit.lines.text import TimedNote
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


def labelled_as_written(view: StaffView, rows: Sequence[Colour | None] = ()) -> StaffView:
    """Return a staff whose degrees say what the letters say that are printed.

    ``rows`` are the colours under the notes; the first label of a note is its degree.

    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("half F4 Db5 | whole C5", two_five_one("C", "short"))
    >>> view = staff_of_line(line, labels=(("♭3",), ("♯11",)))
    >>> [note.labels for note in labelled_as_written(view).notes]
    [('♭3',), ('♭5',), ()]
    """
    chords = [chord for _, chord in view.chords]
    starts = [start for start, _ in view.chords]
    notes = []
    for place, note in enumerate(view.notes):
        chord = chords[max(0, bisect_right(starts, note.start) - 1)]
        row = rows[place] if place < len(rows) else None
        degree, *more = note.labels or ("",)
        if degree:
            degree = label_of(chord, note.pitch.note, row)
        notes.append(replace(note, labels=(degree, *more) if degree or more else ()))
    found = replace(view, notes=tuple(notes))
    alt = view.alt.replace(_names(view.notes), _names(found.notes)) if notes else view.alt
    return replace(found, alt=alt)


# === Staves of lines that were read ===

# Under a note there is room for four letters. CT, PT and NT are what analysts write for chord tone,
# passing and neighbour tone (common practice); the others are the words themselves, cut short.
ROLE_WORDS = {
    "chord tone": "CT",
    "tension": "T",
    "alteration": "alt",
    "passing": "PT",
    "neighbour": "NT",
    "chromatic approach": "appr",
    "enclosure": "enc",
    "anticipation": "ant",
    "outside": "out",
}
COLOURING = ("tension", "alteration")


def read_staff(
    reading: LineReading,
    over_v: Colour | None = None,
    *,
    reader: Reader = READERS[0],
    page: Line | None = None,
) -> StaffView:
    """Return the staff of a reading, written for a reader; ``page`` is the line as it stands there.

    Tensions over a dominant are marked as colour or as what rubs, and the note that lands on the
    chord after it. Where ``over_v`` is given the mark is for its tensions alone, for each of them:
    what is foreign to the chosen colour has none.

    >>> from theorykit.lines.text import Line
    >>> from theorykit.lines.reading import read_line
    >>> from theorykit.tunes.progression import two_five_one
    >>> text = "8th F5 E5 D5 C5 B4 E5 Ab4 B4 | whole C5"
    >>> view = read_staff(read_line(Line.parse(text, two_five_one("C", "short"))))
    >>> [(*note.labels, note.mark) for note in view.notes][-4:]
    [('13', 'T', 'colour'), ('♭9', 'alt', 'colour'), ('3', 'CT', ''), ('1', 'CT', 'landing')]
    """
    landed, spelled = _landings(reading), _spelled(reading)
    wanted = frozenset(degree.semitone for degree in over_v.tensions) if over_v else frozenset()
    labels = tuple(map(_labels, reading.notes))
    rows = [over_v if note.chord.kind.is_dominant else None for note in reading.notes]
    marks = (
        LANDING
        if note.note in landed
        else _mark(note, over_v)
        if _colours(note, spelled, wanted)
        else ""
        for note in reading.notes
    )
    view = staff_of_line(reading.line, labels=labels, marks=tuple(marks), reader=reader, page=page)
    return labelled_as_written(view, rows)


def _mark(note: NoteReading, over_v: Colour | None) -> str:
    """Return the mark of a note that brings something over a dominant.

    The 11 of a chosen colour that has no 3rd stands in its place and does not rub.
    """
    if note.degree is None or note.role == "alteration":
        return "colour"
    wanted = over_v.degrees if over_v is not None else ()
    return mark_of(role_over(note.chord, note.degree, wanted=wanted))


def legend(roles: Iterable[str]) -> str:
    """Return what the short words under some notes mean, in the order of the table.

    >>> legend(["passing", "chord tone", "passing", ""])
    'CT chord tone · PT passing'
    """
    used = set(roles)
    return " · ".join(f"{short} {role}" for role, short in ROLE_WORDS.items() if role in used)


def _labels(note: NoteReading) -> tuple[str, ...]:
    """Return the two lines under a note; none over N.C."""
    return () if note.degree is None else (note.degree.pretty, ROLE_WORDS[note.role])


def _landings(reading: LineReading) -> set[TimedNote]:
    """Return the notes that land on the chord after a dominant."""
    ending = {placed.end: placed.chord for placed in reading.line.progression.chords}
    return {
        change.first.note
        for change in reading.changes
        if change.meets
        and not change.clashes
        and change.first is not None
        and ending[change.chord.start].kind.is_dominant
    }


def _spelled(reading: LineReading) -> set[tuple[Chord, Degree]]:
    """Return the tensions of each colour that is spelled exactly, with its chord."""
    exact = (found for found in reading.dominants if found.is_exact)
    return {(d.chord.chord, degree) for d in exact if d.colour for degree in d.colour.tensions}


def _colours(note: NoteReading, spelled: Container[object], wanted: frozenset[int]) -> bool:
    """Tell whether a note brings a tension over a dominant: one of ``wanted`` where any are."""
    if not note.chord.kind.is_dominant or note.degree is None or note.role == "chord tone":
        return False
    if wanted:
        return note.degree.semitone in wanted
    return note.role in COLOURING or (note.chord, note.degree) in spelled
