"""The tune on the desk: nothing typed is lost, no choice of the reader's either."""

from __future__ import annotations

import pytest

from theorykit.errors import TheoryError
from theorykit.tunes.treatments import LEVELS
from theorykit.views.tune import EXAMPLE, PROPOSALS, TuneDraft, tune_view
from theorykit.views.tune.tune_draft import AS_WRITTEN

TEXT = "key: Eb\n| Fm7 | Bb7 | Ebmaj7 | C7 |\n| Fm7 | Bb7 | Ebmaj7 | % |\n"


def opened(text: str = TEXT, proposal: str = "first") -> TuneDraft:
    """A chart on the desk."""
    return TuneDraft().typed(text).proposed(proposal, 2)


def mark(state: TuneDraft, number: int):
    """A mark of the chart."""
    return tune_view(state).mark(number)


def chords(state: TuneDraft) -> list[str]:
    """The chords as treated."""
    return [str(placed.chord) for placed in state.treatment.applied(state.chart).played]


def test_a_text_that_cannot_be_read_is_kept_with_its_problems_and_the_last_chart_stays():
    state = opened()
    broken = state.typed(TEXT.replace("Bb7", "Bb8", 1))
    assert broken.text.count("Bb8") == 1
    assert [(p.line, p.column) for p in broken.problems] == [(2, 9)]
    assert broken.chart == state.chart
    mended = broken.typed(TEXT)
    assert (mended.problems, mended.chart) == ((), state.chart)


def test_several_problems_come_at_once():
    state = TuneDraft().typed("key: H\n| Dm7 | G8 |\n| |")
    assert state.chart is None
    assert len(state.problems) >= 3
    assert state.treatment.choices == ()


@pytest.mark.parametrize("text", ["", "\n\n", "title: Gloves", "N", "\x00", "🎷" * 50])
def test_whatever_is_typed_is_a_state(text):
    state = opened().typed(text)
    assert state.text == text
    assert state.problems
    assert state.chart is not None


def test_a_chart_for_a_wall_is_refused_on_a_desk():
    state = opened().typed("| C " * 401 + "|")
    assert "401 bars" in state.problems[0].message
    assert len(state.chart.bars) == 8
    again = opened().typed(f"|: {' | '.join('C' * 60)} :| x9")
    assert "540 bars" in again.problems[0].message


def test_proposals_colour_what_the_reader_has_not_coloured():
    plain = opened(proposal=AS_WRITTEN)
    assert chords(plain)[:3] == ["Fm7", "Bb7", "Ebmaj7"]
    assert chords(opened())[:4] == ["Fm7", "Fm7", "Bb13b9", "Ebmaj7"]
    own = opened().chosen(mark(opened(), 1), colour="altered", split=False)
    assert chords(own)[:2] == ["Fm7", "Bb7alt"]
    for proposal in PROPOSALS:
        assert chords(own.proposed(proposal, 3))[:2] == ["Fm7", "Bb7alt"]
    assert chords(own.forgetful()) == chords(opened())


def test_a_choice_survives_every_change_of_other_bars_and_of_the_text_around_it():
    own = opened().chosen(mark(opened(), 1), colour="altered")
    for text in (TEXT.replace("C7", "Cm7"), "title: Gloves\n" + TEXT, TEXT + "| Ab6 | Ebmaj7 |\n"):
        assert "Bb7alt" in chords(own.typed(text))
    moved = own.typed(TEXT.replace("| Fm7 | Bb7 |", "| Fm7 | Bb7b9 |", 1))
    assert "Bb7alt" not in chords(moved)  # another chord stands there now
    assert "Bb7alt" in chords(moved.typed(TEXT))  # and the choice was not lost


def test_what_cannot_be_written_is_refused_and_changes_nothing():
    state = opened("| Dm7 G7 | C6 |", AS_WRITTEN)
    with pytest.raises(TheoryError, match="only a long cadence can be split"):
        state.chosen(mark(state, 1), split=True)
    assert state.own == ()
    with pytest.raises(TheoryError, match="no such colour"):
        state.chosen(mark(state, 1), colour="blue")
    with pytest.raises(TheoryError, match="no such proposal"):
        state.proposed("wild", 2)


def test_every_level_proposes_for_every_dominant():
    for level in LEVELS:
        state = opened(proposal=level)
        assert all(choice.colour for choice in state.treatment.choices)


def test_the_example_reads_and_has_two_long_cadences():
    view = tune_view(TuneDraft().typed(EXAMPLE))
    assert [m.label for m in view.grid.marks] == ["ii-V-I A♭, long", "ii-V-I F, long"]
