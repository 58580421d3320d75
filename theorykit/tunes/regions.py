"""The keys of a tune as regions: a best path through the tune as a whole, not bar by bar."""

from __future__ import annotations

from collections.abc import Sequence

from theorykit.tunes.families import DOMINANT, MINOR, MINOR_7
from theorykit.tunes.fit import STATES, fits
from theorykit.tunes.moves import Moves
from theorykit.tunes.spans import Span

__all__ = ["key_path"]

# Weights of the path, in beats of a chord that fits. Ours, settled on tunes that we can sing.
LEAVING = 4.5  # what a change of key costs
HOME = 0.2  # for each beat in the home key
LANDED = 0.5  # for each beat of a cadence that lands in the key
POINTED = 0.2  # for each beat of a ii-V that only points there
ARRIVAL = 2.0  # for the landing itself, with a ii; without one, half
LONGEST = 8.0  # beats of one chord that count


def key_path(
    spans: Sequence[Span], moves: Moves, home: int, rests: frozenset[int] = frozenset()
) -> list[int]:
    """Return for each span the number of the key (see ``fit``) that the best path gives it.

    ``home`` is the number of the home key, ``rests`` the roots whose dominants are at rest in it.
    """
    if not spans:
        return []
    tonic = home % 12  # the work is done as if the tonic were C: so no key is preferred in a tie
    path = _path_from_c(spans, moves, tonic, home - tonic, rests)
    return [(state + tonic) % 12 + state // 12 * 12 for state in path]


def _path_from_c(
    spans: Sequence[Span], moves: Moves, tonic: int, home: int, rests: frozenset[int]
) -> list[int]:
    """Return the best path, the keys counted from the tonic; home is then 0 or 12."""
    gains = _gains(spans, moves, tonic, home, rests)
    scores = [gain - LEAVING * (state != home) for state, gain in enumerate(gains[0])]
    steps: list[bytes] = []  # small, for a tune of thousands of bars
    for gain in gains[1:]:
        top = max(scores)
        best, leap = scores.index(top), top - LEAVING
        steps.append(bytes([n if score >= leap else best for n, score in enumerate(scores)]))
        scores = [
            (score if score >= leap else leap) + more
            for score, more in zip(scores, gain, strict=True)
        ]
    return _traced(scores, steps)


def _traced(scores: list[float], steps: list[bytes]) -> list[int]:
    """Walk the best path back from its end."""
    path = [max(range(STATES), key=scores.__getitem__)]
    for origins in reversed(steps):
        path.append(origins[path[-1]])
    return path[::-1]


def _gains(
    spans: Sequence[Span], moves: Moves, tonic: int, home: int, rests: frozenset[int]
) -> list[list[float]]:
    """Return what each span gains in each key."""
    gains = []
    for span in spans:
        beats = min(span.beats, LONGEST)
        gain = [beats * weight for weight in fits((span.root - tonic) % 12, span.family)]
        gain[home] += HOME * beats
        if span.family == DOMINANT and span.root in rests:
            gain[home] = beats
        gains.append(gain)
    for v, landing in enumerate(moves.landing):
        ii = moves.ii[v]
        if landing is not None:
            state = _state_of_target(spans[landing.span], tonic)
            _reward(gains, spans, (ii, v, landing.span), state, LANDED if ii >= 0 else LANDED / 2)
            gains[landing.span][state] += ARRIVAL if ii >= 0 else ARRIVAL / 2
        elif ii >= 0:
            root = (spans[v].root + 5 - tonic) % 12
            for state in (root, root + 12):
                _reward(gains, spans, (ii, v), state, POINTED)
    return gains


def _reward(
    gains: list[list[float]],
    spans: Sequence[Span],
    places: tuple[int, ...],
    state: int,
    each: float,
) -> None:
    """Let the chords of a cadence speak for its key."""
    for place in places:
        if place >= 0:
            gains[place][state] += each * min(spans[place].beats, LONGEST)


def _state_of_target(target: Span, tonic: int) -> int:
    """Return the key in which a landing chord is I, counted from the tonic."""
    return (target.root - tonic) % 12 + 12 * (target.family in (MINOR, MINOR_7))
