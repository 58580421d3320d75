"""A substitute as a page: sound, staff, keyboard, motion and clock."""

from __future__ import annotations

from dataclasses import dataclass, replace

from theorykit.errors import TheoryError, shown
from theorykit.harmony.substitution import Substitute, substitute
from theorykit.harmony.superimposition import Reading
from theorykit.harmony.tensions import LANDING, degrees_over, mark_of, role_over
from theorykit.harmony.wording import doubled_words
from theorykit.lines.in_place import InPlace, in_place
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.key import KEYS, MODES, Key, heard_words, reader_words
from theorykit.notes.note import Pitch
from theorykit.notes.reader import READERS, Reader
from theorykit.tunes.progression import PlacedChord, cadence_chords
from theorykit.views.clock import ClockView, clock_of
from theorykit.views.keyboard import KeyboardView, KeyNote, stacked_keys
from theorykit.views.motion import MotionView, motion_of
from theorykit.views.sounding import Take
from theorykit.views.staves import StaffView, staff_of_line

__all__ = ["SubstitutionView", "parallel_key", "substitution"]


@dataclass(frozen=True, slots=True)
class SubstitutionView:
    """Everything that is shown for one substitute; ``reading`` is the chord in the pictures.

    ``key`` and ``heard`` are what sounds; all the rest is as the reader has it on the page.
    """

    key: Key
    found: Substitute
    reading: Reading
    heard: InPlace
    page: InPlace
    staff: StaffView
    keyboard: KeyboardView
    motion: MotionView
    clock: ClockView
    reader: Reader

    @property
    def place(self) -> int:
        """The place of the chord in the pictures among the chords of the substitute."""
        return self.found.readings.index(self.reading)

    @property
    def options(self) -> tuple[str, ...]:
        """The chords that the pictures can show, each with the chord that follows."""
        return tuple(
            f"{one.chord.pretty} going to {one.following.pretty}" for one in self.found.readings
        )

    @property
    def sentence(self) -> str:
        """What the substitute is."""
        return self.found.sections[0][1][0]

    @property
    def sections(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """The explanation as headings with sentences, without the sentence that is shown first."""
        (heading, (_, *more)), *others = self.found.sections
        return ((heading, tuple(more)), *others) if more else tuple(others)

    @property
    def summary(self) -> str:
        """The bars that it makes, beside the plain ones."""
        return f"{self.page.own_bass.chords.pretty}, in place of {self.plain}."

    @property
    def written(self) -> str:
        """What is written for the reader and what is not, if the reader transposes."""
        return reader_words(self.reader, self.key, "the key in the list and what you hear are")

    @property
    def doubled(self) -> str:
        """Why notes here have double accidentals, where they have."""
        chords = (*self.page.own_bass.chords.chords, *self.page.original.chords.chords)
        return doubled_words(note for placed in chords for note in placed.chord.notes)

    @property
    def plain(self) -> str:
        """The plain bars."""
        return self.page.original.chords.pretty

    @property
    def staff_words(self) -> str:
        """What stands under the notes of the staff."""
        return (
            "Under each note stands its degree over the chord that is written and, where another "
            "chord stands in for V, below that its degree over V."
        )

    @property
    def names_of_takes(self) -> tuple[str, str, str]:
        """What each take is called: the name of the version with its chords."""
        first, second, third = (f"{one.name}: {one.chords.pretty}" for one in self.page.versions)
        if self.page.over_bass.chords == self.page.own_bass.chords:
            third = third.replace("its own bass", "its own bass, which is the same")
        sounds = heard_words(self.reader, self.key)
        return first + sounds, second + sounds, third + sounds

    def takes(self, tempo: float, swing: float) -> tuple[Take, ...]:
        """Return what is heard: plain, over the old bass, and over its own.

        >>> [take.label[:10] for take in substitution("C", "tritone substitute").takes(100, 2.0)]
        ['original: ', 'substitute', 'substitute']
        """
        return tuple(
            Take(label, version.performance(tempo=tempo, swing=swing))
            for label, version in zip(self.names_of_takes, self.heard.versions, strict=True)
        )


def substitution(
    key: Key | str,
    name: str = "tritone substitute",
    *,
    place: int | None = None,
    reader: Reader = READERS[0],
) -> SubstitutionView:
    """Return what is shown of a substitute; ``place`` counts its chords for the pictures, from 0.

    Without ``place`` the pictures show the last new dominant, or the last new chord.

    >>> view = substitution("C", "backdoor dominant")
    >>> view.options, view.place
    (('Fm7 going to B♭7', 'B♭7 going to Cmaj7'), 1)
    >>> view.names_of_takes[1]
    'substitute over the original bass: Dm7 | Fm7/G B♭7/G | Cmaj7'
    """
    home = Key.parse(key) if isinstance(key, str) else key
    page = reader.written_key(home)
    _, v, one = cadence_chords(page)
    found = substitute(name, v, one)
    count = len(found.readings)
    at = _main(found) if place is None else place
    if not 0 <= at < count:
        raise TheoryError(f"no chord {shown(place)} (want 0 to {count - 1})")
    reading, heard, written = found.readings[at], in_place(home, name), in_place(page, name)
    return SubstitutionView(
        home,
        found,
        reading,
        heard,
        written,
        _staff(heard, written, v, one, reader),
        _keyboard(reading, v),
        motion_of(replace(reading.resolution, moves=reading.moves)),
        clock_of(v, None, reading.chord, one),
        reader,
    )


def parallel_key(key: Key | str, mode: str) -> Key:
    """Return the key of a mode on the same tonic, by its other name where no signature writes it.

    >>> [str(parallel_key(k, "minor")) for k in ("C", "Gb", "A minor")]
    ['C minor', 'F# minor', 'A minor']
    >>> str(parallel_key("D# minor", "major"))
    'Eb major'
    """
    home = Key.parse(key) if isinstance(key, str) else key
    if mode not in MODES:
        raise TheoryError(f"no such mode: {shown(mode)} (want {' or '.join(MODES)})")
    same = (k for k in KEYS if k.mode == mode and k.tonic.semitone == home.tonic.semitone)
    return min(same, key=lambda k: (k.tonic != home.tonic, abs(k.fifths), k.fifths))


def _main(found: Substitute) -> int:
    """Return the place of the chord that makes a substitute."""
    new = [at for at, one in enumerate(found.readings) if not one.is_original]
    dominants = [at for at in new if found.readings[at].chord.kind.is_dominant]
    return (dominants or new)[-1]


def _staff(heard: InPlace, page: InPlace, v: Chord, one: Chord, reader: Reader) -> StaffView:
    """Return the line of the substitute, with the degree over V where another chord stands in.

    Its pitches are those that sound, its chords and names those of the page. A note that stands in
    is marked by what it is over V, as on the keyboard and on the clock.
    """
    sounding, written = heard.own_bass.line, page.own_bass.line.progression
    chords = written.chords
    inside = [_place(chords, note) for note in sounding.notes]
    line = Line(
        written,
        tuple(
            replace(note, pitch=_named(note.pitch.midi + reader.semitones, chords[at].chord))
            for note, at in zip(sounding.notes, inside, strict=True)
        ),
    )
    new = {at for at in range(heard.first, heard.end) if chords[at].chord != v}
    labels = tuple(
        _labels(note, chords[at].chord, *([v] if at in new else []))
        for note, at in zip(line.notes, inside, strict=True)
    )
    marks = tuple(
        _mark(note, v, one) if at in new else LANDING if at == heard.end else ""
        for note, at in zip(line.notes, inside, strict=True)
    )
    return staff_of_line(sounding, labels=labels, marks=marks, reader=reader, page=line)


def _named(midi: int, chord: Chord) -> Pitch:
    """Return a tone of a chord as the chord names it."""
    return Pitch.numbered(next(n for n in chord.notes if n.semitone == midi % 12), midi)


def _mark(note: TimedNote, v: Chord, one: Chord) -> str:
    """Return the mark of a note over V on the way to I."""
    return mark_of(role_over(v, degrees_over(v, [note.pitch.note])[0], one))


def _place(chords: tuple[PlacedChord, ...], note: TimedNote) -> int:
    """Return the place of the chord under a note."""
    return next(at for at, placed in enumerate(chords) if note.start < placed.end)


def _labels(note: TimedNote, *over: Chord) -> tuple[str, ...]:
    """Return the degree of a note over each of some chords."""
    return tuple(degrees_over(one, [note.pitch.note])[0].pretty for one in over)


def _keyboard(reading: Reading, v: Chord) -> KeyboardView:
    """Return V from its root, and above it the chord in its place, by the degrees over V."""
    rubs = {clash.note for clash in reading.clashes}
    chord = reading.chord
    notes = tuple(
        KeyNote(note, degree, note in rubs)
        for note, degree in zip(chord.notes, reading.over, strict=True)
    )
    tones = ", ".join(note.pretty for note in v.notes)
    above = ", ".join(f"{one.note.pretty} ({one.degree.pretty})" for one in notes)
    alt = f"Keyboard: {v.pretty} is {tones}; above it {chord.pretty}: {above}."
    return stacked_keys(v, notes, alt)
