"""Recordings: what was played in, as sound or as a MIDI file, and the line that is in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from numpy.typing import NDArray

from theorykit.errors import TheoryError
from theorykit.lines.taking import TakenLine
from theorykit.show.door import take_down
from theorykit.show.sound import Samples
from theorykit.tunes.progression import Progression
from theorykit.widgets.takes.live_keys import Row

LONGEST = 600  # seconds
FASTEST_RATE = 96_000  # frames a second
FULL = 32767  # of 16 bits
MIDI = b"MThd"
ENDINGS = (".wav", ".flac", ".ogg", ".mp3", ".mid", ".midi")


@dataclass(frozen=True, slots=True, eq=False)
class Recording:
    """What was played in: samples, the bytes of a MIDI file or rows of notes, and its clock.

    ``tempo`` is in beats a minute; ``start`` the second on which the first bar begins. Either is
    None where it is to be found.
    """

    sound: Samples | bytes | tuple[Row, ...]
    tempo: float | None = None
    start: float | None = None
    name: str = "the take"

    @property
    def samples(self) -> Samples | None:
        """The sound, where there is one."""
        return self.sound if isinstance(self.sound, Samples) else None

    @property
    def words(self) -> str:
        """What it is called while it is listened to."""
        found = self.samples
        return self.name if found is None else f"{self.name}, {found.seconds:.1f} seconds"

    def clocked(self, taken: TakenLine) -> Recording:
        """Return it with the clock by which it was taken down."""
        return replace(self, tempo=taken.tempo, start=taken.start)


def recording_of(name: str, content: bytes) -> Recording:
    """Return the recording or the MIDI take in the content of a file.

    >>> recording_of("x.wav", b"RIFF")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: x.wav is no recording (want WAV, FLAC, OGG, MP3 or MIDI)
    """
    if content[:4] == MIDI:
        return Recording(content, name=name)
    try:
        sound = Samples.read(content, LONGEST * FASTEST_RATE)
    except (OSError, ValueError, RuntimeError):
        raise TheoryError(f"{name} is no recording (want WAV, FLAC, OGG, MP3 or MIDI)") from None
    return Recording(sound, name=name)


def taken_from(recording: Recording, over: Progression, instrument: str | None) -> TakenLine:
    """Return the line in a recording, over a progression."""
    down = partial(take_down, progression=over, tempo=recording.tempo, start=recording.start)
    if isinstance(recording.sound, Samples):
        return down(recording.sound, instrument=instrument)
    if isinstance(recording.sound, tuple):
        if not recording.sound:
            raise TheoryError("no note was played (want one melody on the keyboard)")
        return down(list(recording.sound))
    with TemporaryDirectory() as folder:
        file = Path(folder) / "take.mid"
        file.write_bytes(recording.sound)
        return down(file)


def sixteen_bits(samples: Samples) -> NDArray[np.int16]:
    """Return a sound in one channel, in whole numbers of 16 bits.

    >>> sixteen_bits(Samples(np.array([[1.0, 0.0], [-1.0, -1.0]], np.float32), 22050)).tolist()
    [16383, -32767]
    """
    wave = samples.wave.mean(axis=1) if samples.wave.ndim == 2 else samples.wave
    return np.asarray(np.clip(wave, -1, 1) * FULL, np.int16)
