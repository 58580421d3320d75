"""The web page as text: valid, self-contained, escaped, and with sound inside."""

import base64
import hashlib
import io
import re
from collections import Counter

import html5lib
import numpy as np
import pytest
import soundfile
from blocks import ONE_OF_EACH
from sheets import READY, ready, sections

from theorykit.handout import Handout
from theorykit.handout.blocks import TextBlock
from theorykit.handout.page import Article, Heard, article, web_page
from theorykit.notes.reader import READERS, reader
from theorykit.show.sound import CAUTION, FORMATS, Samples, mp3_bytes

XHTML = "{http://www.w3.org/1999/xhtml}"
SVG = "{http://www.w3.org/2000/svg}"
ALL = [one.name for one in READERS]
SOUND = Heard(0, "with the line", "mp3", b"ID3 not much")


def page(handout: Handout, readers: list[str], audience: str = "student", heard=()) -> str:
    articles: dict[str, Article] = {}
    for name in readers:
        shown = sections(handout, name, "normal")
        articles[name] = article(handout, shown, reader(name), audience)
    return web_page(handout, articles, heard, audience)


def parsed(text: str):
    """Read a page as browsers do (WHATWG HTML), and refuse every error that they forgive."""
    return html5lib.HTMLParser(strict=True).parse(text)


EVERY_KIND = Handout("Every kind", note="A\nB\n\nC", teacher="M", blocks=ONE_OF_EACH)
CASES = [(ready(name), who) for name in READY for who in (["concert"], ALL)]
CASES += [(EVERY_KIND, ["F", "guitar"])]


@pytest.mark.parametrize(("handout", "readers"), CASES, ids=lambda one: getattr(one, "title", None))
@pytest.mark.parametrize("audience", ["student", "teacher"])
def test_pages_are_valid(handout, readers, audience):
    text = page(handout, readers, audience, (SOUND,))
    root = parsed(text)
    ids = Counter(one.get("id") for one in root.iter() if one.get("id"))
    assert [name for name, count in ids.items() if count > 1] == []
    referred = set(re.findall(r'href="#([^"]+)"', text))
    assert referred <= set(ids)
    assert root.get("lang") == "en"
    assert root.findtext(f"{XHTML}head/{XHTML}title").startswith(handout.title)


@pytest.mark.parametrize("name", READY)
def test_nothing_in_a_page_has_an_address(name: str):
    text = page(ready(name), ALL, heard=(SOUND,))
    for attribute in ("src", "href", "action", "poster", "srcset", "data"):
        values = re.findall(rf'\s{attribute}="([^"]*)"', text)
        assert all(value.startswith(("data:", "#")) for value in values)
    assert "@import" not in text
    assert "url(" not in text
    (policy,) = re.findall(r'http-equiv="Content-Security-Policy" content="([^"]+)"', text)
    (script,) = re.findall(r"<script>(.*?)</script>", text, re.DOTALL)
    told = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    assert policy.startswith("default-src 'none'; ")
    assert policy.endswith(f"; script-src 'sha256-{told}'")  # and no other script (CSP level 2)
    assert not re.search(r"fetch|XMLHttp|WebSocket|sendBeacon|import\b|https?:", script)


@pytest.mark.parametrize("name", READY)
def test_every_picture_has_words_and_every_player_a_name(name: str):
    root = parsed(page(ready(name), ALL, heard=(SOUND,)))
    pictures = [one for one in root.iter(f"{SVG}svg") if one.get("role") == "img"]
    assert len(pictures) >= len(ALL)
    assert all(len(one.get("aria-label", "")) > 20 for one in pictures)
    players = list(root.iter(f"{XHTML}audio"))
    assert [one.get("aria-label") for one in players] == ["with the line"]
    assert all("autoplay" not in one.attrib and "controls" in one.attrib for one in players)


def test_each_reader_sees_what_is_written_for_them():
    text = page(ready("one_colour"), ALL)
    assert text.count("<h1>") == 6
    for title in ("Over G7 think E", "Over A7 think F♯", "Over E7 think C♯", "Over D7 think B"):
        assert f"<h1>{title}</h1>" in text
    buttons = [one for one in parsed(text).iter(f"{XHTML}input")]
    assert len(buttons) == 6
    assert [one.get("id") for one in buttons if "checked" in one.attrib] == ["show-for-concert"]
    assert "<input" not in page(ready("one_colour"), ["F"])


def test_the_teachers_page_has_the_margin_and_the_students_has_not():
    margin = ready("one_colour").blocks[0].margin
    handout = ready("one_colour")
    student, teacher = (page(handout, ["concert"], who) for who in ("student", "teacher"))
    assert margin not in student
    assert margin in teacher


def test_players_hold_the_sound_that_was_made():
    data = mp3_bytes(Samples(np.sin(np.arange(22050) / 20).astype(np.float32) * 0.3, 22050))
    heard = Heard(0, "with the line", "mp3", data)
    text = page(ready("one_colour"), ALL, heard=(heard,))
    (source,) = re.findall(r'<audio[^>]* src="([^"]+)"', text)
    head, _, body = source.partition(",")
    assert head == f"data:{FORMATS['mp3']};base64"
    wave, rate = soundfile.read(io.BytesIO(base64.b64decode(body)))
    assert len(wave) / rate == pytest.approx(1.0, abs=0.1)
    assert text.count(CAUTION) == 1
    assert CAUTION not in page(ready("one_colour"), ALL)


HOSTILE = (
    "</title></style></svg><script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "a & b &amp; c &#60; <!-- -->",
    "]]> <![CDATA[ {{ }} ${x}",
    "שלום (12)",
    "😀 \u200b é",
)


@pytest.mark.parametrize("text", HOSTILE)
def test_what_is_typed_is_text_and_never_markup(text: str):
    handout = Handout(
        text, note=text, teacher=text, licence=text, blocks=(TextBlock(text=text, heading=text),)
    )
    root = parsed(page(handout, ["concert", "F"], "teacher"))
    assert len(list(root.iter(f"{XHTML}script"))) == 1  # the page's own
    assert list(root.iter(f"{XHTML}img")) == []
    texts = [one for name in ("h1", "h2", "p") for one in root.iter(XHTML + name)]
    said = ["".join(one.itertext()) for one in texts]
    assert said.count(text) == 2 * 4 + 2  # four texts for each of two readers, two at the foot
    assert root.findtext(f"{XHTML}head/{XHTML}title") == f"{text} (for the teacher)"
    if "שלום" in text:
        assert {one.get("dir") for one in texts if "".join(one.itertext()) == text} == {"rtl"}
