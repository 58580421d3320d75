"""Sound: performances to samples, to bytes and to players in a page."""

from theorykit.show.sound.engine import (
    Samples,
    mp3_bytes,
    ogg_bytes,
    render,
    wav_bytes,
)
from theorykit.show.sound.instruments import keep_soundfont, own_soundfont, soundfont_words
from theorykit.show.sound.players import (
    CAUTION,
    FORMATS,
    performance_html,
    small_players,
    takes_html,
)
from theorykit.show.sound.single_notes import NoteStock, band_told

__all__ = [
    "CAUTION",
    "FORMATS",
    "NoteStock",
    "Samples",
    "band_told",
    "keep_soundfont",
    "mp3_bytes",
    "ogg_bytes",
    "own_soundfont",
    "performance_html",
    "render",
    "small_players",
    "soundfont_words",
    "takes_html",
    "wav_bytes",
]
