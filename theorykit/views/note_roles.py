"""The role of a note: a tone of the chord, a tone of the colour, one that rubs, one that lands.

Every picture and staff that tells notes apart asks here, so that a note is the same in all of them.
"""

from __future__ import annotations

from collections.abc import Collection

from theorykit.harmony.tensions import stands_for_third, why_it_rubs
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree

__all__ = ["LANDING", "MARKS", "ROLES", "mark_of", "role_over"]

LANDING = "landing"
ROLES = ("chord", "colour", "outside", LANDING)
# What a note on a staff is marked with: nothing for a tone of the chord, whose note is a plain one.
MARKS = ("", *ROLES[1:])


def role_over(
    chord: Chord, degree: Degree, target: Chord | None = None, wanted: Collection[Degree] = ()
) -> str:
    """Return the role of a degree over a chord: ``"chord"``, ``"colour"`` or ``"outside"``.

    ``target`` is the chord that follows, where it is known: against a minor tonic the natural 13
    rubs. ``wanted`` are the degrees of the colour: an 11 that stands for the 3rd does not rub.

    >>> from theorykit.notes.degree import degrees
    >>> g7 = Chord.parse("G7")
    >>> [role_over(g7, degree) for degree in degrees("3 b9 11 7")]
    ['chord', 'colour', 'outside', 'outside']
    >>> role_over(g7, Degree(11), wanted=degrees("b7 9 11"))
    'colour'
    >>> role_over(g7, Degree(13), Chord.parse("Cm6"))
    'outside'
    """
    if any(degree.semitone == one.semitone for one in chord.degrees):
        return "chord"
    if stands_for_third(degree, wanted):
        return "colour"
    return "outside" if why_it_rubs(chord, degree.semitone, target) else "colour"


def mark_of(role: str) -> str:
    """Return the mark of a note on a staff by its role: a tone of the chord has none.

    >>> mark_of("chord"), mark_of("outside")
    ('', 'outside')
    """
    return "" if role == ROLES[0] else role
