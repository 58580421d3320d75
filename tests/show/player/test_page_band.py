"""The band inside a page: what it holds, how it is known to the page's policy, what it weighs."""

import base64
import json
import re
from fractions import Fraction
from hashlib import sha256

import html5lib
import pytest

from theorykit.lines.band import colours_over, performance
from theorykit.lines.demonstration import demonstration
from theorykit.show.player import PageBand, player_policy, player_script
from theorykit.show.sound import performance_html, small_players
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment
from theorykit.views.sounding import Take
from theorykit.views.tune import ChorusWishes, chorus_view

PLAIN = '<audio controls aria-label="x"></audio>'
MOST_SCRIPT, MOST_SOUNDS = 60_000, 500_000  # bytes: of the module, of three takes of a ii-V-I


def takes(key: str = "Db") -> list[Take]:
    line = demonstration(key)
    over = line.progression
    wishes = {"tempo": 100, "colours": colours_over(line, None)}
    return [
        Take("with <the> line", performance(line, over, **wishes), as_players_do=True),
        Take("without", performance(None, over, **wishes), as_players_do=True),
        Take("answered", performance(line, over, answer_bars=True, **wishes), as_players_do=True),
    ]


@pytest.fixture(scope="module")
def page() -> str:
    band = PageBand()
    first, second = band.html(takes(), PLAIN, "flute"), band.html(takes()[:1], PLAIN, "flute")
    head = f"<title>x</title><style>{band.style}</style>"
    return (
        f"<!DOCTYPE html><html><head>{head}</head><body>{first}{second}{band.tail()}</body></html>"
    )


def told(page: str) -> dict:
    found = re.search(r'<script type="application/json" id="theorykit-band">(.*?)</script>', page)
    return json.loads(found[1])


def test_a_page_is_valid_and_every_player_has_its_plain_one_inside(page):
    root = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    places = [one for one in root.iter("div") if one.get("class") == "theorykit-here"]
    assert [one.get("data-player") for one in places] == ["0", "1"]
    assert [len(list(one.iter("audio"))) for one in places] == [1, 1]
    assert [one.get("type") for one in root.iter("script")] == ["application/json", "module"]


def test_the_policy_knows_the_script_that_stands_there(page):
    script = re.search(r'<script type="module">(.*?)</script>', page, re.DOTALL)[1]
    sum_of = base64.b64encode(sha256(script.encode()).digest()).decode()
    assert player_policy() == f"script-src 'sha256-{sum_of}'"
    assert "http" not in script
    assert "fetch(" not in script


def test_every_sound_of_every_take_lies_in_the_page_once(page):
    data = told(page)
    names = {name for one in data["players"] for take in one["takes"] for name in take["names"]}
    lying = [one["name"] for one in data["sounds"]]
    assert len(lying) == len(set(lying))
    assert set(lying) == names | set(data["band"]["room"])
    assert base64.b64decode(data["data"])[:4] == b"OggS"
    assert [one["tempo"] for one in data["players"]] == [100, 100]


def test_what_a_teacher_typed_cannot_break_out(page):
    assert "with <the> line" not in page
    assert told(page)["players"][0]["takes"][0]["label"] == "with <the> line"


def test_it_is_smaller_than_the_plain_players_of_the_same(page):
    """Three takes as MP3 weigh 719 kB; their single notes 269 kB."""
    assert len(base64.b64decode(told(page)["data"])) < MOST_SOUNDS
    assert len(player_script("page").encode()) < MOST_SCRIPT


def test_a_page_without_players_holds_nothing_of_them():
    assert (PageBand().tail(), PageBand().style) == ("", "")


def test_where_a_page_has_places_for_players_each_plain_one_stands_in_one():
    played = performance(None, Chart.of("F", "Gm7", "C7", "F6", "%").progression, tempo=90)
    seen: list[tuple[list[Take], str, str]] = []

    def seat(some, plain, melody):
        seen.append((list(some), plain, melody))
        return "here"

    with small_players(seat):
        assert performance_html(played, label="in F", melody="trumpet", loops=True) == "here"
    assert "here" not in performance_html(played, label="in F")
    ((some, plain, melody),) = seen
    assert (some[0].label, some[0].loops, some[0].bar, melody) == ("in F", True, 4, "trumpet")
    assert "<audio" in plain


def test_the_bars_of_a_waltz_are_as_long_as_its_count_in():
    found: list[Take] = []
    waltz = Chart.parse("time: 3/4\n| Gm7 | C7 | F6 | F6 |").progression
    with small_players(lambda some, *_: found.extend(some) or ""):
        performance_html(performance(None, waltz, tempo=90, feel="waltz"), label="waltz")
    assert found[0].bar == found[0].count == 3
    assert found[0].bars == (0, 3, 6, 9)


def test_a_player_knows_the_sections_of_a_chorus():
    chart = Chart.parse("key: F\n[A]\n| F6 | Gm7 C7 |\n[B]\n| Bb6 | Bbm6 |\n")
    (with_line, _) = chorus_view(chart, Treatment.plain(chart), ChorusWishes(choruses=2)).takes
    assert with_line.sections == (
        ("A, bars 1 to 2", 0, 1), ("B, bars 3 to 4", 2, 3),
        ("A, bars 5 to 6", 4, 5), ("B, bars 7 to 8", 6, 7),
    )  # fmt: skip
    part = chorus_view(chart, Treatment.plain(chart), ChorusWishes(first=2, last=3)).takes[0]
    assert part.sections == (("A, bar 2", 0, 0), ("B, bar 3", 1, 1))
    alone = Chart.parse("key: F\n| F6 | Gm7 C7 |")
    assert chorus_view(alone, Treatment.plain(alone)).takes[0].sections == ()
    assert with_line.bars[1] == Fraction(4)
