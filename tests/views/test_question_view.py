"""Questions on a page: nothing gives the answer away, and every reader has the own key."""

import pytest
from sweeps import swept

from theorykit import KINDS_OF_QUESTION, Key, question
from theorykit.notes.reader import READERS
from theorykit.study.drill_wishes import keys_on_page
from theorykit.views.question_view import ANSWERED, KEY_BUTTONS, SURFACES, question_view

KEYS = ("C", "Db", "F#", "Bb minor")
NAMES = [kind.name for kind in KINDS_OF_QUESTION]
TRIED = ("colour in a picture", "wrong note", "target note", "line by ear", "top note")


def asked(kind, key, **more):
    row = next(one for one in KINDS_OF_QUESTION if one.name == kind)
    home = Key.parse(key)
    topics = [topic for topic in row.topics if row.fits(topic, home)]
    return [question(kind, keys=[key], topic=topic, **more) for topic in topics]


def test_every_kind_says_how_it_is_answered():
    assert set(ANSWERED) == set(NAMES)


def test_the_keys_to_tap_are_the_twelve_of_the_piano_and_their_text_is_read():
    from theorykit import Note

    assert [Note.parse(text).semitone for text, _ in KEY_BUTTONS] == list(range(12))
    for text, label in KEY_BUTTONS:
        assert {Note.parse(name).semitone for name in label.split()} == {Note.parse(text).semitone}


@pytest.mark.parametrize("kind", swept(NAMES, lambda name: name in TRIED))
def test_what_is_offered_on_the_page_is_judged_and_one_of_it_is_right(kind):
    for key in KEYS:
        for one in asked(kind, key, level=2)[:4]:
            view = question_view(one)
            assert len({label for label, _ in view.choices}) == len(view.choices)
            assert sum(one.judge(given).right for _, given in view.choices) == 1


@pytest.mark.parametrize("kind", ["colour in a picture", "wrong note"])
def test_the_keyboard_shows_the_notes_and_keeps_their_degrees_until_they_are_answered(kind):
    for key in KEYS:
        for one in asked(kind, key, level=3):
            view = question_view(one)
            hidden = [lit for lit in view.keyboard.lit if not lit.degree]
            assert {lit.midi % 12 for lit in hidden} == {n.semitone for n in one.shown.notes}
            assert {lit.role for lit in hidden} == {"colour"}
            assert one.answer not in view.keyboard.alt or kind == "wrong note"
            shown = [lit for lit in view.answer_keyboard.lit if lit.ringed]
            assert all(lit.degree for lit in shown)


def test_on_a_staff_the_same_notes_stand_in_the_key_of_the_page():
    for who in READERS:
        for key in ("Db", "Bb minor"):
            one = asked("colour in a picture", key, level=3)[1]
            view = question_view(one, reader=who, surface=SURFACES[1])
            ((_, staff),) = view.staves
            assert view.keyboard is None
            assert [n.pitch.note for n in staff.notes] == list(one.shown.notes)
            assert staff.key == Key.parse(key)
            assert staff.clef == who.clef
            assert not any(n.labels or n.mark for n in staff.notes)


def test_the_line_to_listen_for_stands_lettered_and_unmarked():
    for key in KEYS:
        (one, *_) = asked("line by ear", key, level=2)
        view = question_view(one)
        assert [name for name, _ in view.staves] == list("ABCD")[: len(view.staves)]
        assert not any(n.labels or n.mark for _, staff in view.staves for n in staff.notes)


def test_the_guide_tones_to_sing_are_shown_after_the_answer_only():
    (one,) = asked("guide tones over the loop", "Db")
    view = question_view(one)
    assert view.staves == ()
    assert len(view.answer_staves) == 2
    assert view.loops


@pytest.mark.parametrize("who", READERS, ids=lambda one: one.name)
def test_what_is_heard_sounds_where_the_page_of_the_reader_says(who):
    for key in keys_on_page(None, who)[::5]:
        for kind in ("top note", "line by ear", "major or minor target"):
            for one in asked(kind, str(key))[:1]:
                view = question_view(one, reader=who)
                sounding = who.sounding_key(one.heard.key)
                assert view.heard.key == sounding
                assert view.heard.progression.key == sounding
                assert (view.heard.line is None) == (one.heard.line is None)
                if view.heard.line:
                    apart = {
                        (low.pitch.midi - high.pitch.midi) % 12
                        for low, high in zip(
                            view.heard.line.notes, one.heard.line.notes, strict=True
                        )
                    }
                    assert apart == {-who.semitones % 12}


@pytest.mark.parametrize("kind", ["major or minor target"])
def test_the_name_of_the_player_gives_nothing_away(kind):
    for who in READERS:
        for one in asked(kind, "Db"):
            player = question_view(one, reader=who).player
            assert "minor" not in player
            assert "major" not in player
