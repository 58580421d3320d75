"""The demonstration phrase: one ii-V-I, once with the plain V and once with its colour.

Guide tones over the ii, the notes over V as eighths in the last two beats of its bar, the last of
them moving by the smallest step to a chord tone of I. The order of the eighths is found by search:
every walk of four notes through the octave around the guide tone is weighed by the costs below.
"""

from __future__ import annotations

from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour, colour
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, written_above
from theorykit.notes.key import Key
from theorykit.notes.note import Note, Pitch
from theorykit.tunes.progression import PlacedChord, Progression, two_five_one

__all__ = ["demonstration"]

EIGHTHS = 4
HALF_BAR = Fraction(2)
LOWEST_SEVENTH = 68  # MIDI: the 7th of ii lies in the octave that begins at A flat 4
WINDOW_BELOW, WINDOW_ABOVE = 12, 4  # half steps around the note before the eighths
WIDEST_LEAP = 9

# What a walk costs: each term counts something a player would rather avoid.
COSTS = {
    "leap": 2,  # for each half step beyond a major third between two notes
    "rise": 2,  # for each move upwards: a line over V falls by preference
    "missing": 12,  # for each tension of the colour that does not sound
    "repeated": 5,  # for each degree that comes twice
    "doubled tension": 2,  # and more, if that degree is a tension
    "held start": 8,  # for an eighth that repeats the note before
    "wide start": 1,  # for each half step between the note before and the first eighth
    "landing": 4,  # for each half step of the step into I beyond the first
    "weak landing": 3,  # for a landing on the 1 or on the 7 instead of the 3, 5 or 6
}
SEVENTH = Degree(7)  # over V it is the 11 of the tritone substitute, and moves by a half step


def demonstration(
    key: Key | str,
    form: str = "long",
    over_v: Colour | str | None = None,
    *,
    names: dict[int, Note] | None = None,
) -> Line:
    """Return the phrase over a ii-V-I; ``over_v`` is the colour of V, None for the plain chord.

    ``names`` maps pitch classes to the names wanted over V; without it they are spelled by degree.

    >>> line = demonstration("C", "long", "b9 13")
    >>> [str(note.pitch) for note in line.notes]
    ['F5', 'C5', 'B4', 'B4', 'Ab4', 'E4', 'Ab4', 'G4']
    """
    if names is not None and not isinstance(names, dict):
        raise TheoryError(f"not names: {shown(names)} (want a dict such as {{8: Note('A', -1)}})")
    progression = two_five_one(key, form)
    chords = progression.chords
    over = next(placed for placed in chords if placed.chord.kind.is_dominant)
    before = _guide_tones(progression, over)
    wanted = None if over_v is None else colour(over_v)
    eighths, landing = walk(over.chord, chords[-1].chord, wanted, before[-1].pitch.midi, names)
    start = over.end - HALF_BAR
    notes = [
        TimedNote(pitch, start + Fraction(place, 2), Fraction(1, 2))
        for place, pitch in enumerate(eighths)
    ]
    last = TimedNote(landing, chords[-1].start, chords[-1].beats)
    return Line(progression, (*before, *notes, last))


def _guide_tones(progression: Progression, over: PlacedChord) -> tuple[TimedNote, ...]:
    """Return the 3rd and 7th of ii, and the 3rd of V while there is time before the eighths."""
    first = progression.chords[0]
    third, seventh = (_member(first.chord, number) for number in (3, 7))
    low = Pitch.at_or_above(seventh, LOWEST_SEVENTH)
    high = Pitch.at_or_above(third, low.midi)
    half = first.beats / 2
    notes = [TimedNote(high, first.start, half), TimedNote(low, first.start + half, half)]
    free = over.end - HALF_BAR - first.end
    if free > 0:
        within = progression.chord_at(first.end).chord
        is_v = within == over.chord
        held = _member(over.chord, 3) if is_v else seventh
        pitch = Pitch.at_or_above(held, low.midi - 2) if is_v else low
        notes.append(TimedNote(pitch, first.end, free))
    return tuple(notes)


def _member(chord: Chord, number: int) -> Note:
    """Return the third or the seventh of a chord, whatever its alteration."""
    return above(chord.root, next(d for d in chord.degrees if d.number == number))


def walk(
    chord: Chord,
    target: Chord,
    over_v: Colour | None,
    before: int,
    names: dict[int, Note] | None = None,
) -> tuple[tuple[Pitch, ...], Pitch]:
    """Return four notes over V and the note of I that they fall to, the cheapest of all walks.

    ``before`` is the MIDI number of the note that is left; ``names`` as in ``demonstration``.
    """
    found = chord.degrees if over_v is None else over_v.degrees
    tensions = () if over_v is None else over_v.tensions
    goals = {above(target.root, degree).semitone: degree for degree in target.degrees}
    search = _Search(_pool(chord, found, before), tensions[:EIGHTHS], before, goals)
    midis = search.best()
    spelled = {n.semitone: n for n in (written_above(chord.root, degree) for degree in found)}
    spelled |= {s: note for s, note in (names or {}).items() if s in spelled}
    lands, _ = _landing(midis[-1], goals)
    pitches = tuple(Pitch.numbered(spelled[midi % 12], midi) for midi in midis)
    return pitches, Pitch.numbered(above(target.root, goals[lands % 12]), lands)


def _pool(chord: Chord, found: tuple[Degree, ...], before: int) -> dict[int, Degree]:
    """Return what may sound, by MIDI number: each degree in the window around the note before."""
    root = chord.root.semitone
    by_class = {(root + degree.semitone) % 12: degree for degree in found}
    reach = range(before - WINDOW_BELOW, before + WINDOW_ABOVE + 1)
    return {midi: by_class[midi % 12] for midi in reach if midi % 12 in by_class}


def _landing(midi: int, goals: dict[int, Degree]) -> tuple[int, int]:
    """Return the nearest note of I that is a step away, falling where two are as near."""
    for far in range(1, 12):
        for landing in (midi - far, midi + far):
            if landing % 12 in goals:
                return landing, far
    return midi, 0


class _Search:
    """All walks of four notes, cut off where they already cost more than the best one found."""

    def __init__(
        self,
        pool: dict[int, Degree],
        tensions: tuple[Degree, ...],
        before: int,
        goals: dict[int, Degree],
    ) -> None:
        self.pool = pool
        self.tensions = tensions
        self.before = before
        self.ends = {midi: _landing_cost(midi, goals) for midi in pool}
        self.nearest = {
            last: sorted(pool, key=lambda midi: (abs(midi - last), midi))
            for last in (*pool, before)
        }
        self.cheapest = 10**6
        self.walk: tuple[int, ...] = ()

    def best(self) -> tuple[int, ...]:
        """Return the MIDI numbers of the cheapest walk."""
        self.go_on((), 0)
        return self.walk

    def go_on(self, steps: tuple[int, ...], cost: int) -> None:
        """Try every next note, the nearest first, so that a cheap walk is found early."""
        last = steps[-1] if steps else self.before
        for midi in self.nearest[last]:
            if steps and not 0 < abs(midi - last) <= self.reach(last):
                continue
            dearer = cost + (_step_cost(last, midi) if steps else _start_cost(last, midi))
            if dearer + self.owed((*steps, midi)) >= self.cheapest:
                continue
            if len(steps) < EIGHTHS - 1:
                self.go_on((*steps, midi), dearer)
            else:
                self.keep((*steps, midi), dearer + self.ends[midi])

    def owed(self, steps: tuple[int, ...]) -> int:
        """Return what a walk costs at least for the tensions that no note is left to sound."""
        sounding = {self.pool[midi] for midi in steps}
        missing = sum(degree not in sounding for degree in self.tensions)
        return COSTS["missing"] * max(0, missing - EIGHTHS + len(steps))

    def reach(self, midi: int) -> int:
        """Return how far a note may move on in half steps."""
        return 1 if self.pool[midi] == SEVENTH else WIDEST_LEAP

    def keep(self, steps: tuple[int, ...], cost: int) -> None:
        """Remember a whole walk if it is the cheapest so far."""
        degrees = [self.pool[midi] for midi in steps]
        cost += COSTS["missing"] * sum(degree not in degrees for degree in self.tensions)
        for degree in set(degrees):
            if degrees.count(degree) > 1:
                cost += COSTS["repeated"] + COSTS["doubled tension"] * (degree in self.tensions)
        if cost < self.cheapest:
            self.cheapest, self.walk = cost, steps


def _start_cost(before: int, midi: int) -> int:
    """Weigh the way from the note before to the first eighth."""
    return COSTS["held start"] if midi == before else COSTS["wide start"] * abs(midi - before)


def _step_cost(last: int, midi: int) -> int:
    """Weigh one move of the walk."""
    return COSTS["leap"] * max(0, abs(midi - last) - 4) + COSTS["rise"] * (midi > last)


def _landing_cost(midi: int, goals: dict[int, Degree]) -> int:
    """Weigh the step into I."""
    landing, far = _landing(midi, goals)
    weak = goals[landing % 12] in (Degree(1), SEVENTH)
    return COSTS["landing"] * (far - 1) + COSTS["weak landing"] * weak
