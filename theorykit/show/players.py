"""Players: a line over the rhythm section, in a page, with its name beside the controls."""

from __future__ import annotations

from html import escape

from theorykit.harmony.colours import Colour
from theorykit.lines.accompaniment import performance
from theorykit.lines.line import Line
from theorykit.lines.parts import Performance
from theorykit.notes.degree import Degree
from theorykit.show.sound import MELODY_SOUNDS, Samples, audio_html, render

__all__ = ["MELODY_SOUNDS", "colours_over", "performance_html", "phrase_samples", "player_html"]

STEADY = "one held"  # the piano holds its chords, so that two players differ in nothing else
_FRAME = (
    "display:flex;flex-direction:column;margin:4px 16px 4px 0;"
    "color:var(--jp-ui-font-color1,inherit);font-family:var(--jp-ui-font-family,sans-serif)"
)


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


def phrase_samples(
    line: Line,
    *,
    colour: Colour | None = None,
    tempo: float = 100,
    swing: float | None = None,
    melody: str = "tenor saxophone",
) -> Samples:
    """Return the sound of a line over piano, bass and drums, after one bar of count-in.

    ``colour`` is what the piano plays over each dominant; ``tempo`` in beats a minute; ``swing``
    the ratio of the long to the short eighth, by default what suits the tempo.
    """
    played = performance(
        line,
        line.progression,
        tempo=tempo,
        swing=swing,
        colours=colours_over(line, colour),
        figure=STEADY,
    )
    return render(played, melody=melody)


def player_html(
    line: Line,
    *,
    label: str,
    colour: Colour | None = None,
    tempo: float = 100,
    swing: float | None = None,
    melody: str = "tenor saxophone",
) -> str:
    """Return a player with its label above it; the wishes are those of ``phrase_samples``.

    >>> from theorykit.lines.demonstration import demonstration
    >>> "autoplay" in player_html(demonstration("C"), label="plain G7")
    False
    """
    samples = phrase_samples(line, colour=colour, tempo=tempo, swing=swing, melody=melody)
    return _framed(samples, label)


def performance_html(played: Performance, *, label: str, melody: str = "tenor saxophone") -> str:
    """Return a player of a performance with its label above it.

    >>> from theorykit.lines.in_place import in_place
    >>> played = in_place("C", "tritone substitute").own_bass.performance()
    >>> "<span>D♭7</span><audio controls" in performance_html(played, label="D♭7")
    True
    """
    return _framed(render(played, melody=melody), label)


def _framed(samples: Samples, label: str) -> str:
    """Return a player under its label."""
    player = audio_html(samples, label=label)
    return f'<div style="{_FRAME}"><span>{escape(label)}</span>{player}</div>'
