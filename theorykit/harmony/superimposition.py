"""Superimposition: one chord over another, what both share and what rubs."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from theorykit.harmony.resolution import Move, Resolution, resolve
from theorykit.harmony.tensions import degrees_over, why_it_rubs
from theorykit.harmony.wording import bass_move, counted, moved, ordinal
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, degrees
from theorykit.notes.note import Note

__all__ = ["BassStep", "Clash", "Reading", "motion_words", "move_words", "tritone_of"]

GUIDES = degrees("3 b7")


@dataclass(frozen=True, slots=True)
class BassStep:
    """One step of a bass line.

    >>> step = BassStep(Note.parse("Db"), Note.parse("C"))
    >>> step.semitones, step.words
    (11, 'D♭ falls a half step to C')
    >>> BassStep(Note.parse("B"), Note.parse("Db")).words
    'B rises a whole step to D♭ (C♯)'
    """

    note: Note
    to_note: Note

    @property
    def semitones(self) -> int:
        """The half steps up from the first note to the second, 0 to 11."""
        return (self.to_note.semitone - self.note.semitone) % 12

    @property
    def words(self) -> str:
        """The step as a clause; where the interval reads as another one, with the other name."""
        goal = self.to_note.pretty
        asked = _asked(self.note, self.semitones)
        if asked is not None and asked != self.to_note and abs(asked.alteration) <= 1:
            goal = f"{goal} ({asked.pretty})"
        return f"{self.note.pretty} {bass_move(self.semitones, goal)}"


# The degree that a step of a bass reaches, by half steps up; half steps and tritones, which are
# written either way, and the unison are left out.
_STEPS_UP = dict(zip((2, 3, 4, 5, 7, 8, 9, 10), degrees("2 b3 3 4 5 b6 6 b7"), strict=True))


def _asked(note: Note, semitones: int) -> Note | None:
    """Return the name that an interval above a note asks for, where only one will do."""
    degree = _STEPS_UP.get(semitones)
    return None if degree is None else above(note, degree)


@dataclass(frozen=True, slots=True)
class Clash:
    """A note that rubs over the original chord, and what excuses it.

    ``note`` is named as its own chord spells it, ``degree`` over the original chord, ``own`` in its
    own; ``why`` says what it rubs against; ``move`` is where it goes next; ``is_ahead`` tells that
    it rubs against no note of the original, but against the minor chord that follows.
    """

    note: Note
    degree: Degree
    own: Degree
    chord: Chord
    why: str
    move: Move
    is_ahead: bool = False

    @property
    def excuse(self) -> str:
        """Why it may pass, as a clause: what it is in its own chord, and where it goes.

        >>> from theorykit.harmony.tensions import as_chord
        >>> g7, dm7, c = map(as_chord, ("G7", "Dm7", "C"))
        >>> Reading(dm7, g7, g7, c).clashes[0].excuse
        'it may pass as C, the ♭7th of Dm7: it falls a half step to B, the 3rd of G7'
        """
        place = f"{self.note.pretty}, the {ordinal(self.own)} of {self.chord.pretty}"
        may = "pass" if self.move.semitones else "wait"
        return f"it may {may} as {place}: it {move_words(self.move, name=False)}"


@dataclass(frozen=True, slots=True)
class Reading:
    """A chord in the place of an original one.

    ``following`` is what comes after it, ``target`` what the original goes to in the end, ``whose``
    what sentences call the target; ``resolution`` is where each note goes on what follows.

    >>> from theorykit.harmony.tensions import as_chord
    >>> db7, g7, c = map(as_chord, ("Db7", "G7", "C"))
    >>> found = Reading(db7, g7, c, c)
    >>> [str(d) for d in found.over], found.keeps_tritone
    (['#11', 'b7', 'b9', '3'], True)
    >>> [(str(own), str(original)) for own, original in found.shared]
    [('F', 'F'), ('Cb', 'B')]
    """

    chord: Chord
    original: Chord
    following: Chord
    target: Chord
    whose: str = "I"
    resolution: Resolution = field(init=False, compare=False)

    def __post_init__(self) -> None:
        """Find once where each note goes on the chord that follows."""
        object.__setattr__(self, "resolution", resolve(self.chord, None, self.following))

    @property
    def own(self) -> tuple[Degree, ...]:
        """What each note is over the chord's own root."""
        return self.chord.degrees

    @property
    def over(self) -> tuple[Degree, ...]:
        """What each note is over the original chord."""
        return degrees_over(self.original, self.chord.notes)

    @property
    def shared(self) -> tuple[tuple[Note, Note], ...]:
        """The notes that both chords hold, named as this chord and as the original names them."""
        original = {note.semitone: note for note in self.original.notes}
        return tuple(
            (note, original[note.semitone])
            for note in self.chord.notes
            if note.semitone in original
        )

    @property
    def keeps_tritone(self) -> bool:
        """Tell whether the 3 and the b7 of the original are both in the chord."""
        sounds = {note.semitone for note in self.chord.notes}
        pair = tritone_of(self.original)
        return bool(pair) and all(note.semitone in sounds for note in pair)

    @property
    def is_original(self) -> bool:
        """Tell whether this is the original chord itself."""
        return self.chord == self.original

    @property
    def clashes(self) -> tuple[Clash, ...]:
        """The notes that rub over the original chord, each with its excuse.

        The major 3rd of a minor target counts in the last chord alone, which the target follows.
        """
        if self.is_original:
            return ()
        moves = {move.degree: move for move in self.resolution.moves}
        ahead = self.target if self.following == self.target else None
        return tuple(
            Clash(note, degree, own, self.chord, why, self.named(moves[own]), not self._rub(degree))
            for note, degree, own in zip(self.chord.notes, self.over, self.own, strict=True)
            if (why := self._rub(degree, ahead))
        )

    def _rub(self, degree: Degree, ahead: Chord | None = None) -> str:
        """Say why a degree rubs over the original chord, or against the chord ahead."""
        return why_it_rubs(self.original, degree.semitone, ahead)

    @property
    def moves(self) -> tuple[Move, ...]:
        """The moves of the resolution, in the order of the chord, with the next chord's name."""
        return tuple(self.named(move) for move in self.resolution.moves)

    def named(self, move: Move) -> Move:
        """Return a move that calls the next chord what this explanation calls it."""
        name = self.whose if self.following == self.target else self.following.pretty
        return replace(move, whose=name)


def tritone_of(chord: Chord) -> tuple[Note, ...]:
    """Return the 3 and the b7 of a chord, or nothing where it has not both.

    >>> [str(note) for note in tritone_of(Chord.parse("G7"))], tritone_of(Chord.parse("G7sus4"))
    (['B', 'F'], ())
    """
    if not all(guide in chord.degrees for guide in GUIDES):
        return ()
    by_degree = dict(zip(chord.degrees, chord.notes, strict=True))
    return tuple(by_degree[guide] for guide in GUIDES)


def move_words(move: Move, *, name: bool = True) -> str:
    """Say where one note goes, with its name in front unless ``name`` is false.

    >>> found = resolve("Db7", None, "C")
    >>> move_words(found.moves[0])
    'D♭ falls a half step to C, the root of I'
    """
    place = f"the {ordinal(move.to_degree)} of {move.whose}"
    start = f"{move.note.pretty} " if name else ""
    if move.through is not None:
        way = "rises" if move.semitones > 0 else "falls"
        by = move.through.note.pretty
        return f"{start}{way} through {by} to {move.to_note.pretty}, {place}"
    if move.semitones:
        return f"{start}{moved(move.semitones)} to {move.to_note.pretty}, {place}"
    respelled = f"{move.to_note.pretty}, " if move.note != move.to_note else ""
    return f"{start}stays as {respelled}{place}"


def motion_words(found: Resolution) -> str:
    """Return motion, pulls and held notes.

    >>> motion_words(resolve("G7", None, "C"))
    '4 half steps of motion, two half-step pulls and one note held'
    """
    pulls = len(found.half_steps_down) + len(found.half_steps_up)
    motion = f"{found.total} half step{'s' * (found.total != 1)} of motion"
    held = counted(len(found.held), "note")
    return f"{motion}, {counted(pulls, 'half-step pull')} and {held} held"
