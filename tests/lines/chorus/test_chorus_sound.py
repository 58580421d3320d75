"""A chorus as it is played: how long, how fast, which parts, which bars."""

from __future__ import annotations

from functools import cache

import pytest
from house import ROOT

from theorykit.errors import TheoryError
from theorykit.lines.band import SIDE_STICK
from theorykit.lines.chorus import band_feel, muted, perform_chorus, straight, write_chorus
from theorykit.lines.parts import PART_NAMES
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment

TUNES = ROOT / "workbook" / "tunes"


@cache
def chorus(name: str = "nine_borrowed_stands", choruses: int = 1):
    """A treated chorus over a tune of the workshop."""
    chart = Chart.parse((TUNES / f"{name}.txt").read_text(encoding="utf-8"))
    return write_chorus(chart, Treatment.proposed(chart), choruses=choruses, seed=1)


def test_tempo_and_feel_are_those_of_the_chart_unless_the_reader_says_otherwise():
    played = perform_chorus(chorus())
    assert (played.tempo, played.swing) == (138, 2.62)  # 4 - tempo / 100, see default_swing
    assert perform_chorus(chorus("umbrella_in_the_hall")).swing == 1.0  # straight eighths
    assert perform_chorus(chorus(), tempo=60, swing=2.0).tempo == 60
    assert perform_chorus(chorus("umbrella_in_the_hall"), swing=2.0).swing == 2.0


def test_beats_of_six_eight_are_dotted_quarters():
    chart = Chart.of("C", "Dm7 G7", "C6", metre="6/8")
    played = perform_chorus(write_chorus(chart), tempo=80)
    assert played.tempo == 120  # in quarter notes
    assert played.seconds == pytest.approx(3 * 2 * 60 / 80)  # two bars and a bar of count-in


@pytest.mark.parametrize("choruses", [1, 2])
def test_it_lasts_as_long_as_its_bars_and_the_count_in(choruses):
    played = perform_chorus(chorus(choruses=choruses))
    assert played.beats == 4 * (1 + 32 * choruses)
    assert [part.name for part in played.parts] == list(PART_NAMES)


def test_bars_are_cut_out_and_a_loop_leads_back():
    whole = chorus()
    loop = perform_chorus(whole, bars=(3, 5), count_in=0, loops=True)
    assert loop.beats == 12
    line = next(part for part in loop.parts if part.name == "line")
    expected = [n.start - 8 for n in whole.line.notes if 8 <= n.start < 20]
    assert [note.start for note in line.notes] == expected
    bass = {
        loops: next(
            p for p in perform_chorus(whole, bars=(3, 5), loops=loops).parts if p.name == "bass"
        )
        for loops in (True, False)
    }
    assert bass[True] != bass[False]  # without a loop the last chord is held


def test_a_feel_in_two_has_half_as_many_notes_in_the_bass():
    texts = (f"feel: {feel}\ntempo: 120\n| Dm7 | G7 | C6 | % |" for feel in ("swing", "ballad"))
    four, two = (perform_chorus(write_chorus(Chart.parse(text))) for text in texts)
    bass = [next(part for part in one.parts if part.name == "bass") for one in (four, two)]
    assert len(bass[1].notes) < len(bass[0].notes)


@pytest.mark.parametrize("name", PART_NAMES)
def test_each_part_can_be_silenced_and_the_others_stay(name):
    played = perform_chorus(chorus())
    left = {part.name: part.notes for part in muted(played, [name]).parts}
    whole = {part.name: part.notes for part in played.parts}
    for other in PART_NAMES:
        if other != name:
            assert left[other] == whole[other]
    clicks = tuple(note for note in whole["drums"] if note.midi == SIDE_STICK)
    assert left.get(name, ()) == (clicks if name == "drums" else ())
    assert muted(played, [name]).beats == played.beats


def test_a_part_that_does_not_play_is_refused():
    with pytest.raises(TheoryError, match="no such part: 'kazoo'"):
        muted(perform_chorus(chorus()), ["kazoo"])
    with pytest.raises(TheoryError, match="no such bars"):
        perform_chorus(chorus(), bars=(30, 40))


def test_words_of_a_feel():
    assert [straight(text) for text in ("Bossa Nova", "even 8ths", "swing", "")] == [
        True,
        True,
        False,
        False,
    ]


def test_the_words_of_a_chart_choose_the_feel_of_the_band():
    # Common practice: what a rhythm section plays when it reads these words.
    wanted = {
        "swing": "four",
        "Jazz Waltz": "waltz",
        "Bossa Nova": "bossa",
        "straight eighths": "straight",
        "slow ballad": "ballad",
        "medium, in two": "two",
        "": "four",
    }
    assert {words: band_feel(words) for words in wanted} == wanted
    waltz = perform_chorus(chorus("rain_on_the_skylight"), count_in=0)
    drums = next(part for part in waltz.parts if part.name == "drums").notes
    feet = {note.start % 3 for note in drums if note.midi == 44}
    assert 1 in feet
    assert 0 not in feet


def test_the_drummer_fills_before_the_sections_of_the_chart():
    text = "[A]\n| Dm7 | G7 | C6 | % | Dm7 | G7 |\n[B]\n| Gm7 | C7 | F6 | % |"
    whole = write_chorus(Chart.parse(f"feel: swing\nkey: C\n{text}"))
    drums = next(p for p in perform_chorus(whole, count_in=0).parts if p.name == "drums").notes
    snares = [n.start // 4 for n in drums if n.midi in (38, 43, 45, 48)]
    heavy = [snares.count(bar) for bar in range(10)]
    assert heavy[5] >= 3  # the bar before B, where eights would put it at the eighth
    assert max(heavy[:5]) < 3
