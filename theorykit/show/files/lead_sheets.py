"""Lead sheets as MusicXML files, read and written: charts with the melody over their bars.

Files from outside are looked over first (``files.untrusted``). What a chart has no place for is
told in the report of the lead sheet, not dropped in silence.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from os import PathLike
from pathlib import Path
from tempfile import TemporaryDirectory
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from theorykit.errors import TheoryError, shown
from theorykit.lines.band import written_swing
from theorykit.lines.chorus import straight
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.lines.text import TimedNote
from theorykit.notes.note import Note
from theorykit.notes.reader import READERS, Reader
from theorykit.show.engraving import HEADER, put_over, score_element, tempo_mark
from theorykit.show.files.line_file import writable
from theorykit.show.files.saving import file_at, write_file
from theorykit.show.files.score_file import (
    notes_of,
    part_taken,
    tempo_of,
    title_of,
    told_of,
)
from theorykit.show.files.score_notes import measures_of, written_c
from theorykit.show.files.score_parts import (
    ScorePart,
    chords_of,
    melody_part,
    parts_of,
    symbols_beside,
    unread_times,
)
from theorykit.show.files.sheet_bars import SheetBar, sheet_bars
from theorykit.show.files.sheet_chart import (
    chart_bars,
    chart_sections,
    first_is_pickup,
    fitted_bars,
    key_at,
    sheet_key,
)
from theorykit.show.files.sheet_words import feel_of, left_out, syllables
from theorykit.show.files.untrusted import Score, look_over
from theorykit.tunes.bars import Metre, in_order
from theorykit.tunes.charts import TEMPI, Chart, played_chords
from theorykit.views.staves import lead_sheet_staff

MIDDLES = {(False, False): "single", (False, True): "begin", (True, True): "middle"}


def lead_sheet_xml(sheet: LeadSheet | Chart, *, reader: Reader = READERS[0]) -> str:
    """Return a lead sheet, or a chart alone, as the text of a MusicXML 4.0 file.

    >>> text = lead_sheet_xml(Chart.parse("title: Wet Gloves\\n\\nA: |: Gm7 | C7 :| F6 |"))
    >>> [tag in text for tag in ("<rehearsal>A<", 'direction="backward"', ">Wet Gloves<")]
    [True, True, True]
    """
    whole = LeadSheet(sheet) if isinstance(sheet, Chart) else sheet
    root = score_element(writable(lead_sheet_staff(whole, reader=reader)))
    _name(root, whole.chart)
    _hyphenate(root)
    put_over(root[-1][0], list(_directions(whole.chart)))
    ElementTree.indent(root)
    return HEADER + ElementTree.tostring(root, encoding="unicode") + "\n"


def save_lead_sheet(
    sheet: LeadSheet | Chart,
    path: str | Path,
    *,
    replace: bool = False,
    reader: Reader = READERS[0],
) -> Path:
    """Write a lead sheet to a file, MusicXML or (``.txt``) the chart as text; return its path.

    A file that is there is left as it is unless ``replace`` is true.
    """
    file = file_at(str(path), ".musicxml")
    kind = file.suffix.lower()
    if kind == ".txt":
        text = str(sheet if isinstance(sheet, Chart) else sheet.chart)
    elif kind in (".musicxml", ".xml"):
        text = lead_sheet_xml(sheet, reader=reader)
    else:
        raise TheoryError(f"no such kind of file: {shown(kind)} (want .musicxml, .xml or .txt)")
    write_file(file, text.encode(), replace=replace)
    return file


def _name(root: Element, chart: Chart) -> None:
    """Write title and author."""
    if chart.title:
        work = Element("work")
        SubElement(work, "work-title").text = chart.title
        root.insert(0, work)
    identification = root.find("identification")
    if chart.by and identification is not None:
        creator = Element("creator", type="composer")
        creator.text = chart.by
        identification.insert(0, creator)


def _directions(chart: Chart) -> Iterator[Element]:
    """Return feel and tempo as they stand over the first bar; the feel says how it is swung."""
    if chart.feel:
        direction = Element("direction", placement="above")
        SubElement(SubElement(direction, "direction-type"), "words").text = chart.feel
        yield direction
    if chart.tempo is not None:
        quarters = float(chart.tempo * chart.metre.quarters)
        even = 1.0 if straight(chart.feel) else None
        swings = bool(chart.feel) and chart.metre.quarters == 1
        yield tempo_mark(
            quarters,
            dotted=chart.metre.quarters.denominator > 1,
            swing=written_swing(quarters, even) if swings else None,
        )


def _hyphenate(root: Element) -> None:
    """Say of each syllable whether its word goes on, in place of the hyphen that says so."""
    goes_on: dict[str, bool] = {}
    for lyric in root.iter("lyric"):
        verse = lyric.get("number", "1")
        text, syllabic = lyric.find("text"), lyric.find("syllabic")
        if text is None or syllabic is None:
            continue
        said = text.text or ""
        more = said.endswith("-") and len(said) > 1
        text.text = said[:-1] if more else said
        syllabic.text = MIDDLES.get((goes_on.get(verse, False), more), "end")
        goes_on[verse] = more


# === Reading ===

LEAD_SHEET_FILES = (".musicxml", ".xml", ".mxl", ".txt")
LARGEST_TEXT = 4_000_000  # bytes of a typed chart
LONGEST_NAME = 200
C = Note("C")
_ODD = re.compile(r"[^\w. ()-]|^\.+")


def open_lead_sheet(path: str | PathLike[str]) -> LeadSheet:
    """Return the lead sheet in a MusicXML file, or the chart in a text file.

    The chart is at sounding pitch. Chord symbols, sections, repeats, endings, jumps, metre, tempo
    and the melody with its words are kept; the report says what is not.
    """
    file = Path(path)
    if file.suffix.lower() == ".txt":
        return LeadSheet(Chart.parse(_text(file)))
    found = look_over(file)
    if not isinstance(found, Score):
        raise TheoryError(f"{file.name} is no lead sheet (want MusicXML, or a chart as text)")
    return _lead_sheet(found)


def lead_sheet_of_bytes(name: str, content: bytes) -> LeadSheet:
    """Return the lead sheet in a file that came as bytes; its name tells a text by ``.txt``.

    >>> sheet = lead_sheet_of_bytes("two.txt", b"| Dm7 G7 | C6 |")
    >>> len(sheet.chart.bars), sheet.report
    (2, ())
    """
    with TemporaryDirectory() as folder:
        file = Path(folder) / (_ODD.sub("_", name)[-60:] or "file")
        file.write_bytes(content)
        return open_lead_sheet(file)


def _text(file: Path) -> str:
    """Read a typed chart."""
    try:
        if file.stat().st_size > LARGEST_TEXT:
            raise TheoryError(f"{file.name} is too large for a chart (want {LARGEST_TEXT:,} bytes)")
        return file.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise TheoryError(f"{file.name} is no text (want a typed chart, as UTF-8)") from None
    except OSError as wrong:
        raise TheoryError(f"cannot read {shown(str(file))}: {wrong.strerror}") from None


def _lead_sheet(score: Score) -> LeadSheet:
    """Read a score."""
    parts = parts_of(score.root)
    chosen = _part(parts)
    report = part_taken(chosen, parts, None)
    source = chosen if chosen.symbols else max(parts, key=lambda part: part.symbols)
    symbols, problems = chords_of(source.element)
    report += told_of(problems) + symbols_beside(parts, source) + unread_times(source.element)
    if not symbols:
        report.append("The file has no chord symbols; the chart says N.C.")
    written = sheet_bars(source.element, symbols)
    if not written:
        raise TheoryError("no music in this file: no bar (want a lead sheet)")
    pickup = first_is_pickup(written)
    if pickup:
        written[1].marks = in_order((*written[0].marks, *written[1].marks))
    fitted = fitted_bars(written[pickup:], report)
    feel = feel_of(written[: 1 + pickup], own=is_own(score.root))
    chart = replace(_chart(score.root, source, fitted, report), feel=feel)
    starts = _starts(fitted, written[0].beats if pickup else Fraction(0))
    melody = _melody(chosen, starts, chart, report)
    words = syllables(chosen.element, starts, melody, report)
    report += left_out(written, chosen.element, chart.feel)
    if chart.tempo is None and tempo_of(score.root) is not None:
        low, high = TEMPI
        report.append(f"The tempo is left out (want {low} to {high} beats a minute).")
    return LeadSheet(chart, melody, words, tuple(report))


def _part(parts: Sequence[ScorePart]) -> ScorePart:
    """Return the part of the melody, or the one with chord symbols where there is no note."""
    if not parts:
        raise TheoryError("no music in this file: no part (want a lead sheet)")
    if any(part.notes for part in parts):
        return melody_part(parts)
    return max(parts, key=lambda part: part.symbols)


def _chart(
    root: Element, source: ScorePart, fitted: Sequence[SheetBar], report: list[str]
) -> Chart:
    """Return the chart at sounding pitch."""
    bars = chart_bars(fitted, report)
    sounding = written_c(source.element)
    key = sheet_key(source.element, [(p.chord, p.beats) for p in played_chords(bars)], report)
    sections = chart_sections(bars, [bar.section for bar in fitted], report)
    chart = Chart(sections, key, title_of(root), _by(root), _tempo(root, bars[0].metre))
    if sounding == C:
        return chart
    home = key_at(key.tonic.moved(C, sounding), key.mode)
    return chart.mapped(lambda chord: chord.transposed(C, sounding, home.notes), key=home)


def is_own(root: Element) -> bool:
    """Tell whether we wrote a file ourselves."""
    return root.findtext("identification/encoding/software") == "theorykit"


def _by(root: Element) -> str:
    """Return who wrote the music, and the words where that is somebody else."""
    names = {
        creator.get("type", "composer"): " ".join((creator.text or "").split())
        for creator in root.findall("identification/creator")
    }
    music = names.pop("composer", "")
    others = [f"{role} {name}" for role, name in names.items() if name and name != music]
    return "; ".join(filter(None, [music, *others]))[:LONGEST_NAME]


def _tempo(root: Element, metre: Metre) -> int | None:
    """Return the tempo in beats of the metre, if the file states one that a chart can have."""
    quarters = tempo_of(root)
    low, high = TEMPI
    beats = round(quarters / float(metre.quarters)) if quarters is not None else 0
    return beats if low <= beats <= high else None


def _starts(fitted: Sequence[SheetBar], pickup: Fraction) -> dict[int, Fraction]:
    """Return where each measure of the file, by number from 1, begins along the written bars."""
    starts = {1: -pickup} if pickup else {}
    here = Fraction(0)
    for bar in fitted:
        starts |= {number: here + place for number, place in bar.parts}
        here += bar.whole
    return starts


def _melody(
    chosen: ScorePart,
    starts: Mapping[int, Fraction],
    chart: Chart,
    report: list[str],
) -> tuple[TimedNote, ...]:
    """Return the notes over the written bars; what stands after the last bar is cut."""
    if not chosen.notes:
        return ()
    measures, _ = measures_of(chosen)
    placed = [
        replace(measure, start=starts[number])
        for number, measure in enumerate(measures, 1)
        if number in starts
    ]
    end = sum((bar.metre.beats * bar.metre.quarters for bar in chart.bars), Fraction(0))
    notes = (note for note in notes_of(placed, report) if note.start < end)
    return tuple(replace(note, beats=min(note.beats, end - note.start)) for note in notes)
