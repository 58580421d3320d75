"""A progression: bars of chords with their beats, in a key."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import islice
from math import lcm
from operator import attrgetter
from typing import TYPE_CHECKING, SupportsIndex, overload

from theorykit.errors import TheoryError, expect, expect_all, shown
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, plain_root
from theorykit.notes.key import Key
from theorykit.notes.kinds import ChordKind
from theorykit.notes.reader import Reader, reader
from theorykit.notes.values import Value
from theorykit.tunes.moved_chords import moved_chords

__all__ = ["FORMS", "Bar", "PlacedChord", "Progression", "two_five_one"]

BEATS = Fraction(4)  # of a bar in the forms below
PLAIN_PULSE, DOTTED_PULSE = Fraction(1), Fraction(3, 2)  # the beat of 4/4, and that of 6/8


@dataclass(frozen=True, slots=True, repr=False)
class PlacedChord(Value):
    """A chord where it stands: start and length in beats, the first beat of all being 0."""

    chord: Chord
    start: Fraction
    beats: Fraction
    bar: int

    @property
    def end(self) -> Fraction:
        """The beat on which the chord ends."""
        return self.start + self.beats

    def __str__(self) -> str:
        return f"{self.chord} at {self.start} for {self.beats}"


@dataclass(frozen=True, slots=True, repr=False)
class Bar(Value):
    """One bar: its chords, and the quarters that each lasts.

    ``pulse`` is the beat that is counted, in quarters: one and a half in 6/8 and 12/8.

    >>> str(Bar.even("Dm7", "G7")), str(Bar.of(("Dm7", 3), ("G7", 1)))
    ('Dm7 G7', 'Dm7 / / G7')
    """

    chords: tuple[Chord, ...]
    lengths: tuple[Fraction, ...]
    pulse: Fraction = PLAIN_PULSE

    if TYPE_CHECKING:  # what is taken; the fields say what is kept

        def __init__(
            self,
            chords: Iterable[Chord],
            lengths: Iterable[Fraction],
            pulse: Fraction = PLAIN_PULSE,
        ) -> None: ...

    def __post_init__(self) -> None:
        """Refuse an empty bar and lengths that are none; a list becomes a tuple."""
        for name, kind in (("chords", Chord), ("lengths", Fraction)):
            value = getattr(self, name)
            if type(value) is not tuple:  # bars are made by the thousand
                found = expect_all(value, kind, name, "those of a bar, or use Bar.of")
                object.__setattr__(self, name, found)
        if not self.chords or len(self.chords) != len(self.lengths) or min(self.lengths) <= 0:
            raise TheoryError(
                f"not a bar: {len(self.chords)} chords with lengths {shown(self.lengths)} "
                "(want at least one chord and a length above 0 for each)"
            )
        if self.pulse not in (PLAIN_PULSE, DOTTED_PULSE):
            raise TheoryError(f"not a beat: {shown(self.pulse)} (want 1 or 3/2 quarters)")

    @classmethod
    def of(cls, *timed: tuple[Chord | str, int | Fraction]) -> Bar:
        """Return a bar of chords with their lengths in beats."""
        chords = tuple(Chord.parse(c) if isinstance(c, str) else c for c, _ in timed)
        return cls(chords, tuple(Fraction(beats) for _, beats in timed))

    @classmethod
    def even(cls, *chords: Chord | str, beats: int | Fraction = BEATS) -> Bar:
        """Return a bar that its chords share evenly."""
        return cls.of(*((chord, Fraction(beats) / len(chords)) for chord in chords))

    @property
    def beats(self) -> Fraction:
        """The length of the bar in beats."""
        return sum(self.lengths, Fraction(0))

    def __str__(self) -> str:
        names = [str(chord) for chord in self.chords]
        if len(set(self.lengths)) == 1:
            return " ".join(names)
        unit = Fraction(1, lcm(*(length.denominator for length in self.lengths)))
        slashes = (" /" * int(length / unit - 1) for length in self.lengths)
        return " ".join(name + marks for name, marks in zip(names, slashes, strict=True))


def moved_bars(bars: Sequence[Bar], old: Key, new: Key) -> tuple[Bar, ...]:
    """Return bars in another key of the same mode, spelled for that key.

    >>> bars = Bar.even("Bbmaj7"), Bar.even("F#m7", "B7"), Bar.even("Bbmaj7")
    >>> [str(bar) for bar in moved_bars(bars, Key.parse("Bb"), Key.parse("C"))]
    ['Cmaj7', 'Abm7 Db7', 'Cmaj7']
    """
    moved = iter(moved_chords([chord for bar in bars for chord in bar.chords], old, new))
    return tuple(replace(bar, chords=tuple(islice(moved, len(bar.chords)))) for bar in bars)


@dataclass(frozen=True, slots=True, repr=False)
class Progression(Value):
    """Bars of chords in a key.

    ``chords`` are all of them in order, with start and length in beats and their bar, from 0. It is
    iterated and indexed by its bars.

    >>> from theorykit.tunes.progression import Bar
    >>> str(Progression(Key.parse("F"), (Bar.even("Gm7", "C7"), Bar.even("Fmaj7"))))
    'Gm7 C7 | Fmaj7'
    >>> [str(bar) for bar in two_five_one("F", "short")], len(two_five_one("F"))
    (['Gm7 C7', 'Fmaj7'], 3)
    """

    key: Key
    bars: tuple[Bar, ...]
    chords: tuple[PlacedChord, ...] = field(init=False, compare=False, repr=False)

    if TYPE_CHECKING:  # what is taken; the fields say what is kept

        def __init__(self, key: Key, bars: Iterable[Bar]) -> None: ...

    def __post_init__(self) -> None:
        """Refuse a progression without a bar, and place the chords once."""
        expect(self.key, Key, "a key", "a Key such as Key.parse('Eb')")
        bars = expect_all(self.bars, Bar, "bars", "Bars such as Bar.even('Dm7', 'G7')")
        object.__setattr__(self, "bars", bars)
        if not self.bars:
            raise TheoryError("a progression without a bar (want at least one)")
        object.__setattr__(self, "chords", tuple(_placed(self.bars)))

    @property
    def beats(self) -> Fraction:
        """The whole length in beats.

        >>> print(two_five_one("Db").beats, two_five_one("Db", "short").beats)
        12 8
        """
        return sum((bar.beats for bar in self.bars), Fraction(0))

    @property
    def bar_starts(self) -> tuple[Fraction, ...]:
        """The beat on which each bar begins, and at the end the beat after the last bar.

        >>> [int(beat) for beat in two_five_one("Bb minor", "split").bar_starts]
        [0, 4, 8, 12]
        """
        starts = [Fraction(0)]
        for bar in self.bars:
            starts.append(starts[-1] + bar.beats)
        return tuple(starts)

    def chord_at(self, beat: Fraction) -> PlacedChord:
        """Return the chord that sounds at a beat; before the first and after the last, those.

        >>> over = two_five_one("F#", "short")
        >>> [str(over.chord_at(beat).chord) for beat in (0, 2.5, 4)]
        ['G#m7', 'C#7', 'F#maj7']
        """
        if not isinstance(beat, (int, float, Fraction)):
            raise TheoryError(f"not a beat: {shown(beat)} (want a number of beats from 0)")
        begun = bisect_right(self.chords, beat, key=attrgetter("start"))
        return self.chords[max(0, begun - 1)]

    def transposed(self, key: Key | str) -> Progression:
        """Return the progression in another key of the same mode, spelled for that key.

        >>> str(two_five_one("C", "split").transposed("Gb"))
        'Abm7 | Abm7 Db7 | Gbmaj7'
        """
        new = key if isinstance(key, Key) else Key.parse(key)
        if new.mode != self.key.mode:
            raise TheoryError(f"cannot move {self.key} to {new} (want a {self.key.mode} key)")
        return Progression(new, moved_bars(self.bars, self.key, new))

    def written_for(self, who: Reader | str) -> Progression:
        """Return the progression on the page of a reader, such as ``"B flat"`` or ``"trumpet"``.

        >>> str(two_five_one("C").written_for("B flat")), str(two_five_one("B").written_for("alto"))
        ('Em7 | A7 | Dmaj7', 'Bbm7 | Eb7 | Abmaj7')
        """
        page = reader(who).written_key(self.key)
        return self if page == self.key else self.transposed(page)

    @property
    def pretty(self) -> str:
        """The bars with ♭ and ♯.

        >>> two_five_one("Bb minor", "short").pretty
        'Cm7♭5 F7 | B♭m6'
        """
        return " | ".join(map(_pretty_bar, self.bars))

    def __str__(self) -> str:
        return " | ".join(map(str, self.bars))

    def _about(self) -> str:
        return f"in {self.key}: {self}"

    def __iter__(self) -> Iterator[Bar]:
        return iter(self.bars)

    def __len__(self) -> int:
        return len(self.bars)

    @overload
    def __getitem__(self, place: SupportsIndex) -> Bar: ...

    @overload
    def __getitem__(self, place: slice) -> tuple[Bar, ...]: ...

    def __getitem__(self, place: SupportsIndex | slice) -> Bar | tuple[Bar, ...]:
        return self.bars[place]


def _placed(bars: Iterable[Bar]) -> Iterator[PlacedChord]:
    """Run through the chords of some bars where they stand."""
    start = Fraction(0)
    for number, bar in enumerate(bars):
        for chord, beats in zip(bar.chords, bar.lengths, strict=True):
            yield PlacedChord(chord, start, beats, number)
            start += beats


def _pretty_bar(bar: Bar) -> str:
    """Print one bar with signs."""
    return " ".join(
        next((c.pretty for c in bar.chords if str(c) == word), word) for word in str(bar).split()
    )


# The chords of a ii-V-I by mode: the degree of the root and the kind (common practice).
_CADENCE = {
    "major": (("2", "1 b3 5 b7"), ("5", "1 3 5 b7"), ("1", "1 3 5 7")),
    "minor": (("2", "1 b3 b5 b7"), ("5", "1 3 5 b7"), ("1", "1 b3 5 6")),
}
# Which of ii, V and I stand in which bar: by index, with their beats.
_FORMS = {
    "long": (((0, 4),), ((1, 4),), ((2, 4),)),
    "short": (((0, 2), (1, 2)), ((2, 4),)),
    "split": (((0, 4),), ((0, 2), (1, 2)), ((2, 4),)),
}
FORMS = tuple(_FORMS)


def cadence_chords(key: Key) -> tuple[Chord, Chord, Chord]:
    """Return ii, V and I of a key, as seventh chords (the minor tonic with its sixth).

    >>> [str(chord) for chord in cadence_chords(Key.parse("Bb minor"))]
    ['Cm7b5', 'F7', 'Bbm6']
    """
    held = key.notes
    ii, v, i = (
        Chord(plain_root(above(key.tonic, Degree.parse(degree)), held), ChordKind.of(formula))
        for degree, formula in _CADENCE[key.mode]
    )
    return ii, v, i


def two_five_one(key: Key | str, form: str = "long") -> Progression:
    """Return the ii-V-I of a major or minor key, in 4/4.

    ``long`` has a bar each of ii, V and I; ``short`` two beats each of ii and V, then I; ``split``
    is the long one with a short ii-V inside the V bar.

    >>> str(two_five_one("Eb")), str(two_five_one("C minor", "split"))
    ('Fm7 | Bb7 | Ebmaj7', 'Dm7b5 | Dm7b5 G7 | Cm6')
    >>> two_five_one("C", "endless")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such form: 'endless' (want long, short or split)
    """
    home = key if isinstance(key, Key) else Key.parse(key)
    if not isinstance(form, str) or form not in _FORMS:
        raise TheoryError(f"no such form: {shown(form)} (want long, short or split)")
    chords = cadence_chords(home)
    return Progression(home, tuple(_bar(chords, row) for row in _FORMS[form]))


def _bar(chords: tuple[Chord, Chord, Chord], row: Iterable[tuple[int, int]]) -> Bar:
    """Return one bar of a form."""
    return Bar.of(*((chords[index], beats) for index, beats in row))
