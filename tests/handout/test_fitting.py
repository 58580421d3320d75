"""Handouts within their target: what gives way for it, and how music is broken into lines."""

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from blocks import ONE_OF_EACH
from random_sheets import assert_fits_without_what_is_named
from sheets import read, ready
from sweeps import swept

from theorykit.errors import TheoryError
from theorykit.handout import EVERYONE, Edition, Handout
from theorykit.handout.blocks import (
    ColourBlock,
    LineBlock,
    TextBlock,
    TuneBlock,
    sections_of,
    tune_block,
)
from theorykit.handout.blocks.question_block import Question, QuestionBlock
from theorykit.handout.files import left_out
from theorykit.handout.fitting import fitted
from theorykit.handout.front import AUDIENCES, FITS, SIZES
from theorykit.handout.page import ASIDES, PLAIN, SETTINGS, Engraver, page_pdf
from theorykit.handout.pieces import Beside, Picture
from theorykit.notes.reader import reader
from theorykit.show import scan_code

ENDLESS, ONE, TWO, *_ = FITS
PROSE = "Over G7 think an E triad, and hear where A♭ goes. " * 6
MORE = (
    TextBlock(text=PROSE, heading="Before you play"),
    LineBlock(line="", changes="Fm7 Bb7b9 | Ebmaj7 C7 | Fm7 Bb7b9 | Eb6", colour="b9"),
    ColourBlock(colour="altered", key="Gb"),
    QuestionBlock(questions=(Question(question="Which note bends B flat 7?", answer="C flat."),)),
)
POOL = tuple(block for block in (*ONE_OF_EACH, *MORE) if block.kind not in ("listen", "new page"))


def printed(handout: Handout, edition: Edition) -> tuple[bytes, str]:
    """Return the pages as they are handed out, and what they say of a target that is not kept."""
    one = fitted(handout, handout.blocks, edition)
    return page_pdf(handout, one.sections, edition, one.setting, told=one.told), one.told


def test_a_target_that_is_kept_anyway_changes_nothing():
    handout = ready("one_colour")
    one = fitted(replace(handout, fits=ONE), handout.blocks, Edition())
    assert (one.setting, one.told) == (PLAIN, "")
    assert one.sections == fitted(handout, handout.blocks, Edition()).sections


NORMAL = [one for one in EVERYONE if one.size == "normal"]


@pytest.mark.parametrize("edition", swept(NORMAL, NORMAL[:1].__contains__), ids=str)
def test_the_tune_with_its_chorus_fits_two_pages_with_everything_on_them(edition: Edition):
    handout = replace(ready("a_tune_with_its_lines"), fits=TWO)
    one = fitted(handout, handout.blocks, edition)
    data = page_pdf(handout, one.sections, edition, one.setting)
    assert one.told == ""
    assert len(read(data).pages) <= edition.most_pages(TWO)
    assert set(one.setting.without) <= {ASIDES, "pull"}  # what the tune has none of, or the margin


TREBLE_CLEF = "E flat", "concert", "B flat", "F", "guitar"
TREBLE = [
    Edition(one, audience, size="large print") for audience in AUDIENCES for one in TREBLE_CLEF
]


@pytest.mark.parametrize("edition", swept(TREBLE, (TREBLE[0], TREBLE[-1]).__contains__), ids=str)
def test_the_tune_with_its_chorus_takes_five_pages_of_large_print_and_loses_nothing(
    edition: Edition,
):
    """Four were reached by letters of 11 points, a grid in pieces, and without the plan."""
    handout = replace(ready("a_tune_with_its_lines"), fits=TWO)
    one = fitted(handout, handout.blocks, edition)
    data, told = printed(handout, edition)
    assert (len(read(data).pages), told, one.gone) == (5, "", "")
    assert "Large print, 5 pages" in read(data).pages[0].extract_text()


def test_where_a_page_is_filled_large_print_has_large_letters_and_small_gaps():
    large, normal = "large print", "normal"
    assert PLAIN.near(large) == SIZES[large] * PLAIN.near(normal)
    for before, after in pairwise(SETTINGS):
        assert after.near(large) <= before.near(large)
        assert after.near(large) >= after.near(normal)
        assert after.letters_in(large) == 1
    assert SETTINGS[-1].near(large) < PLAIN.near(normal)


STEPS = range(len(SETTINGS))


@pytest.mark.parametrize("near", swept(STEPS, (1, STEPS[-1]).__contains__))
def test_the_setting_that_is_tried_first_changes_nothing(near: int):
    """One that is too wide, the right one, ones that are closer than need be."""
    for name in ("one_colour", "six_colours"):
        wished = replace(ready(name), fits=ONE)
        found = fitted(wished, wished.blocks, Edition("B flat"), near=SETTINGS[near])
        assert found == fitted(wished, wished.blocks, Edition("B flat"))


def test_what_is_left_out_goes_in_the_order_that_is_told():
    """And no setting is looser than the one before."""
    for before, after in pairwise(SETTINGS):
        assert after.without[: len(before.without)] == before.without
        assert after.space <= before.space
        assert after.letters <= before.letters
        assert after.measure >= before.measure
    assert not {"staff", "notes", "grid"} & set(SETTINGS[-1].without)


def test_pages_that_lose_a_part_are_named_and_no_others():
    who = [
        Edition(one, audience) for one in ("concert", "F") for audience in ("student", "teacher")
    ]
    some = {one: "the plan (block 1)" * (one != who[0]) for one in who}
    said = "Left out so that the pages fit: in normal print for {} the plan (block 1)."
    named = "concert (teacher), F (student) and F (teacher)"
    assert left_out(some) == said.format(named)
    assert left_out(
        {one: "the plan (block 1)" * (one.reader == "F") for one in who}
    ) == said.format("F")


def test_a_target_that_cannot_be_kept_says_what_would_have_to_go_on_the_page_too():
    handout = replace(ready("six_colours"), fits=ONE)
    data, told = printed(handout, Edition(audience="teacher"))
    assert "longer than 1 page" in told
    text = " ".join(read(data).pages[0].extract_text().split())
    assert "longer than 1 page" in text
    handed_out, told = printed(handout, Edition())
    assert "longer than 1 page" in told
    assert "longer than" not in " ".join(page.extract_text() for page in read(handed_out).pages)
    assert_fits_without_what_is_named(handout, told, Edition())


def test_what_all_settings_of_a_page_have_alike_is_made_once(monkeypatch):
    """A third of the time for two pages went into codes and choruses that were there already."""
    made: list[str] = []

    def counted(name, act):
        def counting(*given, **wishes):
            made.append(name)
            return act(*given, **wishes)

        return counting

    for module, name in ((scan_code.segno, "make"), (tune_block, "chorus_staff")):
        monkeypatch.setattr(module, name, counted(name, getattr(module, name)))
    tune = TuneBlock(chart="title: Once, and Again\nkey: Ab\n| Bbm7 | Eb7 | Abmaj7 | % |")
    text = TextBlock(text="word " * 700)
    handout = Handout("Once", blocks=(tune, text), fits=ONE, web_address="https://example.org/")
    for size in SIZES:
        one = fitted(handout, handout.blocks, Edition(size=size))
        assert one.setting != PLAIN
    assert sorted(made) == ["chorus_staff", "make"]


def test_a_part_that_is_enough_goes_before_its_block():
    tune = replace(ready("a_tune_with_its_lines").blocks[0], heading="The tune")
    handout = Handout("Tune", blocks=(tune,), fits=ONE)
    told = fitted(handout, handout.blocks, Edition()).told
    assert told.endswith("It would fit without “lines of The tune”.")
    assert_fits_without_what_is_named(handout, told, Edition())


def test_a_note_that_fills_the_page_alone_is_told():
    handout = Handout("Long", note=("word " * 590).strip(), fits=ONE)
    small = replace(handout, note="\n\n".join("line" for _ in range(450)))
    assert "shorten the title and the note" in fitted(small, (), Edition()).told


def test_a_target_is_an_entry_like_others():
    handout = Handout("Thursday", fits=TWO)
    assert 'fits = "2 pages"' in str(handout)
    assert Handout.parse(str(handout)) == handout
    assert "fits" not in str(Handout("Thursday"))
    with pytest.raises(TheoryError, match="no such length: '9 pages'"):
        Handout("Thursday", fits="9 pages")


# Parts.


@pytest.mark.parametrize("block", ONE_OF_EACH, ids=lambda block: block.kind)
def test_every_part_of_a_block_can_be_switched_off(block):
    for part in getattr(block, "show", ()):
        less = block.without(part)
        assert part not in less.show
        many, few = (
            sections_of([ColourBlock(colour="b9"), one], Engraver())[-1].pieces
            for one in (block, less)
        )
        assert few != many


def test_a_chord_chart_is_the_grid_and_nothing_else():
    block = TuneBlock(chart="key: F\n| Gm7 | C7 | F6 | % |", show=("grid",), lines="none")
    (section,) = sections_of([block], Engraver())
    (grid,) = section.pieces
    assert isinstance(grid, Picture)
    assert "ii-V" not in grid.svg


# Music.


def staves(pieces):
    """Run through the engraved staves among pieces."""
    for piece in pieces:
        if isinstance(piece, Beside):
            yield from staves((*piece.left, *piece.right))
        elif isinstance(piece, Picture) and 'class="system"' in piece.svg:
            yield piece


def lines_of(picture: Picture) -> list[tuple[float, int]]:
    """Return how wide each line of music is, and how many bars it has."""
    found = []
    for system in picture.svg.split('class="system"')[1:]:
        ends = re.findall(r'd="M[\d.]+ [\d.]+ L([\d.]+) [\d.]+" stroke-width="13"', system)
        found.append((max(map(float, ends)), system.count('class="measure"')))
    return found


@pytest.mark.parametrize("who", swept(["concert", "B flat", "E flat", "F"], ("F",).__contains__))
@pytest.mark.parametrize("size", ["normal", "large print"])
def test_lines_are_filled_alike_and_no_last_bar_stands_across_the_page(who: str, size: str):
    """Within 15 % of each other; a last bar that is alone is as short as it needs to be."""
    for block in POOL:
        (section,) = sections_of([block], Engraver(reader(who), size))
        for picture in staves(section.pieces):
            *found, (last, bars) = lines_of(picture)
            widths = [wide for wide, _ in found]
            if not widths:
                continue
            alone = bars == 1 < max(count for _, count in found)
            assert min(widths) > 0.85 * max(widths)
            assert last < 0.85 * max(widths) if alone else last > 0.85 * max(widths)


@pytest.mark.parametrize("size", ["normal", "large print"])
def test_staves_are_six_to_seven_millimetres_high_and_alike_in_a_block(size: str):
    factor = {"normal": 1.0, "large print": 1.5}[size]
    for block in POOL:
        (section,) = sections_of([block], Engraver(reader("B flat"), size))
        wide = Engraver(reader("B flat"), size)
        heights = {
            round(high(picture) * picture.width * wide.across, 1)
            for picture in staves(section.pieces)
        }
        assert len(heights) <= 1
        assert all(6.0 * factor <= one <= 7.0 * factor for one in heights)


def high(picture: Picture) -> float:
    """Return how high a staff is, by the width of its picture."""
    patterns = (
        r'viewBox="[-\d.]+ [-\d.]+ ([\d.]+)',
        r'<svg width="([\d.]+)px"',
        r'class="definition-scale"[^>]*viewBox="0 [\d.]+ ([\d.]+)',
    )
    whole, inner, units = (float(re.search(one, picture.svg)[1]) for one in patterns)
    return 720 * inner / units / whole  # four spaces of 180 units each


# === What is left out ===


FULL = (
    TuneBlock(chart="title: Ferry\nkey: Bb\n| Cm7 | F7 | Bb6 | % |", treatment="proposed"),
    LineBlock(line="", changes="Fm7 Bb7b9 | Ebmaj7", colour="b9"),
    ColourBlock(colour="b9 13", key="Bb"),
    TextBlock(text="Sing it."),
)


@pytest.mark.parametrize(
    "edition", [Edition(), Edition("F", "teacher", size="large print")], ids=str
)
def test_what_a_close_page_leaves_out_is_named_with_the_blocks_that_lose_it(edition: Edition):
    long = replace(Handout("Full", fits=ONE), blocks=(*FULL, TextBlock(text=PROSE * 30)))
    one = fitted(long, long.blocks, edition)
    assert one.setting == SETTINGS[-1]  # it does not even fit there: everything is left out
    wanted = {
        "the plan of the cadences": "(block 1)",
        "the sentences about the music": "(block 2)",
        "the keyboard or fingerboard": "(block 3)",
        "the table of where each note goes": "(block 3)",
        "the last sentence": "(block 3)",
    }
    for part, block in wanted.items():
        assert f"{part} {block}" in one.gone
    assert ("in the margin" in one.gone) == (edition.audience == "teacher")


def test_a_page_that_leaves_nothing_out_names_nothing():
    handout = Handout("Full", fits=TWO, blocks=FULL[:1])
    assert fitted(handout, handout.blocks, Edition()).gone == ""
    sung = Handout("Long", fits=ONE, blocks=(TextBlock(text=PROSE * 60),))
    assert fitted(sung, sung.blocks, Edition()).gone == ""  # and says what would have to go


def test_make_says_by_kind_of_print_and_by_reader_what_pages_leave_out(tmp_path):
    handout = Handout("Full", fits=ONE, blocks=(FULL[0], TextBlock(text=PROSE * 24)))
    work = handout.work(tmp_path, ["concert", "concert, large print"], "pages", processes=1)
    for _ in work.steps():
        pass
    said = left_out(work.gone)
    for one, parts in work.gone.items():
        assert parts == fitted(handout, handout.blocks, one).gone
    assert "the plan of the cadences (block 1)" in said
    plan = "the plan (block 1)"
    normal, large = Edition("F"), Edition("F", size="large print")
    assert left_out({normal: "", large: ""}) == ""
    assert "in large print the plan" in left_out({normal: "", large: plan})
    some = {normal: plan, Edition("concert"): "", large: plan}
    assert left_out(some).endswith(f"in normal print for F {plan}; in large print {plan}.")
    half = {Edition("F", "teacher"): plan, Edition("F"): ""}
    assert f"in normal print for teacher {plan}" in left_out(half)
