"""Substitutes: the chords that may stand in the place of a dominant, and why."""

from __future__ import annotations

from dataclasses import dataclass, replace

from theorykit.errors import TheoryError, expect, expect_all, shown
from theorykit.harmony.resolution import Resolution, of_target, resolve
from theorykit.harmony.substitution.substitute_reasons import (
    FACTS,
    bass_words,
    clash_words,
    over_words,
    resolution_words,
    shared_words,
    slide_chord,
)
from theorykit.harmony.substitution.substitute_roots import Facts, held_notes, sensible_roots
from theorykit.harmony.substitution.substitute_table import (
    NAMES,
    ROWS,
    SubstituteRow,
    substitute_name,
)
from theorykit.harmony.superimposition import BassStep, Clash, Reading
from theorykit.harmony.tensions import as_chord, as_target
from theorykit.harmony.wording import sentence
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above
from theorykit.notes.key import Key
from theorykit.notes.kinds import SPELLINGS, ChordKind
from theorykit.notes.note import Note
from theorykit.notes.values import Value

DOMINANT = SPELLINGS["7"]
SUSPENDED = "suspended version"


@dataclass(frozen=True, slots=True, repr=False)
class Substitute(Value):
    """Chords that stand in the place of a dominant, in the order in which they are played.

    ``name`` is one of the names of the table; ``readings`` are the chords, each read over the
    dominant and with the chord that follows it.

    >>> found = substitutes("G7", "C")[0]
    >>> [str(chord) for chord in found.chords], found.keeps_tritone, found.total
    (['Db7'], True, 4)
    >>> found.words[0]
    'D♭7 stands in for G7: the dominant seventh chord a tritone away.'
    """

    name: str
    dominant: Chord
    target: Chord
    readings: tuple[Reading, ...]
    row: SubstituteRow

    def __post_init__(self) -> None:
        """Refuse what are no readings over a dominant."""
        for chord in (self.dominant, self.target):
            expect(chord, Chord, "a chord", "a Chord, or use substitutes")
        expect_all(self.readings, Reading, "readings", "Readings, or use substitutes")

    @property
    def chords(self) -> tuple[Chord, ...]:
        """The chords that are played before the target.

        >>> [[str(chord) for chord in found.chords] for found in substitutes("F7", "Bb")][:3]
        [['B7'], ['Cm7', 'F7'], ['F#m7', 'F7']]
        """
        return tuple(one.chord for one in self.readings)

    @property
    def bass(self) -> tuple[BassStep, ...]:
        """The steps of the bass, from the first chord to the target.

        >>> [f"{step.note}-{step.to_note}" for step in substitutes("F7", "Bb")[0].bass]
        ['B-Bb']
        """
        line = [chord.lowest for chord in (*self.chords, self.target)]
        return tuple(map(BassStep, line, line[1:]))

    @property
    def plain_bass(self) -> BassStep:
        """The step of the bass where the dominant stands alone.

        >>> substitutes("F7", "Bb")[0].plain_bass.semitones
        5
        """
        return BassStep(self.dominant.lowest, self.target.lowest)

    @property
    def keeps_tritone(self) -> bool:
        """Tell whether a chord other than the dominant itself holds its 3 and its b7.

        >>> [found.name for found in substitutes("Db7", "Gb") if found.keeps_tritone]
        ['tritone substitute', 'ii-V of the tritone substitute', 'leading-note diminished chord']
        """
        return any(one.keeps_tritone for one in self.readings if not one.is_original)

    @property
    def clashes(self) -> tuple[Clash, ...]:
        """What rubs over the bass of the dominant, in the order of the chords.

        >>> [str(clash.note) for clash in substitutes("Db7", "Gb")[1].clashes]
        ['Gb']
        """
        return tuple(clash for one in self.readings for clash in one.clashes)

    @property
    def resolution(self) -> Resolution:
        """Where the notes of the last chord go on the target.

        >>> moves = substitutes("Ab7", "Db")[0].resolution.half_steps_down
        >>> [f"{move.note}-{move.to_note}" for move in moves]
        ['D-Db', 'F#-F', 'A-Ab']
        """
        return self.readings[-1].resolution

    @property
    def plain_resolution(self) -> Resolution:
        """Where the notes of the dominant alone go on the target.

        >>> substitutes("Ab7", "Db")[0].plain_resolution.summary
        'two half-step pulls: the 3 to the root and the ♭7 to the 3rd of I'
        """
        return resolve(self.dominant, None, self.target)

    @property
    def total(self) -> int:
        """The motion of the last chord into the target, in half steps.

        >>> [(found.title, found.total) for found in substitutes("Ab7", "Db")][:3]
        [('D7', 4), ('E♭m7 A♭7', 4), ('Am7 A♭7', 4)]
        """
        return self.resolution.total

    @property
    def title(self) -> str:
        """The chords for the eye: what a list of substitutes shows beside the name.

        >>> substitutes("Ab7", "Db")[1].title
        'E♭m7 A♭7'
        """
        return " ".join(chord.pretty for chord in self.chords)

    @property
    def sections(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """The explanation as headings, each with its sentences.

        >>> [heading for heading, _ in substitutes("Db7", "Gb")[1].sections][:3]
        ['what it is', 'what it shares', 'the bass']
        """
        readings, facts = self.readings, Facts(self.dominant, self.target, self.chords)
        names, extra = facts.names, FACTS.get(self.name)
        more = () if extra is None else extra(facts)
        return (
            ("what it is", (sentence(self.row.what.format_map(names)), *more)),
            ("what it shares", shared_words(readings)),
            ("the bass", bass_words(self.bass, self.plain_bass, self.dominant)),
            (f"over {self.dominant.pretty}", over_words(readings)),
            ("what rubs", clash_words(readings)),
            ("where it goes", resolution_words(readings, self.plain_resolution)),
            ("where it is common", (f"{facts.common(self.row.common)} ({self.row.source}).",)),
        )

    @property
    def words(self) -> tuple[str, ...]:
        """The explanation, one sentence after the other.

        >>> substitutes("F#7", "B")[0].words[0]
        'C7 stands in for F♯7: the dominant seventh chord a tritone away.'
        """
        return tuple(text for _, texts in self.sections for text in texts)

    def __str__(self) -> str:
        return f"{self.name}: {' '.join(map(str, self.chords))}"

    def _about(self) -> str:
        return f"{self} for {self.dominant} to {self.target}"


def substitutes(
    dominant: Chord | str, target: Chord | Key | str | None = None
) -> tuple[Substitute, ...]:
    """Return what may stand in the place of a dominant, in the order of the table.

    ``target`` is what the dominant goes to: a chord, a key, ``"major"``, ``"minor"``; the major
    triad a fifth below if not given. The chords are spelled for the key of the target.

    >>> [str(found) for found in substitutes("Ab7", "Db")][:2]
    ['tritone substitute: D7', 'related ii: Ebm7 Ab7']
    >>> substitutes("Cmaj7")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no dominant: 'Cmaj7' (want a chord with a minor seventh and a \
major third or a suspended fourth, such as G7, G7alt or G7sus4)
    """
    over = _as_dominant(dominant)
    goal = as_target(over, target)
    return tuple(_built(row, over, goal) for row in ROWS)


def substitute(
    name: str, dominant: Chord | str, target: Chord | Key | str | None = None
) -> Substitute:
    """Return one substitute by its name.

    >>> str(substitute("backdoor dominant", "Bb7", "Eb"))
    'backdoor dominant: Abm7 Db7'
    """
    found = substitute_name(name)
    over = _as_dominant(dominant)
    return _built(ROWS[NAMES.index(found)], over, as_target(over, target))


def _as_dominant(chord: Chord | str) -> Chord:
    """Return a chord if it is a dominant."""
    over = as_chord(chord)
    if not over.kind.is_dominant:
        raise TheoryError(
            f"no dominant: {shown(str(over))} (want a chord with a minor seventh and a major third "
            "or a suspended fourth, such as G7, G7alt or G7sus4)"
        )
    return over


def _built(row: SubstituteRow, dominant: Chord, target: Chord) -> Substitute:
    """Return one row of the table over a dominant."""
    if row.name.startswith("major seventh"):
        return _read(row, dominant, target, (slide_chord(dominant, target),))
    home = above(dominant.root, Degree(4)).semitone == target.root.semitone
    minor = home and Degree(3, -1) in target.degrees
    steps = [_step(text, dominant) for text in (row.minor if minor else row.major).split(", ")]
    roots = sensible_roots(steps, held_notes(target))
    chords = tuple(
        dominant if root == dominant.root and kind == DOMINANT else Chord(root, kind)
        for root, (_, kind) in zip(roots, steps, strict=True)
    )
    if row.name == SUSPENDED:
        chords = (replace(chords[0], kind=_suspension(dominant, chords[0].kind)),)
    return _read(row, dominant, target, chords)


def _suspension(dominant: Chord, usual: ChordKind) -> ChordKind:
    """Return the suspension of a dominant with the 9 or the flat 9 that its symbol writes."""
    if Degree(9, -1) in dominant.degrees:
        return SPELLINGS["7sus4b9"]
    return SPELLINGS["9sus4"] if Degree(9) in dominant.degrees else usual


def _read(
    row: SubstituteRow, dominant: Chord, target: Chord, chords: tuple[Chord, ...]
) -> Substitute:
    """Return a substitute with each of its chords read over the dominant."""
    whose = of_target(dominant, target)
    readings = tuple(
        Reading(chord, dominant, following, target, whose)
        for chord, following in zip(chords, (*chords[1:], target), strict=True)
    )
    return Substitute(row.name, dominant, target, readings, row)


def _step(text: str, dominant: Chord) -> tuple[Note, ChordKind]:
    """Read one chord of the table: where its root lies above the dominant's, and its kind."""
    degree, symbol = text.split()
    return above(dominant.root, Degree.parse(degree)), SPELLINGS[symbol]
