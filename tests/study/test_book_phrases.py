"""Phrases of a book in a chorus."""

from __future__ import annotations

from pathlib import Path

import pytest

from theorykit.lines.chorus import write_chorus
from theorykit.lines.text import Line
from theorykit.study.phrasebook import PhraseBook, phrases_from
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import two_five_one
from theorykit.tunes.treatments import Treatment

SHORT = "8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4"
LONG = "8th D5 C5 A4 F4 E4 F4 A4 C5 | B4 Ab4 F4 E4 half D4 | whole C4"


@pytest.fixture
def book(tmp_path: Path) -> PhraseBook:
    kept = PhraseBook(tmp_path / "thursday.sqlite")
    kept.keep("turn", Line.parse(SHORT, two_five_one("C", "short")), colour="b9 13")
    kept.keep("walk", Line.parse(LONG, two_five_one("C", "long")), colour="b9")
    kept.keep("sad", Line.parse("half D4 F4 | whole Eb4", two_five_one("C minor", "short")))
    return kept


def test_a_phrase_is_set_into_key_and_form(book):
    chart = Chart.of("F", "Gm7 C7", "F6", "Abm7", "Db7", "Gbmaj7", "%")
    treatment = Treatment.plain(chart).set(0, colour="b9 13").set(1, colour="b9")
    found = write_chorus(chart, treatment, source=phrases_from(book))
    first, second = (phrase.notes for phrase in found.phrases)
    assert [str(n.pitch) for n in first] == "D5 F5 Bb5 G5 E5 Db5 A4 G4 F4".split()
    assert [n.start for n in second][:8] == [8 + n / 2 for n in range(8)]
    # A tritone down: the b9 of D flat 7, E double flat, is written D.
    assert [str(n.pitch) for n in second][8:11] == "F4 D4 Cb4".split()


def test_where_the_book_has_nothing_the_writer_writes(book):
    chart = Chart.of("C", "Dm7 G7", "C6", "Am7 D7", "G6")
    treatment = Treatment.plain(chart).set(0, colour="altered").set(1, colour="b9 13")
    found = write_chorus(chart, treatment, seed=2, source=phrases_from(book))
    alone = write_chorus(chart, treatment, seed=2)
    assert found.phrases[0] == alone.phrases[0]
    assert found.phrases[1] != alone.phrases[1]


def test_a_phrase_of_the_other_mode_is_not_taken(book):
    chart = Chart.of("C", "Dm7 G7", "C6")
    found = write_chorus(chart, seed=2, source=phrases_from(book))  # "sad" is the only plain one
    assert found.line == write_chorus(chart, seed=2).line


def test_several_phrases_are_drawn_by_seed(book):
    for number in range(6):
        text = f"half {'ABCDEF'[number]}4 B4 | whole C5"
        book.keep(f"p{number}", Line.parse(text, two_five_one("C", "short")), colour="b9 13")
    chart = Chart.of("C", "Dm7 G7", "C6")
    treatment = Treatment.plain(chart).set(0, colour="b9 13")
    drawn = {
        write_chorus(chart, treatment, source=phrases_from(book, seed=seed)).line.text
        for seed in range(12)
    }
    again = [write_chorus(chart, treatment, source=phrases_from(book, seed=3)).line for _ in "ab"]
    assert len(drawn) > 2
    assert again[0] == again[1]
