"""A teacher's words on a line: what works first, then at most three things to try."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from theorykit.harmony.wording import listed, ordinal, sentence
from theorykit.lines.changes import NEAR, Landing, interval_words
from theorykit.lines.placed import OFF_BEAT, PlacedNote
from theorykit.lines.readings import LineReading, NoteReading
from theorykit.lines.spelled_colour import SpelledColour
from theorykit.lines.standing import OUTSIDE
from theorykit.notes.degree import Degree
from theorykit.notes.spelling import above

__all__ = ["praise_and_tries"]

MOST_PRAISE, MOST_TRIES = 4, 3
BREATHLESS = Fraction(16)  # beats without a rest from which a breath is proposed
NARROW = 7  # half steps: a line of eight notes inside a fifth hardly moves
FEW = 8  # notes from which a line can be judged as a whole
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
    met = [change for change in reading.changes if change.meets]
    smooth = [c for c in met if c.last is not None and c.strength and abs(c.semitones) <= 2]
    yield from (change.words for change in (smooth or met)[-1:])
    if len(met) == len(reading.changes) > 1:
        at_once = all(change.is_at_once for change in reading.changes)
        yield f"a chord tone sounds {'at' if at_once else 'within a beat of'} every change"
    yield from _enclosures(reading)
    on_beats = [note for note in notes if note.strength > OFF_BEAT and note.degree]
    tones = sum(note.is_chord_tone for note in on_beats)
    if len(on_beats) > 2 and Fraction(tones, len(on_beats)) >= MOST_ON_BEATS:
        share = f"{tones} of the {len(on_beats)} notes on a beat"
        yield f"{share} are chord tones, so the chords can be heard"
    if reading.whole.leaps and not reading.whole.unanswered:
        yield "every leap is answered by a step back"
    if not met and notes[0].degree:
        yield f"the line starts on the {ordinal(notes[0].degree)} of {notes[0].chord.chord.pretty}"


def _enclosures(reading: LineReading) -> Iterator[str]:
    """Say the first enclosure or approach."""
    for found in reading.notes:
        if found.role in ("enclosure", "chromatic approach"):
            yield f"{found.note.pitch.note.pretty} {found.words}"
            return


def _tries(reading: LineReading, notes: Notes) -> Iterator[str]:
    """Run through what could be better, the most audible first."""
    yield from (_missed(change) for change in reading.misses)
    yield from map(_hanging, (n for n in reading.notes if n.role == OUTSIDE))
    yield from (_nearly(found) for found in reading.dominants if found.missing and found.colour)
    yield from (_leap(notes, i) for i in reading.whole.unanswered)
    for i in reading.whole.repeats[:1]:
        name = notes[i].note.pitch.note.pretty
        yield f"{name} comes three times in a row: move on after the second"
    if reading.whole.longest_run > BREATHLESS:
        bars = reading.whole.longest_run / reading.line.progression.bars[0].beats
        yield f"the line runs on for {float(bars):.0f} bars: leave a rest to breathe"
    if len(notes) >= FEW and reading.whole.span < NARROW:
        yield "the line stays inside a fifth: let an arpeggio open it"
    if not any(found.colour for found in reading.dominants):
        yield from (_colourless(found) for found in reading.dominants[:1])


def _missed(change: Landing) -> str:
    """Propose a chord tone near the note before the change."""
    chord = change.chord.chord
    tones = [(degree, above(chord.root, degree)) for degree in chord.degrees if degree.number <= 7]
    where = f"no tone of {chord.pretty} comes within {_beats(NEAR)} of the change"
    if change.last is None:
        guide, note = min(tones, key=_guide_first)
        return f"{where}: try {note.pretty}, its {ordinal(guide)}"
    last = change.last
    degree, note = min(
        tones,
        key=lambda tone: (abs(_nearest(last.midi, tone[1].semitone)), _guide_first(tone)),
    )
    way = interval_words(_nearest(last.midi, note.semitone))
    name = last.note.pitch.note.pretty
    if way == "comes again":
        return f"{where}: hold or repeat {name}, which is its {ordinal(degree)}"
    return f"{where}: {name} {way} to {note.pretty}, its {ordinal(degree)}"


def _beats(beats: Fraction) -> str:
    """Say how many beats."""
    return "a beat" if beats == 1 else f"{beats} beats"


def _guide_first(tone: tuple[Degree, object]) -> bool:
    """Put third and seventh before the other chord tones."""
    return tone[0].number not in (3, 7)


def _nearest(midi: int, semitone: int) -> int:
    """Return the shortest way in half steps from a pitch to a pitch class."""
    return (semitone - midi + 5) % 12 - 5


def _hanging(found: NoteReading) -> str:
    """Propose to lead an outside note on."""
    name, chord = found.note.pitch.note.pretty, found.chord
    tones = [note for d, note in zip(chord.degrees, chord.notes, strict=True) if d.number <= 7]
    near = [n.pretty for n in tones if abs(_nearest(found.note.pitch.midi, n.semitone)) == 1]
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
    chord = found.chord.chord
    flat_nine = above(chord.root, Degree(9, -1)).pretty
    return f"{found.words}; {flat_nine}, its ♭9, would be a first one to try"
