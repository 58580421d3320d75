"""Practice: what sounds, in which keys, and what it is called."""

from fractions import Fraction
from itertools import product

import pytest

from theorykit.errors import TheoryError
from theorykit.harmony.colours import colour
from theorykit.lines.band import SIDE_STICK, default_swing
from theorykit.lines.text import Line
from theorykit.tunes.progression import two_five_one
from theorykit.views.sounding import CHORDS, JOURNEYS, Rehearsal, rehearse

OVER = two_five_one("C", "short")
LINE = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", OVER)
ROW = colour("b9 13")


def part(found, name):
    return next((p.notes for p in found.performance.parts if p.name == name), ())


def clicks(found):
    return [note for note in part(found, "drums") if note.midi == SIDE_STICK]


@pytest.mark.parametrize(("chords", "journey"), [*product(CHORDS, JOURNEYS)])
@pytest.mark.parametrize("loops", [True, False])
@pytest.mark.parametrize("answers", [True, False])
def test_every_wish_gives_a_performance_of_the_right_length(chords, journey, loops, answers):
    found = rehearse(LINE, ROW, Rehearsal(chords, journey, loops, answers))
    rounds = (12 if journey != JOURNEYS[0] else 1) * (2 if answers else 1)
    assert found.performance.beats == 8 * rounds + (0 if loops else 4)
    assert len(part(found, "line")) == 9 * (rounds // (2 if answers else 1))
    assert len(clicks(found)) == (0 if loops else 4)
    assert found.loops == loops


def test_plain_and_coloured_differ_in_the_piano_alone():
    plain, coloured = (rehearse(LINE, ROW, Rehearsal(chords)) for chords in ("plain", "coloured"))
    assert part(plain, "line") == part(coloured, "line")
    assert part(plain, "drums") == part(coloured, "drums")
    over_v = [
        {n.midi % 12 for n in part(found, "piano") if 6 <= n.start < 8}
        for found in (plain, coloured)
    ]
    assert 8 not in over_v[0]  # A flat, the b9 of G7
    assert {8, 4} <= over_v[1]  # and E, its 13


def test_the_line_alone_is_counted_in_and_has_no_one_with_it():
    found = rehearse(LINE, ROW, Rehearsal("line alone"))
    assert [p.name for p in found.performance.parts] == ["line", "drums"]
    assert part(found, "drums") == tuple(clicks(found))


def test_answer_bars_hold_the_rhythm_section_and_no_line():
    found = rehearse(LINE, ROW, Rehearsal(answers=True))
    assert max(note.start for note in part(found, "line")) < 4 + 8
    answer = [note for note in part(found, "bass") if note.start >= 4 + 8]
    assert len(answer) == 4 + 1  # four in the bar, then I is held


def test_falling_fifths_meet_the_twelve_keys_in_the_order_of_the_circle():
    """C F Bb Eb Ab Db Gb B E A D G (common practice)."""
    found = rehearse(LINE, ROW, Rehearsal(journey="twelve keys by fifths"))
    landings = [n.midi % 12 for n in part(found, "line") if (n.start - 4) % 8 == 4]
    assert landings == [0, 5, 10, 3, 8, 1, 6, 11, 4, 9, 2, 7]


def test_a_loop_leads_back_to_its_beginning():
    """The last note of the bass lies a step or a fifth from the first root (common practice)."""
    found = rehearse(LINE, ROW, Rehearsal(loops=True))
    first, last = part(found, "bass")[0], part(found, "bass")[-1]
    assert last.start >= 7
    assert (first.midi - last.midi) % 12 in (1, 2, 5, 7, 10, 11)


def test_the_swing_is_that_of_the_tempo_unless_it_is_set():
    assert rehearse(LINE, None, Rehearsal(tempo=200)).performance.swing == default_swing(200)
    assert rehearse(LINE, None, Rehearsal(swing=1.5)).performance.swing == 1.5


def test_a_label_says_what_is_heard():
    assert rehearse(LINE).label == "plain, in C major, 120 beats a minute"
    wishes = Rehearsal("line alone", JOURNEYS[3], True, True, 87.5)
    assert rehearse(LINE, ROW, wishes).label == (
        "line alone, twelve keys by whole steps from C major, with answer bars, round and round, "
        "87.5 beats a minute"
    )


def test_a_pickup_is_heard_in_a_loop_too():
    line = Line.parse("pickup 8th G#4 | 8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", OVER)
    found = rehearse(line, ROW, Rehearsal(loops=True))
    assert part(found, "line")[0].start == Fraction(7, 2)


@pytest.mark.parametrize("wish", [{"chords": "blue"}, {"journey": "by boat"}])
def test_what_is_not_offered_is_refused_with_what_is(wish):
    with pytest.raises(TheoryError, match=r"no such .*plain|no such .*this key"):
        Rehearsal(**wish)
