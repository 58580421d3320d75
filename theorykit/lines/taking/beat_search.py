"""The beat of a take: its tempo and its first bar, given or found, with the notes on their grid.

Where no tempo is given, many are tried quickly by how well the starts of a few notes at a time fall
together on half, third and quarter beats. The best, their halves and their doubles are tried by the
whole search. What decides is its cost, in which even notes cost least as eighths, whether the tempo
is one at which eighths are played, and whether the take fills the progression. Where no start is
given, the beat on which the line begins is the one from which most beats carry notes of their
chords.
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
TRIED = 4  # tempos, by the whole search, each with its half and its double
TOGETHER = 12  # notes in which a tempo is looked for: a small error of it adds up over more
NEAR = 0.05  # as a ratio: nearer tempos are one
COMPARED = 96  # notes on which tempos are compared
LEFT = 3  # tempos that are compared on them, after a glance
USUAL, TEMPO_SPREAD = (90.0, 200.0), 0.25  # beats a minute; beyond, in natural logarithms
LATENESS = 0.045  # seconds: the spread of lateness where the start is given
UNFILLED, OVERFULL = 2.0, 12.0  # nats: a take of less than half its progression, of more than it
PLACES, MOST_SHIFTS = 24, 4  # of a beat, by which starts are counted; shifts that are tried
ANYWHERE = 1e3  # beats: a lateness of which nothing is known
CHORD_TONE, WEAK = 1.0, 0.4  # what a chord tone on the beat, and off it, speaks for a beginning
FAR = 0.35  # what each beat of silence before the first note speaks against it


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
    at_once = _set(notes, tempo, origin, _clock(tempo, start, _beats(notes, tempo, origin)))
    if start is not None:
        return Beat(tempo, start, at_once)
    late = at_once.late * 60 / tempo
    steady = _set(notes, tempo, origin + late, _clock(tempo, 0.0))
    begun = _beginning(steady.notes, progression)
    moved = tuple(
        replace(note, start=note.start + begun, sounds=note.sounds + begun) for note in steady.notes
    )
    return Beat(tempo, round(origin + late - begun * 60 / tempo, 4), replace(steady, notes=moved))


def _clock(tempo: float, start: float | None, beats: Sequence[float] = ()) -> Clock:
    """Return what is known of the beat: without a start, that many notes begin on it."""
    if start is None:
        return Clock(tempo, _shifts(beats), ANYWHERE)
    return Clock(tempo, sureness=LATENESS * tempo / 60)


def _shifts(beats: Sequence[float]) -> tuple[float, ...]:
    """Return where in the beat most notes start, from -1/2 to 1/2.

    >>> [round(shift, 2) for shift in _shifts([0.1, 0.6, 1.1, 2.1])]
    [0.08, -0.42]
    """
    counts = [0.0] * PLACES
    for beat in beats:
        place = round(beat % 1 * PLACES)
        for beside, weight in ((-1, 0.5), (0, 1.0), (1, 0.5)):
            counts[(place + beside) % PLACES] += weight
    peaks = [n for n in range(PLACES) if counts[n - 1] < counts[n] >= counts[(n + 1) % PLACES]]
    best = sorted(peaks, key=lambda n: -counts[n])[:MOST_SHIFTS]
    return tuple((n / PLACES + 0.5) % 1 - 0.5 for n in best) or (0.0,)


def _beats(notes: Sequence[tuple[float, float, int]], tempo: float, origin: float) -> list[float]:
    """Return the starts of notes in beats from an origin."""
    return [(note[0] - origin) * tempo / 60 for note in notes]


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
    """Return the likeliest tempo of starts in seconds: of many by a glance, of the best by more."""

    def price(row: tuple[float, float]) -> float:
        return row[1] + _unlikely(row[0], starts, progression)

    glance = 2 * TOGETHER
    glanced = [_fitted(starts, tempo, start, glance) for tempo in _tried(starts)]
    best = sorted(glanced, key=price)[:LEFT]
    compared = [_fitted(starts, tempo, start, COMPARED) for tempo, _ in best]
    found, _ = min(compared, key=price)
    if len(starts) > COMPARED:
        found, _ = _fitted(starts, found, start, len(starts))
    return round(found, 2)


def _tried(starts: Sequence[float]) -> list[float]:
    """Return the tempos at which most starts fall together, with their halves and doubles."""
    count = int(log(FASTEST / SLOWEST) / log(STEP)) + 1
    tempos = [SLOWEST * STEP**number for number in range(count)]
    quick = _apart(sorted(tempos, key=lambda tempo: -_together(starts, tempo)))[:TRIED]
    related = [tempo * ratio for ratio in (1.0, 0.5, 2.0) for tempo in quick]
    return _apart([tempo for tempo in related if SLOWEST <= tempo <= FASTEST])


def _apart(tempos: Sequence[float]) -> list[float]:
    """Return tempos without those that are near one before."""
    kept: list[float] = []
    for tempo in tempos:
        if all(abs(log(tempo / other)) > NEAR for other in kept):
            kept.append(tempo)
    return kept


def _together(starts: Sequence[float], tempo: float) -> float:
    """Return how well starts, a few at a time, fall together on parts of a beat."""
    groups = [starts[n : n + TOGETHER] for n in range(0, len(starts), TOGETHER)]
    found = []
    for parts, weight in ((1, 0.3), (2, 1.0), (3, 0.8), (4, 0.7)):
        turn = 2 * pi * tempo / 60 * parts
        found.append(weight * sum(_resultant([time * turn for time in one]) for one in groups))
    return (found[0] + max(found[1:])) / len(starts) - 0.04 * _unusual(tempo) ** 2


def _resultant(angles: Sequence[float]) -> float:
    """Return the length of the sum of directions."""
    return hypot(sum(map(cos, angles)), sum(map(sin, angles)))


def _unusual(tempo: float) -> float:
    """Return by how many spreads a tempo is beyond the usual ones."""
    slowest, fastest = USUAL
    return max(log(slowest / tempo), log(tempo / fastest), 0.0) / TEMPO_SPREAD


def _fitted(
    starts: Sequence[float], tempo: float, start: float | None, most: int
) -> tuple[float, float]:
    """Return a tempo set anew by the places that it leads to, and its cost on so many notes.

    It is set by a few notes first, then by twice as many: an error would add up over all.
    """
    origin, count = starts[0] if start is None else start, 2 * TOGETHER
    while True:
        heard = starts[: min(count, most)]
        beats = [(time - origin) * tempo / 60 for time in heard]
        found = search(beats, _clock(tempo, start, beats))
        cost = found.cost - len(heard) * log(tempo / 60)
        slope = _slope([place.sounds for place in found.places], heard)
        if slope is not None and SLOWEST / 2 < 60 / slope < FASTEST * 2:
            tempo = 60 / slope
        if count >= min(len(starts), most):
            return tempo, cost
        count *= 2


def _slope(beats: Sequence[float], seconds: Sequence[float]) -> float | None:
    """Return the seconds of a beat: the straight line through places and times."""
    middle, mean = sum(beats) / len(beats), sum(seconds[: len(beats)]) / len(beats)
    spread = sum((beat - middle) ** 2 for beat in beats)
    if spread < 1:
        return None
    return sum((b - middle) * (t - mean) for b, t in zip(beats, seconds, strict=False)) / spread


def _unlikely(tempo: float, starts: Sequence[float], progression: Progression) -> float:
    """Return what speaks against a tempo before the rhythm is heard."""
    beats = (starts[-1] - starts[0]) * tempo / 60
    whole = float(progression.beats)
    fills = OVERFULL * (beats > whole) + UNFILLED * (beats < whole / 2)
    return _unusual(tempo) ** 2 / 2 + fills


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
