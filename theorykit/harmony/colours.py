"""Colours: sets of degrees over a dominant chord, one row a colour.

Sources of the rows: Wikipedia contributors, *Upper structure*, undated (the nine triads, the
half-whole scale over 13b9) and *Altered scale*; Marc Sabatella, *A Jazz Improvisation Primer*,
undated, chord and scale chart; Wikibooks contributors, *Music Theory / Dominant substitute*,
undated; `common practice` where the trade has no one author. Which target a colour suits: a natural
13 is the major third of I, so it belongs to major; the b9 and the b13 stand in the signature of
minor and are borrowed into major (Terefenko, *Jazz Theory*, ch. 5: diatonic and chromatic tensions
of the dominant).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from theorykit.errors import TheoryError, expect, expect_all, shown
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, degrees, written_above
from theorykit.notes.note import Note, ascii_accidentals, pretty_words
from theorykit.notes.values import Value

__all__ = [
    "COLOURS",
    "Colour",
    "as_degrees",
    "as_degrees_over",
    "borrowed",
    "colour",
    "takes_colour",
]

MAJOR, MINOR = "major", "minor"
BOTH = (MAJOR, MINOR)
GUIDES = frozenset(degrees("3 b7"))
_ABOVE_A_TRIAD = (6, 7, 13)
CHORD_TONES = frozenset(degrees("1 3 5 b7"))


@dataclass(frozen=True, slots=True, repr=False)
class Colour(Value):
    """A set of degrees over a dominant chord.

    ``name`` is plain ASCII, ``degrees`` in the order in which the trade names them; ``passing``
    are degrees that may join but do not make the colour; ``targets`` are the modes of I that it
    suits; ``scale`` is the scale on the root of V that it is, or the empty text.

    A colour of one's own has a name that the table has not. Its text form says all of it, and is
    read wherever the name of a colour is taken: ``"my own: b9 11 13 to minor"``.

    >>> b = colour("♭9 13")
    >>> b.name, [str(d) for d in b.degrees], b.targets
    ('b9 13', ['13', 'b9', '3'], ('major',))
    >>> mine = colour("my own: b9 11 13 to minor")
    >>> mine.name, str(mine), [str(note) for note in mine.notes("Db7")]
    ('my own', 'my own: b9 11 13 to minor', ['Ebb', 'Gb', 'Bb'])
    >>> Colour("my own", mine.degrees, ("minor",), "by hand") == mine
    True
    """

    name: str
    degrees: tuple[Degree, ...]
    targets: tuple[str, ...]
    source: str
    scale: str = ""
    passing: tuple[Degree, ...] = ()
    aliases: tuple[str, ...] = ()
    title: str = ""

    if TYPE_CHECKING:  # what is taken; the fields say what is kept

        def __init__(
            self,
            name: str,
            degrees: Iterable[Degree],
            targets: Iterable[str],
            source: str,
            scale: str = "",
            passing: Iterable[Degree] = (),
            aliases: Iterable[str] = (),
            title: str = "",
        ) -> None: ...

    def __post_init__(self) -> None:
        """Refuse a colour without a name or degrees, and one that goes nowhere."""
        expect(self.name, str, "the name of a colour", "text, or use colour('b9 13')")
        for name in ("degrees", "passing"):
            want = "Degrees, or use colour('my own: b9 11 13')"
            found = expect_all(getattr(self, name), Degree, f"the {name} of a colour", want)
            object.__setattr__(self, name, found)
        for name in ("targets", "aliases"):
            texts = expect_all(getattr(self, name), str, f"the {name} of a colour", "texts")
            object.__setattr__(self, name, texts)
        for name in ("source", "scale", "title"):
            expect(getattr(self, name), str, f"the {name} of a colour", "text")
        if not set(self.targets) <= set(BOTH):
            raise TheoryError(f"no such targets: {shown(self.targets)} (want {' or '.join(BOTH)})")

    @property
    def tensions(self) -> tuple[Degree, ...]:
        """The degrees that are no tones of the plain dominant seventh chord.

        >>> [str(d) for d in colour("b9").tensions]
        ['b9']
        """
        return tuple(degree for degree in self.degrees if degree not in CHORD_TONES)

    @property
    def named(self) -> tuple[Degree, ...]:
        """The degrees that the name tells; none for a scale or a chord.

        >>> [str(d) for d in colour("b9 #11").named], colour("altered").named
        (['b9', '#11'], ())
        """
        try:
            return degrees(self.name)
        except TheoryError:
            return ()

    @property
    def pretty(self) -> str:
        """The name for the eye.

        >>> colour("b9 13").pretty, colour("altered").pretty
        ('♭9 13', 'altered')
        """
        return self.title or pretty_words(self.name)

    @property
    def spoken(self) -> str:
        """The colour as the object of a sentence.

        >>> [colour(name).spoken for name in ("b9 13", "altered", "minor's own")]
        ['♭9 13', 'the altered colour', "minor's own colour"]
        >>> colour("its related ii").spoken
        'the rootless ii of the tritone substitute'
        """
        if self.pretty[0] in "♭♯" or self.pretty[0].isdigit():
            return self.pretty
        article = "" if "'s " in self.pretty else "the "
        return f"{article}{self.pretty}{'' if self.pretty.endswith('substitute') else ' colour'}"

    def suits(self, mode: str) -> bool:
        """Tell whether the colour suits a target of a mode, ``"major"`` or ``"minor"``.

        >>> colour("b9 b13").suits("minor"), colour("9 #11 13").suits("minor")
        (True, False)
        """
        return mode in self.targets

    def notes(self, chord: Chord | str) -> tuple[Note, ...]:
        """Return the colour's notes over a dominant, spelled by degree.

        >>> [str(note) for note in colour("b9").notes("Db7")]
        ['F', 'Ab', 'Cb', 'Ebb']
        """
        over = chord if isinstance(chord, Chord) else Chord.parse(chord)
        if not takes_colour(over):
            raise _no_dominant(over)
        return tuple(written_above(over.root, degree) for degree in self.degrees)

    def __str__(self) -> str:
        known = _BY_NAME.get(_plain_name(self.name))
        if known is not None and known.degrees == self.degrees:
            return self.name
        target = f" to {self.targets[0]}" if len(self.targets) == 1 else ""
        return f"{self.name}: {' '.join(map(str, self.degrees))}{target}"

    def __repr__(self) -> str:
        said = str(self)
        is_whole = len(said) <= LONGEST and colour(said) == self
        return f"colour({said!r})" if is_whole else Value.__repr__(self)


UPPER = "Wikipedia contributors, Upper structure, undated"
PRIMER = "Sabatella, A Jazz Improvisation Primer, undated, chord and scale chart"
PRACTICE = "common practice"


def _row(
    name: str,
    formula: str,
    targets: tuple[str, ...],
    source: str,
    *,
    scale: str = "",
    passing: str = "",
    aliases: tuple[str, ...] = (),
    title: str = "",
) -> Colour:
    """Read one row of the table."""
    return Colour(name, degrees(formula), targets, source, scale, degrees(passing), aliases, title)


COLOURS = (
    _row("b9", "3 5 b7 b9", BOTH, PRACTICE),
    _row("b9 13", "13 b9 3", (MAJOR,), UPPER),
    _row("b9 b13", "b9 3 b13", BOTH, UPPER),
    _row("b9 #11", "#11 b7 b9", BOTH, UPPER),
    _row("b9 #11 13", "#11 13 b9", (MAJOR,), UPPER),
    _row("9 #11 13", "9 #11 13", (MAJOR,), UPPER),
    _row("#9", "#9 5 b7", BOTH, UPPER),
    _row("#9 b13", "b13 1 #9", BOTH, UPPER),
    _row("#9 #11", "#9 #11 b7", BOTH, UPPER),
    _row(
        "half-whole diminished",
        "1 b9 #9 3 #11 5 13 b7",
        (MAJOR,),
        UPPER,
        scale="half-whole diminished",
        aliases=("half-whole",),
    ),
    _row(
        "altered",
        "1 b9 #9 3 #11 b13 b7",
        BOTH,
        "Wikipedia contributors, Altered scale, undated",
        scale="altered",
        aliases=("alt", "7alt"),
    ),
    _row("whole tone", "1 9 3 #11 b13 b7", (MAJOR,), PRIMER, scale="whole tone"),
    _row("lydian dominant", "1 9 3 #11 5 13 b7", (MAJOR,), PRIMER, scale="lydian dominant"),
    _row(
        "minor's own",
        "1 b9 3 5 b13 b7",
        (MINOR,),
        PRIMER,
        scale="phrygian dominant",
        passing="11",
        aliases=("harmonic minor", "minor’s own", "phrygian dominant"),
    ),
    _row("suspended", "b7 9 11", (MAJOR,), PRACTICE, passing="13", aliases=("sus",)),
    _row("suspended b9", "5 b7 b9 11", BOTH, PRIMER, aliases=("sus b9", "susb9")),
    _row(
        "tritone substitute",
        "#11 b7 b9 3",
        BOTH,
        "Wikibooks contributors, Music Theory / Dominant substitute, undated",
    ),
    _row(
        "its related ii",
        "3 b13 7 #9",
        BOTH,
        PRACTICE,
        title="rootless ii of the tritone substitute",
    ),
)

_BY_NAME = {
    " ".join(name.lower().split()): row for row in COLOURS for name in (row.name, *row.aliases)
}


def colour(name: str | Colour) -> Colour:
    """Return the colour with this name; ♭ and ♯ are read like b and #.

    A text with a colon is a colour of one's own: its name, its degrees, and where it goes if that
    is not both ways.

    >>> colour("♭9 ♯11") is colour("b9 #11")
    True
    >>> colour("my own: b9 11 13").targets
    ('major', 'minor')
    >>> colour("blue")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such colour: 'blue' (want one of b9, b9 13, b9 b13, b9 #11, \
b9 #11 13, 9 #11 13, #9, #9 b13, #9 #11, half-whole diminished, altered, whole tone, lydian \
dominant, minor's own, suspended, suspended b9, tritone substitute, its related ii)
    """
    if isinstance(name, Colour):
        return name
    if isinstance(name, str) and ":" in name and len(name) <= LONGEST:
        return _own(name)
    found = _BY_NAME.get(_plain_name(name)) if isinstance(name, str) and len(name) < 100 else None
    if found is None:
        names = ", ".join(row.name for row in COLOURS)
        raise TheoryError(f"no such colour: {shown(name)} (want one of {names})")
    return found


LONGEST = 200  # characters of the text of an own colour
BY_HAND = "by hand"
_OWN = re.compile(r"(?P<name>[^:,|]+):(?P<degrees>[^:,|]+?)(?: to (?P<target>major|minor))?")


def _own(text: str) -> Colour:
    """Return a colour of one's own: a name, its degrees, and perhaps its target."""
    found = _OWN.fullmatch(text.strip())
    want = "want such as 'my own: b9 11 13', or 'my own: b9 11 13 to minor'"
    if found is None or not (name := " ".join(ascii_accidentals(found["name"]).split())):
        raise TheoryError(f"not a colour: {shown(text)} ({want})")
    try:
        held = degrees(found["degrees"])
    except TheoryError as wrong:
        raise TheoryError(f"not a colour: {shown(text)} ({wrong}; {want})") from None
    known = _BY_NAME.get(_plain_name(name))
    if known is not None and known.degrees != held:
        raise TheoryError(f"there is a colour {name!r} already (want another name)")
    target = found["target"]
    return known or Colour(name, held, (target,) if target else BOTH, BY_HAND)


def _plain_name(name: str) -> str:
    """Return a name as the table has it."""
    return " ".join(ascii_accidentals(name).lower().split())


def takes_colour(chord: Chord) -> bool:
    """Tell whether a chord may be a V: a dominant, suspended or not, or a bare major triad.

    A triad is a V that leaves its b7 to the players; over a foreign bass it is heard from there:
    F/G is no V on F (common practice).

    >>> [takes_colour(Chord.parse(s)) for s in ("G7", "G9sus4", "G", "Gmaj7", "Dm7/G")]
    [True, True, True, False, False]
    """
    if chord.kind.is_dominant:
        return True
    bare = all(degree.number not in _ABOVE_A_TRIAD for degree in chord.degrees)
    return bare and Degree(3) in chord.degrees and chord.lowest in chord.notes


def _no_dominant(chord: Chord) -> TheoryError:
    """Say that a chord is no dominant."""
    slash = "; write Dm7/G, heard as a V, as G9sus4" if chord.bass else ""
    return TheoryError(
        f"no dominant: {shown(str(chord))} "
        f"(a colour is for a V; want a chord such as G7, G9sus4 or the triad G{slash})"
    )


def as_degrees_over(chord: Chord, wanted: object) -> tuple[Degree, ...]:
    """Read what was asked for over a chord: a colour over a dominant, degrees over any chord.

    Over a chord that is no dominant ``b9 13`` is no colour but these two degrees, and a name that
    is no degrees is refused; over a slash chord, which may be meant as a V, any name is.

    >>> cm7 = Chord.parse("Cm7")
    >>> [str(d) for d in as_degrees_over(cm7, "b9 13")]
    ['b9', '13']
    """
    if takes_colour(chord) or not isinstance(wanted, (str, Colour)):
        return as_degrees(wanted)
    if isinstance(wanted, str) and not (chord.bass and _is_name(wanted)):
        try:
            return degrees(wanted.replace(",", " "))
        except TheoryError:
            as_degrees(wanted)  # a name that no colour has is refused as such
    raise _no_dominant(chord)


def _is_name(text: str) -> bool:
    """Tell whether a text is the name of a colour."""
    return " ".join(ascii_accidentals(text).lower().split()) in _BY_NAME


def as_degrees(wanted: object) -> tuple[Degree, ...]:
    """Read what was asked for as degrees: a colour, its name, degrees, or text such as ``b9 13``.

    Text is first looked up as the name of a colour, then read as degrees.

    >>> [str(d) for d in as_degrees("b9 13")], [str(d) for d in as_degrees("9 13")]
    (['13', 'b9', '3'], ['9', '13'])
    """
    if isinstance(wanted, Colour):
        return wanted.degrees
    if isinstance(wanted, str):
        return _read_degrees(wanted)
    if isinstance(wanted, Iterable) and not isinstance(wanted, (bytes, Mapping)):
        return tuple(d if isinstance(d, Degree) else Degree.parse(d) for d in wanted)
    raise TheoryError(f"not degrees: {shown(wanted)} (want a colour or degrees such as 'b9 13')")


def _read_degrees(text: str) -> tuple[Degree, ...]:
    """Read the name of a colour, or degrees."""
    try:
        return colour(text).degrees
    except TheoryError:
        try:
            return degrees(text.replace(",", " "))
        except TheoryError:
            raise TheoryError(
                f"not degrees: {shown(text)} (want a colour or degrees such as 'b9 13')"
            ) from None


def borrowed(row: Colour, mode: str) -> str:
    """Return a word where a colour is not meant for the mode of I, else nothing.

    >>> borrowed(colour("b9 13"), "minor")
    'This colour belongs with a major tonic; on the way to a minor one it is a borrowed sound.'
    """
    if row.suits(mode):
        return ""
    return (
        f"This colour belongs with a {row.targets[0]} tonic; "
        f"on the way to a {mode} one it is a borrowed sound."
    )
