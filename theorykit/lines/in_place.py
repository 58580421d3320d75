"""What is heard of a substitute: the plain bars, then its chords over the old bass and their own.

One thing changes at a time. The plain bars and the first try share their bass; the two tries share
their line and their piano.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from theorykit.lines.accompaniment import performance
from theorykit.lines.line import Line
from theorykit.lines.parts import Performance
from theorykit.lines.spelled_out import spelled_out
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import Key
from theorykit.tunes.progression import Bar, Progression, cadence_chords, two_five_one
from theorykit.tunes.substituted import MOST_IN_A_BAR, with_substitute

__all__ = ["InPlace", "Version", "in_place"]

FIGURE = "half notes"  # of the piano: every chord is held, also where two share a bar


@dataclass(frozen=True, slots=True)
class Version:
    """One way to hear it: a name, the chords as they are written, the line, the bass's chords.

    ``chords`` names a foreign bass behind a stroke; the line is spelled over the same chords
    without it.
    """

    name: str
    chords: Progression
    line: Line
    bass: Progression

    def performance(self, **wishes: Any) -> Performance:
        """Return it ready to be played; the wishes are those of ``accompaniment.performance``.

        The piano holds each chord and adds no note to it, so that what is heard is what is
        explained. The bass goes in two.

        >>> played = in_place("C", "tritone substitute").over_bass.performance(tempo=120)
        >>> [part.name for part in played.parts], str(played.beats)
        (['line', 'piano', 'bass', 'drums'], '16')
        """
        wanted = {"feel": "two", "figure": FIGURE, **wishes}
        over = self.line.progression
        above = performance(self.line, over, colours=_own(over), **wanted)
        below = performance(None, self.bass, colours=_own(self.bass), **wanted)
        bass = next(part for part in below.parts if part.name == "bass")
        parts = tuple(bass if part.name == "bass" else part for part in above.parts)
        return replace(above, parts=parts)


def _own(progression: Progression) -> dict[int, tuple[Degree, ...]]:
    """Return for each chord its own degrees as what is played over it."""
    return {place: placed.chord.degrees for place, placed in enumerate(progression.chords)}


@dataclass(frozen=True, slots=True)
class InPlace:
    """The three versions of a substitute, all of one length.

    ``first`` and ``end`` are the places of the substitute's chords among the chords of its
    versions, ``end`` excluded.
    """

    original: Version
    over_bass: Version
    own_bass: Version
    first: int
    end: int

    @property
    def versions(self) -> tuple[Version, Version, Version]:
        """The three in the order in which they are compared."""
        return self.original, self.over_bass, self.own_bass


def in_place(key: Key | str, name: str) -> InPlace:
    """Return what is heard of a substitute in a key; ``name`` is one of the table of substitutes.

    One chord or two stand in the V bar of a long ii-V-I; four stand in two bars of V.

    >>> for version in in_place("C", "tritone substitute").versions:
    ...     print(f"{version.name}: {version.chords}")
    original: Dm7 | G7 | Cmaj7
    substitute over the original bass: Dm7 | Db7/G | Cmaj7
    substitute over its own bass: Dm7 | Db7 | Cmaj7
    >>> [str(one.chords) for one in in_place("C", "side step").versions][:2]
    ['G7 | G7 | Cmaj7', 'Ebm7/G Ab7/G | Dm7/G G7 | Cmaj7']
    """
    return _in_place(key if isinstance(key, Key) else Key.parse(key), name)


@lru_cache(maxsize=64)
def _in_place(home: Key, name: str) -> InPlace:
    """Return the versions, worked out once while a reader listens."""
    own = with_substitute(home, name)
    end = len(own.chords) - 1
    first = 1 if end - 1 <= MOST_IN_A_BAR else 0
    plain = two_five_one(home) if first else _long_dominant(home)
    line = spelled_out(own, first)
    over = _with_bass(own, first, cadence_chords(home)[1])
    return InPlace(
        Version("original", plain, spelled_out(plain, first), plain),
        Version("substitute over the original bass", over, line, plain),
        Version("substitute over its own bass", own, line, own),
        first,
        end,
    )


def _long_dominant(home: Key) -> Progression:
    """Return two bars of V, then I."""
    _, v, i = cadence_chords(home)
    return Progression(home, (Bar.even(v), Bar.even(v), Bar.even(i)))


def _with_bass(own: Progression, first: int, dominant: Chord) -> Progression:
    """Return the chords that stand in for V with its root in the bass."""
    bars, place = [], 0
    for bar in own.bars[:-1]:
        places = range(place, place + len(bar.chords))
        chords = (
            replace(chord, bass=dominant.root) if at >= first else chord
            for at, chord in zip(places, bar.chords, strict=True)
        )
        bars.append(replace(bar, chords=tuple(chords)))
        place += len(bar.chords)
    return Progression(own.key, (*bars, own.bars[-1]))
