"""What a handout explains or names, it does once."""

import re

import pytest
from sheets import READY, pdf, ready, text_of

from theorykit.handout import Edition
from theorykit.handout.blocks import ColourBlock, sections_of
from theorykit.handout.page import Engraver, article
from theorykit.handout.pieces import STAFF_WORDS, Lead, Para, Section, said_once
from theorykit.notes.reader import READERS

SIX = ready("six_colours")
COUNT = re.compile(r"(\S+): [\d,]+ of [\d,]+ notes over a dominant going to a (major|minor)")


@pytest.mark.parametrize("name", READY)
def test_staves_are_explained_once(name: str):
    text = text_of(pdf(ready(name), Edition()))
    assert text.count(STAFF_WORDS) == (name != "a_tune_with_its_lines")


@pytest.mark.parametrize("who", [one.name for one in READERS])
def test_a_teacher_reads_the_source_once_and_each_count_once(who: str):
    text = text_of(pdf(SIX, Edition(who, "teacher")))
    assert text.count("Weimar Jazz Database") == 1
    counts = COUNT.findall(text)
    assert len(counts) == len(set(counts)) == 5  # by hand: the altered scale would count b9 again


def test_a_web_page_says_it_once_too():
    sections = sections_of(SIX.blocks, Engraver())
    words = "".join(article(SIX, sections, READERS[0], "teacher").sections)
    assert words.count("Weimar Jazz Database") == words.count(STAFF_WORDS) == 1


def test_what_a_teacher_types_is_never_left_out():
    typed = "Sing it first, counted in twos."
    margin = (typed, "♭9: 1 of 2 notes, counted in transcribed solos (456 solos in all).")
    one, two = said_once([Section("", (Lead("A"),), margin=margin)] * 2)
    assert one.margin == margin
    assert two.margin == (typed,)
    assert one.pieces == two.pieces == (Lead("A"),)


def test_a_section_without_a_staff_explains_none():
    block = ColourBlock(colour="b9", show=("notes", "table"))
    (section,) = sections_of([block], Engraver())
    assert Para(STAFF_WORDS, small=True) not in section.pieces
