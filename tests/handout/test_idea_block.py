"""One idea in several colours on a page, and lines that are written for a page."""

import pytest

from theorykit.errors import TheoryError
from theorykit.handout.blocks import section_of
from theorykit.handout.blocks.block import Place
from theorykit.handout.blocks.idea_block import IdeaBlock
from theorykit.handout.blocks.line_block import LineBlock
from theorykit.handout.page import Engraver
from theorykit.lines.writing import Wishes, write_lines
from theorykit.notes.reader import reader
from theorykit.tunes.progression import two_five_one

COLOURS = ("9 #11 13", "b9 13", "altered")


@pytest.mark.parametrize("who", ["concert", "B flat", "E flat"])
def test_each_colour_has_a_staff_of_the_same_rhythm(who):
    block = IdeaBlock(colours=COLOURS, key="Db", form="short", seed=5)
    section = section_of(block, Place(), Engraver(reader(who)))
    assert len(section.scores) == 3
    rhythms = {tuple((note.start, note.beats) for note in view.notes) for _, view in section.scores}
    assert len(rhythms) == 1
    for _, view in section.scores:
        assert any(note.mark == "colour" for note in view.notes)
        assert all(abs(note.pitch.note.alteration) < 2 for note in view.notes)


def test_all_versions_sound_back_to_back_with_a_bar_between():
    block = IdeaBlock(colours=COLOURS, form="short", seed=5)
    examples = {one.label: one.played for one in block.examples(120)}
    assert set(examples) == set(block.labels)
    played = examples["with the line"]
    bars = 3 * 2 + 2  # three phrases of two bars, a bar of I between them
    assert played.beats >= 4 * bars
    assert not any(part.name == "line" for part in examples["without the line"].parts)


def test_fresh_lead_ins_differ_and_the_rest_stays():
    same = IdeaBlock(colours=COLOURS, seed=5).idea()
    fresh = IdeaBlock(colours=COLOURS, seed=5, leads="fresh").idea()
    for one, other in zip(same.lines, fresh.lines, strict=True):
        assert [n for n in one.notes if n.start >= 4] == [n for n in other.notes if n.start >= 4]
    assert len({line.text.partition("|")[0] for line in fresh.lines}) > 1


def test_an_idea_needs_colours_that_are_there():
    for colours, words in (((), "no colours"), (("green",), "no such colour")):
        with pytest.raises(TheoryError, match=words):
            IdeaBlock(colours=colours)


def test_a_line_without_notes_is_written_to_the_wishes():
    wishes = {"density": "sparse", "begins": "pickup", "ends": "held", "reach": "a tenth"}
    block = LineBlock(line="", key="Eb", colour="b9 13", seed=4, manner="sung", **wishes)
    wanted = Wishes(manner="sung", **wishes)
    over = two_five_one("Eb")
    assert block.music() == write_lines(over, "b9 13", count=1, seed=4, wishes=wanted)[0]
    assert block.music().notes[0].start < 0


def test_a_line_is_read_with_the_colour_that_is_chosen():
    """What is foreign to the colour is not marked as colour."""
    text = "8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4"
    marks = []
    for colour in ("b9 13", "b9"):
        block = LineBlock(line=text, form="short", colour=colour)
        view = section_of(block, Place(), Engraver()).scores[0][1]
        marks.append([note.mark for note in view.notes][5:7])
    assert marks == [["colour", "colour"], ["colour", ""]]


def test_a_wish_that_cannot_be_kept_is_told():
    with pytest.raises(TheoryError, match="stands in the way"):
        LineBlock(line="", changes="G7 | C6", colour="b9", begins="after a rest")
