"""Single notes: what a page needs to play a take by itself, each sound once, under its name.

A page is told the notes by the names of their sounds, and asks the engine for those that it lacks.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from theorykit.lines.parts import PART_NAMES
from theorykit.show.sound.engine import (
    line_gains,
    moments_told,
    note_files,
    room_shares,
    sounds_file,
    tone_names,
)
from theorykit.show.sound.sound_wishes import CYMBAL, PEAK, RATES, ROOM, AskedSound
from theorykit.views.sounding import SLOWEST, STEP, Take, TakeNote, curve, notes_of

RATE = RATES[-1]


class NoteStock:
    """The names of the sounds of takes, and the sounds that they stand for.

    >>> from theorykit.lines.band import performance
    >>> from theorykit.tunes.progression import two_five_one
    >>> stock = NoteStock()
    >>> told = stock.told(Take("C", performance(None, two_five_one("C"))), "flute")
    >>> told["count"], len(told["names"]) < len(told["notes"])
    (4.0, True)
    """

    def __init__(self) -> None:
        self._asked: dict[str, AskedSound] = {}

    @staticmethod
    def files(folder: Path, melodies: Iterable[str]) -> dict[str, Any]:
        """Write every sound of the band into a folder and return the index of them.

        ``melodies`` are the sounds that a line can have.
        """
        return note_files(folder, melodies)

    def told(self, take: Take, melody: str) -> dict[str, object]:
        """Return a take as a page is told it: plain numbers and names."""
        names: dict[str, int] = {}
        found: dict[tuple[str, int, int], tuple[str, ...]] = {}
        gains: dict[tuple[float, ...], int] = {}
        rows = [self._row(note, melody, names, found, gains) for note in notes_of(take)]
        paces = curve(take)
        return {
            "label": take.label,
            "key": take.key,
            "count": float(take.count),
            "beats": float(take.performance.beats),
            "bars": take.bars,
            "sections": take.sections,
            "pulse": float(take.pulse),
            "loops": take.loops,
            "swing": _row_of(one[0] for one in paces),
            "late": _row_of(one[1] for one in paces),
            "names": [*names],
            "gains": [*gains],
            "notes": rows,
        }

    def _row(
        self,
        one: TakeNote,
        melody: str,
        names: dict[str, int],
        known: dict[tuple[str, int, int], tuple[str, ...]],
        gains: dict[tuple[float, ...], int],
    ) -> list[object]:
        """Return one note: part, sounds, level, moments of beginning and end, what else it is.

        The last number, of the line's notes alone, says how its level follows the tempo.
        """
        note, begins, ends = one.note, one.begins, one.ends
        struck = (one.part, note.midi, note.loudness)
        if struck not in known:
            known[struck] = tone_names(*struck, program=one.program, melody=melody)
        found = known[struck]
        for place, name in enumerate(found):
            self._asked.setdefault(name, AskedSound(one, melody, place))
            names.setdefault(name, len(names))
        turned = []
        if one.part == "line":
            own = line_gains(note.midi, program=one.program, melody=melody)
            turned = [gains.setdefault(tuple(round(gain, 3) for gain in own), len(gains))]
        if one.part == "drums":  # rings as long as it rings
            ends = type(ends)(begins.beats, begins.swings, begins.late + 1000 * CYMBAL, begins.lags)
        return [
            PART_NAMES.index(one.part),
            [names[name] for name in found],
            round((note.loudness / 127) ** 2, 4),
            *(_rounded(moment.beats, moment.swings, moment.late, moment.lags)
              for moment in (begins, ends)),
            _short(float(note.start)),
            int(note.counts_in),
            one.mark,
            one.key,
            *turned,
        ]  # fmt: skip

    def sounds(self, names: Iterable[str], form: str) -> tuple[list[dict[str, object]], bytes]:
        """Return what is told of each sound, and the file, Ogg or FLAC, in which they lie.

        A name that is not known is left out. Where the engine has a file for each sound, these lie
        one behind the other, and of each sound is told which bytes are its own.
        """
        known = ((name, self._asked.get(name)) for name in names)
        return sounds_file([one for one in known if one[1] or one[0] in ROOM], form)


def band_told() -> dict[str, object]:
    """Return what the parts of the band have in common: the room, and the ceiling of the sound."""
    return {
        "rate": RATE,
        "parts": list(PART_NAMES),
        "sent": [room_shares()[name] for name in PART_NAMES],
        "room": list(ROOM),
        "peak": PEAK,
        "slowest": SLOWEST,
        "step": STEP,
        "moments": moments_told(),
    }


def _rounded(*numbers: float) -> list[float]:
    """Return numbers as short as they can be told; zeros at the end go without saying."""
    told = [_short(number) for number in numbers]
    while told and not told[-1]:
        told.pop()
    return told


def _short(number: float) -> float:
    """Return a number of at most five places; a hundred thousandth of a beat is not heard."""
    short = round(float(number), 5)
    return int(short) if short.is_integer() else short


def _row_of(numbers: Iterable[float]) -> list[float]:
    """Return numbers, or the one that they all are."""
    told = [*numbers]
    return told[:1] if len({*told}) == 1 else told
