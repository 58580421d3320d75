"""Single notes: what a page needs to play a take by itself, each sound once, under its name.

A note is as long as it is heard. One that does not die away is given a loop, cut where the sound is
most like itself a while before, and faded over there. Notes lie one behind the other in one file,
or each in a file of its own, which is kept for the next page that asks for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from theorykit.lines.parts import PART_NAMES, Sounding
from theorykit.show.sound.ogg_pages import parted
from theorykit.show.sound.synthesizer import (
    CYMBAL,
    PEAK,
    RATES,
    Instrument,
    Wave,
    instrument,
    joined_bytes,
    line_gains,
    moments_told,
    room_told,
    tone_names,
    tone_of,
)
from theorykit.show.sound.tone import Tone
from theorykit.views.sounding import SLOWEST, STEP, Take, TakeNote, curve, notes_of

RATE = RATES[-1]
ROOM = ("room left", "room right")
UNHEARD = 10 ** (-35 / 20)  # of the loudest moment: what is softer is not kept
LOOP_END, SHORTEST, LONGEST = 1.5, 0.35, 0.9  # seconds: where a loop ends, how long it is
BEYOND = 0.05  # seconds that are made after its end, for filters that look ahead
FADE, WINDOW = 0.03, 0.01  # seconds: over its end, and over which a level is taken
WAVE = 0.25  # seconds before it that are compared too: the waves of a vibrato go on in their time
ALIKE = 0.97  # of the best likeness: places as good as it, of which the waves choose
DYING, SHARE = 0.2, 4  # seconds in which the end of a dying sound is faded, a share of it at most
HEIGHT = 0.9  # of full scale, to which each sound is brought
GAP = 0.01  # seconds of silence between two
COMPRESSION = 1.0  # of an Ogg
KEPT = 600  # files of notes that are kept, of about 12 kB
AROUND = 6  # half steps below and above what was asked for that may be asked for next
MOST_AHEAD = 150  # notes that are named ahead

Sound = tuple[dict[str, object], bytes]


@dataclass(frozen=True, slots=True)
class _Asked:
    """What a name stands for: the note that it was first met in, and what plays it."""

    note: Sounding
    player: Instrument
    place: int


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
        self._asked: dict[str, _Asked] = {}
        self._lately: dict[str, _Asked] = {}  # in the last take

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
            self._lately[name] = self._asked.setdefault(name, _Asked(note, player, place))
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
        """Return what is told of each sound, and one file, Ogg or FLAC, in which they lie.

        A name that is not known is left out.
        """
        told: list[dict[str, object]] = []
        waves = self._waves(names, told)
        return told, joined_bytes(waves, form, compression=COMPRESSION)

    def sound(self, name: str, form: str) -> Sound | None:
        """Return what is told of one sound, and its own file, made now or before.

        Files of Ogg have the same head. It comes with a sound of the ``ROOM``, which a page asks
        for before any other; the other files are told whose head is to stand before them. None
        where nobody knows the name.
        """
        found = _FILES.pop((name, form), None)
        if found is None:
            told: list[dict[str, object]] = []
            data = joined_bytes(self._waves([name], told), form, compression=COMPRESSION)
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
        players: dict[tuple[str, int], dict[int, _Asked]] = {}
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

    def _named(self, like: _Asked, midi: int) -> tuple[str, ...]:
        """Return the names of a note that is played like another one; its level is measured."""
        note = replace(like.note, midi=midi)
        if like.player.part == "line":
            line_gains(like.player, midi)  # is kept: a take with this note is told sooner
        found = tone_names(like.player, midi, note.loudness)
        for place, name in enumerate(found):
            self._asked.setdefault(name, _Asked(note, like.player, place))
        return found

    def _waves(self, names: Iterable[str], told: list[dict[str, object]]) -> Iterator[Wave]:
        """Yield sound and silence by turns, and tell of each sound where it lies."""
        gap, at = np.zeros(round(GAP * RATE), np.float32), 0
        for name in names:
            piece = self._piece(name)
            if piece is None:
                continue
            tone, loop = piece
            top = float(np.abs(tone.wave).max(initial=1e-9))
            told.append(
                {
                    **{"name": name, "at": at, "frames": len(tone.wave), "scale": top / HEIGHT},
                    **{"place": tone.place, "release": tone.release, "lead": tone.lead},
                    "loop": loop,
                }
            )
            yield tone.wave * np.float32(HEIGHT / top)
            yield gap
            at += len(tone.wave) + len(gap)

    def _piece(self, name: str) -> tuple[Tone, tuple[int, int] | None] | None:
        """Return a sound and its loop; None where nobody knows the name."""
        if name in ROOM:
            return Tone(room_told()[0][ROOM.index(name)], 0.0, 0.0), None
        asked = self._asked.get(name)
        return None if asked is None else _kept(asked)


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
        "sent": [room_told()[1][name] for name in PART_NAMES],
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


def _kept(asked: _Asked) -> tuple[Tone, tuple[int, int] | None]:
    """Return a sound as long as it is heard, and the first and last frame of its loop."""
    note, steady = asked.note, LOOP_END + BEYOND
    tone = tone_of(asked.player, note.midi, note.loudness, asked.place, steady=steady)
    if tone.steady:
        wave, loop = _looped(tone.wave)
        return replace(tone, wave=wave), loop
    return replace(tone, wave=_heard(tone.wave)), None


def _heard(wave: Wave) -> Wave:
    """Return a dying sound as far as it is heard, its end faded."""
    size = round(WINDOW * RATE)
    count = max(1, len(wave) // size)
    levels = np.abs(wave[: count * size]).reshape(count, -1).max(axis=1, initial=0)
    heard = np.flatnonzero(levels > UNHEARD * levels.max(initial=0))
    end = min(len(wave), (int(heard[-1]) + 2) * size) if len(heard) else size
    kept = wave[:end].copy()
    fade = round(DYING * RATE) if end < len(wave) else round(FADE * RATE)
    fade = min(fade, end // SHARE)
    kept[end - fade :] *= np.linspace(1, 0, fade, dtype=np.float32)
    return kept


def _looped(wave: Wave) -> tuple[Wave, tuple[int, int]]:
    """Return the beginning of a steady sound, and the frames of a loop at its end."""
    end, fade = round(LOOP_END * RATE), round(FADE * RATE)
    start = _most_alike(wave, end - fade, fade)
    kept = wave[:end].copy()
    over = np.linspace(0, 1, fade, dtype=np.float32)
    kept[end - fade :] = wave[end - fade : end] * (1 - over) + wave[start : start + fade] * over
    return kept, (start + fade, end)


def _most_alike(wave: Wave, at: int, count: int) -> int:
    """Return the frame before ``at`` from which the sound goes on as it does there.

    Of the places where the same wave stands, it is the one before which the sound has swelled and
    faded in the same way.
    """
    low, high = at - round(LONGEST * RATE), at - round(SHORTEST * RATE)
    alike = _likeness(wave[low : high + count], wave[at : at + count])
    places = low + np.flatnonzero(alike >= ALIKE * alike.max())
    swell = _swell(wave[: at + count])
    size = round(WINDOW * RATE)
    back = np.arange(-round(WAVE / WINDOW), 0)
    apart = np.abs(swell[places[:, None] // size + back] - swell[at // size + back]).sum(axis=1)
    return int(places[int(np.argmin(apart))])


def _likeness(wave: Wave, some: Wave) -> NDArray[np.float64]:
    """Return how much a sound is like another one from each of its places on."""
    size = 1 << (len(wave) - 1).bit_length()
    spectrum = np.fft.rfft(wave, size) * np.conj(np.fft.rfft(some, size))
    count = len(wave) - len(some) + 1
    total = np.concatenate(([0.0], np.cumsum(wave.astype(np.float64) ** 2)))
    powers = total[len(some) :] - total[:count]
    return np.asarray(np.fft.irfft(spectrum, size)[:count] / np.sqrt(powers + 1e-12))


def _swell(wave: Wave) -> Wave:
    """Return the level of each short stretch of a sound."""
    size = round(WINDOW * RATE)
    whole = wave[: len(wave) // size * size].reshape(-1, size)
    return np.sqrt((whole**2).mean(axis=1))
