"""Lead sheets as MusicXML 4.0: the written bars with chords, repeats, endings, sections, melody."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from theorykit.errors import TheoryError, shown
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.notes.instruments import READERS, Reader
from theorykit.show.musicxml import HEADER, score_element
from theorykit.show.saving import file_at, write_file
from theorykit.tunes.charts import Chart
from theorykit.views.staves import StaffView, bar_marks, staff_of_line

__all__ = ["lead_sheet_view", "lead_sheet_xml", "save_lead_sheet"]

MIDDLES = {(False, False): "single", (False, True): "begin", (True, True): "middle"}


def lead_sheet_view(sheet: LeadSheet, *, reader: Reader = READERS[0]) -> StaffView:
    """Return the staff of a lead sheet: every written bar once, the verses under the notes."""
    view = staff_of_line(sheet.written, labels=sheet.words, reader=reader)
    metre = sheet.chart.metre
    return replace(view, marks=bar_marks(sheet.chart), time=(metre.count, metre.unit))


def lead_sheet_xml(sheet: LeadSheet | Chart, *, reader: Reader = READERS[0]) -> str:
    """Return a lead sheet, or a chart alone, as the text of a MusicXML 4.0 file.

    >>> text = lead_sheet_xml(Chart.parse("title: Two Chairs\\n\\nA: |: Gm7 | C7 :| F6 |"))
    >>> [tag in text for tag in ("<rehearsal>A<", 'direction="backward"', ">Two Chairs<")]
    [True, True, True]
    """
    whole = LeadSheet(sheet) if isinstance(sheet, Chart) else sheet
    root = score_element(lead_sheet_view(whole, reader=reader))
    _name(root, whole.chart)
    _hyphenate(root)
    first = next(measure for measure in root.iter("measure"))
    at = next(place for place, part in enumerate(first) if part.tag == "attributes") + 1
    for direction in reversed(list(_directions(whole.chart))):
        first.insert(at, direction)
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
    """Return feel and tempo as they stand over the first bar."""
    if chart.feel:
        direction = Element("direction", placement="above")
        SubElement(SubElement(direction, "direction-type"), "words").text = chart.feel
        yield direction
    if chart.tempo is not None:
        direction = Element("direction", placement="above")
        mark = SubElement(SubElement(direction, "direction-type"), "metronome")
        SubElement(mark, "beat-unit").text = "quarter"
        if chart.metre.quarters.denominator > 1:
            SubElement(mark, "beat-unit-dot")
        SubElement(mark, "per-minute").text = str(chart.tempo)
        SubElement(direction, "sound", tempo=f"{float(chart.tempo * chart.metre.quarters):g}")
        yield direction


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
