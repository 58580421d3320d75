"""Taking down: a recording, a MIDI take or played notes as a line with a report."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
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

SLOWEST_RATE, FASTEST_RATE = 8_000, 192_000  # frames a second, as of the recorder of a page
LONGEST = 600  # seconds
LARGEST = 200_000_000  # bytes of a file
USUAL_TEMPO = 120.0  # beats a minute, where a MIDI file says nothing (MIDI 1.0)
BRIEF = 0.02  # beats: of a note that is let go at once
QUIETEST = 1e-3  # of full scale: below it is silence
CANCELLED = 0.1  # of their peak, where channels are taken to be turned against each other
# How sure the ear is of a melody, notes by their lengths: of noises (white, pink, brown, breath, a
# fan, clicks) it was 0.33 at most, of takes in a room with noise and a band 0.9 at least.
SURE = 0.5
DRONE, DRONE_SECONDS = 0.95, 4.0  # of a take that one note fills, as hum does; of that long a take
WIDEST_SCALE = 4  # bytes of a whole number that has a full scale; wider ones are sums and lists
WANT_FILE = "want WAV, FLAC, OGG or MP3 in one or two channels"
WANT_MELODY = "want one melody, clearly louder than the rest"
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
    tempo, start = _plain(tempo), _plain(start)
    if isinstance(sound, (str, PathLike)) and _is_midi(sound):
        heard, own, unplayed = _of_midi(sound)
        clock = own if tempo is None and start is None else (tempo, start)
        return taken_line(heard, progression, tempo=clock[0], start=clock[1], unplayed=unplayed)
    if isinstance(sound, Sequence) and not isinstance(sound, (str, tuple)):
        return taken_line(_rows(sound), progression, tempo=tempo, start=start)
    wave, rate = _wave(sound)
    found = heard_notes(wave, rate, compass, tempo)
    _check_melody(found.notes, len(wave) / rate)
    taken = taken_line(
        found.notes,
        progression,
        tempo=tempo,
        start=start,
        tuning=found.cents,
        faint=found.faint,
    )
    return (
        taken if compass is None else replace(taken, report=_with_low(taken, compass, instrument))
    )


def _check_melody(notes: Sequence[HeardNote], seconds: float) -> None:
    """Refuse what is no melody: noise, of which the ear is not sure, and one note all the time."""
    lengths = [note.end - note.start for note in notes]
    if not notes:
        return
    sure = sum(note.confidence * long for note, long in zip(notes, lengths, strict=True))
    if sure < SURE * sum(lengths):
        doubtful = sum(note.is_doubtful for note in notes)
        why = f"{doubtful} of {len(notes)} notes are doubtful, as those of noise are"
        if len(notes) == 1:
            why = "the only note is doubtful, as those of noise are"
        raise TheoryError(f"no melody was heard: {why} ({WANT_MELODY})")
    if seconds >= DRONE_SECONDS and max(lengths) >= DRONE * seconds:
        why = "one note sounds from the beginning to the end, as hum does"
        raise TheoryError(f"no melody was heard: {why} ({WANT_MELODY})")


def _with_low(taken: TakenLine, compass: tuple[int, int], instrument: object) -> tuple[str, ...]:
    """Return a report that tells of notes that the instrument does not have."""
    low = sum(one.note.pitch.midi < compass[0] for one in taken.notes)
    if not low:
        return taken.report
    those = "1 note lies" if low == 1 else f"{low} notes lie"
    return (*taken.report, f"{those} below the lowest of the {instrument}.")


def _is_midi(path: str | PathLike[str]) -> bool:
    """Tell whether a file is MIDI, by its first bytes."""
    try:
        with Path(fspath(path)).open("rb") as file:
            return file.read(4) == b"MThd"
    except (OSError, ValueError):
        return False


def _of_midi(
    path: str | PathLike[str],
) -> tuple[list[HeardNote], tuple[float, float], tuple[str, ...]]:
    """Return the melody of a MIDI file in seconds, its tempo and first bar, and what is left."""
    file = open_line(path)
    beat = 60 / (file.tempo or USUAL_TEMPO)
    heard = [
        HeardNote(
            (file.begins + note.start) * beat,
            (file.begins + max(note.end, note.start + BRIEF)) * beat,
            note.midi,
        )
        for note in file.played
    ]
    return heard, (60 / beat, file.begins * beat), file.unplayed


def _plain(number: Any) -> Any:
    """Return a number of numpy as one of Python, anything else as it is."""
    return number.item() if isinstance(number, np.generic) else number


def _rows(rows: Sequence[Any]) -> list[HeardNote]:
    """Return notes that are given as rows of start, end and MIDI number."""
    try:
        return [one if isinstance(one, HeardNote) else HeardNote(*map(_plain, one)) for one in rows]
    except TypeError:
        raise TheoryError(f"no notes that were played: {shown(rows)} ({WANT})") from None


def _wave(sound: Any) -> tuple[NDArray[np.floating], int]:
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
    frames = _rate(rate)
    return _one_channel(wave, frames), frames


def _rate(rate: Any) -> int:
    """Return a rate of sound as a whole number; refuse one that is none."""
    found = _plain(rate)
    good = isinstance(found, (int, float)) and SLOWEST_RATE <= found <= FASTEST_RATE
    if not good or found % 1:
        raise TheoryError(
            f"no rate of sound: {shown(rate)} (want {SLOWEST_RATE} to {FASTEST_RATE} a second)"
        )
    return int(found)


def _one_channel(wave: Any, rate: int) -> NDArray[np.floating]:
    """Return sound as one row of numbers; refuse what is none, silent or too long."""
    try:
        found = np.asarray(wave)
    except ValueError:
        raise TheoryError(f"no sound: {shown(wave)} ({WANT})") from None
    if found.dtype.kind not in "iuf" or found.ndim not in (1, 2):
        what = f"an array of {found.dtype} in {found.ndim} dimensions"
        raise TheoryError(f"no sound: {what} (want numbers, a row or one a channel)")
    if found.ndim == 2 and len(found) < found.shape[1]:
        found = found.T  # a row for each channel, as some libraries have it
    if len(found) > LONGEST * rate:
        raise TheoryError(f"{len(found) / rate:.0f} seconds (want a take of at most {LONGEST})")
    found = _within_one(found)
    mixed = found.mean(axis=1) if found.ndim == 2 and found.size else found
    if found.size and _peak(mixed) < CANCELLED * _peak(found):
        mixed = found[:, int(np.argmax(np.abs(found).max(axis=0)))]  # one is turned round
    if _peak(mixed) < QUIETEST:
        raise TheoryError(f"the take is silent ({WANT_MELODY})")
    return mixed


def _within_one(wave: NDArray) -> NDArray[np.floating]:
    """Return sound from -1 to 1: whole numbers by their full scale, what is larger by its peak.

    >>> _within_one(np.array([0, 1 << 14], np.int16)).tolist(), _within_one(np.array([1e30])).max()
    ([0.0, 0.5], np.float64(1.0))
    """
    kind, size = wave.dtype.kind, wave.dtype.itemsize
    if kind == "u" and size == 1:
        wave = (wave.astype(np.float32) - 128) / 128  # as files of 8 bits have it
    elif kind in "iu":
        full = 2.0 ** (8 * size - 1) if kind == "i" and size <= WIDEST_SCALE else 1.0
        wave = wave / full
    peak = _peak(wave)
    if not np.isfinite(peak):
        raise TheoryError("no sound: some of it is no number, or without end (want finite numbers)")
    return wave / peak if peak > 1 else wave


def _peak(wave: NDArray) -> float:
    """Return the largest number without its sign, none of an empty array."""
    return max(float(wave.max()), -float(wave.min())) if wave.size else 0.0


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
        raise TheoryError(f"no sound file: {shown(str(path))} ({WANT_FILE})") from None
    return sound.wave, sound.rate
