"""The setting of a player as text: what reads back, and what is refused in words."""

import re
from itertools import product

import pytest

from theorykit.errors import TheoryError
from theorykit.lines.parts import PART_NAMES
from theorykit.show.player import player_script
from theorykit.views.sounding import PlayerSetting
from theorykit.views.sounding.player_setting import LEVELS, TURNS

WRITTEN = {
    "": PlayerSetting(),
    "piano off": PlayerSetting(("full", "off", "full", "full")),
    "line every other round, bass soft": PlayerSetting((TURNS, "full", "soft", "full")),
    "bar 12": PlayerSetting(bar=12),
    "drums off, bar 3, tempo 92.5": PlayerSetting(("full", "full", "full", "off"), 3, 92.5),
}


@pytest.mark.parametrize("text", WRITTEN)
def test_a_setting_is_read_and_printed(text):
    assert PlayerSetting.parse(text) == WRITTEN[text]
    assert str(WRITTEN[text]) == text


def test_every_setting_reads_back():
    for levels in product((*LEVELS, TURNS), LEVELS, LEVELS, LEVELS):
        for bar, tempo in ((1, None), (2000, 40.0), (7, 320.0)):
            setting = PlayerSetting(levels, bar, tempo)
            assert PlayerSetting.parse(str(setting)) == setting


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("piano loud", r"no level of the piano: 'loud' \(want full, soft, off\)"),
        ("bass every other round", "no level of the bass"),
        ("bar 0", r"no bar of a player: '0' \(want 1 to 2000\)"),
        ("bar 2.5", "no bar of a player"),
        ("bar 1e3", "no bar of a player"),
        ("tempo 39", r"no tempo of a player: '39' \(want 40 to 320\)"),
        ("tempo nan", "no tempo of a player"),
        ("horn off", r"a player has no 'horn' \(want line, piano, bass, drums, bar, tempo\)"),
        ("piano off, piano soft", "no setting of a player: 'piano soft'"),
        ("piano", "no setting of a player: 'piano'"),
        ("bar 1, " * 99, "too long for the setting of a player"),
        (7, "not the setting of a player: 7"),
        (None, "not the setting of a player: None"),
    ],
)
def test_what_is_no_setting_is_refused(text, words):
    with pytest.raises(TheoryError, match=words):
        PlayerSetting.parse(text)


def test_the_lists_of_the_page_offer_the_same_levels():
    found = re.search(r"const LEVELS = \{(.*?)\};\nconst TURNS = \"(.*?)\"", player_script())
    assert tuple(re.findall(r"(\w+):", found[1])) == LEVELS
    assert found[2] == TURNS
    assert PART_NAMES[0] == "line"
