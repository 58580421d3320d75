"""The form of a block: it offers what its block takes, and gives back what was put in."""

from __future__ import annotations

import ipywidgets as ipw
import pytest
from blocks import ONE_OF_EACH
from together import together

from theorykit import KEYS, Key, demonstration, read_line
from theorykit.errors import TheoryError
from theorykit.handout.blocks import KINDS, Block, LineBlock, TextBlock
from theorykit.handout.blocks.all_keys_block import AllKeysBlock
from theorykit.handout.blocks.listen_block import ListenBlock
from theorykit.handout.blocks.plan_block import PlanBlock, Step
from theorykit.handout.blocks.question_block import Question, QuestionBlock
from theorykit.handout.entries import entries
from theorykit.handout.handout import Handout
from theorykit.widgets.handouts.block_form import FRONT, ONE_A_LINE, Form, block_rows

each_block = pytest.mark.parametrize("block", ONE_OF_EACH, ids=lambda block: block.kind)


def lists(form: Form) -> list[str]:
    """The names of the fields with a list to choose from."""
    return [name for name, field in form.fields.items() if isinstance(field, ipw.Dropdown)]


@each_block
def test_a_block_takes_everything_that_its_form_offers(block: Block):
    form = Form(block.kind, block)
    for name in lists(form):
        field, before = form.fields[name], form.fields[name].value
        for value in field.options:
            field.value = value
            assert getattr(form.read(), name) == value
        field.value = before
    assert form.read() == block


@each_block
def test_a_block_takes_the_least_and_the_most_and_nothing_beyond(block: Block):
    form = Form(block.kind, block)
    for entry in entries(type(block)):
        least, most = entry.about.least, entry.about.most
        if least is None:
            continue
        field, before = form.fields[entry.name], form.fields[entry.name].value
        for number in (least, most):
            field.value = str(number)
            assert getattr(form.read(), entry.name) == number
        for number in (least - 1, most + 1):
            field.value = str(number)
            with pytest.raises(TheoryError, match=f"want a whole number from {least} to {most}"):
                form.read()
        field.value = before


def test_what_is_taken_one_by_one_has_a_list_and_each_layout_its_own():
    assert {kind: lists(Form(kind)) for kind in ("colour in all keys", "staves", "tune")} == {
        "colour in all keys": ["colour", "key", "step", "layout", "form"],
        "staves": ["key", "form", "layout"],
        "tune": ["lines", "jobs"],
    }
    assert Form("colour in all keys").fields["layout"].options == ("table", "staves")
    assert Form("staves").fields["layout"].options == ("wide", "beside")
    assert lists(Form(FRONT)) == ["melody", "key", "fits", "web_questions"]


# Lists: an item comes back whole, whatever is in it.

COMMAS = (
    ListenBlock(things=("Listen to bar 3, then bar 5", "one, two, three"), names=("E", "G7")),
    TextBlock(text="Over G7(b9,13) or E", names=("G7(b9,13)", "E")),
    PlanBlock(steps=(Step(minutes=5, what="Play, rest, play | sing"),)),
    QuestionBlock(questions=(Question(question="C, E, G?", answer="A chord | of C"),)),
    AllKeysBlock(colour="altered", names=("C6/9", "Bb")),
)


@pytest.mark.parametrize("block", [*ONE_OF_EACH, *COMMAS], ids=lambda block: block.kind)
def test_a_block_goes_through_its_form_unchanged(block: Block):
    assert Form(block.kind, block).read() == block


def test_a_list_of_texts_has_one_on_each_line_and_a_list_of_names_has_commas():
    form = Form("listen")
    form.fields["things"].value = "Bar 3, then bar 5\n\n the way home "
    form.fields["names"].value = "G7(b9,13), E ,"
    made = form.read()
    assert made.things == ("Bar 3, then bar 5", "the way home")
    assert made.names == ("G7(b9,13)", "E")


def test_a_row_without_its_bar_is_refused_in_words():
    form = Form("plan")
    form.fields["steps"].value = "Sing the roots."
    with pytest.raises(
        TheoryError, match=r"'Sing the roots.' has no \| in it \(want minutes \| what\)"
    ):
        form.read()


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_says_what_it_is_for(kind: str):
    form = Form(kind)
    assert all(field.tooltip for field in form.fields.values())
    assert form.fields["names"].placeholder == "G7, Eb"
    assert "for each reader" in form.fields["names"].tooltip


@pytest.mark.parametrize("kind", [FRONT, *KINDS])
def test_every_field_shows_an_example_of_its_own_that_it_takes(kind):
    form = Form(kind)
    shown = {
        name: field.placeholder.removesuffix(ONE_A_LINE)
        for name, field in form.fields.items()
        if isinstance(field, (ipw.Text, ipw.Textarea))
    }
    assert "" not in {text.strip("\u200b ") for text in shown.values()}
    apart = {"example"} if kind == "listen" else set()  # it needs another block to speak of
    form.fill({name: text for name, text in shown.items() if name not in apart})
    assert form.read().title if kind == FRONT else form.read().kind == kind


def test_a_block_of_questions_is_told_by_the_first_of_them():
    typed = QuestionBlock(questions=(Question(question="Which note bends G7?", answer="Ab"),))
    asked = QuestionBlock(colours=("b9", "altered"), keys=("Db",))
    rows = block_rows(Handout("Warm-up", blocks=(typed, asked)))
    assert [row for row, _ in rows[1:]] == [
        "1  questions  Which note bends G7?",
        "2  questions  b9 altered",
    ]


def test_ticks_of_names_are_there_while_a_new_block_is_typed():
    """The field answers every keystroke; that of a block of the handout, when it is left."""
    form, text = Form("text"), "Ask Mr. B. Adams at the C Club about G7"
    assert form.fields["text"].continuous_update
    assert form.fields["heading"].continuous_update
    assert not Form("text", TextBlock(text=text)).fields["text"].continuous_update
    form.fields["text"].value = text
    assert [box.description for box in form.names.children[1:]] == ["C", "G7"]
    form.fields["as_typed"].value = "C Club, Adams"
    assert [box.description for box in form.names.children[1:]] == ["G7"]
    assert "kept as typed by: Adams." in form.idle.value
    form.fields["as_typed"].value = "C Club"
    assert not form.idle.value


# === A line and its key ===

FLAT = demonstration("Eb", "short", "b9 13")
OVER_EB = {"line": FLAT.text, "key": "Eb", "form": "short"}


def lined(**typed: str) -> Form:
    """The form of a block with a line."""
    return Form("line", LineBlock(**{**OVER_EB, **typed}))


@together("key", [key for key in KEYS if not key.is_minor], ids=str)
def test_another_key_moves_the_line_of_a_block_as_the_desk_for_lines_does(key: Key):
    form, name = lined(), str(key).removesuffix(" major")
    form.fields["key"].value = name
    block = form.read()
    assert (block.key, block.music()) == (name, FLAT.transposed(key))
    form.fields["key"].value = "Eb"
    assert form.read() == LineBlock(**OVER_EB)


def test_a_line_that_was_moved_is_read_as_it_was_before():
    form = lined()
    before = [note.role for note in read_line(form.read().music()).notes]
    form.fields["key"].value = "F"
    assert [note.role for note in read_line(form.read().music()).notes] == before
    assert "Moved to F major." in form.told.value
    form.fields["colour"].value = "b9 13"
    assert form.told.value == ""


def test_a_line_that_was_typed_in_the_key_that_is_told_next_stays():
    typed = demonstration("F", "short", "altered").text
    form = lined()
    form.fields["line"].value = typed
    form.fields["key"].value = "F"
    assert form.values["line"] == typed
    assert "in F major already" in form.told.value
    form.fields["key"].value = "G"  # from there it goes along
    assert form.read().music() == demonstration("F", "short", "altered").transposed("G")


def test_a_wrong_key_of_a_block_is_mended_without_moving_its_line():
    form = lined(key="A")  # E flat notes over Bm7 E7 Amaj7
    form.fields["key"].value = "Eb"
    assert form.values["line"] == FLAT.text


def test_a_key_of_the_other_mode_leaves_the_notes_and_the_next_one_moves_them():
    form = lined()
    form.fields["key"].value = "C minor"
    assert form.values["line"] == FLAT.text
    assert "stayed as they are" in form.told.value
    form.fields["key"].value = "F"
    assert form.read().music() == FLAT.transposed("F")


def test_a_block_without_a_key_is_moved_from_that_of_the_sheet():
    form = lined(key="")
    form.plain_key = lambda: "Eb major"
    form.fields["key"].value = "Gb"
    assert form.read().music() == FLAT.transposed("Gb")


def test_changes_of_a_blocks_own_move_with_their_line_and_a_key_that_mends_theirs_moves_nothing():
    own = {"line": "half Ab4 D4 | whole G4", "changes": "Fm7 Bb7 | Eb6"}
    form = lined(**own)
    form.fields["key"].value = "B"
    assert (form.values["changes"], form.values["line"]) == (
        "C#m7 F#7 | B6",
        "half E4 A#3 | whole D#4",
    )
    for wrong in ("C", ""):
        form = lined(**own, key=wrong)
        form.fields["key"].value = "Eb"
        assert (form.values["changes"], form.values["line"]) == (own["changes"], own["line"])


def test_what_was_left_half_typed_comes_back_as_it_was():
    form = lined()
    form.fill({"key": "F", "line": "half Bb4 E4"})
    assert (form.values["key"], form.values["line"]) == ("F", "half Bb4 E4")
    form = lined()
    form.fill({"key": "F"})
    assert form.values["line"] == FLAT.text
