"""Accompaniment: a rhythm section for any progression, and performances with it."""

from __future__ import annotations

import random
from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TypedDict, Unpack

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour
from theorykit.lines.band.bass import bass_line
from theorykit.lines.band.comping import comping
from theorykit.lines.band.drums import count, sections_of, time_keeping
from theorykit.lines.band.feels import feel_named
from theorykit.lines.band.swing import default_swing, lateness
from theorykit.lines.band.touch import lightened, played, sung
from theorykit.lines.band.voicings import Colours, voice_progression
from theorykit.lines.parts import (
    PART_NAMES,
    STRAIGHT,
    Part,
    Performance,
    Sounding,
    checked_pace,
)
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

MOST_COUNT_IN, MOST_REPEATS = 4, 64
LINE_LOUDNESS = 84
SLOW = 76  # beats a minute: at this tempo and below, swing is played with brushes


def play_line(
    line: Line,
    *,
    at: Fraction = Fraction(0),
    loudness: int = LINE_LOUDNESS,
    late: float = 0.0,
    seed: int | random.Random = 0,
) -> Part:
    """Return a line as a soloist plays it, its first beat on beat ``at``.

    ``late`` are the milliseconds by which he comes after the drums on the beat. The same seed gives
    the same deviations.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th F4 A4 quarter C5 half rest", two_five_one("C"))
    >>> [(str(n.start), str(n.beats)) for n in play_line(line).notes]
    [('0', '11/24'), ('1/2', '1/2'), ('1', '11/12')]
    """
    rng = seed if isinstance(seed, random.Random) else random.Random(seed)
    written = [Sounding(n.start, n.beats, n.pitch.midi, loudness) for n in line.notes]
    return Part("line", _moved(sung(written, rng.random(), late=late), at))


def accompany(
    progression: Progression,
    *,
    feel: str = "four",
    drums: str | None = None,
    colours: Colours | None = None,
    style: str = "rootless",
    top: tuple[int, int] | None = None,
    figure: str | None = None,
    line: Sequence[Sounding] = (),
    sections: Collection[int] | None = None,
    leads_to: Chord | None = None,
    count_in: int = 0,
    seed: int | random.Random = 0,
) -> tuple[Part, Part, Part]:
    """Return piano, bass and drums for a progression, after ``count_in`` bars of clicks.

    ``feel`` is one of ``FEELS``, ``drums`` another for the drummer alone; ``colours`` gives degrees
    over chords by their place; ``style`` and ``top`` are those of the voicings, ``figure`` the
    rhythm of the piano, ``line`` what it leaves room for. ``sections`` are the bars, from 0, on
    which a section begins. ``leads_to`` is the chord that follows, where the music goes on; without
    it the last chord is held. The same seed gives the same parts, and the same rhythm and bass
    under another colour as far as the colour allows.

    >>> from theorykit.tunes.progression import two_five_one
    >>> [part.name for part in accompany(two_five_one("Eb"), count_in=1)]
    ['piano', 'bass', 'drums']
    """
    rng = seed if isinstance(seed, random.Random) else random.Random(seed)
    ceilings = _ceilings(progression, line)
    voiced = voice_progression(
        progression, style=style, colours=colours, top=top, ceilings=ceilings
    )
    ends = leads_to is None
    start = _count_length(progression, count_in)
    bass = bass_line(progression, feel=feel, colours=colours, leads_to=leads_to, seed=rng)
    piano = comping(progression, voiced, feel=feel, figure=figure, line=line, ends=ends, seed=rng)
    kit = drums or feel
    struck = time_keeping(progression, feel=kit, sections=sections, goes_on=not ends, seed=rng)
    drawn = rng.random()
    clicks = count(progression.bars[0].beats, count_in)
    timed = _moved(played("drums", struck, drawn), start)
    return (
        Part("piano", _moved(played("piano", piano, drawn), start)),
        Part("bass", _moved(played("bass", bass, drawn), start)),
        Part("drums", (*clicks, *timed), feel_named(kit).kit),
    )


def _ceilings(progression: Progression, line: Sequence[Sounding]) -> dict[int, int]:
    """Return for each chord the key under which the piano stays: most of the line lies above."""
    found = {}
    for place, chord in enumerate(progression.chords):
        over = sorted(n.midi for n in line if chord.start <= n.start < chord.end)
        if over:
            found[place] = over[len(over) // 4]
    return found


class Section(TypedDict, total=False):
    """The wishes that a performance hands on to ``accompany``."""

    feel: str
    style: str
    top: tuple[int, int] | None
    figure: str | None
    leads_to: Chord | None


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
    sections: Collection[int] | None = None,
    seed: int | random.Random = 0,
    **section: Unpack[Section],
) -> Performance:
    """Return a line, or none, over a rhythm section, ready to be played.

    ``tempo`` is in beats a minute. Without ``swing`` eighths are as players do at that tempo and in
    that feel: the drummer's long ones are longer than the soloist's, who is late on the beat; with
    a ratio all have that one. ``sections`` are the bars on which one begins. The whole sounds
    ``repeats`` times after one count-in of ``count_in`` bars. With ``answer_bars`` the phrase is
    followed each time by the same bars with the rhythm section alone, for an answer. A pickup
    longer than the count-in makes the count-in longer. ``colours``, ``seed`` and the other wishes
    (feel, style, top, figure, leads_to) are those of ``accompany``.

    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> line = Line.parse("8th D4 F4 A4 C5 B4 Ab4 F4 D4 | whole E4", over)
    >>> played = performance(line, over, answer_bars=True)
    >>> [part.name for part in played.parts], str(played.beats), played.swing
    (['line', 'piano', 'bass', 'drums'], '20', 2.8)
    """
    checked_pace(tempo, STRAIGHT if swing is None else swing)
    _check_length(line, progression)
    rounds = _rounds(repeats) * (2 if answer_bars else 1)
    count_in = max(count_in, bars_of_pickup(line))
    start = _count_length(progression, count_in)
    rng = seed if isinstance(seed, random.Random) else random.Random(seed)
    feel = section.setdefault("feel", "four")
    ratio = _ratio(feel, tempo) if swing is None else swing
    late = lateness(tempo) if swing is None and not feel_named(feel).even else 0.0
    turns = range(0, rounds, 2 if answer_bars else 1)
    above = [
        note
        for turn in turns
        if line is not None
        for note in play_line(line, at=progression.beats * turn, late=late, seed=rng).notes
    ]
    whole = replace(progression, bars=progression.bars * rounds)
    bars = len(progression.bars)
    begins = sections_of(bars) if sections is None else sections
    band = accompany(
        whole,
        drums=_drums(feel, tempo),
        colours=_repeated(colours or {}, len(progression.chords), rounds),
        line=above,
        sections=[bar + bars * turn for turn in range(rounds) for bar in begins],
        count_in=count_in,
        seed=rng,
        **section,
    )
    share = max(feel_named(one).loudness for one in (feel, _drums(feel, tempo)))
    parts = [lightened(part, tempo, share) for part in band]
    if line is not None:
        parts.append(Part("line", _moved(above, start)))
    return Performance(_merged(parts), start + whole.beats, tempo, ratio)


def _ratio(feel: str, tempo: float) -> float:
    """Return the drummer's ratio in a feel at a tempo."""
    return 1.0 if feel_named(feel).even else default_swing(tempo)


def _drums(feel: str, tempo: float) -> str:
    """Return the feel of the drums: brushes where swing is slow."""
    return "ballad" if feel in ("two", "four") and tempo <= SLOW else feel


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
    """Join the parts of one name, in the order of ``PART_NAMES``; the first one chose the sound."""
    notes: dict[str, list[Sounding]] = {}
    programs: dict[str, int | None] = {}
    for part in parts:
        notes.setdefault(part.name, []).extend(part.notes)
        programs.setdefault(part.name, part.program)
    return tuple(
        Part(name, tuple(notes[name]), programs[name]) for name in PART_NAMES if name in notes
    )


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
