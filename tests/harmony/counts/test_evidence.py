"""The counts: that they are those that were published, and what may be read out of them.

Weimar Jazz Database (Jazzomat Research Project; Pfleiderer, Frieler, Abeßer, Zaddach and Burkhart,
eds., *Inside the Jazzomat*, 2017; Open Database License 1.0, from memory), read from the R data
package jazzodata (Frieler, 2022, MIT).
"""

import re

import pytest

from theorykit import Degree, TheoryError, evidence
from theorykit.harmony.counts import going_of, tally
from theorykit.harmony.counts.played_degrees import GOINGS, evidence_table
from theorykit.harmony.counts.solo_counts import BINS, LAST_STEPS
from theorykit.harmony.counts.tallies import TALLIES
from theorykit.harmony.tensions import TENSION_NAMES

each_going = pytest.mark.parametrize("going", GOINGS)

# Copied from the published figures by hand: going, degree, count, notes, ends of the interval.
PUBLISHED = [
    ("major", "1", 2249, 15387, 0.1391, 0.1539),
    ("major", "b9", 852, 15387, 0.0492, 0.0615),
    ("major", "11", 1485, 15387, 0.0897, 0.1035),
    ("minor", "b9", 208, 2605, 0.0663, 0.0939),
    ("minor", "13", 64, 2605, 0.0173, 0.0317),
    ("down a half step", "#11", 656, 7333, 0.0736, 0.1064),
    ("ii-V-I in major", "9", 935, 9510, 0.0911, 0.1057),
    ("ii-V-i in minor", "b13", 273, 2718, 0.0883, 0.1130),
    ("down a fifth", "7", 1915, 47916, 0.0373, 0.0425),
]


@pytest.mark.parametrize(("going", "degree", "count", "notes", "low", "high"), PUBLISHED)
def test_the_table_holds_the_published_counts(going, degree, count, notes, low, high):
    found = evidence(degree, going)
    assert (found.count, found.notes, found.low, found.high) == (count, notes, low, high)


@each_going
def test_the_counts_of_twelve_degrees_make_up_all_notes(going: str):
    rows = evidence_table(going)
    assert tuple(row.degree for row in rows) == TENSION_NAMES
    assert sum(row.count for row in rows) == rows[0].notes
    assert sum(row.share for row in rows) == pytest.approx(1)


@pytest.mark.parametrize(
    ("asked", "name"),
    [
        ("b10", "♭10 (counted as ♯9)"),
        ("b3", "♭3 (counted as ♯9)"),
        ("b5", "♭5 (counted as ♯11)"),
        ("#5", "♯5 (counted as ♭13)"),
        ("#13", "♯13 (counted as ♭7)"),
        ("#9", "♯9"),
        ("b2", "♭2"),
        ("4", "4"),
        ("b6", "♭6"),
        ("8", "8"),
    ],
)
def test_a_degree_on_another_letter_says_what_it_is_counted_as(asked: str, name: str):
    """An octave more or less is the same name; another letter for the same sound is not."""
    found = evidence(asked, "minor")
    assert found.name == name
    assert found.words.startswith(f"{name}: {found.count:,} of")


def test_the_twelve_names_of_the_table_need_no_second_name():
    assert [row.name for row in evidence_table()] == [degree.pretty for degree in TENSION_NAMES]


@each_going
def test_every_share_lies_in_its_interval(going: str):
    for row in evidence_table(going):
        assert 0 < row.low < row.share < row.high < 1


# The rankings that the publication's data show; no two intervals of a pair overlap.
@pytest.mark.parametrize(
    ("going", "more", "less", "ratio"),
    [
        ("major", "9", "b9", 1 / 0.55),
        ("major", "13", "b13", 1 / 0.57),
        ("ii-V-i in minor", "b9", "9", 2.9),
        ("ii-V-i in minor", "b13", "13", 3.7),
        ("down a half step", "#11", "11", 1.62),
        ("major", "11", "#11", 1 / 0.32),
    ],
)
def test_the_rankings_of_the_solos_are_reproduced(going, more, less, ratio):
    one, other = evidence(more, going), evidence(less, going)
    assert one.count / other.count == pytest.approx(ratio, rel=0.02)
    assert one.clear_of(other)
    assert other.clear_of(one)


@pytest.mark.parametrize("going", ["minor", "ii-V-i in minor"])
def test_before_minor_the_flat_tensions_are_played_more_than_the_natural_ones(going: str):
    for flat, natural in (("b9", "9"), ("b13", "13")):
        assert evidence(flat, going).count > evidence(natural, going).count
        assert evidence(flat, going).clear_of(evidence(natural, going))


def test_where_practice_and_theory_disagree_the_counts_say_so():
    """The natural 11 is common as a line note; the half step into I is one move in three."""
    assert evidence("11", "major").share == pytest.approx(0.097, abs=0.001)
    steps = tally("last steps, major")
    assert steps.count("1") == 771
    assert steps.share("1") == pytest.approx(0.316, abs=0.001)
    assert tally("last steps, any other chord change").share("1") == pytest.approx(0.312, abs=0.001)


def test_phrases_that_cross_v_end_on_few_notes_of_a_major_i():
    """1, 3, 5, 7 or 9 in 83 percent."""
    ends = tally("last notes on a major I")
    assert ends.total == 1110
    assert ends.share("1", "3", "5", "7", "9") == pytest.approx(0.83, abs=0.005)


def test_first_notes_follow_from_the_published_shares():
    """2,440 notes in all; the shares were published with four digits."""
    first = tally("first notes on a major I")
    assert first.total == 2440
    shares = [0.1816, 0.0148, 0.1139, 0.0377, 0.1914, 0.0447]
    assert [round(first.share(label), 4) for label in first.labels[:6]] == shares
    assert first.ranked[0][0] == "5"


def test_the_commonest_move_into_i_is_the_guide_tone():
    moves = tally("moves into a major I")
    assert moves.ranked[:2] == (("b7 to 3", 188), ("9 to 5", 138))
    assert moves.total == 2440 > sum(moves.counts)


def test_most_moves_inside_phrases_are_steps():
    """61 percent at most two half steps, 87 percent at most four, 3 percent more than seven."""
    steps = tally("intervals inside phrases")
    assert steps.share(*BINS[:3]) == pytest.approx(0.61, abs=0.005)
    assert steps.share(*BINS[:5]) == pytest.approx(0.87, abs=0.005)
    assert steps.share(*BINS[8:]) == pytest.approx(0.03, abs=0.005)


def test_half_steps_down_and_up_make_up_all_half_steps():
    for counts, down, up in LAST_STEPS.values():
        assert down + up == pytest.approx(counts[1] / sum(counts), abs=0.0002)


@each_going
def test_the_words_hold_the_count_the_number_of_notes_and_the_interval(going: str):
    for row in evidence_table(going):
        text = row.words
        assert f"{row.count:,} of {row.notes:,} notes" in text
        percents = [float(found) for found in re.findall(r"(\d+\.\d) (?:%|to)", text)]
        assert percents == [
            pytest.approx(100 * share, abs=0.05) for share in (row.share, row.low, row.high)
        ]
        assert "Weimar Jazz Database" in text
        assert "Open Database License 1.0" in text


def test_no_count_is_worded_as_a_rule():
    rule = re.compile(r"\b(should|must|always|never|right|wrong|correct|avoid|rule)\b")
    texts = [row.words for going in GOINGS for row in evidence_table(going)]
    texts += [row.words for row in TALLIES]
    assert not [text for text in texts if rule.search(text)]
    assert all(re.search(r"of [\d,]+ (notes|phrases|moves)", text) for text in texts)


def test_the_sound_is_counted_however_it_is_spelled():
    assert evidence("b5").count == evidence("#11").count == evidence(Degree(4, 1)).count
    assert str(evidence("b5").degree) == "b5"


@pytest.mark.parametrize(
    ("dominant", "target", "going"),
    [
        ("G7", None, "major"),
        ("G7", "minor", "minor"),
        ("Ab7", "Dbm(maj7)", "minor"),
        ("Ab7", "Dbmaj7", "major"),
        ("D7", "G7", "down a fifth"),
        ("D7", "Gm7b5", "down a fifth"),
        ("D7", "Gsus4", "down a fifth"),
        ("Db7", "Cmaj7", "down a half step"),
        ("D7", "C", ""),
    ],
)
def test_the_counts_that_belong_to_a_dominant_and_its_target(dominant, target, going):
    assert going_of(dominant, target) == going


def test_other_names_are_read():
    assert evidence("9", "Half step") == evidence("9", "down a half step")
    assert evidence("9", " Tritone substitute ") == evidence("9", "down a half step")


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: evidence("9", "up"), "nothing was counted for going 'up' .want one of major, "),
        (lambda: evidence("9", None), "nothing was counted for going None"),
        (lambda: evidence("16"), "not a degree: '16'"),
        (lambda: tally("first"), "no such tally: 'first' .want one of first notes on a major I; "),
        (lambda: tally("last notes on a major I").share("2"), "not counted: '2'"),
    ],
)
def test_what_was_not_counted_is_refused_with_what_was(call, said: str):
    with pytest.raises(TheoryError, match=said):
        call()
