"""Controls for sound: every state of each, and real sound once."""

from __future__ import annotations

import json
from collections.abc import Iterable

import pytest

import theorykit.widgets.hearing as room
from theorykit.harmony.colours import colour
from theorykit.lines.band import default_swing
from theorykit.lines.text import Line
from theorykit.tunes.progression import two_five_one
from theorykit.views.sounding import CHORDS, JOURNEYS, Rehearsal, Take
from theorykit.widgets.hearing import Hearing
from theorykit.widgets.player import Player

LINE = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", two_five_one("C", "short"))


def hearing() -> Hearing:
    return Hearing(lambda: (LINE, colour("b9 13")))


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, object]]:
    """A player that only notes down what it is handed."""
    noted: list[dict[str, object]] = []

    def shown(player: Player, takes: Iterable[Take], melody: str = "") -> None:
        player.shown = tuple(takes)
        noted.extend(
            {"played": one.performance, "melody": melody, "take": one} for one in player.shown
        )

    monkeypatch.setattr(Player, "show", shown)
    monkeypatch.setattr(
        room, "performance_html", lambda p, **w: noted.append({"played": p, **w}) or str(len(noted))
    )
    return noted


def test_nothing_is_made_before_hear_is_pressed():
    box = hearing()
    assert box.player.shown == ()
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
    assert len({str(call["played"]) for call in asked}) == len(values)
    played = asked[-1]["take"]
    assert (played.loops, str(played.count)) == (box.loops.value, "4")  # always counted in


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
    box.tempo.value = 130
    assert box.note.value == ""  # the player goes on at another tempo by itself
    box.by_tempo.value = False
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


def test_the_page_is_told_a_loop_and_a_journey_as_numbers():
    box = hearing()
    box.hear.click()
    (take,) = box.player.takes
    assert (take["count"], take["beats"], take["loops"], len(take["bars"])) == (4, 12, False, 2)
    box.loops.value = True
    box.hear.click()
    (take,) = box.player.takes
    assert (take["count"], take["beats"], take["loops"]) == (4, 12, True)
    box.loops.value, box.answers.value, box.journey.value = False, True, JOURNEYS[1]
    box.hear.click()
    (take,) = box.player.takes
    assert take["beats"] == 4 + 12 * 16
    assert len(json.dumps(take)) < 200_000
