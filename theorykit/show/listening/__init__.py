"""Listening: the notes of one melody, heard in a recording; how late a machine hears."""

from theorykit.show.listening.claps import clap_delay, keep_delay, own_delay
from theorykit.show.listening.taking_down import taken_down

__all__ = ["clap_delay", "keep_delay", "own_delay", "taken_down"]
