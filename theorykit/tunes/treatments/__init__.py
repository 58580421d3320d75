"""Treatments: colours, splits and substitutes laid over a chart."""

from theorykit.tunes.treatments.choice import Choice
from theorykit.tunes.treatments.palette import LEVELS
from theorykit.tunes.treatments.treatment import Treatment

__all__ = ["LEVELS", "Choice", "Treatment"]
