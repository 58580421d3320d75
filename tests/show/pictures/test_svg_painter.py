"""Pictures that share a page, and pictures for printed pages."""

import io
from xml.etree import ElementTree

import pypdf
import pytest
from matplotlib.image import imread

from theorykit.show.engraving import staff_svg
from theorykit.show.pictures import card, for_paper, with_own_ids
from theorykit.show.pictures.svg_painter import BOOK_FACE, PLAIN_FACE
from theorykit.show.typesetting import page_fonts, typeset_pdf, typeset_pngs
from theorykit.views.explorer_view import explore

SVG = "{http://www.w3.org/2000/svg}"


def parse(text: str) -> ElementTree.Element:
    return ElementTree.fromstring(text)


def test_ids_that_are_referred_to_are_renamed_together_and_others_go():
    source = (
        '<svg id="top"><defs><g id="a1"/><clipPath id="c.2"/></defs>'
        '<use href="#a1" fill="#aa0011"/><g clip-path="url(#c.2)" id="loose"/></svg>'
    )
    one, two = with_own_ids(parse(source)), with_own_ids(parse(source))
    for root in (one, two):
        glyph, clip = root[0][0].get("id"), root[0][1].get("id")
        assert root[1].get("href") == f"#{glyph}"
        assert root[2].get("clip-path") == f"url(#{clip})"
        assert root[1].get("fill") == "#aa0011"
        assert root.get("id") is None
        assert root[2].get("id") is None
    assert one[0][0].get("id") != two[0][0].get("id")


def test_a_reference_to_nothing_stays():
    assert with_own_ids(parse('<svg><use href="#gone"/></svg>'))[0].get("href")[0] == "#"


def test_alternative_text_is_text():
    alt = 'G7 & "E" <b>'
    root = parse(card("<g/>", 10, 20, alt))
    assert root.get("aria-label") == alt
    assert root.findtext("{http://www.w3.org/2000/svg}title") == alt


def test_a_card_is_larger_than_what_it_holds_and_shrinks_with_the_page():
    root = parse(card("<g/>", 100, 50, ""))
    width, height = float(root.get("width")), float(root.get("height"))
    assert width - 100 == height - 50 > 0
    assert root.get("viewBox") == f"0 0 {width:g} {height:g}"
    assert "max-width:100%" in root.get("style")


def test_the_paper_can_be_left_out():
    rect = "{http://www.w3.org/2000/svg}rect"
    assert parse(card("<g/>", 10, 20, "", paper="none")).find(rect).get("fill") == "none"


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


def test_flats_and_sharps_are_as_heavy_as_the_bold_words_around_them():
    """The bold cut of DejaVu Sans has the thin signs of the light one; degrees that are plain stay.

    The line has the colour of the note.
    """
    cut, _, _ = for_paper(staff_svg(explore("Db", "long", "b9 #11").staff, paper="none"))
    labels = [text for text in parse(cut).iter(f"{SVG}text") if not text.get("font-family")]
    signs = [(text, span) for text in labels for span in text.iter(f"{SVG}tspan")]
    assert {"".join(text.itertext()) for text, _ in signs} == {"♭9", "♯11"}
    for text in labels:
        has_sign = not {"♭", "♯"}.isdisjoint("".join(text.itertext()))
        assert (len(text) > 0) == (has_sign and text.get("font-weight") == "bold")
    assert {span.get("stroke") for _, span in signs} == {"currentColor"}


PAGE = b"""#set document(title: "A sign")
#set page(width: 60pt, height: 40pt, margin: 0pt)
#image(bytes(json(bytes(sys.inputs.page)).svg), format: "svg", width: 100%, alt: "A sign")"""


@pytest.mark.parametrize("sign", "♭♯♮")
def test_a_bold_sign_has_more_ink_on_paper_and_stays_text(sign: str):
    def on_paper(weight: str) -> dict[str, str]:
        text = f'<text x="9" y="30" font-size="30"{weight} fill="#1a1a1a">{sign}</text>'
        return {"svg": for_paper(card(text, 60, 40, "A sign", paper="none"))[0]}

    light, bold = (
        float((1 - imread(io.BytesIO(png))[..., :3]).sum())
        for weight in ("", ' font-weight="bold"')
        for png in typeset_pngs(PAGE, on_paper(weight), page_fonts(), dpi=96)
    )
    assert bold > 1.25 * light
    printed = typeset_pdf(PAGE, on_paper(' font-weight="bold"'), page_fonts())
    assert pypdf.PdfReader(io.BytesIO(printed)).pages[0].extract_text().strip() == sign
