"""Scales: one table, formulas in degrees; names and modes as jazz handbooks use them.

Source of the names: Marc Sabatella, *A Jazz Improvisation Primer*, undated, chord and scale chart;
Mark Levine, *The Jazz Theory Book*, 1995 (from memory); the altered and the half-whole scale as
spelled in Wikipedia contributors, *Altered scale* and *Upper structure*, undated. A mode that takes
a flat of its namesake back is called natural (locrian ♮6: common practice); locrian #2 is Levine's
name.
"""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import TheoryError, expect, shown
from theorykit.notes.degree import Degree, above, degrees
from theorykit.notes.note import Note, ascii_accidentals, pretty_words, spelled_signs
from theorykit.notes.values import Value

__all__ = ["SCALES", "Scale", "ScaleRow", "scale_row"]


@dataclass(frozen=True, slots=True)
class ScaleRow:
    """One row: the name we print, the formula, other names, what it is a mode of.

    >>> ScaleRow("broken", "1 5 3")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: not the formula of a scale: '1 5 3' (want degrees that climb \
from 1, such as '1 b2 3 5 b7')
    """

    name: str
    formula: str
    aliases: tuple[str, ...] = ()
    mode_of: str = ""

    def __post_init__(self) -> None:
        """Refuse a formula that does not climb from the root."""
        expect(self.name, str, "the name of a scale", "text")
        steps = [degree.semitones for degree in degrees(self.formula)]
        if steps[:1] != [0] or steps != sorted(set(steps)) or not len(steps) > 2 or steps[-1] > 11:
            raise TheoryError(
                f"not the formula of a scale: {shown(self.formula)} "
                "(want degrees that climb from 1, such as '1 b2 3 5 b7')"
            )

    @property
    def degrees(self) -> tuple[Degree, ...]:
        """The formula as degrees."""
        return degrees(self.formula)


SCALES = (
    # modes of major
    ScaleRow("major", "1 2 3 4 5 6 7", ("ionian",)),
    ScaleRow("dorian", "1 2 b3 4 5 6 b7", (), "major, 2nd mode"),
    ScaleRow("phrygian", "1 b2 b3 4 5 b6 b7", (), "major, 3rd mode"),
    ScaleRow("lydian", "1 2 3 #4 5 6 7", (), "major, 4th mode"),
    ScaleRow("mixolydian", "1 2 3 4 5 6 b7", (), "major, 5th mode"),
    ScaleRow("natural minor", "1 2 b3 4 5 b6 b7", ("aeolian", "minor"), "major, 6th mode"),
    ScaleRow("locrian", "1 b2 b3 4 b5 b6 b7", (), "major, 7th mode"),
    # modes of melodic minor, ascending form
    ScaleRow("melodic minor", "1 2 b3 4 5 6 7", ("jazz minor",)),
    ScaleRow(
        "dorian b2",
        "1 b2 b3 4 5 6 b7",
        ("phrygian natural 6", "phrygian #6", "phrygian 6"),
        "melodic minor, 2nd mode",
    ),
    ScaleRow("lydian augmented", "1 2 3 #4 #5 6 7", (), "melodic minor, 3rd mode"),
    ScaleRow("lydian dominant", "1 2 3 #4 5 6 b7", ("lydian b7",), "melodic minor, 4th mode"),
    ScaleRow("mixolydian b6", "1 2 3 4 5 b6 b7", (), "melodic minor, 5th mode"),
    ScaleRow(
        "locrian #2",
        "1 2 b3 4 b5 b6 b7",
        ("locrian natural 2", "locrian 2"),
        "melodic minor, 6th mode",
    ),
    ScaleRow("altered", "1 b2 b3 b4 b5 b6 b7", ("super locrian",), "melodic minor, 7th mode"),
    # modes of harmonic minor
    ScaleRow("harmonic minor", "1 2 b3 4 5 b6 7"),
    ScaleRow(
        "locrian natural 6",
        "1 b2 b3 4 b5 6 b7",
        ("locrian 6", "locrian #6"),
        "harmonic minor, 2nd mode",
    ),
    ScaleRow("ionian #5", "1 2 3 4 #5 6 7", (), "harmonic minor, 3rd mode"),
    ScaleRow("dorian #4", "1 2 b3 #4 5 6 b7", (), "harmonic minor, 4th mode"),
    ScaleRow("phrygian dominant", "1 b2 3 4 5 b6 b7", (), "harmonic minor, 5th mode"),
    ScaleRow("lydian #2", "1 #2 3 #4 5 6 7", (), "harmonic minor, 6th mode"),
    ScaleRow("altered bb7", "1 b2 b3 b4 b5 b6 bb7", (), "harmonic minor, 7th mode"),
    # symmetric scales
    ScaleRow("whole-half diminished", "1 2 b3 4 b5 b6 6 7", ("whole-half",)),
    ScaleRow("half-whole diminished", "1 b2 #2 3 #4 5 6 b7", ("half-whole",)),
    ScaleRow("whole tone", "1 2 3 #4 #5 b7", ("whole-tone",)),
    # five notes, blues, bebop
    ScaleRow("major pentatonic", "1 2 3 5 6"),
    ScaleRow("minor pentatonic", "1 b3 4 5 b7", (), "major pentatonic, 5th mode"),
    ScaleRow("blues", "1 b3 4 b5 5 b7"),
    ScaleRow("bebop dominant", "1 2 3 4 5 6 b7 7"),
)

_BY_NAME = {name: row for row in SCALES for name in (row.name, *row.aliases)}


def scale_row(name: str) -> ScaleRow:
    """Return the row of a scale by any of its names.

    >>> scale_row("super locrian").name
    'altered'
    >>> scale_row("superlocrian")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: not a scale: 'superlocrian' (want a name such as 'dorian', \
'melodic minor' or 'altered')
    """
    words = ascii_accidentals(name).split() if isinstance(name, str) and len(name) < 64 else []
    found = _BY_NAME.get(" ".join(words).lower())
    if found is None:
        raise TheoryError(
            f"not a scale: {shown(name)} "
            "(want a name such as 'dorian', 'melodic minor' or 'altered')"
        )
    return found


@dataclass(frozen=True, slots=True, repr=False)
class Scale(Value):
    """A scale on a root.

    >>> scale = Scale.parse("A♭ melodic minor")
    >>> str(scale), [str(note) for note in scale.notes]
    ('Ab melodic minor', ['Ab', 'Bb', 'Cb', 'Db', 'Eb', 'F', 'G'])
    """

    _reads_back = "Scale.parse"

    root: Note
    row: ScaleRow

    def __post_init__(self) -> None:
        """Refuse what is no root or no row of the table."""
        expect(self.root, Note, "a root", "a Note, or use Scale.parse")
        expect(self.row, ScaleRow, "a row of the table", "one of SCALES, or use Scale.parse")

    @classmethod
    def parse(cls, text: str) -> Scale:
        """Read a root and a scale name, or a scale of one's own. The reverse of ``str``.

        >>> Scale.parse("D locrian ♮6").pretty
        'D locrian ♮6'
        >>> mine = Scale.parse("Eb six notes: 1 b2 3 5 6 b7")
        >>> str(mine), [str(note) for note in mine.notes]
        ('Eb six notes: 1 b2 3 5 6 b7', ['Eb', 'Fb', 'G', 'Bb', 'C', 'Db'])
        """
        plain = spelled_signs(text.strip()) if isinstance(text, str) and len(text) < LONGEST else ""
        root, _, name = plain.partition(" ")
        if not name:
            raise TheoryError(f"not a scale: {shown(text)} (want a root and a name: 'C dorian')")
        own, colon, formula = name.partition(":")
        row = ScaleRow(" ".join(own.split()), _formula(formula)) if colon else scale_row(name)
        return cls(Note.parse(root), row)

    @property
    def degrees(self) -> tuple[Degree, ...]:
        """The degrees of the formula, root first.

        >>> " ".join(str(degree) for degree in Scale.parse("F# altered").degrees)
        '1 b2 b3 b4 b5 b6 b7'
        """
        return self.row.degrees

    @property
    def notes(self) -> tuple[Note, ...]:
        """The notes, one for each degree, spelled by degree.

        >>> " ".join(str(note) for note in Scale.parse("F# altered").notes)
        'F# G A Bb C D E'
        >>> " ".join(str(note) for note in Scale.parse("Bb melodic minor").notes)
        'Bb C Db Eb F G A'
        """
        return tuple(above(self.root, degree) for degree in self.row.degrees)

    @property
    def pretty(self) -> str:
        """The name with ♭ and ♯.

        >>> Scale.parse("Ab melodic minor").pretty
        'A♭ melodic minor'
        """
        return f"{self.root.pretty} {pretty_words(self.row.name)}"

    def __str__(self) -> str:
        known = _BY_NAME.get(self.row.name)
        own = "" if known == self.row else f": {self.row.formula}"
        return f"{self.root} {self.row.name}{own}"


LONGEST = 200  # characters of the text of a scale


def _formula(text: str) -> str:
    """Return a formula as it is printed."""
    return " ".join(map(str, degrees(text)))
