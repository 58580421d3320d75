"""Exports: a line or a chorus as a file to take away, and a link that holds it."""

from __future__ import annotations

import base64
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from html import escape

from theorykit.errors import TheoryError, shown
from theorykit.lines.band import written_swing
from theorykit.lines.chorus import Chorus, muted
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.lines.parts import MELODY_SOUNDS, Performance
from theorykit.notes.reader import READERS, Reader
from theorykit.show.engraving import musicxml
from theorykit.show.files import lead_sheet_xml, line_bytes, midi_bytes
from theorykit.show.sound import Samples, mp3_bytes, ogg_bytes, render, wav_bytes
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment
from theorykit.views.sounding import Practice
from theorykit.views.staves import chorus_staff

__all__ = [
    "CHORUS_FILES",
    "EXPORTS",
    "TUNE_FILES",
    "Export",
    "TakenChorus",
    "TakenTune",
    "Wanted",
    "chorus_bytes",
    "export",
    "file_stem",
    "link_html",
]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is taken away: a line made ready to practise, for whom, and with which melody sound."""

    practice: Practice
    reader: Reader = READERS[0]
    melody: str = "tenor saxophone"
    title: str = ""


@dataclass(frozen=True, slots=True)
class Export:
    """A kind of file: its ending, its media type, what makes it out of what is wanted.

    ``says`` returns what stands behind the title in the name of the file.
    """

    ending: str
    media: str
    make: Callable[[Wanted], bytes]
    says: Callable[[Wanted], str] = lambda wanted: wanted.melody


def _score(ending: str) -> Callable[[Wanted], bytes]:
    """Return what writes the line as a score or as text."""

    def make(wanted: Wanted) -> bytes:
        played, who, title = wanted.practice.performance, wanted.reader, wanted.title
        pace = {"tempo": played.tempo, "ratio": played.swing}
        return line_bytes(wanted.practice.line, ending, reader=who, title=title, **pace)

    return make


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


def _who(wanted: Wanted) -> str:
    """Say for whom a page is written."""
    return wanted.reader.name


# Media types: IANA; MusicXML 4.0 for its own two.
_SCORE, _TEXT = "application/vnd.recordare.musicxml+xml", "text/plain;charset=utf-8"
EXPORTS = {
    "MusicXML": Export(".musicxml", _SCORE, _score(".musicxml"), _who),
    "MusicXML, packed": Export(".mxl", "application/vnd.recordare.musicxml", _score(".mxl"), _who),
    "MIDI, even eighths": Export(".mid", "audio/midi", _midi("straight"), lambda _: "even eighths"),
    "MIDI, swung eighths": Export(
        ".mid", "audio/midi", _midi("written out"), lambda _: "swung eighths"
    ),
    "text": Export(".txt", "text/plain;charset=utf-8", _score(".txt"), lambda _: READERS[0].name),
    "sound, MP3": Export(".mp3", "audio/mpeg", _sound(mp3_bytes)),
    "sound, Ogg": Export(".ogg", "audio/ogg", _sound(ogg_bytes)),
    "sound, WAV": Export(".wav", "audio/wav", _sound(wav_bytes)),
}


def export(wanted: Wanted, kind: str) -> bytes:
    """Return the content of a file of a kind, one of ``EXPORTS``.

    >>> from theorykit.lines.demonstration import demonstration
    >>> from theorykit.views.sounding import rehearse
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
class TakenTune:
    """What is taken away of a tune: its chart, its colours, and for whom it is written.

    ``tempo`` is the one that it sounds at, in beats a minute, where the chart itself says none;
    ``melody`` is text over the written bars.
    """

    chart: Chart
    treatment: Treatment
    reader: Reader = READERS[0]
    tempo: float | None = None
    melody: str = ""

    @property
    def sheet(self) -> LeadSheet:
        """The chart with its melody and the tempo at which it sounds."""
        return LeadSheet.of(self.timed, self.melody)

    @property
    def timed(self) -> Chart:
        """The chart with the tempo at which it sounds."""
        if self.chart.tempo is not None or self.tempo is None:
            return self.chart
        return replace(self.chart, tempo=round(self.tempo))


# === Choruses ===


@dataclass(frozen=True, slots=True)
class TakenChorus:
    """What is taken away: a chorus, its treatment, how it is played and for whom it is written.

    ``silent`` are the parts that do not sound; ``lines`` is the number of its lines.
    """

    chorus: Chorus
    treatment: Treatment
    performance: Performance
    reader: Reader = READERS[0]
    melody: str = "tenor saxophone"
    silent: tuple[str, ...] = ()
    lines: int = 1

    @property
    def tune(self) -> TakenTune:
        """The tune of the chorus."""
        beats = self.performance.tempo / float(self.chorus.chart.metre.quarters)
        return TakenTune(self.chorus.chart, self.treatment, self.reader, beats)


@dataclass(frozen=True, slots=True)
class TuneFile:
    """A kind of file of a tune: its ending, its media type, what makes it, what its name says."""

    ending: str
    media: str
    make: Callable[[TakenTune], bytes]
    says: Callable[[TakenTune], str]


@dataclass(frozen=True, slots=True)
class ChorusFile:
    """A kind of file of a chorus: its ending, its media type, what makes it, what its name says."""

    ending: str
    media: str
    make: Callable[[TakenChorus], bytes]
    says: Callable[[TakenChorus], str]


def _chorus_score(taken: TakenChorus) -> bytes:
    """Return all choruses as MusicXML: title, tempo, swing, section letters and chord symbols."""
    staff = chorus_staff(taken.chorus, reader=taken.reader, labels=False)
    title, tempo = taken.chorus.chart.title, taken.performance.tempo
    swing = written_swing(tempo, taken.performance.swing)
    return musicxml(staff, title=title, tempo=tempo, swing=swing).encode()


def _chorus_midi(taken: TakenChorus) -> bytes:
    """Return line and rhythm section as MIDI, swung as they sound."""
    played = muted(taken.performance, taken.silent)
    return midi_bytes(played, swing="written out", melody=MELODY_SOUNDS[taken.melody])


def _chorus_sound(encode: Callable[[Samples], bytes]) -> Callable[[TakenChorus], bytes]:
    """Return what writes the performance as sound."""
    return lambda taken: encode(render(muted(taken.performance, taken.silent), melody=taken.melody))


def _lines(taken: TakenChorus) -> str:
    """Say which chorus it is."""
    return f"chorus lines {taken.lines}"


CHORUS_FILES = {
    "MusicXML": ChorusFile(
        ".musicxml", _SCORE, _chorus_score, lambda taken: f"{_lines(taken)} {taken.reader.name}"
    ),
    "MIDI": ChorusFile(".mid", "audio/midi", _chorus_midi, _lines),
    "sound, MP3": ChorusFile(".mp3", "audio/mpeg", _chorus_sound(mp3_bytes), _lines),
    "sound, Ogg": ChorusFile(".ogg", "audio/ogg", _chorus_sound(ogg_bytes), _lines),
    "sound, WAV": ChorusFile(".wav", "audio/wav", _chorus_sound(wav_bytes), _lines),
}
TUNE_FILES = {
    "chart, as text": TuneFile(
        ".txt", _TEXT, lambda tune: str(tune.chart).encode(), lambda _: "chart"
    ),
    "chart with its colours, as text": TuneFile(
        ".txt",
        _TEXT,
        lambda tune: str(tune.treatment.applied(tune.chart)).encode(),
        lambda _: "chart with colours",
    ),
    "lead sheet, MusicXML": TuneFile(
        ".musicxml",
        _SCORE,
        lambda tune: lead_sheet_xml(tune.sheet, reader=tune.reader).encode(),
        lambda tune: f"lead sheet {tune.reader.name}",
    ),
    "treatment, as text": TuneFile(
        ".txt", _TEXT, lambda tune: str(tune.treatment).encode(), lambda _: "treatment"
    ),
}


def chorus_bytes(taken: TakenChorus, kind: str) -> bytes:
    """Return the content of a file of a kind, one of ``CHORUS_FILES`` or ``TUNE_FILES``.

    >>> from theorykit.lines.chorus import write_chorus
    >>> from theorykit.lines.chorus import perform_chorus
    >>> chart = Chart.of("C", "Dm7", "G7", "C6", "%")
    >>> treatment = Treatment.proposed(chart)
    >>> chorus = write_chorus(chart, treatment)
    >>> taken = TakenChorus(chorus, treatment, perform_chorus(chorus))
    >>> chorus_bytes(taken, "MIDI")[:4], b"<rehearsal" in chorus_bytes(taken, "MusicXML")
    (b'MThd', False)
    """
    if kind in TUNE_FILES:
        return TUNE_FILES[kind].make(taken.tune)
    if kind not in CHORUS_FILES:
        accepted = ", ".join([*CHORUS_FILES, *TUNE_FILES])
        raise TheoryError(f"no such kind of file: {shown(kind)} (want {accepted})")
    return CHORUS_FILES[kind].make(taken)


LONGEST_STEM = 80  # characters of the title in the name of a file
_ODD = re.compile(r"\W+")
_SPELLED = str.maketrans({"♭": "flat", "♯": "sharp", "#": "sharp", "ø": "halfdim", "Δ": "maj"})


def file_stem(title: str, *says: str) -> str:
    """Return a name for a file: its title, then what it is and for whom.

    >>> file_stem("Ida's turn, E♭", "line", "B flat"), file_stem("?!")
    ('Ida_s_turn_Eflat_line_B_flat', 'untitled')
    """
    named = _plain(title)[:LONGEST_STEM].strip("_") or "untitled"
    return "_".join([named, *filter(None, map(_plain, says))])


def _plain(text: str) -> str:
    """Return a text with nothing in it but letters, figures and low lines."""
    return _ODD.sub("_", text.translate(_SPELLED)).strip("_")
