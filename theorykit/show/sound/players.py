"""Players in a page: a line over the rhythm section, the sound inside."""

from __future__ import annotations

import base64
import html
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from html import escape

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour
from theorykit.lines.band import colours_over, performance
from theorykit.lines.parts import Performance
from theorykit.lines.text import Line
from theorykit.show.sound.synthesizer import (
    Samples,
    flac_bytes,
    mp3_bytes,
    ogg_bytes,
    render,
    wav_bytes,
)

CAUTION = "Start with the volume low, above all with headphones; stop if your ears tire or ring."

COMPRESSION = 0.9  # of an Ogg in a page: near 70 kbit/s, as large as one channel was before
MP3_COMPRESSION = 0.6


def _small_ogg(samples: Samples) -> bytes:
    """Return an Ogg for a page, which goes to the browser as text."""
    return ogg_bytes(samples, compression=COMPRESSION)


def _small_mp3(samples: Samples) -> bytes:
    """Return an MP3 for a page, near 100 kbit/s."""
    return mp3_bytes(samples, compression=MP3_COMPRESSION)


FORMATS = {"flac": "audio/flac", "wav": "audio/wav", "ogg": "audio/ogg", "mp3": "audio/mpeg"}
_ENCODERS = {"flac": flac_bytes, "wav": wav_bytes, "ogg": _small_ogg, "mp3": _small_mp3}


def audio_html(
    samples: Samples,
    *,
    label: str,
    caution: str = "",
    form: str = "flac",
    loops: bool = False,
) -> str:
    """Return a player for a page: the browser's own controls, the sound inside, silent until asked.

    ``label`` names the player for those who cannot see it; ``caution`` is a line of text under it,
    such as ``CAUTION``; ``form`` is one of ``FORMATS``; with ``loops`` it begins again at its end.

    >>> import numpy as np
    >>> audio_html(Samples(np.zeros(4, np.float32), 22050), label="Plain V")[:62]
    '<audio controls preload="metadata" aria-label="Plain V" src="d'
    """
    if form not in FORMATS:
        raise TheoryError(f"no such audio format: {shown(form)} (want {', '.join(FORMATS)})")
    data = base64.b64encode(_ENCODERS[form](samples)).decode("ascii")
    again = " loop" if loops else ""
    player = (
        f'<audio controls{again} preload="metadata" aria-label="{html.escape(label)}" '
        f'src="data:{FORMATS[form]};base64,{data}">This browser has no audio player.</audio>'
    )
    return f"{player}<p>{html.escape(caution)}</p>" if caution else player


# === Players ===

STEADY = "one held"  # the piano holds its chords, so that two players differ in nothing else
_SMALL: ContextVar[bool] = ContextVar("small players", default=False)
LONG = 30.0  # seconds: FLAC is made at once, Ogg at 100 times real time and a quarter as long
_FRAME = (
    "display:flex;flex-direction:column;margin:4px 16px 4px 0;line-height:1.4;"
    "color:var(--jp-ui-font-color1,inherit);font-family:var(--jp-ui-font-family,sans-serif)"
)


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
    is_kept: bool = False,
) -> str:
    """Return a player with its label above it; the wishes are those of ``phrase_samples``.

    One that ``is_kept`` in a notebook, as the output of a cell is, goes out as Ogg: small.

    >>> from theorykit.lines.demonstration import demonstration
    >>> "autoplay" in player_html(demonstration("C"), label="plain G7")
    False
    """
    samples = phrase_samples(line, colour=colour, tempo=tempo, swing=swing, melody=melody)
    return _framed(samples, label, is_kept=is_kept)


def performance_html(
    played: Performance,
    *,
    label: str,
    melody: str = "tenor saxophone",
    loops: bool = False,
    room: int = 0,
    is_kept: bool = False,
) -> str:
    """Return a player of a performance with its label above it; with ``loops`` it goes round.

    What lasts longer than ``LONG`` seconds, and what ``is_kept`` in a notebook as the output of a
    cell is, goes out as Ogg, a quarter of the size of FLAC. ``room``
    is the least height in pixels: a label of two lines then leaves the player where it is.

    >>> from theorykit.lines.in_place import in_place
    >>> played = in_place("C", "tritone substitute").own_bass.performance()
    >>> "<span>D♭7</span><audio controls" in performance_html(played, label="D♭7")
    True
    """
    samples = render(played, melody=melody, ending="loop" if loops else "tail")
    return _framed(samples, label, loops=loops, room=room, is_kept=is_kept)


@contextmanager
def small_players() -> Iterator[None]:
    """Let players that are made inside be small, in MP3; loops are not, which would stumble."""
    before = _SMALL.set(True)
    try:
        yield
    finally:
        _SMALL.reset(before)


def _framed(
    samples: Samples, label: str, *, loops: bool = False, room: int = 0, is_kept: bool = False
) -> str:
    """Return a player under its label, at the bottom of its room."""
    form = "ogg" if is_kept or samples.seconds > LONG else "flac"
    form = "mp3" if _SMALL.get() and not loops else form
    kept = f";min-height:{room}px;justify-content:flex-end" if room else ""
    player = audio_html(samples, label=label, form=form, loops=loops)
    return f'<div style="{_FRAME}{kept}"><span>{escape(label)}</span>{player}</div>'
