"""The spelling of a line: by degree, for the eye, and of chromatic steps.

A name costs something where it is not the first of its degree, a pair of names where their letters
do not lie as far apart as the notes sound; the cheapest spelling of the whole line wins. So the
altered notes over G7 fall as Eb Db Bb Ab, while a raised 9 under the third stays A sharp.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from theorykit.harmony.tensions import degrees_over
from theorykit.notes.chord import Chord
from theorykit.notes.degree import AWKWARD, Degree, above, enharmonics, single, spell_near
from theorykit.notes.note import LETTERS, MOST_ACCIDENTALS, NATURAL_SEMITONES, Note


def half_step_name(goal: Note, rising: bool, held: Iterable[Note] = ()) -> Note:
    """Return the name of the note a half step before ``goal``, below it if the step is ``rising``.

    A rising half step takes the letter below, a falling one the letter above (common practice);
    where that name is awkward, a plain one, unless the key signature (``held``) has it.

    >>> [str(half_step_name(Note.parse(n), True)) for n in ("E", "F", "Bb", "G#")]
    ['D#', 'E', 'A', 'G']
    >>> [str(half_step_name(Note.parse(n), False)) for n in ("E", "D", "G", "B")]
    ['F', 'Eb', 'Ab', 'C']
    """
    step = (goal.step + (-1 if rising else 1)) % 7
    semitone = (goal.semitone + (-1 if rising else 1)) % 12
    alteration = (semitone - NATURAL_SEMITONES[step] + 6) % 12 - 6
    if abs(alteration) < MOST_ACCIDENTALS:
        name = Note(LETTERS[step], alteration)
        if name in held or (abs(alteration) < 2 and name not in AWKWARD):
            return name
    return next(name for name in enharmonics(semitone) if name not in AWKWARD)


# === Written lines ===

READ_AS = {Degree(9, 1): Degree(3, -1), Degree(11, 1): Degree(5, -1)}  # common practice
OCTAVE = 8  # degrees above it are tensions
OTHER_NAME, OWN_NAME = 0.3, -0.2  # another name of a degree than its first; if the key has it
DOUBLE, STRANGE, SIGN = 1.0, 1.2, 0.05  # a double accidental, E# B# Cb Fb, any accidental
WRONG_STEP = 1.0  # for each letter that two names lie too near or too far
CLASHING = 2.0  # two notes on one letter that are no half step apart, as F# and Fb
SAME_LETTER = (0.3, 0.6)  # a half step on one letter: into a chromatic note, out of it
# How many letters lie between two notes, by half steps; a tritone is a fourth or a fifth.
_LETTERS_APART = ((0,), (1,), (1,), (2,), (2,), (3,), (3, 4), (4,), (5,), (5,), (6,), (6,), (7,))

Sound = tuple[int, tuple[Note, ...]]
Way = tuple[float, tuple[Note, ...]]


def spelled(sounds: Sequence[Sound], held: Iterable[Note]) -> tuple[Note, ...]:
    """Return the names of a line's notes; ``held`` are the notes of the key signature.

    ``sounds`` gives for each note its MIDI number and the names that its degree may have, none for
    a chromatic note.

    >>> c, d = (Note.parse("C"),), (Note.parse("D"),)
    >>> [str(n) for n in spelled([(60, c), (61, ()), (62, d)], ())]
    ['C', 'C#', 'D']
    >>> [str(n) for n in spelled([(62, d), (61, ()), (60, c)], ())]
    ['D', 'Db', 'C']
    """
    in_key = frozenset(held)
    ways: list[Way] = [(0.0, ())]
    before: Sound | None = None
    for sound in sounds:
        ways = [_cheapest(ways, name, before, sound, in_key) for name in _names(sound)]
        before = sound
    return _agreed(sounds, min(ways, key=lambda way: way[0])[1])


def _agreed(sounds: Sequence[Sound], names: Sequence[Note]) -> tuple[Note, ...]:
    """Return names in which no degree that may be read in two ways is read in both."""
    found: dict[Note, set[Note]] = {}
    for (_, own), name in zip(sounds, names, strict=True):
        if len(own) > 1:
            found.setdefault(own[0], set()).add(name)
    return tuple(
        own[0] if len(own) > 1 and len(found[own[0]]) > 1 else name
        for (_, own), name in zip(sounds, names, strict=True)
    )


def _names(sound: Sound) -> tuple[Note, ...]:
    """Return the names that a note may have."""
    midi, names = sound
    return names or enharmonics(midi % 12)


def _cheapest(
    ways: Sequence[Way], name: Note, before: Sound | None, sound: Sound, held: frozenset[Note]
) -> Way:
    """Return the cheapest way that ends with a name."""
    other = OWN_NAME if name in held else OTHER_NAME + STRANGE * (name in AWKWARD)
    own = _strange(name, held) + other * (sound[1][:1] not in ((), (name,)))
    if before is None:
        return own, (name,)
    cost, way = min(
        ((cost + _between(way[-1], name, before, sound), way) for cost, way in ways),
        key=lambda pair: pair[0],
    )
    return cost + own, (*way, name)


def _strange(name: Note, held: frozenset[Note]) -> float:
    """Return what a name costs the eye; what the key signature has costs nothing."""
    if name in held:
        return 0.0
    signs = abs(name.alteration)
    return SIGN * signs + DOUBLE * (signs > 1) + STRANGE * (name in AWKWARD)


def _between(last: Note, name: Note, before: Sound, sound: Sound) -> float:
    """Return what it costs that a name follows another."""
    size = sound[0] - before[0]
    apart = (name.step - last.step) * (1 if size >= 0 else -1) % 7
    if apart == 0 and size % 12:
        half_step = SAME_LETTER[bool(sound[1]) and not before[1]]
        return half_step if abs(size) == 1 else CLASHING
    wanted = _LETTERS_APART[min(abs(size), 12)]
    return WRONG_STEP * min(min((apart - w) % 7, (w - apart) % 7) for w in wanted)


def single_names(names: Sequence[Note]) -> tuple[Note, ...]:
    """Return the names of a degree without double accidentals; others where it has only such.

    >>> [str(name) for name in single_names((Note.parse("F##"),))]
    ['G']
    """
    kept = tuple(name for name in names if abs(name.alteration) < 2)
    others = enharmonics(names[0].semitone) if names and not kept else ()
    return kept or tuple(name for name in others if abs(name.alteration) < 2)


def legible_names(
    names: Sequence[Note], chords: Sequence[Chord], bars: Sequence[int], held: Iterable[Note]
) -> tuple[Note, ...]:
    """Return the names for the eye of some notes: the rule for everything that is read at sight.

    No name has a double accidental; E#, B#, Cb and Fb stay only where the key signature (``held``)
    has them, or the chord symbol speaks of them: the 3rd of C#7 is E#, and nobody takes it for F.
    In one bar one pitch has one name: that of the key, or of the chord, or else the flat one.
    ``chords`` and ``bars`` tell for each note its chord and the number of its bar.

    >>> given = [Note.parse(name) for name in ("Cb", "Ebb", "G#", "Ab")]
    >>> [str(n) for n in legible_names(given, [Chord.parse("Db7")] * 4, [0, 0, 1, 1], ())]
    ['Cb', 'D', 'Ab', 'Ab']
    """
    in_key = frozenset(held)
    plain = [_plain(name, chord, in_key) for name, chord in zip(names, chords, strict=True)]
    best: dict[tuple[int, int], tuple[tuple[bool, bool, bool], Note]] = {}
    for name, chord, bar in zip(plain, chords, bars, strict=True):
        stranger = (name not in in_key, name not in chord.notes, name.alteration > 0)
        place = bar, name.semitone
        best[place] = min(best.get(place, (stranger, name)), (stranger, name), key=_strangeness)
    return tuple(best[bar, name.semitone][1] for name, bar in zip(plain, bars, strict=True))


def _strangeness(one: tuple[tuple[bool, bool, bool], Note]) -> tuple[bool, bool, bool]:
    """Return how strange a name is where it stands."""
    return one[0]


def _plain(note: Note, chord: Chord, in_key: frozenset[Note]) -> Note:
    """Return the name for the eye of one note over a chord."""
    strange = note in AWKWARD and note not in in_key and note not in chord.notes
    if abs(note.alteration) < 2 and not strange:
        return note
    own = [name for name in enharmonics(note.semitone) if name in in_key]
    return own[0] if own else spell_near(note.semitone, note)


# === On another page ===


@dataclass(frozen=True, slots=True)
class MovedNote:
    """A note as it is named over its chord, and as it is when moved with its chord by letters."""

    midi: int
    name: Note
    chord: Chord
    moved: Note
    onto: Chord


def page_names(notes: Sequence[MovedNote], held: Iterable[Note]) -> tuple[Note, ...]:
    """Return the names of notes that were moved onto another page; ``held`` is its key signature.

    They are moved letter by letter. A plain name that stood in the place of a strange one is found
    anew: the #11 of C#7, F##, is written G; over Bb7 it is E, and not the Fb that G becomes. Where
    there is such a note, a #9 may read as b3 and a #11 as b5, as in a line that is written there.

    >>> c_sharp, page = Chord.parse("C#7"), Chord.parse("Bb7")
    >>> moved = MovedNote(55, Note.parse("G"), c_sharp, Note.parse("Fb"), page)
    >>> [str(name) for name in page_names([moved], ())]
    ['E']
    """
    strange = [_stood_in(note) for note in notes]
    stays = all(note.moved == note.name for note in notes)
    if stays or not any(strange):
        return tuple(single(note.moved) for note in notes)
    sounds = [
        (note.midi, _found_anew(note) if free else _readings(note, note.moved))
        for note, free in zip(notes, strange, strict=True)
    ]
    return tuple(map(single, spelled(sounds, held)))


def _found_anew(note: MovedNote) -> tuple[Note, ...]:
    """Return the names of a note whose old one stood in: of a tension its own, else any."""
    degree = degrees_over(note.onto, [note.moved])[0]
    return _readings(note, above(note.onto.root, degree)) if degree.number > OCTAVE else ()


def _stood_in(note: MovedNote) -> bool:
    """Tell whether a name is not that of the degree, because that one is hard to read."""
    if note.chord.is_silent:
        return False
    own = above(note.chord.root, degrees_over(note.chord, [note.name])[0])
    return note.name != own and (abs(own.alteration) > 1 or own in AWKWARD)


def _readings(note: MovedNote, name: Note) -> tuple[Note, ...]:
    """Return a name of a moved note, and how else its degree may be read."""
    if note.onto.is_silent:
        return (single(name),)
    other = READ_AS.get(degrees_over(note.onto, [name])[0])
    return single_names((name, above(note.onto.root, other)) if other else (name,))
