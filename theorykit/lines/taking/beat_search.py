"""The beat of a take: its tempo and its first bar, given or found, with the notes on their grid.

Where no tempo is given, many are tried quickly by how well the starts of notes fall together on
half, third and quarter beats; the best are tried by the whole search. What decides is its cost, how
usual the tempo is, and whether the take fills the progression. Where no start is given, the beat on
which the line begins is the one from which most beats carry notes of their chords.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import cos, floor, hypot, log, pi, sin

from theorykit.lines.taking.one_voice import Played, one_voice
from theorykit.lines.taking.rhythm_search import Clock, search
from theorykit.lines.taking.written_notes import Quantised, Written, on_the_grid
from theorykit.tunes.progression import Progression

SLOWEST, FASTEST, STEP = 50.0, 300.0, 1.015  # beats a minute that are tried
TRIED = 6  # tempos, by the whole search
USUAL_TEMPO, TEMPO_SPREAD = 140.0, 0.45  # beats a minute; as a ratio, in natural logarithms
LATENESS = 0.045  # seconds: the spread of lateness where the start is given
UNFILLED, OVERFULL = 2.0, 12.0  # nats: a take of less than half its progression, of more than it
ALL_SHIFTS = tuple(number / 12 for number in range(-6, 6))
ANYWHERE = 1e3  # beats: a lateness of which nothing is known
CHORD_TONE, WEAK = 1.0, 0.4  # what a chord tone on the beat, and off it, speaks for a beginning
FAR = 0.35  # what each beat of silence before the first note speaks against it
FITTINGS = 3  # rounds in which the tempo is set anew


@dataclass(frozen=True, slots=True)
class Beat:
    """Tempo in beats a minute, second of the first bar, and the notes on the grid."""

    tempo: float
    start: float
    quantised: Quantised

    def beats(self, seconds: float) -> float:
        """Return a time of the take as beats from the first bar."""
        return (seconds - self.start) * self.tempo / 60

    def sounded(self, note: Written) -> float:
        """Return the beat on which a written note was played."""
        return note.sounds - note.moved


def found_beat(
    notes: Sequence[tuple[float, float, int]],
    progression: Progression,
    tempo: float | None,
    start: float | None,
) -> Beat:
    """Return the beat of notes in order, each its start and end in seconds and its number.

    >>> from theorykit.tunes.progression import two_five_one
    >>> notes = [(1 + n * 0.25, 1.2 + n * 0.25, 60 + n) for n in range(8)]
    >>> found = found_beat(notes, two_five_one("C", "short"), 120, None)
    >>> found.start, [str(note.start) for note in found.quantised.notes][:3]
    (1.0, ['0', '1/2', '1'])
    """
    first = notes[0][0]
    if tempo is None:
        tempo = _tempo([note[0] for note in notes], progression, start)
    origin = first if start is None else start
    at_once = _set(notes, tempo, origin, _clock(tempo, start))
    if start is not None:
        return Beat(tempo, start, at_once)
    late = at_once.late * 60 / tempo
    steady = _set(notes, tempo, origin + late, _clock(tempo, 0.0))
    begun = _beginning(steady.notes, progression)
    moved = tuple(
        replace(note, start=note.start + begun, sounds=note.sounds + begun) for note in steady.notes
    )
    return Beat(tempo, round(origin + late - begun * 60 / tempo, 4), replace(steady, notes=moved))


def _clock(tempo: float, start: float | None) -> Clock:
    """Return what is known of the beat."""
    if start is None:
        return Clock(tempo, ALL_SHIFTS, ANYWHERE)
    return Clock(tempo, sureness=LATENESS * tempo / 60)


def _set(
    notes: Sequence[tuple[float, float, int]], tempo: float, origin: float, clock: Clock
) -> Quantised:
    """Return notes on the grid of a tempo."""
    ratio = tempo / 60
    played = [Played((a - origin) * ratio, (b - origin) * ratio, midi) for a, b, midi in notes]
    voice = one_voice(played)
    found = search([note.start for note in voice], clock)
    return on_the_grid(voice, found, len(played) - len(voice))


# === The tempo ===


def _tempo(starts: Sequence[float], progression: Progression, start: float | None) -> float:
    """Return the likeliest tempo of starts in seconds."""
    count = int(log(FASTEST / SLOWEST) / log(STEP)) + 1
    tempos = [SLOWEST * STEP**number for number in range(count)]
    quick = sorted(tempos, key=lambda tempo: -_together(starts, tempo))
    tried: list[float] = []
    for tempo in quick:
        if all(abs(log(tempo / other)) > 0.05 for other in tried):
            tried.append(tempo)
        if len(tried) == TRIED:
            break
    fitted = [_fitted(starts, tempo, start) for tempo in tried]
    return round(min(fitted, key=lambda row: row[1] + _unlikely(row[0], starts, progression))[0], 2)


def _together(starts: Sequence[float], tempo: float) -> float:
    """Return how well starts fall together on parts of a beat, and how usual the tempo is."""
    found = []
    for parts, weight in ((1, 0.6), (2, 1.0), (3, 0.8), (4, 0.7)):
        angles = [2 * pi * time * tempo / 60 * parts for time in starts]
        found.append(weight * hypot(sum(map(cos, angles)), sum(map(sin, angles))))
    usual = log(tempo / USUAL_TEMPO) / TEMPO_SPREAD
    return (found[0] + max(found[1:])) / len(starts) - 0.08 * usual * usual


def _fitted(starts: Sequence[float], tempo: float, start: float | None) -> tuple[float, float]:
    """Return a tempo set anew by the places that it leads to, and its cost."""
    origin = starts[0] if start is None else start
    for _ in range(FITTINGS):
        found = search([(time - origin) * tempo / 60 for time in starts], _clock(tempo, start))
        slope = _slope([place.sounds for place in found.places], starts)
        if slope is None or not SLOWEST / 2 < 60 / slope < FASTEST * 2:
            break
        tempo = 60 / slope
    return tempo, found.cost - len(starts) * log(tempo / 60)


def _slope(beats: Sequence[float], seconds: Sequence[float]) -> float | None:
    """Return the seconds of a beat: the straight line through places and times."""
    middle, mean = sum(beats) / len(beats), sum(seconds[: len(beats)]) / len(beats)
    spread = sum((beat - middle) ** 2 for beat in beats)
    if spread < 1:
        return None
    return sum((b - middle) * (t - mean) for b, t in zip(beats, seconds, strict=False)) / spread


def _unlikely(tempo: float, starts: Sequence[float], progression: Progression) -> float:
    """Return what speaks against a tempo before the rhythm is heard."""
    usual = log(tempo / USUAL_TEMPO) / TEMPO_SPREAD
    beats = (starts[-1] - starts[0]) * tempo / 60
    whole = float(progression.beats)
    fills = OVERFULL * (beats > whole) + UNFILLED * (beats < whole / 2)
    return usual * usual / 2 + fills


# === The first bar ===


def _beginning(notes: Sequence[Written], progression: Progression) -> int:
    """Return the beat of the first bar on which a line begins whose first beat is 0."""
    first, last = floor(notes[0].start), notes[-1].start
    bar = int(progression.bars[0].beats)
    room = int(progression.beats - last) if progression.beats > last else 0
    offsets = [k for k in range(1 - bar, max(room, 1)) if first + k > -bar]
    return max(offsets or [0], key=lambda k: _speaks_for(notes, k, progression))


def _speaks_for(notes: Sequence[Written], offset: int, progression: Progression) -> float:
    """Return how much the chords speak for a beginning."""
    found = -FAR * abs(offset)
    for note in notes:
        place = note.start + offset
        if 0 <= place < progression.beats:
            tones = {one.semitone for one in progression.chord_at(place).chord.notes}
            weight = CHORD_TONE if place % 2 == 0 else WEAK
            found += weight * (note.midi % 12 in tones)
    return found
