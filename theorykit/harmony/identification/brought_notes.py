"""Notes that a player brings, read, and the colours and substitutes that they match."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import CHORD_TONES, COLOURS, Colour
from theorykit.harmony.substitution import Substitute, substitutes
from theorykit.harmony.superimposition import Reading
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note
from theorykit.notes.scales import Scale

LONGEST_TEXT = 200  # characters: twelve notes with room to spare
WANTED = "want notes such as 'E G# B', or one chord such as 'E7'"


@dataclass(frozen=True, slots=True)
class Sounds:
    """What was brought: its name in plain form, and its notes, each sound once.

    >>> found = read_sounds("Bmaj7")
    >>> found.name, [str(note) for note in found.notes]
    ('Bmaj7', ['B', 'D#', 'F#', 'A#'])
    """

    name: str
    notes: tuple[Note, ...]
    is_named: bool = False  # a chord or a scale, not single notes


def read_sounds(brought: Chord | Scale | str | Iterable[Note | str]) -> Sounds:
    """Return what a player brought; a text of one letter is a note, ``Emaj`` the triad.

    >>> [read_sounds(text).name for text in ("E, G# B", "E", "Emaj", "Ab melodic minor")]
    ['E G# B', 'E', 'E', 'Ab melodic minor']
    >>> len(read_sounds("E").notes), len(read_sounds("Emaj").notes)
    (1, 3)
    >>> read_sounds("E7 A7")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: neither notes nor a chord: 'E7 A7' (want notes such as \
'E G# B', or one chord such as 'E7')
    """
    if isinstance(brought, Chord):
        return _of_chord(brought)
    if isinstance(brought, Scale):
        return Sounds(str(brought), _once(brought.notes), True)
    if isinstance(brought, str):
        return _of_text(brought)
    if not isinstance(brought, Iterable):
        raise TheoryError(f"neither notes nor a chord: {shown(brought)} ({WANTED})")
    return _of_notes(_as_note(note) for note in brought)


def _as_note(note: object) -> Note:
    """Return a note, read where text came."""
    return note if isinstance(note, Note) else Note.parse(note)  # type: ignore[arg-type]


def _of_chord(chord: Chord) -> Sounds:
    """Return the notes of a chord, a foreign bass among them."""
    if chord.is_silent:
        raise TheoryError(f"no notes in {chord} ({WANTED})")
    return Sounds(str(chord), _once((*chord.notes, chord.lowest)), True)


def _of_notes(notes: Iterable[Note]) -> Sounds:
    """Return single notes."""
    found = _once(notes)
    if not found:
        raise TheoryError(f"no notes ({WANTED})")
    return Sounds(" ".join(map(str, found)), found)


def _of_text(text: str) -> Sounds:
    """Read notes, or else a chord, or else a scale."""
    if len(text) > LONGEST_TEXT:
        raise TheoryError(f"neither notes nor a chord: {shown(text)} ({WANTED})")
    notes = [_note_or_none(word) for word in text.replace(",", " ").split()]
    if None in notes:
        return _of_name(text)
    return _of_notes(note for note in notes if note is not None)


def _note_or_none(word: str) -> Note | None:
    """Read a note name, or return None."""
    try:
        return Note.parse(word)
    except TheoryError:
        return None


def _of_name(text: str) -> Sounds:
    """Read the name of a chord or of a scale; the message of a chord tells best what is wrong."""
    try:
        return read_sounds(Scale.parse(text))
    except TheoryError:
        pass
    try:
        return _of_chord(Chord.parse(text))
    except TheoryError as wrong:
        if len(text.split()) > 1:
            raise TheoryError(f"neither notes nor a chord: {shown(text)} ({WANTED})") from wrong
        raise


def _once(notes: Iterable[Note]) -> tuple[Note, ...]:
    """Keep the first name of each sound."""
    found: dict[int, Note] = {}
    for note in notes:
        found.setdefault(note.semitone, note)
    return tuple(found.values())


THIRD, NINTH = Degree(3), Degree(9)
# === Colours and substitutes that match ===

TAKE_A_NINTH = tuple(ChordKind.of(formula) for formula in ("1 b3 5 b7", "1 3 5 b7", "1 3 5 7"))
FEWEST_TO_SUGGEST = 3  # notes; one or two belong to too many chords to point to one


@dataclass(frozen=True, slots=True)
class ColourMatch:
    """A colour beside given notes: what they bring besides, and which of its tensions they lack.

    >>> from theorykit.notes.degree import degrees
    >>> best = match_colours(degrees("13 b9"))[0]
    >>> best.colour.name, best.is_exact
    ('b9 13', True)
    """

    colour: Colour
    extra: tuple[Degree, ...]
    missing: tuple[Degree, ...]

    @property
    def is_exact(self) -> bool:
        """True where the notes have the tensions of the colour and no others."""
        return not self.extra and not self.missing

    @property
    def holds(self) -> bool:
        """True where the colour holds all the notes."""
        return not self.extra


def match_colours(
    found: tuple[Degree, ...], held: tuple[Degree, ...] = ()
) -> tuple[ColourMatch, ...]:
    """Return every colour beside degrees over a dominant: exact, then those that hold them all.

    After these come the others, the nearest first. The sound decides: the 4 of a suspension is the
    11 of a colour. Tones of the plain dominant count neither as extra nor as missing, but for the 3
    beside a suspension; nor is an 11 missing that the chord has as the 4 among its ``held`` tones.

    >>> from theorykit.notes.degree import degrees
    >>> match_colours(degrees("5 b7 9 4"), degrees("1 4 5 b7"))[0].colour.name
    'suspended'
    """
    matches = [_match(colour, found, held) for colour in COLOURS]
    sounding = _sounds(found)
    own = [len(sounding ^ _sounds(match.colour.degrees)) for match in matches]
    order = sorted(
        range(len(matches)),
        key=lambda i: (
            bool(matches[i].extra),
            len(matches[i].extra) + len(matches[i].missing),
            own[i],
        ),
    )
    return tuple(matches[i] for i in order)


def _match(colour: Colour, found: tuple[Degree, ...], held: tuple[Degree, ...]) -> ColourMatch:
    """Compare one colour with degrees."""
    suspended = Degree(11) in colour.degrees and THIRD not in colour.degrees
    free = _sounds((*colour.degrees, *colour.passing, *CHORD_TONES))
    if suspended:
        free -= {THIRD.semitone}
    there = _sounds(found) | (_sounds(held) & {Degree(11).semitone})
    extra = tuple(degree for degree in found if degree.semitone not in free)
    missing = tuple(degree for degree in colour.tensions if degree.semitone not in there)
    return ColourMatch(colour, extra, missing)


def _sounds(found: Iterable[Degree]) -> frozenset[int]:
    """Return degrees as half steps above the root."""
    return frozenset(degree.semitone for degree in found)


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A chord of a substitute that holds the given notes.

    ``ninth`` tells that the chord holds them only together with its 9; ``is_whole`` that the
    notes are all of the chord, the root left out where the 9 joins.
    """

    substitute: Substitute
    reading: Reading
    ninth: bool
    is_whole: bool

    @property
    def chord(self) -> Chord:
        """The chord that the notes suggest."""
        return self.reading.chord

    @property
    def words(self) -> str:
        """The suggestion as a clause.

        >>> [found.words for found in suggest(frozenset((11, 3, 6, 10)), "G7", "C")][:2]
        ['they are Bmaj7: the major seventh chord a half step below I', \
'they are A♭m7 with its 9 and without its root: the related ii of the tritone substitute']
        """
        name = self.chord.pretty
        if self.is_whole:
            what = f"they are {name}{' with its 9 and without its root' * self.ninth}"
        else:
            what = f"they are in {name}{' with its 9' * self.ninth}"
        return f"{what}: {_place(self.substitute, self.chord)}"


def _place(found: Substitute, chord: Chord) -> str:
    """Say which substitute a chord is, or belongs to."""
    if chord == found.chords[-1] or found.name.startswith("related ii"):
        return f"the {found.name}"
    return f"a chord of the {found.name}, {found.title}"


def suggest(
    sounds: frozenset[int], dominant: Chord | str, target: Chord | str
) -> tuple[Suggestion, ...]:
    """Return the substitutes that given sounds suggest, each chord once, whole chords first.

    ``sounds`` are pitch classes. One or two sounds, and tones of the dominant alone, suggest none.
    """
    found = [
        one
        for substitute in substitutes(dominant, target)
        for reading in substitute.readings
        if (one := _suggestion(substitute, reading, sounds)) is not None
    ]
    found.sort(key=lambda one: (not one.is_whole, one.ninth))
    first = {_sound(one.chord): one for one in reversed(found)}
    return tuple(one for one in found if first[_sound(one.chord)] is one)


def _sound(chord: Chord) -> tuple[int, ChordKind]:
    """Return what a chord is by sound: B flat 7 and A sharp 7 are one."""
    return chord.root.semitone, chord.kind


def _suggestion(
    substitute: Substitute, reading: Reading, sounds: frozenset[int]
) -> Suggestion | None:
    """Compare sounds with one chord of a substitute."""
    own = {note.semitone for note in reading.original.notes}
    if len(sounds) < FEWEST_TO_SUGGEST or sounds <= own or reading.is_original:
        return None
    chord = {note.semitone for note in reading.chord.notes}
    root = reading.chord.root
    larger = chord | {above(root, NINTH).semitone}
    if sounds <= chord:
        return Suggestion(substitute, reading, False, sounds == chord)
    if sounds <= larger and reading.chord.kind in TAKE_A_NINTH:
        return Suggestion(substitute, reading, True, sounds == larger - {root.semitone})
    return None
