"""Degrees: a number from 1 to 15 and an alteration."""

import pytest
from plain import names
from together import together

from theorykit import Degree, TheoryError
from theorykit.notes.degree import degrees

EVERY = [Degree(number, alteration) for number in range(1, 16) for alteration in range(-3, 4)]


@together("degree", EVERY, ids=str)
def test_reading_what_is_printed_gives_the_same_degree(degree: Degree):
    assert Degree.parse(str(degree)) == degree
    assert Degree.parse(degree.pretty) == degree


@together(
    ("text", "half_steps"),
    # Intervals of common practice, octaves counted: minor ninth 13, augmented eleventh 18.
    [
        ("1", 0), ("b3", 3), ("3", 4), ("4", 5), ("#4", 6), ("b5", 6), ("5", 7), ("#5", 8),
        ("6", 9), ("bb7", 9), ("b7", 10), ("7", 11), ("8", 12), ("b9", 13), ("9", 14), ("#9", 15),
        ("11", 17), ("#11", 18), ("b13", 20), ("13", 21), ("15", 24),
    ],
)  # fmt: skip
def test_half_steps_count_the_octaves(text: str, half_steps: int):
    degree = Degree.parse(text)
    assert degree.semitones == half_steps
    assert degree.semitone == half_steps % 12


def test_flat_and_sharp_signs_are_read_like_letters():
    assert Degree.parse("♭9") == Degree.parse("b9") == Degree(9, -1)
    assert Degree.parse("♯11") == Degree.parse(" #11 ") == Degree(11, 1)
    assert Degree.parse("♭9").pretty == "♭9"


def test_a_list_of_degrees_keeps_its_order():
    assert names(degrees("13 b9 3")) == "13 b9 3"
    assert degrees("") == ()


@pytest.mark.parametrize("wrong", [None, 9, ["b9"], b"b9"])
def test_what_is_no_list_of_degrees_in_text_is_refused(wrong: object):
    with pytest.raises(TheoryError, match="not degrees"):
        degrees(wrong)  # type: ignore[arg-type]


@together(
    "wrong",
    ["", "0", "16", "9b", "bb", "b#9", "bbbb7", "-9", "+5", "9.0", "９", "9" * 10_000, 9, None],
)
def test_what_is_no_degree_is_refused(wrong: object):
    with pytest.raises(TheoryError, match="not a degree"):
        Degree.parse(wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize("parts", [(0, 0), (16, 0), (9, 4), (9, 0.5), ("9", 0)])
def test_a_degree_is_not_built_from_wrong_parts(parts: tuple[int, int]):
    with pytest.raises(TheoryError):
        Degree(*parts)
