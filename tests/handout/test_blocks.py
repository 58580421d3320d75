"""Kinds of block: everything that the house knows of a kind is asked of its class."""

from __future__ import annotations

import ast
from dataclasses import replace

import pytest
from blocks import ONE_OF_EACH
from house import PACKAGE

from theorykit.handout import EVERYONE, Edition, Handout
from theorykit.handout.blocks import KINDS, Block, ColourBlock, recordings, sections_of
from theorykit.handout.blocks.all_keys_block import AllKeysBlock
from theorykit.handout.blocks.line_block import LineBlock
from theorykit.handout.blocks.plan_block import PlanBlock, Step
from theorykit.handout.blocks.question_block import QuestionBlock
from theorykit.handout.entries import entries, own_words
from theorykit.handout.handout import moved_hint, moved_words
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import Para
from theorykit.notes.reader import reader

each_block = pytest.mark.parametrize("block", ONE_OF_EACH, ids=lambda block: block.kind)


def test_each_kind_has_a_file_of_its_own_and_each_file_a_kind():
    files = {file.stem for file in (PACKAGE / "handout" / "blocks").glob("*_block.py")}
    homes = [one.__module__.rpartition(".")[2] for one in KINDS.values()]
    assert sorted(homes) == sorted(files)


def test_no_other_file_of_the_room_names_a_kind():
    """Examples in docstrings may; code may not, but for what takes a block over from a desk."""
    names = {one.__name__ for one in KINDS.values()}
    for file in (PACKAGE / "handout").rglob("*.py"):
        if file.parent.name != "blocks":
            tree = ast.parse(file.read_text(encoding="utf-8"))
            used = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
            assert not used & names, file


@each_block
def test_every_entry_that_tells_a_block_is_an_entry_of_it(block: Block):
    assert set(block.telling) <= {entry.name for entry in entries(type(block))}


# Words that are moved.

B_FLAT = Edition("B flat")
HEADED = ColourBlock(colour="b9 13", heading="Over G7 think small")
PLAN = PlanBlock(steps=(Step(minutes=5, what="Play the E triad over G7"),))


@pytest.mark.parametrize(("block", "words"), [(HEADED, ("G7",)), (PLAN, ("E", "G7"))])
def test_a_heading_and_a_step_are_told_like_any_other_text(block, words):
    handout = Handout("Thursday", blocks=(block,))
    assert moved_words(handout) == words
    assert f"are written for the reader: {', '.join(words)}." in moved_hint(handout, B_FLAT)
    told = {one.reader for one in EVERYONE if moved_hint(handout, one)}
    assert told == {"B flat", "E flat", "F"}


@each_block
def test_the_heading_of_every_kind_is_moved_unless_the_teacher_says_no(block: Block):
    headed = replace(block, heading="Over G7 think small", names=())
    assert "G7" in moved_words(Handout("Thursday", blocks=(headed,)))
    left = replace(headed, as_typed=("G7",))
    assert "G7" not in moved_words(Handout("Thursday", blocks=(left,)))
    *_, section = sections_of((HEADED, left), Engraver(reader("B flat")))
    assert section.heading == "Over G7 think small"
    blocks = (HEADED, headed)
    *_, section = sections_of(blocks, Engraver(reader("B flat")))
    assert section.heading == "Over A7 think small"
    *_, section = sections_of(blocks, Engraver(reader("concert")))
    assert section.heading == "Over G7 think small"


def test_the_step_of_a_plan_is_moved():
    (section,) = sections_of([PLAN], Engraver(reader("E flat")))
    assert section.pieces[0].rows[0][1] == "Play the C♯ triad over E7"


@each_block
def test_a_block_tells_every_text_that_a_teacher_types_as_words(block: Block):
    """But the margin, which is the teacher's own."""
    typed = [block.heading, *filter(None, [getattr(block, "text", "")])]
    typed += getattr(block, "things", ())
    typed += [step.what for step in getattr(block, "steps", ())]
    for one in getattr(block, "questions", ()):
        typed += [one.question, one.answer]
    assert list(own_words(block)) == typed


# Recordings.


def test_recordings_are_numbered_by_the_blocks_that_sound():
    found = recordings(ONE_OF_EACH)
    assert [one[0].number for one in found.values()] == list(range(1, len(found) + 1))
    assert {place: len(one) for place, one in found.items()} == {
        place: len(block.labels) for place, block in enumerate(ONE_OF_EACH) if block.labels
    }
    assert found[0][1].file == "sound/01 A - with the line"


@pytest.mark.parametrize(("key", "told"), [("Db", True), ("Bb minor", False)])
def test_a_colour_of_minor_through_major_keys_is_called_borrowed(key: str, told: bool):
    """As the block of one colour says it; in its own mode there is nothing to say."""
    block = AllKeysBlock(colour="minor's own", key=key, keys=3)
    (section,) = sections_of((block,), Engraver())
    texts = [piece.text for piece in section.pieces if isinstance(piece, Para)]
    said = (
        "This colour belongs with a minor tonic; on the way to a major one it is a borrowed sound."
    )
    assert [text for text in texts if "belongs with" in text] == [said] * told


@pytest.mark.parametrize(
    ("key", "layout", "said"),
    [
        ("Db", "table", "B♭♭ has a double accidental because by function"),
        ("C", "table", ""),
        ("Db", "staves", ""),  # its notes are the shape's own
    ],
)
def test_a_table_by_function_says_why_a_note_has_two_accidentals(key, layout, said):
    block = AllKeysBlock(colour="b9 13", key=key, keys=1, layout=layout)
    (section,) = sections_of((block,), Engraver())
    texts = " ".join(piece.text for piece in section.pieces if isinstance(piece, Para))
    assert texts.startswith(said)
    assert bool(texts) == bool(said)


def test_a_made_question_speaks_of_a_colour():
    block = QuestionBlock(colours=("minor's own", "b9 13"), keys=("Db",))
    (section,) = sections_of((block,), Engraver())
    asked = [piece.question for piece in section.pieces]
    assert asked[0] == (
        "What is the shortest way to think of minor's own colour over A♭7, on the way to D♭maj7?"
    )


def test_a_written_line_and_a_typed_one_over_the_same_chords_have_two_headings():
    written = LineBlock(line="", key="Bb", form="short", colour="b9 13")
    typed = LineBlock(line=str(written.music()), key="Bb", form="short", colour="b9 13")
    heads = [section.heading for section in sections_of([written, typed], Engraver())]
    assert heads == ["A line over Cm7 F7 B♭maj7, ♭9 13", "A line over Cm7 F7 B♭maj7"]
