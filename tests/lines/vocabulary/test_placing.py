"""Phrases out of a book: placed where they fit in length, tempo and harmony, never squeezed."""

from fractions import Fraction

import pytest

from theorykit.harmony.colours import colour
from theorykit.lines.chorus import write_chorus
from theorykit.lines.text import Line
from theorykit.lines.vocabulary import placed_over
from theorykit.study.phrasebook import PhraseBook, phrases_from
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import two_five_one
from theorykit.tunes.treatments import Treatment

SHORT = Line.parse("8th A4 C5 F5 D5 B4 D5 B4 D5 | whole C5", two_five_one("C", "short"))
LONG = Line.parse(
    "8th F4 A4 C5 E5 D5 C5 A4 F4 | B4 D5 C5 A4 G4 B4 F4 D4 | whole E4", two_five_one("C")
)


# By hand: does the phrase fit over these chords in F?
FITS = [
    (SHORT, "Gm7 C7 | F6", True),
    (SHORT, "C7 | F6", True),  # short material fits a long bar
    (SHORT, "Gm7 C7 | Em7", False),  # its landing C, here F, is no note of Em7
    (SHORT, "Gm7 | C7 | F6", True),  # in the bar before I
    (SHORT, "Gm7 Db7 | F6", False),  # E over Db7 is foreign, on a beat
    (LONG, "Gm7 | C7 | F6", True),
    (LONG, "Gm7 C7 | F6", False),  # too long: it would have to be twice as fast
    (LONG, "C7 | F6", False),
]


@pytest.mark.parametrize(("line", "bars", "fits"), FITS)
def test_a_phrase_fits_by_length_and_harmony(line, bars, fits):
    over = Chart.of("F", *bars.split(" | ")).progression
    found = placed_over(line, over)
    assert (found is not None) == fits
    if found is not None:
        assert [n.beats for n in found.notes][:-1] == [n.beats for n in line.notes][:-1]
        moved = {b.pitch.midi - a.pitch.midi for a, b in zip(line.notes, found.notes, strict=True)}
        assert len(moved) == 1
        assert found.notes[-1].start == over.chords[-1].start


def test_a_phrase_too_quick_for_the_tempo_is_left_in_the_book():
    """Sixteenths at 120 are eight notes a second, at 200 more than thirteen."""
    text = "16th A4 C5 F5 D5 8th B4 D5 B4 D5 B4 D5 | whole C5"
    quick = Line.parse(text, two_five_one("C", "short"))
    over = Chart.of("F", "Gm7 C7", "F6").progression
    assert placed_over(quick, over, tempo=120) is not None
    assert placed_over(quick, over, tempo=200) is None


def test_a_phrase_of_another_mode_does_not_fit():
    assert placed_over(SHORT, two_five_one("C minor", "short")) is None


def test_the_colour_of_the_chords_counts():
    line = Line.parse("8th A4 C5 F5 A5 F5 D5 A4 D5 | whole C5", two_five_one("F", "short"))
    over = two_five_one("C", "short")
    assert placed_over(line, over, colour("b9 13")) is None or line.progression != over


@pytest.fixture
def book(tmp_path):
    found = PhraseBook(tmp_path / "thursday.sqlite")
    found.keep("short one", SHORT)
    found.keep("long one", LONG)
    return found


def lengths(line):
    """The lengths that occur."""
    return {note.beats for note in line.notes}


def test_no_chorus_plays_a_phrase_of_the_book_twice_as_fast(book):
    """Before, a long phrase went into a short cadence in double time, without a word."""
    chart = Chart.of("F", "Gm7 C7", "F6", "Am7 D7", "G6", "Gm7", "C7", "F6", "%")
    for seed in range(6):
        chorus = write_chorus(chart, Treatment.plain(chart), seed=seed, source=phrases_from(book))
        for phrase in chorus.phrases:
            assert min(note.beats for note in phrase.notes) >= Fraction(1, 3)


def test_a_short_phrase_has_a_lead_in_where_the_cadence_is_long(tmp_path):
    book = PhraseBook(tmp_path / "one.sqlite")
    book.keep("short one", SHORT)
    chart = Chart.of("F", "Gm7", "C7", "F6", "%")
    chorus = write_chorus(chart, Treatment.plain(chart), seed=1, source=phrases_from(book))
    notes = chorus.phrases[0].notes
    assert any(note.start < 4 for note in notes)  # the bar of ii is not empty
    tail = [n.pitch.midi % 12 for n in notes if 4 <= n.start < 8]
    assert tail == [(n.pitch.midi + 5) % 12 for n in SHORT.notes[:8]]
