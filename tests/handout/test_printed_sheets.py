"""Thirty random sheets in every edition, as they are printed: everything is read from the PDF."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import chain
from pathlib import Path
from xml.etree import ElementTree

import pytest
from boxes import Box, covered, crossed, drawn, letters, systems, unmarked
from random_sheets import SHEETS, assert_fits_without_what_is_named, random_sheet, turns
from sheets import MILLIMETRE, fonts, needs_poppler, read, tags, words_of
from sweeps import swept

from theorykit.handout import EVERYONE, Edition, Handout
from theorykit.handout.fitting import Fitted, fitted
from theorykit.handout.front import PAPERS
from theorykit.handout.page import page_pdf
from theorykit.handout.pieces import Ask, Beside, Lead, Para, Picture, Piece, StaffLabel, Table
from theorykit.show.typesetting import page_fonts, typeset_pdf

LINE = 0.6  # points, of a line of a staff
FREE = 8 * MILLIMETRE  # at the edges, for printers (common practice)
SVG = "{http://www.w3.org/2000/svg}"
TRIED = (5, 22)  # a pickup for B flat, and large print
TURNS = swept(turns(), [turns()[place] for place in TRIED].__contains__)


def printed(number: int, edition: Edition) -> tuple[Handout, Fitted, bytes]:
    """Return a sheet, what was chosen for an edition of it, and its pages."""
    handout = random_sheet(number)
    one = fitted(handout, handout.blocks, edition)
    return handout, one, page_pdf(handout, one.sections, edition, one.setting, told=one.told)


def test_every_sheet_and_every_edition_has_its_turn():
    assert {number for number, _ in turns()} == set(range(SHEETS))
    assert {edition for _, edition in turns()} == set(EVERYONE)


HEAD = b'#set document(title: "x")\n#set page(width: 200pt, height: 100pt)\n'
RULE = b"Over G7#place(dy: -%dpt, line(length: 60pt, stroke: 0.4pt + luma(55%%)))"
STAFF = b"#for y in range(%d) { place(dy: y * 5pt, line(length: 90pt, stroke: 0.5pt)) }"


def test_what_is_looked_for_is_found():
    """A grey rule through letters and one below them, a word on a word, four lines and five."""

    def page(program: bytes) -> bytes:
        return typeset_pdf(HEAD + program, {}, page_fonts())

    assert list(chain(*crossed(page(RULE % 12)))) == []
    assert set("Over") <= set(chain(*crossed(page(RULE % 3))))
    assert covered(letters(page(b"Over G7"))[0]) == []
    assert covered(letters(page(b"Over G7#place(dx: 1pt, dy: -8pt)[Over]"))[0]) != []
    assert systems(page(STAFF % 4)) == []
    (found,) = systems(page(STAFF % 5))
    assert found.width == pytest.approx(90, abs=1)
    assert found.height == pytest.approx(20, abs=1)


@needs_poppler
@pytest.mark.parametrize(("number", "edition"), TURNS, ids=str)
def test_a_random_sheet_is_handed_out_as_it_is(number: int, edition: Edition, tmp_path: Path):
    """Within its target, nothing over another thing or off the page, complete, tagged."""
    handout, one, data = printed(number, edition)
    is_long = len(read(data).pages) > edition.longest(handout.fits)
    assert is_long == bool(one.told)
    if one.told:
        assert_fits_without_what_is_named(handout, one.told, edition)
    assert_boxes_are_apart(data, edition)
    assert_music_is_filled_alike(one, data, edition)
    assert_text_is_complete(one, data, edition, tmp_path)
    assert_screen_readers_can_read(one, data, edition)


def assert_boxes_are_apart(data: bytes, edition: Edition) -> None:
    """No letter on another or crossed by a line; nothing near the edge."""
    wide, high = (side * MILLIMETRE for side in PAPERS[edition.paper])
    for shapes, texts in zip(drawn(data), letters(data), strict=True):
        page = [*shapes, *(one.box for one in texts)]
        assert min(one.left for one in page) > FREE
        assert min(one.top for one in page) > FREE
        assert max(one.right for one in page) < wide - FREE
        assert max(one.bottom for one in page) < high - FREE
    assert [pair for page in letters(data) for pair in covered(page)] == []
    assert list(chain(*crossed(data))) == []


def assert_music_is_filled_alike(one: Fitted, data: bytes, edition: Edition) -> None:
    """All music is there, 6 to 7 mm high, and the lines of a block are filled within 15 %."""
    there = iter(systems(data))
    for section in one.sections:
        bars = [count for picture in pictures(section.pieces) for count in bars_of(picture)]
        found = [next(there) for _ in bars]
        if not found:
            continue
        assert_sizes(found, edition)
        widths = [box.width for box, count in zip(found, bars, strict=True) if count > 1]
        assert not widths or min(widths) > 0.85 * max(widths)
    assert list(there) == []


def assert_sizes(found: Sequence[Box], edition: Edition) -> None:
    """The staves of a block are alike, and as high as parts on a stand are."""
    heights = [(box.height / edition.factor - LINE) / MILLIMETRE for box in found]
    assert max(heights) - min(heights) < 0.1
    assert 6.0 <= min(heights) <= max(heights) <= 7.0


def assert_text_is_complete(one: Fitted, data: bytes, edition: Edition, folder: Path) -> None:
    """Every word stands on the page as a word of its own: no symbol touches the next one."""
    found = Counter(
        word for page in words_of(data, folder) for one in page for word in words(one.text)
    )
    wanted = Counter(
        word
        for section in one.sections
        for text in texts_of(section.pieces)
        for word in words(text)
    )
    assert wanted - found == Counter()


def assert_screen_readers_can_read(one: Fitted, data: bytes, edition: Edition) -> None:
    """Fonts are inside; the file says it is PDF/UA-1, and everything in it is marked."""
    found = fonts(data)
    assert found
    assert all(found.values())
    root = read(data).trailer["/Root"]
    assert b"<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_data()
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert unmarked(data) == 0
    figures = [alt for kind, alt in tags(data) if kind == "/Figure"]
    assert figures == [p.alt for section in one.sections for p in pictures(section.pieces)]


# What is wanted on the page.


def flat(pieces: Sequence[Piece]) -> Iterator[Piece]:
    """Run through pieces, those side by side too."""
    for piece in pieces:
        if isinstance(piece, Beside):
            yield from flat((*piece.left, *piece.right))
        else:
            yield piece


def pictures(pieces: Sequence[Piece]) -> list[Picture]:
    """Return the pictures among pieces."""
    return [piece for piece in flat(pieces) if isinstance(piece, Picture)]


def bars_of(picture: Picture) -> list[int]:
    """Return how many bars each line of music of a picture has."""
    return [system.count('class="measure"') for system in picture.svg.split('class="system"')[1:]]


def texts_of(pieces: Sequence[Piece]) -> Iterator[str]:
    """Run through all texts of pieces, those inside pictures too."""
    for piece in flat(pieces):
        if isinstance(piece, Lead | Para | StaffLabel):
            yield piece.text
        elif isinstance(piece, Table):
            yield from (cell for row in (piece.heads, *piece.rows) for cell in row)
        elif isinstance(piece, Ask):
            yield piece.question
        elif isinstance(piece, Picture):
            yield from svg_texts(piece.svg)


def svg_texts(svg: str) -> Iterator[str]:
    """Run through the texts of a picture."""
    for one in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        yield "".join(one.itertext())


def words(text: str) -> list[str]:
    """Return the words of a text; a flat or sharp is one of its own, as it is set in another size.

    A line may end after a hyphen, and what only the setting of lines brings is no part of a word.
    """
    return re.findall(r"[♭♯-]|[^♭♯\s-]+", re.sub("[\u200b\u00ad\u2060]", "", text))
