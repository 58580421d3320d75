"""The handout as a value and as text: read back exactly, refused with line and proposal."""

import re
import tomllib
from datetime import date

import pytest
from blocks import ONE_OF_EACH
from house import ROOT
from hypothesis import given, strategies as st
from sheets import READY, ready
from together import together

from theorykit.errors import TheoryError
from theorykit.handout import Handout
from theorykit.handout.blocks import KINDS, ColourBlock, TextBlock, TuneBlock
from theorykit.handout.blocks.new_page_block import NewPageBlock
from theorykit.handout.blocks.plan_block import PlanBlock, Step
from theorykit.handout.blocks.substitution_block import SubstitutionBlock
from theorykit.handout.entries import entries
from theorykit.handout.pieces import checked_text
from theorykit.harmony.colours import COLOURS
from theorykit.harmony.substitution import NAMES
from theorykit.notes.key import KEYS


def test_one_of_each_kind_is_tried_here():
    assert [type(block) for block in ONE_OF_EACH] == list(KINDS.values())


def test_a_handout_with_every_kind_of_block_comes_back_from_its_text():
    handout = Handout(
        "Six «colours»",
        note="First.\n\nThen.",
        teacher="M. Okafor",
        date=date(2026, 3, 5),
        licence="free",
        tempo=88,
        melody="trumpet",
        names=("G7",),
        key="Bb",
        blocks=ONE_OF_EACH,
    )
    text = str(handout)
    assert Handout.parse(text) == handout
    assert str(Handout.parse(text)) == text
    assert tomllib.loads(text)["date"] == date(2026, 3, 5)  # what other readers of TOML see


@together("block", ONE_OF_EACH, ids=lambda block: block.kind)
def test_a_text_names_only_what_differs_from_the_defaults(block):
    table = tomllib.loads(str(Handout("x", blocks=(block,))))["block"][0]
    differing = {
        entry.name for entry in entries(type(block)) if getattr(block, entry.name) != entry.default
    }
    assert set(table) == differing | {"kind"}


@pytest.mark.parametrize("name", READY)
def test_the_ready_handouts_are_written_as_they_would_be_printed(name: str):
    handout = ready(name)
    assert Handout.parse(str(handout)) == handout


LETTERS = st.text(st.characters(exclude_categories=("Cc", "Cs", "Co", "Cn")), max_size=60)
LINES = st.lists(LETTERS, min_size=1, max_size=4).map("\n".join)


@given(title=LETTERS.filter(str.strip), note=LINES, text=LINES, cells=st.lists(LETTERS, max_size=3))
def test_any_text_comes_back_as_it_was_typed(title, note, text, cells):
    steps = tuple(Step(minutes=1, what=cell) for cell in cells) or (Step(minutes=1, what=""),)
    blocks = (TextBlock(text=text, margin=note), PlanBlock(steps=steps, heading=title))
    handout = Handout(title, note=note, blocks=blocks)
    assert Handout.parse(str(handout)) == handout


@together("colour", [one.name for one in COLOURS])
def test_every_colour_and_every_key_is_taken(colour: str):
    for key in KEYS:
        block = ColourBlock(colour=colour, key=str(key))
        assert Handout.parse(str(Handout("x", blocks=(block,)))).blocks == (block,)


@together("name", NAMES)
def test_every_substitute_is_taken(name: str):
    assert SubstitutionBlock(substitute=name).substitute == name


TOP = 'title = "x"\n\n'
BAD = {
    "line 1: a handout without title": "note = 'x'",
    "a handout without a title": "title = ' '",
    "line 2: no such entry in a handout: 'colour'": 'title = "x"\ncolour = "b9"',
    "line 1: title: 7 (want text in quotes)": "title = 7",
    "line 2: tempo: '100' (want a whole number)": 'title = "x"\ntempo = "100"',
    "line 2: no such tempo: 900": 'title = "x"\ntempo = 900',
    "line 2: no such melody: 'kazoo'": 'title = "x"\nmelody = "kazoo"',
    "line 1: an entry whose value": "title = six",
    "line 4: no such kind of block: 'color' (want colour, colour in all keys": TOP
    + '[[block]]\nkind = "color"',
    "no such kind of block: None": TOP + "[[block]]",
    "line 3: a block of the kind colour without colour": TOP + '[[block]]\nkind = "colour"',
    "line 5: no such colour: 'blue'": TOP + '[[block]]\nkind = "colour"\ncolour = "blue"',
    "line 6: not a key": TOP + '[[block]]\nkind = "colour"\ncolour = "b9"\nkey = "H"',
    "line 6: no such entry in a block of the kind colour: 'keys' (want colour, key": TOP
    + '[[block]]\nkind = "colour"\ncolour = "b9"\nkeys = ["C"]',
    "line 8: no such form: 'tall' (want long, short, split)": TOP
    + '[[block]]\nkind = "new page"\n[[block]]\nkind = "staves"\n\nform = "tall"',
    "line 5: line: bar 1, character 5: 'H5' is no note": TOP
    + '[[block]]\nkind = "line"\nline = "8th H5"',
    "line 5: changes 'Dm7 | G8': ": TOP + '[[block]]\nkind = "staves"\nchanges = "Dm7 | G8"',
    "line 5: chart: line 1": TOP + '[[block]]\nkind = "tune"\nchart = "| G8 |"',
    "line 5: keys is no list: 'C' (want a list in brackets, of text in quotes)": TOP
    + '[[block]]\nkind = "staves"\nkeys = "C"',
    "line 5: a plan of 0 steps": TOP + '[[block]]\nkind = "plan"\nsteps = []',
    "line 5: one of the steps without minutes": TOP
    + '[[block]]\nkind = "plan"\nsteps = [{what = "x"}]',
    "line 5: no such minutes: 0": TOP
    + '[[block]]\nkind = "plan"\nsteps = [{minutes = 0, what = "x"}]',
    "line 6: no name of a note or chord: 'the'": TOP
    + '[[block]]\nkind = "text"\ntext = "the"\nnames = ["the"]',
    "no questions yet (want some typed": TOP + '[[block]]\nkind = "questions"',
    "line 3: block is no list of tables": 'title = "x"\n\nblock = "colour"',
}


@together("words", BAD)
def test_what_cannot_be_read_is_refused_with_its_line(words: str):
    with pytest.raises(TheoryError) as caught:
        Handout.parse(BAD[words])
    assert words in str(caught.value)
    assert re.search("want |write ", str(caught.value))


def test_a_line_inside_a_text_is_not_taken_for_an_entry():
    text = (
        TOP + '[[block]]\nkind = "text"\ntext = """\n[[block]]\nkind = "x"\nkey = "H"\n"""\n'
        'key = "H"\n'
    )
    with pytest.raises(TheoryError, match=r"^line 10: not a key"):
        Handout.parse(text)


def test_too_much_is_refused_in_words():
    long = "x" * 10_000
    cases = {
        "title is too long: 10000 characters (want at most 160)": lambda: Handout(long),
        "note is too long": lambda: Handout("x", note=long),
        "text is too long": lambda: TextBlock(text=long * 3),
        "101 blocks (want at most 100)": lambda: Handout("x", blocks=(NewPageBlock(),) * 101),
        "not a handout": lambda: Handout.parse("#" * 500_001),
        "title has a line break": lambda: Handout("one\ntwo"),
        "U+0000": lambda: checked_text("\0", "note"),
        "U+D800": lambda: checked_text("\ud800", "note"),
        "a tune of 256 bars as played": lambda: TuneBlock(chart="| C " * 256 + "|"),
    }
    for words, attempt in cases.items():
        with pytest.raises(TheoryError) as caught:
            attempt()
        assert words in str(caught.value)


def test_a_file_that_is_no_handout_is_refused(tmp_path):
    (tmp_path / "picture.png").write_bytes(b"\x89PNG\xff\xfe")
    (tmp_path / "large.toml").write_bytes(b"#" * 3_000_000)
    for name, words in {
        "picture.png": "is no text (want UTF-8)",
        "large.toml": "is too large",
        "missing.toml": "no such file",
    }.items():
        with pytest.raises(TheoryError) as caught:
            Handout.read(tmp_path / name)
        assert words in str(caught.value)


def test_a_handout_does_not_change():
    handout = ready("one_colour")
    with pytest.raises(AttributeError):
        handout.title = "other"  # type: ignore[misc]
    assert handout.with_blocks(()).blocks == ()
    assert handout.blocks != ()


@pytest.mark.parametrize(
    "file", sorted((ROOT / "workbook" / "handouts").glob("*.toml")), ids=lambda file: file.stem
)
def test_a_ready_handout_is_printed_as_it_lies_in_its_file(file):
    text = file.read_text(encoding="utf-8")
    assert str(Handout.parse(text)) == text
