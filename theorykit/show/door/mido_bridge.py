"""Things as files of mido, in memory."""

from __future__ import annotations

from io import BytesIO

import mido

from theorykit.show.door.saved import midi_of
from theorykit.views.things import Thing


def midi_file(given: Thing | str, tempo: float | None, swing: float | None) -> mido.MidiFile:
    """Return a thing as mido has it."""
    return mido.MidiFile(file=BytesIO(midi_of(given, tempo, swing)))
