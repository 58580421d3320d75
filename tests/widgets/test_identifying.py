"""The page that names notes, without a browser: typed, tapped, wrong and right again."""

from __future__ import annotations

import re

import pytest
from sweeps import SWEPT_KEYS

from theorykit.tunes.progression import cadence_chords
from theorykit.views.identification_view import FIRST_KEY, LAST_KEY
from theorykit.views.keyboard import is_white
from theorykit.views.sounding import Take
from theorykit.widgets import IdentifyNotes, identify_notes
from theorykit.widgets.identifying import PianoKeys
from theorykit.widgets.player import Player

SHOWN = ("sentence", "keyboard", "staff", "motion", "words")


@pytest.fixture
def silent(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, object]]:
    """A player that only notes down what it is handed."""
    asked: list[dict[str, object]] = []

    def note_down(_: Player, takes: list[Take], melody: str) -> None:
        asked.extend({"played": one.performance, "melody": melody} for one in takes)

    monkeypatch.setattr(Player, "show", note_down)
    return asked


def shown(box: IdentifyNotes) -> list[str]:
    """What the page shows, apart from controls and the line for problems."""
    return [getattr(box, name).value for name in SHOWN]


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_each_key_alone_is_answered_over_the_dominant_of_every_key(keys, silent):
    box = identify_notes()
    for key in keys:
        _, v, one = cadence_chords(key)
        box.over.value, box.target.value = str(v), str(one)
        for midi in (FIRST_KEY, FIRST_KEY + 8, LAST_KEY):
            box.piano.show([])
            box.piano.tap(midi)
            assert box.problem.value == ""
            (degree,) = box.view.found.degrees
            assert (v.root.semitone + degree.semitone) % 12 == midi % 12
            assert box.piano.down == (midi,)
            assert degree.pretty in box.sentence.value


def test_keys_are_added_and_taken_away_one_by_one(silent):
    box = identify_notes("E", "G7", "C")
    for midi in (68, 71, 79):
        box.piano.tap(midi)
    assert box.view.sentence == "E A♭ B G over G7, going to C: 13 ♭9 3 1."
    box.piano.tap(79)
    assert box.view.found.exact[0].colour.name == "b9 13"
    assert box.piano.down == (64, 68, 71)


def test_what_was_typed_lies_on_the_keys_and_can_be_changed_there(silent):
    box = identify_notes()
    box.notes.value = "Bmaj7"
    assert box.piano.down == (71, 75, 78, 82)
    box.piano.tap(82)
    assert len(box.view.found.notes) == 3
    assert box.notes.value == "Bmaj7"  # what was typed stays as it was typed


@pytest.mark.parametrize("wrong", ["Bmaj7x", "E G# H", "", "G7 C7", "x" * 5000])
def test_wrong_notes_stay_typed_are_explained_and_change_no_picture(wrong, silent):
    box = identify_notes()
    before, down = shown(box), box.piano.down
    box.notes.value = wrong
    assert 'role="alert"' in box.problem.value
    assert len(box.problem.value) < 1000
    assert box.notes.value == wrong
    assert (shown(box), box.piano.down) == (before, down)
    box.notes.value = "Ab"
    assert box.problem.value == ""
    assert box.view.found.exact[0].colour.name == "b9"


@pytest.mark.parametrize(
    ("field", "wrong", "said"),
    [("over", "H7", "over the chord: not a chord"), ("target", "C9b", "going to: ")],
)
def test_a_wrong_chord_is_named_with_its_field_and_can_be_mended(field, wrong, said, silent):
    box = identify_notes()
    before = shown(box)
    control = getattr(box, field)
    good, control.value = control.value, wrong
    assert said in box.problem.value
    assert shown(box) == before
    box.piano.tap(74)  # another note does not help: the chord is still wrong
    assert said in box.problem.value
    assert 74 in box.piano.down
    control.value = good
    assert box.problem.value == ""
    assert 74 in box.view.midis


def test_the_last_key_taken_away_is_a_problem_and_not_an_empty_page(silent):
    box = identify_notes("E")
    before = shown(box)
    box.piano.tap(64)
    assert "no key is down" in box.problem.value
    assert shown(box) == before
    box.piano.tap(65)
    assert box.problem.value == ""
    assert box.view.found.degrees[0].pretty == "♭7"


def test_tapped_keys_get_the_names_of_another_chord(silent):
    box = identify_notes("E", "G7", "C")
    box.piano.tap(68)
    assert "A♭" in box.sentence.value
    box.over.value, box.target.value = "E7", "A"
    assert "G♯" in box.sentence.value


def test_without_a_target_the_motion_is_empty_and_its_room_stays(silent):
    box = identify_notes("B", "Cmaj7", "")
    assert box.motion.value == ""
    assert box.motion.layout.min_height
    assert box.problem.value == ""


def test_tempo_and_melody_change_the_player_alone(silent):
    box = identify_notes()
    before = shown(box)
    box.tempo.value = 160
    for melody in box.melody.options:
        box.melody.value = melody
    assert shown(box) == before
    assert {call["melody"] for call in silent} == set(box.melody.options)
    assert silent[-1]["played"].tempo == 160


def test_every_control_has_a_label_and_every_picture_and_player_says_what_it_is():
    box = identify_notes("Ab melodic minor", "G7alt", "Cm6")
    controls = (box.notes, box.over, box.target, box.tempo, box.melody)
    assert len({one.description for one in controls} - {""}) == len(controls)
    for name in ("keyboard", "staff", "motion"):
        assert re.search(r'role="img" aria-label="[^"]{20,}"', getattr(box, name).value)
    assert [one["label"] for one in box.player.takes] == ["these notes over G7alt, going to Cm6"]


def test_the_piano_lies_in_two_rows_and_in_the_order_of_the_keys():
    piano = PianoKeys()
    midis = list(piano.buttons)
    assert midis == list(range(FIRST_KEY, LAST_KEY + 1))
    assert list(piano.children) == list(piano.buttons.values())  # Tab goes from key to key
    areas = [piano.buttons[midi].layout.grid_area.split(" / ") for midi in midis]
    assert [row == "2" for row, *_ in areas] == list(map(is_white, midis))
    columns = [int(column) for _, column, *_ in areas]
    assert columns == sorted(columns)
    assert len({(row, column) for row, column, *_ in areas}) == len(midis)


def test_a_key_that_is_down_is_told_by_a_sign_and_by_its_tip():
    piano = PianoKeys()
    up = {midi: (button.description, button.tooltip) for midi, button in piano.buttons.items()}
    piano.show(piano.buttons)
    for midi, button in piano.buttons.items():
        name, tip = up[midi]
        assert button.description == f"✓ {name}"
        assert (tip.removesuffix("up"), button.tooltip[-4:]) == (button.tooltip[:-4], "down")
    assert len({button.tooltip for button in piano.buttons.values()}) == len(piano.buttons)


def test_showing_keys_is_no_tap():
    piano, taps = PianoKeys(), []
    piano.on_tap(lambda: taps.append(piano.down))
    piano.show([60, 64])
    assert taps == []
    piano.tap(64)
    assert taps == [(60,)]
