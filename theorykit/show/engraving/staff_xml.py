"""Staves as MusicXML 4.0, one or several in a file: signatures, notes, ties, beams, labels.

What stands in each bar was decided in ``notation.notation``; here it is put into elements, in the
order in which the standard wants them. Source of names and order: MusicXML 4.0, ``note``,
``attributes`` and ``transpose``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from theorykit.notes.chord import Chord
from theorykit.notes.note import Pitch
from theorykit.show.engraving.mark_xml import (
    closing_marks,
    end_marks,
    harmony_element,
    head_marks,
    opening_marks,
    section_mark,
    tempo_marks,
    tempo_over,
)
from theorykit.show.pictures import NOTE_MARKS
from theorykit.views.notation import Triplet, Written, WrittenBar, written_bars
from theorykit.views.staves import StaffView

DIVISIONS = 10_080  # of a beat: every length of ``notation.note_values`` is a whole number of them
HEADER = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)
CLEFS = {"treble": ("G", "2"), "bass": ("F", "4")}  # sign, and line from below
SIGNS = {
    **{-3: "triple-flat", -2: "flat-flat", -1: "flat", 0: "natural"},
    **{1: "sharp", 2: "double-sharp", 3: "triple-sharp"},
}
# By what ``notation.accidentals`` says of ties and beams.
TIES = {"": (), "start": ("start",), "continue": ("stop", "start"), "stop": ("stop",)}
BEAMS = {
    **{"start": "begin", "continue": "continue", "stop": "end"},
    **{"hook right": "forward hook", "hook left": "backward hook"},
}


def musicxml(
    view: StaffView, *, title: str = "", tempo: float | None = None, swing: Fraction | None = None
) -> str:
    """Return a staff as the text of a MusicXML 4.0 file, as it stands on the page.

    ``tempo`` is in quarters a minute, ``swing`` the ratio of the long to the short eighth; a file
    without one leaves it to its reader. Where eighths are counted, they are not swung.

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
    if title:
        _title(root, title)
    if tempo is not None:
        put_over(root[-1][0], [tempo_over(view.time, tempo, swing)])
    ElementTree.indent(root)
    return HEADER + ElementTree.tostring(root, encoding="unicode") + "\n"


def put_over(measure: Element, directions: Sequence[Element]) -> None:
    """Put directions over a bar, behind its signatures."""
    at = 1 + next(place for place, part in enumerate(measure) if part.tag == "attributes")
    measure[at:at] = directions


def _title(root: Element, title: str) -> None:
    """Say what the whole is called."""
    work = Element("work")
    SubElement(work, "work-title").text = title
    root.insert(0, work)


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
    if view.second:
        _add_second(part, view)
    _close(part[-1])
    return root


def _add_second(part: Element, view: StaffView) -> None:
    """Add a second voice to every bar, behind a step back to the beginning of the bar."""
    bars = written_bars(replace(view, notes=view.second, second=(), chords=()))
    for measure, bar in zip(part, bars, strict=True):
        for note in measure.iter("note"):
            _set_voice(note, "1", "up")
        at = 1 + max(place for place, one in enumerate(measure) if one.tag == "note")
        length = round(sum(written.beats for written in bar.notes) * DIVISIONS)
        back = Element("backup")
        SubElement(back, "duration").text = str(length)
        measure.insert(at, back)
        for place, written in enumerate(bar.notes, at + 1):
            pitch = written.pitch
            note = _rest(written, False) if pitch is None else _note(written, pitch)
            _set_voice(note, "2", "down")
            measure.insert(place, note)


def _set_voice(note: Element, number: str, stem: str) -> None:
    """Say which voice a note belongs to, and which way its stem goes, where the standard wants it.

    Source of the order: MusicXML 4.0, ``note``.
    """
    first = ("pitch", "rest", "duration", "tie")
    voice = Element("voice")
    voice.text = number
    note.insert(sum(one.tag in first for one in note), voice)
    if note.find("rest") is None:
        before = (*first, "voice", "type", "dot", "accidental", "time-modification")
        way = Element("stem")
        way.text = stem
        note.insert(sum(one.tag in before for one in note), way)


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
    measure = Element("measure", number=str(bar.number))
    if bar.number == 0:
        measure.set("implicit", "yes")
    measure.extend(opening_marks(bar.mark))
    if before is None or before.time != bar.time:
        measure.append(_attributes(bar, view, first=before is None))
    measure.extend(section_mark(bar.mark))
    measure.extend(head_marks(bar.mark))
    chords = list(bar.chords)
    for written in bar.notes:
        while chords and chords[0][0] < written.end:
            beat, chord = chords.pop(0)
            measure.append(_at(chord_element(chord), beat - written.start))
        pitch = written.pitch
        measure.append(_rest(written, hidden) if pitch is None else _note(written, pitch))
    measure.extend(end_marks(bar.mark))
    measure.extend(closing_marks(bar.mark))
    return measure


def _at(harmony: Element, beats: Fraction) -> Element:
    """Say how far after the next note's start a chord symbol stands."""
    if beats:
        SubElement(harmony, "offset").text = str(int(beats * DIVISIONS))
    return harmony


def _attributes(bar: WrittenBar, view: StaffView, *, first: bool) -> Element:
    """Write the signatures that begin with this bar."""
    attributes = Element("attributes")
    if first:
        SubElement(attributes, "divisions").text = str(DIVISIONS)
        key = SubElement(attributes, "key")
        SubElement(key, "fifths").text = str(view.key.fifths)
        SubElement(key, "mode").text = view.key.mode
    time = SubElement(attributes, "time")
    for name, number in zip(("beats", "beat-type"), bar.time, strict=True):
        SubElement(time, name).text = str(number)
    if first:
        clef = SubElement(attributes, "clef")
        for name, text in zip(("sign", "line"), CLEFS[view.clef], strict=True):
            SubElement(clef, name).text = text
        if view.transposition > 0:
            attributes.append(_transpose(view))
    return attributes


def _transpose(view: StaffView) -> Element:
    """Say how far the part sounds below the page: in letters, half steps and whole octaves.

    Where the staff does not say how many letters it is, the usual interval is taken.
    """
    octaves, letters = divmod(view.letters or _usual_letters(view.transposition), 7)
    transpose = Element("transpose")
    SubElement(transpose, "diatonic").text = str(-letters)
    SubElement(transpose, "chromatic").text = str(12 * octaves - view.transposition)
    if octaves:
        SubElement(transpose, "octave-change").text = str(-octaves)
    return transpose


def _usual_letters(half_steps: int) -> int:
    """Return how many letters an interval spans as it is usually named: 3 half steps a third."""
    octaves, rest = divmod(half_steps, 12)
    return 7 * octaves + round(rest * 7 / 12)


def _rest(written: Written, hidden: bool) -> Element:
    """Write a rest: of its value, or of a whole bar, however long that is."""
    printed = {"print-object": "no", "print-spacing": "yes"} if hidden else {}
    element = Element("note", printed)
    rest = SubElement(element, "rest")
    if written.fills_bar:
        rest.set("measure", "yes")
        _add_duration(element, written)
        return element
    _add_duration(element, written)
    _add_value(element, written)
    _add_notations(element, written)
    return element


def _note(written: Written, pitch: Pitch) -> Element:
    """Write a note with everything that stands at it."""
    colour = _colour(written.mark)
    element = Element("note", colour)
    _add_pitch(element, pitch, bool(written.accidental))
    _add_duration(element, written)
    for end in TIES[written.tie]:
        SubElement(element, "tie", type=end)
    _add_value(element, written)
    if colour:
        SubElement(element, "notehead", {"parentheses": "no", **colour}).text = "normal"
    for number, beam in enumerate(written.beams, 1):
        SubElement(element, "beam", number=str(number)).text = BEAMS[beam]
    _add_notations(element, written)
    for number, label in enumerate(written.labels, 1):
        if label:
            element.append(_lyric(label, number, written.mark))
    return element


def _add_pitch(element: Element, sounding: Pitch, signed: bool) -> None:
    """Add letter, alteration and octave; a natural with a sign says that it alters nothing."""
    pitch = SubElement(element, "pitch")
    SubElement(pitch, "step").text = sounding.note.letter
    if sounding.note.alteration or signed:
        SubElement(pitch, "alter").text = str(sounding.note.alteration)
    SubElement(pitch, "octave").text = str(sounding.octave)


def _add_duration(element: Element, written: Written) -> None:
    """Add how long a note or rest lasts."""
    SubElement(element, "duration").text = str(round(written.beats * DIVISIONS))


def _add_value(element: Element, written: Written) -> None:
    """Add note value, dots, the accidental if it is printed, and that three stand for two."""
    SubElement(element, "type").text = written.value.name
    for _ in range(written.value.dots):
        SubElement(element, "dot")
    if written.accidental and written.pitch is not None:
        bracket = {"parentheses": "yes"} if written.accidental == "courtesy" else {}
        sign = SIGNS[written.pitch.note.alteration]
        SubElement(element, "accidental", bracket).text = sign
    if written.triplet is not None:
        change = SubElement(element, "time-modification")
        SubElement(change, "actual-notes").text = "3"
        SubElement(change, "normal-notes").text = "2"
        SubElement(change, "normal-type").text = written.triplet.normal


def _add_notations(element: Element, written: Written) -> None:
    """Add the ties that are drawn, and where a triplet opens and closes."""
    drawn = [Element("tied", type=end) for end in TIES[written.tie]]
    if written.triplet is not None:
        drawn += _tuplet(written.triplet)
    if drawn:
        SubElement(element, "notations").extend(drawn)


def _tuplet(triplet: Triplet) -> Iterator[Element]:
    """Return where a triplet begins or ends; its beginning says what stands for what."""
    if triplet.closes:
        yield Element("tuplet", type="stop", number="1")
    elif triplet.opens:
        bracket = "yes" if triplet.bracket else "no"
        tuplet = Element("tuplet", type="start", number="1", bracket=bracket, placement="above")
        for side, count in (("actual", "3"), ("normal", "2")):
            group = SubElement(tuplet, f"tuplet-{side}")
            SubElement(group, "tuplet-number").text = count
            SubElement(group, "tuplet-type").text = triplet.normal
        yield tuplet


def _lyric(label: str, number: int, mark: str) -> Element:
    """Write one line of a label under a note."""
    colour = _colour(mark)
    lyric = Element("lyric", {"number": str(number), **colour})
    SubElement(lyric, "syllabic").text = "single"
    style = dict(NOTE_MARKS[mark].style) if mark else {}
    SubElement(lyric, "text", style | colour).text = label
    return lyric


def _colour(mark: str) -> dict[str, str]:
    """Return the colour of a marked note and its label; a plain one has none."""
    return {"color": NOTE_MARKS[mark].fill.upper()} if mark else {}


# === Several staves ===


def score_musicxml(
    staves: Sequence[tuple[str, StaffView]],
    *,
    title: str,
    part: str,
    rights: str = "",
    tempos: Sequence[float] = (),
    evens: Sequence[bool] = (),
) -> str:
    """Return staves with their titles as the text of one MusicXML file, bars numbered through.

    ``part`` is the name of the part, ``rights`` a line of licence, ``tempos`` the beats a minute,
    ``evens`` the staves with even eighths.

    >>> from theorykit.views.explorer_view import explore
    >>> both = [("in C", explore("C").staff), ("in F", explore("F").staff)]
    >>> text = score_musicxml(both, title="Two keys", part="Flute")
    >>> text.count("<measure"), text.count("<fifths>")
    (6, 2)
    """
    root = score_element(staves[0][1])
    root.remove(root[-1])
    _name(root, title, part, rights)
    joined = SubElement(root, "part", id="P1")
    paces = tempo_marks([view.time for _, view in staves], tempos, evens)
    for place, ((words, view), pace) in enumerate(zip(staves, paces, strict=True)):
        measures = list(score_element(view).iter("measure"))
        _begin(measures[0], words, pace, new_system=place > 0)
        if place + 1 < len(staves):
            for style in measures[-1].iter("bar-style"):
                style.text = "light-light"
        joined.extend(measures)
    for number, measure in enumerate(joined, 1):
        measure.set("number", str(number))
    ElementTree.indent(root)
    return HEADER + ElementTree.tostring(root, encoding="unicode") + "\n"


def _name(root: Element, title: str, part: str, rights: str) -> None:
    """Say what the whole is called, who reads it, and how it may be used."""
    _title(root, title)
    identification = root.find("identification")
    if rights and identification is not None:
        line = Element("rights")
        line.text = rights
        identification.insert(0, line)
    for name in root.iter("part-name"):
        name.attrib.clear()
        name.text = part


def _begin(measure: Element, words: str, pace: Element | None, *, new_system: bool) -> None:
    """Put a title and a tempo over a bar, and begin a line with it."""
    if new_system:
        measure.insert(0, Element("print", {"new-system": "yes"}))
    direction = Element("direction", placement="above")
    said = SubElement(SubElement(direction, "direction-type"), "words", {"font-weight": "bold"})
    said.text = words
    put_over(measure, [direction] if pace is None else [pace, direction])
