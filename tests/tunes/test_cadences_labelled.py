"""The finder against small charts labelled by hand; the labels stand in labelled_charts."""

from labelled_charts import CASES, chart_of, label_of
from together import together

from theorykit.tunes.cadences import cadences


@together("case", CASES, ids=lambda case: case.what)
def test_every_label_is_found_and_nothing_else(case):
    assert tuple(map(label_of, cadences(chart_of(case)))) == case.labels


def test_there_are_enough_charts_in_enough_keys():
    assert len(CASES) >= 40
    assert len({chart_of(case).key.tonic.semitone for case in CASES}) == 12
