"""Sound: performances to samples, to bytes and to players in a page."""

from theorykit.show.sound.players import (
    CAUTION,
    FORMATS,
    performance_html,
    player_html,
    small_players,
)
from theorykit.show.sound.synthesizer import Samples, mp3_bytes, ogg_bytes, render, wav_bytes

__all__ = [
    "CAUTION",
    "FORMATS",
    "Samples",
    "mp3_bytes",
    "ogg_bytes",
    "performance_html",
    "player_html",
    "render",
    "small_players",
    "wav_bytes",
]
