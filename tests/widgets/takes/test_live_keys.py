"""Messages of a MIDI keyboard as notes: pedals, keys struck twice, keys that are still held."""

from __future__ import annotations

import pytest

from theorykit import TheoryError
from theorykit.widgets.takes.live_keys import rows_of

ON, OFF, CONTROL, PEDAL = 0x90, 0x80, 0xB0, 64


def test_a_key_that_is_let_go_ends_its_note_on_any_channel_and_by_either_message():
    sent = [(1, ON, 60, 90), (1.5, OFF, 60, 64), (2, ON | 3, 62, 90), (2.4, ON | 3, 62, 0)]
    assert rows_of(sent, 9) == ((1.0, 1.5, 60), (2.0, 2.4, 62))


def test_the_pedal_holds_what_was_let_go_and_not_what_is_still_down():
    sent = [
        *((0, ON, 60, 90), (0.2, CONTROL, PEDAL, 127), (0.5, OFF, 60, 0), (0.6, ON, 64, 90)),
        *((1.0, CONTROL, PEDAL, 0), (1.5, OFF, 64, 0)),
    ]
    assert rows_of(sent, 9) == ((0.0, 1.0, 60), (0.6, 1.5, 64))


def test_a_key_that_is_struck_again_under_the_pedal_is_a_new_note():
    sent = [
        *((0, CONTROL, PEDAL, 127), (0.5, ON, 60, 90), (0.7, OFF, 60, 0), (1.0, ON, 60, 90)),
        *((1.2, OFF, 60, 0), (2.0, CONTROL, PEDAL, 0)),
    ]
    assert rows_of(sent, 9) == ((0.5, 1.0, 60), (1.0, 2.0, 60))


def test_what_sounds_at_the_end_ends_there_and_the_shortest_note_has_a_length():
    assert rows_of([(1, ON, 60, 90)], 4.0) == ((1.0, 4.0, 60),)
    ((start, end, _),) = rows_of([(1, ON, 60, 90), (1, OFF, 60, 0)], 4.0)
    assert start < end
    assert rows_of([], 0) == ()


@pytest.mark.parametrize(
    "sent",
    [
        (0, 1, 2),
        (-1, ON, 60, 90),
        (0, 20, 60, 90),
        (0, ON, 200, 90),
        (0, ON, 60, -1),
        "x",
        (float("nan"), ON, 60, 90),
    ],
)
def test_what_is_no_message_is_refused(sent):
    with pytest.raises(TheoryError, match="no MIDI message"):
        rows_of([sent], 1)


def test_far_too_many_are_refused():
    with pytest.raises(TheoryError, match="at most"):
        rows_of([(0, ON, 60, 90)] * 20_001, 1)
