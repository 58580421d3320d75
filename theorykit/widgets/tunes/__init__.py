"""The desk for tunes."""

from theorykit.widgets.tunes.charting import TuneDesk, tune_desk, tune_title
from theorykit.widgets.tunes.tune_playing import BOOK

__all__ = ["BOOK", "TuneDesk", "tune_desk", "tune_title"]
