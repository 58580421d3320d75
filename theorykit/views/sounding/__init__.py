"""Sounding things of a page: takes for its player, and a phrase made ready to practise."""

from theorykit.views.sounding.along_with_band import play_along
from theorykit.views.sounding.player_setting import PlayerSetting
from theorykit.views.sounding.practice import CHORDS, JOURNEYS, Practice, Rehearsal, rehearse
from theorykit.views.sounding.takes import (
    FASTEST,
    SLOWEST,
    STEP,
    Take,
    TakeNote,
    curve,
    heard_take,
    notes_of,
)

__all__ = [
    "CHORDS",
    "FASTEST",
    "JOURNEYS",
    "SLOWEST",
    "STEP",
    "PlayerSetting",
    "Practice",
    "Rehearsal",
    "Take",
    "TakeNote",
    "curve",
    "heard_take",
    "notes_of",
    "play_along",
    "rehearse",
]
