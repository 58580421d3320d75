"""Chord symbols: none touches another one or a bar line, however narrow the bar is."""

import re
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import matplotlib as mpl
import pytest
from PIL import ImageFont

from theorykit.lines.text import Line
from theorykit.show.engraving import staff_svg
from theorykit.tunes.charts import Chart
from theorykit.views.staves import staff_of_line

SVG = "{http://www.w3.org/2000/svg}"
FONT = Path(mpl.get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf"
CASES = {
    "two in a bar": ("Eb", ("Fm7 Bb7b9", "Ebmaj7"), "half F4 D5 | whole Eb5"),
    "four in a bar": ("Db", ("Dbmaj7 Bb7#9b13 Ebm7b5 Ab7b9b13", "Dbmaj7"), ""),
    "the last beat": (
        "F#",
        ("G#m7 / / C#7b9b13", "F#maj7#11 / / C#7b9"),
        "quarter F#4 dotted half rest | whole A4",
    ),
    "eighths": ("Bb minor", ("Cm7b5 F7b9b13", "Bbm6"), "8th C5 Bb4 Gb4 Eb4 A4 C5 Eb5 Gb5"),
}


def wide(text: str, size: float) -> float:
    """Return how wide a text is in the font in which pages print it, by the font's own metrics."""
    return ImageFont.truetype(str(FONT), 1000).getlength(text) * size / 1000


def bars(picture: str):
    """Yield for each bar where its symbols stand, from and to, and where it begins and ends."""
    root = ElementTree.fromstring(picture)
    for system in (g for g in root.iter(f"{SVG}g") if g.get("class") == "system"):
        begins = 0.0
        for measure in (g for g in system if g.get("class") == "measure"):
            texts = [
                text
                for group in measure.iter(f"{SVG}g")
                if group.get("class") == "harm"
                for text in group.iter(f"{SVG}text")
            ]
            (staff,) = (g for g in measure if g.get("class") == "staff")
            lines = [p.attrib["d"] for p in staff if p.tag == f"{SVG}path"]
            ends = max(float(re.search(r"L([\d.]+) ", line)[1]) for line in lines)
            starts = [float(text.attrib["x"]) for text in texts]
            sizes = [float(text.attrib["font-size"]) for text in texts]
            yield (
                [(x, x + wide(t.text, s)) for x, t, s in zip(starts, texts, sizes, strict=True)],
                (begins, ends),
            )
            begins = ends


@pytest.mark.parametrize("width", [200, 260, 340, 567])
@pytest.mark.parametrize("name", CASES)
def test_no_symbol_touches_another_or_a_bar_line(name: str, width: int):
    key, changes, text = CASES[name]
    over = Chart.of(key, *changes).progression
    line = Line.parse(text, over) if text else Line(over, ())
    count = 0
    for spans, (begins, ends) in bars(staff_svg(staff_of_line(line), width=width)):
        for before, after in pairwise(spans):
            assert before[1] < after[0]
        for left, right in spans:
            assert begins < left
            assert right < ends
            count += 1
    assert count == len(over.chords)


def test_a_symbol_with_room_stays_where_its_beat_is_and_as_large():
    over = Chart.of("C", "Dm7", "G7").progression
    found = staff_svg(staff_of_line(Line(over, ())), width=567)
    assert set(re.findall(r'font-size="([\d.]+)">(?:Dm7|G7)<', found)) == {"405"}
