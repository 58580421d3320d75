"""A chorus on its staff: the notes that a player lights are those that are written there."""

from dataclasses import replace
from pathlib import Path

import pytest
from house import ROOT
from sweeps import swept

from theorykit.show.engraving import staff_svg
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment
from theorykit.views.notation import written_bars
from theorykit.views.sounding import notes_of
from theorykit.views.staves import chorus_staff
from theorykit.views.tune import ChorusView, ChorusWishes, chorus_view

TUNES = sorted((ROOT / "workbook" / "tunes").glob("*.txt"))
SHORT = next(file for file in TUNES if file.stem == "the_kettle_comes_late")
TIED_BACK = ("continue", "stop")  # the second note of a tie is not struck


def written(file: Path, wishes: ChorusWishes | None = None) -> ChorusView:
    chart = Chart.parse(file.read_text(encoding="utf-8"))
    return chorus_view(chart, Treatment.plain(chart), wishes)


@pytest.mark.parametrize("file", swept(TUNES, SHORT.__eq__), ids=lambda file: file.stem)
def test_each_note_of_the_line_has_its_place_on_the_staff(file):
    view = written(file)
    with_line, without = view.takes
    staff = chorus_staff(view.chorus, 1)
    bars = written_bars(staff)
    struck = [
        n for bar in bars for n in bar.notes if n.pitch is not None and n.tie not in TIED_BACK
    ]
    marked = {one.mark: one.note.midi for one in notes_of(with_line) if one.mark >= 0}
    assert marked == {place: note.pitch.midi for place, note in enumerate(struck)}
    assert f'data-note="{len(struck) - 1}"' in staff_svg(staff)
    assert all(one.mark < 0 for one in notes_of(without))


@pytest.mark.parametrize("wishes", [{"first": 2}, {"last": 4}, {"choruses": 2}])
def test_where_the_staff_has_not_what_is_heard_nothing_is_lit(wishes):
    view = written(SHORT, replace(ChorusWishes(), **wishes))
    assert not any(take.is_seen for take in view.takes)
