"""A ii-V-I with a substitute in the place of its V."""

from __future__ import annotations

from theorykit.harmony.substitutes import substitute
from theorykit.notes.key import Key
from theorykit.tunes.progression import Bar, Progression, cadence_chords

__all__ = ["with_substitute"]

MOST_IN_A_BAR = 2


def with_substitute(key: Key | str, name: str) -> Progression:
    """Return the long ii-V-I of a key, a substitute in the place of its V.

    One chord or two take the bar of V; four take the bars of ii and V, two to a bar. ``name`` is a
    name of the table of substitutes.

    >>> str(with_substitute("C", "tritone substitute"))
    'Dm7 | Db7 | Cmaj7'
    >>> str(with_substitute("C minor", "backdoor dominant"))
    'Dm7b5 | Fm7 Bb7 | Cm6'
    >>> str(with_substitute("C", "side step"))
    'Ebm7 Ab7 | Dm7 G7 | Cmaj7'
    """
    home = key if isinstance(key, Key) else Key.parse(key)
    ii, v, i = cadence_chords(home)
    chords = substitute(name, v, i).chords
    if len(chords) <= MOST_IN_A_BAR:
        bars = [(ii,), chords]
    else:
        bars = [chords[at : at + MOST_IN_A_BAR] for at in range(0, len(chords), MOST_IN_A_BAR)]
    return Progression(home, tuple(Bar.even(*bar) for bar in (*bars, (i,))))
