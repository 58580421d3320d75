"""Touch: when, how loud and how long players play what is written.

What is done on purpose follows rules: a soloist is late on the beat and with the ride off it, ties
a note off the beat to the one on it, plays the top of a phrase louder, lets its end taper, swallows
low notes between higher ones. Around that every note strays a little. Listeners like small
deviations, under 19 ms, better than large ones and better than none; the hi-hat comes 2 to 26 ms
early (Alex Hofmann, Brian Wesolowski and Werner Goebl, *The tight-interlocked rhythm section*,
Journal of New Music Research 46, 2017; known from summaries). Bands are led by the drums, piano and
bass follow (Anders Friberg and Andreas Sundström, *Preferred swing ratio in jazz as a function of
tempo*, TMH-QPSR 4, 1997, its review of others). The other numbers: common practice.

Chance goes by part and beat, so that another colour or another line changes nothing elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from hashlib import blake2b
from itertools import pairwise
from struct import unpack

from theorykit.lines.band.feels import PEDAL_HI_HAT
from theorykit.lines.parts import Part, Sounding


@dataclass(frozen=True, slots=True)
class Hand:
    """How a player strays: milliseconds late in the middle and around it, loudness around its own.

    ``roll`` are the milliseconds from one note of a chord to the next above it.
    """

    late: float
    around: float
    loudness: float
    roll: float = 0.0


HANDS = {
    "line": Hand(0.0, 5.0, 2.5),
    "piano": Hand(5.0, 4.0, 3.0, roll=4.0),
    "bass": Hand(3.0, 4.0, 2.5),
    "drums": Hand(0.0, 2.5, 3.0),
}
HI_HAT_EARLY = 6.0  # milliseconds

# Strokes that come faster add up, so players strike them more lightly (common practice): by which
# power of the tempo, so that a part is as loud at any. Measured on the rhythm section itself.
USUAL_TEMPO = 140
LIGHTER = {"piano": 0.11, "bass": 0.17, "drums": 0.22}


def lightened(part: Part, tempo: float, share: float = 1.0) -> Part:
    """Return a part as loud as its player takes it at a tempo; a click stays as loud.

    ``share`` is what all its loudness is multiplied by.

    >>> ride = Part("drums", (Sounding(Fraction(0), Fraction(1), 51, 80),))
    >>> [lightened(ride, tempo).notes[0].loudness for tempo in (70, 140, 280)]
    [93, 80, 69]
    """
    louder = share * (USUAL_TEMPO / tempo) ** LIGHTER[part.name]
    return replace(
        part,
        notes=tuple(
            note
            if note.counts_in
            else replace(note, loudness=max(1, min(127, round(note.loudness * louder))))
            for note in part.notes
        ),
    )


def played(name: str, notes: Iterable[Sounding], drawn: float) -> tuple[Sounding, ...]:
    """Return the notes of a part as its player plays them; ``drawn`` is his number by chance.

    Chords are rolled from the bottom. The same number gives the same deviations.

    >>> chord = [Sounding(Fraction(0), Fraction(2), midi, 60) for midi in (53, 57, 60)]
    >>> rolled = [note.late for note in played("piano", chord, 0.5)]
    >>> rolled == sorted(rolled), rolled[0] < rolled[-1]
    (True, True)
    """
    hand = HANDS[name]
    found: list[Sounding] = []
    at, chances = Fraction(-1), _Chances(name)
    late = stray = rolled = 0.0
    for note in notes:
        if note.start != at:
            at, rolled = note.start, 0.0
            chances = _Chances(f"{drawn} {name} {note.start}")
            late = hand.late + chances.around(hand.around)
            stray = chances.around(hand.loudness)
        early = HI_HAT_EARLY if name == "drums" and note.midi == PEDAL_HI_HAT else 0.0
        shift = round(late + rolled - early, 1)
        found.append(_shifted(note, shift, stray + chances.around(hand.loudness / 2)))
        rolled += hand.roll * (0.7 + 0.6 * chances.next())
    return tuple(found)


class _Chances:
    """Numbers by chance that belong to a moment, many times as fast as a fresh ``Random``."""

    def __init__(self, moment: str) -> None:
        self.numbers: tuple[int, ...] = unpack("<32H", blake2b(moment.encode()).digest())
        self.at = 0

    def next(self) -> float:
        """Return a number from 0 to 1."""
        self.at = (self.at + 1) % len(self.numbers)
        return self.numbers[self.at] / 65535

    def around(self, spread: float) -> float:
        """Return a deviation whose standard deviation is ``spread``; it never goes far."""
        return (self.next() + self.next() + self.next() - 1.5) * 2 * spread


def _shifted(note: Sounding, late: float, louder: float) -> Sounding:
    """Return a note later and louder; a click keeps its place."""
    if note.counts_in:
        return note
    loudness = max(1, min(127, round(note.loudness + louder)))
    return replace(note, late=late, let_go=late, loudness=loudness)


# === The soloist ===

HALF = Fraction(1, 2)
OFF_BEAT = 4  # louder off the beat
HEIGHT, MOST_HEIGHT = 0.9, 9  # louder by half step above the middle of the phrase, at most
RISE, MOST_RISE = 0.5, 4  # the same for a phrase above the middle of the line
PEAK = 4  # louder at the top of a phrase
TAPER = (-8, -5, -2)  # the last note of a phrase, the one before, the one before that
GHOST, GHOSTS = -26, 0.6  # a swallowed note, and how often it is
ACCENT, ACCENTS = 7, 0.3  # a note off the beat before a leap or a rest, and how often
SHORT_END = Fraction(1, 2)  # of an eighth off the beat that ends a phrase: cut short
DETACHED = Fraction(1, 12)  # of a note's length, left silent before the next
REPEATED = Fraction(1, 6)  # of it, where the same key is struck again
LONGEST_GAP = Fraction(1, 8)  # beats
BREATH = HALF  # beats of rest that end a phrase
LEAP = 4  # half steps: what is wider is a leap


def sung(notes: Sequence[Sounding], drawn: float, *, late: float = 0.0) -> tuple[Sounding, ...]:
    """Return a line as a soloist plays it; ``late`` are his milliseconds on the beat.

    >>> eighths = [Sounding(HALF * n, HALF, 60 + n) for n in range(4)]
    >>> one, two, three, four = sung(eighths, 0.5, late=40)
    >>> one.late > 20, two.late < 20, two.beats == HALF, one.beats < HALF
    (True, True, True, True)
    """
    found: list[Sounding] = []
    middle = round(_middle(notes)) if notes else 0  # whole: one other note changes no phrase
    for phrase in _phrases(notes):
        found += _phrase(phrase, drawn, late, _within(RISE * (_middle(phrase) - middle), MOST_RISE))
    return tuple(_joined(found))


def _phrases(notes: Sequence[Sounding]) -> Iterator[list[Sounding]]:
    """Yield the notes from rest to rest."""
    phrase: list[Sounding] = []
    for note in notes:
        if phrase and note.start - (phrase[-1].start + phrase[-1].beats) >= BREATH:
            yield phrase
            phrase = []
        phrase.append(note)
    if phrase:
        yield phrase


def _middle(notes: Sequence[Sounding]) -> float:
    """Return how high notes lie in the mean."""
    return sum(note.midi for note in notes) / len(notes)


def _within(louder: float, most: float) -> float:
    """Return a number that is not farther from none than a bound."""
    return max(-most, min(most, louder))


def _phrase(
    phrase: Sequence[Sounding], drawn: float, late: float, rise: float
) -> Iterator[Sounding]:
    """Yield the notes of a phrase with its contour, its articulation and its place in time.

    ``rise`` is how much louder all of it is for where it lies in the line.
    """
    hand = HANDS["line"]
    middle = _middle(phrase)
    top = max(note.midi for note in phrase)
    around = [None, *phrase, None]
    for place, note in enumerate(phrase):
        before, after = around[place], around[place + 2]
        chances = _Chances(f"{drawn} line {note.start}")
        stray, whim = chances.around(hand.loudness), chances.next()
        height = rise + _within(HEIGHT * (note.midi - middle), MOST_HEIGHT)
        louder = stray + height + PEAK * (note.midi == top) + _stress(note, before, after, whim)
        from_end = len(phrase) - 1 - place
        if len(phrase) > len(TAPER) and from_end < len(TAPER):
            louder += TAPER[from_end]
        behind = late * on_beat(note.start) + chances.around(hand.around)
        yield replace(
            _shifted(note, round(behind, 1), louder), beats=note.beats - _gap(note, after)
        )


def _stress(note: Sounding, before: Sounding | None, after: Sounding | None, whim: float) -> float:
    """Return how much louder a note is for its place, its neighbours and chance."""
    off = note.start.denominator == 2
    added = float(OFF_BEAT * off)
    if note.beats <= HALF and before and after:
        if note.midi < min(before.midi, after.midi) and whim < GHOSTS:
            return added + GHOST
        if off and abs(after.midi - note.midi) > LEAP and whim < ACCENTS:
            return added + ACCENT
    return added


def on_beat(start: Fraction) -> float:
    """Return what share of a soloist's delay a note takes: all on the beat, none on its half.

    Notes on the triplet grid are all as late, so that they stay even.
    """
    if start.denominator & (start.denominator - 1):
        return 1.0
    return float(abs(HALF - start % 1) * 2)


def _gap(note: Sounding, after: Sounding | None) -> Fraction:
    """Return what of a note's length is left silent.

    A note off the beat is tied to the one on it; an eighth off it that ends a phrase is short.
    """
    off = note.start.denominator == 2
    if after is None:
        return note.beats * SHORT_END if off and note.beats <= HALF else _most(note, DETACHED)
    if after.midi == note.midi:
        return _most(note, REPEATED)
    return Fraction(0) if off else _most(note, DETACHED)


def _most(note: Sounding, share: Fraction) -> Fraction:
    """Return a share of a note's length, not longer than a gap is."""
    return min(LONGEST_GAP, note.beats * share)


def _joined(notes: Sequence[Sounding]) -> Iterator[Sounding]:
    """Yield notes, each tied one let go when the next begins."""
    for note, after in pairwise(notes):
        tied = note.start + note.beats == after.start
        yield replace(note, let_go=after.late) if tied else note
    yield from notes[-1:]
