"""Listening: the notes of one melody, heard in a recording."""

from theorykit.show.listening.taking_down import taken_down

__all__ = ["taken_down"]
