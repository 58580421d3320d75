"""Substitutes: the chords that may stand in the place of a dominant, and why."""

from theorykit.harmony.substitution.substitute_roots import held_notes, sensible_roots
from theorykit.harmony.substitution.substitute_search import Substitute, substitute, substitutes
from theorykit.harmony.substitution.substitute_table import NAMES, substitute_name

__all__ = [
    "NAMES",
    "Substitute",
    "held_notes",
    "sensible_roots",
    "substitute",
    "substitute_name",
    "substitutes",
]
