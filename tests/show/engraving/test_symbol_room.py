"""Chord symbols: none touches another one or a bar line, however narrow the bar is."""

import re
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import matplotlib as mpl
import pytest
from PIL import ImageFont
from together import together

from theorykit.lines.text import Line
from theorykit.notes.reader import reader
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


def narrowed(text) -> float:
    """Return how wide the letters of a symbol are set, beside their own width, from its left."""
    if "transform" not in text.attrib:
        return 1.0
    across, *_, moved, _ = map(float, text.attrib["transform"][len("matrix(") : -1].split())
    assert moved == pytest.approx(float(text.attrib["x"]) * (1 - across), rel=1e-4)
    return across


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
            sizes = [float(t.attrib["font-size"]) * narrowed(t) for t in texts]
            yield (
                [(x, x + wide(t.text, s)) for x, t, s in zip(starts, texts, sizes, strict=True)],
                (begins, ends),
            )
            begins = ends


@together("width", [200, 260, 340, 567])
@together("name", CASES)
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


@together("width", [200, 260, 340, 567])
@together("name", CASES)
def test_all_symbols_of_a_page_have_one_size_near_their_own(name: str, width: int):
    """None smaller than four fifths of what a page with room has, however narrow the bar is."""
    key, changes, text = CASES[name]
    over = Chart.of(key, *changes).progression
    line = Line.parse(text, over) if text else Line(over, ())
    (size,) = sizes(staff_svg(staff_of_line(line), width=width))
    assert 0.8 * 405 <= size <= 405


def sizes(picture: str) -> set[float]:
    """Return the sizes of the symbols of a picture."""
    symbols = re.findall(r'class="harm"[^>]*>\s*<text [^>]*font-size="([\d.]+)"', picture)
    return set(map(float, symbols))


@pytest.mark.parametrize("who", ["concert", "B flat", "guitar"])
@pytest.mark.parametrize("key", ["Db", "F", "B"])
def test_the_symbol_of_a_bar_of_rest_is_like_its_neighbours(key: str, who: str):
    """verovio sets it close to the bar line, at the left of the rest."""
    over = Chart.of("Db", "Ebm7", "Ab7", "Db6", "Db6", "Bm7 E7", "Amaj7").progression
    text = "8th F4 Gb4 Ab4 Bb4 half Db5 | C5 Ab4 | whole F4 | rest | half A4 B4 | whole C#5"
    view = staff_of_line(Line.parse(text, over).transposed(key), reader=reader(who))
    for width in (300, 400, 500, 600, 700, 800):
        assert sizes(staff_svg(view, width=width)) == {405}
