"""Cadences and dominants, found in a chart, and the job of every chord."""

from theorykit.tunes.cadences.chord_jobs import ROLES
from theorykit.tunes.cadences.found import Cadence, Dominant, cadences, dominants, key_regions
from theorykit.tunes.cadences.job_words import Function, functions

__all__ = [
    "ROLES",
    "Cadence",
    "Dominant",
    "Function",
    "cadences",
    "dominants",
    "functions",
    "key_regions",
]
