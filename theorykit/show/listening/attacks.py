"""Attacks: when a note begins, and when a tone that is held is struck again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from theorykit.show.listening.spectra import STEP, Spectra

BEFORE, AFTER = 0.09, 0.06  # seconds around a change of pitch where its attack is looked for
OVER_FLOOR, UNDER_PEAK = 3.0, 24.0  # decibels: where a note that grows has begun
GAP = 15.0  # decibels of growth that follow a silence
SOFT = 12.0  # times the usual growth: weaker attacks are those of tones that speak slowly
LET_GO, HELD = 9.0, 8  # decibels by which a tone falls that is let go; steps that say its level
SLOWEST = 10  # steps that a tone may need to speak
PERIODS = 1.2  # over which a level is taken
SOFTER = 2.0  # decibels by which what follows an attack may be softer than what came before
LITTLE = 0.3  # of the growth of an attack: where none is
FLOOR = 4  # of the softest steps that are the floor
LIKE_OTHERS = 0.4  # of the attacks of new pitches: so strong a growth is an attack
# What speaks for a held tone that is struck again: each e-fold by which its growth is nearer to
# that of new pitches, and over the usual one, and each decibel of a dip before it. Fitted by
# logistic regression to takes of another synthesizer, in which one tone in eight was struck again.
NEARER, OVER_USUAL, DECIBEL, NEEDED = 1.7, 1.6, 0.5, 4.4
CLEAREST = 16.0  # times the usual growth that count
DEEPEST = 12.0  # decibels of a dip that count
DIP, STRONG = 6.0, 2.2  # with too few attacks to compare: decibels of a dip, times the usual growth
FEWEST = 3  # attacks to compare others with
APART = 0.07  # seconds from one attack of a tone to the next
SHORTEST = 0.045  # seconds; a shorter note is a slip


@dataclass(frozen=True)
class Attacks:
    """The spectra of a take, their usual growth, and how much they grow where notes begin."""

    spectra: Spectra
    usual: float
    strength: float

    @classmethod
    def of(cls, spectra: Spectra, changes: Sequence[float]) -> Attacks:
        """Return the attacks of a take whose pitch changes at some times."""
        growth = spectra.growth
        begun = [int(at / STEP) for at in changes]
        peaks = [growth[max(at - 12, 0) : at + 9].max(initial=0.0) for at in begun]
        strength = float(np.median(peaks)) if len(peaks) >= FEWEST else float("inf")
        return cls(spectra, float(np.median(growth)) + 1e-9, strength)

    def begun(
        self, pitch: float, before: float | None, at: float, earliest: float, latest: float
    ) -> float:
        """Return when a note began whose pitch is heard from a time on, after another pitch."""
        first = max(int(max(at - BEFORE, earliest) / STEP), 0)
        end = int(min(at + AFTER, latest) / STEP) + 1
        whole = self._level(pitch, None, first, end)
        if not len(whole):
            return at
        heard = min(max(int(at / STEP) - first, 0), len(whole) - 1)
        place, grown = risen(whole, heard)
        if before is not None and grown < GAP:
            place, _ = risen(self._level(pitch, before, first, end), heard)
            if self.strength < SOFT * self.usual:
                place = min(place, max(self._let_go(pitch, before, first, end), place - SLOWEST))
        return min((first + place) * STEP, self._burst(first, end))

    def _let_go(self, pitch: float, before: float, first: int, end: int) -> int:
        """Return the step, from the first on, at which the tone before is let go.

        A tone that speaks slowly after another begins when that one ends.
        """
        level = self._level(before, pitch, first, end)
        fallen = np.flatnonzero(level < level[:HELD].max(initial=-140.0) - LET_GO)
        return int(fallen[0]) if len(fallen) else end - first

    def _burst(self, first: int, end: int) -> float:
        """Return when the strongest growth between two steps began, infinity where it is no attack.

        A tone that ends with a click grows too, but what comes after is softer.
        """
        growth = self.spectra.growth[first:end]
        if not len(growth) or growth.max() < LIKE_OTHERS * self.strength:
            return float("inf")
        place = first + int(np.argmax(growth))
        before = self.spectra.loudness(max(place - 6, 0), max(place - 2, 1))
        if self.spectra.loudness(place + 2, place + 7) < before - SOFTER:
            return float("inf")
        return self._before(place, first * STEP)

    def _level(
        self, pitch: float, before: float | None, first: int, end: int
    ) -> NDArray[np.float64]:
        """Return the level of a pitch, over about a period of it, so that low ones do not beat."""
        level = self.spectra.partials(pitch, before, first, end)
        period = 2 ** ((69 - pitch) / 12) / 440
        steps = int(PERIODS * period / STEP) | 1
        if steps == 1 or not len(level):
            return level
        power = np.pad(10 ** (level / 10), steps // 2, mode="edge")
        return 10 * np.log10(np.convolve(power, np.ones(steps) / steps, mode="valid"))

    def is_quiet(self, at: float) -> bool:
        """Tell whether no note begins around a time."""
        place = int(at / STEP)
        near = self.spectra.growth[max(place - 12, 0) : place + 9]
        return bool(near.max(initial=0.0) < LITTLE * self.strength)

    def again(self, pitch: float, start: float, stop: float) -> list[float]:
        """Return when a held tone is struck again: strong growth and a dip of its level."""
        growth = self.spectra.growth
        first = int(start / STEP)
        level = self._level(pitch, None, first, int(stop / STEP) + 16)
        low, high = int((start + APART) / STEP), int((stop - SHORTEST) / STEP)
        found: list[float] = []
        for place in range(low, min(high, len(growth) - 1)):
            if growth[place] < growth[max(place - 6, 0) : place + 7].max():
                continue
            begun = found[-1] if found else start
            if place * STEP - begun >= APART and self._is_struck(
                growth[place], dip(level, place - first, int((begun - start) / STEP))
            ):
                found.append(self._before(place, begun))
        return found

    def _is_struck(self, growth: float, fallen: float) -> bool:
        """Tell whether a held tone is struck again, by its growth and the dip before it."""
        if not np.isfinite(self.strength):
            return bool(growth >= STRONG * self.usual and fallen >= DIP)
        ratios = np.log(np.clip([growth / self.strength, growth / self.usual], 1e-3, CLEAREST))
        dip_counts = DECIBEL * min(max(fallen, 0.0), DEEPEST)
        return bool(ratios @ (NEARER, OVER_USUAL) + dip_counts > NEEDED)

    def _before(self, place: int, begun: float) -> float:
        """Return when the growth began that is strongest in one place."""
        growth = self.spectra.growth
        least = LIKE_OTHERS * growth[place]
        while place * STEP > begun and growth[place - 1] >= least:
            place -= 1
        return place * STEP


def risen(level: NDArray[np.float64], heard: int) -> tuple[int, float]:
    """Return the step from which a level rises to its peak, and by how many decibels it does.

    The peak is sought where the tone is heard: before, what sounds is another one.

    >>> risen(np.array([-20.0, -60, -60, -60, -60, -50, -40, -30, -29, -30]), 6)
    (5, 31.0)
    """
    top = heard + int(np.argmax(level[heard:]))
    peak, floor = float(level[top]), float(np.sort(level[: top + 1])[:FLOOR].mean())
    least = max(floor + OVER_FLOOR, peak - UNDER_PEAK)
    while top and level[top - 1] > least:
        top -= 1
    return top, peak - floor


def dip(level: NDArray[np.float64], place: int, begun: int) -> float:
    """Return by how many decibels a level that has begun falls before a step and rises after.

    What sounded before the tone does not count: a slow attack is no dip.
    """
    first = begun + 2
    least = level[max(place - 10, first) : place + 4].min(initial=0.0)
    before = level[max(place - 28, first) : max(place - 6, first + 1)].max(initial=-140.0)
    after = level[place : place + 16].max(initial=-140.0)
    return float(min(before, after) - least)
