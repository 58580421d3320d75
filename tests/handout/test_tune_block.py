"""The block of a tune: what each chord does, where it is asked for."""

import io
import re

import pytest
from pypdf import PdfReader

from theorykit.errors import TheoryError
from theorykit.handout import Edition, Handout
from theorykit.handout.blocks import TuneBlock
from theorykit.handout.blocks.block import Place
from theorykit.handout.fitting import fitted
from theorykit.handout.front import FITS, PAPERS
from theorykit.handout.page import Engraver, page_pdf
from theorykit.handout.pieces import Picture, StaffLabel, Table
from theorykit.notes.reader import READERS, reader
from theorykit.tunes.charts import Chart
from theorykit.views.tune import JOB_HEADS

CHART = "title: Two Chairs\nkey: Eb\n| Cm7 F7 | Fm7 Bb7 | Eb6 | % |"
# What a pianist would say, and the same a major sixth higher on the page of an alto.
BY_HAND = {
    "concert": ["ii of F7", "V of B♭7", "ii of B♭7", "V of E♭6", "tonic"],
    "E flat": ["ii of D7", "V of G7", "ii of G7", "V of C6", "tonic"],
}


def pieces(jobs: str, who: str = "concert", size: str = "normal", more: str = ""):
    """The pieces of the section of the tune."""
    head, _, bars = CHART.rpartition("\n")
    tempo, _, rest = more.partition("\n")
    chart = f"{head}\n{tempo}\n{bars}\n{rest}" if more else CHART
    block = TuneBlock(chart=chart, lines="none", jobs=jobs)
    return block.section(Engraver(reader(who), size), block.place_in([block], 0)).pieces


def tables(found) -> list[Table]:
    """The tables of jobs."""
    return [p for p in found if isinstance(p, Table) and p.heads == JOB_HEADS]


def test_no_job_is_printed_that_was_not_asked_for():
    assert TuneBlock(chart=CHART).jobs == "none"
    found = pieces("none")
    assert not tables(found)
    assert "tonic" not in next(p for p in found if isinstance(p, Picture)).svg


@pytest.mark.parametrize(("who", "jobs"), BY_HAND.items())
def test_jobs_are_printed_as_the_reader_has_the_chords(who, jobs):
    (table,) = tables(pieces("in a table", who))
    assert [row[2] for row in table.rows] == jobs
    grid = next(p for p in pieces("in the grid", who) if isinstance(p, Picture))
    assert not tables(pieces("in the grid", who))
    for job in jobs:
        assert f"({job})" in grid.alt


@pytest.mark.parametrize("who", [one.name for one in READERS])
def test_large_print_keeps_the_grid_with_all_that_stands_in_it(who):
    """Key, metre, tempo, sections, brackets and jobs, four bars a row as in normal print."""
    large = pieces("in the grid", who, "large print", "tempo: 132\n[A]\n| C6 | % |\n")
    assert not tables(large)
    grid = [piece for piece in large if isinstance(piece, Picture)]
    assert [picture.follows for picture in grid] == [False]
    whole = "".join(picture.svg for picture in grid)
    page = Chart.parse(CHART).written_for(reader(who))
    for text in (page.key.pretty, "4/4", "132 beats a minute", "A", "ii-V-I", "tonic"):
        assert re.search(rf">[^<]*{re.escape(text)}", whole), text
    numbers = [sum(f">{bar}<" in picture.svg for bar in range(1, 7)) for picture in grid]
    assert numbers == [6]
    assert grid[0].alt.startswith("Chart of Two Chairs")


# The melody, written by hand: what a pianist and an alto read under the same chords.
MELODY = "half G4 Eb4 | 8th F4 G4 Ab4 Bb4 half Bb3 | whole G4 | whole rest"
NAMES = {
    "concert": "notes G4, E♭4, F4, G4, A♭4, B♭4, B♭3, G4.",
    "E flat": "notes E5, C5, D5, E5, F5, G5, G4, E5.",
    "B flat": "notes A4, F4, G4, A4, B♭4, C5, C4, A4.",
    "bass clef": "notes G3, E♭3, F3, G3, A♭3, B♭3, B♭2, G3.",
}


@pytest.mark.parametrize(("who", "names"), NAMES.items())
def test_the_melody_stands_under_its_chords_for_every_reader(who, names):
    block = TuneBlock(chart=CHART, lines="none", melody=MELODY)
    section = block.section(Engraver(reader(who)), block.place_in([block], 0))
    title, view = section.scores[0]
    assert title.endswith("the melody")
    assert names in view.alt
    assert len(view.chords) == 6
    assert StaffLabel("The melody, under its chords") in section.pieces
    assert block.labels[0] == "with the melody"
    assert not block.without("melody").section(Engraver(), block.place_in([block], 0)).scores


def test_a_melody_that_does_not_fit_its_bars_is_refused():
    with pytest.raises(TheoryError, match="melody: bar 2"):
        TuneBlock(chart=CHART, melody="whole G4 | half F4 | whole G4 | whole rest")


SIXTEEN = "key: F\n" + "| Gm7 | C7 | Fmaj7 | % | Am7b5 | D7 | Gm7 | % " * 2 + "|"


@pytest.mark.parametrize("paper", PAPERS)
def test_the_grid_of_sixteen_bars_is_not_torn_in_large_print(paper: str):
    """It stood on two pages, and the reader turned it in the middle of the form."""
    block = TuneBlock(chart=SIXTEEN, treatment="proposed", lines="none", show=("grid", "brackets"))
    edition = Edition(size="large print", paper=paper)
    for fits in FITS:
        for lines in range(0, 9, 2):
            note = "\n\n".join(["Sing."] * lines)
            handout = Handout("Rows", note=note, blocks=(block,), fits=fits)
            one = fitted(handout, handout.blocks, edition)
            made = PdfReader(io.BytesIO(page_pdf(handout, one.sections, edition, one.setting)))
            with_grid = [page for page in made.pages if "ii-V" in page.extract_text()]
            assert len(with_grid) == 1
            words = with_grid[0].extract_text().split()
            assert {"1", "5", "9", "13", "16", "underlined:"} <= set(words)


FORM = "title: Wet Gloves\nkey: F\n\n[A]\n|: Gm7 | C7 :|\n[B]\n| Fmaj7 | D7 |\n"


def test_sections_of_a_tune_can_be_chosen_in_its_player():
    """As the form is played, the repeat written out: by hand."""
    wanted = (("A, bars 1 to 2", 0, 1), ("A, bars 3 to 4", 2, 3), ("B, bars 5 to 6", 4, 5))
    for lines, count in (("chorus", 2), ("guide tones", 3), ("none", 1)):
        takes = [one.take for one in TuneBlock(chart=FORM, lines=lines).examples(120)]
        assert [take.sections for take in takes] == [wanted] * count
        assert {len(take.bars) for take in takes} <= {6, 7}  # a chorus may end on the top
    alone = TuneBlock(chart="| Gm7 | C7 | F6 |").examples(120)
    assert [one.take.sections for one in alone] == [(), ()]


MARKS = {"colour": "underlined", "outside": "line above", "landing": "slanted"}


def test_the_head_of_a_chorus_tells_the_marks_that_stand_under_its_notes_and_no_others():
    """A line above for what rubs was explained over a chorus in which nothing rubs."""
    seen = set()
    for seed in range(12):
        block = TuneBlock(chart="key: Bb\n| Cm7 | F7 | Bb6 | % |", treatment="proposed", seed=seed)
        found = block.section(Engraver(), Place())
        marks = {note.mark for note in found.scores[0][1].notes}
        head = next(one.text for one in found.pieces if isinstance(one, StaffLabel))
        for mark, words in MARKS.items():
            assert (words in head) == (mark in marks)
        seen |= {"outside" in marks}
    assert False in seen
