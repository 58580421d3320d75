"""Exports: a line or a chorus as a file to take away, and a link that holds it."""

from __future__ import annotations

import base64
from collections.abc import Callable
from dataclasses import dataclass
from html import escape

from theorykit.errors import TheoryError, shown
from theorykit.lines.chorus import Chorus, muted
from theorykit.lines.parts import MELODY_SOUNDS, Performance
from theorykit.notes.key import READERS, Reader
from theorykit.show.engraving import musicxml
from theorykit.show.files import lead_sheet_xml, line_bytes, midi_bytes
from theorykit.show.sound import Samples, mp3_bytes, ogg_bytes, render, wav_bytes
from theorykit.tunes.treatments import Treatment
from theorykit.views.practice import Practice
from theorykit.views.staves import chorus_staff

__all__ = [
    "CHORUS_FILES",
    "EXPORTS",
    "Export",
    "TakenChorus",
    "Wanted",
    "chorus_bytes",
    "export",
    "link_html",
]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is taken away: a line made ready to practise, for whom, and with which melody sound."""

    practice: Practice
    reader: Reader = READERS[0]
    melody: str = "tenor saxophone"


@dataclass(frozen=True, slots=True)
class Export:
    """A kind of file: its ending, its media type, what makes it out of what is wanted."""

    ending: str
    media: str
    make: Callable[[Wanted], bytes]


def _score(ending: str) -> Callable[[Wanted], bytes]:
    """Return what writes the line as a score or as text."""
    return lambda wanted: line_bytes(wanted.practice.line, ending, reader=wanted.reader)


def _midi(swing: str) -> Callable[[Wanted], bytes]:
    """Return what writes the line as MIDI."""

    def make(wanted: Wanted) -> bytes:
        played = wanted.practice.performance
        return line_bytes(
            wanted.practice.line, ".mid", tempo=played.tempo, ratio=played.swing, swing=swing
        )

    return make


def _sound(encode: Callable[[Samples], bytes]) -> Callable[[Wanted], bytes]:
    """Return what writes the performance as sound."""
    return lambda wanted: encode(render(wanted.practice.performance, melody=wanted.melody))


# Media types: IANA; MusicXML 4.0 for its own two.
EXPORTS = {
    "MusicXML": Export(".musicxml", "application/vnd.recordare.musicxml+xml", _score(".musicxml")),
    "MusicXML, packed": Export(".mxl", "application/vnd.recordare.musicxml", _score(".mxl")),
    "MIDI, even eighths": Export(".mid", "audio/midi", _midi("straight")),
    "MIDI, swung eighths": Export(".mid", "audio/midi", _midi("written out")),
    "text": Export(".txt", "text/plain;charset=utf-8", _score(".txt")),
    "sound, MP3": Export(".mp3", "audio/mpeg", _sound(mp3_bytes)),
    "sound, Ogg": Export(".ogg", "audio/ogg", _sound(ogg_bytes)),
    "sound, WAV": Export(".wav", "audio/wav", _sound(wav_bytes)),
}


def export(wanted: Wanted, kind: str) -> bytes:
    """Return the content of a file of a kind, one of ``EXPORTS``.

    >>> from theorykit.lines.demonstration import demonstration
    >>> from theorykit.views.practice import rehearse
    >>> export(Wanted(rehearse(demonstration("F", "short"))), "text").decode().strip()
    'quarter Bb5 F5 8th G5 E5 C5 Bb4 | whole A4'
    """
    if kind not in EXPORTS:
        raise TheoryError(f"no such kind of file: {shown(kind)} (want {', '.join(EXPORTS)})")
    return EXPORTS[kind].make(wanted)


def link_html(name: str, media: str, data: bytes) -> str:
    """Return a link that holds a file and saves it under a name.

    >>> link_html("turn.txt", "text/plain", b"8th")[:49]
    '<a download="turn.txt" href="data:text/plain;base'
    """
    packed = base64.b64encode(data).decode("ascii")
    size = f"{max(1, round(len(data) / 1000))} kB"
    return (
        f'<a download="{escape(name)}" href="data:{media};base64,{packed}" '
        'style="color:var(--jp-content-link-color,#0366d6);text-decoration:underline">'
        f"Save {escape(name)} ({size})</a>"
    )


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


def _chorus_score(taken: TakenChorus) -> bytes:
    """Return all choruses as MusicXML, with section letters and chord symbols."""
    return musicxml(chorus_staff(taken.chorus, reader=taken.reader, labels=False)).encode()


def _chorus_midi(taken: TakenChorus) -> bytes:
    """Return line and rhythm section as MIDI, swung as they sound."""
    played = muted(taken.performance, taken.silent)
    return midi_bytes(played, swing="written out", melody=MELODY_SOUNDS[taken.melody])


def _chorus_sound(encode: Callable[[Samples], bytes]) -> Callable[[TakenChorus], bytes]:
    """Return what writes the performance as sound."""
    return lambda taken: encode(render(muted(taken.performance, taken.silent), melody=taken.melody))


# Media types: IANA; MusicXML 4.0 for its own.
CHORUS_FILES = {
    "MusicXML": ChorusFile(".musicxml", "application/vnd.recordare.musicxml+xml", _chorus_score),
    "MIDI": ChorusFile(".mid", "audio/midi", _chorus_midi),
    "sound, MP3": ChorusFile(".mp3", "audio/mpeg", _chorus_sound(mp3_bytes)),
    "sound, Ogg": ChorusFile(".ogg", "audio/ogg", _chorus_sound(ogg_bytes)),
    "sound, WAV": ChorusFile(".wav", "audio/wav", _chorus_sound(wav_bytes)),
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
