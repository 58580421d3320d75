"""The line over one cadence of a chart, as a chorus would have it there."""

from __future__ import annotations

from dataclasses import replace

from theorykit.lines.chorus_phrases import written_phrases
from theorykit.lines.line import Line
from theorykit.lines.windows import windows_of
from theorykit.tunes.chart import Chart
from theorykit.tunes.treatment import Treatment

__all__ = ["cadence_line"]


def cadence_line(chart: Chart, treatment: Treatment, v: int, *, seed: int = 0) -> Line | None:
    """Return a line over the cadence whose V has the index ``v`` in ``Chart.played``.

    The chords are those of the treatment, the key is the one that the cadence points to. There is
    none where no window stands there, as before N.C.

    >>> chart = Chart.of("C", "Fm7", "Bb7", "Ebmaj7", "Dm7 G7", "C6")
    >>> line = cadence_line(chart, Treatment.proposed(chart), 1)
    >>> str(line.progression.key), str(line.progression)
    ('Eb major', 'Fm7 | Fm7 Bb13b9 | Ebmaj7')
    """
    windows = [one for one in windows_of(chart, treatment) if one.v == v]
    if not windows:
        return None
    over = treatment.applied(chart).progression
    twice = replace(over, bars=(*over.bars, over.bars[0]))  # the end leads back to the top
    return written_phrases(twice, windows[:1], seed=seed)[0].line_over(twice)
