"""Wishes for a written line: range, density, direction, where it begins, how it ends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.notes.degree import Degree
from theorykit.notes.note import Note, Pitch
from theorykit.notes.reader import READERS, Reader, reader as named_reader
from theorykit.notes.values import Value

AMOUNTS = ("none", "a little", "a lot")
DENSITIES = ("full", "medium", "sparse")  # running eighths, as in solos, more and more long notes
DIRECTIONS = ("falling", "rising", "free")
BEGINNINGS = ("free", "on one", "pickup", "off the beat", "after a rest")
ENDINGS = ("free", "on the landing", "held", "short", "off the beat")
MANNERS = ("played", "sung")  # sung: inside a tenth, no leap to or from a note outside the scale
REACHES = {  # the half steps from the lowest to the highest note at most
    "a sixth": 9,
    "an octave": 12,
    "a tenth": 16,
    "a twelfth": 19,
    "free": None,
}
LOWEST, HIGHEST = Pitch(Note("B", -1), 3), Pitch(Note("B", -1), 5)  # most instruments have it
NARROWEST = 7  # half steps: inside less than a fifth no line moves

# The range in which a player improvises with ease, as it sounds (common practice).
RANGES = {
    "flute": ("D4", "C7"),
    "clarinet": ("D3", "D6"),
    "trumpet": ("F#3", "Bb5"),
    "soprano saxophone": ("Ab3", "Eb6"),
    "alto saxophone": ("Db3", "Ab5"),
    "tenor saxophone": ("Ab2", "Eb5"),
    "baritone saxophone": ("Db2", "Ab4"),
    "horn": ("F3", "F5"),
    "trombone": ("G2", "Bb4"),
    "guitar": ("A2", "E5"),
    "bass": ("E2", "G4"),
    "violin": ("G3", "E6"),
    "cello": ("C2", "G4"),
    "vibraphone": ("F3", "F6"),
    "piano": ("C3", "C6"),
    "voice": ("A3", "D5"),
}

# Whose range it is where only the reader of the page is known; others have the one that most share.
# A page in B flat lies before a trumpet or a saxophone, so it has what both can play.
PLAYERS_OF = {
    "B flat": ("trumpet", "soprano saxophone"),
    "E flat": ("alto saxophone",),
    "F": ("horn",),
    "bass clef": ("trombone",),
    "guitar": ("guitar",),
    "tenor a ninth up": ("tenor saxophone",),
    "baritone a thirteenth up": ("baritone saxophone",),
}

Anchor = Pitch | Degree | str | None


@dataclass(frozen=True, slots=True, repr=False)
class Wishes(Value):
    """What a written line shall be like; what is not named is as the writer prefers it.

    ``lowest`` and ``highest`` bound the range; ``density`` is one of ``DENSITIES``; ``direction``,
    one of ``DIRECTIONS``, says where the line goes over V; ``start`` is the first note and
    ``landing`` the note it comes to rest on over the last chord, each a pitch (``"E5"``) or a
    degree over its chord (``"9"``); ``chromatic``, ``rests`` and ``triplets`` are one of
    ``AMOUNTS``; ``begins``, one of ``BEGINNINGS``, and ``ends``, one of ``ENDINGS``, place the
    first and the last note in time; ``reach``, one of ``REACHES``, is the widest span of one line;
    ``manner`` is one of ``MANNERS``; ``reader`` names who reads the page: of lines that are as
    good as each other the one that is easiest to read there is taken.

    >>> wishes = Wishes(start="b7", landing="E5", triplets="a little")
    >>> wishes.start, wishes.landing.midi
    (Degree(number=7, alteration=-1), 76)
    >>> str(Wishes.within("trumpet").lowest)
    'F#3'
    """

    lowest: Pitch | str = LOWEST
    highest: Pitch | str = HIGHEST
    density: str = "medium"
    direction: str = "falling"
    start: Anchor = None
    landing: Anchor = None
    chromatic: str = "a little"
    rests: str = "a little"
    triplets: str = "a little"
    begins: str = "free"
    ends: str = "free"
    reach: str = "free"
    manner: str = "played"
    reader: str = READERS[0].name

    def __post_init__(self) -> None:
        """Read what came as text, and refuse what is no such wish."""
        for name in ("lowest", "highest"):
            object.__setattr__(self, name, _pitch(getattr(self, name)))
        for name in ("start", "landing"):
            object.__setattr__(self, name, _anchor(name, getattr(self, name)))
        for name, words in _WORDS.items():
            if getattr(self, name) not in words:
                raise TheoryError(
                    f"not a wish for {name}: {shown(getattr(self, name))} (want {', '.join(words)})"
                )
        object.__setattr__(self, "reader", named_reader(self.reader).name)
        low, high = self.compass
        if high - low < NARROWEST:
            raise TheoryError(
                f"too narrow a range: {self.lowest} to {self.highest} (want a fifth or more)"
            )

    def __repr__(self) -> str:
        return f"Wishes({', '.join(f'{name}={said!r}' for name, said in self._named())})"

    def __str__(self) -> str:
        return ", ".join(f"{name} {said}" for name, said in self._named()) or "as the writer likes"

    def _named(self) -> Iterator[tuple[str, str]]:
        """Yield what is wished for otherwise than the writer prefers it, as text."""
        for one in fields(self):
            value = getattr(self, one.name)
            if value != one.default:
                yield one.name, str(value)

    @classmethod
    def within(cls, instrument: str, **wishes: Any) -> Wishes:
        """Return wishes for an instrument of ``RANGES``.

        >>> wishes = Wishes.within("trombone", density="full", landing="9")
        >>> str(wishes.lowest), str(wishes.highest), wishes.density
        ('G2', 'Bb4', 'full')
        """
        if not isinstance(instrument, str) or instrument not in RANGES:
            raise TheoryError(f"no such range: {shown(instrument)} (want {', '.join(RANGES)})")
        lowest, highest = RANGES[instrument]
        return cls(**{"lowest": lowest, "highest": highest, **wishes})

    @classmethod
    def for_reader(cls, reader: Reader | str, **wishes: Any) -> Wishes:
        """Return wishes for who reads the page, in the range of the instrument of most of them.

        A page in the bass clef stands an octave below the line, so the line lies as much higher.

        >>> str(Wishes.for_reader("bass clef").highest), Wishes.for_reader("concert") == Wishes()
        ('Bb5', True)
        >>> str(Wishes.for_reader("B flat").lowest)  # written B flat, the lowest of a saxophone
        'Ab3'
        """
        who = named_reader(reader)
        players = PLAYERS_OF.get(who.name, ())
        if not players:
            return cls(reader=who.name, **wishes)
        lows, highs = zip(*(map(Pitch.parse, RANGES[player]) for player in players), strict=True)
        ends = max(lows, key=_midi), min(highs, key=_midi)
        lowest, highest = (replace(p, octave=p.octave - min(0, who.octaves)) for p in ends)
        return cls(**{"lowest": lowest, "highest": highest, "reader": who.name, **wishes})

    @property
    def compass(self) -> tuple[int, int]:
        """The range as two MIDI numbers.

        >>> Wishes(lowest="E3", highest="Bb4").compass
        (52, 70)
        """
        return _pitch(self.lowest).midi, _pitch(self.highest).midi

    @property
    def span(self) -> int | None:
        """The most half steps from the lowest to the highest note; None where it is free.

        >>> Wishes(reach="an octave").span, Wishes(manner="sung").span, Wishes().span
        (12, 16, None)
        """
        free = REACHES["a tenth"] if self.manner == "sung" else None
        return REACHES[self.reach] or free

    @property
    def least_span(self) -> int:
        """The half steps a line spans that is heard as wide as asked: more than the next reach.

        >>> [Wishes(reach=reach).least_span for reach in ("a sixth", "a tenth", "free")]
        [8, 13, 0]
        """
        spans = [NARROWEST, *(size for size in REACHES.values() if size is not None)]
        size = REACHES[self.reach]
        return 0 if size is None else spans[spans.index(size) - 1] + 1

    @property
    def asked(self) -> tuple[tuple[str, Wishes], ...]:
        """Each wish that was asked for, in words, with the wishes as they are without it.

        >>> [words for words, without in Wishes(density="full", landing="9").asked]
        ['the wish for density: full', 'the wish to land on 9']
        """
        plain = Wishes()
        together = {"lowest": "highest"}
        found = []
        for name in (one.name for one in fields(self) if one.name not in ("highest", "reader")):
            names = [name, *([together[name]] if name in together else [])]
            if any(getattr(self, one) != getattr(plain, one) for one in names):
                without = replace(self, **{one: getattr(plain, one) for one in names})
                found.append((self._said(name), without))
        return tuple(found)

    def _said(self, name: str) -> str:
        """Say one wish."""
        value = getattr(self, name)
        if name == "lowest":
            return f"the range {self.lowest} to {self.highest}"
        verb = _SAID.get(name)
        return f"the wish {verb} {value}" if verb else f"the wish for {name}: {value}"


MIDDLES = {"treble": 71, "bass": 50}  # the middle lines of the staves
ABOVE_MIDDLE = 5  # half steps above it: as high as the middle of a line may lie


def easy_middle(wishes: Wishes) -> int:
    """Return the highest middle of a line that lies well on its reader's staff, as it sounds.

    >>> easy_middle(Wishes()), easy_middle(Wishes.for_reader("bass clef"))
    (76, 67)
    """
    who = named_reader(wishes.reader)
    return MIDDLES[who.clef] + ABOVE_MIDDLE - who.semitones


_WORDS = {
    "density": DENSITIES,
    "direction": DIRECTIONS,
    "chromatic": AMOUNTS,
    "rests": AMOUNTS,
    "triplets": AMOUNTS,
    "begins": BEGINNINGS,
    "ends": ENDINGS,
    "reach": tuple(REACHES),
    "manner": MANNERS,
}
_SAID = {
    "start": "to start on",
    "landing": "to land on",
    "begins": "to begin",
    "ends": "to end",
    "reach": "to reach no further than",
    "manner": "for a line that is",
}


def _midi(pitch: Pitch) -> int:
    """Return the MIDI number of a pitch."""
    return pitch.midi


def _pitch(value: Pitch | str) -> Pitch:
    """Read a pitch where text came."""
    return value if isinstance(value, Pitch) else Pitch.parse(value)


def _anchor(name: str, value: Anchor) -> Pitch | Degree | None:
    """Read a first or last note: a pitch, or a degree over its chord."""
    if value is None or isinstance(value, (Pitch, Degree)):
        return value
    for read in (Pitch.parse, Degree.parse):
        try:
            return read(value)
        except TheoryError:
            continue
    raise TheoryError(f"not a note to {name}: {shown(value)} (want E5, or a degree such as 3)")
