"""Pages beside the desk: set as before while letters are typed, looked at again when quiet."""

from __future__ import annotations

from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from house import ROOT

from theorykit.handout import Edition, Handout
from theorykit.handout.blocks import ColourBlock, TextBlock, TuneBlock, tune_block
from theorykit.handout.blocks.new_page_block import NewPageBlock
from theorykit.handout.fitting import fitted
from theorykit.handout.page import page_extent
from theorykit.widgets import HandoutDesk, handout_desk, side_work
from theorykit.widgets.handouts import looking
from theorykit.widgets.handouts.looking import Looking

TUNE = Handout.read(ROOT / "workbook/handouts/a_tune_with_its_lines.toml")
SIX = Handout.read(ROOT / "workbook/handouts/six_colours.toml")
LONG = "Play it once more, and listen to the bass. " * 20
SHEETS = {
    "one that needs no closer setting": replace(SIX, fits="2 pages"),
    "one that is set closer": replace(TUNE, fits="2 pages"),
    "one that cannot be kept": replace(SIX, fits="1 page"),
    "one without a target": TUNE,
}


def freshly(handout: Handout, edition: Edition) -> Looking:
    """Return a page on which nothing was shown before."""
    one = Looking(lambda: None)
    one.edition.options = [(str(edition), edition)]
    one.edition.value = edition
    one.show(handout)
    return one


def shown(one: Looking) -> tuple[list[bytes], str]:
    """Return what a page shows: its pages, and what is said of them."""
    return one.pages.pages, one.hint.value


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
@pytest.mark.parametrize("edition", ["concert", "E flat, teacher"])
def test_what_is_typed_letter_by_letter_ends_as_it_is_drawn_in_full(sheet, edition):
    one = freshly(sheet, Edition.parse(edition))
    one.quiet.at_once = False
    for end in ("s", "so", "so G7"):
        last = replace(sheet, note=f"{sheet.note} Go on, {end}")
        one.show(last)
    one.settle()
    assert shown(one) == shown(freshly(last, Edition.parse(edition)))


def test_a_letter_asks_for_no_other_setting_until_it_is_quiet(monkeypatch):
    one = freshly(SHEETS["one that is set closer"], Edition())
    one.quiet.at_once = False
    asked: list[object] = []
    before = looking.fitted

    def counted(*given: object, **wishes: object) -> object:
        asked.append(given)
        return before(*given, **wishes)

    monkeypatch.setattr(looking, "fitted", counted)
    one.show(replace(SHEETS["one that is set closer"], note="Softly."))
    assert asked == []
    one.settle()
    assert len(asked) == 1


def test_a_text_that_grows_or_shrinks_by_much_is_set_anew():
    edition = Edition()
    whole = SHEETS["one that is set closer"]
    long, short = replace(whole, note=LONG), whole.with_blocks([TextBlock(text="Sing.")])
    one = freshly(whole, edition)
    one.quiet.at_once = False
    for other in (long, short, whole):
        one.show(other)
        one.settle()
        assert len(one.pages.pages) <= edition.most_pages(whole.fits)
        assert shown(one) == shown(freshly(other, edition))


def test_the_desk_looks_again_by_itself_in_a_quiet_moment(monkeypatch):
    monkeypatch.setattr(side_work, "QUIET", 0.0)
    whole = SHEETS["one that is set closer"]
    one = freshly(whole, Edition())
    one.quiet.at_once = False
    short = whole.with_blocks([TextBlock(text="Sing.")])
    one.show(short)
    one.quiet.join()
    assert shown(one) == shown(freshly(short, Edition()))


def retuned(handout: Handout, new: str) -> Handout:
    """Return a handout with another chord at the beginning of its tune."""
    place, tune = next((n, one) for n, one in enumerate(handout.blocks) if one.kind == "tune")
    chart = tune.chart.replace("| ", f"| {new} ", 1)
    blocks = [*handout.blocks]
    blocks[place] = replace(tune, chart=chart, treatment="proposed")
    return handout.with_blocks(blocks)


def test_a_letter_in_a_tune_writes_no_chorus_until_it_is_quiet(monkeypatch):
    """A keystroke that changed a chord took up to 1.5 s of work, and the keys after it waited."""
    written: list[object] = []
    before = tune_block.write_chorus

    def counted(*given: object, **wishes: object) -> object:
        written.append(given)
        return before(*given, **wishes)

    monkeypatch.setattr(tune_block, "write_chorus", counted)
    sheet = SHEETS["one that is set closer"]
    one = freshly(sheet, Edition())
    one.quiet.at_once = False
    pages = shown(one)[0]
    written.clear()
    for chord in ("C", "C7", "C7sus4"):
        last = retuned(sheet, chord)
        one.show(last)
    assert written == []
    assert one.pages.pages == pages
    assert looking.FOLLOWS in one.hint.value
    one.settle()
    assert len(written) == 1
    assert shown(one) == shown(freshly(last, Edition()))
    one.show(retuned(sheet, "Gm7"))
    one.show(sheet)  # the letter is taken back before it is quiet
    one.settle()
    assert shown(one) == shown(freshly(sheet, Edition()))


@pytest.fixture
def desk(tmp_path: Path) -> HandoutDesk:
    return handout_desk(SIX, path=tmp_path / "drafts.sqlite")


def test_the_page_turns_to_the_block_that_was_added_and_to_the_one_that_is_chosen(desk):
    pages = desk.looking.pages
    assert pages.told.value == "page 1 of 2"
    desk.add(ColourBlock(colour="altered", key="Db"))
    assert pages.place == len(pages.pages) - 1 > 0
    desk.blocks.value = 0
    assert pages.place == 0
    desk.blocks.value = len(desk.handout.blocks) - 1
    assert pages.place == len(pages.pages) - 1
    desk.blocks.value = -1
    assert pages.place == 0  # title and note


def test_answers_on_a_page_with_questions_are_told_and_on_a_page_of_their_own_not():
    """Answers stood right under their questions, where a student reads both."""
    asked = Handout.parse(
        'title = "Asked"\n[[block]]\nkind = "questions"\n'
        'questions = [{question = "Where does D go?", answer = "It stays."}]\n'
    )
    apart = asked.with_blocks((*asked.blocks, NewPageBlock()))
    quiet = asked.with_blocks([replace(asked.blocks[0], answers="teacher only")])
    for fits in ("any number of pages", "2 pages"):
        told = [
            looking.GIVEN_AWAY in unescape(shown(freshly(replace(one, fits=fits), edition))[1])
            for one in (asked, apart, quiet)
            for edition in (Edition(), Edition(audience="teacher"))
        ]
        assert told == [True, False, False, False, False, False]


def test_answers_that_run_on_to_a_page_of_their_own_are_told_too():
    long = "It stays, and it is the 3rd of the chord that comes after it. " * 6
    rows = ", ".join(f'{{question = "Where does D go?", answer = "{long}"}}' for _ in range(8))
    asked = Handout.parse(f'title = "Asked"\n[[block]]\nkind = "questions"\nquestions = [{rows}]\n')
    one = fitted(asked, asked.blocks, Edition())
    extent = page_extent(asked, one.sections, Edition(), one.setting)
    assert extent.pages > 1
    assert extent.gives_away


def test_the_desk_names_what_the_pages_leave_out():
    tune = TuneBlock(chart="key: Bb\n| Cm7 | F7 | Bb6 | % |", treatment="proposed")
    full = Handout("Full", fits="1 page", blocks=(tune, TextBlock(text="Sing it. " * 900)))
    said = unescape(shown(freshly(full, Edition()))[1])
    assert "Left out so that it fits: the plan of the cadences (block 1)." in said
