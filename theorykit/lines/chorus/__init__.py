"""Choruses: phrases in every cadence of a chart, and their sound."""

from theorykit.lines.chorus.chorus_phrases import PhraseSource
from theorykit.lines.chorus.chorus_sound import band_feel, muted, perform_chorus, straight
from theorykit.lines.chorus.choruses import Chorus, cadence_line, write_chorus
from theorykit.lines.chorus.windows import Phrase, Window

__all__ = [
    "Chorus",
    "Phrase",
    "PhraseSource",
    "Window",
    "band_feel",
    "cadence_line",
    "muted",
    "perform_chorus",
    "straight",
    "write_chorus",
]
