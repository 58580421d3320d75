"""What is known for a short ii-V fits the second bar of a long one, unchanged."""

from __future__ import annotations

from dataclasses import replace

from theorykit.errors import TheoryError, shown
from theorykit.lines.line import Line
from theorykit.tunes.progression import two_five_one

__all__ = ["in_second_bar"]

LONGER = ("long", "split")


def in_second_bar(line: Line, form: str = "long") -> Line:
    """Return a line over a short ii-V-I one bar later, over a longer form: not a note is changed.

    The bar of V is heard as a short ii-V (common practice). ``form`` is ``"long"`` or ``"split"``.

    >>> short = two_five_one("C", "short")
    >>> line = Line.parse("8th D4 F4 A4 C5 B4 Ab4 F4 D4 | whole E4", short)
    >>> moved = in_second_bar(line)
    >>> moved.text, str(moved.progression)
    ('whole rest | 8th D4 F4 A4 C5 B4 Ab4 F4 D4 | whole E4', 'Dm7 | G7 | Cmaj7')
    """
    if form not in LONGER:
        raise TheoryError(f"no second bar in the form {shown(form)} (want {' or '.join(LONGER)})")
    key = line.progression.key
    if line.progression != two_five_one(key, "short"):
        raise TheoryError(
            f"not a line over a short ii-V-I: {str(line.progression)!r} "
            f"(want {str(two_five_one(key, 'short'))!r} under it)"
        )
    over = two_five_one(key, form)
    later = over.bars[0].beats
    notes = tuple(replace(note, start=note.start + later) for note in line.notes)
    return Line(over, notes)
