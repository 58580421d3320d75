"""The spelling of a line: where it is written, for the eye, on another page.

What a name costs, and how the cheapest names of a whole line are found, is in
``lines.text.legibility``.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.harmony.tensions import degrees_over
from theorykit.lines.text.altered_names import bound_names, parted
from theorykit.lines.text.legibility import (
    HARDLY,
    MISNAMED,
    Choice,
    Sound,
    best_names,
    is_next_sign,
    own_choices,
)
from theorykit.notes.chord import NO_CHORD, Chord
from theorykit.notes.degree import AWKWARD, Degree, above, enharmonics, single, spell_near
from theorykit.notes.note import LETTERS, MOST_ACCIDENTALS, NATURAL_SEMITONES, Note
from theorykit.tunes.progression import Progression


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

SHARP_ELEVEN = Degree(11, 1)
BLUE_THIRD = Degree(3, -1)
READ_AS = {Degree(9, 1): BLUE_THIRD, SHARP_ELEVEN: Degree(5, -1)}  # common practice
OCTAVE, ELEVENTH = 8, 11  # degrees; above the octave they are tensions
TYPED = 0.5  # what it costs that a note is written otherwise than it was typed
ON_ROOT = 3.8  # and that a b9 stands on the letter of its root
FLAT_NINE, NATURAL_SEVENTH = Degree(9, -1), Degree(7)
SHORT_OF = Fraction(2)  # beats before a change of chord in which a pickup to it begins
RESOLVES = (7, 1)  # half steps from the root of a chord up to that of its V, or substitute


def spelled(sounds: Sequence[Sound], held: Iterable[Note]) -> tuple[Note, ...]:
    """Return the names of a line's notes; ``held`` are the notes of the key signature.

    >>> c, d = (Note.parse("C"),), (Note.parse("D"),)
    >>> [str(n) for n in spelled([Sound(60, c), Sound(61, ()), Sound(62, d)], ())]
    ['C', 'C#', 'D']
    >>> [str(n) for n in spelled([Sound(62, d), Sound(61, ()), Sound(60, c)], ())]
    ['D', 'Db', 'C']
    """
    in_key = frozenset(held)
    tried = [own_choices(sound, in_key) for sound in sounds]
    accepted = [{name for name, _ in choices} for choices in tried]
    return best_names(sounds, _one_name_in_a_bar(sounds, accepted, in_key), in_key)


def spelled_by_chords(
    sounds: Sequence[Sound], chords: Sequence[Chord], held: Iterable[Note]
) -> tuple[Note, ...]:
    """Return the names of a line that was played, each of whose notes stands over a chord.

    The b9 and b13 of a dominant have its letters; a pitch may have two names over two chords.
    """
    return spelled(parted(bound_names(sounds, chords), chords), held)


def sounds_over(
    over: Progression,
    times: Sequence[tuple[Fraction, Fraction]],
    midis: Sequence[int],
    names: Sequence[tuple[Note, ...]],
) -> list[Sound]:
    """Return the sounds of a line over its chords; ``times`` are where notes begin and end.

    ``names`` are those that the degree of each note may have.
    """
    starts, found = over.bar_starts, []
    for (start, end), midi, own in zip(times, midis, names, strict=True):
        chord = over.chord_at(start).chord
        is_tone = bool(own) and any(own[0] == note for note in chord.notes)
        found.append(Sound(midi, own, is_tone, start, end, bisect_right(starts, start)))
    return found


def single_names(names: Sequence[Note]) -> tuple[Note, ...]:
    """Return the names of a degree without double accidentals; others where it has only such.

    >>> [str(name) for name in single_names((Note.parse("F##"),))]
    ['G']
    """
    kept = tuple(name for name in names if abs(name.alteration) < 2)
    others = enharmonics(names[0].semitone) if names and not kept else ()
    return kept or tuple(name for name in others if abs(name.alteration) < 2)


def legible_names(
    names: Sequence[Note],
    sounds: Sequence[Sound],
    over: Sequence[tuple[Fraction, Chord]],
    held: Iterable[Note],
) -> tuple[Note, ...]:
    """Return the names for the eye of some notes: the rule for everything that is read at sight.

    No name has a double accidental; E#, B#, Cb and Fb stay only where the key signature (``held``)
    has them or would have them next, as Cb in D flat, or the chord symbol speaks of them: the 3rd
    of C#7 is E#, and nobody takes it for F.
    In one bar one pitch has one name, even where two chords call it by two. Among the names that
    are left those win that cost the eye least (``lines.text.legibility``). A pickup has the names
    of the chord it leads to. ``sounds`` belong to the names one by one; ``over`` are the chords,
    each with the beat on which it begins.

    >>> given = [Note.parse(name) for name in ("Cb", "Ebb", "G#", "Ab")]
    >>> sounds = [Sound(59 + at, (), bar=at // 2) for at in (0, 3, 9, 9)]
    >>> [str(n) for n in legible_names(given, sounds, [(Fraction(0), Chord.parse("Db7"))], ())]
    ['Cb', 'D', 'Ab', 'Ab']
    """
    in_key = frozenset(held)
    here = _chords_under(sounds, over)
    each = zip(names, led_to(sounds, over), here, strict=True)
    chords = [_naming(*one) for one in each]
    typed = [_typed(*each) for each in zip(names, sounds, chords, here, strict=True)]
    return best_names(typed, _choices_in_bars(typed, chords, in_key), in_key)


def _choices_in_bars(
    sounds: Sequence[Sound], chords: Sequence[Chord], in_key: frozenset[Note]
) -> list[tuple[Choice, ...]]:
    """Return the names that the eye accepts, the same for all notes of one pitch in a bar.

    So the b9 of Eb7 may be the Fb that it was over Bbm7b5.
    """
    accepted = [
        {name for name, _ in own_choices(sound, in_key) if _is_plain(name, chord, in_key)}
        for sound, chord in zip(sounds, chords, strict=True)
    ]
    return _one_name_in_a_bar(sounds, accepted, in_key)


def _one_name_in_a_bar(
    sounds: Sequence[Sound], accepted: Sequence[set[Note]], in_key: frozenset[Note]
) -> list[tuple[Choice, ...]]:
    """Return for each sound the names that any sound of its pitch in its bar may have."""
    of_pitch: dict[tuple[int, int], set[Note]] = {}
    for sound, names in zip(sounds, accepted, strict=True):
        of_pitch.setdefault((sound.bar, sound.midi % 12), set()).update(names)
    return [
        tuple(
            one
            for one in own_choices(sound, in_key, within=HARDLY)
            if one[0] in of_pitch[sound.bar, sound.midi % 12]
        )
        for sound in sounds
    ]


def _naming(name: Note, onto: Chord, here: Chord) -> Chord:
    """Return the chord that names a note: the one it leads to, unless only the one ``here`` has it.

    >>> chords = Chord.parse("Dbmaj7"), Chord.parse("Abm7")
    >>> [str(_naming(Note.parse(name), *chords)) for name in ("B", "Ab", "D")]
    ['Abm7', 'Dbmaj7', 'Dbmaj7']
    """
    has, sounds = ({n.semitone for n in chord.notes} for chord in (onto, here))
    return here if name.semitone in sounds - has else onto


def _typed(name: Note, sound: Sound, chord: Chord, here: Chord) -> Sound:
    """Return a sound that has the name of the chord if the chord holds it, else the one typed.

    That of a pickup gives way to the name over the chord that is ``here``, in the same bar; where
    both chords call it alike it is a tone as any other.

    A tension of a dominant has the names of its degree, also where the symbol writes it: the #9 of
    A7#9, B#, may fall as C. A #11 that the symbol writes is none but that: D# over A13#11.
    """
    pairs = zip(chord.notes, chord.degrees, strict=True)
    own = next(((note, d.number) for note, d in pairs if note.semitone == name.semitone), None)
    named, number = own or (name, 0)
    is_eleven = number == ELEVENTH and named == above(chord.root, SHARP_ELEVEN)
    plain = is_eleven or not chord.kind.is_dominant
    names = (named,) if plain else _names_of(chord, named)
    is_nine = chord.kind.is_dominant and names[0] == above(chord.root, FLAT_NINE)
    is_tone, leads = 0 < number < OCTAVE, named not in here.notes
    return replace(
        sound,
        names=names,
        is_tone=is_tone and not leads,
        other=ON_ROOT if is_nine else MISNAMED if is_tone and leads else TYPED,
        is_written=number > OCTAVE,
    )


def _names_of(chord: Chord, name: Note) -> tuple[Note, ...]:
    """Return the names of the degree that a note is over a chord, its own first.

    A blue third has that of the third, also where it rises, if it would be E# or B#: over D7 it is
    F, then F# (common practice).

    >>> over = Chord.parse("G7"), Chord.parse("D7")
    >>> [[str(name) for name in _names_of(on, above(on.root, Degree(9, 1)))] for on in over]
    [['A#', 'Bb'], ['F']]
    """
    degree = degrees_over(chord, [name])[0]
    other = READ_AS.get(degree)
    own = above(chord.root, degree)
    if other == BLUE_THIRD and own in AWKWARD and own not in chord.notes:
        return (above(chord.root, other),)
    return (own, above(chord.root, other)) if other else (own,)


def _is_plain(name: Note, chord: Chord, in_key: frozenset[Note]) -> bool:
    """Tell whether the eye accepts a name over a chord."""
    known = name in in_key or name in chord.notes or is_next_sign(name, in_key)
    return name not in AWKWARD or known


# === Pickups ===


def led_to(sounds: Sequence[Sound], over: Sequence[tuple[Fraction, Chord]]) -> list[Chord]:
    """Return the chord that names each sound; ``over`` has chords and the beats they begin on.

    A pickup belongs to the chord it leads to: up to two beats after a rest, over a chord that has
    begun before and does not resolve. Over C sharp major 7 the two notes before Gm7b5 are D flat
    and B flat (common practice).

    >>> over = [(Fraction(0), Chord.parse("C#maj7")), (Fraction(4), Chord.parse("Gm7b5"))]
    >>> sounds = [Sound(61, (), start=Fraction(n), end=Fraction(n + 1)) for n in (0, 3, 4)]
    >>> [str(chord) for chord in led_to(sounds, over)]
    ['C#maj7', 'Gm7b5', 'Gm7b5']
    """
    starts = [start for start, _ in over]
    found: list[Chord] = []
    first = 0  # of the notes since the last rest
    for at, sound in enumerate(sounds):
        if at and sound.start > sounds[at - 1].end:
            first = at
        here = max(0, bisect_right(starts, sound.start) - 1)
        changes = first < at and sounds[at - 1].start < starts[here]
        if changes and _is_pickup(sounds[first].start, here, over):
            found[first:at] = [over[here][1]] * (at - first)
        found.append(over[here][1] if over else NO_CHORD)
    return found


def _chords_under(sounds: Sequence[Sound], over: Sequence[tuple[Fraction, Chord]]) -> list[Chord]:
    """Return the chord that sounds under each sound."""
    starts = [start for start, _ in over]
    places = [max(0, bisect_right(starts, sound.start) - 1) for sound in sounds]
    return [over[place][1] if over else NO_CHORD for place in places]


def _is_pickup(start: Fraction, after: int, over: Sequence[tuple[Fraction, Chord]]) -> bool:
    """Tell whether notes from a beat on lead to a chord, and are no part of the one before."""
    (begun, before), (change, onto) = over[after - 1], over[after]
    if before.is_silent or onto.is_silent or not begun < start or change - start > SHORT_OF:
        return False
    down = (before.root.semitone - onto.root.semitone) % 12
    return not (before.kind.is_dominant and down in RESOLVES)


# === On another page ===


@dataclass(frozen=True, slots=True)
class MovedNote:
    """A note as it is named over its chord, and as it is when moved with its chord by letters.

    ``sound`` is the one on the other page, ``onto`` the chord there.
    """

    sound: Sound
    name: Note
    chord: Chord
    moved: Note
    onto: Chord


def moved_name(name: Note, old: Note, new: Note) -> Note:
    """Return the name that stands to the new root as ``name`` stands to the old one.

    A name that no page can hold, with more than two accidentals, gives way to a plain one.
    """
    place = name.fifths + new.fifths - old.fifths
    if abs((place + 1) // 7) < MOST_ACCIDENTALS:
        return Note.from_fifths(place)
    semitone = (name.semitone + new.semitone - old.semitone) % 12
    return spell_near(semitone, Note("C", 1 if place > 0 else -1))


def keep_letters(notes: Sequence[MovedNote]) -> bool:
    """Tell whether notes moved by letters are read as they were: no plain name stood for another.

    Nor has one a double sharp, or over a dominant a double flat that is not the name of its degree,
    as Ebb is that of the b9 of Db7.

    >>> db, c_sharp = Chord.parse("Db7"), Chord.parse("C#7")
    >>> keep_letters([MovedNote(Sound(62, ()), Note("D"), db, Note("C", 2), c_sharp)])
    False
    """
    sounding = (note for note in notes if not note.chord.is_silent)
    return not any(_is_strange(note) or _stood_in(note) for note in sounding)


def _is_strange(note: MovedNote) -> bool:
    """Tell whether a note has become doubly altered, and not by the flat of its degree."""
    if note.moved.alteration >= -1 or not note.onto.kind.is_dominant:
        return note.moved.alteration > 1
    return note.moved != above(note.onto.root, degrees_over(note.onto, [note.moved])[0])


def page_names(notes: Sequence[MovedNote], held: Iterable[Note]) -> tuple[Note, ...]:
    """Return the names of notes that were moved onto another page; ``held`` is its key signature.

    A page is spelled as if the line were written there: a note of a degree has the name of that
    degree, or one that is easier to read, a chromatic one that of its step. The #11 of C#7, F##,
    is written G; over Bb7 it is E, and not the Fb that G becomes.

    >>> c_sharp, page = Chord.parse("C#7"), Chord.parse("Bb7")
    >>> moved = MovedNote(Sound(52, ()), Note.parse("G"), c_sharp, Note.parse("Fb"), page)
    >>> [str(name) for name in page_names([moved], ())]
    ['E']
    """
    if all(note.moved == note.name for note in notes):
        return tuple(single(note.moved) for note in notes)
    in_key = frozenset(held)
    chords = [note.onto for note in notes]
    sounds = bound_names([_on_page(note, in_key) for note in notes], chords)
    return spelled(parted(sounds, chords) if _has_two_names(notes) else sounds, in_key)


def _has_two_names(notes: Sequence[MovedNote]) -> bool:
    """Tell whether a pitch has two names in a bar, where the line comes from."""
    named = {(note.sound.bar, note.name) for note in notes}
    return len(named) > len({(bar, name.semitone) for bar, name in named})


def _on_page(note: MovedNote, in_key: frozenset[Note]) -> Sound:
    """Return a moved note as a sound over the chords of its page."""
    names = _readings(note, in_key)
    is_tone = bool(names) and names[0] in note.onto.notes
    return replace(note.sound, names=names, is_tone=is_tone)


def _readings(note: MovedNote, in_key: frozenset[Note]) -> tuple[Note, ...]:
    """Return the names of a note's degree on the page; none for a chromatic step.

    Its letter is that of no degree then, or its degree is none of the chord and its key.
    """
    if note.onto.is_silent or note.chord.is_silent:
        return (single(note.moved),)
    degree = degrees_over(note.onto, [note.moved])[0]
    colours = note.onto.kind.is_dominant and degree != NATURAL_SEVENTH
    own = colours or degree in note.onto.degrees or note.moved in in_key
    readings = _names_of(note.onto, note.moved)
    named = note.moved in readings and (own or note.onto.kind.is_dominant)
    return single_names(readings) if named or (own and _stood_in(note)) else ()


def _stood_in(note: MovedNote) -> bool:
    """Tell whether a name is not that of the degree, because that one is hard to read."""
    own = above(note.chord.root, degrees_over(note.chord, [note.name])[0])
    return note.name != own and (abs(own.alteration) > 1 or own in AWKWARD)
