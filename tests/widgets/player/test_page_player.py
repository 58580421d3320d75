"""The player without a browser: what it tells a page, what it sends, and the file it makes."""

from __future__ import annotations

import io
from collections.abc import Iterable
from typing import Any

import numpy as np
import pytest
import soundfile

from theorykit.errors import TheoryError
from theorykit.lines.parts import PART_NAMES
from theorykit.show.sound import NoteStock, band_told
from theorykit.views.explorer_view import explore
from theorykit.views.sounding import Take
from theorykit.widgets.faults import answering
from theorykit.widgets.player import Player, tempo_slider


def takes(key: str = "C", colour: str = "b9 13") -> tuple[Take, ...]:
    return explore(key, "long", colour).takes(100, 2.0)


def names(box: Player) -> set[str]:
    return {name for take in box.takes for name in take["names"]}


def sent(box: Player, monkeypatch: pytest.MonkeyPatch, message: dict[str, Any]) -> list[Any]:
    """What the page gets for a message."""
    found: list[Any] = []
    monkeypatch.setattr(box, "send", lambda said, buffers=None: found.append((said, buffers)))
    box._asked(box, message, [])
    return found


def asked(
    box: Player, monkeypatch: pytest.MonkeyPatch, ask: Iterable[str], form: str = "ogg"
) -> list[tuple[dict[str, Any], bytes]]:
    """What is told of each sound that a page asks for, and its file."""
    found = sent(box, monkeypatch, {"ask": [*ask], "form": form})
    return [pair for said, files in found for pair in zip(said["sounds"], files, strict=True)]


def test_every_note_that_is_told_has_a_sound_and_a_part():
    box = Player()
    box.show(takes("Gb", "altered"), "trumpet")
    for take in box.takes:
        for row in take["notes"]:
            assert 0 <= row[0] < len(PART_NAMES)
            assert all(0 <= at < len(take["names"]) for at in row[1])
            assert 0 < row[2] <= 1
        assert take["count"] == 4
        assert take["bars"] == (0.0, 4.0, 8.0)


def test_a_new_colour_asks_for_few_new_sounds_and_the_same_one_for_none(
    monkeypatch,
):
    box = Player()
    box.show(takes(), "tenor saxophone")
    before = names(box)
    box.show(takes(colour="b9 b13"), "tenor saxophone")
    new = names(box) - before
    assert 0 < len(new) < 8
    found = asked(box, monkeypatch, new)
    assert sum(len(data) for _, data in found) < 60_000
    assert [one["name"] for one, _ in found] == [*new]
    box.show(takes(), "tenor saxophone")
    assert names(box) == before


@pytest.mark.parametrize("form", ["ogg", "flac"])
def test_the_sounds_lie_in_their_file_where_they_are_told(form):
    stock = NoteStock()
    names = [name for take in takes() for name in stock.told(take, "vibraphone")["names"]]
    told, data = stock.sounds(dict.fromkeys([*names, *band_told()["room"]]), form)
    wave, rate = soundfile.read(io.BytesIO(data), dtype="float32")
    exact, _ = soundfile.read(
        io.BytesIO(stock.sounds([one["name"] for one in told], "flac")[1]), dtype="float32"
    )
    assert rate == band_told()["rate"]
    assert len(wave) >= told[-1]["at"] + told[-1]["frames"]
    for one in told:
        here = slice(one["at"], one["at"] + one["frames"])
        ours, theirs = (np.sqrt(np.square(some[here]).mean()) for some in (wave, exact))
        assert abs(20 * np.log10(ours / theirs)) < 1  # decibel
        assert np.abs(exact[here]).max() == pytest.approx(0.9, abs=0.001)
        if one["loop"]:
            first, last = one["loop"]
            assert 0 < first < last <= one["frames"]


def test_a_sound_that_nobody_knows_is_left_out(monkeypatch):
    box = Player()
    found = sent(box, monkeypatch, {"ask": ["kazoo", "room left"], "form": "ogg"})
    assert [one["name"] for said, _ in found for one in said["sounds"]] == ["room left"]
    assert sum(len(files) for _, files in found) == 1


def test_a_steady_sound_goes_round_without_a_seam(monkeypatch):
    box = Player()
    box.show(takes(), "flute")
    line = [name for name in names(box) if " line " in name]
    for one, data in asked(box, monkeypatch, line, "flac"):
        some, _ = soundfile.read(io.BytesIO(data), dtype="float32")
        first, last = one["loop"]
        steps = np.abs(np.diff(some[first:last]))
        assert abs(some[first] - some[last - 1]) <= steps.max() + 1e-4


def test_the_file_is_what_is_heard(monkeypatch):
    box = Player()
    box.show(takes(), "flute")
    wish = {"tempo": 200, "silent": [1, 0, 0, 0], "chosen": 1}
    ((said, (data,)),) = sent(box, monkeypatch, {"save": wish})
    assert said["saved"] == "coloured G7: ♭9 13, tempo 200.mp3"
    found = soundfile.info(io.BytesIO(data))
    assert found.duration == pytest.approx(16 * 60 / 200 + 1, abs=0.15)
    wave, rate = soundfile.read(io.BytesIO(data))
    quiet = Player()
    quiet.show(takes(), "flute")
    _, all_parts = quiet.saved({"tempo": 200, "silent": [1, 1, 1, 1], "chosen": 1})
    full, _ = soundfile.read(io.BytesIO(all_parts))
    body = slice(round(1.3 * rate), round(4.5 * rate))
    assert np.square(wave[body]).mean() < 0.8 * np.square(full[body]).mean()


@pytest.mark.parametrize("wish", [{"chosen": 9}, {"tempo": 5}, {"tempo": 9000}])
def test_what_cannot_be_saved_is_told_in_words(monkeypatch, wish):
    box = Player()
    box.show(takes())
    ((said, _),) = sent(box, monkeypatch, {"save": wish})
    assert "want" in said["problem"]
    with pytest.raises(TheoryError):
        box.saved(wish)


def test_a_slider_says_the_tempo_and_the_takes_stay():
    box, slider = Player(), tempo_slider(140)
    box.follow(slider)
    box.show(takes())
    before = box.takes
    slider.value = 250
    assert (box.tempo, box.takes) == (250, before)


def test_it_travels_through_all_keys_and_comes_home():
    view = explore("F#")

    def travel(place: int, step: str) -> Iterable[Take]:
        return view.travels(place, step, 100, 2.0)

    box = Player(travel=travel)
    box.show(view.takes(100, 2.0))
    assert box.every_key == []
    for step in ("fifths", "half steps"):
        box.journey = step
        assert len({take["key"] for take in box.every_key}) == 12
        assert box.every_key[0]["key"] == "F♯ major"
        assert len({take["beats"] for take in box.every_key}) == 1
    box.journey = ""
    assert box.every_key == []


def test_where_an_answer_breaks_off_the_takes_go_back():
    box = Player()
    box.show(takes("C"))
    before = box.takes

    def break_off() -> None:
        with answering():
            box.show(takes("Bb minor", "b9"))
            raise KeyError

    with pytest.raises(KeyError):
        break_off()
    assert box.takes == before
