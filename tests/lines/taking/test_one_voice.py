"""One melody out of all that was played."""

from theorykit.lines.taking import Played, quantised
from theorykit.lines.taking.one_voice import one_voice


def test_a_chord_under_a_held_note_is_left_out():
    melody = [Played(0, 2, 76), Played(2, 3, 74), Played(3, 4, 72)]
    chord = [Played(1, 1.5, 60), Played(1, 1.5, 64), Played(2.01, 2.5, 60)]
    assert one_voice([*melody, *chord]) == melody
    assert quantised([*melody, *chord]).dropped == 3


def test_legato_notes_are_all_of_the_melody():
    """The old key is let go after the new one is down, as pianists play."""
    legato = [Played(n / 2, n / 2 + 0.56, midi) for n, midi in enumerate((76, 74, 72, 74, 71))]
    assert one_voice(legato) == legato


def test_notes_that_ring_under_the_pedal_are_all_of_the_melody():
    ringing = [Played(n, 4, 76 - n) for n in range(4)]
    found = quantised(ringing)
    assert [(note.start, note.beats) for note in found.notes] == [(n, 1) for n in range(4)]


def test_a_melody_over_a_held_note_goes_on():
    found = one_voice([Played(0, 4, 48), Played(1, 2, 72), Played(2, 3, 74)])
    assert [note.midi for note in found] == [48, 72, 74]


def test_however_many_notes_start_at_once_one_is_left():
    crowd = [Played(1 + n / 1e6, 1 + n / 1e6, 30 + n % 60) for n in range(5_000)]
    assert [note.midi for note in one_voice(crowd)] == [89]
    assert quantised(crowd).dropped == 4_999
