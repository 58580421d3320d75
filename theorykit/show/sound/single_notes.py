"""Single notes: what a page needs to play a take by itself, each sound once, under its name.

A page is told the notes by the names of their sounds, and asks for those that it lacks: many in one
file, or each in a file of its own, which is kept for the next page that asks for it. The engine
makes them, or has them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any
from zlib import crc32

from theorykit.lines.parts import PART_NAMES
from theorykit.show.sound.engine import (
    Instrument,
    instrument,
    line_gains,
    moments_told,
    note_files,
    room_shares,
    sounds_file,
    tone_names,
)
from theorykit.show.sound.ogg_pages import parted
from theorykit.show.sound.sound_wishes import CYMBAL, PEAK, RATES, ROOM, AskedSound
from theorykit.views.sounding import SLOWEST, STEP, Take, TakeNote, curve, notes_of

RATE = RATES[-1]
KEPT = 600  # files of notes that are kept, of about 12 kB
AROUND = 6  # half steps below and above what was asked for that may be asked for next
MOST_AHEAD = 150  # notes that are named ahead

Sound = tuple[dict[str, object], bytes]


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
        self._lately: dict[str, AskedSound] = {}  # in the last take

    @staticmethod
    def files(folder: Path, melodies: Iterable[str]) -> dict[str, Any]:
        """Write every sound of the band into a folder and return the index of them.

        ``melodies`` are the sounds that a line can have.
        """
        return note_files(folder, melodies)

    def told(self, take: Take, melody: str) -> dict[str, object]:
        """Return a take as a page is told it: plain numbers and names."""
        names: dict[str, int] = {}
        known: dict[tuple[Instrument, int, int], tuple[str, ...]] = {}
        gains: dict[tuple[float, ...], int] = {}
        players = {
            part.name: instrument(part.name, part.program, melody)
            for part in take.performance.parts
        }
        self._lately = {}
        rows = [self._row(one, players[one.part], names, known, gains) for one in notes_of(take)]
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
        player: Instrument,
        names: dict[str, int],
        known: dict[tuple[Instrument, int, int], tuple[str, ...]],
        gains: dict[tuple[float, ...], int],
    ) -> list[object]:
        """Return one note: part, sounds, level, moments of beginning and end, what else it is.

        The last number, of the line's notes alone, says how its level follows the tempo.
        """
        note, begins, ends = one.note, one.begins, one.ends
        struck = (player, note.midi, note.loudness)
        if struck not in known:
            known[struck] = tone_names(*struck)
        found = known[struck]
        for place, name in enumerate(found):
            self._lately[name] = self._asked.setdefault(name, AskedSound(note, player, place))
            names.setdefault(name, len(names))
        turned = []
        if one.part == "line":
            own = line_gains(player, note.midi)
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

    def sound(self, name: str, form: str) -> Sound | None:
        """Return what is told of one sound, and its own file, made now or before.

        Files of Ogg have the same head. It comes with a sound of the ``ROOM``, which a page asks
        for before any other; the other files are told whose head is to stand before them. None
        where nobody knows the name.
        """
        found = _FILES.pop((name, form), None)
        if found is None:
            told, data = self.sounds([name], form)
            if not told:
                return None
            found = _parted(told[0], data) if form == "ogg" else (told[0], data)
        _FILES[name, form] = found  # the last one that was asked for
        while len(_FILES) > KEPT:
            _FILES.pop(next(iter(_FILES)))
        return found

    def has(self, name: str, form: str) -> bool:
        """Tell whether a sound has been made."""
        return (name, form) in _FILES

    def likely(self) -> Iterator[str]:
        """Yield the names of notes that may be asked for next: those around the last take's.

        Another colour or key is played within the same few half steps, and by the same sounds.
        """
        players: dict[tuple[str, int], dict[int, AskedSound]] = {}
        for asked in self._lately.values():
            if asked.player.part != "drums":
                own = players.setdefault((asked.player.part, asked.player.program), {})
                own[asked.note.midi] = asked
        for own in players.values():
            low, high = min(own), max(own)
            around = [*range(low, high), *range(high + 1, high + AROUND + 1)]
            around += range(low - 1, low - AROUND - 1, -1)
            for midi in [at for at in around if at not in own][: MOST_AHEAD // len(players)]:
                yield from self._named(own[min(own, key=lambda at: abs(at - midi))], midi)

    def _named(self, like: AskedSound, midi: int) -> tuple[str, ...]:
        """Return the names of a note that is played like another one; its level is measured."""
        note = replace(like.note, midi=midi)
        if like.player.part == "line":
            line_gains(like.player, midi)  # is kept: a take with this note is told sooner
        found = tone_names(like.player, midi, note.loudness)
        for place, name in enumerate(found):
            self._asked.setdefault(name, AskedSound(note, like.player, place))
        return found


_FILES: dict[tuple[str, str], Sound] = {}  # the one that was asked for last at the end


def _parted(told: dict[str, object], data: bytes) -> Sound:
    """Return a sound with the number of its head, which the file itself has in the room alone."""
    head, body = parted(data)
    named = {**told, "head": f"{crc32(head):08x}"}
    return ({**named, "whole": len(head)}, head + body) if told["name"] in ROOM else (named, body)


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
