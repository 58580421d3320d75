"""Performances of things: a chord and what stands above it, a motion, a line, a tune."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any

from theorykit.errors import TheoryError, expect, shown
from theorykit.harmony.colours import Colour, colour
from theorykit.harmony.identification import Identification
from theorykit.harmony.resolution import Resolution
from theorykit.harmony.shortcuts import Shortcut
from theorykit.harmony.substitution import Substitute
from theorykit.lines.band import performance
from theorykit.lines.chorus import Chorus, band_feel, perform_chorus
from theorykit.lines.in_place import in_place
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.lines.parts import Part, Performance, Sounding
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.key import tonic_key
from theorykit.notes.note import Pitch
from theorykit.notes.scales import Scale
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Progression
from theorykit.views.identification_view import identification
from theorykit.views.keyboard import LOWEST_ROOT, KeyboardView, plain_keyboard
from theorykit.views.sounding import Rehearsal, rehearse
from theorykit.views.things.given import Thing, kind_of, thing
from theorykit.views.things.pictured import shortcut_keys

USUAL = 100  # beats a minute, where nothing says otherwise
HELD, OCTAVE = Fraction(4), 12
LOW_BASS = 36  # MIDI: the root under a motion lies in the octave that begins at C2
STRAIGHT, MOST = 1.0, 1e9


def performed(
    given: Thing | str,
    *,
    tempo: float | None = None,
    swing: float | None = None,
    over_v: Colour | str | None = None,
    loops: bool = False,
) -> Performance:
    """Return how a thing sounds: notes alone, or a line or tune with the rhythm section.

    ``tempo`` is in beats a minute, by default that of the chart, else 100; ``swing`` the ratio of
    the long to the short eighth, ``over_v`` a colour that the piano plays on V under a line,
    ``loops`` whether it is to go round and round.

    >>> played = performed("G7")
    >>> [note.midi for note in played.parts[0].notes][:5], str(played.beats)
    ([43, 47, 50, 53, 43], '8')
    """
    one = thing(given)
    wanted = None if over_v is None else colour(over_v)
    if wanted is not None and not isinstance(one, Line):
        raise TheoryError(f"{shown(wanted.name)} over V of {kind_of(one)} (want a line for over_v)")
    make = _PERFORMED.get(type(one))
    if make is None:
        raise TheoryError(f"{kind_of(one)} has no sound (want it over a chord, as in shortcuts)")
    expect(loops, bool, "a choice", "True to go round and round, or False")
    ratio = None if swing is None else number(swing, "a swing", "a ratio from 1 to 3")
    wishes = {"tempo": tempo, "swing": ratio, "over_v": wanted, "loops": loops}
    return make(one, wishes)


_Wishes = dict[str, Any]


def number(value: object, name: str, want: str) -> float:
    """Return a number as it is; refuse what is none.

    >>> number("fast", "a tempo", "beats a minute")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: not a tempo: 'fast' (want beats a minute)
    """
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not abs(value) < MOST:
        raise TheoryError(f"not {name}: {shown(value)} (want {want})")
    return value


def _tempo(wishes: _Wishes, usual: float = USUAL) -> float:
    """Return the tempo that is wished for, or the usual one."""
    tempo = wishes["tempo"]
    return usual if tempo is None else float(number(tempo, "a tempo", "beats a minute"))


def _broken(groups: Sequence[Sequence[int]], wishes: _Wishes) -> Performance:
    """Return notes one after the other, one a beat, each group over the last, and all held."""
    notes, at = [], Fraction(0)
    below: list[int] = []
    for group in groups:
        notes += [Sounding(at, Fraction(len(group)), midi) for midi in below]
        for midi in group:
            notes.append(Sounding(at, Fraction(1), midi))
            at += 1
        below += group
    notes += [Sounding(at, HELD, midi) for midi in dict.fromkeys(below)]
    return Performance((Part("piano", tuple(notes)),), at + HELD, _tempo(wishes), STRAIGHT)


def _chord(chord: Chord, wishes: _Wishes) -> Performance:
    """Return a chord, broken and then together, on the keys that its picture shows."""
    if chord.is_silent:
        raise TheoryError("N.C. has no sound (want a chord with a root)")
    low = [] if chord.bass is None else [Pitch.at_or_above(chord.bass, LOWEST_ROOT - OCTAVE).midi]
    return _broken([[*low, *(key.midi for key in plain_keyboard(chord).lit)]], wishes)


def _shortcut(one: Shortcut, wishes: _Wishes) -> Performance:
    """Return the chord, and above it the shape, on the keys that its picture shows."""
    return _broken(_below_and_above(shortcut_keys(one)), wishes)


def _below_and_above(view: KeyboardView) -> list[list[int]]:
    """Return the keys of the chord and those above it."""
    return [[key.midi for key in view.lit if key.ringed is above] for above in (False, True)]


def _scale(scale: Scale, wishes: _Wishes) -> Performance:
    """Return a scale, an octave up from the root."""
    low = Pitch.at_or_above(scale.root, LOWEST_ROOT + OCTAVE).midi
    midis = [*(low + degree.semitones for degree in scale.degrees), low + OCTAVE]
    notes = [Sounding(Fraction(n), Fraction(1), midi) for n, midi in enumerate(midis)]
    beats = Fraction(len(midis))
    return Performance((Part("piano", tuple(notes)),), beats, _tempo(wishes), STRAIGHT)


def _resolution(found: Resolution, wishes: _Wishes) -> Performance:
    """Return the chord with its colour, held, and each of its notes where it goes."""
    low = Pitch.at_or_above(found.chord.root, LOWEST_ROOT).midi
    voices = [(low + m.degree.semitones, low + m.degree.semitones + m.semitones)
              for m in found.moves]  # fmt: skip
    basses = [Pitch.at_or_above(one.lowest, LOW_BASS).midi for one in (found.chord, found.target)]
    played = [("piano", tuple(dict.fromkeys(voices))), ("bass", (tuple(basses),))]
    parts = tuple(
        Part(
            name,
            tuple(
                Sounding(HELD * bar, HELD, midi)
                for bar in (0, 1)
                for midi in dict.fromkeys(voice[bar] for voice in heard)
            ),
        )
        for name, heard in played
    )
    return Performance(parts, 2 * HELD, _tempo(wishes), STRAIGHT)


def _substitute(found: Substitute, wishes: _Wishes) -> Performance:
    """Return the ii-V-I of the target with the substitute over its own bass."""
    home = tonic_key(found.target)
    if home is None:
        raise TheoryError(f"no key on {found.target} to play it in (want another name of its root)")
    return in_place(home, found.name).own_bass.performance(tempo=_tempo(wishes))


def _identification(found: Identification, wishes: _Wishes) -> Performance:
    """Return the notes over their chord, as the page that identifies notes plays them."""
    target = str(found.target) if found.target else ""
    view = identification(found.sounds.name, str(found.over), target)
    return view.heard.performance(tempo=_tempo(wishes))


def _line(line: Line, wishes: _Wishes) -> Performance:
    """Return a line with the rhythm section."""
    wished = Rehearsal(loops=wishes["loops"], tempo=_tempo(wishes), swing=wishes["swing"])
    return rehearse(line, wishes["over_v"], wished).performance


def _progression(over: Progression, wishes: _Wishes) -> Performance:
    """Return the rhythm section alone."""
    return performance(
        None, over, tempo=_tempo(wishes), swing=wishes["swing"], **_round(over, wishes)
    )


def _chart(chart: Chart, wishes: _Wishes) -> Performance:
    """Return the rhythm section over a chart."""
    return _sheet(LeadSheet(chart), wishes)


def _sheet(sheet: LeadSheet, wishes: _Wishes) -> Performance:
    """Return the melody of a lead sheet, if there is one, with the rhythm section."""
    chart, line = sheet.chart, sheet.played
    beats = _tempo(wishes, chart.tempo or USUAL) * float(chart.metre.quarters)
    return performance(
        line if line.notes else None,
        line.progression,
        tempo=beats,
        swing=wishes["swing"],
        feel=band_feel(chart.feel),
        **_round(line.progression, wishes),
    )


def _round(over: Progression, wishes: _Wishes) -> _Wishes:
    """Return what makes a performance go round: no count-in, and a bass that leads to the top."""
    return {"count_in": 0, "leads_to": over.chords[0].chord} if wishes["loops"] else {}


def _chorus(chorus: Chorus, wishes: _Wishes) -> Performance:
    """Return a chorus with the rhythm section."""
    count_in = 0 if wishes["loops"] else 1
    return perform_chorus(
        chorus,
        tempo=None if wishes["tempo"] is None else _tempo(wishes),
        swing=wishes["swing"],
        count_in=count_in,
        loops=wishes["loops"],
    )


_PERFORMED: dict[type, Callable[[Any, _Wishes], Performance]] = {
    Chord: _chord,
    Shortcut: _shortcut,
    Scale: _scale,
    Resolution: _resolution,
    Substitute: _substitute,
    Identification: _identification,
    Line: _line,
    Progression: _progression,
    Chart: _chart,
    LeadSheet: _sheet,
    Chorus: _chorus,
}
