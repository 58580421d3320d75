"""What a cell of a chapter shows: a picture, a player or a text, and words for the rest."""

import re
from html import unescape
from xml.etree.ElementTree import fromstring

import pytest
from matplotlib.figure import Figure
from together import together

from theorykit import COLOURS, identify, shortcuts, subsets
from theorykit.errors import TheoryError
from theorykit.harmony.substitution import substitutes
from theorykit.lines.demonstration import demonstration
from theorykit.show import cells
from theorykit.show.cells import Shown, tell
from theorykit.show.html_text import explanation_html

SVG = "{http://www.w3.org/2000/svg}"
PICTURES = {
    "see": lambda: cells.see(demonstration("Db", "long", "altered")),
    "see_keys": lambda: cells.see_keys(shortcuts("F#7", "b9")[0]),
    "see_motion": lambda: cells.see_motion("F7", "b9 b13", "Bbm6"),
    "see_clock": lambda: cells.see_clock("Db7", "half-whole diminished", "G7"),
    "see_colours": lambda: cells.see_colours(["C", "Gb", "B minor"], COLOURS[:4]),
    "see_tensions": lambda: cells.see_tensions(row for row in subsets("G7") if row.routes),
    "see_counts": lambda: cells.see_counts("1 b9 9 #9", "major", "minor"),
    "see_tally": lambda: cells.see_tally("last steps, any other chord change"),
}


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_says_in_words_what_it_shows(name):
    shown = PICTURES[name]()
    picture = fromstring(shown._repr_html_())
    assert picture.tag == f"{SVG}svg"
    assert picture.get("aria-label") == shown.words == repr(shown)


def test_bars_stay_on_their_sheet():
    """Names and numbers are measured, not guessed, so that none is cut off."""
    for shown in (PICTURES["see_counts"](), PICTURES["see_tally"]()):
        width = float(fromstring(shown.html).get("width"))
        for x in re.findall(r'points="([\d., -]+)"', shown.html):
            assert all(0 <= float(pair.split(",")[0]) <= width for pair in x.split())
        for x, anchor, text in re.findall(
            r'<text x="([\d.]+)"[^>]*?text-anchor="(\w+)"[^>]*>([^<]*)<', shown.html
        ):
            reach = 7 * len(text)  # pixels, at about half the size of the font a letter
            ends = (float(x) - reach, float(x)) if anchor == "end" else (float(x), float(x) + reach)
            assert ends[0] >= -8
            assert ends[1] <= width + 8


def test_players_wait_for_the_reader():
    shown = cells.hear(demonstration("F", "short", "b9"), over_v="b9", label="F")
    assert "autoplay" not in shown.html
    assert shown.words == "Player: F, Gm7 C7 | Fmaj7"


def test_a_line_is_shown_with_what_each_note_does_and_with_a_teachers_words():
    shown = cells.see_reading(demonstration("Db", "long", "altered"), "altered")
    assert shown.html.count('role="img"') == 1
    assert "CT chord tone" in shown.html
    assert len(shown.words) > 100
    assert all(text in unescape(shown.html) for text in shown.words.split(". ")[1:-1])
    alto = cells.see_reading(demonstration("Db", "long", "altered"), written_for="E flat")
    assert "B♭7" not in shown.html
    assert "F7" in alto.html  # A flat 7 on the page of an alto


def test_a_phrase_is_practised_with_answer_bars_through_the_keys():
    shown = cells.practise(demonstration("F", "short", "b9"), "twelve keys by fifths", over_v="b9")
    assert shown.html.count("<audio controls") == 1
    assert "data:audio/ogg" in shown.html
    assert "autoplay" not in shown.html
    assert shown.words == (
        "Player: coloured ♭9, twelve keys by fifths from F major, with answer bars, "
        "100 beats a minute"
    )
    assert " loop " in cells.practise(demonstration("F"), loops=True).html


@pytest.mark.parametrize("name", ["tritone substitute", "side step"])
def test_a_substitute_is_heard_in_three_ways(name):
    shown = cells.hear_substitute("Bb", name, tempo=120)
    assert shown.html.count("<audio") == 3
    assert "autoplay" not in shown.html
    sources = re.findall(r'src="([^"]+)"', shown.html)
    assert len(set(sources)) == 3
    assert shown.words.count("B♭maj7") == 3


@together("found", substitutes("Ab7", "Db"), ids=lambda found: found.name)
def test_an_explanation_is_told_under_its_headings(found):
    shown = tell(found)
    assert re.findall("<strong>(.*?)</strong>", shown.html) == [
        heading.capitalize() if not heading.startswith("over") else f"Over {heading[5:]}"
        for heading, _ in found.sections
    ]
    assert shown.words == " ".join(found.words)


def test_a_reader_may_ask_for_some_headings():
    found = identify("Bmaj7", "G7")
    shown = tell(found, "what rubs")
    assert shown.html.count("<strong>") == 1
    assert "F♯" in shown.words
    with pytest.raises(TheoryError, match="no such heading: 'the weather'"):
        tell(found, "the weather")


def test_what_is_told_is_text_and_no_markup():
    html = explanation_html([("G7 < C7", ["a & b"])])
    assert "G7 &lt; C7" in html
    assert "a &amp; b" in html
    assert repr(Shown(html, "G7")) == "G7"


@pytest.mark.parametrize("ending", [".png", ".svg", ".pdf", ""])
@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_is_saved_by_the_ending_of_the_path(name, ending, tmp_path):
    shown = PICTURES[name]()
    file = shown.save(tmp_path / f"shown{ending}", dpi=72)
    assert file == tmp_path / f"shown{ending or '.png'}"
    begins = {".png": b"\x89PNG", ".svg": b"<svg", ".pdf": b"%PDF"}[file.suffix]
    assert file.read_bytes().startswith(begins)
    if ending == ".svg":
        assert file.read_text(encoding="utf-8") == shown.html
    assert [one.name for one in tmp_path.iterdir()] == [file.name]


def test_of_a_reading_the_staff_is_saved():
    shown = cells.see_reading(demonstration("Db", "long", "altered"))
    assert isinstance(shown.picture, str)
    assert shown.picture in shown.html


def test_a_file_that_is_there_is_left_alone_unless_it_may_be_replaced(tmp_path):
    shown, file = PICTURES["see_clock"](), tmp_path / "clock.svg"
    file.write_text("mine")
    with pytest.raises(TheoryError, match="already; it was left as it is"):
        shown.save(file)
    assert file.read_text() == "mine"
    shown.save(file, replace=True, paper="#ffffff")
    assert 'fill="#ffffff"' in file.read_text(encoding="utf-8")


def test_a_picture_that_cannot_be_saved_says_why_and_leaves_nothing(tmp_path):
    shown = PICTURES["see_clock"]()
    for path, words in (
        (tmp_path / "clock.jpg", r"not a kind of picture: '.jpg' \(want .png, .svg, .pdf\)"),
        (tmp_path / "gone" / "clock.png", "cannot write"),
        ("", "not a path"),
    ):
        with pytest.raises(TheoryError, match=words):
            shown.save(path)
    assert list(tmp_path.iterdir()) == []


def test_what_is_heard_or_told_is_no_picture(tmp_path):
    for shown in (tell(identify("Bmaj7", "G7")), Shown("<audio>", "Player: F")):
        with pytest.raises(TheoryError, match="no picture here"):
            shown.save(tmp_path / "sound.png")
        with pytest.raises(TheoryError, match="no picture here"):
            shown.draw()


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_is_drawn_on_axes(name):
    shown = PICTURES[name]()
    axes = Figure(figsize=(4, 3)).add_axes((0, 0, 1, 1))
    assert shown.draw(axes) is axes
    assert axes.get_label() == shown.words
    assert shown.draw().figure.get_size_inches()[0] > 1


def test_what_a_notebook_keeps_of_a_phrase_that_is_heard_is_small():
    """Ten seconds are 0.6 MB as WAV; a chapter of twenty players must not weigh megabytes."""
    kept = cells.hear(demonstration("Db", "long", "b9 13"), over_v="b9 13")._repr_html_()
    assert "data:audio/ogg" in kept
    assert len(kept) < 150_000
