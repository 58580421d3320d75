"""Listening: the notes of one melody, heard in a recording."""

from theorykit.show.listening.taking_down import ears_missing, taken_down

__all__ = ["ears_missing", "taken_down"]
