"""Counts of what improvisers played, as evidence beside the theory."""

from theorykit.harmony.counts.played_degrees import Evidence, evidence, going_of
from theorykit.harmony.counts.rhythm_counts import RHYTHM_COUNTS, SHARES, RhythmCounts
from theorykit.harmony.counts.solo_counts import LICENCE, SOLOS, SOURCE
from theorykit.harmony.counts.tallies import Tally, tally

__all__ = [
    "LICENCE",
    "RHYTHM_COUNTS",
    "SHARES",
    "SOLOS",
    "SOURCE",
    "Evidence",
    "RhythmCounts",
    "Tally",
    "evidence",
    "going_of",
    "tally",
]
