"""Plans: what to think of and to play over each dominant of a treated chart, in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from theorykit.harmony.agreement import agreeing_colours, agrees, disagreements
from theorykit.harmony.colours import COLOURS, Colour, colour
from theorykit.harmony.shortcuts import shortcuts
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.tunes.cadences import Cadence, Dominant, cadences
from theorykit.tunes.charts import Chart
from theorykit.tunes.families import stands_on
from theorykit.tunes.treatments.choice import Choice, coloured
from theorykit.tunes.treatments.rewriting import stand_ins
from theorykit.tunes.treatments.written import Written, related_pair

_FOURTH = 5  # half steps up from a dominant to where it falls by a fifth
_LYDIAN = "9 #11 13"


def plan_of(chart: Chart, choices: Iterable[tuple[Choice, Written]]) -> Iterator[str]:
    """Return a sentence for each dominant."""
    told = cadences(chart)
    for choice, written in choices:
        where = _where(told, choice, written.dominant, chart)
        yield f"{where}; {_what(choice, written, chart.key)}."


def _where(told: tuple[Cadence, ...], choice: Choice, dominant: Dominant, chart: Chart) -> str:
    """Say which bars, and what they are. Bars are counted as played."""
    if not choice.cadences:
        bar = chart.played[dominant.v].bar + 1
        return f"bar {bar}: {dominant.chord.pretty} on the way to {dominant.target.pretty}"
    places = [_bars(told[number]) for number in choice.cadences]
    bars = " and ".join(places)
    plural = "s" if "-" in bars or "to" in bars or len(places) > 1 else ""
    return f"bar{plural} {bars}: the {_name(told[choice.cadences[0]])}"


def _bars(cadence: Cadence) -> str:
    """Say the bars of a cadence."""
    first, last = cadence.bars
    if first == last:
        return str(first)
    return f"{first}-{last}" if first < last else f"{first} round to {last}"


def _name(cadence: Cadence) -> str:
    """Say what a cadence is."""
    length = f"{cadence.length} " if cadence.length in ("long", "short", "split") else ""
    kind = "V-I" if cadence.ii is None else "ii-V"
    name = f"{length}{kind} to {cadence.key.tonic.pretty}"
    name += " minor" if cadence.mode == "minor" else ""
    if cadence.substitute:
        name += {"tritone": ", by the tritone substitute", "backdoor": ", by the back door"}[
            cadence.substitute
        ]
    return name + _instead(cadence)


def _instead(cadence: Cadence) -> str:
    """Say what comes where the I does not."""
    if cadence.i is not None or cadence.target is None:
        return ""
    target = cadence.target.pretty
    if cadence.deceptive:
        return f", which goes to {target} instead"
    is_there = cadence.target.root.semitone == cadence.key.tonic.semitone
    return f", where {target} moves on" if is_there else f", which goes on to {target}"


def _what(choice: Choice, written: Written, key: Key) -> str:
    """Say what to think of and what to play, and what of the composer's symbol that changes."""
    parts, changes = [], []
    v = written.dominant.chord
    if choice.split:
        ii, v = related_pair(written, key)
        parts.append(f"think of the V bar as {ii.pretty} {v.pretty}")
        changes += [f"{one.pretty} is left out" for one in written.symbols[:-1]]
    if choice.substitute:
        chords = stand_ins(choice, v, written)
        names = " ".join(chord.pretty for chord in chords)
        parts.append(f"play {names} for {v.pretty} ({choice.substitute})")
        v = chords[-1] if chords[-1].kind.is_dominant else v
    if choice.colour:
        row = colour(choice.colour)
        best = shortcuts(v, row, written.dominant.target)[0]
        parts.append(f"over {v.pretty} play {row.pretty}: the {best.words}")
        changes += changes_of(choice.colour, v, written)
    told = ", and ".join(parts) or f"play {v.pretty} as it is written"
    return f"{told}; by your own choice {' and '.join(changes)}" if changes else told


def changes_of(name: str, v: Chord, written: Written) -> list[str]:
    """Say what a colour changes in the symbol that it is laid over, and why it has to."""
    ii = written.ii if stands_on(v, written.dominant.chord.root.semitone) else None
    reasons = disagreements(name, v, ii)
    if not reasons:
        return []
    new = coloured(v, name)
    what = f"{v.pretty} becomes {new.pretty}" if new != v else f"{v.pretty} is played otherwise"
    return [f"{what}: {'; '.join(reasons)}"]


def offers_of(choice: Choice, written: Written) -> Iterator[tuple[Colour, tuple[str, ...]]]:
    """Yield every colour with what it contradicts of the chord that it would be laid over."""
    v = _coloured_chord(choice, written)
    own = stands_on(v, written.dominant.chord.root.semitone)
    for row in COLOURS:
        yield row, disagreements(row, v, written.ii if own else None)


def _coloured_chord(choice: Choice, written: Written) -> Chord:
    """Return the chord that a colour is laid over: the dominant, or the last of its substitute."""
    v = written.dominant.chord
    last = stand_ins(choice, v, written)[-1] if choice.substitute else v
    return last if last.kind.is_dominant else v


def fitting_colour(choice: Choice, written: Written) -> str:
    """Return the colour of a choice, or what takes its place over the substitute of the choice.

    A substitute that falls by no fifth has the 9, the #11 and the 13 of the lydian dominant (common
    practice); one that is no dominant has no colour, and a suspension one that is suspended.
    """
    if not (choice.colour and choice.substitute):
        return choice.colour
    v, target = written.dominant.chord, written.dominant.target
    last = stand_ins(choice, v, written)[-1]
    if not last.kind.is_dominant:
        return ""
    rises = (target.root.semitone - last.root.semitone) % 12
    if last.root.semitone != v.root.semitone and rises != _FOURTH:
        return _LYDIAN
    if agrees(choice.colour, last):
        return choice.colour
    return next((row.name for row in agreeing_colours(last)), "")
