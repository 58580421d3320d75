"""A chorus as a file to take away: a score, MIDI, sound, or the text of chart and treatment."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from theorykit.errors import TheoryError, shown
from theorykit.lines.chorus import Chorus, muted
from theorykit.lines.parts import MELODY_SOUNDS, Performance
from theorykit.notes.instruments import READERS, Reader
from theorykit.show.midi_out import midi_bytes
from theorykit.show.musicxml import musicxml
from theorykit.show.samples import Samples
from theorykit.show.sheet_out import lead_sheet_xml
from theorykit.show.sound import mp3_bytes, ogg_bytes, render, wav_bytes
from theorykit.tunes.treatments import Treatment
from theorykit.views.staves import chorus_staff

__all__ = ["CHORUS_FILES", "ChorusFile", "TakenChorus", "chorus_bytes"]


@dataclass(frozen=True, slots=True)
class TakenChorus:
    """What is taken away: a chorus, its treatment, how it is played and for whom it is written.

    ``silent`` are the parts that do not sound.
    """

    chorus: Chorus
    treatment: Treatment
    performance: Performance
    reader: Reader = READERS[0]
    melody: str = "tenor saxophone"
    silent: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ChorusFile:
    """A kind of file: its ending, its media type, what makes it."""

    ending: str
    media: str
    make: Callable[[TakenChorus], bytes]


def _score(taken: TakenChorus) -> bytes:
    """Return all choruses as MusicXML, with section letters and chord symbols."""
    return musicxml(chorus_staff(taken.chorus, reader=taken.reader, labels=False)).encode()


def _midi(taken: TakenChorus) -> bytes:
    """Return line and rhythm section as MIDI, swung as they sound."""
    played = muted(taken.performance, taken.silent)
    return midi_bytes(played, swing="written out", melody=MELODY_SOUNDS[taken.melody])


def _sound(encode: Callable[[Samples], bytes]) -> Callable[[TakenChorus], bytes]:
    """Return what writes the performance as sound."""
    return lambda taken: encode(render(muted(taken.performance, taken.silent), melody=taken.melody))


# Media types: IANA; MusicXML 4.0 for its own.
CHORUS_FILES = {
    "MusicXML": ChorusFile(".musicxml", "application/vnd.recordare.musicxml+xml", _score),
    "MIDI": ChorusFile(".mid", "audio/midi", _midi),
    "sound, MP3": ChorusFile(".mp3", "audio/mpeg", _sound(mp3_bytes)),
    "sound, Ogg": ChorusFile(".ogg", "audio/ogg", _sound(ogg_bytes)),
    "sound, WAV": ChorusFile(".wav", "audio/wav", _sound(wav_bytes)),
    "chart, as text": ChorusFile(
        ".txt", "text/plain;charset=utf-8", lambda taken: str(taken.chorus.chart).encode()
    ),
    "chart with its colours, as text": ChorusFile(
        ".txt", "text/plain;charset=utf-8", lambda taken: str(taken.chorus.treated).encode()
    ),
    "lead sheet, MusicXML": ChorusFile(
        ".musicxml",
        "application/vnd.recordare.musicxml+xml",
        lambda taken: lead_sheet_xml(taken.chorus.chart, reader=taken.reader).encode(),
    ),
    "treatment, as text": ChorusFile(
        ".txt", "text/plain;charset=utf-8", lambda taken: str(taken.treatment).encode()
    ),
}


def chorus_bytes(taken: TakenChorus, kind: str) -> bytes:
    """Return the content of a file of a kind, one of ``CHORUS_FILES``.

    >>> from theorykit.lines.chorus import write_chorus
    >>> from theorykit.lines.chorus import perform_chorus
    >>> from theorykit.tunes.charts import Chart
    >>> chart = Chart.of("C", "Dm7", "G7", "C6", "%")
    >>> treatment = Treatment.proposed(chart)
    >>> chorus = write_chorus(chart, treatment)
    >>> taken = TakenChorus(chorus, treatment, perform_chorus(chorus))
    >>> chorus_bytes(taken, "MIDI")[:4], b"<rehearsal" in chorus_bytes(taken, "MusicXML")
    (b'MThd', False)
    """
    if kind not in CHORUS_FILES:
        raise TheoryError(f"no such kind of file: {shown(kind)} (want {', '.join(CHORUS_FILES)})")
    return CHORUS_FILES[kind].make(taken)
