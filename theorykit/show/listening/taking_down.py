"""Taking down: a recording, a MIDI take or played notes as a line with a report."""

from __future__ import annotations

from collections.abc import Sequence
from os import PathLike, fspath
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from theorykit.errors import TheoryError, shown
from theorykit.lines.taking import HeardNote, TakenLine, compass_of, taken_line
from theorykit.show.files import open_line
from theorykit.show.listening.heard_notes import heard_notes
from theorykit.show.sound import Samples
from theorykit.tunes.progression import Progression

SLOWEST_RATE, FASTEST_RATE = 16_000, 96_000  # frames a second
LONGEST = 600  # seconds
LARGEST = 200_000_000  # bytes of a file
USUAL_TEMPO = 120.0  # beats a minute, where a MIDI file says nothing (MIDI 1.0)
BRIEF = 0.02  # beats: of a note that is let go at once
QUIETEST = 1e-3  # of full scale: below it is silence
WANT = (
    "want a sound file, a MIDI file, an array with its rate, or rows of start and end in seconds "
    "and MIDI number"
)


def taken_down(
    sound: Any,
    progression: Progression,
    tempo: float | None,
    start: float | None,
    instrument: str | None = None,
) -> TakenLine:
    """Return one melody as a line over a progression, with a report."""
    compass = None if instrument is None else compass_of(instrument)
    if isinstance(sound, (str, PathLike)) and _is_midi(sound):
        heard, own = _of_midi(sound)
        clock = (own, 0.0) if tempo is None and start is None else (tempo, start)
        return taken_line(heard, progression, tempo=clock[0], start=clock[1])
    if isinstance(sound, Sequence) and not isinstance(sound, (str, tuple)):
        return taken_line(_rows(sound), progression, tempo=tempo, start=start)
    wave, rate = _wave(sound)
    found = heard_notes(wave, rate, compass, tempo)
    return taken_line(
        found.notes,
        progression,
        tempo=tempo,
        start=start,
        tuning=found.cents,
        faint=found.faint,
    )


def _is_midi(path: str | PathLike[str]) -> bool:
    """Tell whether a file is MIDI, by its first bytes."""
    try:
        with Path(fspath(path)).open("rb") as file:
            return file.read(4) == b"MThd"
    except (OSError, ValueError):
        return False


def _of_midi(path: str | PathLike[str]) -> tuple[list[HeardNote], float]:
    """Return the melody of a MIDI file in seconds, and its tempo."""
    file = open_line(path)
    beat = 60 / (file.tempo or USUAL_TEMPO)
    heard = [
        HeardNote(note.start * beat, max(note.end, note.start + BRIEF) * beat, note.midi)
        for note in file.played
    ]
    return heard, 60 / beat


def _rows(rows: Sequence[Any]) -> list[HeardNote]:
    """Return notes that are given as rows of start, end and MIDI number."""
    try:
        return [one if isinstance(one, HeardNote) else HeardNote(*one) for one in rows]
    except TypeError:
        raise TheoryError(f"no notes that were played: {shown(rows)} ({WANT})") from None


def _wave(sound: Any) -> tuple[NDArray[np.float64], int]:
    """Return a recording as one channel, and its rate."""
    wave: Any
    if isinstance(sound, Samples):
        wave, rate = sound.wave, sound.rate
    elif isinstance(sound, tuple) and len(sound) == 2:
        wave, rate = sound
    elif isinstance(sound, (str, PathLike)):
        wave, rate = _read(sound)
    else:
        raise TheoryError(f"no take: {shown(sound)} ({WANT})")
    return _one_channel(wave, rate), int(rate)


def _one_channel(wave: Any, rate: Any) -> NDArray[np.float64]:
    """Return sound as one row of numbers; refuse what is none, silent or too long."""
    good = isinstance(rate, (int, np.integer)) and SLOWEST_RATE <= rate <= FASTEST_RATE
    if not good:
        raise TheoryError(
            f"no rate of sound: {shown(rate)} (want {SLOWEST_RATE} to {FASTEST_RATE} a second)"
        )
    try:
        found = np.asarray(wave, np.float64)
    except (TypeError, ValueError):
        raise TheoryError(f"no sound: {shown(wave)} ({WANT})") from None
    if found.ndim == 2:
        found = found.mean(axis=1)
    if found.ndim != 1 or not np.isfinite(found).all():
        raise TheoryError(f"no sound: an array of {found.ndim} dimensions ({WANT})")
    if len(found) > LONGEST * rate:
        raise TheoryError(f"{len(found) / rate:.0f} seconds (want a take of at most {LONGEST})")
    if not found.size or np.abs(found).max() < QUIETEST:
        raise TheoryError("the take is silent (want one melody, clearly louder than the rest)")
    return found


def _read(path: str | PathLike[str]) -> tuple[NDArray, int]:
    """Read a sound file that is not too large."""
    try:
        file = Path(fspath(path))
        if not file.is_file():
            raise TheoryError(f"no such file: {shown(str(file))} (want a sound file)")
        if file.stat().st_size > LARGEST:
            raise TheoryError(f"{file.name} is too large (want at most {LARGEST:,} bytes)")
        sound = Samples.read(file.read_bytes(), LONGEST * FASTEST_RATE)
    except (OSError, ValueError) as wrong:
        if isinstance(wrong, TheoryError):
            raise
        raise TheoryError(f"no sound file: {shown(str(path))} (want WAV, FLAC, OGG, MP3)") from None
    return sound.wave, sound.rate
