"""Written notes: a melody as it was played, set on the grid of a page by the rhythm search."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from theorykit.lines.taking.beat_rhythms import HALF, QUARTER, sounding_place
from theorykit.lines.taking.one_voice import Played, one_voice
from theorykit.lines.taking.rhythm_search import Clock, Found, Manner, Placed, fit_of, search

LEGATO = Fraction(3, 10)  # beats: a shorter gap before the next note is no rest
EXACT = 0.004  # beats: the errors of a machine
NOTICED = 0.02  # beats from which a note counts as moved


@dataclass(frozen=True, slots=True)
class Written:
    """A note as it stands on the page, where that sounds, and how far it was moved, in beats."""

    start: Fraction
    beats: Fraction
    midi: int
    moved: float
    sounds: float


@dataclass(frozen=True, slots=True)
class Quantised:
    """Notes on the grid; ``swung`` tells that swung eighths were read as eighths.

    ``late`` is by how many beats the whole take comes after the beat, ``second`` where in the beat
    its second eighth comes. ``dropped`` counts notes that sounded under another. ``fit`` is how
    much better than chance the grid suits the notes, in nats for each.
    """

    notes: tuple[Written, ...]
    swung: bool
    late: float
    second: float
    dropped: int
    fit: float

    @property
    def moved(self) -> tuple[Written, ...]:
        """The notes that were moved by more than is worth ignoring."""
        return tuple(note for note in self.notes if abs(note.moved) > NOTICED)


def quantised(played: Sequence[Played], *, tempo: float | None = None) -> Quantised:
    """Return one melody on the grid: of notes that start together the highest.

    Each beat takes the rhythm that suits its notes best, a rare one only where it fits much better.
    Where the second of two eighths comes late, as swing has it, eighths are written. With a tempo,
    in beats a minute, sixteenths are rarer where they would be very fast.

    >>> found = quantised([Played(0.02, 0.5, 60), Played(0.49, 1, 62), Played(1.31, 1.7, 64)])
    >>> [(str(n.start), str(n.beats)) for n in found.notes]
    [('0', '1/2'), ('1/2', '1/2'), ('4/3', '1/3')]
    """
    voice = one_voice(played)
    found = search([note.start for note in voice], Clock(tempo))
    return on_the_grid(voice, found, len(played) - len(voice))


def on_the_grid(voice: Sequence[Played], found: Found, dropped: int = 0) -> Quantised:
    """Return notes in order at the places that were found for them, with their lengths."""
    kept = _highest(voice, found.places)
    grids = {floor(place.start): place.grid for place in found.places}
    rest = QUARTER if _is_exact(voice, found) else HALF
    following = [place.start for place, _ in kept[1:]]
    notes = tuple(
        _written(note, place, after, (grids, rest), found.manner)
        for (place, note), after in zip(kept, [*following, None], strict=True)
    )
    manner = found.manner
    under = dropped + len(voice) - len(kept)
    return Quantised(notes, _is_swung(found), manner.late, manner.second, under, fit_of(found))


def _is_exact(voice: Sequence[Played], found: Found) -> bool:
    """Tell whether a machine played: then its ends are as exact as its starts."""
    late = found.manner.late
    return all(
        min(abs(note.start - place.sounds - off) for off in (0.0, late)) < EXACT
        for note, place in zip(voice, found.places, strict=True)
    )


def _is_swung(found: Found) -> bool:
    """Tell whether eighths are swung: a single late note may be anything."""
    seconds = sum(place.grid == HALF and place.start % 1 == HALF for place in found.places)
    return found.manner.swung and seconds > 0


def _highest(voice: Sequence[Played], places: Sequence[Placed]) -> list[tuple[Placed, Played]]:
    """Return one note for each place, the highest."""
    found: dict[Fraction, tuple[Placed, Played]] = {}
    for place, note in zip(places, voice, strict=True):
        if place.start not in found or note.midi > found[place.start][1].midi:
            found[place.start] = (place, note)
    return [found[start] for start in sorted(found)]


def _written(
    note: Played,
    place: Placed,
    following: Fraction | None,
    grids: tuple[dict[int, Fraction], Fraction],
    manner: Manner,
) -> Written:
    """Return a note with its length: to the next note if that is near, else to the grid.

    ``grids`` are those of the beats in which notes start, and the one of other beats.
    """
    sounding = note.end - manner.late
    beat = floor(sounding)
    grid = grids[0].get(beat, grids[1])
    places = [grid * number for number in range(int(1 / grid) + 1)]
    end = beat + min(
        places, key=lambda p: abs(sounding_place(grid, p, manner.second) + beat - sounding)
    )
    end = max(end, place.start + place.grid)
    if following is not None and (end > following or 0 < following - end < LEGATO):
        end = following
    sounds = place.sounds if manner.swung else float(place.start)
    return Written(place.start, end - place.start, note.midi, sounds - note.start, sounds)
