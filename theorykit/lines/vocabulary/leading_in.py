"""Lead-ins: what a player plays over the ii bar so that a short phrase fills a long form.

The ways are common practice: the guide tones of ii, a run of its scale, an enclosure of the first
note, the phrase's own motif in front of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import islice, pairwise
from math import floor
from random import Random

from theorykit.errors import TheoryError, expect, shown
from theorykit.lines.chord_scale import chord_scale
from theorykit.lines.excerpts import LONGER, in_second_bar
from theorykit.lines.guide_tones import guide_tones
from theorykit.lines.setting import form_of
from theorykit.lines.text import HIGHEST_MIDI, Line, TimedNote, half_step_name
from theorykit.notes.degree import above, single
from theorykit.notes.note import Note, Pitch
from theorykit.tunes.progression import PlacedChord

BEAT, EIGHTH, HALF = Fraction(1), Fraction(1, 2), Fraction(2)
FOURTH, FIFTH = 5, 7  # half steps
RUNS = (6, 7, 5, 4, 8, 3)  # eighths of a run, the best first; few where a pickup follows
VARIANTS = 3  # ways of one kind
MOTIF, FEWEST = 4, 3  # notes of a motif at most and at least
SHIFTS = (-2, 2, -1, 1, -3, 3)  # scale steps by which a motif is moved
BEYOND = 5  # half steps by which a lead-in leaves the range of its phrase at most


@dataclass(frozen=True, slots=True)
class LeadIn:
    """A way into a phrase by its name, and the phrase with it, over the longer form."""

    name: str
    line: Line


def lead_ins(line: Line, form: str = "long") -> tuple[LeadIn, ...]:
    """Return a short phrase grown into a longer form, once for each way in that it allows.

    The phrase itself is not changed: it stands in the bar before I. ``form`` is ``"long"`` or
    ``"split"``.

    >>> from theorykit.tunes.progression import two_five_one
    >>> short = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", two_five_one("C", "short"))
    >>> for one in lead_ins(short):
    ...     print(f"{one.name}: {one.line}".partition(" |")[0])
    guide tones: half F5 C5
    scale run: half rest 8th D4 E4 F4 G4
    enclosure: half F5 quarter C5 8th B4 G#4
    its own motif: 8th C5 E5 A5 F5 half rest
    """
    if form not in LONGER:
        raise TheoryError(f"no form to grow into: {shown(form)} (want {' or '.join(LONGER)})")
    return _ways_into(_in_last_bar(line, form), 1)


def led_in(line: Line, *, seed: int = 0, place: int = 0) -> Line:
    """Return a phrase over a ii-V-I with a fresh lead-in; each ``place`` goes another way in.

    What a longer phrase has over the ii bar gives way to it; a short one grows into the long form.
    """
    own = form_of(line.progression)
    whole = _in_last_bar(line, "long") if own == "short" else _without_ii(line)
    ways = _ways_into(whole, VARIANTS)
    if not ways:
        raise TheoryError(f"no lead-in into {line.text} (want a phrase that begins near its bar)")
    return ways[(Random(f"lead-in {seed}").randrange(len(ways)) + place) % len(ways)].line


def _ways_into(whole: Line, variants: int) -> tuple[LeadIn, ...]:
    """Return the ways into a phrase, so many of each kind, the kinds in turn."""
    gap = _gap_before(whole)
    if gap.end < HALF:
        return ()
    found = [
        [LeadIn(name, replace(whole, notes=(*notes, *whole.notes))) for notes in good]
        for name, way in _WAYS.items()
        if (good := list(islice((n for n in way(gap) if _is_good(n, gap)), variants)))
    ]
    return tuple(kind[turn] for turn in range(variants) for kind in found if turn < len(kind))


def _in_last_bar(line: Line, form: str) -> Line:
    """Return a short phrase in the bar before I of a longer form."""
    expect(line, Line, "a line", "a Line over a short ii-V-I")
    if form_of(line.progression) != "short" or not line.notes:
        raise TheoryError(f"not a phrase over a short ii-V-I: {line.progression} (want one)")
    return in_second_bar(line, form)


def _without_ii(line: Line) -> Line:
    """Return what a phrase has from its second bar on."""
    first = line.progression.bars[0].beats
    kept = tuple(note for note in line.notes if note.start >= first)
    if not form_of(line.progression) or not kept:
        raise TheoryError(f"no phrase to lead into over {line.progression} (want a ii-V-I)")
    return replace(line, notes=kept)


@dataclass(frozen=True, slots=True)
class _Gap:
    """The ii bar before a phrase: its chord and scale, the phrase, the range."""

    placed: PlacedChord
    scale: tuple[Note, ...]
    phrase: tuple[TimedNote, ...]
    signature: tuple[Note, ...]

    @property
    def goal(self) -> int:
        """The first note of the phrase as a MIDI number."""
        return self.phrase[0].pitch.midi

    @property
    def end(self) -> Fraction:
        """The beat up to which there is room: the phrase, or the bar line a little before it."""
        begins, bar = self.phrase[0].start, self.placed.start + 2 * HALF
        return min(bar, Fraction(floor(begins))) if _is_odd(begins, bar) else begins

    @property
    def compass(self) -> range:
        """The MIDI numbers that a lead-in may use."""
        midis = [note.pitch.midi for note in self.phrase]
        return range(min(midis) - BEYOND, min(HIGHEST_MIDI, max(midis) + BEYOND) + 1)

    def stepped(self, midi: int, steps: int) -> Pitch:
        """Return the note of the scale so many steps from a pitch, which need not be in it."""
        sounds = {note.semitone: note for note in self.scale}
        way, left = (1 if steps > 0 else -1), abs(steps)
        while left:
            midi += way
            left -= midi % 12 in sounds
        return Pitch.numbered(sounds[midi % 12], midi)

    def is_tone(self, pitch: Pitch) -> bool:
        """Tell whether a pitch is a tone of ii."""
        return pitch.midi % 12 in {note.semitone for note in self.placed.chord.notes}


_Notes = tuple[TimedNote, ...]
_WaysIn = Callable[[_Gap], Iterator[_Notes]]


def _gap_before(whole: Line) -> _Gap:
    """Return the ii bar before a phrase."""
    over, first = whole.progression, whole.progression.chords[0]
    scale = tuple(single(above(first.chord.root, d)) for d in chord_scale(first.chord, over.key))
    return _Gap(first, scale, whole.notes, over.key.notes)


def _is_good(notes: _Notes, gap: _Gap) -> bool:
    """Tell whether a lead-in stays in the range and repeats no note, the phrase's first least."""
    midis = [note.pitch.midi for note in notes]
    joined = notes[-1].end == gap.phrase[0].start
    close = not joined or 0 < abs(midis[-1] - gap.goal) <= FOURTH
    moving = all(a != b for a, b in pairwise(midis))
    return close and moving and all(midi in gap.compass for midi in midis)


def _guides(gap: _Gap, beats: Sequence[Fraction]) -> Iterator[tuple[TimedNote, TimedNote]]:
    """Yield the two guide tones of ii one after the other, the second near the phrase."""
    third, seventh = guide_tones(gap.placed.chord)
    start = gap.placed.start
    found = []
    for first, second in ((third, seventh), (seventh, third)):
        for last in _places(second, gap):
            for before in _places(first, gap):
                size = abs(last.midi - before.midi)
                found.append((abs(last.midi - gap.goal) + size / 4, before.midi, before, last))
    for _, _, before, last in sorted(found, key=lambda one: one[:2]):
        yield (
            TimedNote(before, start, beats[0]),
            TimedNote(last, start + beats[0], beats[1]),
        )


def _places(note: Note, gap: _Gap) -> list[Pitch]:
    """Return a note in every octave of the range."""
    found = [midi for midi in gap.compass if midi % 12 == note.semitone]
    return [Pitch.numbered(single(note), midi) for midi in found]


def _by_guide_tones(gap: _Gap) -> Iterator[_Notes]:
    """Yield the 3rd and 7th of ii, held, the second of them leading on by step."""
    room = gap.end - gap.placed.start
    first = HALF if room > HALF else BEAT
    yield from _guides(gap, (first, min(HALF, room - first)))


def _by_scale(gap: _Gap) -> Iterator[_Notes]:
    """Yield runs of eighths that reach the phrase by step, from a tone of ii on a beat."""
    for count in RUNS:
        begin = gap.end - count * EIGHTH
        if begin < gap.placed.start or begin.denominator > 1:
            continue
        for way in (-1, 1):
            run = [gap.stepped(gap.goal, way * (count - place)) for place in range(count)]
            if gap.is_tone(run[0]):
                yield tuple(
                    TimedNote(pitch, begin + place * EIGHTH, EIGHTH)
                    for place, pitch in enumerate(run)
                )


def _by_enclosure(gap: _Gap) -> Iterator[_Notes]:
    """Yield guide tones, then a step above and a half step below the first note."""
    left = gap.end - BEAT - gap.placed.start - HALF
    if left < EIGHTH or gap.end != gap.phrase[0].start:
        return
    upper = gap.stepped(gap.goal, 1)
    lower = half_step_name(gap.phrase[0].pitch.note, True, gap.signature)
    turn = (upper, Pitch.numbered(lower, gap.goal - 1))
    for guides in _guides(gap, (HALF, left)):
        if 0 < abs(guides[1].pitch.midi - upper.midi) <= FIFTH:
            eighths = (
                TimedNote(pitch, gap.end - BEAT + place * EIGHTH, EIGHTH)
                for place, pitch in enumerate(turn)
            )
            yield (*guides, *eighths)


def _is_odd(begins: Fraction, bar: Fraction) -> bool:
    """Tell whether a phrase begins inside a triplet, or too late to be led into without a gap."""
    return begins.denominator > 2 or begins > bar + EIGHTH


def _by_motif(gap: _Gap) -> Iterator[_Notes]:
    """Yield the first notes of the phrase a bar earlier, moved in the scale, then a breath."""
    bar = 2 * HALF
    head = [note for note in gap.phrase[:MOTIF] if gap.placed.start <= note.start - bar]
    latest = gap.phrase[0].start - BEAT
    head = [note for note in head if note.end - bar <= latest]
    while head and head[-1].end.denominator > 2:  # no triplet is broken off
        head.pop()
    if len(head) < FEWEST:
        return
    for shift in SHIFTS:
        pitches = [gap.stepped(note.pitch.midi, shift) for note in head]
        if gap.is_tone(pitches[0]) and gap.is_tone(pitches[-1]):
            yield tuple(
                TimedNote(pitch, note.start - bar, note.beats)
                for note, pitch in zip(head, pitches, strict=True)
            )


_WAYS: dict[str, _WaysIn] = {
    "guide tones": _by_guide_tones,
    "scale run": _by_scale,
    "enclosure": _by_enclosure,
    "its own motif": _by_motif,
}
