"""Tensions: the degree of a note over a chord, its role there, and where it rubs.

Every picture and staff that tells notes apart asks here, so that a note is the same in all of them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from functools import lru_cache

from theorykit.errors import TheoryError, shown
from theorykit.harmony.chord_families import OUTSIDE, RUB, family, opposed, standings
from theorykit.harmony.colours import CHORD_TONES, Colour
from theorykit.harmony.wording import ordinal
from theorykit.notes.chord import Chord
from theorykit.notes.degree import AWKWARD, Degree, above, degrees, plain_root, written_above
from theorykit.notes.key import Key, tonic_key
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note
from theorykit.notes.reader import Reader

__all__ = [
    "LANDING",
    "MARKS",
    "ROLES",
    "TENSION_NAMES",
    "as_chord",
    "as_target",
    "degree_names",
    "degrees_over",
    "label_of",
    "mark_of",
    "role_over",
    "stands_for_third",
    "why_it_rubs",
    "written_pair",
]

# How a note is named over a chord that does not hold it: as a tension where the trade has one
# (common practice; the twelve names are those of the solo counts in harmony.counts).
TENSION_NAMES = degrees("1 b9 9 #9 3 11 #11 5 b13 13 b7 7")
THIRD, MINOR_THIRD, SHARP_NINE = Degree(3), Degree(3, -1), Degree(9, 1)
NO_DOMINANT = frozenset(degrees("6 7"))  # beside a major 3rd: the chord is no V
SUSPENSIONS = degrees("4 2")
SAY_WHICH = frozenset(degrees("b3 3 b7"))  # without one of these a minor 3rd is just that


def degree_names(chord: Chord) -> tuple[Degree, ...]:
    """Return the name of each of the twelve sounds over a chord, by half steps above the root.

    >>> [str(d) for d in degree_names(Chord.parse("Cm7b5"))]
    ['1', 'b9', '9', 'b3', '3', '11', 'b5', '5', 'b13', '13', 'b7', '7']
    """
    if chord.is_silent:
        raise TheoryError("no degrees over N.C. (want a chord with a root)")
    return _names_over(chord.degrees)


@lru_cache(maxsize=512)
def _names_over(held: tuple[Degree, ...]) -> tuple[Degree, ...]:
    """Return the names of the twelve sounds over a chord of some degrees."""
    named = list(TENSION_NAMES)
    if (THIRD in held and NO_DOMINANT.intersection(held)) or not SAY_WHICH.intersection(held):
        named[MINOR_THIRD.semitone] = MINOR_THIRD  # a blue third, not the tension of a V
    for degree in held:
        named[degree.semitone] = degree
    return tuple(named)


def degrees_over(chord: Chord | str, notes: str | Iterable[Note | str]) -> tuple[Degree, ...]:
    """Return what each note is over a chord, in the order given.

    A note that the chord holds keeps the chord's own name (the b5 of a half-diminished chord);
    any other is named as a tension. The sound decides, not the spelling. ``notes`` are notes,
    note names, or one text of names with spaces between.

    >>> [str(d) for d in degrees_over("G7", "E G# B")]
    ['13', 'b9', '3']
    >>> [str(d) for d in degrees_over("Cm7", ["Eb", "F#"])]
    ['b3', '#11']
    """
    over = as_chord(chord)
    named = degree_names(over)
    root = over.root.semitone
    return tuple(named[(_as_note(note).semitone - root) % 12] for note in _given(notes))


# The other names of a sound that the trade has: over G7 the C# is the #11 and the Db the b5.
OTHERWISE = {"#11": "b5", "b13": "#5", "b3": "#9"}


def label_of(chord: Chord, note: Note, over_v: Colour | None = None) -> str:
    """Return the degree that stands under a note, for the eye.

    It is what the letter says where the trade has two names for a sound: C# over G7 is the #11, Db
    the b5. Over a dominant any other letter changes nothing: G# over G7, a step up to A, is the b9
    that words call it. Over other chords such a note is a step and has no degree. A #9 that is
    written as the minor third has the label of its degree (common practice), and so has a #11 that
    is written as the b5 under a colour that is called #11.

    >>> from theorykit.harmony.colours import colour
    >>> g7, ab7 = Chord.parse("G7"), Chord.parse("Ab7")
    >>> [label_of(g7, Note.parse(name)) for name in ("C#", "Db", "Bb", "Eb", "D#", "G#")]
    ['♯11', '♭5', '♯9', '♭13', '♯5', '♭9']
    >>> label_of(ab7, Note.parse("A")), label_of(g7, Note.parse("Db"), colour("b9 #11"))
    ('♭9', '♯11')
    >>> [label_of(Chord.parse("Bm7"), Note.parse(name)) for name in ("A#", "Bb")]
    ['7', '']
    """
    degree = degrees_over(chord, [note])[0]
    other = Degree.parse(OTHERWISE.get(str(degree), str(degree)))
    is_named = degree in chord.degrees or (over_v is not None and degree in over_v.named)
    if above(chord.root, other).letter == note.letter and not is_named:
        return other.pretty
    own = above(chord.root, degree)
    is_read = own.letter == note.letter or degree in chord.degrees or degree == SHARP_NINE
    is_read = is_read or abs(own.alteration) > 1 or own in AWKWARD  # the plain name stands for it
    return degree.pretty if is_read or chord.kind.is_dominant else ""


def _given(notes: object) -> Iterable[Note | str]:
    """Return notes that came as one text, as one note, or one by one."""
    if isinstance(notes, str):
        return notes.split()
    if isinstance(notes, Note):
        return (notes,)
    if not isinstance(notes, Iterable):
        raise TheoryError(f"not notes: {shown(notes)} (want notes or text such as 'B D F')")
    return notes


def _as_note(note: Note | str) -> Note:
    """Read a note where text came."""
    return note if isinstance(note, Note) else Note.parse(note)


def as_chord(chord: Chord | str) -> Chord:
    """Return a chord, read from text where text came."""
    if isinstance(chord, Chord):
        return chord
    return Chord.parse(chord)


_TRIADS = {"major": ChordKind.of("1 3 5"), "minor": ChordKind.of("1 b3 5")}


def as_target(dominant: Chord, target: Chord | Key | str | None) -> Chord:
    """Return the chord that a dominant goes to: as given, or the major triad a fifth below.

    ``target`` is a chord, a key, the text of either, or just ``"major"`` or ``"minor"``.

    >>> v = Chord.parse("Ab7")
    >>> [str(as_target(v, t)) for t in (None, "minor", "C minor", "Gmaj7")]
    ['Db', 'Dbm', 'Cm', 'Gmaj7']
    """
    if target is None or (isinstance(target, str) and target in _TRIADS):
        home = plain_root(above(dominant.root, Degree(4)), _flat_side(dominant.root))
        return Chord(home, _TRIADS[target or "major"])
    goal = _read_target(target)
    if goal.is_silent:
        raise TheoryError("nothing to go to in N.C. (want a chord, a key, major or minor)")
    return goal


def written_pair(chord: Chord, target: Chord, who: Reader | str) -> tuple[Chord, Chord]:
    """Return a chord and what it goes to on the page of a reader, in one key.

    >>> [str(one) for one in written_pair(Chord.parse("F#7"), Chord.parse("B"), "trumpet")]
    ['Ab7', 'Db']
    """
    home = tonic_key(target)
    page = home.written_for(who) if home else None
    root = page.tonic if page else target.written_for(who).root
    held = page.chord_notes if page else ()
    return chord.transposed(target.root, root, held), target.transposed(target.root, root, held)


def _read_target(target: Chord | Key | str) -> Chord:
    """Return a chord as it is, a key as its triad, and text as the one or the other."""
    if isinstance(target, str):
        try:
            return Chord.parse(target)
        except TheoryError:
            target = Key.parse(target)
    if isinstance(target, Key):
        return Chord(target.tonic, _TRIADS[target.mode])
    if not isinstance(target, Chord):
        raise TheoryError(f"not a target: {shown(target)} (want a chord, a key, major or minor)")
    return target


def _flat_side(root: Note) -> tuple[Note, ...]:
    """Return what the key below a dominant on G flat or C sharp holds: C flat, or nothing new."""
    return (Note("C", -1),) if root == Note("G", -1) else ()


ELEVEN, SEVEN = 5, 11  # half steps above the root
FIFTH_BELOW = 5  # where a dominant leads, in half steps above its root


def stands_for_third(degree: Degree, wanted: Collection[Degree]) -> bool:
    """Tell whether a degree is the 11 of a wish that leaves the 3 out: a suspension.

    >>> from theorykit.notes.degree import degrees
    >>> stands_for_third(Degree(11), degrees("b7 9 11")), stands_for_third(Degree(11), ())
    (True, False)
    """
    asked = {one.semitone for one in wanted}
    third = Degree(3).semitone
    return degree.semitone == ELEVEN and ELEVEN in asked and third not in asked


def why_it_rubs(
    chord: Chord, semitone: int, target: Chord | None = None, *, replaced: bool = False
) -> str:
    """Say why a sound, by half steps above the root, rubs over a chord; empty if it does not.

    These are the notes that handbooks call avoid notes (Sabatella, chord and scale chart;
    Wikipedia contributors, *Upper structure*, undated: no upper triad holds the natural 11 or the
    major 7), those that contradict the chord or what its symbol says, and the natural 13 where I is
    minor; see ``chord_families``. ``replaced`` tells that the 11 is meant to stand for the 3rd.

    >>> why_it_rubs(Chord.parse("G7"), 5)
    'the 11, C, rubs against the 3rd, B'
    >>> why_it_rubs(Chord.parse("G7sus4"), 5)
    ''
    >>> why_it_rubs(Chord.parse("Cm7"), 4)
    'the major 3rd, E, contradicts the ♭3, E♭'
    """
    note = written_above(chord.root, degree_names(chord)[semitone]).pretty
    seventh = Degree(7, -1)
    if semitone == ELEVEN and THIRD in chord.degrees and not _says_eleven(chord):
        other = f"the 3rd, {above(chord.root, THIRD).pretty}"
        if replaced:
            return f"the 11, {note}, stands for {other}, and would rub against it"
        return f"the 11, {note}, rubs against {other}"
    if semitone == SEVEN and seventh in chord.degrees and chord.kind.is_dominant:
        return f"the natural 7, {note}, rubs against the ♭7, {above(chord.root, seventh).pretty}"
    if semitone == THIRD.semitone and (held := _suspension(chord)):
        return f"the 3rd, {note}, undoes the suspended {held}"
    if against := _against(chord, semitone):
        return f"{_called(chord, semitone)}, {note}, {against}"
    if target is not None and _is_major_third_of_minor(chord, semitone, target):
        whose = "the tonic" if _is_fifth_below(chord, target) else target.pretty
        return f"{note} is the major 3rd of {target.root.pretty}, and {whose} is minor"
    return ""


def _says_eleven(chord: Chord) -> bool:
    """Tell whether a symbol says which 11 is meant: a written ♯11 is contradicted by the 11."""
    return any(degree.number == ELEVENTH for degree in chord.degrees)


def _suspension(chord: Chord) -> str:
    """Return the 4th or 2nd that a chord has for its 3rd, or nothing."""
    return next((ordinal(d) for d in chord.degrees if d in SUSPENSIONS), "")


def _against(chord: Chord, semitone: int) -> str:
    """Say what a sound contradicts or rubs against, as a verb and its object; or nothing."""
    other = opposed(chord.kind).get(semitone)
    if other is not None:
        same = degree_names(chord)[semitone].step == other.step
        return f"{'contradicts' if same else 'rubs against'} {_named(chord, other)}"
    row, held = family(chord.kind), {degree.semitone: degree for degree in chord.degrees}
    is_free = standings(chord.kind)[semitone] not in (RUB, OUTSIDE)
    is_chromatic = semitone in {degree.semitone for degree in row.chromatic} and ELEVEN not in held
    near = [held[s] for s in ((semitone - 1) % 12, (semitone + 1) % 12) if s in held]
    return (
        f"rubs against {_named(chord, near[0])}" if near and not (is_free or is_chromatic) else ""
    )


SEVENTH = 7  # the number from which a degree is named by its figure


def _named(chord: Chord, degree: Degree) -> str:
    """Return a degree of a chord with its note: ``the 3rd, E``, ``the ♭3, E♭``."""
    note = above(chord.root, degree).pretty
    written = "written " * (degree.number > SEVENTH)
    plain = degree.alteration or degree.number >= SEVENTH
    return f"the {written}{degree.pretty if plain else ordinal(degree)}, {note}"


def _called(chord: Chord, semitone: int) -> str:
    """Return what a sound over a chord is called where its other form is held."""
    degree = degree_names(chord)[semitone]
    if degree == THIRD:
        return "the major 3rd"
    natural = "natural " * (degree.alteration == 0 and degree.number != ELEVENTH)
    return f"the {natural}{degree.pretty}"


ELEVENTH = 11


def _is_fifth_below(chord: Chord, target: Chord) -> bool:
    """Tell whether a target stands where a dominant leads."""
    return (target.root.semitone - chord.root.semitone) % 12 == FIFTH_BELOW


def _is_major_third_of_minor(chord: Chord, semitone: int, target: Chord) -> bool:
    """Tell whether a sound, no tone of the plain chord itself, is a minor target's major third."""
    above_target = (chord.root.semitone + semitone - target.root.semitone) % 12
    if above_target != 4 or Degree(3, -1) not in target.degrees:
        return False
    return all(d.semitone != semitone for d in CHORD_TONES.intersection(chord.degrees))


LANDING = "landing"
ROLES = ("chord", "colour", "outside", LANDING)
# What a note on a staff is marked with: nothing for a tone of the chord, whose note is a plain one.
MARKS = ("", *ROLES[1:])


def role_over(
    chord: Chord, degree: Degree, target: Chord | None = None, wanted: Collection[Degree] = ()
) -> str:
    """Return the role of a degree over a chord: ``"chord"``, ``"colour"`` or ``"outside"``.

    ``target`` is the chord that follows, where it is known: against a minor tonic the natural 13
    rubs. ``wanted`` are the degrees of the colour: an 11 that stands for the 3rd does not rub.

    >>> from theorykit.notes.degree import degrees
    >>> g7 = Chord.parse("G7")
    >>> [role_over(g7, degree) for degree in degrees("3 b9 11 7")]
    ['chord', 'colour', 'outside', 'outside']
    >>> role_over(g7, Degree(11), wanted=degrees("b7 9 11"))
    'colour'
    >>> role_over(g7, Degree(13), Chord.parse("Cm6"))
    'outside'
    """
    if any(degree.semitone == one.semitone for one in chord.degrees):
        return "chord"
    if stands_for_third(degree, wanted):
        return "colour"
    return "outside" if why_it_rubs(chord, degree.semitone, target) else "colour"


def mark_of(role: str) -> str:
    """Return the mark of a note on a staff by its role: a tone of the chord has none.

    >>> mark_of("chord"), mark_of("outside")
    ('', 'outside')
    """
    return "" if role == ROLES[0] else role
