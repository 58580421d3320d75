"""Pictures for printed pages."""

from xml.etree import ElementTree

import pytest

from theorykit.show.paper import BOOK_FACE, PLAIN_FACE, for_paper
from theorykit.show.staff import staff_svg
from theorykit.show.svg import card
from theorykit.views.explorer_view import explore

SVG = "{http://www.w3.org/2000/svg}"


def test_a_card_for_paper_stands_flush_and_keeps_its_words():
    picture = card('<text x="0" y="10" font-size="10">G7</text>', 120, 40, "A chord", paper="none")
    cut, width, height = for_paper(picture, hang=8)
    root = ElementTree.fromstring(cut)
    assert (width, height) == (128, 40)
    assert root.get("viewBox") == "6 14 128 40"
    assert root.get("aria-label") == "A chord"
    assert root.get("font-family") == PLAIN_FACE
    assert [text.text for text in root.iter(f"{SVG}text")] == ["G7"]


def test_what_is_no_card_is_refused():
    with pytest.raises(ValueError, match="not a card"):
        for_paper("<svg/>")


def test_chord_symbols_are_set_in_the_book_face_and_degrees_in_the_plain_one():
    cut, _, _ = for_paper(staff_svg(explore("Db", "long", "b9 13").staff, paper="none"))
    root = ElementTree.fromstring(cut)
    texts = ["".join(text.itertext()) for text in root.iter(f"{SVG}text")]
    book = [t for t in root.iter(f"{SVG}text") if t.get("font-family") == BOOK_FACE]
    assert ["".join(text.itertext()) for text in book] == ["E♭m7", "A♭7", "D♭maj7"]
    assert {"♭9", "13"} <= set(texts)
    signs = {span.text for text in book for span in text.iter(f"{SVG}tspan")}
    assert signs == {"♭"}
