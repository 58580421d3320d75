"""Compasses: every melody instrument has one; those of saxophones follow from what they read."""

import pytest
from together import together

from theorykit.errors import TheoryError
from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.lines.taking import compass_of


@together("name", MELODY_SOUNDS)
def test_every_melody_instrument_has_a_compass(name):
    low, high = compass_of(name)
    assert high - low >= 34


def test_saxophones_begin_with_their_low_b_flat():
    """All read B flat 3 and sound a step, a sixth, a ninth lower (common practice)."""
    written = 58
    for name, lower in (("soprano", 2), ("alto", 9), ("tenor", 14)):
        assert compass_of(f"{name} saxophone")[0] == written - lower
    assert compass_of("baritone saxophone")[0] == written - 1 - 21  # most have a low A


@pytest.mark.parametrize("wrong", ["bagpipe", "", None, 3, ["flute"]])
def test_a_name_that_is_none_is_refused_with_those_there_are(wrong):
    with pytest.raises(TheoryError, match="want one of tenor saxophone"):
        compass_of(wrong)
