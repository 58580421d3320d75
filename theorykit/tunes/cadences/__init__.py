"""Cadences and dominants, found in a chart."""

from theorykit.tunes.cadences.found import Cadence, Dominant, cadences, dominants, key_regions

__all__ = ["Cadence", "Dominant", "cadences", "dominants", "key_regions"]
