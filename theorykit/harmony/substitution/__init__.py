"""Substitutes: the chords that may stand in the place of a dominant, and why."""

from theorykit.harmony.substitution.substitute_table import NAMES
from theorykit.harmony.substitution.substitutes import Substitute, substitute, substitutes

__all__ = ["NAMES", "Substitute", "substitute", "substitutes"]
