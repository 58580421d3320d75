"""Staves as MusicXML 4.0, the notes written by music21.

music21 writes one note after the other; bars, ties, beams and accidentals were decided in
``notation.notation``. Its own search for them, on deep copies, takes twenty times as long, and its
chord symbols are wrong for many kinds (``show.chord_xml`` writes ours).
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from music21 import beam, clef, defaults, duration, interval, key, meter, note, pitch, tie
from music21.musicxml.m21ToXml import MeasureExporter

from theorykit.notes.chord import Chord
from theorykit.notes.pitch import Pitch
from theorykit.show.barline_xml import (
    closing_marks,
    end_marks,
    head_marks,
    opening_marks,
    section_mark,
)
from theorykit.show.chord_xml import harmony_element
from theorykit.show.palette import MARK_COLOURS
from theorykit.views.notation import Written, WrittenBar, written_bars
from theorykit.views.staves import StaffView

__all__ = ["musicxml", "score_element"]

DIVISIONS = defaults.divisionsPerQuarter
HEADER = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)
CLEFS = {"treble": clef.TrebleClef, "bass": clef.BassClef}

# How the label of a marked note is set, so that the mark is seen without colour.
LABEL_STYLES: dict[str, dict[str, str]] = {
    "": {},
    "colour": {"font-weight": "bold", "underline": "1"},
    "landing": {"font-weight": "bold", "font-style": "italic"},
}


def musicxml(view: StaffView) -> str:
    """Return a staff as the text of a MusicXML 4.0 file, as it stands on the page.

    Chord symbols are written as we print them, labels as lyrics, one number a line. A part that
    sounds lower than it is written says so in its ``<transpose>``; a page set lower for a low
    instrument sounds where it stands.

    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> from theorykit.views.staves import staff_of_line
    >>> text = musicxml(staff_of_line(Line(two_five_one("C"), ())))
    >>> text.count("<measure"), text.count("<harmony")
    (3, 3)
    """
    root = score_element(view)
    ElementTree.indent(root)
    return HEADER + ElementTree.tostring(root, encoding="unicode") + "\n"


def score_element(
    view: StaffView,
    *,
    chord_element: Callable[[Chord], Element] = harmony_element,
    hide_rests: bool = True,
) -> Element:
    """Return the ``<score-partwise>`` of a staff; ``chord_element`` writes each chord symbol.

    The rests of a staff without any note are not printed (``hide_rests``): it is there to be
    written on.
    """
    root = Element("score-partwise", version="4.0")
    encoding = SubElement(SubElement(root, "identification"), "encoding")
    SubElement(encoding, "software").text = "theorykit"
    entry = SubElement(SubElement(root, "part-list"), "score-part", id="P1")
    SubElement(entry, "part-name", {"print-object": "no"}).text = "Line"
    part = SubElement(root, "part", id="P1")
    bars = written_bars(view)
    hidden = hide_rests and not view.notes
    for before, bar in zip((None, *bars), bars, strict=False):
        part.append(_measure(bar, before, view, chord_element, hidden))
    _close(part[-1])
    return root


def _close(measure: Element) -> None:
    """End the last bar with a thin and a thick line, where no repeat does."""
    if measure.find("barline/repeat[@direction='backward']") is not None:
        return
    barline = SubElement(measure, "barline", location="right")
    SubElement(barline, "bar-style").text = "light-heavy"


def _measure(
    bar: WrittenBar,
    before: WrittenBar | None,
    view: StaffView,
    chord_element: Callable[[Chord], Element],
    hidden: bool,
) -> Element:
    """Write one bar after the one before it; the rests of a ``hidden`` bar are not printed."""
    writer = MeasureExporter()
    measure = writer.xmlRoot
    measure.set("number", str(bar.number))
    if bar.number == 0:
        measure.set("implicit", "yes")
    measure.extend(opening_marks(bar.mark))
    if before is None or before.time != bar.time:
        measure.append(_attributes(writer, bar, view, first=before is None))
    measure.extend(section_mark(bar.mark))
    measure.extend(head_marks(bar.mark))
    chords = list(bar.chords)
    for written in bar.notes:
        while chords and chords[0][0] < written.end:
            beat, chord = chords.pop(0)
            measure.append(_at(chord_element(chord), beat - written.start))
        _write_note(writer, written, hidden=hidden)
    measure.extend(end_marks(bar.mark))
    measure.extend(closing_marks(bar.mark))
    return measure


def _at(harmony: Element, beats: Fraction) -> Element:
    """Say how far after the next note's start a chord symbol stands."""
    if beats:
        SubElement(harmony, "offset").text = str(int(beats * DIVISIONS))
    return harmony


def _attributes(
    writer: MeasureExporter, bar: WrittenBar, view: StaffView, *, first: bool
) -> Element:
    """Write the signatures that begin with this bar."""
    attributes = Element("attributes")
    if first:
        SubElement(attributes, "divisions").text = str(DIVISIONS)
        signature: Any = key.KeySignature(view.key.fifths)
        signature.mode = view.key.mode
        attributes.append(writer.keySignatureToXml(signature))
    attributes.append(writer.timeSignatureToXml(meter.TimeSignature("/".join(map(str, bar.time)))))
    if first:
        attributes.append(writer.clefToXml(CLEFS[view.clef]()))
        if view.transposition > 0:
            sounding = _sounding(view)
            attributes.append(writer.intervalToXmlTranspose(sounding))
    return attributes


def _sounding(view: StaffView) -> interval.Interval:
    """Return the interval from the page to the sound, as many letters down as the names go."""
    if not view.letters:
        return interval.Interval(-view.transposition)
    generic = interval.GenericInterval(-view.letters - 1)
    return interval.intervalFromGenericAndChromatic(generic, -view.transposition)


def _write_note(writer: MeasureExporter, written: Written, *, hidden: bool) -> None:
    """Write one note or rest."""
    if written.pitch is None:
        rest = note.Rest()
        rest.duration = _duration(written)
        rest.fullMeasure = written.fills_bar
        rest.style.hideObjectOnPrint = hidden
        writer.restToXml(rest)
        return
    sound = note.Note(_pitch(written.pitch, written.accidental))
    sound.duration = _duration(written)
    if written.tie:
        sound.tie = tie.Tie(written.tie)
    _add_beams(sound, written.beams)
    if written.mark:
        sound.style.color = MARK_COLOURS[written.mark]
    element = writer.noteToXml(sound)
    for number, label in enumerate(written.labels, 1):
        if label:
            element.append(_lyric(label, number, written.mark))


def _duration(written: Written) -> duration.Duration:
    """Return the note value, in its triplet where it stands in one; rests of a bar fill it."""
    if written.fills_bar:
        return duration.Duration(written.beats)
    length = duration.Duration(type=written.value.name, dots=written.value.dots)
    if written.triplet is not None:
        triple = duration.Tuplet(3, 2, written.triplet.normal)
        triple.type = "start" if written.triplet.opens else None
        triple.type = "stop" if written.triplet.closes else triple.type
        triple.bracket = written.triplet.bracket
        length.appendTuplet(triple)
    return length


def _pitch(written: Pitch, accidental: str) -> pitch.Pitch:
    """Return a pitch whose accidental is printed, bracketed or left to the signature."""
    letter: Any = written.note.letter
    alteration = written.note.alteration
    if not alteration and not accidental:
        return pitch.Pitch(step=letter, octave=written.octave)
    sign = pitch.Accidental(alteration)
    sign.displayStatus = accidental != ""
    if accidental == "courtesy":
        sign.displayStyle = "parentheses"
    return pitch.Pitch(step=letter, octave=written.octave, accidental=sign)


def _add_beams(sound: note.Note, beams: tuple[str, ...]) -> None:
    """Set the beams of a note, the first beam first."""
    for number, what in enumerate(beams, 1):
        kind, _, side = what.partition(" ")
        one = beam.Beam(type="partial" if side else kind, direction=side or None)
        one.number = number
        sound.beams.append(one)


def _lyric(label: str, number: int, mark: str) -> Element:
    """Write one line of a label under a note."""
    colour: dict[str, Any] = {"color": MARK_COLOURS[mark].upper()} if mark else {}
    lyric = Element("lyric", {"number": str(number), **colour})
    SubElement(lyric, "syllabic").text = "single"
    SubElement(lyric, "text", LABEL_STYLES[mark] | colour).text = label
    return lyric
