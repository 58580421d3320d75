"""Fingerboards on handouts: whose page has one in the place of the keyboard."""

from __future__ import annotations

import pytest

from theorykit import TheoryError
from theorykit.handout.blocks import sections_of
from theorykit.handout.blocks.colour_block import ColourBlock
from theorykit.handout.front import SIZES
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import Picture
from theorykit.notes.reader import READERS


def told(block: ColourBlock, engraver: Engraver) -> list[str]:
    """How the pictures of a block begin in words."""
    (section,) = sections_of([block], engraver)
    return [piece.alt.split()[0] for piece in section.pieces if isinstance(piece, Picture)]


@pytest.mark.parametrize(
    ("wish", "boards"),
    [("guitar", {"guitar"}), ("guitar and bass", {"guitar", "bass clef"}), ("none", set())],
)
def test_a_reader_has_a_keyboard_or_a_fingerboard(wish, boards):
    block = ColourBlock(colour="b9 13", key="Db", fingerboard=wish, show=("keyboard",))
    for who in READERS:
        wanted = "Fingerboard" if who.name in boards else "Keyboard:"
        assert told(block, Engraver(who)) == [wanted]


@pytest.mark.parametrize("size", SIZES)
def test_a_fingerboard_is_no_wider_than_the_page(size):
    guitar = next(who for who in READERS if who.name == "guitar")
    for colour in ("b9 13", "altered", "#9"):
        block = ColourBlock(colour=colour, key="F#", show=("keyboard",))
        (section,) = sections_of([block], Engraver(guitar, size))
        found = [piece for piece in section.pieces if isinstance(piece, Picture)]
        boards = "".join(one.svg for one in found).count(">frets ")
        assert len(found) == (1 if size == "normal" else -(-boards // 2))
        least = 0.5 if size == "normal" else 0.4  # of two boards, and of one that is left
        assert all(least < picture.width <= 1 for picture in found)


def test_without_the_keyboard_there_is_no_fingerboard():
    block = ColourBlock(colour="b9", key="C", show=("notes",))
    assert told(block, Engraver(next(who for who in READERS if who.name == "guitar"))) == []


def test_another_wish_is_refused():
    with pytest.raises(TheoryError, match="fingerboard"):
        ColourBlock(colour="b9", key="C", fingerboard="ukulele")
