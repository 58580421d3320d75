"""A staff of many lines cut into a picture for each."""

import re
from dataclasses import replace
from io import BytesIO
from xml.etree import ElementTree

import numpy as np
import pytest
from PIL import Image
from staves import staff

from theorykit.show.engraving import line_count, staff_lines, staff_svg
from theorykit.show.pictures import for_paper
from theorykit.show.typesetting import page_fonts, typeset_pngs

SVG = "{http://www.w3.org/2000/svg}"
NOTES = "F4:1 A4:1 C5:1 E5:1 " * 8
CHORDS = [(4 * bar, symbol) for bar, symbol in enumerate("Dm7 G7 C6 A7 Ab7 Db7 Eb6 Bb7".split())]


@pytest.fixture(scope="module")
def whole() -> str:
    view = staff(NOTES, bars=8, chords=CHORDS, label="♭9")
    return staff_svg(view, width=500, bars_per_line=2)


def test_each_line_is_a_picture_with_its_own_bars_and_symbols(whole: str):
    lines = staff_lines(whole)
    assert line_count(whole) == len(lines) == 4
    for number, line in enumerate(lines):
        root = ElementTree.fromstring(line)
        assert line_count(line) == 1
        texts = ["".join(text.itertext()) for text in root.iter(f"{SVG}text")]
        symbols = [symbol for _, symbol in CHORDS[2 * number : 2 * number + 2]]
        assert [text for text in texts if text.replace("♭", "b") in symbols] == [
            symbol.replace("b", "♭") for symbol in symbols
        ]
        assert texts.count("♭9") == 8


def test_nothing_is_lost_and_nothing_is_cut(whole: str):
    """Each line lies inside its picture, which leaves the air between lines to the page."""
    lines = staff_lines(whole)
    heights = [float(re.search(r'viewBox="0 0 [\d.]+ ([\d.]+)"', one)[1]) - 28 for one in lines]
    everything = float(re.search(r'viewBox="0 0 [\d.]+ ([\d.]+)"', whole)[1]) - 28
    assert 0.8 * everything < sum(heights) < everything - 1
    for line in lines:
        scale = next(
            e
            for e in ElementTree.fromstring(line).iter(f"{SVG}svg")
            if e.get("class") == "definition-scale"
        )
        _, top, _, high = map(float, scale.attrib["viewBox"].split())
        places = [float(t.attrib["y"]) for t in scale.iter(f"{SVG}text")]
        paths = " ".join(path.attrib["d"] for path in scale.iter(f"{SVG}path"))
        places += [float(y) for _, y in re.findall(r"[ML]([\d.]+) ([\d.]+)", paths)]
        assert top < min(places)
        assert max(places) < top + high


@pytest.mark.parametrize("notes", ["F4:4 " * 4, "A5:1/2 B5:1/2 C6:1/2 D6:1/2 B4:2 " * 4])
@pytest.mark.parametrize("clef", ["treble", "bass"])
@pytest.mark.parametrize("large", [False, True])
def test_no_ink_of_a_line_is_cut(notes: str, clef: str, large: bool):
    """The tail of a treble clef hangs below the staff: as much ink alone as in the whole.

    Large letters make room over the first line, by which all lines stand lower. Their thin lines
    fall between two rows of points, and print a little darker or lighter alone.
    """
    view = replace(staff(notes, bars=4, chords=[(0, "Gm7")]), clef=clef)
    whole = staff_svg(view, width=500, bars_per_line=2, paper="none", large=large)
    lines = staff_lines(whole)
    assert sum(map(ink, lines)) == pytest.approx(ink(whole), rel=0.02 if large else 0.004)
    for line in lines:
        assert (drawn(line)[-1] > 200).all(), "ink at the lower edge"


def ink(picture: str) -> int:
    """Return how much of a picture is dark."""
    return int((255 - drawn(picture)).sum())


def drawn(picture: str) -> np.ndarray:
    """Return a picture as a page prints it, a row for each line of points, white as 255."""
    svg = for_paper(picture)[0]
    program = b"#set page(width: 500pt, height: auto, margin: 0pt)\n"
    program += b'#image(bytes(json(bytes(sys.inputs.page)).svg), format: "svg", width: 100%)'
    (page,) = typeset_pngs(program, {"svg": svg}, page_fonts(), dpi=300)
    return np.asarray(Image.open(BytesIO(page)).convert("L"), dtype=int)


def test_lines_share_no_ids_and_refer_to_their_own(whole: str):
    seen: set[str] = set()
    for line in staff_lines(whole):
        ids = set(re.findall(r'\bid="([^"]+)"', line))
        assert set(re.findall(r'href="#([^"]+)"', line)) <= ids
        assert not ids & seen
        seen |= ids


def test_the_words_for_the_ear_stand_with_the_first(whole: str):
    titles = [re.search(r"<title>(.*?)</title>", line)[1] for line in staff_lines(whole)]
    assert titles == ["A staff.", *(f"Line {n} of 4 of the staff above." for n in (2, 3, 4))]


def test_a_single_line_is_left_as_it_is():
    one = staff_svg(staff("F4:4"), width=700, bars_per_line=3)
    assert staff_lines(one) == (one,)
