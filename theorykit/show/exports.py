"""A line as a file to take away, and a link in the page that holds it."""

from __future__ import annotations

import base64
from collections.abc import Callable
from dataclasses import dataclass
from html import escape

from theorykit.errors import TheoryError, shown
from theorykit.notes.instruments import READERS, Reader
from theorykit.show.files import line_bytes
from theorykit.show.samples import Samples
from theorykit.show.sound import mp3_bytes, ogg_bytes, render, wav_bytes
from theorykit.views.practice import Practice

__all__ = ["EXPORTS", "Export", "Wanted", "export", "link_html"]


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
