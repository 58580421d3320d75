"""Sound to bytes and to a player in a page: WAV for short phrases, Ogg or MP3 for long ones."""

from __future__ import annotations

import base64
import html
import io

import soundfile

from theorykit.errors import TheoryError, shown
from theorykit.show.samples import Samples

__all__ = ["CAUTION", "FORMATS", "audio_html", "mp3_bytes", "ogg_bytes", "wav_bytes"]

CAUTION = "Start with the volume low, above all with headphones; stop if your ears tire or ring."

FORMATS = {"wav": "audio/wav", "ogg": "audio/ogg", "mp3": "audio/mpeg"}
BLOCK = 8192  # frames encoded at a time: the Vorbis encoder of libsndfile crashes on long ones


def wav_bytes(samples: Samples) -> bytes:
    """Return the sound as a WAV file of 16 bits: the quickest to make, 2 bytes a frame.

    >>> import numpy as np
    >>> wav_bytes(Samples(np.zeros(4, np.float32), 22050))[:4]
    b'RIFF'
    """
    return _encoded(samples, "WAV", "PCM_16")


def ogg_bytes(samples: Samples) -> bytes:
    """Return the sound as Ogg Vorbis, of exactly the same length, about a tenth of the WAV."""
    return _encoded(samples, "OGG", "VORBIS")


def mp3_bytes(samples: Samples) -> bytes:
    """Return the sound as MP3, which every browser plays; up to a tenth of a second longer."""
    return _encoded(samples, "MP3", "MPEG_LAYER_III")


def _encoded(samples: Samples, container: str, coding: str) -> bytes:
    """Encode block by block."""
    target = io.BytesIO()
    with soundfile.SoundFile(
        target, "w", samples.rate, channels=1, format=container, subtype=coding
    ) as file:
        for start in range(0, len(samples.wave), BLOCK):
            file.write(samples.wave[start : start + BLOCK])
    return target.getvalue()


_ENCODERS = {"wav": wav_bytes, "ogg": ogg_bytes, "mp3": mp3_bytes}


def audio_html(
    samples: Samples,
    *,
    label: str,
    caution: str = "",
    form: str = "wav",
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
