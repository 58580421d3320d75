"""Lines over several dominants, of which the last one is coloured."""

from __future__ import annotations

import pytest

from theorykit.harmony.colours import COLOURS
from theorykit.lines.chord_palette import palettes
from theorykit.lines.chorus import write_chorus
from theorykit.lines.writing import Wishes, coloured_last, last_dominant, room_over
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment

CHAINS = ("Em7 A7 | Dm7 G7 | C6", "A7 D7 | G7 | Cmaj7", "Bb7 | Eb7 Ab7 | Db7 | C6")


@pytest.mark.parametrize("bars", CHAINS)
@pytest.mark.parametrize("row", COLOURS, ids=lambda row: row.name)
def test_the_last_dominant_has_the_colour_and_every_other_keeps_the_rules(bars, row):
    over = Chart.of("C", *bars.split(" | ")).progression
    last = last_dominant(over, row.name)
    assert len(last.hallmarks) <= room_over(last, Wishes())
    line = coloured_last(over, row.name, 3, [Wishes()])
    inside = [n for n in line.notes if last.placed.start <= n.start < last.placed.end]
    assert set(last.hallmarks) <= {note.pitch.midi % 12 for note in inside}
    starts = {note.start: note for note in line.notes}
    for before, chord in zip(palettes(over, None), palettes(over, None)[1:], strict=False):
        if before.resolves:
            landing = starts[chord.placed.start]
            earlier = max(start for start in starts if start < chord.placed.start)
            assert abs(landing.pitch.midi - starts[earlier].pitch.midi) <= 2


def test_a_chain_put_in_the_place_of_v_keeps_the_colour_of_its_last_chord():
    chart = Chart.of("C", "C6", "G7", "C6")
    treatment = Treatment.plain(chart).set(0, colour="b9 13", substitute="chain of dominants")
    found = write_chorus(chart, treatment, seed=1)
    assert [str(c.chord) for c in found.line.progression.chords][1:5] == ["E7", "A7", "D7", "G13b9"]
    assert found.remarks == ()
    over_v = {note.pitch.midi % 12 for note in found.line.notes if 7 <= note.start < 8}
    assert 8 in over_v  # in one beat the b9 of G7, which tells more than its 13
    assert over_v & {5, 11}  # and its 3rd or 7th


def test_nothing_is_found_where_nothing_fits():
    over = Chart.of("C", "G7", "C6").progression
    assert coloured_last(over, "b9", 1, [Wishes(landing="b3")]) is None
    assert last_dominant(Chart.of("C", "Dm7", "C6").progression, "b9") is None
