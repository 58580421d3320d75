"""The explorer without a browser: every state of every control."""

from __future__ import annotations

import re
from itertools import product
from xml.etree import ElementTree

import pytest
from sweeps import SWEPT_KEYS, some_and_all

import theorykit.widgets.exploring as room
from theorykit.errors import TheoryError
from theorykit.harmony.colours import COLOURS
from theorykit.notes.note import Note
from theorykit.notes.reader import reader as reader_named
from theorykit.tunes.progression import FORMS
from theorykit.views.sounding import Take
from theorykit.widgets import Explorer, explorer
from theorykit.widgets.player import Player


@pytest.fixture
def silent(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, object]]:
    """A player that only notes down what it is handed: it has tests of its own."""
    asked: list[dict[str, object]] = []

    def note_down(_: Player, takes: tuple[Take, ...], melody: str) -> None:
        asked.append({"takes": takes, "melody": melody})

    monkeypatch.setattr(Player, "show", note_down)
    return asked


def texts(svg: str) -> str:
    """All texts of a picture, signs included, without spaces."""
    root = ElementTree.fromstring(svg)
    return "".join("".join(root.itertext()).split())


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_every_key_with_every_colour_shows_its_chords_notes_and_shortcut(form, keys, silent):
    box = explorer(form=form)
    for key, colour in product(keys, COLOURS):
        box.key.value, box.colour.value = str(key), colour.name
        view = box.view
        assert box.problem.value == ""
        assert (view.key, view.colour) == (key, colour)
        shown = texts(box.staff.value)
        assert all(placed.chord.pretty in shown for placed in view.coloured.progression.chords)
        keys = texts(box.keyboard.value)
        assert all(row.note.pretty in keys and row.degree.pretty in keys for row in view.rows)
        assert view.shortcut.pretty.split(" ")[0][0] in box.sentence.value
        assert view.dominant.pretty in box.sentence.value
        assert all(row.move in box.table.value for row in view.rows)
        assert box.shortcut.value == 0
        assert len(box.shortcut.options) == len(view.options)


@pytest.mark.parametrize("colours", some_and_all(COLOURS[::4], COLOURS))
def test_every_shortcut_in_the_list_can_be_taken_and_brings_the_colour(colours, silent):
    box = explorer("F# major", "b9")
    for colour in colours:
        box.colour.value = colour.name
        for text, place in box.shortcut.options:
            box.shortcut.value = place
            assert box.view.shortcut.pretty == text
            wanted = {degree.semitone for degree in colour.degrees}
            assert wanted <= {degree.semitone for degree in box.view.shortcut.degrees}
            assert box.problem.value == ""


def test_every_spelling_and_every_reader_changes_what_is_written_and_not_what_sounds(silent):
    box = explorer("Db major", "altered")
    seen = set()
    for spelling, reader in product(
        box.spelling.options, [value for _, value in box.reader.options]
    ):
        box.spelling.value, box.reader.value = spelling, reader
        seen.add((spelling, reader.name, texts(box.staff.value), box.staff.value.count("<use")))
        assert [note.pitch.midi for note in box.view.coloured.notes] == [
            note.pitch.midi for note in box.view.coloured.notes
        ]
    assert len(seen) == 3 * len(box.reader.options)
    box.reader.value = box.reader.options[0][1]
    box.spelling.value = "readable"
    assert "𝄫" not in box.table.value
    assert "♭♭" not in box.table.value
    box.spelling.value = "by function"
    assert "♭♭" in box.table.value  # the b9 of A flat 7 is B double flat


def test_tempo_swing_and_melody_change_the_players_and_nothing_else(silent):
    box = explorer()
    before = (box.staff.value, box.keyboard.value, box.table.value, box.sentence.value)
    for control, values in (
        (box.tempo, (40, 120, 300)),
        (box.swing, (1.0, 1.5, 3.0)),
        (box.melody, box.melody.options),
    ):
        for value in values:
            control.value = value
            assert box.problem.value == ""
    assert before == (box.staff.value, box.keyboard.value, box.table.value, box.sentence.value)
    assert box.player.tempo == 300  # the page follows by itself, without another take
    swings = {call["takes"][0].performance.swing for call in silent}
    assert swings == {1.0, 1.5, 2.0, 3.0}
    assert {call["melody"] for call in silent} == set(box.melody.options)


def test_the_plain_take_has_no_colour_and_the_other_one_has_it(silent):
    explorer("Eb major", "lydian dominant")
    plain, coloured = silent[-1]["takes"]
    classes = [
        {note.midi % 12 for part in take.performance.parts[1:2] for note in part.notes}
        for take in (plain, coloured)
    ]
    assert Note.parse("E").semitone not in classes[0]  # the sharp 11 of B flat 7
    assert Note.parse("E").semitone in classes[1]
    first, second = (take.performance.parts[0].notes for take in (plain, coloured))
    assert [n.midi for n in first[:3]] == [n.midi for n in second[:3]]
    assert [n.midi for n in first] != [n.midi for n in second]
    assert (plain.is_seen, coloured.is_seen) == (False, True)  # the staff has the coloured line


def test_an_unchanged_choice_touches_no_picture(silent):
    box = explorer()
    box.colour.value = "altered"
    touched: list[str] = []
    for name in ("staff", "keyboard", "table", "sentence"):
        getattr(box, name).observe(lambda change, name=name: touched.append(name), "value")
    box.tempo.value = 160
    assert touched == []


def test_what_goes_wrong_is_said_and_the_last_good_picture_stays(silent, monkeypatch):
    box = explorer()
    staff, sentence = box.staff.value, box.sentence.value

    def refuse(*_: object, **__: object) -> None:
        raise TheoryError("no such colour: <b> (want another)")

    monkeypatch.setattr(room, "explore", refuse)
    box.colour.value = "altered"
    assert 'role="alert"' in box.problem.value
    assert "&lt;b&gt;" in box.problem.value
    assert (box.staff.value, box.sentence.value) == (staff, sentence)
    assert box.colour.value == "altered"
    monkeypatch.undo()
    box.colour.value = "b9"
    assert box.problem.value == ""
    assert box.view.colour.name == "b9"


def test_a_key_or_colour_that_is_none_is_refused_before_anything_is_shown():
    with pytest.raises(TheoryError, match="not a key"):
        explorer("H major")
    with pytest.raises(TheoryError, match="no such colour"):
        explorer("C", "blue")


def test_every_control_has_a_label_and_every_picture_says_what_it_shows():
    box = Explorer("Bb minor", "b9 b13")
    controls = [box.key, box.colour, box.form, box.shortcut, box.spelling, box.reader]
    controls += [box.tempo, box.swing, box.melody]
    labels = [control.description for control in controls]
    assert all(labels)
    assert len(set(labels)) == len(labels)
    for picture in (box.staff, box.keyboard):
        assert re.search(r'role="img"', picture.value)
        assert "<title>" in picture.value or "aria-label" in picture.value
    labels = ["plain F7", "coloured F7: ♭9 ♭13"]
    assert [take["label"] for take in box.player.takes] == labels


def test_a_minor_colour_over_a_major_target_is_told_as_borrowed(silent):
    box = explorer("C major", "minor's own")
    assert "borrowed" in box.sentence.value
    box.key.value = "C minor"
    assert "borrowed" not in box.sentence.value


@pytest.mark.parametrize("key", ["C major", "Db major", "F# major", "Bb minor"])
def test_how_often_each_note_of_the_shape_was_played_stands_beside_the_theory(key, silent):
    box = explorer(key)
    for colour in COLOURS:
        box.colour.value = colour.name
        counts = box.view.counts
        assert [row.name for row in counts.rows] == [r.degree.pretty for r in box.view.rows]
        assert {row.total for row in counts.rows} == {2605 if "minor" in key else 15387}
        shown = texts(box.counts.value)
        for row in counts.rows:
            low, high = row.interval
            assert low < row.share < high
            assert "".join(row.words.split()) in shown  # the count itself, of how many
        assert not re.search(r"should|must|ought|never|always|rule", counts.alt, re.IGNORECASE)


def test_the_fingerboard_is_there_for_the_guitar_and_for_nobody_else(silent):
    box = Explorer("D♭", "altered")
    assert (box.fingerboard.value, box.fingerboard_saving.layout.display) == ("", "none")
    box.reader.value = reader_named("guitar")
    assert "Fingerboard of a guitar tuned E, A, D, G, B, E." in box.fingerboard.value
    assert box.fingerboard_saving.layout.display == ""
    before = box.fingerboard.value
    box.colour.value = "b9 13"
    assert box.fingerboard.value != before
    box.reader.value = reader_named("bass clef")
    assert box.fingerboard.value == ""  # a trombone, until a bass player says so
