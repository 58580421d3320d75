"""Taken lines: heard notes in seconds set over a progression, with a report of the doubts."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import log

from theorykit.errors import TheoryError, expect, expect_all, shown
from theorykit.lines.reading import place_words
from theorykit.lines.taking.beat_search import Beat, found_beat
from theorykit.lines.taking.names_of_sounds import spelled_pitches
from theorykit.lines.taking.whole_lines import line_moved
from theorykit.lines.taking.written_notes import Written
from theorykit.lines.text import HIGHEST_MIDI, Line, TimedNote
from theorykit.notes.reader import Reader
from theorykit.notes.values import Value
from theorykit.tunes.progression import Progression

SLOWEST, FASTEST = 30, 400  # beats a minute
OUTSIDE, SURELY = 2.0, 0.25  # nats a note: outside the bars; by which a tempo is surely better
DOUBTFUL = 0.5  # confidence below which a note is told
FITS, TELLING = 0.3, 8  # nats a note better than chance; notes of which one can tell
NOTICED_CENTS, NOTICED_LATE = 8, 0.02  # of tuning; seconds of a whole take
MOST_NOTES = 20_000
SAME = 1e-3  # beats: within which two times are one; the start of the first bar is rounded
MOST_TOLD = 8
MOVES = tuple(Fraction(n, 2) for n in (-1, 1, -2, 2))  # beats by which a whole line may be moved
UNDER = ", where another sounds"
FAINT = "Faint is the band, the room, or a ghost note."
NO_TEMPO = "No tempo was given"
ASTRAY = (
    "The notes fit {} beats a minute badly: their rhythm is a guess, and nothing is said of your "
    "time. Perhaps it was played at another tempo, or freely."
)


@dataclass(frozen=True, slots=True)
class HeardNote:
    """A note as it was heard: start and end in seconds, MIDI number, confidence from 0 to 1."""

    start: float
    end: float
    midi: int
    confidence: float = 1.0

    @property
    def is_doubtful(self) -> bool:
        """Whether it may not be what was played."""
        return self.confidence < DOUBTFUL


@dataclass(frozen=True, slots=True)
class TakenNote:
    """A note of the line: how sure it is, and by how many seconds it was early (-) or late."""

    note: TimedNote
    confidence: float
    late: float


@dataclass(frozen=True, slots=True, repr=False)
class TakenLine(Value):
    """A line that was taken down, and the report.

    ``notes`` are those of the line with their confidence; ``left_out`` are heard notes that are not
    in it. ``tempo`` is in beats a minute, ``start`` the second on which the first bar begins,
    ``swing`` the ratio of the long to the short eighth, ``tuning`` how many cents sharp it is.
    ``report`` says in sentences what was left out and guessed. ``fit`` is by how many nats a note
    the grid suits better than chance, ``heard`` what was heard, the notes left out with it.
    ``unplayed`` says what else the take held that is no note of it.
    """

    line: Line
    notes: tuple[TakenNote, ...]
    left_out: tuple[HeardNote, ...]
    tempo: float
    start: float
    swing: float
    tuning: float
    report: tuple[str, ...]
    fit: float = 1.0
    heard: tuple[HeardNote, ...] = ()
    unplayed: tuple[str, ...] = ()

    def __str__(self) -> str:
        return "\n".join((self.line.text, *self.report))

    @property
    def doubtful(self) -> tuple[TimedNote, ...]:
        """The notes of the line that may not be what was played."""
        return tuple(one.note for one in self.notes if one.confidence < DOUBTFUL)

    @property
    def fits(self) -> bool:
        """Whether the notes keep to the beat that was taken; else their time cannot be judged."""
        return self.fit > FITS or len(self.notes) < TELLING

    @property
    def faint(self) -> tuple[HeardNote, ...]:
        """The notes that were left out because they are faint."""
        return tuple(one for one in self.left_out if one not in self.heard)

    def retaken(self, tempo: float, start: float | None = None) -> TakenLine:
        """Return it set on the grid of another tempo, in beats a minute."""
        return taken_line(
            self.heard,
            self.line.progression,
            tempo=tempo,
            start=start,
            tuning=self.tuning,
            faint=self.faint,
            unplayed=self.unplayed,
        )

    def fits_better_than(self, other: TakenLine) -> bool:
        """Tell whether it surely suits its tempo better than the same take suits another.

        >>> from theorykit.tunes.progression import two_five_one
        >>> heard = [HeardNote(n * 0.3, n * 0.3 + 0.2, 60 + n) for n in range(9)]  # eighths at 100
        >>> over = two_five_one("C")
        >>> at_100, at_120 = (taken_line(heard, over, tempo=t, start=0) for t in (100, 120))
        >>> at_100.fits_better_than(at_120), at_100.fits, at_120.fits
        (True, True, False)
        """
        return self._worth > other._worth + SURELY

    @property
    def _worth(self) -> float:
        """How well the take suits its tempo, in nats a note; what is left out speaks against it."""
        outside = len(self.heard) - len(self.notes)
        return self.fit + log(self.tempo) - OUTSIDE * outside / max(1, len(self.heard))

    def of(self, line: Line) -> TakenLine:
        """Return it with those of its notes that are in a line still, where any are."""
        kept = tuple(one for one in self.notes if one.note in line.notes)
        stays = Line(self.line.progression, tuple(one.note for one in kept))
        return replace(self, line=stays, notes=kept) if kept else self

    def beside(self, line: Line) -> TakenLine | None:
        """Return it as it goes with a line, moved by eighths with it; None where it is another.

        Half of the notes of the line at least are as they were heard.
        """
        if line.progression != self.line.progression or not line.notes:
            return None
        for beats in (Fraction(0), *MOVES):
            try:
                moved = line_moved(self.line, beats)
            except TheoryError:
                continue
            if 2 * len(set(moved.notes).intersection(line.notes)) >= len(line.notes):
                pairs = zip(self.notes, moved.notes, strict=True)
                notes = tuple(replace(one, note=note) for one, note in pairs)
                return replace(self, line=moved, notes=notes)
        return None

    def report_for(self, reader: Reader | str) -> tuple[str, ...]:
        """Return the report with the names that notes have on a reader's page."""
        page = self.line.written_for(reader)
        doubtful = [
            written
            for written, one in zip(page.notes, self.notes, strict=True)
            if one.confidence < DOUBTFUL
        ]
        told = _doubts(doubtful, self.line.progression)
        return tuple(told if one.startswith(_DOUBTFUL) else one for one in self.report)

    def _about(self) -> str:
        return f"{len(self.notes)} notes: {self.line.text}"


def taken_line(
    heard: Sequence[HeardNote],
    progression: Progression,
    *,
    tempo: float | None = None,
    start: float | None = None,
    tuning: float = 0.0,
    faint: Sequence[HeardNote] = (),
    unplayed: Sequence[str] = (),
) -> TakenLine:
    """Return heard notes as a line over a progression, with a report.

    ``tempo`` is in beats a minute, ``start`` the second on which the first bar begins; what is not
    given is found, and the report says so. No pitch is changed to suit a chord. ``faint`` are notes
    that were heard far below the melody: they are left out, and told. ``unplayed`` are sentences on
    what else a take held; they end the report.

    >>> from theorykit.tunes.progression import two_five_one
    >>> times = [0.51, 0.83, 1.02, 1.34, 1.5, 1.81, 2.02, 2.33, 2.49]
    >>> midis = [65, 69, 72, 76, 74, 71, 68, 65, 64]
    >>> heard = [HeardNote(at, at + 0.3, midi) for at, midi in zip(times, midis)]
    >>> found = taken_line(heard, two_five_one("C", "short"), tempo=120, start=0.5)
    >>> found.line.text
    '8th F4 A4 C5 E5 D5 B4 Ab4 F4 | E4 rest dotted half rest'
    """
    expect(progression, Progression, "a progression", "a Progression such as two_five_one('C')")
    voice = _checked(heard)
    _check_clock(tempo, start)
    beat = found_beat([(n.start, n.end, n.midi) for n in voice], progression, tempo, start)
    kept = _inside(beat.quantised.notes, progression)
    if not kept:
        raise TheoryError(_none_inside(voice, beat, progression))
    notes = _notes(kept, progression)
    line = Line(progression, notes)
    sure = _confidences(voice, beat)
    taken = tuple(
        TakenNote(note, sure[(one.start, one.midi)], (-one.moved) * 60 / beat.tempo)
        for note, one in zip(notes, kept, strict=True)
    )
    inside = {(one.start, one.midi) for one in kept}
    left = tuple(note for note, key in _keys(voice, beat) if key not in inside)
    second = beat.quantised.second if beat.quantised.swung else 0.5
    report = _report(taken, left, beat, tempo, start, tuning, progression)
    if faint:
        words = _left_words(faint, "faint note", beat, progression)
        report += (f"{words} {FAINT}",)
    swing = round(second / (1 - second), 2)
    return TakenLine(
        *(line, taken, (*left, *faint), beat.tempo, beat.start, swing, tuning),
        report=(*report, *unplayed),
        fit=beat.quantised.fit,
        heard=tuple(voice),
        unplayed=tuple(unplayed),
    )


def _checked(heard: Sequence[HeardNote]) -> list[HeardNote]:
    """Return heard notes in order; refuse none, too many, and times that are none."""
    notes = expect_all(heard, HeardNote, "heard notes", "HeardNotes")
    if not notes:
        raise TheoryError("no note was heard (want one melody, clearly louder than the rest)")
    if len(notes) > MOST_NOTES:
        raise TheoryError(f"{len(notes):,} notes (want a take of at most {MOST_NOTES:,})")
    for one in notes:
        numbers = all(isinstance(n, (int, float)) for n in (one.start, one.end, one.confidence))
        if not numbers or not 0 <= one.start < one.end < 1e5 or not _is_number(one.midi):
            raise TheoryError(f"no note that was heard: {shown(one)} (want seconds from 0 on)")
    return sorted(notes, key=lambda note: note.start)


def _is_number(midi: object) -> bool:
    """Tell whether something is a MIDI number."""
    return isinstance(midi, int) and 0 <= midi <= HIGHEST_MIDI


def _check_clock(tempo: float | None, start: float | None) -> None:
    """Refuse a tempo that nobody plays and a start before the take."""
    for value, name, low, high in (
        (tempo, "tempo", SLOWEST, FASTEST),
        (start, "start", 0, 100_000),
    ):
        if value is None:
            continue
        good = isinstance(value, (int, float)) and not isinstance(value, bool)
        if not good or not low <= value <= high:
            raise TheoryError(f"no {name}: {shown(value)} (want a number from {low} to {high})")


def _inside(notes: Sequence[Written], progression: Progression) -> list[Written]:
    """Return the notes that stand in the progression or its pickup, the last one cut at its end."""
    earliest, end = -progression.bars[0].beats, progression.beats
    return [
        replace(one, beats=min(one.beats, end - one.start))
        for one in notes
        if earliest < one.start < end
    ]


def _none_inside(voice: Sequence[HeardNote], beat: Beat, over: Progression) -> str:
    """Say that no note falls into the bars, and where they are."""
    late = sum(beat.beats(note.start) >= over.beats for note in voice)
    where = "after the last bar" if late else "before the first bar and its pickup"
    if 0 < late < len(voice):
        where = "before the first bar or after the last"
    first, bars = min(note.start for note in voice), f"{len(over)} bar{'s' * (len(over) != 1)}"
    told = f"all {len(voice)} notes came" if len(voice) > 1 else "the only note came"
    return (
        f"{told} {where}, the first at {first:.1f} s (want notes in the {bars} from "
        f"{beat.start:.1f} s on at {beat.tempo:.0f} beats a minute)"
    )


def _notes(kept: Sequence[Written], progression: Progression) -> tuple[TimedNote, ...]:
    """Return written notes with names."""
    midis, starts = [one.midi for one in kept], [one.start for one in kept]
    pitches = spelled_pitches(midis, starts, progression)
    return tuple(
        TimedNote(pitch, one.start, one.beats) for pitch, one in zip(pitches, kept, strict=True)
    )


def _keys(
    voice: Sequence[HeardNote], beat: Beat
) -> list[tuple[HeardNote, tuple[Fraction | None, int]]]:
    """Return each heard note with the place and the number under which it is in the line."""
    found = []
    written = sorted(beat.quantised.notes, key=beat.sounded)
    times = [beat.sounded(one) for one in written]
    for note in voice:
        at = beat.beats(note.start)
        near = written[bisect_left(times, at - SAME) : bisect_right(times, at + SAME)]
        place = next((one.start for one in near if one.midi == note.midi), None)
        found.append((note, (place, note.midi)))
    return found


def _confidences(
    voice: Sequence[HeardNote], beat: Beat
) -> dict[tuple[Fraction | None, int], float]:
    """Return how sure each note of the line is, by its place and number."""
    sure: dict[tuple[Fraction | None, int], float] = {
        (one.start, one.midi): 1.0 for one in beat.quantised.notes
    }
    return sure | {key: note.confidence for note, key in _keys(voice, beat)}


def _report(
    taken: Sequence[TakenNote],
    left: Sequence[HeardNote],
    beat: Beat,
    tempo: float | None,
    start: float | None,
    tuning: float,
    over: Progression,
) -> tuple[str, ...]:
    """Say what was found, guessed and left out."""
    told: list[str] = []
    if tempo is None:
        told.append(f"{NO_TEMPO}; {beat.tempo:.0f} beats a minute were found.")
    if start is None:
        told.append(f"No start was given; the first bar was taken to begin at {beat.start:.2f} s.")
    if abs(tuning) >= NOTICED_CENTS:
        told.append(f"The take is {abs(tuning):.0f} cents {'sharp' if tuning > 0 else 'flat'}.")
    late = beat.quantised.late * 60 / beat.tempo
    is_astray = beat.quantised.fit <= FITS and len(taken) >= TELLING
    if is_astray:
        told.append(ASTRAY.format(round(beat.tempo)))
    if start is not None and abs(late) >= NOTICED_LATE and not is_astray:
        side = "late" if late > 0 else "early"
        told.append(f"The take comes {abs(late) * 1000:.0f} milliseconds {side} throughout.")
    doubtful = [one.note for one in taken if one.confidence < DOUBTFUL]
    if doubtful:
        told.append(_doubts(doubtful, over))
    if left:
        told.append(_left_words(left, "heard note", beat, over, UNDER))
    return tuple(told)


def _left_words(
    left: Sequence[HeardNote], kind: str, beat: Beat, progression: Progression, why: str = ""
) -> str:
    """Say how many notes are left out, where each would stand, and why it does not."""
    count = Counter(_where(beat.beats(note.start), progression, why) for note in left)
    places = [where if n in (1, len(left)) else f"{n} {where}" for where, n in count.items()]
    those = f"{kind} is" if len(left) == 1 else f"{kind}s are"
    return f"{len(left)} {those} left out: {'; '.join(places)}."


def _where(at: float, over: Progression, why: str) -> str:
    """Say where a note would stand, to the nearest eighth, and why it does not."""
    near = Fraction(round(2 * at), 2)
    if near <= -over.bars[0].beats:
        return "more than a pickup before the first bar"
    return "after the last bar" if near >= over.beats else f"{place_words(near, over)}{why}"


_DOUBTFUL = "Doubtful: "


def _doubts(doubtful: Sequence[TimedNote], over: Progression) -> str:
    """Return which notes are doubtful, and where each stands."""
    named = "; ".join(
        f"{one.pitch.note.pretty}, {place_words(one.start, over)}" for one in doubtful[:MOST_TOLD]
    )
    more = f" and {len(doubtful) - MOST_TOLD} more" * (len(doubtful) > MOST_TOLD)
    return f"{_DOUBTFUL}{named}{more}."
