"""Takes: a phrase that is played in, taken down, looked at and mended."""

from theorykit.widgets.takes.playing_in import PlayIn, play_in

__all__ = ["PlayIn", "play_in"]
