"""Colours that can be read and told apart."""

import colorsys
from itertools import combinations

import pytest

from theorykit.show.pictures import INK, PAPER, picture_colours as palette
from theorykit.show.pictures.picture_colours import contrast, luminance

# WCAG 2.1, success criteria 1.4.3 (text) and 1.4.11 (graphics).
TEXT, GRAPHICS = 4.5, 3.0

HUES = {
    # Okabe and Ito, Color Universal Design (2008)
    "VERMILLION": "#d55e00",
    "BLUE": "#0072b2",
    "GREEN": "#009e73",
    "PURPLE": "#cc79a7",
}
COLOURS = [getattr(palette, name) for name in HUES]


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [  # worked examples that WebAIM and the W3C give beside the formula
        ("#000000", "#ffffff", 21.0),
        ("#777777", "#ffffff", 4.48),
        ("#767676", "#ffffff", 4.54),
        ("#0000ff", "#ffffff", 8.59),
        ("#ff0000", "#ffffff", 4.0),
    ],
)
def test_the_formula_gives_the_published_ratios(one, other, ratio):
    assert contrast(one, other) == contrast(other, one) == pytest.approx(ratio, abs=0.005)


@pytest.mark.parametrize("colour", [*COLOURS, INK, palette.FADED])
def test_text_stands_out_from_the_paper(colour):
    assert contrast(colour, PAPER) >= TEXT


@pytest.mark.parametrize("colour", COLOURS)
def test_white_text_stands_out_from_every_filled_shape(colour):
    assert contrast(colour, "#ffffff") >= TEXT


def test_edges_stand_out_from_paper_and_keys():
    assert min(contrast(palette.LINE, PAPER), contrast(palette.LINE, "#ffffff")) >= GRAPHICS


@pytest.mark.parametrize(("name", "original"), HUES.items())
def test_the_hues_are_those_of_the_published_palette(name, original):
    ours, theirs = (hue(colour) for colour in (getattr(palette, name), original))
    assert ours == pytest.approx(theirs, abs=0.01)  # of the whole circle


def channels(colour: str) -> list[float]:
    return [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]


def hue(colour: str) -> float:
    return colorsys.rgb_to_hls(*channels(colour))[0]


# Machado, Oliveira and Fernandes, A Physiologically-based Model for Simulation of Color Vision
# Deficiency (2009), table for severity 1.0, on linear RGB (from memory).
VISIONS = {
    "normal": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
# CIE XYZ from linear sRGB (IEC 61966-2-1), and the white point D65.
TO_XYZ = (
    (0.4124564, 0.3575761, 0.1804375),
    (0.2126729, 0.7151522, 0.0721750),
    (0.0193339, 0.1191920, 0.9503041),
)
WHITE = (0.95047, 1.0, 1.08883)


def times(matrix, vector):
    return [sum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix]


def lab(colour: str, vision: str) -> tuple[float, float, float]:
    """CIELAB of a colour as one kind of vision sees it."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels(colour)]
    seen = [min(1.0, max(0.0, c)) for c in times(VISIONS[vision], linear)]
    x, y, z = (
        (t ** (1 / 3) if t > 216 / 24389 else (24389 / 27 * t + 16) / 116)
        for t in (v / w for v, w in zip(times(TO_XYZ, seen), WHITE, strict=True))
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


@pytest.mark.parametrize("vision", VISIONS)
def test_any_two_colours_differ_for_every_kind_of_colour_vision(vision):
    """2.3 is a just noticeable difference (Mahy 1994); we ask for eight times as much."""
    for one, other in combinations([*COLOURS, INK], 2):
        steps = zip(lab(one, vision), lab(other, vision), strict=True)
        assert sum((a - b) ** 2 for a, b in steps) ** 0.5 >= 18.4, (one, other)


def test_luminance_of_the_primaries_is_their_weight():
    assert [luminance(c) for c in ("#ff0000", "#00ff00", "#0000ff")] == [0.2126, 0.7152, 0.0722]
