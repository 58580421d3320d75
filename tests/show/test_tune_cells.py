"""What chapters show of tunes."""

from __future__ import annotations

import pytest

from theorykit.errors import TheoryError
from theorykit.lines.chorus import write_chorus
from theorykit.show.tune_cells import hear_chorus, see_cadence, see_chorus, see_tune
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment

CHART = Chart.of("Eb", "Ebmaj7", "Fm7", "Bb7", "Ebmaj7", title="Wet Gloves")
TREATMENT = Treatment.proposed(CHART)
CHORUS = write_chorus(CHART, TREATMENT, choruses=2, seed=1)


def test_a_tune_is_seen_as_it_is_written_and_as_it_is_treated():
    plain, treated = see_tune(CHART), see_tune(CHART, TREATMENT, mark=1)
    assert "B♭13♭9" not in plain.words
    assert "B♭13♭9" in treated.words
    assert "<svg" in plain._repr_html_()
    assert 'fill="#dcebf5"' in treated.html


def test_choruses_are_seen_one_by_one_and_for_a_reader():
    first, second = (see_chorus(CHORUS, number) for number in (1, 2))
    assert first.words != second.words
    assert "in F major" in see_chorus(CHORUS, written_for="B flat").words
    with pytest.raises(TheoryError, match="no such chorus"):
        see_chorus(CHORUS, 3)


def test_a_phrase_is_seen_close_up():
    shown = see_cadence(CHORUS, 1)
    assert shown.words.startswith("3 bars in E♭ major, chords Fm7, Fm7, B♭13♭9, E♭maj7; notes")
    for number in (0, 3):
        with pytest.raises(TheoryError, match="no phrase"):
            see_cadence(CHORUS, number)


def test_a_chorus_is_heard_whole_in_part_and_without_parts():
    assert hear_chorus(CHORUS).words == "Player: Wet Gloves"
    part = hear_chorus(CHORUS, bars=(2, 4), silent=("piano", "line"), loops=True)
    assert part.words == "Player: Wet Gloves, bars 2-4 without piano and line"
    assert "<audio controls loop" in part.html
    assert "autoplay" not in part.html
    with pytest.raises(TheoryError, match="no such part"):
        hear_chorus(CHORUS, silent="kazoo")
