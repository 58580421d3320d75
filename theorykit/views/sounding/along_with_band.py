"""The band to play along with: rounds of its own, a question with room for the answer, the line."""

from __future__ import annotations

from dataclasses import replace

from theorykit.lines.band import performance
from theorykit.lines.text import Line
from theorykit.tunes.progression import Progression
from theorykit.views.sounding.practice import Rehearsal, rehearse
from theorykit.views.sounding.takes import Take

ALONE, ANSWERED = "the band alone", "the question, and room for your answer"
WITH_BAND, BARE = "your line with the band", "your line"


def play_along(
    over: Progression,
    line: Line,
    *,
    tempo: float = 120,
    rounds: int = 1,
    question: Line | None = None,
) -> tuple[Take, ...]:
    """Return what the band plays for somebody who records, and the line that was recorded.

    The first take is for recording: so many ``rounds``, after each ``question`` the same bars
    alone. A line without notes has no takes of its own.

    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> line = Line.parse("half F4 B4 | whole C5", over)
    >>> [take.label for take in play_along(over, line)]
    ['the band alone', 'your line with the band', 'your line']
    >>> len(play_along(over, Line(over, ()), rounds=2, question=line)[0].bars)
    8
    """
    asks = question is not None
    band = performance(question, over, tempo=tempo, repeats=rounds, answer_bars=asks)
    name, bar = ANSWERED if asks else ALONE, over.bars[0].beats
    found = [Take(name, band, as_players_do=True, bar=bar)]
    for chords, label in (("plain", WITH_BAND), ("line alone", BARE)):
        if line.notes:
            wishes = Rehearsal(chords, tempo=tempo, counted=True)
            found.append(replace(rehearse(line, None, wishes).take, label=label))
    return tuple(found)
