"""Reading and spelling chord symbols, against music21 on the same symbols.

music21 writes flats as ``-`` and reads some kinds only when they are built from parts; where its
spelling of a symbol is another one, both stand in the table. Only symbols that it gets right are
compared, and the check proves that: both sides must find the same notes.
"""

from itertools import product

from measure import Bench, at_least_times, p95_at_most
from music21.harmony import ChordSymbol
from too_long import LONGEST_SYMBOLS

from theorykit.errors import TheoryError
from theorykit.notes.chord import Chord

ROOTS = "C C# Db D D# Eb E F F# Gb G G# Ab A A# Bb B".split()

# What we read, and what music21 10.5.1 reads for the same notes.
KINDS = {
    **{kind: kind for kind in ("", "m", "7", "maj7", "m7", "m9", "m6", "6", "7b9", "7#9", "7#11")},
    **{kind: kind for kind in ("7b13", "7b9b13", "7#9#5", "9#11", "maj7#11", "7sus4")},
    "m7b5": "ø7",
    "dim7": "o7",
    "aug": "+",
    "m(maj7)": "mM7",
    "maj9": "M9",
    "13": "9add13",
    "13b9": "7addb9add13",
    "13#11": "9add#11add13",
    "6/9": "6add9",
}
OURS = [root + kind for root, kind in product(ROOTS, KINDS)]
THEIRS = [root.replace("b", "-") + kind for root, kind in product(ROOTS, KINDS.values())]


def ours() -> list[tuple[object, ...]]:
    """Read every symbol and spell its notes."""
    return [Chord.parse(symbol).notes for symbol in OURS]


def theirs() -> list[tuple[object, ...]]:
    """The same with music21."""
    return [ChordSymbol(symbol).pitches for symbol in THEIRS]


def same_notes() -> None:
    """Raise where the two sides do not find the same notes, by name."""
    for symbol, notes, pitches in zip(OURS, ours(), theirs(), strict=True):
        mine = {str(note) for note in notes}
        other = {pitch.name.replace("-", "b") for pitch in pitches}  # type: ignore[attr-defined]
        if mine != other:
            raise ValueError(f"{symbol}: {sorted(mine)} against {sorted(other)}")


def refused() -> None:
    """Refuse the longest symbols; raise where one is read."""
    for text in LONGEST_SYMBOLS:
        try:
            Chord.parse(text)
        except TheoryError:
            continue
        raise ValueError(f"{text[:20]} is read")


BENCHES = (
    Bench(
        name=f"read and spell {len(OURS)} chord symbols, against music21",
        candidate=ours,
        reference=theirs,
        goal=at_least_times(200),
        rounds=5,
        check=same_notes,
    ),
    Bench(
        name=f"refuse {len(LONGEST_SYMBOLS)} symbols that never end, against reading {len(OURS)}",
        candidate=refused,
        reference=ours,
        goal=p95_at_most(0.1),
    ),
)
