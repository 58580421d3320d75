"""Agreement: whether a colour keeps to what a chord symbol says, and in words why not.

A symbol binds by what is written in it: a third or the suspension of it, an altered fifth, and
every 9, 11 and 13. The plain fifth binds nothing, for no symbol writes it; neither does the natural
7 of the related ii, which passes by a half step and gets into no symbol.

Source of the table: Dariusz Terefenko, *Jazz Theory*, Routledge 2014, ch. 5 (a tension is diatonic
or chromatic, and one of the two takes the place of the other; b9 and #9 go together); *common
practice* for suspensions, for the fifth of 7alt, and for the b9 that a half-diminished ii says.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from theorykit.harmony.colours import COLOURS, Colour, as_degrees, takes_colour
from theorykit.harmony.tensions import as_chord
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, degrees
from theorykit.notes.kinds import ChordKind

__all__ = [
    "agreeing_colours",
    "agrees",
    "contradicts",
    "disagreements",
    "said_by_ii",
    "why_against",
    "written_in",
]

# What is written, and what would contradict it.
CONTRADICTIONS = {
    "b9": "9 2",
    "#9": "9 2",
    "9": "b9 #9",
    "2": "b9 #9 3 b3 4 11 #11",
    "4": "3 b3 #9 #11 b5",
    "11": "#11 b5",
    "#11": "11 4",
    "b5": "5",
    "#5": "5 13 6",
    "b13": "13 6",
    "13": "b13 #5",
}
_TABLE = {Degree.parse(one): frozenset(degrees(row)) for one, row in CONTRADICTIONS.items()}
THIRD, FOURTH, FIFTH, SEVENTH, ELEVENTH = degrees("3 4 5 b7 11")
FLAT_THIRD, FLAT_FIFTH, FLAT_NINTH, NINTH = degrees("b3 b5 b9 9")
_FOR_THE_FIFTH = frozenset(degrees("#11 b13"))
_UNWRITTEN = frozenset(degrees("1 5 b7"))
_VOWELS = "AEF"  # letters whose names begin with a vowel when they are spoken


def written_in(chord: Chord | str) -> tuple[Degree, ...]:
    """Return the degrees of a symbol that bind a colour, in their order.

    >>> [str(degree) for degree in written_in("C13b9")], [str(d) for d in written_in("C7sus4")]
    (['3', 'b9', '13'], ['4'])
    """
    return tuple(degree for degree in as_chord(chord).degrees if degree not in _UNWRITTEN)


def said_by_ii(ii: Chord | None, chord: Chord) -> tuple[Degree, ...]:
    """Return what the ii before a dominant says of it: the b5 of a half-diminished ii is its b9.

    A dominant whose own symbol writes a 9 says for itself which one it has.

    >>> [str(d) for d in said_by_ii(Chord.parse("Gm7b5"), Chord.parse("C7"))]
    ['b9']
    """
    if ii is None or above(ii.root, FOURTH).semitone != chord.root.semitone:
        return ()
    speaks = {FLAT_THIRD, FLAT_FIFTH} <= set(ii.degrees)
    own = any(degree.number in (2, 9) for degree in chord.degrees)
    return (FLAT_NINTH,) if speaks and not own else ()


def disagreements(
    wanted: Colour | str | Iterable[Degree | str], chord: Chord | str, ii: Chord | str | None = None
) -> tuple[str, ...]:
    """Return what in a colour contradicts a chord symbol: clauses, none where it agrees.

    ``wanted`` is a colour, its name, or degrees; ``ii`` is the chord before a dominant, which binds
    it where it is half-diminished.

    >>> disagreements("b9 13", "C7alt")
    ('C7alt has a ♭13, and this colour has a 13',)
    >>> disagreements("b9 13", "C7b9"), disagreements("suspended", "C7sus4b9")
    ((), ('C7sus4♭9 has a ♭9, and this colour has a 9',))
    >>> disagreements("lydian dominant", "C7", "Gm7b5")
    ('Gm7♭5 has a D♭, the ♭9 of C7, and this colour has a 9',)
    """
    over, before = as_chord(chord), None if ii is None else as_chord(ii)
    brought = as_degrees(wanted)
    return (*_clauses(brought, over), *_against_ii(brought, over, before))


def agrees(
    wanted: Colour | str | Iterable[Degree | str], chord: Chord | str, ii: Chord | str | None = None
) -> bool:
    """Tell whether a colour contradicts nothing that a chord symbol, or the ii before it, says.

    ``disagreements`` gives the reasons.

    >>> [name for name in ("b9", "b9 13", "altered") if agrees(name, "G7alt")]
    ['altered']
    """
    return not disagreements(wanted, chord, ii)


def agreeing_colours(chord: Chord | str, ii: Chord | str | None = None) -> tuple[Colour, ...]:
    """Return the colours of the table that agree with a dominant, in the order of the table.

    A chord that takes no colour has none. ``ii`` is the chord before it, as in ``disagreements``.

    >>> [row.name for row in agreeing_colours("C9")]
    ['9 #11 13', 'whole tone', 'lydian dominant']
    """
    over = as_chord(chord)
    if not takes_colour(over):
        return ()
    return tuple(row for row in COLOURS if agrees(row, over, ii))


def contradicts(degree: Degree, kind: ChordKind) -> bool:
    """Tell whether one sound would take the place of something that a kind of chord has written.

    >>> [str(d) for d in degrees("9 11 5 13") if contradicts(d, Chord.parse("C7alt").kind)]
    ['9', '11', '5', '13']
    >>> [str(d) for d in degrees("9 11 5 13") if contradicts(d, Chord.parse("C7").kind)]
    []
    """
    return _written_against(degree, kind) is not None or (degree == FIFTH and _lacks_fifth(kind))


def why_against(chord: Chord, degree: Degree) -> str:
    """Say what one note of a shape contradicts in a chord symbol; empty if it does not.

    >>> why_against(Chord.parse("G7alt"), Degree(13)), why_against(Chord.parse("G7"), Degree(13))
    ('the 13, E, contradicts the ♭13 of G7alt', '')
    """
    if not contradicts(degree, chord.kind):
        return ""
    written = _written_against(degree, chord.kind)
    what = f"the {written.pretty} of" if written is not None else "the altered notes of"
    note = above(chord.root, degree).pretty
    return f"the {degree.pretty}, {note}, contradicts {what} {chord.pretty}"


def _written_against(degree: Degree, kind: ChordKind) -> Degree | None:
    """Return the written degree in whose place another one would stand, if there is one."""
    return next((one for one in kind.degrees if degree in _TABLE.get(one, ())), None)


def _clauses(brought: tuple[Degree, ...], over: Chord) -> tuple[str, ...]:
    """Say what contradicts a symbol."""
    return tuple(clause.format(v=over.pretty) for clause in _found(brought, over.kind))


@lru_cache(maxsize=4096)
def _found(brought: tuple[Degree, ...], kind: ChordKind) -> tuple[str, ...]:
    """Return the clauses for degrees over a kind of chord, with a place for its name."""
    return tuple(_each(brought, kind))


def _each(brought: tuple[Degree, ...], kind: ChordKind) -> Iterator[str]:
    """Yield a clause for each degree that contradicts."""
    if _suspends(brought) and THIRD in kind.degrees and ELEVENTH not in kind.degrees:
        yield "{v} has a 3rd, and this colour holds the 4th in its place"
    for degree in brought:
        written = _written_against(degree, kind)
        if written in (Degree(2), FOURTH):
            yield f"{{v}} holds the {_ordinal(written)} in the place of the 3rd, and {_has(degree)}"
        elif written is not None:
            yield f"{{v}} has {_a(written)}, and {_has(degree)}"
        elif degree == FIFTH and _lacks_fifth(kind):
            yield f"{{v}} has altered notes in the place of its 5th, and {_has(degree)}"


def _against_ii(brought: tuple[Degree, ...], over: Chord, ii: Chord | None) -> Iterator[str]:
    """Say what contradicts the ii."""
    if ii is None or NINTH not in brought:
        return
    for degree in said_by_ii(ii, over):
        note = above(ii.root, FLAT_FIFTH).pretty
        article = "an" if note[0] in _VOWELS else "a"
        says = f"{ii.pretty} has {article} {note}, the {degree.pretty} of {over.pretty}"
        yield f"{says}, and {_has(NINTH)}"


def _suspends(brought: tuple[Degree, ...]) -> bool:
    """Tell whether degrees put the 4th in the place of the 3rd."""
    return bool({FOURTH, ELEVENTH} & set(brought)) and THIRD not in brought


def _lacks_fifth(kind: ChordKind) -> bool:
    """Tell whether altered notes stand in the place of a fifth that the chord leaves out."""
    has_fifth = any(degree.number == FIFTH.number for degree in kind.degrees)
    return not has_fifth and bool(_FOR_THE_FIFTH.intersection(kind.degrees))


def _ordinal(degree: Degree) -> str:
    """Name the degree that suspends a third."""
    return {2: "2nd", 4: "4th"}[degree.number]


def _has(degree: Degree) -> str:
    """Say that the colour has a degree."""
    if degree in (THIRD, FLAT_THIRD):
        return f"this colour has a {degree.pretty}rd"
    return f"this colour has {_a(degree)}"


def _a(degree: Degree) -> str:
    """Return a degree with its article."""
    name = degree.pretty
    return f"{'an' if name.startswith(('11', '8')) else 'a'} {name}"
