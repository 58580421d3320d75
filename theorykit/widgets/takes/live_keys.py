"""Live keys: what a MIDI keyboard sent, as notes with their start and end in seconds.

Source of the numbers: MIDI 1.0 Detailed Specification (MIDI Manufacturers Association, 1996).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from theorykit.errors import TheoryError, shown

NOTE_OFF, NOTE_ON, CONTROL = 0x80, 0x90, 0xB0
PEDAL, DOWN = 64, 64  # the controller of the sustain pedal, and from where it is down
MOST = 20_000  # messages of a take
SHORTEST = 0.02  # seconds of a note that is let go at once

Row = tuple[float, float, int]  # start, end, MIDI number


def rows_of(messages: Sequence[Sequence[float]], end: float) -> tuple[Row, ...]:
    """Return the notes of messages, each given as its second and its three bytes.

    A key that is let go while the pedal is down sounds until the pedal comes up, or until the key
    is struck again. What sounds at the ``end`` ends there.

    >>> sent = [(1.0, 0x90, 60, 80), (1.2, 0xB0, 64, 127), (1.5, 0x80, 60, 0), (2.0, 0xB0, 64, 0)]
    >>> rows_of(sent, 4.0)
    ((1.0, 2.0, 60),)
    """
    if len(messages) > MOST:
        raise TheoryError(f"{len(messages):,} messages (want a take of at most {MOST:,})")
    found = sorted(_rows(map(_message, messages), end))
    return tuple((start, max(stop, start + SHORTEST), midi) for start, stop, midi in found)


def _message(sent: Sequence[float]) -> tuple[float, int, int, int]:
    """Return a message with its kind, whatever its channel."""
    try:
        seconds, status, first, second = (float(part) for part in sent)
    except (TypeError, ValueError):
        raise TheoryError(f"no MIDI message: {shown(sent)} (want seconds and 3 bytes)") from None
    if not (0 <= seconds < 1e5 and 0x80 <= status <= 0xFF and 0 <= first < 128 > second >= 0):
        raise TheoryError(f"no MIDI message: {shown(sent)} (want seconds and 3 bytes)")
    return seconds, int(status) & 0xF0, int(first), int(second)


def _rows(messages: Iterable[tuple[float, int, int, int]], end: float) -> Iterator[Row]:
    """Yield each note when it ends."""
    held: dict[int, float] = {}
    ringing: dict[int, float] = {}
    is_down = False
    for seconds, kind, first, second in messages:
        if kind == CONTROL and first == PEDAL:
            is_down = second >= DOWN
            if not is_down:
                yield from ((start, seconds, midi) for midi, start in ringing.items())
                ringing.clear()
        elif kind in (NOTE_ON, NOTE_OFF):
            struck = kind == NOTE_ON and second > 0
            for sounding in (held, ringing) if struck else (held,):
                if first in sounding:
                    start = sounding.pop(first)
                    if is_down and not struck:
                        ringing[first] = start
                    else:
                        yield start, seconds, first
            if struck:
                held[first] = seconds
    last = max([end, *held.values(), *ringing.values()])
    yield from ((start, last, midi) for midi, start in [*held.items(), *ringing.items()])
