"""Legibility: what the names of a line cost the eye, and the names that cost least.

The one rule for all that is read at sight, on every page. A name costs something where it is not
that of its degree or speaks against the key signature; a pair of names where it looks like another
interval than it sounds; a pitch where it has two names close together (common practice, all of it).
So the altered notes over G7 fall as Eb Db Bb Ab, while a raised 9 under the third stays A sharp.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from theorykit.notes.degree import AWKWARD, enharmonics
from theorykit.notes.note import Note, Pitch

# === Costs, in one scale ===

OTHER_NAME, OWN_NAME = 0.3, -0.2  # another reading of a degree than its first; if the key has it
STAND_IN = 0.6  # a plain name in the place of one that is hard to read
MISNAMED = 5.0  # a name that no reading of the degree has
TONE_MISNAMED = 30.0  # of a chord tone: more than any torn step, less than two names in a bar
WRITTEN_MISNAMED = 3.0  # of a tension that the symbol writes: less than a fourth that looks torn
SIGN, NEXT_SIGN = 0.05, 0.8  # any accidental; E# B# Cb Fb as the next sign of the signature
STRANGE, STRANGE_STEP = 1.2, 3.0  # E# B# Cb Fb elsewhere: as a degree, as a chromatic step
OTHER_SIDE = 0.3  # a sharp where the signature has flats, a flat where it has sharps
AGAINST = 1.5  # G# where the signature has Ab
ENTERS, LEAVES, LEAVES_STEP = 0.3, 2.0, 3.6  # on one letter: into a chromatic note; out of one
TWICE = 1e4  # a pitch by two names in a bar: more than all other names of the bar together
HARDLY = 90.0  # above the cheapest name: no name that costs more is looked at
NEARBY = 1.5  # the same within a few beats over the bar line: less than a step like a third
BREATH, ACROSS = Fraction(1), 0.3  # a rest parts two phrases: what counts across it
FEW_BEATS = Fraction(4)
UNLIKE = 3.0  # for an interval that no player would guess
MISREAD = 1.5  # and what is taken for another interval, such as a step that looks like a third
# By half steps: how many letters lie between two notes, and what it costs the eye. A fourth, a
# fifth or a step is read as a shape; sevenths and sixths are seldom, diminished chords common.
INTERVALS: tuple[dict[int, float], ...] = (
    {0: 0.0},
    {1: 0.0, 0: 0.3},
    {1: 0.0, 2: 1.5, 0: 2.5},
    {2: 0.0, 1: 0.5},
    {2: 0.0, 3: 0.9},
    {3: 0.0, 2: 3.8, 4: 3.8},
    {3: 0.0, 4: 0.0, 2: 2.0, 5: 2.0},
    {4: 0.0, 3: 3.8, 5: 3.8},
    {5: 0.0, 4: 0.6},
    {5: 0.0, 6: 0.6},
    {6: 0.0, 5: 0.6},
    {6: 0.0, 0: 0.6},
)
MOST_WAYS = 12  # that are followed at a time
TOO_MUCH = 4.5  # a name that costs so much more than another is not tried


@dataclass(frozen=True, slots=True)
class Sound:
    """A note that waits for its name.

    ``names`` are those that its degree may have, its own first, none for a chromatic note;
    ``is_tone`` tells that the chord holds it, ``is_written`` that it is a tension which the symbol
    writes; ``other`` is what a name costs that is none of them.
    ``start`` and ``end`` are beats, ``bar`` is the number of its bar.
    """

    midi: int
    names: tuple[Note, ...]
    is_tone: bool = False
    start: Fraction = Fraction(0)
    end: Fraction = Fraction(0)
    bar: int = 0
    other: float = MISNAMED
    is_written: bool = False


Choice = tuple[Note, float]  # a name and what it costs by itself
Way = tuple[float, tuple[Note, ...]]


def best_names(
    sounds: Sequence[Sound], choices: Sequence[Sequence[Choice]], held: Iterable[Note]
) -> tuple[Note, ...]:
    """Return the cheapest names; ``choices`` has those that each sound may have.

    ``held`` are the notes of the key signature.

    >>> g, a = (Note(letter) for letter in "GA")
    >>> sounds = [Sound(67, (g,)), Sound(68, ()), Sound(69, (a,))]
    >>> choices = [own_choices(sound, ()) for sound in sounds]
    >>> [str(name) for name in best_names(sounds, choices, ())]
    ['G', 'G#', 'A']
    """
    in_key = frozenset(held)
    earlier, still_open = _links(sounds)
    ways: list[Way] = [(0.0, ())]
    for at, sound in enumerate(sounds):
        best: dict[tuple[Note, ...], Way] = {}
        for cost, way in ways:
            for name, own in choices[at]:
                more = own + (_between(sounds[at - 1], way[-1], sound, name, in_key) if at else 0.0)
                again = earlier[at]
                if again is not None and way[again] != name:
                    more += TWICE if sounds[again].bar == sound.bar else NEARBY
                whole = (*way, name)
                state = tuple(whole[place] for place in still_open[at])
                if state not in best or cost + more < best[state][0]:
                    best[state] = cost + more, whole
        ways = sorted(best.values(), key=lambda way: way[0])[:MOST_WAYS]
    return ways[0][1]


def _links(sounds: Sequence[Sound]) -> tuple[list[int | None], list[list[int]]]:
    """Return where each pitch came shortly before, and which notes later ones look back to."""
    last: dict[int, int] = {}
    earlier: list[int | None] = []
    until = list(range(1, len(sounds) + 1))
    for at, sound in enumerate(sounds):
        found = last.get(sound.midi % 12)
        if found is not None and not _is_near(sounds[found], sound):
            found = None
        earlier.append(found)
        if found is not None:
            until[found] = max(until[found], at)
        last[sound.midi % 12] = at
    places = range(len(sounds))
    return earlier, [[p for p in places[: at + 1] if until[p] > at] for at in places]


def _is_near(one: Sound, other: Sound) -> bool:
    """Tell whether two sounds stand in one bar or within a few beats."""
    return one.bar == other.bar or other.start - one.start <= FEW_BEATS


def own_choices(sound: Sound, held: Iterable[Note], within: float = TOO_MUCH) -> tuple[Choice, ...]:
    """Return the names that a note may have, with what each costs by itself.

    None costs more than ``within`` above the cheapest, but for a chord tone's name in the key: two
    chords of one bar may need it.

    >>> g_sharp = Sound(68, ())
    >>> a_flat = [Note.parse(name) for name in "Ab Bb C Db Eb F G".split()]
    >>> [(str(name), round(cost, 2)) for name, cost in own_choices(g_sharp, a_flat)]
    [('G#', 1.85), ('Ab', 0.0)]
    """
    in_key = frozenset(held)
    found = [
        (name, _alone(name, sound, in_key) + _renaming(name, sound, in_key))
        for name in enharmonics(sound.midi % 12)
    ]
    most = min(cost for _, cost in found) + within
    return tuple(one for one in found if one[1] < most or (sound.is_tone and one[0] in in_key))


def _alone(name: Note, sound: Sound, held: frozenset[Note]) -> float:
    """Return what a name costs beside a key signature; what that has costs nothing.

    A name speaks against the signature where that has the pitch by another one; the only name of a
    degree, as the b9 of F7 in G major, may do so.
    """
    if name in held:
        return 0.0
    signs = _signs(held)
    cost = SIGN * abs(name.alteration) + OTHER_SIDE * (name.alteration * signs < 0)
    if name in AWKWARD:
        strange = STRANGE if name in sound.names else STRANGE_STEP
        cost += NEXT_SIGN if is_next_sign(name, held) else strange
    if sound.names[:1] == (name,) and not held.intersection(sound.names):
        return cost
    return cost + AGAINST * any(own.semitone == name.semitone for own in held)


def is_next_sign(name: Note, held: Iterable[Note]) -> bool:
    """Tell whether E#, B#, Cb or Fb is the sharp or flat that comes after those of a signature.

    >>> from theorykit.notes.key import Key
    >>> [is_next_sign(Note.parse("Cb"), Key.parse(key).notes) for key in ("Ab", "Db", "Gb")]
    [False, True, False]
    """
    return {"Cb": -5, "Fb": -6, "E#": 5, "B#": 6}.get(str(name)) == _signs(held)


def _signs(held: Iterable[Note]) -> int:
    """Return how many sharps a signature has, below 0 how many flats."""
    return sum(note.alteration for note in held)


def _renaming(name: Note, sound: Sound, held: frozenset[Note]) -> float:
    """Return what it costs that a degree has another name than its own."""
    own = sound.names[0] if sound.names else name
    if name == own:
        return 0.0
    if name in sound.names:
        return OWN_NAME if name in held else OTHER_NAME
    if sound.is_tone:
        return TONE_MISNAMED
    if sound.is_written:
        return max(WRITTEN_MISNAMED, sound.other)
    return min(STAND_IN, sound.other) if own in AWKWARD and own not in held else sound.other


def _between(before: Sound, last: Note, sound: Sound, name: Note, held: frozenset[Note]) -> float:
    """Return what it costs that a name follows another."""
    if abs(sound.midi - before.midi) == 1 and name.letter == last.letter:
        cost = _on_one_letter(before, last, held)
    else:
        cost = _looks(sound.midi - before.midi, last, name)
    return cost * ACROSS if sound.start - before.end >= BREATH else cost


def _on_one_letter(before: Sound, last: Note, held: frozenset[Note]) -> float:
    """Return what a half step on one letter costs: most, where a sharp falls or a flat rises."""
    if last in held or (before.is_tone and last in before.names):
        return ENTERS
    if last in before.names and before.other >= MISNAMED:
        return LEAVES
    return LEAVES_STEP if last.alteration or before.is_written else ENTERS


def _looks(size: int, last: Note, name: Note) -> float:
    """Return what it costs that a move by half steps looks as two names make it look."""
    apart = (name.step - last.step) * (1 if size >= 0 else -1) % 7
    return INTERVALS[abs(size) % 12].get(apart, UNLIKE)


def misread(pitches: Iterable[Pitch]) -> int:
    """Return how many moves of a line are taken for another interval than they sound.

    >>> for names in ("C#5 Bb4 A4", "C#5 Eb5 F5", "D#5 A#4 Bb4"):
    ...     print(names, misread(Pitch.parse(name) for name in names.split()))
    C#5 Bb4 A4 0
    C#5 Eb5 F5 1
    D#5 A#4 Bb4 1
    """
    moves = pairwise(pitches)
    return sum(_looks(b.midi - a.midi, a.note, b.note) >= MISREAD for a, b in moves)
