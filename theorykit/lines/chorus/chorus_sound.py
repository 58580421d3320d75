"""The sound of a chorus: tempo, feel and count-in, whole or in a loop."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import accumulate

from theorykit.errors import TheoryError, shown
from theorykit.lines.band import FEELS, performance
from theorykit.lines.chorus.choruses import Chorus
from theorykit.lines.excerpts import excerpt
from theorykit.lines.parts import PART_NAMES, Part, Performance

TEMPO = 120  # beats a minute, where the chart says none
# Words that a chart's feel may hold, and what the band plays then; the first that is found counts.
WORDS = {
    **{"bossa": "bossa", "latin": "bossa", "samba": "bossa"},
    **{"straight": "straight", "even": "straight", "rock": "straight"},
    **{"ballad": "ballad", "waltz": "waltz"},
    **{"two-beat": "two", "in two": "two", "two feel": "two"},
}


def perform_chorus(
    chorus: Chorus,
    *,
    bars: tuple[int, int] | None = None,
    tempo: float | None = None,
    swing: float | None = None,
    count_in: int = 1,
    loops: bool = False,
    seed: int = 0,
) -> Performance:
    """Return a chorus over a rhythm section, ready to be played.

    ``bars`` are the first and last bar to be played, counted from 1 over all choruses; ``tempo`` in
    beats a minute, those of the chart's metre, by default that of the chart; ``swing`` by default
    as players do at that tempo in that feel. With ``loops`` the bass leads back to the first bar.

    >>> from theorykit.lines.chorus.choruses import write_chorus
    >>> from theorykit.tunes.charts import Chart
    >>> chorus = write_chorus(Chart.parse("feel: bossa\\ntempo: 132\\n| Dm7 | G7 | C6 | % |"))
    >>> played = perform_chorus(chorus, bars=(1, 2))
    >>> str(played.beats), played.tempo, played.swing
    ('12', 132.0, 1.0)
    """
    first, last = bars if bars is not None else (1, chorus.bars)
    line = excerpt(chorus.line, first, last)
    chart = chorus.chart
    beats = tempo if tempo is not None else chart.tempo or TEMPO
    return performance(
        line,
        line.progression,
        tempo=float(beats * chart.metre.quarters),
        swing=swing,
        count_in=count_in,
        feel=band_feel(chart.feel),
        sections=_sections(chorus, first, last),
        leads_to=line.progression.chords[0].chord if loops else None,
        seed=seed,
    )


def muted(played: Performance, silent: Iterable[str]) -> Performance:
    """Return a performance without some of its parts; without drums the count-in still clicks.

    >>> from theorykit.tunes.progression import two_five_one
    >>> played = muted(performance(None, two_five_one("C")), ["piano", "drums"])
    >>> [part.name for part in played.parts], len(played.parts[-1].notes)
    (['bass', 'drums'], 4)
    """
    names = tuple(silent)
    for name in names:
        if name not in PART_NAMES:
            raise TheoryError(f"no such part: {shown(name)} (want {', '.join(PART_NAMES)})")
    parts = (_clicks(part) if part.name in names else part for part in played.parts)
    return replace(played, parts=tuple(part for part in parts if part.notes))


def _clicks(part: Part) -> Part:
    """Return what is left of a part that is silent: the clicks of the count-in."""
    return replace(part, notes=tuple(note for note in part.notes if note.counts_in))


def _sections(chorus: Chorus, first: int, last: int) -> tuple[int, ...] | None:
    """Return the bars of a stretch, from 0, on which a section of the form begins.

    None where the chart has one section only, or jumps; the band then counts in eights.
    """
    lengths = [len(section.bars) for section in chorus.chart.unrolled.sections]
    if len(lengths) < 2 or sum(lengths) != chorus.bars_each:
        return None
    begins = accumulate(lengths[:-1], initial=0)
    all_of_them = {
        bar + chorus.bars_each * turn for bar in begins for turn in range(chorus.choruses + 1)
    }
    return (0, *sorted(bar + 1 - first for bar in all_of_them if first <= bar < last))


def band_feel(words: str) -> str:
    """Return the feel of the band that the words of a chart ask for.

    >>> [band_feel(words) for words in ("medium swing", "Jazz Waltz", "even 8ths", "slow ballad")]
    ['four', 'waltz', 'straight', 'ballad']
    """
    lowered = words.lower()
    return next((feel for word, feel in WORDS.items() if word in lowered), "four")


def straight(words: str) -> bool:
    """Tell whether the words of a feel ask for even eighths.

    >>> straight("straight eighths"), straight("medium swing")
    (True, False)
    """
    return FEELS[band_feel(words)].even
