"""Bars of counts as a view: the numbers of the published table, and what they are of."""

import pytest

from theorykit.errors import TheoryError
from theorykit.harmony.counts import evidence, tally
from theorykit.harmony.counts.played_degrees import GOINGS, evidence_table
from theorykit.harmony.counts.tallies import TALLIES
from theorykit.views.counts import CountRow, CountsView, counts_of, tally_counts


def test_a_bar_shows_the_count_the_whole_and_the_share():
    """852 of 15,387: the flat nine over a dominant going to a major I (Weimar Jazz Database)."""
    (row,) = counts_of([evidence("b9")]).rows
    assert (row.name, row.count, row.total) == ("♭9", 852, 15387)
    assert row.interval == (0.0492, 0.0615)
    assert row.words == "852 of 15,387, 5.5 %"
    assert row.reach == 0.0615


@pytest.mark.parametrize("going", GOINGS)
def test_one_way_of_going_stands_in_the_title(going):
    view = counts_of(evidence_table(going))
    assert len(view.rows) == 12
    assert sum(row.count for row in view.rows) == view.rows[0].total
    assert view.title == f"Notes over {evidence('1', going).over}, by degree"
    assert "," not in view.rows[0].name


def test_several_ways_stand_beside_the_degrees():
    view = counts_of(evidence("11", going) for going in ("major", "down a half step"))
    names = ["11, going to a major I", "11, going down a half step"]
    assert [row.name for row in view.rows] == names
    assert view.title == "Notes over a dominant, by degree"


@pytest.mark.parametrize("one", TALLIES, ids=lambda one: one.name)
def test_a_tally_shows_its_labels_in_order(one):
    view = tally_counts(one)
    assert [row.count for row in view.rows] == list(one.counts)
    assert {row.total for row in view.rows} == {one.total}
    assert all(row.interval is None and row.reach == row.share for row in view.rows)


def test_a_tally_may_show_some_labels():
    """771 of 2,440 last notes over V move by a half step into I (Weimar Jazz Database)."""
    view = tally_counts(tally("last steps, major"), ["1"])
    assert [row.words for row in view.rows] == ["771 of 2,440, 31.6 %"]
    assert view.title.startswith("From the last note over V to the first over a major I, in half")


def test_every_picture_names_its_source_and_says_that_it_is_no_rule():
    for view in (counts_of([evidence("9")]), tally_counts(TALLIES[0])):
        assert "Weimar Jazz Database, 456 solos" in view.alt
        assert "Open Database License (ODbL) 1.0" in view.alt  # ODbL 1.0, 4.3: where it is shown
        assert "not what may be" in view.alt
        assert view.rows[0].words in view.alt


def test_no_bars_are_refused():
    with pytest.raises(TheoryError, match="no bars"):
        CountsView("nothing", (), ())
    with pytest.raises(TheoryError, match="not counted"):
        tally_counts(tally("last steps, major"), ["a step"])
    assert CountRow("1", 1, 4).share == 0.25
