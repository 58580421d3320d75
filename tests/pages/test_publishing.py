"""The published edition: whole, valid, told to screen readers, small; nobody's files are met."""

import importlib
import inspect
import json
import os
import re
import subprocess
import sys
from base64 import b64encode
from hashlib import sha256
from itertools import pairwise
from pathlib import Path

import html5lib
import pytest
from house import ROOT
from published import POINTING, dead_links, small_workbook

from theorykit import Chord, Note, TheoryError
from theorykit.__main__ import main
from theorykit.pages import publish
from theorykit.pages.asked import asked_html
from theorykit.pages.chapter_page import chapter_html
from theorykit.pages.reference import FRONTS
from theorykit.pages.running import Cell, run_chapter
from theorykit.show.own_reader import keep_reader, own_files_in, own_folder, own_reader
from theorykit.study.course import CHAPTERS, chapter
from theorykit.widgets import explorer

LARGEST = 1_000_000  # bytes of a page without its sounds


@pytest.fixture(scope="module")
def whole_edition(tmp_path_factory) -> Path:
    """The edition of the workbook as it is."""
    folder = tmp_path_factory.mktemp("whole")
    made = list(publish(folder, ROOT / "workbook"))
    assert sorted(made) == sorted(folder.rglob("*.html"))
    return folder


def addresses(page) -> list[str]:
    """Where a page points to, places on the page itself and data left out."""
    found = [value for one in page.iter() for name, value in one.items() if name in POINTING]
    return [value for value in found if not value.startswith(("#", "data:"))]


def check(folder: Path) -> None:
    """What must be true of every page of an edition."""
    files = sorted(folder.glob("*.html"))
    assert len(files) == len(CHAPTERS) + len(("recipes", "contents"))
    for file in files:
        text = file.read_text(encoding="utf-8")
        reads = html5lib.HTMLParser(namespaceHTMLElements=False)
        page = reads.parse(text)
        assert reads.errors == [], file.name
        assert page.get("lang") == "en"
        assert page.find("head/title").text
        assert len(page.findall(".//h1")) == 1
        assert [page.find(f"body/{name}") is None for name in ("header", "main", "footer")] == [
            False, False, False,
        ]  # fmt: skip
        assert page.find("body/a").get("href") == "#main"
        assert "MIT licence" in text.partition("<footer>")[2]
        assert "ODbL" in text.partition("<footer>")[2]
        levels = [int(one.tag[1]) for one in page.iter() if re.fullmatch("h[1-6]", str(one.tag))]
        assert all(b - a <= 1 for a, b in pairwise(levels)), file.name
        for player in page.iter("audio"):
            assert player.get("aria-label")
            assert player.get("controls") is not None
            assert player.get("autoplay") is None
        for picture in page.iter("svg"):
            if picture.get("role") == "img":
                assert picture.get("aria-label") or picture.find("title") is not None
        scripts = list(page.iter("script"))
        assert [one.get("type") for one in scripts] in ([], ["application/json", "module"])
        assert all(one.get("src") is None for one in scripts)
        if scripts:  # the player, and nothing else: the page's policy knows it by its sum
            sum_of = b64encode(sha256(scripts[1].text.encode()).digest()).decode()
            assert f"script-src 'sha256-{sum_of}'" in text.partition("<title>")[0]
        assert bool(scripts) == ("<audio" in text)
        assert "data:audio" not in text
        sounds = json.loads(scripts[0].text)["data"] if scripts else ""
        assert len(text.encode()) - len(sounds) < LARGEST
        for target in addresses(page):
            assert (folder / target).is_file(), (file.name, target)


def test_every_page_is_valid_and_asks_for_nothing_that_is_not_there(small_edition):
    check(small_edition)


def test_no_link_is_dead(small_edition):
    assert list(dead_links(small_edition)) == []


@pytest.mark.parametrize(
    "address", ["gone.html", "b.html#gone", "#gone", "../../c.html", "https://example.org/"]
)
def test_a_dead_link_is_found(tmp_path, address):
    (tmp_path / "a.html").write_text('<a href="b.html#here"><img src="data:,">', encoding="utf-8")
    (tmp_path / "b.html").write_text('<p id="here">', encoding="utf-8")
    assert list(dead_links(tmp_path)) == []
    (tmp_path / "c.html").write_text(f'<a href="{address}">', encoding="utf-8")
    assert list(dead_links(tmp_path)) == [f"c.html: {address}"]


def test_the_recipes_show_what_they_make(small_edition):
    text = (small_edition / "recipes.html").read_text(encoding="utf-8")
    assert text.count("<h2 id=") == text.count("<h2") == 12
    assert "2 bars in F major, chords Gm7, C7, Fmaj7" in text  # as the trumpet reads E flat
    assert re.findall(r'<audio controls[^>]* aria-label="([^"]+)"', text) == [
        "phrase, Fm7 Bb7 | Ebmaj7"
    ]
    assert "import pandas" in text


@pytest.mark.parametrize("front", FRONTS)
def test_the_reference_has_every_public_name_with_its_examples(small_edition, front):
    page = small_edition / "reference" / f"{front.replace('.', '/')}.html"
    text = page.read_text(encoding="utf-8")
    module = importlib.import_module(front)
    assert [name for name in module.__all__ if f'<section id="{name}">' not in text] == []
    assert "<script" not in text
    assert len(text.encode()) < LARGEST
    if front == "theorykit":
        members = [
            f"{name}.{member}"
            for name in module.__all__
            if inspect.isclass(getattr(module, name))
            for member in vars(getattr(module, name))
            if not member.startswith("_")
        ]
        assert len(members) > 200
        assert [name for name in members if f'id="{name}"' not in text] == []
        assert text.count('class="gp"') > 250  # lines of examples


def test_the_contents_name_every_chapter_and_what_it_is_good_for(small_edition):
    text = (small_edition / "index.html").read_text(encoding="utf-8")
    for row in CHAPTERS:
        assert row.title in text
        assert row.can_do in text


def test_chapters_lead_on_and_back(small_edition):
    pages = sorted(file.name for file in small_edition.glob("[0-9]*.html"))
    for place, name in enumerate(pages):
        text = (small_edition / name).read_text(encoding="utf-8")
        before, after = re.findall(r'rel="prev" href="([^"]+)"', text), re.findall(
            r'rel="next" href="([^"]+)"', text
        )  # fmt: skip
        assert set(before) == set(pages[place - 1 : place] if place else [])
        assert set(after) == set(pages[place + 1 : place + 2])
        assert ".ipynb" not in text.replace("or its path", "")


def test_a_whole_chapter_has_its_pictures_players_and_words(small_edition):
    text = (small_edition / "03_flat_nine.html").read_text(encoding="utf-8")
    source = (ROOT / "workbook" / "03_flat_nine.ipynb").read_text(encoding="utf-8")
    heard = len(re.findall(r'"(?:hear|practise)\(', source))
    assert text.count("<audio") >= heard >= 8
    assert text.count("<svg") > 10
    assert "the diminished chord a half step below" in text
    assert "G7♭9" not in text.split("<h1>")[0]
    assert "The code of this" in text


@pytest.mark.sweep
def test_the_whole_workbook_is_published(whole_edition):
    check(whole_edition)
    assert list(dead_links(whole_edition)) == []
    sounds = list((whole_edition / "sounds").iterdir())
    assert {file.suffix for file in sounds} <= {".flac", ".mp3", ".ogg", ".wav"}
    assert sum(file.stat().st_size for file in sounds) < 40_000_000
    for row in CHAPTERS:
        (file,) = whole_edition.glob(f"{row.number:02}_*.html")
        assert "In the workbook" in file.read_text(encoding="utf-8") or row.number in (1, 3)


@pytest.mark.parametrize("row", CHAPTERS, ids=str)
def test_what_is_asked_stands_there_with_its_answer_behind_a_fold(row, monkeypatch):
    monkeypatch.setattr("theorykit.pages.asked.performance_html", lambda *_, **__: "<audio/>")
    text = asked_html({"chapter": row.number})
    assert text.count("<li>") == len(row.asked)
    assert text.count("<summary>The answer</summary>") == len(row.asked)
    for answer in re.findall(r"The answer</summary><p><strong>([^<]+)</strong>", text):
        assert answer.strip()


def test_named_keys_are_each_asked(monkeypatch):
    text = asked_html({"chapter": 4, "keys": ["F", "D♭", "A"]})
    assert text.count("<li>") == 3 * len(chapter(4).asked)
    for v in ("C7", "A♭7", "E7"):
        assert text.count(f"over {v}, on the way") == len(chapter(4).asked)


def test_nobody_s_own_files_are_met(tmp_path):
    keep_reader("trumpet")
    try:
        with own_files_in(tmp_path):
            assert own_folder() == tmp_path
            assert own_reader().name == "concert"
        assert own_reader().name == "B flat"
    finally:
        keep_reader("concert")


def test_what_a_page_says_is_text(tmp_path):
    cells = [Cell(words="# Is <b>this</b> *text*?"), Cell(code="print('<i>')", printed="<i>")]
    page = chapter_html(CHAPTERS[0], cells, ["00.html"])
    assert "<b>" not in page.partition("<h1>")[2]
    assert "&lt;i&gt;" in page


def test_a_cell_that_fails_is_told_with_its_place(tmp_path):
    file = tmp_path / "00_x.ipynb"
    file.write_text(
        '{"cells": [{"cell_type": "code", "source": ["1 / 0"], "metadata": {}}]}', encoding="utf-8"
    )
    with pytest.raises(TheoryError, match=r"00_x\.ipynb, cell 0: ZeroDivisionError"):
        list(run_chapter(file, {}))


@pytest.mark.parametrize("content", [b"", b"{}", b"\xff", b'{"cells": 5}', b"[]"])
def test_what_is_no_notebook_is_refused(tmp_path, content):
    file = tmp_path / "00_x.ipynb"
    file.write_bytes(content)
    with pytest.raises(TheoryError, match="not a chapter"):
        list(run_chapter(file, {}))


def test_a_folder_without_chapters_is_refused(tmp_path, capsys):
    assert main(["pages", str(tmp_path / "out"), "--workbook", str(tmp_path)]) == 1
    assert "no chapter 00" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_a_folder_without_recipes_is_refused_before_anything_is_made(tmp_path):
    books = small_workbook(tmp_path)
    (books / "recipes.ipynb").unlink()
    with pytest.raises(TheoryError, match=r"no recipes\.ipynb in "):
        next(publish(tmp_path / "out", books))
    assert not (tmp_path / "out").exists()


def test_python_m_theorykit_answers(tmp_path):
    run = subprocess.run(
        [sys.executable, "-m", "theorykit", "pages", "--help"],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert "FOLDER" in run.stdout


def test_a_value_stands_on_a_page_as_in_a_notebook():
    """A picture where the notebook has one, else its words."""
    cells = [Cell(code="Chord.parse('Bb7')", value=Chord.parse("Bb7")), Cell(value=Note("B", -1))]
    page = chapter_html(chapter(0), cells, ["x.html"])
    assert "Keyboard: B♭7 is B♭, D, F, A♭." in page
    assert '<pre class="said" tabindex="0">Bb</pre>' in page


def test_a_desk_on_a_page_without_scripts_has_the_plain_players_of_what_it_plays():
    cell = Cell(code="explorer()", folded=True, value=explorer("Db"))
    page = chapter_html(CHAPTERS[0], [cell], ["00_start_here.html"])
    labels = re.findall(r'<audio controls[^>]* aria-label="([^"]+)"', page)
    assert labels == ["plain A♭7", "coloured A♭7: ♭9 13"]
