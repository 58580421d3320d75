"""The player of a cell: what a kernel sends for it, and what stays where there is no control."""

from __future__ import annotations

import base64
import io
import re
from types import SimpleNamespace
from typing import Any

import IPython
import pytest
import soundfile

from theorykit import demonstration, hear
from theorykit.show.cells import Shown, hear_substitute, practise
from theorykit.show.own_reader import keep_reader
from theorykit.show.side_by_side import hear_together
from theorykit.show.tune_cells import hear_chorus
from theorykit.widgets.player import cell_bundle, cell_player
from theorykit.widgets.player.cell_player import VIEW, CellPlayer

LINE = demonstration("Db", "long", "b9 13")
HALF = 22050  # frames a second of the plain player beside a control


@pytest.fixture
def put_out(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, str]]:
    """What a cell puts out beside its value, in a kernel that answers a page."""
    found: list[dict[str, str]] = []
    monkeypatch.setattr(IPython, "get_ipython", lambda: SimpleNamespace(kernel=object()))
    monkeypatch.setattr(cell_player, "display", lambda data, **_: found.append(data))
    return found


def shown_by(shown: Shown, monkeypatch: pytest.MonkeyPatch) -> tuple[dict[str, Any], CellPlayer]:
    """What a notebook keeps of a cell, and the player that it names."""
    made: list[CellPlayer] = []

    class Noted(CellPlayer):
        def __init__(self, *given: Any) -> None:
            super().__init__(*given)
            made.append(self)

    monkeypatch.setattr(cell_player, "CellPlayer", Noted)
    bundle = shown._repr_mimebundle_(include=None, exclude=None)
    assert [bundle[VIEW]["model_id"]] == [one.model_id for one in made]
    return bundle, made[0]


def test_outside_a_notebook_there_is_the_plain_player_alone():
    shown = hear(LINE, over_v="b9 13")
    assert shown._repr_mimebundle_() == {}
    assert shown._repr_html_().count("<audio controls") == 1


def test_in_a_notebook_the_control_plays_what_the_plain_player_has(put_out, monkeypatch):
    shown = hear(LINE, over_v="b9 13", tempo=60, melody="flute", loops=True, label="slowly")
    bundle, player = shown_by(shown, monkeypatch)
    assert (bundle["text/plain"], bundle["text/html"]) == ("Player: slowly", "")
    assert [take["label"] for take in player.takes] == ["slowly"]
    assert player.takes[0]["loops"] is True
    assert (player.tempo, player.pace, player.stands_alone) == (60, 60, True)
    (beside,) = put_out
    data = re.findall(r'src="data:audio/ogg;base64,([^"]+)"', beside["text/html"])
    wave, rate = soundfile.read(io.BytesIO(base64.b64decode(data[0])))
    assert (wave.ndim, rate) == (1, HALF)
    # the file that the control saves, which is counted in no more and rings out
    _, saved = player.saved({})
    whole, fast = soundfile.read(io.BytesIO(saved))
    assert len(wave) / rate == pytest.approx(12 * 60 / 60, abs=0.01)
    assert len(whole) / fast == pytest.approx(12 * 60 / 60 + 1, abs=0.15)
    assert 0.05 < abs(wave).max() <= 1


def test_the_plain_player_beside_a_control_has_half_the_sound_and_all_of_the_time(put_out):
    def sound(html: str) -> tuple[Any, int]:
        data = re.search(r"base64,([^\"]+)", html)
        return soundfile.read(io.BytesIO(base64.b64decode(data[1])))

    half, rate = sound(hear(LINE).html)
    put_out.clear()
    IPython.get_ipython = lambda: None  # the fixture puts it back
    whole, fast = sound(hear(LINE).html)
    assert (rate, fast, whole.ndim) == (HALF, 2 * HALF, 2)
    assert len(half) == pytest.approx(len(whole) / 2, abs=2)
    # low notes are the same: the mean of both channels, to which 22,050 frames are enough
    low = abs(half).max() / abs(whole.mean(axis=1)).max()
    assert low == pytest.approx(1, abs=0.15)


def test_three_versions_are_one_player_with_three_takes(put_out, monkeypatch):
    _, player = shown_by(hear_substitute("Bb minor", "tritone substitute"), monkeypatch)
    named = [take["label"].partition(":")[0] for take in player.takes]
    over = "substitute over"
    assert named == ["original", f"{over} the original bass", f"{over} its own bass"]
    assert put_out[0]["text/html"].count("<audio controls") == 3


def test_the_other_cells_that_sound_have_the_control_too(put_out, monkeypatch):
    from theorykit import Chart, write_chorus

    chorus = write_chorus(Chart.parse("title: Wet Gloves\nkey: Gb\n| Abm7 | Db7 | Gbmaj7 | % |"))
    for shown in (practise(LINE, loops=True), hear_together(LINE, LINE), hear_chorus(chorus)):
        bundle, player = shown_by(shown, monkeypatch)
        assert bundle["text/plain"] == shown.words
        assert len(player.takes) == 1


def test_the_module_is_sent_once(put_out, monkeypatch):
    monkeypatch.setattr(cell_player, "_MODULES", [])
    player = shown_by(hear("Gb7"), monkeypatch)[1]
    (module,) = cell_player._MODULES
    assert len(str(module._esm)) > 30_000
    assert len(str(player._esm)) < 1000
    more = ((), "flute", "", "<audio>", "Player: none")
    assert cell_bundle(*more)["text/plain"] == "Player: none"
    assert cell_player._MODULES[0] is module
    module.comm = None  # it went with its page
    cell_bundle(*more)
    assert cell_player._MODULES[0] is not module


def test_who_reads_in_another_key_is_told_what_sounds(put_out, monkeypatch):
    keep_reader("trumpet")
    try:
        _, player = shown_by(hear("F#7"), monkeypatch)
    finally:
        keep_reader("concert")
    assert player.note == "At concert pitch: these are the names that sound."
    assert shown_by(hear("F#7"), monkeypatch)[1].note == ""


@pytest.mark.parametrize(("tempo", "played"), [(20, 40), (400, 320)])
def test_a_tempo_beyond_what_a_page_plays_is_the_nearest_one(tempo, played, put_out, monkeypatch):
    assert shown_by(hear("Db7", tempo=tempo), monkeypatch)[1].tempo == played
