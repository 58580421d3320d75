"""Recordings: what was played in, as sound or as a MIDI file, and the line that is in it."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from numpy.typing import NDArray

from theorykit.errors import TheoryError
from theorykit.lines.taking import NO_TEMPO, TakenLine
from theorykit.show.door import take_down
from theorykit.show.sound import Samples
from theorykit.tunes.progression import Progression
from theorykit.widgets.takes.live_keys import Row

LONGEST = 600  # seconds
BEFORE, AFTER = 2.0, 0.5  # beats around a round: for a pickup, and for a last note that comes late
EARLY = 0.2  # beats by which the first note of a round may come early
USUAL_TEMPO = 120.0
FASTEST_RATE = 192_000  # frames a second
FULL = 32767  # of 16 bits
MIDI = b"MThd"
WANT = "want WAV, FLAC, OGG or MP3 in one or two channels, or MIDI"
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
    places: tuple[float, ...] = ()  # where rounds begin, if there is more than one
    slider: float | None = None  # of a file: the tempo of the page, which may be its own, too

    def part(self, number: int, seconds: float) -> Recording:
        """Return one round, with a little before and after it that is of no other round."""
        beat = 60 / (self.tempo or USUAL_TEMPO)
        ends = [0.0, *(place + seconds - EARLY * beat for place in self.places)]
        begins = [*(place - EARLY * beat for place in self.places), float("inf")]
        place = self.places[number]
        first = max(place - BEFORE * beat, ends[number])
        last = min(place + seconds + AFTER * beat, begins[number + 1])
        sound: Samples | tuple[Row, ...] = ()
        if isinstance(self.sound, Samples):
            rate = self.sound.rate
            sound = Samples(self.sound.wave[round(first * rate) : round(last * rate)], rate)
        elif isinstance(self.sound, tuple):
            inside = (row for row in self.sound if first <= row[0] < last)
            sound = tuple((start - first, end - first, midi) for start, end, midi in inside)
        return Recording(sound, self.tempo, place - first, self.name)

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

    >>> recording_of("x.mid", b"MThd").sound
    b'MThd'
    """
    if content[:4] == MIDI:
        return Recording(content, name=name)
    try:
        sound = Samples.read(content, LONGEST * FASTEST_RATE)
    except (OSError, ValueError, RuntimeError):
        raise TheoryError(f"{name} is no recording ({WANT})") from None
    return Recording(sound, name=name)


def heard_line(recording: Recording, over: Progression, instrument: str | None) -> TakenLine:
    """Return the line in a recording, over a progression.

    A file of which no tempo was told is tried at its own tempo and at the one of the page. What
    suits better is taken, and both are told.
    """
    found, slider = _heard(recording, over, instrument), recording.slider
    if recording.tempo is not None or slider is None:
        return found
    is_told = isinstance(recording.sound, bytes) and recording.start is None
    says = "says" if is_told else "sounds like"
    told = f"The file {says} {found.tempo:.0f} beats a minute"
    best = found
    if round(found.tempo) == round(slider):
        told = f"{told}, as the slider."
    else:
        try:
            other = found.retaken(slider, recording.start)
        except TheoryError:  # at the tempo of the page no note falls into the bars
            return found
        best, rest = (found, other) if found.fits_better_than(other) else (other, found)
        why = "suits it better, and" if best.fits_better_than(rest) else "suits it as well, and"
        told = f"{told}, the slider {slider:.0f}: {best.tempo:.0f} {why} was taken."
    report = (one for one in best.report if not one.startswith(NO_TEMPO))
    return replace(best, report=(told, *report))


def _heard(recording: Recording, over: Progression, instrument: str | None) -> TakenLine:
    """Return the line in a recording by the clock that it has, or by one that is found."""
    down = partial(take_down, progression=over, tempo=recording.tempo, start=recording.start)
    if isinstance(recording.sound, Samples):
        return down(recording.sound, instrument=instrument)
    if isinstance(recording.sound, tuple):
        if not recording.sound:
            raise TheoryError("no note was played (want one melody on the keyboard)")
        return down(list(recording.sound))
    with TemporaryDirectory() as folder:
        file = Path(folder) / _file_name(recording.name)
        file.write_bytes(recording.sound)
        return down(file)


def _file_name(name: str) -> str:
    """Return a name under which a MIDI file can lie anywhere, its own where that is plain.

    >>> _file_name("lessons/ida.mid"), _file_name("what?.mid")
    ('ida.mid', 'take.mid')
    """
    plain = Path(name).name
    return plain if re.fullmatch(r"[\w .-]{1,60}\.midi?", plain) else "take.mid"


@dataclass(frozen=True, slots=True, eq=False)
class Round:
    """One round of a take: its part of the recording, and its line, None where none was heard."""

    recording: Recording
    taken: TakenLine | None


def heard_rounds(
    recording: Recording, over: Progression, instrument: str | None
) -> tuple[Round, ...]:
    """Return the rounds of a recording, each taken down by itself; refuse one without any note."""
    if not recording.places:
        return (Round(recording, heard_line(recording, over, instrument)),)
    seconds = float(over.beats) * 60 / (recording.tempo or USUAL_TEMPO)
    rounds, refused = [], None
    for number in range(len(recording.places)):
        part, taken = recording.part(number, seconds), None
        try:
            found = heard_line(part, over, instrument)
            taken = found if found.notes else None
        except TheoryError as wrong:
            refused = wrong
        rounds.append(Round(part, taken))
    if all(one.taken is None for one in rounds):
        raise refused or TheoryError("no note was heard in any round (want one melody)")
    return tuple(rounds)


def sixteen_bits(samples: Samples) -> NDArray[np.int16]:
    """Return a sound in one channel, in whole numbers of 16 bits.

    >>> sixteen_bits(Samples(np.array([[1.0, 0.0], [-1.0, -1.0]], np.float32), 22050)).tolist()
    [16383, -32767]
    """
    wave = samples.wave.mean(axis=1) if samples.wave.ndim == 2 else samples.wave
    return np.asarray(np.clip(wave, -1, 1) * FULL, np.int16)
