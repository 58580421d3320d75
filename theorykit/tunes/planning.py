"""The plan in words: what to think of over each dominant of the chorus."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from theorykit.harmony.colours import colour
from theorykit.harmony.shortcuts import shortcuts
from theorykit.harmony.substitutes import substitute
from theorykit.notes.key import Key
from theorykit.tunes.cadences import Cadence, cadences
from theorykit.tunes.chart import Chart
from theorykit.tunes.choice import Choice
from theorykit.tunes.dominants import Dominant
from theorykit.tunes.rewriting import related_pair

__all__ = ["plan_of"]


def plan_of(chart: Chart, choices: Iterable[tuple[Choice, Dominant]]) -> Iterator[str]:
    """Return a sentence for each dominant."""
    told = cadences(chart)
    for choice, dominant in choices:
        where = _where(told, choice, dominant, chart)
        yield f"{where}; {_what(choice, dominant, chart.key)}."


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


def _what(choice: Choice, dominant: Dominant, key: Key) -> str:
    """Say what to think of and what to play."""
    parts = []
    v = dominant.chord
    if choice.split:
        ii, v = related_pair(dominant, key)
        parts.append(f"think of the V bar as {ii.pretty} {v.pretty}")
    if choice.substitute:
        chords = substitute(choice.substitute, v, dominant.target).chords
        names = " ".join(chord.pretty for chord in chords)
        parts.append(f"play {names} for {v.pretty} ({choice.substitute})")
        v = chords[-1] if chords[-1].kind.is_dominant else v
    if choice.colour:
        row = colour(choice.colour)
        best = shortcuts(v, row, dominant.target)[0]
        parts.append(f"over {v.pretty} play {row.pretty}: the {best.words}")
    return ", and ".join(parts) or f"play {v.pretty} as it is written"
