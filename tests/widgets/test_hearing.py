"""Controls for sound: every state of each, and real sound once."""

from __future__ import annotations

import base64
import io
import re

import pytest
import soundfile

import theorykit.widgets.hearing as room
from theorykit.harmony.colours import colour
from theorykit.lines.band import default_swing
from theorykit.lines.text import Line
from theorykit.tunes.progression import two_five_one
from theorykit.views.practice import CHORDS, JOURNEYS, Rehearsal
from theorykit.widgets.hearing import Hearing

LINE = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", two_five_one("C", "short"))


def hearing() -> Hearing:
    return Hearing(lambda: (LINE, colour("b9 13")))


def sound(html: str) -> tuple[str, float]:
    """The container of the sound in a player, and its length in seconds."""
    data = base64.b64decode(re.search(r'base64,([^"]+)"', html)[1])
    found = soundfile.info(io.BytesIO(data))
    return found.format, found.duration


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, object]]:
    noted: list[dict[str, object]] = []
    monkeypatch.setattr(
        room, "performance_html", lambda p, **w: noted.append({"played": p, **w}) or str(len(noted))
    )
    return noted


def test_nothing_is_made_before_hear_is_pressed():
    box = hearing()
    assert box.player.value == ""
    assert box.wishes == Rehearsal("coloured", JOURNEYS[0], False, False, 120, None, "four")


@pytest.mark.parametrize(
    ("name", "values", "field"),
    [
        ("chords", CHORDS, "chords"),
        ("journey", JOURNEYS, "journey"),
        ("loops", (True, False), "loops"),
        ("answers", (True, False), "answers"),
        ("tempo", (40, 180, 300), "tempo"),
        ("feel", ("two", "four"), "feel"),
    ],
)
def test_every_state_of_a_control_is_what_is_played(asked, name, values, field):
    box = hearing()
    for value in values:
        getattr(box, name).value = value
        box.hear.click()
        assert box.problem.value == ""
        assert getattr(box.wishes, field) == value
    assert len(asked) == len(values)
    assert len({str(call["played"]) for call in asked}) == len(values) or name == "loops"


def test_every_melody_sound_is_handed_on(asked):
    box = hearing()
    for value in box.melody.options:
        box.melody.value = value
        box.hear.click()
    assert [call["melody"] for call in asked] == list(box.melody.options)


def test_the_swing_follows_the_tempo_until_the_reader_sets_it(asked):
    box = hearing()
    assert box.swing.disabled
    box.tempo.value = 200
    assert box.swing.value == default_swing(200)
    box.by_tempo.value = False
    assert not box.swing.disabled
    for ratio in (1.0, 1.7, 3.0):
        box.swing.value = ratio
        box.hear.click()
        assert asked[-1]["played"].swing == ratio
    box.tempo.value = 100
    assert box.swing.value == 3.0
    box.by_tempo.value = True
    assert box.swing.value == default_swing(100)


def test_each_change_says_that_the_player_is_older(asked):
    box = hearing()
    box.tempo.value = 100
    assert box.note.value == ""  # there is no player yet
    box.hear.click()
    for name, value in (("chords", "plain"), ("loops", True), ("melody", "flute"), ("swing", 1.2)):
        getattr(box, name).value = value
        assert "Press hear" in box.note.value
        box.hear.click()
        assert box.note.value == ""


def test_a_player_of_another_line_sounds_as_chosen_but_once(asked):
    box = hearing()
    box.journey.value, box.loops.value, box.answers.value = JOURNEYS[1], True, True
    box.tempo.value = 90
    box.play(LINE, None, "line 1")
    played = asked[-1]["played"]
    assert (played.beats, played.tempo, asked[-1]["label"]) == (12, 90, "line 1")
    assert "loops" not in asked[-1]


def test_a_short_phrase_is_flac_and_a_journey_through_the_keys_is_compressed():
    box = hearing()
    box.hear.click()
    assert sound(box.player.value) == ("FLAC", pytest.approx((4 + 8) / 2 + 1, abs=0.01))
    box.loops.value = True
    box.hear.click()
    assert " loop " in box.player.value
    assert sound(box.player.value) == ("FLAC", pytest.approx(8 / 2, abs=0.01))
    box.loops.value, box.answers.value, box.journey.value = False, True, JOURNEYS[1]
    box.tempo.value = 200
    box.hear.click()
    seconds = (4 + 12 * 16) * 60 / 200 + 1
    assert sound(box.player.value) == ("OGG", pytest.approx(seconds, abs=0.01))
    assert len(box.player.value) < seconds * 44100 * 2 * 2 / 12  # a twelfth of the bare samples
    assert "autoplay" not in box.player.value
