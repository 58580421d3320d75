"""A player in a page, the sound inside: WAV for short phrases, Ogg or MP3 for long ones."""

from __future__ import annotations

import base64
import html

from theorykit.errors import TheoryError, shown
from theorykit.show.samples import Samples
from theorykit.show.sound import mp3_bytes, ogg_bytes, wav_bytes

__all__ = ["CAUTION", "FORMATS", "audio_html"]

CAUTION = "Start with the volume low, above all with headphones; stop if your ears tire or ring."

FORMATS = {"wav": "audio/wav", "ogg": "audio/ogg", "mp3": "audio/mpeg"}
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
