"""Notation: a staff as bars of values, ties, triplets, rests, beams and accidentals."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from operator import attrgetter, itemgetter

from theorykit.errors import TheoryError
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.notes.note import Pitch
from theorykit.views.notation.note_values import (
    Grid,
    NoteValue,
    Triplet,
    Written,
    WrittenBar,
    bar_grid,
    is_odd,
    split_note,
    split_rest,
    thirds_grid,
    triplet_windows,
    value_of,
    with_beams,
)
from theorykit.views.staves import PLAIN_BAR, BarMark, StaffNote, StaffView

ZERO = Fraction(0)
BEAT, DOTTED_BEAT = Fraction(1), Fraction(3, 2)


@dataclass(frozen=True, slots=True)
class Frame:
    """One bar: its number (0 for a pickup), its first beat in the music, its length in beats.

    ``lead`` is the part of a whole bar that a pickup leaves out in front; the grid counts it.
    ``mark`` is what stands at the lines of the bar.
    """

    number: int
    start: Fraction
    beats: Fraction
    time: tuple[int, int]
    lead: Fraction = ZERO
    mark: BarMark = PLAIN_BAR

    @property
    def end(self) -> Fraction:
        """The beat of the music on which the bar ends."""
        return self.start + self.beats

    @property
    def full(self) -> Fraction:
        """The length that the grid counts: the bar and what a pickup leaves out."""
        return self.lead + self.beats

    @property
    def grid(self) -> Grid:
        """The boundaries inside the bar."""
        return bar_grid(self.full, self.pulse == DOTTED_BEAT)

    @property
    def pulse(self) -> Fraction:
        """The length of one beat as it is felt: a dotted quarter in 6/8, 9/8 and 12/8."""
        compound = self.time[1] == 8 and self.time[0] % 3 == 0
        return DOTTED_BEAT if compound else BEAT

    @property
    def pair(self) -> Fraction:
        """The stretch in which plain eighths are joined: two beats where the bar has pairs."""
        in_pairs = self.pulse == BEAT and self.full % 2 == 0
        return 2 * BEAT if in_pairs else self.pulse


def bar_frames(view: StaffView) -> list[Frame]:
    """Return the bars of a staff one after the other, the pickup before beat 0.

    A bar of another length than the time signature says gets a signature of its own.
    """
    usual = Fraction(4 * view.time[0], view.time[1])
    frames = _pickups(view, usual)
    start = ZERO
    for place, beats in enumerate(view.bars):
        mark = view.mark(place)
        time = mark.time or (view.time if beats == usual else _time_of(beats))
        frames.append(Frame(view.first + place, start, beats, time, mark=mark))
        start += beats
    return frames


def _pickups(view: StaffView, usual: Fraction) -> list[Frame]:
    """Return the bars before beat 0; the first holds no more than it needs."""
    needed = -min((note.start for note in view.notes), default=ZERO)
    if needed <= 0:
        return []
    if is_odd(needed):  # a triplet is written whole
        needed = Fraction(-(-needed.numerator // needed.denominator))
    count, rest = divmod(needed, usual)
    frames = [Frame(0, -usual * place, usual, view.time) for place in range(int(count), 0, -1)]
    return [Frame(0, -needed, rest, view.time, usual - rest), *frames] if rest else frames


def _time_of(beats: Fraction) -> tuple[int, int]:
    """Return a time signature for a bar of this length."""
    unit = 4 * beats.denominator
    return int(beats * unit / 4), unit


Span = tuple[Fraction, Fraction]
SQUEEZE = Fraction(3, 2)  # written to sounding length inside a triplet


@lru_cache(maxsize=8)  # what engraves a staff and what numbers its notes both ask
def written_bars(view: StaffView) -> tuple[WrittenBar, ...]:
    """Return the bars of a staff as they are written, pickup first.

    Raises ``TheoryError`` for a note after the last bar or on a beat that no note value reaches.

    >>> from theorykit.lines.text import Line, TimedNote
    >>> from theorykit.notes.note import Pitch
    >>> from theorykit.tunes.progression import two_five_one
    >>> from theorykit.views.staves import staff_of_line
    >>> long = TimedNote(Pitch.parse("F4"), Fraction(3), Fraction(2))
    >>> first, second, _ = written_bars(staff_of_line(Line(two_five_one("C"), (long,))))
    >>> [(note.value.name, note.tie) for note in first.notes + second.notes if note.pitch]
    [('quarter', 'start'), ('quarter', 'stop')]
    """
    frames = bar_frames(view)
    _check_end(view, frames[-1].end)
    bars = with_accidentals([_notes(frame, view) for frame in frames], view.key)
    return tuple(
        WrittenBar(
            frame.number, frame.beats, frame.time, tuple(notes), _chords(frame, view), frame.mark
        )
        for frame, notes in zip(frames, bars, strict=True)
    )


def _check_end(view: StaffView, last: Fraction) -> None:
    """Refuse notes that no bar holds."""
    for note in view.notes:
        end = note.start + note.beats
        if end > last:
            raise TheoryError(
                f"{note.pitch} ends on beat {end}, after the last bar "
                f"(want notes that end by beat {last})"
            )


def _chords(frame: Frame, view: StaffView) -> tuple[tuple[Fraction, Chord], ...]:
    """Return the chord symbols of a bar with their beats in it."""
    start, end = frame.start, frame.end
    first = bisect_left(view.chords, start, key=itemgetter(0))
    after = bisect_left(view.chords, end, lo=first, key=itemgetter(0))
    return tuple((beat - start, chord) for beat, chord in view.chords[first:after])


def _notes(frame: Frame, view: StaffView) -> list[Written]:
    """Write the notes and rests of one bar, accidentals still open."""
    sounding = _notes_in(frame, view.notes)
    if not sounding:
        return [Written(None, ZERO, frame.beats, NoteValue("whole"), fills_bar=True)]
    events = list(_events(frame, sounding))
    windows = triplet_windows([span for span, _ in events], frame.full)
    written = [
        piece
        for span, note in events
        for start, end in _cut(span, windows)
        for piece in _pieces(frame, start, end, note, windows)
    ]
    done = _with_brackets(with_beams(written, frame.pulse, frame.pair), windows)
    return [replace(n, start=n.start - frame.lead) for n in done] if frame.lead else done


def _notes_in(frame: Frame, notes: Sequence[StaffNote]) -> list[StaffNote]:
    """Return the notes that sound in a bar, out of all in order."""
    last = bisect_left(notes, frame.end, key=attrgetter("start"))
    first = bisect_left(notes, frame.start, hi=last, key=attrgetter("start"))
    held = notes[first - 1 : first] if first else ()
    return [*(n for n in held if n.start + n.beats > frame.start), *notes[first:last]]


def _events(frame: Frame, notes: Sequence[StaffNote]) -> Iterator[tuple[Span, StaffNote | None]]:
    """Fill the bar with its notes and with rests between them, in beats of its grid."""
    here = frame.lead
    shift = frame.lead - frame.start
    for note in notes:
        start = max(note.start + shift, frame.lead)
        end = min(note.start + note.beats + shift, frame.full)
        if start > here:
            yield (here, start), None
        yield (start, end), note
        here = end
    if here < frame.full:
        yield (here, frame.full), None


def _cut(span: Span, windows: Sequence[Span]) -> Iterator[Span]:
    """Cut a stretch at the edges of triplets."""
    start, end = span
    if not windows:
        yield span
        return
    edges = {edge for window in windows for edge in window if start < edge < end}
    yield from pairwise(sorted({start, end} | edges))


def _pieces(
    frame: Frame,
    start: Fraction,
    end: Fraction,
    note: StaffNote | None,
    windows: Sequence[Span],
) -> Iterator[Written]:
    """Write one stretch as one note value or several, in a triplet or outside."""
    split = split_rest if note is None else split_note
    window = next((w for w in windows if w[0] <= start and end <= w[1]), None)
    if window is None:
        for first, last in split(start, end, frame.grid):
            rest = Written(None, first, last - first, value_of(last - first))
            yield rest if note is None else _sounding(rest, note, frame)
        return
    base, third = window[0], (window[1] - window[0]) / 2
    triplet = Triplet(value_of(third).name)
    grid = thirds_grid(third)
    for first, last in split((start - base) * SQUEEZE, (end - base) * SQUEEZE, grid):
        place, beats = base + first / SQUEEZE, (last - first) / SQUEEZE
        rest = Written(None, place, beats, value_of(last - first), triplet)
        yield rest if note is None else _sounding(rest, note, frame)


def _sounding(rest: Written, note: StaffNote, frame: Frame) -> Written:
    """Put a note where a rest of the same value stands; only its first part carries labels."""
    begin = rest.start + frame.start - frame.lead
    continued = begin > note.start
    return Written(
        note.pitch,
        rest.start,
        rest.beats,
        rest.value,
        rest.triplet,
        _TIES[continued, begin + rest.beats < note.start + note.beats],
        labels=() if continued else note.labels,
        mark=note.mark,
    )


# By whether the note goes on from before, and goes on after.
_TIES = {
    (False, False): "",
    (False, True): "start",
    (True, True): "continue",
    (True, False): "stop",
}


def _with_brackets(notes: Sequence[Written], windows: Sequence[Span]) -> list[Written]:
    """Open and close each triplet, with a bracket where no single beam joins it."""
    done = list(notes)
    for start, end in windows:
        places = [place for place, note in enumerate(done) if start <= note.start < end]
        bracket = not _is_one_beam([done[place] for place in places])
        for place in places:
            note = done[place]
            opens, closes = note.start == start, note.end == end
            triplet = Triplet(value_of((end - start) / 2).name, opens, closes, bracket)
            done[place] = replace(note, triplet=triplet)
    return done


def _is_one_beam(notes: Sequence[Written]) -> bool:
    """Tell whether one beam begins with the first note and ends with the last."""
    first = [note.beams[0] if note.beams else "" for note in notes]
    return first[0] == "start" and first[-1] == "stop" and set(first[1:-1]) <= {"continue"}


# === Accidentals ===


def with_accidentals(bars: Iterable[Sequence[Written]], key: Key) -> list[list[Written]]:
    """Return the notes of each bar with their accidentals decided.

    An accidental is printed where the sign in force for that line or space says otherwise. It
    stands in brackets, as a courtesy, where the same letter was altered in another octave of this
    bar or anywhere in the bar before, and at the first note on the very line or space that was
    altered there, be another octave between (common practice). A tied note repeats nothing.
    """
    signature = {note.letter: note.alteration for note in key.notes}
    page = _Bar(signature)
    done = []
    for bar in bars:
        page = _Bar(signature, page)
        done.append([page.placed(note) for note in bar])
    return done


class _Bar:
    """The signs in force in one bar."""

    def __init__(self, signature: dict[str, int], before: _Bar | None = None) -> None:
        self.signature = signature
        # What the eye may still remember from the bar before.
        self.doubtful = before.letters if before else {}
        self.doubtful_places = before.places if before else {}
        self.places: dict[tuple[str, int], int] = {}
        self.letters: dict[str, int] = {}

    def placed(self, note: Written) -> Written:
        """Return a note with its accidental, and remember it."""
        if note.pitch is None or note.tie in ("continue", "stop"):
            return note
        kind = self.kind(note.pitch)
        name = note.pitch.note
        self.places[name.letter, note.pitch.octave] = name.alteration
        self.letters[name.letter] = name.alteration
        return replace(note, accidental=kind) if kind != note.accidental else note

    def kind(self, pitch: Pitch) -> str:
        """Return whether the accidental is needed, a courtesy, or neither."""
        letter, alteration = pitch.note.letter, pitch.note.alteration
        usual = self.signature[letter]
        if self.places.get((letter, pitch.octave), usual) != alteration:
            return "shown"
        if (letter, pitch.octave) in self.places:
            return ""
        recent = self.letters.get(letter, self.doubtful.get(letter, usual))
        there = self.doubtful_places.get((letter, pitch.octave), alteration)
        return "courtesy" if {recent, there} != {alteration} else ""
