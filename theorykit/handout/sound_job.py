"""The work behind the sound of one block, to be done beside other work.

Nothing that engraves or sets pages is imported here, so that a process that plays begins at once.
"""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.handout.block import Block
from theorykit.handout.examples import examples_of
from theorykit.handout.made import Heard, Made
from theorykit.show.audio import mp3_bytes, ogg_bytes
from theorykit.show.midi_out import midi_bytes
from theorykit.show.sound import MELODY_SOUNDS, render

__all__ = ["SOUND_FORMATS", "SoundJob"]

SOUND_FORMATS = {"mp3": mp3_bytes, "ogg": ogg_bytes}


@dataclass(frozen=True, slots=True)
class SoundJob:
    """What can be heard of one block; ``names`` are the names of its files, without ending.

    ``form`` is one of ``SOUND_FORMATS`` or empty for none; ``midi`` tells whether MIDI is wanted.
    """

    block: Block
    place: int
    names: tuple[str, ...]
    tempo: int
    melody: str
    form: str
    midi: bool
    files: bool

    def run(self) -> Made:
        """Return the sound of every example."""
        made: dict[str, bytes] = {}
        heard: list[Heard] = []
        for name, one in zip(self.names, examples_of(self.block, self.tempo), strict=True):
            if self.midi:
                melody = MELODY_SOUNDS[self.melody]
                made[f"{name}.mid"] = midi_bytes(one.played, swing="written out", melody=melody)
            if self.form:
                data = SOUND_FORMATS[self.form](render(one.played, melody=self.melody))
                heard.append(Heard(self.place, one.label, self.form, data))
                if self.files:
                    made[f"{name}.{self.form}"] = data
        return Made(made, heard=tuple(heard))
