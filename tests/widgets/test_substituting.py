"""The page of substitutes without a browser: every state of every control."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from sweeps import SWEPT_KEYS, some_and_all

import theorykit.widgets.substituting as room
from theorykit.errors import TheoryError
from theorykit.harmony.substitution import NAMES
from theorykit.notes.key import MODES
from theorykit.views.sounding import Take
from theorykit.views.substitutes_view import parallel_key
from theorykit.widgets import Substitutions, substitutions
from theorykit.widgets.player import Player

PICTURES = ("staff", "keyboard", "motion", "clock")


@pytest.fixture
def silent(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, object]]:
    """A player that only notes down what it is handed: it has tests of its own."""
    asked: list[dict[str, object]] = []

    def note_down(_: Player, takes: tuple[Take, ...], melody: str) -> None:
        asked.extend(
            {"played": one.performance, "label": one.label, "melody": melody} for one in takes
        )

    monkeypatch.setattr(Player, "show", note_down)
    return asked


def texts(svg: str) -> str:
    """All texts of a picture, without spaces."""
    return "".join("".join(ElementTree.fromstring(svg).itertext()).split())


def size(svg: str) -> tuple[float, float]:
    """Width and height of a picture in pixels."""
    return float(re.findall(r'width="([\d.]+)"', svg)[0]), float(
        re.findall(r'height="([\d.]+)"', svg)[0]
    )


def touched(box: Substitutions) -> list[str]:
    """Note down from now on which parts of the page are assigned to."""
    found: list[str] = []
    for name in (*PICTURES, "sentence", "words"):
        getattr(box, name).observe(lambda _, name=name: found.append(name), "value")
    return found


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_every_key_with_every_substitute_shows_its_chords_and_explains_them(name, keys, silent):
    box = substitutions(name=name)
    for key in keys:
        box.key.value = str(key)
        view = box.view
        assert box.problem.value == ""
        assert (view.key, view.found.name) == (key, name)
        assert box.target.value == key.mode
        staff = texts(box.staff.value)
        assert all(chord.pretty in staff for chord in view.found.chords)
        assert box.sentence.value.count(view.sentence)
        shown = ElementTree.fromstring(box.words.value.replace("<br>", "<br/>"))
        said = "".join(shown.itertext())
        assert all(text in said for _, sentences in view.sections for text in sentences)
        assert len(box.chord.options) == len(view.found.readings)
        assert box.chord.value == view.place
        for text, place in box.chord.options:
            box.chord.value = place
            reading = box.view.found.readings[place]
            assert text == f"{reading.chord.pretty} going to {reading.following.pretty}"
            assert reading.chord.pretty in texts(box.motion.value)
            assert reading.chord.pretty in texts(box.clock.value)
            keys = texts(box.keyboard.value)
            assert all(note.pretty in keys for note in reading.chord.notes)


WIDE = ("C major", "Cb major", "C# major", "Eb major", "D major", "Bb minor")


@pytest.mark.parametrize("keys", some_and_all(("Cb major", "Bb minor"), WIDE))
def test_every_picture_fits_the_room_that_is_kept_for_it(keys, silent):
    box = substitutions()
    rooms = {name: int(getattr(box, name).layout.min_height[:-2]) for name in PICTURES}
    for name in NAMES:
        for key in keys:
            box.substitute.value, box.key.value = name, key
            for _, place in box.chord.options:
                box.chord.value = place
                for picture, space in rooms.items():
                    assert size(getattr(box, picture).value)[1] <= space, (name, key, picture)


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_key_and_target_follow_each_other(keys, silent):
    box = substitutions()
    for key in keys:
        box.key.value = str(key)
        for mode in (*MODES, key.mode):
            box.target.value = mode
            assert box.key.value == str(parallel_key(box.key.value, mode))
            assert box.view.key.mode == mode
            assert box.view.key.tonic.semitone == key.tonic.semitone
            assert box.problem.value == ""


def test_another_substitute_begins_with_the_chord_that_makes_it(silent):
    box = substitutions(name="chain of dominants")
    box.chord.value = 3
    box.substitute.value = "tritone substitute"
    assert box.chord.value == 0
    box.substitute.value = "backdoor dominant"
    assert (box.chord.value, str(box.view.reading.chord)) == (1, "Bb7")


def test_another_key_keeps_the_chord_that_is_looked_at(silent):
    box = substitutions(name="chain of dominants")
    box.chord.value = 1
    box.key.value = "Eb major"
    assert (box.chord.value, str(box.view.reading.chord)) == (1, "C7")


def test_another_chord_in_the_pictures_touches_no_staff_and_no_player(silent):
    box = substitutions(name="chain of dominants")
    found = touched(box)
    box.chord.value = 0
    assert set(found) == {"keyboard", "motion", "clock"}


def test_every_reader_has_all_of_the_page_in_one_key_and_is_told_what_stays(silent):
    """Pictures, words and the names of the players move with the staff."""
    box = substitutions("Db major", "side step")
    found = touched(box)
    seen = {texts(box.staff.value)}
    for _, reader in box.reader.options[1:]:
        box.reader.value = reader
        seen.add(texts(box.staff.value) + reader.name)
        assert box.view.sentence in box.sentence.value
        assert box.view.written in box.sentence.value
        v, one = (chord.pretty for chord in (box.view.found.chords[-1], box.view.found.target))
        assert v in str(silent[-1]["label"])
        assert one in str(silent[-1]["label"])
    assert {*PICTURES, "sentence", "words"} <= set(found)
    assert len(seen) == len(box.reader.options)


def test_tempo_swing_and_melody_change_the_players_and_nothing_else(silent):
    box = substitutions()
    found = touched(box)
    for control, values in (
        (box.tempo, (40, 120, 300)),
        (box.swing, (1.0, 1.5, 3.0)),
        (box.melody, box.melody.options),
    ):
        for value in values:
            control.value = value
            assert box.problem.value == ""
    assert not {*PICTURES, "sentence", "words"} & set(found)
    assert box.player.tempo == 300  # the page follows by itself, without other takes
    assert {call["played"].swing for call in silent} == {1.0, 1.5, 2.0, 3.0}
    assert {call["melody"] for call in silent} == set(box.melody.options)


def test_the_three_players_are_original_original_bass_and_own_bass(silent):
    substitutions("F# major", "tritone substitute")
    labels = [str(call["label"]) for call in silent[-3:]]
    assert labels == [
        "original: G♯m7 | C♯7 | F♯maj7",
        "substitute over the original bass: G♯m7 | G7/C♯ | F♯maj7",
        "substitute over its own bass: G♯m7 | G7 | F♯maj7",
    ]
    basses = [
        next(part.notes for part in call["played"].parts if part.name == "bass")
        for call in silent[-3:]
    ]
    assert basses[0] == basses[1] != basses[2]


def test_what_goes_wrong_is_said_and_the_last_good_picture_stays(silent, monkeypatch):
    box = substitutions()
    before = [getattr(box, name).value for name in (*PICTURES, "sentence", "words")]

    def refuse(*_: object, **__: object) -> None:
        raise TheoryError("no such substitute: <b> (want another)")

    monkeypatch.setattr(room, "substitution", refuse)
    box.substitute.value = "side step"
    assert 'role="alert"' in box.problem.value
    assert "&lt;b&gt;" in box.problem.value
    assert [getattr(box, name).value for name in (*PICTURES, "sentence", "words")] == before
    assert box.substitute.value == "side step"


def test_what_there_is_not_is_refused_before_anything_is_shown():
    with pytest.raises(TheoryError, match="not a key"):
        substitutions("H major")
    with pytest.raises(TheoryError, match="no such substitute"):
        substitutions("C", "side door")


def test_every_control_has_a_label_and_every_picture_and_player_says_what_it_is():
    box = substitutions("Bb minor", "ii-V of the tritone substitute")
    controls = (box.key, box.target, box.substitute, box.chord, box.reader)
    labels = [one.description for one in (*controls, box.tempo, box.swing, box.melody)]
    assert all(labels)
    assert len(set(labels)) == len(labels)
    for name in PICTURES:
        assert re.search(r'role="img" aria-label="[^"]{20,}"', getattr(box, name).value)
    assert [take["label"] for take in box.player.takes] == list(box.view.names_of_takes)
