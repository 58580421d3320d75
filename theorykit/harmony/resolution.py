"""Resolution: where each note goes when a chord moves to the next one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import product

from theorykit.errors import expect, expect_all
from theorykit.harmony.colours import Colour, as_degrees_over, takes_colour
from theorykit.harmony.tensions import as_chord, as_target
from theorykit.harmony.wording import TONIC_NAMES, counted, listed, moved, ordinal
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, degrees, written_above
from theorykit.notes.key import Key
from theorykit.notes.note import Note
from theorykit.notes.values import Value

__all__ = [
    "Move",
    "Resolution",
    "of_target",
    "resolve",
]

GUIDE_TONES = degrees("3 b7")
FOURTH, THIRD, MINOR_THIRD, FIFTH = degrees("4 3 b3 5")
FLAT_NINE, SHARP_NINE = degrees("b9 #9")


@dataclass(frozen=True, slots=True)
class Passing:
    """A note between the two of a move."""

    degree: Degree
    note: Note


@dataclass(frozen=True, slots=True)
class Move:
    """One note and where it goes.

    ``semitones`` is the way in half steps: above 0 it rises, below 0 it falls, 0 it stays.
    ``whose`` names the next chord in the sentence; ``through`` is a passing note on the way,
    or None.

    >>> resolve("G7", "b9", "C").colour_moves[-1].words
    '♭9 falls a half step to the 5th of I'
    >>> resolve("G7", "#9", "C").colour_moves[0].words
    '♯9 falls through ♭9 to the 5th of I'
    """

    degree: Degree
    note: Note
    to_degree: Degree
    to_note: Note
    semitones: int
    whose: str = "I"
    through: Passing | None = None

    @property
    def is_half_step(self) -> bool:
        """True for a pull of a half step, up or down."""
        return abs(self.semitones) == 1

    @property
    def words(self) -> str:
        """The move in a sentence without its full stop."""
        goal = f"the {ordinal(self.to_degree)} of {self.whose}"
        if self.semitones == 0:
            return f"{self.degree.pretty} stays: it is {goal}"
        if self.through is not None:
            way = "rises" if self.semitones > 0 else "falls"
            return f"{self.degree.pretty} {way} through {self.through.degree.pretty} to {goal}"
        return f"{self.degree.pretty} {moved(self.semitones)} to {goal}"


@dataclass(frozen=True, slots=True, repr=False)
class Resolution(Value):
    """A chord with a colour, the next chord, and where each note goes.

    ``moves`` are the notes of the chord with the colour, by degree; ``plain`` those of the chord
    alone.

    >>> found = resolve("G7", "b9 b13", "C")
    >>> [(str(m.note), str(m.to_note), m.semitones) for m in found.colour_moves]
    [('Ab', 'G', -1), ('B', 'C', 1), ('Eb', 'E', 1)]
    >>> found.total, found.plain_total, found.added_pulls
    (6, 4, 2)
    """

    chord: Chord
    target: Chord
    colour: tuple[Degree, ...]
    moves: tuple[Move, ...]
    plain: tuple[Move, ...]

    def __post_init__(self) -> None:
        """Refuse what are no moves between two chords."""
        for chord in (self.chord, self.target):
            expect(chord, Chord, "a chord", "a Chord, or use resolve")
        for moves in (self.moves, self.plain):
            expect_all(moves, Move, "moves", "Moves, or use resolve")

    @property
    def colour_moves(self) -> tuple[Move, ...]:
        """The moves of the colour's notes, in the colour's order.

        >>> moves = resolve("Db7", "b9 13", "Gb").colour_moves
        >>> [f"{move.note}-{move.to_note}" for move in moves]
        ['Bb-Bb', 'Ebb-Db', 'F-Gb']
        """
        by_degree = {move.degree: move for move in self.moves}
        return tuple(by_degree[degree] for degree in self.colour if degree in by_degree)

    @property
    def held(self) -> tuple[Move, ...]:
        """The notes that stay.

        >>> [str(move.note) for move in resolve("F#7", "b9 13", "Bmaj7").held]
        ['F#', 'A#', 'D#']
        """
        return tuple(move for move in self.moves if move.semitones == 0)

    @property
    def half_steps_down(self) -> tuple[Move, ...]:
        """The notes that fall a half step.

        >>> moves = resolve("F7", "b9", "Bb").half_steps_down
        >>> [f"{move.note}-{move.to_note}" for move in moves]
        ['Gb-F', 'Eb-D']
        """
        return tuple(move for move in self.moves if move.semitones == -1)

    @property
    def half_steps_up(self) -> tuple[Move, ...]:
        """The notes that rise a half step.

        >>> [f"{move.note}-{move.to_note}" for move in resolve("Ab7", "#9", "Db").half_steps_up]
        ['C-Db']
        """
        return tuple(move for move in self.moves if move.semitones == 1)

    @property
    def guide_tones(self) -> tuple[Move, ...]:
        """What the 3 and the b7 do, where the chord has them.

        >>> [f"{move.note}-{move.to_note}" for move in resolve("Ab7", None, "Db").guide_tones]
        ['C-Db', 'Gb-F']
        """
        return tuple(move for move in self.moves if move.degree in GUIDE_TONES)

    @property
    def total(self) -> int:
        """The whole motion in half steps.

        >>> resolve("G7", "b9 13", "C").total, resolve("Db7", None, "C").total
        (5, 4)
        """
        return sum(abs(move.semitones) for move in self.moves)

    @property
    def plain_total(self) -> int:
        """The whole motion of the chord without its colour.

        >>> resolve("G7", "b9 13", "C").plain_total
        4
        """
        return sum(abs(move.semitones) for move in self.plain)

    @property
    def added_pulls(self) -> int:
        """How many more half-step pulls there are than without the colour.

        >>> resolve("Bb7", "b9", "Eb").added_pulls, resolve("Bb7", "13", "Eb").added_pulls
        (1, 0)
        """
        return _pulls(self.moves) - _pulls(self.plain)

    def __str__(self) -> str:
        return "\n".join(self.words)

    def _about(self) -> str:
        added = " ".join(map(str, self.colour))
        return f"of {self.chord}{f' with {added}' * bool(added)} to {self.target}"

    @property
    def words(self) -> tuple[str, ...]:
        """Every move of the colour in a sentence, then what the colour adds to the chord.

        >>> for sentence in resolve("F7", "b9 b13", "Bb minor").words:
        ...     print(sentence)
        ♭9 falls a half step to the 5th of i
        3 rises a half step to the root of i
        ♭13 stays: it is the ♭3rd of i
        this colour adds one half-step pull
        """
        shown = self.colour_moves or self.moves
        return (*(move.words for move in shown), self.summary)

    @property
    def summary(self) -> str:
        """What the colour adds, in one sentence.

        >>> resolve("G7", "b9 b13", "C").summary
        'this colour adds two half-step pulls'
        >>> resolve("G7", None, "C").summary
        'two half-step pulls: the 3 to the root and the ♭7 to the 3rd of I'
        """
        if not self.colour:
            return self._plain_summary()
        verb = "takes away" if self.added_pulls < 0 else "adds"
        return f"this colour {verb} {self.added_words}"

    @property
    def added_words(self) -> str:
        """How many half-step pulls more, or fewer, there are than without the colour.

        >>> resolve("Bb7", "b9", "Eb").added_words
        'one half-step pull'
        """
        return counted(abs(self.added_pulls), "half-step pull")

    def _plain_summary(self) -> str:
        """Tell the half-step pulls of the chord alone."""
        pulls = [move for move in self.plain if move.is_half_step]
        if not pulls:
            return "no half-step pull"
        places = [f"the {m.degree.pretty} to the {ordinal(m.to_degree)}" for m in pulls]
        return f"{counted(len(pulls), 'half-step pull')}: {listed(places)} of {pulls[0].whose}"


def _pulls(moves: Iterable[Move]) -> int:
    """Count the half-step pulls."""
    return sum(move.is_half_step for move in moves)


def of_target(chord: Chord, target: Chord) -> str:
    """Return what sentences call the next chord: ``I`` or ``i`` if it is led to, or its symbol.

    A dominant leads to the chord a fifth below it; as a tritone substitute to the one a half step
    below; as a backdoor to the one a whole step above. A minor tonic is ``i``.

    >>> [of_target(Chord.parse("G7"), Chord.parse(goal)) for goal in ("C6", "Cm6", "Am7")]
    ['I', 'i', 'Am7']
    """
    distance = (target.root.semitone - chord.root.semitone) % 12
    is_tonic = target.degrees[:1] == degrees("1") and not target.kind.is_dominant
    home = distance == 5 or (distance in (11, 2) and Degree(7, -1) not in target.degrees)
    if not (chord.kind.is_dominant and is_tonic and home):
        return target.pretty
    return TONIC_NAMES[MINOR_THIRD in target.degrees]


def resolve(
    chord: Chord | str,
    colour: Colour | str | Iterable[Degree | str] | None = None,
    target: Chord | Key | str | None = None,
) -> Resolution:
    """Return where each note of a chord with a colour goes on the next chord.

    The moves are the assignment of the chord's notes to notes of the next chord with the least
    whole motion in half steps. Among equals the one wins in which the flattened notes fall, then
    the one that reaches the most different notes, then the one in which more notes fall.

    One note does not go the nearest way: the #9 of a dominant that falls a fifth stays where the
    next chord has it, and else falls through the b9 to the 5th of that chord (common practice). It
    is no half-step pull.

    ``colour`` is a colour (of a dominant), its name, degrees, or None for the chord alone;
    ``target`` is a chord, a key, ``"major"``, ``"minor"``, or None for the major triad a fifth
    below.

    >>> [move.words for move in resolve("G7", "9 #11 13", "Cmaj7").colour_moves]
    ['9 falls a whole step to the 5th of I', '♯11 falls a half step to the root of I', \
'13 stays: it is the 3rd of I']
    """
    over = as_chord(chord)
    goal = as_target(over, target)
    wanted = () if colour is None else as_degrees_over(over, colour)
    whole = _together(over, wanted)
    plain = _moves(over, over.degrees, goal)
    moves = plain if whole == over.degrees else _moves(over, whole, goal)
    return Resolution(over, goal, wanted, moves, plain)


def _together(chord: Chord, wanted: tuple[Degree, ...]) -> tuple[Degree, ...]:
    """Return the degrees of chord and colour, climbing; a suspension takes the place of the 3."""
    suspended = any(d.semitone == FOURTH.semitone for d in wanted) and THIRD not in wanted
    asked = {degree.semitone: degree for degree in wanted}
    own = {d.semitone: d for d in chord.degrees if not (suspended and d == THIRD)}
    return tuple(sorted((own | asked).values(), key=lambda degree: degree.semitone))


def _moves(chord: Chord, found: tuple[Degree, ...], target: Chord) -> tuple[Move, ...]:
    """Return the least motion from degrees over a chord to the notes of the next."""
    goals = tuple(zip(target.degrees, target.notes, strict=True))
    notes = tuple(written_above(chord.root, degree) for degree in found)
    led = [_through(chord, degree, target) for degree in found]
    choices = [
        _nearest(note, goals) if passing is None else [_down(note, goals, FIFTH)]
        for note, passing in zip(notes, led, strict=True)
    ]
    best = min(
        product(*choices),
        key=lambda ways: (
            sum(d.alteration < 0 < way[1] for d, way in zip(found, ways, strict=True)),
            -len({way[0] for way in ways}),
            sum(way[1] > 0 for way in ways),
        ),
    )
    whose = of_target(chord, target)
    return tuple(
        Move(degree, note, *goals[goal], semitones, whose, passing)
        for degree, note, (goal, semitones), passing in zip(found, notes, best, led, strict=True)
    )


def _through(chord: Chord, degree: Degree, target: Chord) -> Passing | None:
    """Return the b9 where a #9 goes through it: over a V whose I has a 5 and has not the #9."""
    falls = (target.root.semitone - chord.root.semitone) % 12 == FOURTH.semitone
    if degree != SHARP_NINE or not (falls and takes_colour(chord) and FIFTH in target.degrees):
        return None
    sound = above(chord.root, SHARP_NINE).semitone
    if any(note.semitone == sound for note in target.notes):
        return None
    return Passing(FLAT_NINE, above(chord.root, FLAT_NINE))


def _down(note: Note, goals: tuple[tuple[Degree, Note], ...], to: Degree) -> tuple[int, int]:
    """Return a goal by its degree, and the way down to it in half steps."""
    place = next(place for place, (degree, _) in enumerate(goals) if degree == to)
    return place, -((note.semitone - goals[place][1].semitone) % 12)


def _nearest(note: Note, goals: tuple[tuple[Degree, Note], ...]) -> list[tuple[int, int]]:
    """Return the goals that are nearest to a note, each with the way there in half steps.

    Each note may go where it likes, so the least whole motion is made of least single motions.
    """
    ways = [
        (place, (goal.semitone - note.semitone + 5) % 12 - 5)
        for place, (_, goal) in enumerate(goals)
    ]
    least = min(abs(way) for _, way in ways)
    return [way for way in ways if abs(way[1]) == least]
