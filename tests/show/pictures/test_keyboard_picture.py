"""Keyboards: the geometry, and what stands on the keys."""

import io
import warnings
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given, strategies as st
from matplotlib.figure import Figure

from theorykit.show.pictures import NOTE_MARKS, keys_and_legend, picture_axes, picture_svg
from theorykit.show.pictures.keyboard_picture import RADIUS, keyboard_picture
from theorykit.show.pictures.marks import Box, Label, Marker, outline
from theorykit.views.keyboard import KeyboardView, LitKey, is_white, keyboard_range

SVG = "{http://www.w3.org/2000/svg}"

# G7 and over it E, with the flat 9 spelled by function.
LIT = (
    LitKey(55, "G", "1", "chord"),
    LitKey(59, "B", "3", "chord"),
    LitKey(68, "A♭", "♭9", "colour", True),
    LitKey(71, "B", "3", "chord", True),
    LitKey(76, "E", "13", "colour", True),
    LitKey(73, "D♭", "♯11", "outside"),
)
VIEW = KeyboardView(53, 76, LIT, "G7, and above it an E triad.")


def marks(picture, kind):
    """The marks of one kind."""
    return [mark for mark in picture.marks if isinstance(mark, kind)]


def test_keys_have_the_proportions_of_a_piano():
    """An octave is 164 to 165 mm wide (common practice), black keys narrower and shorter."""
    layout = keyboard_picture(KeyboardView(60, 71, (), ""))
    whites = [box for box in marks(layout, Box) if box.fill == "#ffffff"]
    blacks = [box for box in marks(layout, Box) if box.fill != "#ffffff"]
    assert (len(whites), len(blacks)) == (7, 5)
    assert 164 <= layout.width <= 165
    assert {round(b.width / whites[0].width, 2) for b in blacks} == {0.58}
    assert {round(b.height / whites[0].height, 2) for b in blacks} == {0.63}


def test_black_keys_stand_between_their_neighbours_in_groups_of_two_and_three():
    boxes = {
        round(box.x, 3): box for box in marks(keyboard_picture(KeyboardView(60, 71, (), "")), Box)
    }
    middles = [x + box.width / 2 for x, box in sorted(boxes.items()) if box.fill != "#ffffff"]
    gaps = [round(two - one, 2) for one, two in pairwise(middles)]
    assert gaps[1] == max(gaps)  # from D sharp to F sharp
    assert all(box.width / 23.5 < 0.6 for box in boxes.values() if box.fill != "#ffffff")
    # C sharp leans left, D sharp right, G sharp stands in the middle of its group
    edges = [23.5 * n for n in (1, 2, 4, 5, 6)]
    leans = [round(middle - edge, 1) for middle, edge in zip(middles, edges, strict=True)]
    assert leans[0] < 0 < leans[1]
    assert leans[2] < 0 == leans[3] < leans[4]


@given(st.integers(0, 9), st.sampled_from([(0, 23), (5, 28), (0, 35), (5, 40)]))
def test_white_keys_lie_side_by_side_from_edge_to_edge(octave, ends):
    low, high = (12 * octave + end for end in ends)
    layout = keyboard_picture(KeyboardView(low, high, (), ""))
    whites = sorted(box.x for box in marks(layout, Box) if box.fill == "#ffffff")
    assert whites[0] == pytest.approx(0)
    assert all(two - one == pytest.approx(23.5) for one, two in pairwise(whites))
    assert whites[-1] + 23.5 == pytest.approx(layout.width)
    assert len(marks(layout, Box)) == high - low + 1


def test_each_role_has_a_shape_and_a_word_of_its_own():
    on_keys = [NOTE_MARKS[role] for role in ("chord", "colour", "outside")]
    corners = [len(outline(Marker(0, 0, 8, row.shape, ""))) for row in on_keys]
    assert corners == [0, 4, 4]
    assert {row.shape for row in on_keys} == set(RADIUS)
    diamond, square = (outline(Marker(0, 0, 8, s, "")) for s in ("diamond", "square"))
    assert 0 in {x for x, _ in diamond}
    assert 0 not in {x for x, _ in square}


def test_every_lit_key_carries_its_degree_its_name_and_its_shape_on_the_key():
    layout = keyboard_picture(VIEW)
    keys = sorted(marks(layout, Box), key=lambda b: b.height)  # black keys first: they lie on top
    for lit in LIT:
        marked = [
            m
            for m in marks(layout, Marker)
            if m.shape == NOTE_MARKS[lit.role].shape and m.radius == 8.2
        ]
        degree = next(
            label
            for label in marks(layout, Label)
            if label.text == lit.degree and any(abs(label.x - m.x) < 0.01 for m in marked)
        )
        box = next(b for b in keys if b.x < degree.x < b.x + b.width and degree.y < b.y + b.height)
        assert (box.fill == "#ffffff") == is_white(lit.midi)
        assert any(lb.text == lit.name and lb.x == degree.x for lb in marks(layout, Label))


def test_a_ring_shows_which_notes_belong_to_the_shape():
    ringed = {m.x for m in marks(keyboard_picture(VIEW), Marker) if m.radius > 10}
    assert len(ringed) == sum(key.ringed for key in LIT)


def test_the_legend_says_what_occurs_and_no_more():
    def legend(*lit):
        return {
            label.text for label in marks(keyboard_picture(KeyboardView(53, 76, lit, "")), Label)
        }

    words = {role: row.words for role, row in NOTE_MARKS.items() if role != "landing"}
    assert set(words.values()) <= legend(*LIT)
    plain = legend(LIT[0])
    assert words["chord"] in plain
    assert not {words["colour"], words["outside"]} & plain
    assert not [text for text in plain if "ringed" in text]
    assert [text for text in legend(LIT[2]) if "ringed" in text]


def test_the_keys_alone_are_the_same_keys_and_their_legend_is_in_words():
    alone, words = keys_and_legend(VIEW)
    whole = keyboard_picture(VIEW)
    assert marks(alone, Box) == marks(whole, Box)
    below = [label for label in marks(whole, Label) if label not in marks(alone, Label)]
    assert all(label.y > alone.height for label in below)
    assert all(label.text in words for label in below)
    assert len(below) == 4
    assert len(words.split(" · ")) == 4


def test_middle_c_is_named_where_it_is_free():
    labels = [label.text for label in marks(keyboard_picture(VIEW), Label)]
    assert "C4" in labels
    lit = KeyboardView(60, 83, (LitKey(60, "B♯", "7", "chord"),), "")
    assert "C4" not in [label.text for label in marks(keyboard_picture(lit), Label)]


def test_a_keyboard_says_in_words_what_it_shows():
    root = ElementTree.fromstring(picture_svg(VIEW))
    assert root.get("aria-label") == root.findtext(f"{SVG}title") == VIEW.alt
    assert picture_axes(VIEW).get_label() == VIEW.alt


def test_a_figure_of_ones_own_is_drawn_on_and_kept():
    axes = Figure(figsize=(6, 3)).add_subplot()
    assert picture_axes(VIEW, axes) is axes


def test_letters_shrink_with_the_space_and_no_glyph_is_missing():
    large = picture_axes(VIEW)
    small = picture_axes(VIEW, Figure(figsize=(2, 1)).add_axes((0, 0, 1, 1)))
    assert small.texts[0].get_fontsize() < large.texts[0].get_fontsize() / 2
    with warnings.catch_warnings():
        warnings.simplefilter("error")  # matplotlib warns of a missing glyph
        large.figure.savefig(io.BytesIO(), format="pdf")


@given(st.lists(st.integers(21, 108), min_size=1, max_size=8))
def test_the_stretch_shows_all_keys_and_begins_and_ends_where_keyboards_do(midis):
    low, high = keyboard_range(midis)
    assert low <= min(midis) <= max(midis) <= high
    assert (low % 12, high % 12) in ((0, 11), (5, 4))
    assert (high - low + 1) % 12 == 0
    assert high - low + 1 <= 12 * max(2, 2 + (max(midis) - min(midis)) // 12)


def test_the_stretch_can_be_three_octaves():
    assert keyboard_range([60, 64, 67], octaves=3) == (48, 83)
    assert keyboard_range([]) == (48, 71)  # middle C in the middle
