"""The door to the engraver: a score and options in, one picture out."""

import threading
from xml.etree import ElementTree

import pytest
from staves import staff

from theorykit.errors import TheoryError
from theorykit.show.engraving import musicxml
from theorykit.show.engraving.verovio_engine import engraved

SCORE = musicxml(staff("C5:4 D5:4 E5:4"))
ONE_LINE = {"adjustPageHeight": True, "adjustPageWidth": True, "breaks": "none"}


def count(picture: str, kind: str) -> int:
    """How many groups of a kind a picture has."""
    groups = ElementTree.fromstring(picture).iter("{http://www.w3.org/2000/svg}g")
    return sum(kind in group.get("class", "").split() for group in groups)


def test_the_picture_holds_what_the_score_says():
    picture = engraved(SCORE, ONE_LINE)
    assert [count(picture, kind) for kind in ("measure", "note", "system")] == [3, 3, 1]


def test_the_options_of_one_score_are_gone_for_the_next():
    plain = engraved(SCORE, {**ONE_LINE, "xmlIdSeed": 7})
    assert engraved(SCORE, {**ONE_LINE, "xmlIdSeed": 7, "scale": 30, "spacingLinear": 0.9}) != plain
    assert engraved(SCORE, {**ONE_LINE, "xmlIdSeed": 7}) == plain


@pytest.mark.parametrize("text", ["", "no score", "<score-partwise/>"])
def test_what_is_no_score_is_refused(text):
    with pytest.raises(TheoryError, match="want"):
        engraved(text, ONE_LINE)


def test_a_score_of_many_pages_is_refused():
    long = musicxml(staff("C5:4 " * 60, bars=60))
    with pytest.raises(TheoryError, match="pages"):
        engraved(long, {"breaks": "auto", "pageHeight": 400, "pageWidth": 900})


def test_another_thread_finds_the_fonts():
    found = []
    thread = threading.Thread(target=lambda: found.append(engraved(SCORE, ONE_LINE)))
    thread.start()
    thread.join()
    assert [count(picture, "note") for picture in found] == [3]
    assert "<use" in found[0]
