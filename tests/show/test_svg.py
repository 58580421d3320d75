"""Pictures that share a page."""

from xml.etree import ElementTree

from theorykit.show.svg import card, with_own_ids


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
