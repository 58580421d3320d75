"""Phrases of a chorus, each beginning on the note on which the last one landed."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import zip_longest
from random import Random

from theorykit.errors import TheoryError
from theorykit.harmony.colours import colour as colour_named
from theorykit.lines.chorus.joints import before_beat, whole_triplets
from theorykit.lines.chorus.marring import marred
from theorykit.lines.chorus.repetition import is_stale
from theorykit.lines.chorus.windows import Phrase, Window
from theorykit.lines.excerpts import between
from theorykit.lines.text import HIGHEST_MIDI, Line, TimedNote
from theorykit.lines.writing import (
    AMOUNTS,
    DENSITIES,
    Wishes,
    coloured_last,
    last_dominant,
    room_over,
)
from theorykit.notes.degree import spell_near
from theorykit.notes.note import Note, Pitch
from theorykit.tunes.progression import Progression

BREATHLESS = Fraction(12)  # beats after which a player wants to breathe
LATE = 0.85  # how often a phrase without room for a pickup begins after a rest instead
# Which phrases have the rhythm of which: as a question and its answers, eight in a round.
ANSWERS = (0, 1, 0, 2, 3, 1, 0, 2)
SPARE = Fraction(4)  # beats that a phrase must have before it can begin two beats later
BEAT = Fraction(1)
QUESTION = 0  # the motif, which keeps its rhythm
CALM = (1, 2, 3)  # those of them that have more long notes, as all phrases of the bridge have
MEETING, LIFT = 2, 3  # half steps about the middle of the range, where phrases meet; in the bridge
NEAR, ATTEMPTS, ALIKE = 6, 8, 2  # half steps from there to the ends of a phrase; how often to try
# for it, and how often of these with the rhythm that answers
# The share of eighths from which the next phrase is calm, and from which the motif is.
BUSY, TOO_BUSY = 0.55, 0.64
RAISED, ROOM = 4, 14  # half steps: how much higher the bridge begins, and what it must keep
STALE, LOOSE = 12, 36  # half steps that a line seems further away: said before, not joined on
SEEDS = 2**31

# What gives a phrase for a window, over what stands there; None where it has none.
PhraseSource = Callable[[Window, Progression], Line | None]


def written_phrases(
    over: Progression,
    windows: Sequence[Window],
    *,
    seed: int = 0,
    wishes: Wishes | None = None,
    source: PhraseSource | None = None,
    bridge: Collection[int] = (),
) -> tuple[Phrase, ...]:
    """Return a phrase for each window of a progression.

    Where a window begins as the one before lands, its phrase begins on the note that was landed on.
    The same seed gives the same phrases; another colour in one window leaves those further away as
    they are, but for a figure that would come too often. ``source`` is asked first, the writer
    where it has nothing. The phrases whose numbers are in ``bridge`` lie higher and hold notes
    longer.
    """
    asked = _Asked(wishes if wishes is not None else Wishes(), seed, source)
    found: list[Phrase] = []
    since = Fraction(0)  # when the player last breathed
    for number, window in enumerate(windows):
        held = _landed_on(found, window)
        first, last = (_meeting(asked, n) + LIFT * (n in bridge) for n in (number, number + 1))
        high = number in bridge
        answer = ANSWERS[number % len(ANSWERS)]
        calm = high or answer in CALM or _is_busy(found, TOO_BUSY if answer == QUESTION else BUSY)
        free = _free_from(over, found, window)
        place = _At(held, (first, last), free, number, high, calm, tuple(found), over)
        phrase = _phrase(over, window, place, asked)
        if held is None or not found:
            since = window.start
        elif window.landing - since > BREATHLESS and _may_breathe(over, window):
            phrase, since = _breathing(phrase, held), window.start + 2 * BEAT
        found.append(phrase)
    return tuple(_without_overlaps(found, over))


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked of all phrases."""

    wishes: Wishes
    seed: int
    source: PhraseSource | None


@dataclass(frozen=True, slots=True)
class _At:
    """Where a phrase stands: on which note the last one landed, near which pitches its ends lie.

    ``free`` is the beat from which a pickup may begin; ``number`` counts the phrases; ``high``
    asks for the upper part of the range, ``calm`` for long notes; ``told`` are the phrases before,
    ``over`` is the whole tune.
    """

    held: TimedNote | None
    meets: tuple[int, int]
    free: Fraction
    number: int
    high: bool
    calm: bool
    told: tuple[Phrase, ...]
    over: Progression


def _free_from(over: Progression, found: Sequence[Phrase], window: Window) -> Fraction:
    """Return from when a phrase may begin before its window: two beats after the last landing.

    What the phrase before still had to say is cut for it. None begins before the first bar, or
    over silence.
    """
    if not window.start or over.chord_at(window.start - BEAT).chord.is_silent:
        return window.start
    return max([Fraction(0), *(phrase.window.landing + 2 * BEAT for phrase in found[-1:])])


def _is_busy(found: Sequence[Phrase], most: float) -> bool:
    """Tell whether more than a share of the notes so far were eighths."""
    lengths = [note.beats for phrase in found for note in phrase.notes]
    return sum(beats == BEAT / 2 for beats in lengths) > most * len(lengths)


def _landed_on(found: Sequence[Phrase], window: Window) -> TimedNote | None:
    """Return the note on which the phrase before lands, if the window begins there."""
    if not found or found[-1].window.landing != window.start:
        return None
    return next((note for note in found[-1].notes if note.start == window.start), None)


def _meeting(asked: _Asked, number: int) -> int:
    """Return the pitch near which one phrase ends and the next begins, by the number of that one.

    It is known beforehand: so another colour in one phrase changes no other.
    """
    low, high = asked.wishes.compass
    return (low + high) // 2 + Random(f"{asked.seed} {number}").randint(-MEETING, MEETING)


def _phrase(over: Progression, window: Window, place: _At, asked: _Asked) -> Phrase:
    """Return the phrase of one window."""
    held = place.held
    stretch = between(over, window.start, window.end, key=window.key)
    line = asked.source(window, stretch) if asked.source else None
    problem = ""
    if line is None:
        start = held.pitch if held else None
        line, problem = _nearest(stretch, window, start, place, asked)
    notes = line.readable.notes if line else ()
    later = (replace(note, start=note.start + window.start) for note in notes)
    moved = tuple(n for n in later if n.start >= min(place.free, window.start))
    if held and (
        not moved or (moved[0].pitch.midi, moved[0].start) != (held.pitch.midi, held.start)
    ):
        moved = _after_landing(moved, held)
    return Phrase(window, moved, problem)


def _nearest(
    stretch: Progression, window: Window, start: Pitch | None, place: _At, asked: _Asked
) -> tuple[Line | None, str]:
    """Return a line that begins on a note, and whose ends lie near where phrases meet."""
    wishes = _for_place(asked.wishes, place)
    rhythm = f"{asked.seed} {window.chorus} {ANSWERS[place.number % len(ANSWERS)]}"
    begin = _begun(wishes, window, start, place, rhythm)
    row, problem, best, closest = window.colour, "", None, HIGHEST_MIDI
    for attempt in range(ATTEMPTS):
        name = f"{asked.seed} {window.v} {window.chorus} {attempt}"
        seeds = Random(name).randrange(SEEDS), rhythm + " other" * (attempt // ALIKE)
        plain = replace(begin, density=asked.wishes.density)
        line, why = _line(stretch, row, seeds, begin, plain, wishes, asked.wishes)
        row, problem = ("" if why else row), problem or why
        far = _apart(line, place, start is not None) if line else 0
        if line is not None:
            far += STALE * is_stale(line.notes, window, place.told)
            far += LOOSE * _is_loose(line, start)
            far += marred(line, window, place.over)
        if line is not None and far < closest:
            best, closest = line, far
        if line is None or far <= NEAR:
            break
    return best, problem


def _is_loose(line: Line, start: Pitch | None) -> bool:
    """Tell whether a line does not go on from the note that was landed on."""
    first = line.notes[0]
    return start is not None and (first.start != 0 or first.pitch.midi != start.midi)


def _for_place(wishes: Wishes, place: _At) -> Wishes:
    """Return wishes that fit a place of the chorus: higher in the bridge, calm after a question.

    What the reader wished for stays as it is.
    """
    if place.calm and wishes.density == Wishes().density:
        wishes = replace(wishes, density=DENSITIES[-1])
    low, high = wishes.compass
    raised = min(low + RAISED, place.held.pitch.midi if place.held else high)
    if place.high and high - raised >= ROOM:
        wishes = replace(wishes, lowest=Pitch.numbered(_name(raised), raised))
    return wishes


def _name(midi: int) -> Note:
    """Return a plain name for the edge of a range."""
    return spell_near(midi % 12, Note("B", -1))


def _apart(line: Line, place: _At, begun: bool) -> int:
    """Return how far the ends of a line lie from where they should meet others, in half steps."""
    first = 0 if begun else abs(line.notes[0].pitch.midi - place.meets[0])
    return max(first, abs(line.notes[-1].pitch.midi - place.meets[1]))


def _begun(wishes: Wishes, window: Window, start: Pitch | None, place: _At, rhythm: str) -> Wishes:
    """Return wishes for where a phrase begins: on the note landed on, or after a rest at times."""
    if start is not None:
        return replace(wishes, start=start, begins="on one")
    crowded = place.free > window.start - 2 * BEAT and wishes.begins == "free"
    if crowded and Random(f"begins {rhythm}").random() < LATE:
        return replace(wishes, begins="after a rest")
    return wishes


def _after_landing(notes: tuple[TimedNote, ...], held: TimedNote) -> tuple[TimedNote, ...]:
    """Return notes that begin on another one a beat later, so that the landing is heard."""
    again = held.start + BEAT
    return (replace(held, beats=BEAT), *(note for note in notes if note.start >= again))


def _line(
    stretch: Progression, row: str, seed: tuple[int, str], *wishes: Wishes
) -> tuple[Line | None, str]:
    """Return the first line that can be written, with each set of wishes, and what went wrong.

    ``seed`` is that of the pitches and that of the rhythm.

    Triplets make room where eighths do not, as for three notes over one beat. Where no line with
    the colour is found there is one without.
    """
    problem = _no_room(stretch, row, replace(wishes[0], triplets=AMOUNTS[-1]))
    if row and not problem:
        quick = [replace(wishes[0], triplets=amount) for amount in AMOUNTS[1:]]
        plain = () if _no_room(stretch, row, wishes[0]) else wishes
        line = _first(stretch, row, seed, [*plain, *quick])
        if line is not None:
            return line, ""
        problem = f"no line in {colour_named(row).pretty} keeps the rules over {stretch.pretty}"
    line = _first(stretch, None, seed, wishes)
    return line, problem or ("" if line else f"no line keeps the rules over {stretch.pretty}")


def _first(
    stretch: Progression, row: str | None, seed: tuple[int, str], wishes: Sequence[Wishes]
) -> Line | None:
    """Return the first line that is found; none over chords that begin between two eighths."""
    try:
        return coloured_last(stretch, row, seed[0], wishes, seed[1])
    except TheoryError:
        return None


def _no_room(stretch: Progression, row: str, wishes: Wishes) -> str:
    """Say so where a colour has more notes than fit over its chord."""
    last = last_dominant(stretch, row) if row else None
    if last is None or len(last.hallmarks) <= room_over(last, wishes):
        return ""
    name, beats = colour_named(row).pretty, last.placed.beats
    length = f"{beats} beat" + "s" * (beats != 1)
    over = last.placed.chord.pretty
    return f"the {len(last.hallmarks)} notes of {name} do not fit over {over} in {length}"


def _may_breathe(over: Progression, window: Window) -> bool:
    """Tell whether a phrase can begin two beats later, without a note that colours its V."""
    stays = window.landing - window.start >= SPARE
    return stays and not (window.colour and over.chord_at(window.start).chord.kind.is_dominant)


def _breathing(phrase: Phrase, held: TimedNote) -> Phrase:
    """Return a phrase that begins two beats later, after the note landed on and a rest."""
    again = held.start + 2 * BEAT
    later = tuple(note for note in phrase.notes if note.start >= again)
    return replace(phrase, notes=(replace(held, beats=BEAT), *later))


def _without_overlaps(phrases: Sequence[Phrase], over: Progression) -> list[Phrase]:
    """Cut what a phrase has after the next one begins, or in the beat before, for a breath.

    Where the next one begins as this one lands there is none; the landing always sounds.
    """
    kept = []
    for phrase, after in zip_longest(phrases, phrases[1:]):
        if after is not None and after.notes:
            landing, edge = phrase.window.landing, after.notes[0].start
            edge = edge if landing == edge else max(before_beat(edge - BEAT), landing + BEAT / 2)
            phrase = replace(phrase, notes=_before(phrase, edge, over))
        coming = after.notes[0].start if after is not None and after.notes else None
        kept.append(replace(phrase, notes=whole_triplets(phrase.notes, coming)))
    return kept


def _before(phrase: Phrase, edge: Fraction, over: Progression) -> tuple[TimedNote, ...]:
    """Return the notes of a phrase up to a beat; one that is cut ends on a tone of its chord."""
    kept = [
        replace(note, beats=min(note.beats, edge - note.start))
        for note in phrase.notes
        if note.start < edge
    ]
    while 0 < len(kept) < len(phrase.notes) and not _is_end(kept[-1], over, phrase.window):
        kept.pop()
    return tuple(kept)


def _is_end(note: TimedNote, over: Progression, window: Window) -> bool:
    """Tell whether a phrase may end on a note: the landing, or a tone of the chord after it."""
    chord = over.chord_at(note.start).chord
    tones = {tone.semitone for tone in chord.notes}
    return note.start <= window.landing or note.pitch.midi % 12 in tones
