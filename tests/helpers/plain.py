"""What tests compare: values as their plain text."""

from collections.abc import Iterable


def names(values: Iterable[object]) -> str:
    """Notes, degrees or chords as one text with spaces between."""
    return " ".join(map(str, values))
