"""A finished line: the rules it keeps, and what it costs as a whole.

The writer's search is built so that its lines keep them; this is the proof, line by line, and it
reads any line over a progression with a dominant that goes on to another chord.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from theorykit.harmony.colours import Colour
from theorykit.lines.chord_palette import CHORD, COLOUR, GUIDE, RUBS, ChordPalette, palettes
from theorykit.lines.placed import HALF_BAR, OFF_BEAT, PlacedNote, placed_notes, repeats_by_accident
from theorykit.lines.text import Line, TimedNote
from theorykit.lines.writing.candidates import Place
from theorykit.lines.writing.heard_rules import (
    denies_nothing,
    falls_by_half_steps,
    hides_nothing,
    is_not_undone,
    is_slid_into,
    keeps_to_scale,
    nines_fall,
    notes_over,
    says_dominant,
)
from theorykit.lines.writing.melody import (
    answered,
    begins_on_its_way,
    held_over_bars,
    is_calm,
    of_two,
    one_climax,
    parts,
    sizes_of,
    turns_on_the_spot,
)
from theorykit.lines.writing.step_costs import DROP, move_of

EARLY, LATE = Fraction(1, 2), Fraction(1)  # beats before and after a change that are near it
STEP, FIFTH, NATURAL_SEVENTH, OCTAVE = 2, 7, 11, 12  # half steps
STABLE = (GUIDE, CHORD, COLOUR)
STRONG = Fraction(2)  # beats: a chord as long as that has a strong place inside
HEARD = Fraction(1)  # beats: one as long as that says which it is
RULES = (
    "a chord tone sounds near every change of chord",
    "every hallmark of the colour sounds over its dominant",
    "a dominant goes on by a whole step at most, onto a chord tone or the 9, on the beat",
    "every note lies in the range",
    "no leap is wider than an octave",
    "a leap of a fifth or more is answered by a step back, or spells a shape",
    "no note comes more than twice in a row",
    "the natural 7 over a dominant moves on by a half step, not from a b9 to the b7",
    "the 3rd or 7th of each dominant sounds, at a strong place if it has two beats and more",
    "a note comes again only as a call or where it came early",
    "the highest note comes once",
    "no line falls an octave at once",
    "a note foreign to the colour passes by step, off the beat",
    "no 3rd sounds where the colour suspends it",
    "no note outside a scale is long, or the last over V",
    "the major 3rd over a minor chord comes and goes by half step",
    "a leap of a seventh or more leaves a long note, between tones of one chord",
    "no pitch comes three times among the first four notes",
    "no notes turn about in a narrow space, or between two pitches, for long",
    "a note that comes again over a bar line came early and is held",
    "the 3rd of a dominant sounds, or a note foreign to the key it goes to",
    "a note that denies the colour passes by half step",
    "a b9 or #9 does not rise into the chord that its dominant goes to",
    "a foreign note over a chord that is no dominant does not fall from a whole step above",
    "no note foreign to a colour sounds more often than its tensions",
)


def broken_rules(
    line: Line, row: Colour | None, compass: tuple[int, int], *, sparse: bool = False
) -> tuple[str, ...]:
    """Return those of ``RULES`` that a line breaks; ``compass`` is the range as MIDI numbers.

    Where notes were to be ``sparse``, two tensions say the colour over two beats.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.tunes.progression import two_five_one
    >>> over, row = two_five_one("C", "short"), colour("b9 13")
    >>> line = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", over)
    >>> broken_rules(line, row, (58, 82))
    ()
    >>> line = Line.parse("8th A4 C5 F5 D5 B4 D5 E5 B4 | whole A4", over)
    >>> broken_rules(line, row, (58, 82))
    ('every hallmark of the colour sounds over its dominant', 'a dominant goes on by a whole step \
at most, onto a chord tone or the 9, on the beat')
    """
    kept = _kept(line, row, compass, sparse)
    return tuple(rule for rule, holds in zip(RULES, kept, strict=True) if not holds)


def keeps_rules(line: Line, row: Colour | None, compass: tuple[int, int], sparse: bool) -> bool:
    """Tell whether a line breaks none of ``RULES``: no more of them are looked at than needed."""
    return all(_kept(line, row, compass, sparse))


def _kept(line: Line, row: Colour | None, compass: tuple[int, int], sparse: bool) -> Iterator[bool]:
    """Yield for each of ``RULES`` whether a line keeps it."""
    chords = palettes(line.progression, row, sparse=sparse)
    notes, sizes = line.notes, sizes_of(line.notes)
    yield all(_is_met(notes, chord) for chord in chords[1:])
    yield all(_is_coloured(notes, chord) for chord in chords)
    yield all(_resolves(notes, chord) for a, chord in pairwise(chords) if a.resolves)
    yield all(compass[0] <= note.pitch.midi <= compass[1] for note in notes)
    yield all(abs(size) <= OCTAVE for size in sizes)
    yield answered(notes, chords)
    yield not any(a == b == 0 for a, b in pairwise(sizes))
    yield all(_passes(notes, chord) for chord in chords)
    placed = placed_notes(line)
    yield all(_is_heard(placed, chord) for chord in chords if is_heard_out(chord))
    yield not repeats_by_accident(placed)
    yield one_climax(notes)
    yield DROP not in sizes
    yield all(_slips_by(placed, chord) for chord in chords if chord.hallmarks)
    yield all(is_not_undone(notes, chord) for chord in chords)
    yield all(keeps_to_scale(notes, chord) for chord in chords)
    yield all(is_slid_into(notes, chord) for chord in chords)
    yield is_calm(notes, chords)
    yield begins_on_its_way(notes)
    yield compass[1] - compass[0] < OCTAVE or not turns_on_the_spot(notes)
    yield held_over_bars(notes, line.progression.bar_starts)
    yield all(says_dominant(notes, a, b) for a, b in pairwise(chords) if is_heard_out(a))
    yield all(denies_nothing(notes, chord) for chord in chords)
    yield all(nines_fall(notes, a, b) for a, b in pairwise(chords) if a.resolves)
    yield all(falls_by_half_steps(notes, chord) for chord in chords)
    yield all(hides_nothing(notes, chord) for chord in chords)


def _is_met(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell whether a tone of the chord begins near the change, or is held into it."""
    change = chord.placed.start
    return any(
        chord.is_tone(note.pitch.midi % 12)
        for note in notes
        if (note.start >= change - EARLY or note.end > change) and note.start <= change + LATE
    )


def _is_coloured(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell whether all hallmarks sound while the chord does."""
    return set(chord.hallmarks) <= {note.pitch.midi % 12 for note in notes_over(notes, chord)}


def _resolves(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell how a line goes from a dominant into the next chord."""
    change = chord.placed.start
    before = [note for note in notes if note.start < change]
    first = next((note for note in notes if note.start == change), None)
    held = before and before[-1].end > change
    landing = before[-1] if held else first
    if landing is None or not before:
        return False
    near = abs(landing.pitch.midi - before[-1].pitch.midi) <= STEP
    sound = (landing.pitch.midi - chord.placed.chord.root.semitone) % 12
    return near and (chord.is_tone(landing.pitch.midi % 12) or sound == STEP)


def _passes(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell whether each natural 7 over a dominant moves on by a half step, in its own place.

    Between a b9 and the b7 it stands where the root should.
    """
    placed = chord.placed
    leaning = (placed.chord.root.semitone + NATURAL_SEVENTH) % 12
    moves = pairwise([0, *sizes_of(notes), 1])
    return not placed.chord.kind.is_dominant or all(
        abs(out) == 1 and (into, out) != (-STEP, -1)
        for (into, out), note in zip(moves, notes, strict=True)
        if note.pitch.midi % 12 == leaning and placed.start <= note.start < placed.end
    )


def accidental_repeats(line: Line) -> int:
    """Return how often a note comes again though it neither calls nor came early for a chord.

    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> called = Line.parse("8th D5 D5 F5 A5 G5 F5 D5 B4 | whole C5", over)
    >>> stuck = Line.parse("8th D5 F5 A5 A5 G5 F5 D5 B4 | whole C5", over)
    >>> accidental_repeats(called), accidental_repeats(stuck)
    (0, 1)
    """
    return len(repeats_by_accident(placed_notes(line)))


def is_heard_out(chord: ChordPalette) -> bool:
    """Tell whether a chord is a dominant that goes on, and long enough to say which it is."""
    return chord.resolves and chord.placed.beats >= HEARD


def _is_heard(notes: Sequence[PlacedNote], chord: ChordPalette) -> bool:
    """Tell whether the 3rd or 7th of a chord begins on a strong place or sounds as it comes.

    Where all notes over it are needed for its colour there is no room for either.
    """
    placed = chord.placed
    over = [n for n in notes if n.note.end > placed.start and n.note.start < placed.end]
    inside = [n for n in over if n.note.start >= placed.start]
    if len(inside) <= len(chord.hallmarks) and not chord.needs_guide:
        return True
    return any(
        chord.kinds[n.midi % 12] == GUIDE
        and (n.note.start <= placed.start or n.strength >= HALF_BAR or placed.beats < STRONG)
        for n in over
    )


def _slips_by(placed: Sequence[PlacedNote], chord: ChordPalette) -> bool:
    """Tell whether each note that is foreign to the colour stands off the beat between steps."""
    return all(
        here.strength == OFF_BEAT
        and abs(after.midi - here.midi) <= STEP
        and abs(here.midi - before.midi) <= STEP
        for before, here, after in zip(placed, placed[1:], placed[2:], strict=False)
        if chord.kinds[here.midi % 12] == RUBS
        and chord.placed.start <= here.note.start < chord.placed.end
    )


THIRD = 4
MOST_TURNS, FEWEST_TURNS = 0.5, 0.2  # of all moves
STRAINED = (6, 8)  # half steps
MOST_OF_TWO, TWICE = 5, 2  # notes of eight; times among the first five
# === Costs of the whole ===


@dataclass(frozen=True, slots=True)
class _Facts:
    """A line as MIDI numbers with its moves, the kinds of its notes and their places."""

    places: Sequence[Place]
    line: Sequence[int]
    sizes: Sequence[int]
    kinds: Sequence[int]


def _shuttles(facts: _Facts) -> float:
    """Count two notes that come in turn: a b a b."""
    pairs = zip(facts.line, facts.line[2:], strict=False)
    return sum(first and again for first, again in pairwise(a == b for a, b in pairs))


def _returns(facts: _Facts) -> float:
    """Count notes that were heard two or three notes before."""
    line = facts.line
    return sum(midi in line[max(0, at - 3) : at - 1] for at, midi in enumerate(line) if at > 1)


def _turns(facts: _Facts) -> float:
    """Return the share of moves that change direction."""
    moving = [size for size in facts.sizes if size]
    return sum(a * b < 0 for a, b in pairwise(moving)) / max(1, len(moving) - 1)


def _restless(facts: _Facts) -> float:
    """Return how far the turns exceed their share."""
    return max(0.0, _turns(facts) - MOST_TURNS)


def _one_way(facts: _Facts) -> float:
    """Return how far the turns fall short of their share."""
    return max(0.0, FEWEST_TURNS - _turns(facts))


def _zigzags(facts: _Facts) -> float:
    """Count skips wider than a third, one way and then the other."""
    return sum(a * b < 0 and min(abs(a), abs(b)) > THIRD for a, b in pairwise(facts.sizes))


def _narrow(facts: _Facts) -> float:
    """Return the half steps that the line is short of an octave."""
    return max(0, OCTAVE - max(facts.line) + min(facts.line))


def _runs(facts: _Facts) -> float:
    """Count moves that go on a third time one way."""
    ways = [(size > 0) - (size < 0) for size in facts.sizes]
    return sum(a == b == c != 0 for a, b, c in zip(ways, ways[1:], ways[2:], strict=False))


def _arpeggios(facts: _Facts) -> float:
    """Count two thirds one way between three notes that belong to the chord."""
    stable = [kind in STABLE for kind in facts.kinds]
    return sum(
        STEP < abs(a) <= THIRD and STEP < abs(b) <= THIRD and a * b > 0 and all(stable[at : at + 3])
        for at, (a, b) in enumerate(pairwise(facts.sizes))
    )


def _sequences(facts: _Facts) -> float:
    """Count figures of four notes that come again a half bar later, higher or lower."""
    moves = tuple(map(move_of, facts.sizes))
    figures = [(moves[at : at + 3], facts.line[at]) for at in range(len(moves) - 2)]
    again = zip(figures, figures[4:], strict=False)
    return sum(a == b and len(set(a)) > 1 and one != other for (a, one), (b, other) in again)


def _stuck(facts: _Facts) -> float:
    """Count four notes that come again as they were."""
    line = list(facts.line)
    return sum(line[at : at + 4] == line[at + 4 : at + 8] for at in range(len(line) - 7))


def _enclosures(facts: _Facts) -> float:
    """Count notes of the chord that are closed in on from both sides by notes that are not."""
    return sum(
        abs(a + b) <= STEP
        and a * b < 0
        and 0 < abs(b) <= STEP < abs(a) <= THIRD
        and facts.kinds[at + 2] in (GUIDE, CHORD)
        and facts.kinds[at + 1] not in STABLE
        for at, (a, b) in enumerate(pairwise(facts.sizes))
    )


def _guides(facts: _Facts) -> float:
    """Count half steps down into a guide tone at a change of chord."""
    moves = zip(pairwise(facts.places), facts.sizes, facts.kinds[1:], strict=True)
    return sum(a.chord != b.chord and size == -1 and kind == GUIDE for (a, b), size, kind in moves)


def _peaks(facts: _Facts) -> float:
    """Count the returns to the highest note."""
    return facts.line.count(max(facts.line)) - 1


def _crowded(facts: _Facts) -> float:
    """Count where two pitches make up five of eight notes, and three of the first five."""
    line = facts.line
    first = line[:5]
    begin = max(map(first.count, first)) > TWICE
    return begin + sum(of_two(midis) >= MOST_OF_TWO for midis in parts(line, 8))


def _hovers(facts: _Facts) -> float:
    """Count where twelve notes stay inside a fifth."""
    return sum(max(midis) - min(midis) <= FIFTH for midis in parts(facts.line, 12))


def _hung_up(facts: _Facts) -> float:
    """Tell whether the last note is the highest: the line has not come down."""
    return len(facts.line) > 1 and facts.line[-1] == max(facts.line)


def _strained(facts: _Facts) -> float:
    """Count skips of a tritone and of an augmented fifth."""
    return sum(abs(size) in STRAINED for size in facts.sizes)


def _last_skips(facts: _Facts) -> float:
    """Count a last move wider than a third."""
    return bool(facts.sizes) and abs(facts.sizes[-1]) > THIRD


@dataclass(frozen=True, slots=True)
class _Term:
    """A row of the table: a name, the cost for each one counted, what it counts."""

    name: str
    cost: float
    count: Callable[[_Facts], float]


# In the nats of the other tables; below 0 stands what is liked (common practice).
WHOLE = (
    _Term("two notes in turn", 1.5, _shuttles),
    _Term("a note that was just left", 0.3, _returns),
    _Term("a skip back after a skip", 0.7, _zigzags),
    _Term("four notes again as they were", 3.0, _stuck),
    _Term("too many turns", 8.0, _restless),
    _Term("too few turns", 8.0, _one_way),
    _Term("half steps short of an octave", 0.35, _narrow),
    _Term("a run", -0.35, _runs),
    _Term("an arpeggio", -0.6, _arpeggios),
    _Term("a figure taken up again", -0.5, _sequences),
    _Term("an enclosure", -0.6, _enclosures),
    _Term("a half step down into a guide tone", -0.8, _guides),
    _Term("the highest note again", 0.3, _peaks),
    _Term("a skip into the last note", 1.2, _last_skips),
    _Term("two pitches over and over", 0.8, _crowded),
    _Term("twelve notes inside a fifth", 0.5, _hovers),
    _Term("the highest note at the end", 2.0, _hung_up),
    _Term("a tritone or an augmented fifth", 0.4, _strained),
)


def whole_cost(places: Sequence[Place], line: Sequence[int]) -> float:
    """Return the cost of a line, given as MIDI numbers for the places."""
    sizes = [b - a for a, b in pairwise(line)]
    kinds = [place.palette.kinds[midi % 12] for place, midi in zip(places, line, strict=True)]
    facts = _Facts(places, line, sizes, kinds)
    return sum(term.cost * term.count(facts) for term in WHOLE)
