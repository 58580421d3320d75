"""Players in a page: a line over the rhythm section, the sound inside."""

from __future__ import annotations

import base64
import html
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from html import escape

from theorykit.errors import TheoryError, shown
from theorykit.lines.parts import Performance
from theorykit.show.sound.engine import (
    QUICK,
    Samples,
    flac_bytes,
    mp3_bytes,
    ogg_bytes,
    render,
    spare,
    wav_bytes,
)
from theorykit.views.sounding import Take

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

# Given takes, the HTML of their plain players and the sound of the line, the place of one player.
Seat = Callable[[Iterable[Take], str, str], str]
_SMALL: ContextVar[bool] = ContextVar("small players", default=False)
_SEAT: ContextVar[Seat | None] = ContextVar("the place of a player", default=None)
_WORDS: ContextVar[str] = ContextVar("words in the place of players", default="")
LONG = 30.0  # seconds: FLAC is made at once, Ogg at 100 times real time and a quarter as long
_FRAME = (
    "display:flex;flex-direction:column;margin:4px 16px 4px 0;line-height:1.4;"
    "color:var(--jp-ui-font-color1,inherit);font-family:var(--jp-ui-font-family,sans-serif)"
)


def performance_html(
    played: Performance,
    *,
    label: str,
    melody: str = "tenor saxophone",
    loops: bool = False,
    room: int = 0,
    is_kept: bool = False,
    is_spare: bool = False,
) -> str:
    """Return a player of a performance with its label above it; with ``loops`` it goes round.

    What lasts longer than ``LONG`` seconds, and what ``is_kept`` in a notebook as the output of a
    cell is, goes out as Ogg, a quarter of the size of FLAC. A player that ``is_spare`` is for where
    another one cannot play: one channel, half the frames, less than half the size. ``room`` is the
    least height in pixels: a label of two lines then leaves the player where it is.

    >>> from theorykit.lines.in_place import in_place
    >>> played = in_place("C", "tritone substitute").own_bass.performance()
    >>> "<span>D♭7</span><audio controls" in performance_html(played, label="D♭7")
    True
    """
    if words := _WORDS.get():
        return words
    samples = render(played, melody=melody, ending="loop" if loops else "tail")
    samples = spare(samples) if is_spare else samples
    plain = _framed(samples, label, loops=loops, room=room, is_kept=is_kept or is_spare)
    return _seated([Take.of(label, played, loops=loops)], plain, melody)


def takes_html(takes: Iterable[Take], *, melody: str) -> str:
    """Return the player of some takes on a page; its plain players play once through.

    >>> takes_html([], melody="flute")
    ''
    """
    some = tuple(takes)
    if words := _WORDS.get():
        return words if some else ""
    plain = "".join(_framed(render(take.performance, melody=melody), take.label) for take in some)
    return _seated(some, plain, melody) if some else ""


def _seated(takes: Iterable[Take], plain: str, melody: str) -> str:
    """Return plain players, in the place of a player where a page has such."""
    seat = _SEAT.get()
    return plain if seat is None else seat(takes, plain, melody)


@contextmanager
def small_players(seat: Seat | None = None, *, words: str = "") -> Iterator[None]:
    """Let players that are made inside be small, in MP3; loops are not, which would stumble.

    With a ``seat`` each of them stands in the place of a player of the page; with ``words``, which
    are HTML, these stand in its place and nothing is made to sound.
    """
    before, at_first, said = _SMALL.set(True), _SEAT.set(seat), _WORDS.set(words)
    try:
        yield
    finally:
        _SMALL.reset(before)
        _SEAT.reset(at_first)
        _WORDS.reset(said)


def _framed(
    samples: Samples, label: str, *, loops: bool = False, room: int = 0, is_kept: bool = False
) -> str:
    """Return a player under its label, at the bottom of its room."""
    form = "ogg" if is_kept or samples.seconds > LONG else QUICK
    form = "mp3" if _SMALL.get() and not loops else form
    kept = f";min-height:{room}px;justify-content:flex-end" if room else ""
    player = audio_html(samples, label=label, form=form, loops=loops)
    return f'<div style="{_FRAME}{kept}"><span>{escape(label)}</span>{player}</div>'
