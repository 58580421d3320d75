"""Accompaniment: a rhythm section for any progression, and performances with it."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TypedDict, Unpack

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour
from theorykit.lines.band.bass import bass_line
from theorykit.lines.band.rhythm import comping, count, time_keeping
from theorykit.lines.band.voicings import Colours, voice_progression
from theorykit.lines.parts import PART_NAMES, Part, Performance, Sounding
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.tunes.progression import Progression


def colours_over(line: Line, colour: Colour | None) -> dict[int, tuple[Degree, ...]]:
    """Return the degrees that the piano plays over the dominants of a line, by their place.

    Without a colour they are the plain tones of the chord, so that plain sounds plain.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.lines.demonstration import demonstration
    >>> for wanted in (colour("b9 13"), None):
    ...     found = colours_over(demonstration("C", "long"), wanted)
    ...     {place: " ".join(map(str, degrees)) for place, degrees in found.items()}
    {1: '13 b9 3'}
    {1: '1 3 5 b7'}
    """
    return {
        place: placed.chord.degrees if colour is None else colour.degrees
        for place, placed in enumerate(line.progression.chords)
        if placed.chord.kind.is_dominant
    }


# === Performances ===

ROUND_TEMPO = 100  # beats a minute over which the swing ratio falls by one
SLOW_RATIO = 4.0  # where the straight line of the ratio would stand at a standstill
LEAST_SWING, MOST_SWING = 1.0, 3.0

MOST_COUNT_IN, MOST_REPEATS = 4, 64
LINE_LOUDNESS, OFF_BEAT_ACCENT = 88, 6
DETACHED = Fraction(1, 16)  # of a note's length, left silent before the next
LONGEST_GAP = Fraction(1, 8)  # beats


def default_swing(tempo: float) -> float:
    """Return the ratio of the long to the short eighth that suits a tempo in beats a minute.

    It falls in a straight line with the tempo, from 3.5 at slow ones to 1 at 300, as Friberg and
    Sundström measured on the ride cymbals of well-known drummers (*Music Perception* 19, 2002; from
    memory: the line through 2 at 200). Ratios above 3 are cut to 3.

    >>> [default_swing(tempo) for tempo in (60, 120, 200, 300)]
    [3.0, 2.8, 2.0, 1.0]
    """
    return round(min(MOST_SWING, max(LEAST_SWING, SLOW_RATIO - tempo / ROUND_TEMPO)), 2)


def play_line(line: Line, *, at: Fraction = Fraction(0), loudness: int = LINE_LOUDNESS) -> Part:
    """Return a line as a part to be played, its first beat on beat ``at``.

    Notes are slightly detached, and the ones off the beat a little louder (common practice).

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th F4 A4 quarter C5 half rest", two_five_one("C"))
    >>> [(str(n.start), str(n.beats), n.loudness) for n in play_line(line).notes]
    [('0', '15/32', 88), ('1/2', '15/32', 94), ('1', '15/16', 88)]
    """
    notes = (
        Sounding(
            at + note.start,
            note.beats - min(LONGEST_GAP, note.beats * DETACHED),
            note.pitch.midi,
            loudness + OFF_BEAT_ACCENT * (note.start.denominator == 2),
        )
        for note in line.notes
    )
    return Part("line", tuple(notes))


def accompany(
    progression: Progression,
    *,
    feel: str = "four",
    colours: Colours | None = None,
    style: str = "rootless",
    top: tuple[int, int] | None = None,
    figure: str | None = None,
    leads_to: Chord | None = None,
    count_in: int = 0,
    seed: int | random.Random = 0,
) -> tuple[Part, Part, Part]:
    """Return piano, bass and drums for a progression, after ``count_in`` bars of clicks.

    ``feel`` is ``"two"`` or ``"four"``; ``colours`` gives degrees over chords by their place;
    ``style`` and ``top`` are those of the voicings, ``figure`` the rhythm of the piano.
    ``leads_to`` is the chord that follows, where the music goes on; without it the last chord is
    held. The same seed gives the same parts, and the same rhythm and bass under another colour as
    far as the colour allows.

    >>> from theorykit.tunes.progression import two_five_one
    >>> [part.name for part in accompany(two_five_one("Eb"), count_in=1)]
    ['piano', 'bass', 'drums']
    """
    rng = seed if isinstance(seed, random.Random) else random.Random(seed)
    voiced = voice_progression(progression, style=style, colours=colours, top=top)
    ends = leads_to is None
    start = _count_length(progression, count_in)
    bass = bass_line(progression, feel=feel, colours=colours, leads_to=leads_to, seed=rng)
    piano = comping(progression, voiced, figure=figure, ends=ends, seed=rng)
    clicks = count(progression.bars[0].beats, count_in)
    drums = (*clicks, *_moved(time_keeping(progression), start))
    return (
        Part("piano", _moved(piano, start)),
        Part("bass", _moved(bass, start)),
        Part("drums", drums),
    )


class Section(TypedDict, total=False):
    """The wishes that a performance hands on to ``accompany``."""

    feel: str
    style: str
    top: tuple[int, int] | None
    figure: str | None
    leads_to: Chord | None
    seed: int | random.Random


def performance(
    line: Line | None,
    progression: Progression,
    *,
    tempo: float = 120,
    swing: float | None = None,
    count_in: int = 1,
    repeats: int = 1,
    answer_bars: bool = False,
    colours: Colours | None = None,
    **section: Unpack[Section],
) -> Performance:
    """Return a line, or none, over a rhythm section, ready to be played.

    ``tempo`` is in beats a minute; ``swing`` defaults to what suits the tempo. The whole sounds
    ``repeats`` times after one count-in of ``count_in`` bars. With ``answer_bars`` the phrase is
    followed each time by the same bars with the rhythm section alone, for an answer. A pickup
    longer than the count-in makes the count-in longer. ``colours`` and the other wishes (feel,
    style, top, figure, leads_to, seed) are those of ``accompany``.

    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> line = Line.parse("8th D4 F4 A4 C5 B4 Ab4 F4 D4 | whole E4", over)
    >>> played = performance(line, over, answer_bars=True)
    >>> [part.name for part in played.parts], str(played.beats), played.swing
    (['line', 'piano', 'bass', 'drums'], '20', 2.8)
    """
    _check_length(line, progression)
    rounds = _rounds(repeats) * (2 if answer_bars else 1)
    count_in = max(count_in, bars_of_pickup(line))
    whole = replace(progression, bars=progression.bars * rounds)
    coloured = _repeated(colours or {}, len(progression.chords), rounds)
    parts: list[Part] = list(accompany(whole, colours=coloured, count_in=count_in, **section))
    start = _count_length(progression, count_in)
    for turn in range(0, rounds, 2 if answer_bars else 1):
        if line is not None:
            parts.append(play_line(line, at=start + progression.beats * turn))
    ratio = default_swing(tempo) if swing is None else swing
    return Performance(_merged(parts), start + whole.beats, tempo, ratio)


def unaccompanied(*lines: Line, tempo: float = 100, count_in: int = 1) -> Performance:
    """Return lines that sound together with nothing under them, after a bar of clicks.

    They must stand over progressions of one length. ``tempo`` is in beats a minute.

    >>> from theorykit.lines.guide_tones import guide_tone_lines
    >>> from theorykit.tunes.progression import two_five_one
    >>> played = unaccompanied(*guide_tone_lines(two_five_one("C"), longest=4))
    >>> [(part.name, len(part.notes)) for part in played.parts], str(played.beats)
    ([('line', 6), ('drums', 4)], '16')
    """
    if not lines:
        raise TheoryError("no line to play (want at least one)")
    over = lines[0].progression
    for line in lines:
        _check_length(line, over)
    start = _count_length(over, count_in)
    parts = [play_line(line, at=start) for line in lines]
    parts.append(Part("drums", count(over.bars[0].beats, count_in)))
    return Performance(_merged(parts), start + over.beats, tempo, default_swing(tempo))


def then(*performances: Performance) -> Performance:
    """Return performances one after the other, as one.

    >>> from theorykit.tunes.progression import two_five_one
    >>> c, f = (performance(None, two_five_one(key), count_in=0) for key in "CF")
    >>> str(then(c, f).beats)
    '24'
    """
    if not performances:
        raise TheoryError("nothing to play (want at least one performance)")
    first = performances[0]
    parts: list[Part] = []
    at = Fraction(0)
    for one in performances:
        if (one.tempo, one.swing) != (first.tempo, first.swing):
            raise TheoryError(
                f"two tempos or swings in one: {first.tempo} and {one.tempo} beats a minute, "
                f"{first.swing} and {one.swing} (want the same in every performance)"
            )
        parts += [replace(part, notes=_moved(part.notes, at)) for part in one.parts]
        at += one.beats
    return replace(first, parts=_merged(parts), beats=at)


def _merged(parts: Iterable[Part]) -> tuple[Part, ...]:
    """Join the parts of one name, in the order of ``PART_NAMES``."""
    notes: dict[str, list[Sounding]] = {}
    for part in parts:
        notes.setdefault(part.name, []).extend(part.notes)
    return tuple(Part(name, tuple(notes[name])) for name in PART_NAMES if name in notes)


def _moved(notes: Iterable[Sounding], beats: Fraction) -> tuple[Sounding, ...]:
    """Return notes some beats later."""
    return tuple(replace(note, start=note.start + beats) for note in notes)


def _count_length(progression: Progression, bars: int) -> Fraction:
    """Return how many beats a count-in of some bars takes."""
    if not isinstance(bars, int) or not 0 <= bars <= MOST_COUNT_IN:
        raise TheoryError(f"no such count-in: {shown(bars)} (want 0 to {MOST_COUNT_IN} bars)")
    return bars * progression.bars[0].beats


def _check_length(line: Line | None, progression: Progression) -> None:
    """Refuse a line that was made for a longer or shorter progression."""
    if line is not None and line.progression.beats != progression.beats:
        raise TheoryError(
            f"the line lasts {line.progression.beats} beats and the progression "
            f"{progression.beats} (want the same length)"
        )


def _rounds(repeats: int) -> int:
    """Check how often something is to be played."""
    if not isinstance(repeats, int) or not 1 <= repeats <= MOST_REPEATS:
        raise TheoryError(f"no such repeat: {shown(repeats)} (want 1 to {MOST_REPEATS} times)")
    return repeats


def bars_of_pickup(line: Line | None) -> int:
    """Return how many bars a line begins before its progression."""
    if line is None or not line.notes or line.notes[0].start >= 0:
        return 0
    return int(-(line.notes[0].start // line.progression.bars[0].beats))


def _repeated(colours: Colours, chords: int, rounds: int) -> dict[int, Sequence[Degree]]:
    """Return colours for a progression that is played several times."""
    return {
        place + chords * turn: colour for turn in range(rounds) for place, colour in colours.items()
    }
