"""The clock of twelve: chord, colour and substitute on one circle of pitch classes."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.harmony.colours import Colour, colour
from theorykit.harmony.superimposition import tritone_of
from theorykit.harmony.tensions import as_chord, degrees_over, role_over
from theorykit.harmony.wording import listed
from theorykit.notes.chord import Chord
from theorykit.notes.note import Note

__all__ = ["RINGS", "ClockView", "Ring", "clock_of"]

# What a ring shows, from the innermost outwards.
RINGS = ("chord", "colour", "substitute")
# Names of the places where nothing stands, the plainest there is.
PLAIN_NAMES = tuple("C D♭ D E♭ E F F♯ G A♭ A B♭ B".split())


@dataclass(frozen=True, slots=True)
class Ring:
    """One set of notes: its name, what it is (one of ``RINGS``), its places and their degrees.

    ``places`` are pitch classes, C being 0, in climbing order; ``labels`` say what each is over
    the chord, ``notes`` its role there, as in ``note_roles``.
    """

    name: str
    role: str
    places: tuple[int, ...]
    labels: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def period(self) -> int:
        """After how many half steps the set repeats itself: 12 where it is not symmetric.

        >>> clock_of("G7", "whole tone").rings[1].period
        2
        """
        turns = (n for n in range(1, 12) if {(p + n) % 12 for p in self.places} == {*self.places})
        return next(turns, 12)


@dataclass(frozen=True, slots=True)
class ClockView:
    """The twelve places, C at the top, with what stands on them.

    ``names`` are the twelve names, ``lit`` the places on which something stands; ``axis`` are the
    two ends of a tritone, or None, and ``axis_words`` say whose it is.
    """

    names: tuple[str, ...]
    lit: frozenset[int]
    rings: tuple[Ring, ...]
    axis: tuple[int, int] | None
    axis_words: str
    alt: str


def clock_of(
    dominant: Chord | str,
    over_v: Colour | str | None = None,
    substitute: Chord | str | None = None,
    target: Chord | None = None,
) -> ClockView:
    """Return the clock of a dominant with a colour, a substitute chord, both or neither.

    ``target`` is the chord that follows, where a note may rub against it. The axis is the tritone
    of the dominant; beside a substitute it is drawn
    where both share it.

    >>> view = clock_of("G7", "b9", "Db7")
    >>> view.axis, view.axis_words, view.names[11]
    ((11, 5), 'tritone of G7 and D♭7: B and F', 'B C♭')
    >>> [ring.period for ring in view.rings]
    [12, 3, 12]
    """
    chord = as_chord(dominant)
    wanted = None if over_v is None else colour(over_v)
    other = None if substitute is None else as_chord(substitute)
    sets = [("chord", chord.pretty, chord.notes)]
    if wanted is not None:
        sets.append(("colour", wanted.pretty, wanted.notes(chord)))
    if other is not None:
        sets.append(("substitute", other.pretty, other.notes))
    rings = tuple(_ring(role, name, notes, chord, target) for role, name, notes in sets)
    axis, words = _axis(chord, other)
    lit = frozenset(place for ring in rings for place in ring.places)
    spelled = [note for _, _, notes in sets for note in notes]
    return ClockView(_names(spelled), lit, rings, axis, words, _alt(rings, words))


def _ring(
    role: str, name: str, notes: tuple[Note, ...], chord: Chord, target: Chord | None
) -> Ring:
    """Return one set of notes, each with its degree over the chord and its role there."""
    degrees = degrees_over(chord, notes)
    wanted = degrees if role == "colour" else ()
    by_place = {n.semitone: d for n, d in zip(notes, degrees, strict=True)}
    places = tuple(sorted(by_place))
    found = [by_place[place] for place in places]
    roles = tuple(role_over(chord, degree, target, wanted) for degree in found)
    return Ring(name, role, places, tuple(degree.pretty for degree in found), roles)


def _axis(chord: Chord, other: Chord | None) -> tuple[tuple[int, int] | None, str]:
    """Return the tritone to be drawn, and whose it is."""
    pair = tritone_of(chord)
    if not pair:
        return None, ""
    third, seventh = pair
    held = set() if other is None else {note.semitone for note in other.notes}
    if other is not None and not {third.semitone, seventh.semitone} <= held:
        return None, ""
    whose = chord.pretty if other is None else f"{chord.pretty} and {other.pretty}"
    notes = f"{third.pretty} and {seventh.pretty}"
    return (third.semitone, seventh.semitone), f"tritone of {whose}: {notes}"


def _names(spelled: list[Note]) -> tuple[str, ...]:
    """Return the names of the twelve places: as spelled, each spelling once, or plain."""
    found: dict[int, dict[str, None]] = {}
    for note in spelled:
        found.setdefault(note.semitone, {})[note.pretty] = None
    return tuple(" ".join(found.get(place, {PLAIN_NAMES[place]: None})) for place in range(12))


def _alt(rings: tuple[Ring, ...], axis_words: str) -> str:
    """Say in words what the picture shows."""
    sets = [f"{ring.role} {ring.name} ({_inside(ring)})" for ring in rings]
    axis = f" An axis: {axis_words}." if axis_words else ""
    return f"Clock of twelve pitch classes, C at the top: {'; '.join(sets)}.{axis}"


def _inside(ring: Ring) -> str:
    """List the degrees of a set, and say after how many half steps it repeats itself, if so."""
    again = f", the same after every {ring.period} half steps" if ring.period < 12 else ""
    return f"{listed(ring.labels)}{again}"
