"""Plans: colours proposed for a tune, and in words the shape to think of over each dominant."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from random import Random

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import colour
from theorykit.harmony.shortcuts import shortcuts
from theorykit.harmony.substitution import substitute
from theorykit.notes.key import Key
from theorykit.tunes.cadences import Cadence, Dominant, cadences
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments.choice import Choice
from theorykit.tunes.treatments.rewriting import related_pair

# Which colours a level draws on: for a major I, for a minor i, for a dominant that is a substitute,
# and for one that is written suspended and stays so, by the mode of its target (common practice).
# A level holds those before it. The order is ours: from the triads and sevenths that a player
# knows, over the scales of one word, to what sounds furthest from the plain V.
_FIRST = {
    "major": ("b9 13", "b9"),
    "minor": ("b9 b13", "b9"),
    "substitute": ("9 #11 13",),
    "suspended major": ("suspended",),
    "suspended minor": ("suspended b9",),
}
_SECOND = {
    "major": ("9 #11 13", "b9 b13", "#9 b13", "b9 #11"),
    "minor": ("minor's own", "#9 b13", "b9 #11"),
    "substitute": ("lydian dominant",),
    "suspended major": ("suspended b9",),
    "suspended minor": (),
}
_THIRD = {
    "major": ("altered", "half-whole diminished", "whole tone", "b9 #11 13", "suspended b9"),
    "minor": ("altered", "#9 #11", "suspended b9"),
    "substitute": ("half-whole diminished", "whole tone"),
    "suspended major": (),
    "suspended minor": (),
}
_TABLES = {"first": _FIRST, "second": _SECOND, "third": _THIRD}
LEVELS = tuple(_TABLES)


def colours_at(level: str, aim: str) -> tuple[str, ...]:
    """Return the names of the colours of a level for an aim.

    An aim is ``major``, ``minor``, ``substitute``, ``suspended major`` or ``suspended minor``.

    >>> colours_at("first", "minor"), colours_at("second", "suspended major")
    (('b9 b13', 'b9'), ('suspended', 'suspended b9'))
    """
    if level not in LEVELS:
        raise TheoryError(f"no such level: {shown(level)} (want {', '.join(LEVELS)})")
    names: tuple[str, ...] = ()
    for name, table in _TABLES.items():
        names += table[aim]
        if name == level:
            break
    return names


def aim_of(dominant: Dominant) -> str:
    """Return what the colour of a dominant is chosen for."""
    if not dominant.chord.kind.has("3"):
        return f"suspended {dominant.mode}"
    return "substitute" if dominant.substitute else dominant.mode


class Palette:
    """Hands out colours: at most ``variety`` different ones for each aim, none twice in a row."""

    def __init__(self, level: str, variety: int, seed: int) -> None:
        if not isinstance(variety, int) or variety < 1:
            raise TheoryError(f"not a variety: {shown(variety)} (want 1 or more colours)")
        random = Random(seed)
        self.choices = {aim: self._drawn(level, aim, variety, random) for aim in _FIRST}
        self.used = dict.fromkeys(_FIRST, 0)

    @staticmethod
    def _drawn(level: str, aim: str, variety: int, random: Random) -> list[str]:
        """Return the colours for one aim: the first is always there, the others are drawn."""
        first, *others = colours_at(level, aim)
        more = random.sample(others, min(variety - 1, len(others)))
        return [first, *more]

    def next_for(self, dominant: Dominant) -> str:
        """Return the colour for the next dominant."""
        aim = aim_of(dominant)
        names = self.choices[aim]
        self.used[aim] += 1
        return names[(self.used[aim] - 1) % len(names)]


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
