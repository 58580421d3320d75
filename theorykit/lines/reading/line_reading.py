"""Reading a line: roles, colours, landings, contour, and a teacher's words on them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.harmony.chord_families import ALTERATION, OUTSIDE, TENSION
from theorykit.harmony.colours import Colour, colour as colour_named
from theorykit.harmony.resolution import of_target
from theorykit.harmony.wording import TONIC_NAMES, listed, ordinal, sentence
from theorykit.lines.placed import (
    OFF_BEAT,
    PlacedNote,
    merged_chords,
    placed_notes,
    repeats_by_accident,
)
from theorykit.lines.reading.contour import LineShape, line_shape
from theorykit.lines.reading.landings import (
    NEAR,
    Landing,
    interval_words,
    landings,
    nearest_tone,
    shortest_way,
)
from theorykit.lines.reading.line_colour import SpelledColour, spelled_colour
from theorykit.lines.reading.roles import NEIGHBOUR, PASSING, STEP, moves, role_words, roles
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above
from theorykit.notes.values import Value
from theorykit.tunes.progression import PlacedChord


@dataclass(frozen=True, slots=True)
class NoteReading:
    """One note: its chord, its degree over it (None over N.C.), its role, what it does in words.

    ``role`` is one of ``reading.roles.ROLES``, or empty over N.C.; ``words`` is empty where
    the role says it all.
    """

    note: TimedNote
    chord: Chord
    degree: Degree | None
    role: str
    words: str


@dataclass(frozen=True, slots=True, repr=False)
class LineReading(Value):
    """What a line does.

    ``dominants`` are the dominants over which it sounds, ``changes`` the changes of chord,
    ``misses`` those that nothing meets; ``praise`` says what works, ``tries`` at most three
    things to try next.
    """

    line: Line
    notes: tuple[NoteReading, ...]
    dominants: tuple[SpelledColour, ...]
    changes: tuple[Landing, ...]
    whole: LineShape
    praise: tuple[str, ...]
    tries: tuple[str, ...]

    @property
    def misses(self) -> tuple[Landing, ...]:
        """The changes at which the line sounds and no tone of the new chord comes in time.

        A dominant whose colour is spelled exactly is met by the colour.
        """
        coloured = [found.chord for found in self.dominants if found.is_exact]
        sounding = (c for c in self.changes if c.first is not None and not c.meets)
        return tuple(c for c in sounding if c.chord not in coloured)

    def __str__(self) -> str:
        return "\n".join(self.words)

    def _about(self) -> str:
        return f"of {self.line.text}"

    @property
    def words(self) -> tuple[str, ...]:
        """A teacher's words: what works first, then what to try."""
        return self.praise + self.tries


MOST_PRAISE, MOST_TRIES = 4, 3
EIGHTH = Fraction(1, 2)
# === A teacher's words ===

BREATHLESS = Fraction(16)  # beats without a rest from which a breath is proposed
NARROW = 7  # half steps: a line of eight notes inside a fifth hardly moves
FEW = 8  # notes from which a line can be judged as a whole
MANY = 24  # notes: eighths alone are a run for two bars, and rigid for three
MOST_ON_BEATS = Fraction(2, 3)  # share of chord tones on the beats that is worth a word

Notes = Sequence[PlacedNote]


def praise_and_tries(reading: LineReading, notes: Notes) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return what works, then what to try, as sentences."""
    if not notes:
        return (), ("Write a first note, for instance the 3rd of the first chord.",)
    praise = [sentence(text) for text in _praise(reading, notes)]
    tries = [sentence(text) for text in _tries(reading, notes)]
    return tuple(praise[:MOST_PRAISE]), tuple(tries[:MOST_TRIES])


def _praise(reading: LineReading, notes: Notes) -> Iterator[str]:
    """Run through what works, the most telling first."""
    yield from (found.words for found in reading.dominants if found.is_exact)
    met = [change for change in reading.changes if change.meets and change.fits]
    smooth = [c for c in met if c.last is not None and c.strength and abs(c.semitones) <= 2]
    yield from (change.words for change in (smooth or met)[-1:])
    if len(reading.changes) > 1 and all(c.meets and not c.clashes for c in reading.changes):
        at_once = all(change.is_at_once for change in reading.changes)
        yield f"a chord tone sounds {'at' if at_once else 'within a beat of'} every change"
    yield from _enclosures(reading)
    on_beats = [note for note in notes if note.strength > OFF_BEAT and note.degree]
    tones = sum(note.is_chord_tone for note in on_beats)
    if len(on_beats) > 2 and Fraction(tones, len(on_beats)) >= MOST_ON_BEATS:
        all_are = tones == len(on_beats)
        share = f"{'all' if all_are else f'{tones} of the'} {len(on_beats)} notes on a beat"
        yield f"{share} are chord tones, so the chords can be heard"
    if reading.whole.leaps and not reading.whole.unanswered:
        yield "every leap is answered by a step back"
    yield from _timing(notes)
    if len(notes) >= FEW and _climaxes(notes) == 1:
        top = max(notes, key=lambda note: note.midi).note.pitch.note.pretty
        yield f"the line has one highest point, {top}"
    if not met and notes[0].degree:
        yield f"the line starts on the {ordinal(notes[0].degree)} of {notes[0].chord.chord.pretty}"


def _timing(notes: Notes) -> Iterator[str]:
    """Say how the line begins in time, and that it breathes."""
    first = notes[0]
    if first.note.start < 0:
        begins = "begins with a pickup"
    elif first.strength == OFF_BEAT:
        begins = f"begins off the beat, on {first.place}"
    else:
        begins = "begins after a rest" if first.note.start > 0 else ""
    breathes = any(not note.follows for note in notes[1:])
    told = [*([begins] if begins else []), *(["leaves a rest to breathe"] if breathes else [])]
    if told:
        yield f"the line {' and '.join(told)}"


def _climaxes(notes: Notes) -> int:
    """Count the times that a line comes to its highest note; struck again at once counts once."""
    top = max(note.midi for note in notes)
    return sum(
        note.midi == top and (at == 0 or notes[at - 1].midi != top) for at, note in enumerate(notes)
    )


def _is_even(notes: Notes) -> bool:
    """Tell whether a line begins on beat 1 and runs in eighths to its last note."""
    inside = notes[:-1]
    even = all(note.note.beats == EIGHTH and note.note.start % EIGHTH == 0 for note in inside)
    return notes[0].note.start == 0 and even and all(note.follows for note in notes[1:])


def _enclosures(reading: LineReading) -> Iterator[str]:
    """Say the first enclosure or approach."""
    for found in reading.notes:
        if found.role in ("enclosure", "chromatic approach"):
            yield f"{found.note.pitch.note.pretty} {found.words}"
            return


def _tries(reading: LineReading, notes: Notes) -> Iterator[str]:
    """Run through what could be better, the most audible first."""
    yield from (_missed(change) for change in reading.misses if not change.clashes)
    clashing = [change for change in reading.changes if change.clashes]
    yield from (change.clash_words for change in clashing)
    told = [change.first.note for change in clashing if change.first]
    hanging = (n for n in reading.notes if n.role == OUTSIDE and n.note not in told)
    yield from map(_hanging, hanging)
    yield from (_nearly(found) for found in reading.dominants if found.missing and found.colour)
    yield from (_leap(notes, i) for i in reading.whole.unanswered)
    for i in reading.whole.repeats[:1]:
        name = notes[i].note.pitch.note.pretty
        yield f"{name} comes three times in a row: move on after the second"
    for i in repeats_by_accident(notes)[:1]:
        if i not in reading.whole.repeats and i + 1 not in reading.whole.repeats:
            name = notes[i].note.pitch.note.pretty
            yield f"{name} comes again at once: let it move on, or hold it"
    if reading.whole.longest_run > BREATHLESS:
        bars = reading.whole.longest_run / reading.line.progression.bars[0].beats
        yield f"the line runs on for {float(bars):.0f} bars: leave a rest to breathe"
    if len(notes) >= FEW and reading.whole.span < NARROW:
        yield "the line stays inside a fifth: let an arpeggio open it"
    if len(notes) >= MANY and _is_even(notes):
        yield (
            "all notes up to the last are eighths from beat 1 on: begin off the beat or with a "
            "pickup, hold one note, leave a rest"
        )
    if not any(found.colour for found in reading.dominants):
        yield from (_colourless(found) for found in reading.dominants[:1])


def _missed(change: Landing) -> str:
    """Propose a chord tone near the note before the change."""
    chord = change.chord.chord
    where = f"no tone of {chord.pretty} comes within {_beats(NEAR)} of the change"
    last = change.last
    degree, note = nearest_tone(chord, None if last is None else last.midi)
    if last is None:
        return f"{where}: try {note.pretty}, its {ordinal(degree)}"
    way = interval_words(shortest_way(last.midi, note))
    name = last.note.pitch.note.pretty
    if way == "comes again":
        return f"{where}: hold or repeat {name}, which is its {ordinal(degree)}"
    return f"{where}: {name} {way} to {note.pretty}, its {ordinal(degree)}"


def _beats(beats: Fraction) -> str:
    """Say how many beats."""
    return "a beat" if beats == 1 else f"{beats} beats"


def _hanging(found: NoteReading) -> str:
    """Propose to lead an outside note on."""
    name, chord = found.note.pitch.note.pretty, found.chord
    tones = [note for d, note in zip(chord.degrees, chord.notes, strict=True) if d.number <= 7]
    near = [n.pretty for n in tones if abs(shortest_way(found.note.pitch.midi, n)) == 1]
    goal = listed(near, "or") if near else f"a tone of {chord.pretty}"
    return f"{name} {found.words}: let it go on to {goal}"


def _nearly(found: SpelledColour) -> str:
    """Propose the tension that is missing."""
    root = found.chord.chord.root
    added = listed(f"{above(root, d).pretty} ({d.pretty})" for d in found.missing)
    return f"{found.words}: add {added}"


def _leap(notes: Notes, i: int) -> str:
    """Propose a step back after a leap."""
    leap = notes[i].midi - notes[i - 1].midi
    back = "down" if leap > 0 else "up"
    last, first = notes[i - 1].note.pitch.pretty, notes[i].note.pitch.pretty
    return f"after the leap from {last} to {first} step back {back}"


def _colourless(found: SpelledColour) -> str:
    """Propose a first colour over a dominant that has none."""
    if found.advice:
        return f"{found.words}; {found.advice}"
    chord = found.chord.chord
    flat_nine = above(chord.root, Degree(9, -1)).pretty
    return f"{found.words}; {flat_nine}, its ♭9, would be a first one to try"


# === Reading ===


def read_line(line: Line, over_v: Colour | str | None = None) -> LineReading:
    """Return what a line does, note by note, chord by chord and as a whole.

    Where ``over_v`` is given, the colour chosen for the dominants that go on, a tension that it has
    not and that slips by between steps is read as passing or as a neighbour.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th D5 F5 A5 C6 B5 E5 Ab5 B5 | whole C6", two_five_one("C", "short"))
    >>> reading = read_line(line)
    >>> [(str(n.degree), n.role) for n in reading.notes][4:7]
    [('3', 'chord tone'), ('13', 'tension'), ('b9', 'alteration')]
    >>> reading.dominants[0].colour.name, reading.changes[-1].words
    ('b9 13', 'B rises a half step to C, the root of Cmaj7, on beat 1')
    """
    if not isinstance(line, Line):
        raise TheoryError(f"not a line: {shown(line)} (want a Line, such as Line.parse gives)")
    chosen = None if over_v is None else colour_named(over_v)
    placed = placed_notes(line)
    found = tuple(
        (role in (TENSION, ALTERATION) and _foreign_role(placed, i, chosen)) or role
        for i, role in enumerate(roles(placed))
    )
    chords = merged_chords(line.progression)
    dominants = tuple(
        _dominant(chord, chords[place + 1 : place + 2], placed[first:after], found[first:after])
        for place, (chord, (first, after)) in enumerate(
            zip(chords, _stretches(chords, placed), strict=True)
        )
        if chord.chord.kind.is_dominant and first < after
    )
    notes = tuple(
        _note(placed, i, _in_colour(note, role, dominants), chosen)
        for i, (note, role) in enumerate(zip(placed, found, strict=True))
    )
    changes = landings(chords, placed)
    shape = line_shape(placed)
    reading = LineReading(line, notes, dominants, changes, shape, (), ())
    praise, tries = praise_and_tries(reading, placed)
    return replace(reading, praise=praise, tries=tries)


def _stretches(
    chords: Sequence[PlacedChord], placed: Sequence[PlacedNote]
) -> list[tuple[int, int]]:
    """Return for each chord the first of its notes and the one after its last."""
    found, at = [], 0
    for chord in chords:
        first = at
        while at < len(placed) and placed[at].chord == chord:
            at += 1
        found.append((first, at))
    return found


def _dominant(
    chord: PlacedChord,
    after: Sequence[PlacedChord],
    over: Sequence[PlacedNote],
    roles_over: Sequence[str],
) -> SpelledColour:
    """Return the colour over one dominant; what follows is I only where the dominant leads."""
    leads = [c.chord for c in after if of_target(chord.chord, c.chord) in TONIC_NAMES]
    target = leads[0] if leads else None
    return spelled_colour(chord, target, over, roles_over)


def _in_colour(note: PlacedNote, role: str, dominants: Sequence[SpelledColour]) -> str:
    """Return the role of a note, knowing the colour: what belongs to it is not outside."""
    if role != OUTSIDE or note.degree is None:
        return role
    belongs = any(
        d.chord == note.chord and d.is_exact and d.colour and note.degree in d.colour.degrees
        for d in dominants
    )
    return ALTERATION if belongs else role


def _foreign_role(placed: Notes, i: int, over_v: Colour | None) -> str:
    """Return what a tension does that the chosen colour has not; nothing where that is no matter.

    It slips by where it stands off the beat between two steps.
    """
    note = placed[i]
    if over_v is None or note.degree is None or note.standing not in (TENSION, ALTERATION):
        return ""
    held = {degree.semitone for degree in over_v.degrees}
    goes_on = note.chord.chord.kind.is_dominant and note.next_chord is not None
    if not goes_on or note.strength > OFF_BEAT or note.degree.semitone in held:
        return ""
    into, out = moves(placed, i)
    if not (0 < abs(into) <= STEP and 0 < abs(out) <= STEP):
        return ""
    return PASSING if into * out > 0 else NEIGHBOUR


def _note(placed: Notes, i: int, role: str, over_v: Colour | None) -> NoteReading:
    """Return the reading of one note."""
    note, words = placed[i], role_words(placed, i, role)
    if over_v is not None and note.degree is not None and role == _foreign_role(placed, i, over_v):
        words = f"{words}; {over_v.pretty} has no {note.degree.pretty}"
    return NoteReading(note.note, note.chord.chord, note.degree, role, words)
