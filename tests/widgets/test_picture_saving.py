"""The menu that saves a picture: every control, every kind of file, and what goes wrong."""

from __future__ import annotations

import base64
import re
from io import BytesIO
from xml.etree.ElementTree import fromstring

import ipywidgets as ipw
import pytest
from PIL import Image
from pypdf import PdfReader

from theorykit.lines.demonstration import demonstration
from theorykit.notes.reader import reader
from theorykit.show.pictures import picture_svg
from theorykit.study.phrasebook import PhraseBook
from theorykit.views.clock import clock_of
from theorykit.widgets import (
    explorer,
    identify_notes,
    line_desk,
    phrase_book,
    substitutions,
    tune_desk,
)
from theorykit.widgets.controls import picture, put
from theorykit.widgets.picture_saving import KINDS, PAPERS, Saving

LINE = "8th F5 E5 D5 C5 B4 E5 Ab4 B4 | whole C5"


@pytest.fixture
def menu() -> Saving:
    """The open menu of a clock."""
    return opened(unopened())


def unopened() -> Saving:
    clock, place = clock_of("F#7", "b9"), picture()
    put(place, picture_svg(clock))
    return Saving("clock", place, lambda: "F#7", lambda: clock)


def opened(saving: Saving) -> Saving:
    saving.opener.value = True
    return saving


def linked(menu: Saving) -> tuple[str, str, bytes]:
    """The name, the media type and the content of the file in the link."""
    found = re.search(r'download="([^"]*)" href="data:([^;]*);base64,([^"]*)"', menu.told.value)
    assert found is not None, menu.problem.value
    return found[1], found[2], base64.b64decode(found[3])


def check(data: bytes, ending: str) -> None:
    """Open a file of a kind."""
    if ending == ".png":
        assert Image.open(BytesIO(data)).convert("L").getextrema()[0] < 100
    elif ending == ".pdf":
        assert PdfReader(BytesIO(data)).pages[0].extract_text().strip()
    else:
        assert fromstring(data).get("aria-label")


def test_nothing_is_made_before_the_menu_is_opened():
    saving = unopened()
    assert saving.children == (saving.opener,)
    assert not hasattr(saving, "kind")
    saving.opener.value = True
    assert saving.children == (saving.opener, saving.menu)
    first = saving.menu
    saving.opener.value = False
    assert saving.children == (saving.opener,)
    saving.opener.value = True
    assert saving.menu is first


@pytest.mark.parametrize("paper", [value for _, value in PAPERS])
@pytest.mark.parametrize(("ending", "media"), [value for _, value in KINDS])
def test_a_link_holds_the_file_of_the_kind_on_the_paper(menu, ending, media, paper):
    menu.kind.value, menu.paper.value = (ending, media), paper
    menu.link.click()
    assert menu.problem.value == ""
    name, kind, data = linked(menu)
    assert (name, kind) == (f"clock_Fsharp7{ending}", media)
    check(data, ending)
    if ending == ".svg":
        assert f'rx="8" fill="{paper}"' in data.decode()


@pytest.mark.parametrize(("ending", "media"), [value for _, value in KINDS])
def test_a_file_is_written_with_the_ending_of_its_kind(menu, tmp_path, ending, media):
    menu.kind.value, menu.path.value = (ending, media), str(tmp_path / "clock")
    menu.write.click()
    file = tmp_path / f"clock{ending}"
    check(file.read_bytes(), ending)
    assert str(file) in menu.told.value
    assert [one.name for one in tmp_path.iterdir()] == [file.name]


def test_the_ending_of_a_path_says_what_is_written(menu, tmp_path):
    menu.path.value = str(tmp_path / "clock.pdf")
    menu.write.click()
    check((tmp_path / "clock.pdf").read_bytes(), ".pdf")


def test_a_file_is_replaced_only_if_that_is_ticked(menu, tmp_path):
    file = tmp_path / "clock.svg"
    file.write_text("mine")
    menu.path.value = str(file)
    menu.write.click()
    assert "left as it is" in menu.problem.value
    assert file.read_text() == "mine"
    menu.replace.value = True
    menu.write.click()
    assert menu.problem.value == ""
    check(file.read_bytes(), ".svg")
    assert not menu.replace.value


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("", "not a path"),
        ("clock.jpg", "not a kind of picture: &#x27;.jpg&#x27; (want .png, .svg, .pdf)"),
        ("no such folder/clock.png", "cannot write"),
    ],
)
def test_what_goes_wrong_is_said_in_a_line(menu, tmp_path, monkeypatch, path, words):
    monkeypatch.chdir(tmp_path)
    menu.path.value = path
    menu.write.click()
    assert words in menu.problem.value
    assert 'role="alert"' in menu.problem.value
    assert menu.told.value == ""
    assert list(tmp_path.iterdir()) == []
    menu.link.click()  # and the next good answer takes it away
    assert menu.problem.value == ""


def test_a_link_goes_when_the_picture_the_kind_or_the_paper_is_another(menu):
    for change in (
        lambda: setattr(menu.kind, "value", KINDS[1][1]),
        lambda: setattr(menu.paper, "value", PAPERS[1][1]),
        lambda: put(menu._place, picture_svg(clock_of("C7"))),
    ):
        menu.link.click()
        assert menu.told.value
        change()
        assert menu.told.value == ""


def test_without_a_picture_there_is_nothing_to_save(menu):
    put(menu._place, "")
    assert menu.opener.disabled
    menu.link.click()
    assert "there is no clock to save" in menu.problem.value
    put(menu._place, picture_svg(clock_of("C7")))
    assert not menu.opener.disabled


def test_every_control_has_a_label_and_says_which_picture_it_is_for(menu):
    assert menu.opener.description == "save clock"
    for control in (menu.kind, menu.paper, menu.link, menu.path, menu.write, menu.replace):
        assert control.description
    for control in (menu.opener, menu.kind, menu.paper, menu.link, menu.write):
        assert "clock" in control.tooltip


# The pages.


def shelf(tmp_path):
    book = PhraseBook(tmp_path / "thursday.sqlite")
    book.keep("Ida's turn", demonstration("C", "short", "b9"), colour="b9")
    return phrase_book(book.path)


def tune():
    desk = tune_desk("title: Wet Gloves\n\n| Dm7 | G7 | C6 | % |")
    desk.colouring.cadences.value = 1
    desk.playing.write.click()
    return desk


def strings():
    box = explorer("Db", "altered")
    box.reader.value = reader("guitar")
    return box


PAGES = {
    "explorer": (lambda _: explorer("Db", "altered"), "staff keyboard counts"),
    "explorer of a guitarist": (lambda _: strings(), "staff keyboard fingerboard counts"),
    "substitutions": (lambda _: substitutions("Eb"), "staff keyboard motion clock"),
    "notes": (lambda _: identify_notes("E G# B"), "staff keyboard motion"),
    "tune desk": (lambda _: tune(), "grid staff keyboard staff"),
    "line desk": (lambda folder: line_desk("C", "b9", "short", LINE, book=folder / "b"), "staff"),
    "phrase book": (shelf, "staff"),
}


def menus(widget) -> list[Saving]:
    """All menus that are seen on a page, in order."""
    if widget.layout.display == "none":
        return []
    found = [widget] if type(widget).__name__ == "Saving" else []
    return found + [menu for child in getattr(widget, "children", ()) for menu in menus(child)]


@pytest.mark.parametrize("name", PAGES)
def test_every_picture_of_a_page_has_a_menu_below_it_that_names_and_saves_it(name, tmp_path):
    """Not right below: what is seen and heard together stands in one view, the menus after it."""
    make, nouns = PAGES[name]
    page = make(tmp_path)
    found = menus(page)
    assert sorted(menu._noun for menu in found) == sorted(nouns.split())
    for menu in found:
        read, shown = in_order(page), menu._place
        assert read.index(shown) < read.index(menu)
        assert menu.opener.description == f"save {menu._noun}"
        opened(menu)
        for kind in dict(KINDS).values():
            menu.kind.value = kind
            menu.link.click()
            assert menu.problem.value == ""
            file, _, data = linked(menu)
            assert file.startswith(menu._noun)
            check(data, kind[0])
            if kind[0] == ".svg":
                said = fromstring(data).get("aria-label")
                assert said == fromstring(shown.value).get("aria-label")


def in_order(box) -> list[ipw.Widget]:
    """Everything on a page, as it is read."""
    return [box, *(one for child in getattr(box, "children", ()) for one in in_order(child))]


def test_a_page_makes_nothing_of_a_menu_that_stays_shut():
    page = explorer()
    assert all(menu.menu is None for menu in menus(page))


def test_what_is_saved_is_what_is_shown_now():
    page = explorer()
    menu = opened(page.keyboard_saving)
    menu.kind.value = KINDS[1][1]
    for colour in ("altered", "b9"):
        page.colour.value = colour
        menu.link.click()
        name, _, data = linked(menu)
        assert colour in name
        assert fromstring(data).get("aria-label") == page.view.keyboard.alt


def test_without_a_motion_there_is_none_to_save():
    page = identify_notes("E G# B", "Cmaj7", "")
    assert page.view.motion is None
    assert page.motion_saving.opener.disabled
    page.over.value, page.target.value = "G7", "C"
    assert not page.motion_saving.opener.disabled
