"""A teacher's own colour: written into the text of a handout, and read back."""

import pytest

from theorykit.errors import TheoryError
from theorykit.handout.blocks import AllKeysBlock, ColourBlock, QuestionBlock
from theorykit.handout.handout import Handout
from theorykit.harmony.colours import COLOURS, Colour, colour
from theorykit.notes.degree import degrees
from theorykit.widgets.handouts.block_form import Form

OWN = Colour("hearth", degrees("b9 11 13"), ("minor",), "by hand")
FULL = Colour(
    "ember", degrees("3 b13 b7"), ("major",), "a neighbour", "", degrees("11"), (), "the ember"
)
WRITTEN = 'colour = {name = "hearth", degrees = "b9 11 13", targets = ["minor"]}'


@pytest.mark.parametrize("own", [OWN, FULL])
def test_an_own_colour_is_written_and_read_back(own):
    blocks = (ColourBlock(colour=own, key="Db"), AllKeysBlock(colour=own))
    handout = Handout("Own", blocks=(*blocks, QuestionBlock(colours=(own, "b9"), keys=("F#",))))
    assert Handout.parse(str(handout)) == handout
    assert str(Handout.parse(str(handout))) == str(handout)


def test_it_stands_there_in_one_short_line():
    assert WRITTEN in str(Handout("Own", blocks=(ColourBlock(colour=OWN),)))


def test_a_colour_of_the_house_is_written_by_its_name():
    assert 'colour = "b9 13"' in str(Handout("x", blocks=(ColourBlock(colour=colour("b9 13")),)))
    told = 'title = "x"\n[[block]]\nkind = "colour"\ncolour = {name = "b9", degrees = "3 5 b7 b9"}'
    assert Handout.parse(told).blocks[0].colour == COLOURS[0]


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ('{name = "hearth"}', "not a colour"),
        ('{name = "", degrees = "b9"}', "not a colour"),
        ('{name = "hearth", degrees = ""}', "not a colour"),
        ('{name = "hearth", degrees = "b99"}', "not a degree"),
        ('{name = "hearth", degrees = 9}', "not the degrees"),
        ('{name = "hearth", degrees = "b9", targets = ["blue"]}', "no such targets"),
        ('{name = "hearth", degrees = "b9", targets = "major"}', "not a list of targets"),
        ('{name = "hearth", degrees = "b9", shade = "red"}', "no such entry in a colour: 'shade'"),
        ('{name = "altered", degrees = "b9"}', "there is a colour 'altered' already"),
        ("9", "text in quotes"),
    ],
)
def test_what_is_no_colour_is_refused_with_its_line(table, words):
    text = f'title = "x"\n\n[[block]]\nkind = "colour"\ncolour = {table}\n'
    with pytest.raises(TheoryError, match="line 5") as refusal:
        Handout.parse(text)
    assert words in str(refusal.value)


def test_the_form_of_a_block_keeps_its_own_colour():
    form = Form("colour", ColourBlock(colour=OWN, key="F"))
    form.fields["key"].value = "Gb"
    assert form.read() == ColourBlock(colour=OWN, key="Gb")
    form.fields["colour"].value = "altered"
    assert form.read().colour == "altered"
