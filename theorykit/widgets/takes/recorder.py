"""The recorder: a microphone in the page, recorded at a press of its button with the band's clock.

The page sends what it caught in pieces. Here it is kept in memory until the next take, or until it
is thrown away; a file is made of it only when the reader keeps it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

import anywidget
import numpy as np
import traitlets as t

from theorykit.errors import TheoryError, shown
from theorykit.show.html_text import sentences_html
from theorykit.show.listening import clap_delay, keep_delay, own_delay
from theorykit.show.sound import CAUTION, Samples, wav_bytes
from theorykit.widgets.faults import noted
from theorykit.widgets.takes.live_keys import rows_of
from theorykit.widgets.takes.recordings import FULL, LONGEST, Recording, sixteen_bits

_HERE = Path(__file__).parent
SCRIPTS = ("sent_takes.js", "recorder.js")
MOST_HEARD = 30_000_000  # bytes of a recording that a page is sent to be heard
SLOWEST, FASTEST = 8_000, 192_000  # frames a second
MOST_CLICKS = 40
MEASURED = "This machine hears {} milliseconds late. It is kept, and taken off every take."
FORGOTTEN = "Forgotten: what the browser says of the delay counts again."
BROKEN = "the recording did not arrive whole (want another take)"

BEGIN = {
    "band": "Press record and allow the microphone: the band counts in a bar and plays, and the "
    "take ends with it.",
    "alone": "Press record and allow the microphone, play, and press \u201cstop recording\u201d.",
}
HELP = (
    "Play one melody, one note at a time. Use headphones: what the microphone hears of "
    "the band is taken for yours, and notes come out doubtful or too many. The first time, measure "
    "the delay: clap with eight clicks. A MIDI keyboard needs neither."
)
REST = "Rest between takes, and stop at once where something hurts."
PRIVATE = (
    "What is recorded goes to the Python behind this page and nowhere else. It is held in memory "
    "until the next take with notes, and is gone then unless you keep it."
)


class Recorder(anywidget.AnyWidget):
    """A button that records; ``take`` is given the recording, and ``dropped`` called when it goes.

    ``over`` is "band" where the band plays, else "alone". ``listens`` while the last take is taken
    down; ``has`` numbers the recording that can be heard, 0 for none. ``got`` is the number of the
    take that came last, ``delay`` the milliseconds that are taken off, None for what the browser
    says.
    """

    _esm = "\n".join((_HERE / name).read_text("utf-8") for name in SCRIPTS)
    _css = (_HERE / "takes.css").read_text("utf-8")
    over = t.Unicode("band").tag(sync=True)
    listens = t.Bool(False).tag(sync=True)
    has = t.Int(0).tag(sync=True)
    goes_together = t.Bool(False).tag(sync=True)
    got = t.Int(0).tag(sync=True)
    delay = t.Int(None, allow_none=True).tag(sync=True)

    def __init__(
        self, take: Callable[[Recording], None], dropped: Callable[[], None] = lambda: None
    ) -> None:
        self._take, self._dropped = take, dropped
        self._number = 0
        self._pieces: dict[int, dict[int, bytes]] = {}
        self._ends: dict[int, Mapping[str, Any]] = {}
        self.recording: Recording | None = None
        super().__init__()
        self._show_delay()
        self.on_msg(self._told)

    def hold(self, recording: Recording | None, *, together: bool = False) -> None:
        """Hold a recording, so that it can be heard and kept; None lets it go.

        With ``together`` its line stands on the page, and both can be heard at once.
        """
        noted(partial(self._hold, self.recording, self._number, self.goes_together))
        self._hold(recording, self._number + 1, together)

    def _hold(self, recording: Recording | None, number: int, together: bool) -> None:
        """Set what is held."""
        self.recording, self._number = recording, number
        heard = recording is not None and recording.samples is not None
        with self.hold_sync():
            self.has = number if heard else 0
            self.goes_together = heard and together

    def _told(self, _: object, message: dict[str, Any], files: Sequence[bytes]) -> None:
        """The page sends a piece of a take, or asks for something."""
        try:
            if "there" in message:
                self.send({"there": message["there"]})
            elif "forget" in message:
                keep_delay(None)
                self._show_delay()
                self.send({"told": FORGOTTEN})
            elif "take" in message:
                self._caught(message, files)
            elif "hear" in message:
                self._send_sound()
            elif "keep" in message:
                self._send_file()
            elif "drop" in message:
                self._pieces, self._ends = {}, {}  # of a take whose end never came
                self.hold(None)
                self._dropped()
        except TheoryError as refusal:
            self.send({"problem": str(refusal)})
        except (TypeError, ValueError, LookupError, ArithmeticError, AttributeError):
            self.send({"problem": BROKEN})  # a message that our page does not send

    # What the page has caught.

    def _caught(self, message: Mapping[str, Any], files: Sequence[bytes]) -> None:
        """Take a piece, or the end of a take; they may come in any order."""
        number = int(message["take"])
        if "sent" in message:
            self.got = number
            self._take(_played(message))
            return
        if "piece" in message:
            self._keep(number, int(message["piece"]), bytes(files[0]))
        else:
            self._ends[number] = message
        end, pieces = self._ends.get(number), self._pieces.get(number, {})
        if end is not None and len(pieces) >= int(end["pieces"]):
            self._pieces.pop(number, None)
            self._ends.pop(number)
            self.got = number
            sound = _samples(b"".join(data for _, data in sorted(pieces.items())), end)
            if "clicks" in end:
                self._measure(sound, end["clicks"])
            else:
                self._take(_recording(sound, end))

    def _keep(self, number: int, piece: int, data: bytes) -> None:
        """Keep a piece of a take; the pieces of another one, whose end never came, go."""
        mine = self._pieces.get(number, {}) | {piece: data}
        if sum(map(len, mine.values())) > 2 * FASTEST * LONGEST:
            raise TheoryError(BROKEN)
        self._pieces = {number: mine}

    def _measure(self, sound: Samples, clicks: Sequence[Any]) -> None:
        """Measure how late this machine hears, and keep it."""
        seconds = clap_delay(sound, [_number(click) or 0.0 for click in clicks[:MOST_CLICKS]])
        keep_delay(seconds)
        self._show_delay()
        self.send({"told": MEASURED.format(round(seconds * 1000))})

    def _show_delay(self) -> None:
        """Let the page say what is taken off every take."""
        seconds = own_delay()
        self.delay = None if seconds is None else round(seconds * 1000)

    # What the page asks for.

    def _send_sound(self) -> None:
        """Send what was recorded, to be heard."""
        found, samples = self.recording, self._held()
        data = sixteen_bits(samples).tobytes()
        if found is None or len(data) > MOST_HEARD:
            raise TheoryError("the recording is too long to be heard here (want its own player)")
        told = {"heard": self._number, "rate": samples.rate, "start": found.start}
        self.send({**told, "tempo": found.tempo}, buffers=[data])

    def _send_file(self) -> None:
        """Send what was recorded as a file."""
        data = wav_bytes(self._held())
        self.send({"saved": "take.wav", "type": "audio/wav"}, buffers=[data])

    def _held(self) -> Samples:
        """Return the sound that is held."""
        samples = None if self.recording is None else self.recording.samples
        if samples is None:
            raise TheoryError("there is no recording (want a take first)")
        return samples


def _samples(data: bytes, end: Mapping[str, Any]) -> Samples:
    """Return the sound that the page has caught.

    >>> _samples(b"\\0\\0\\1\\0", {"frames": 2, "rate": 44100}).wave.shape
    (2,)
    """
    rate = end.get("rate")
    if not isinstance(rate, int) or not SLOWEST <= rate <= FASTEST:
        raise TheoryError(f"no rate of sound: {shown(rate)} (want {SLOWEST} to {FASTEST})")
    if len(data) != 2 * int(end["frames"]):
        raise TheoryError(BROKEN)
    if len(data) > 2 * rate * LONGEST:
        raise TheoryError(f"too long a take (want at most {LONGEST} seconds)")
    return Samples(np.asarray(np.frombuffer(data, "<i2") / FULL, np.float32), rate)


def _recording(sound: Samples, end: Mapping[str, Any]) -> Recording:
    """Return a take; its start is where its first bar is heard, as late as this machine hears.

    >>> end = {"start": 1.0, "tempo": 120, "late": 0.25}
    >>> _recording(Samples(np.zeros(9, np.float32), 44100), end).start
    1.25
    """
    start, tempo = _number(end.get("start")), _number(end.get("tempo"))
    measured = own_delay()
    late = measured if measured is not None else _number(end.get("late")) or 0.0
    return Recording(sound, tempo, None if start is None else max(0.0, start + late))


def _played(end: Mapping[str, Any]) -> Recording:
    """Return a take of a MIDI keyboard as the page has caught it.

    >>> sent = [[0.5, 144, 60, 90], [0.9, 128, 60, 0]]
    >>> _played({"sent": sent, "end": 2, "tempo": 120, "start": 0.5}).sound
    ((0.5, 0.9, 60),)
    """
    start, tempo = _number(end.get("start")), _number(end.get("tempo"))
    rows = rows_of(end["sent"], _number(end.get("end")) or 0.0)
    return Recording(rows, tempo, None if start is None else max(0.0, start))


def _number(value: object) -> float | None:
    """Return a number that the page told, if it is one."""
    good = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if good and abs(value) < 1e6 else None  # type: ignore[arg-type]


def how_to_record(over: str) -> str:
    """Return how one records over the band or alone, with the cautions, as HTML.

    >>> "counts in" in how_to_record("band"), "counts in" in how_to_record("alone")
    (True, False)
    """
    return sentences_html(f"{BEGIN[over]} {HELP}", f"{CAUTION} {REST}", PRIVATE)
