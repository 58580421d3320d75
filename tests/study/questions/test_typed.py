"""Answers as musicians type them: case, signs, words, buttons and keys of the keyboard."""

import pytest
from together import together

from theorykit import Line, Note, Pitch, TheoryError, question
from theorykit.study.questions import Heard


@together(
    "typed",
    [
        "E", "e", "E triad", "E major", "e major", "E maj", "E major triad", "the E triad", "Emaj",
        "Fb", "F♭ major", "f flat", "E G# B", "e, g#, b", "E Ab B", [64, 68, 71], [52, 56, 59],
        [Note.parse("E"), Note.parse("G#"), Note.parse("B")], [Pitch.parse("E4"), 68, "B"],
        "E7", "b d e g#",
    ],
)  # fmt: skip
def test_the_e_triad_by_any_name(typed):
    one = question("shortcut over V", keys=["C"], topic="b9 13", level=3)
    assert one.judge(typed).right, one.judge(typed).words


@pytest.mark.parametrize(
    "typed",
    [
        "Ab melodic minor", "ab melodic minor scale", "A flat jazz minor", "G# melodic minor",
        "G altered", "the G altered scale", "G super locrian", "Ab Bb Cb Db Eb F G",
    ],
)  # fmt: skip
def test_the_altered_scale_by_any_name(typed):
    one = question("shortcut over V", keys=["C"], topic="altered", level=3)
    assert one.judge(typed).right, one.judge(typed).words


@pytest.mark.parametrize(
    "typed", ["A", "a", "A triad", "A major", "a major", "A C# E", "Bbb", "a c# e"]
)
def test_the_a_triad_is_not_taken_for_an_article(typed):
    one = question("shortcut over V", keys=["C"], topic="9 #11 13", level=3)
    assert one.judge(typed).right, one.judge(typed).words


@pytest.mark.parametrize(
    "typed", ["b9", "♭9", "B9", "flat 9", "flat nine", "the flat nine", "b2", "♭9th", "-9"]
)
def test_the_flat_nine_by_any_name(typed):
    one = question("degree of a note", keys=["F"], topic="b9", level=3)
    if typed == "-9":
        with pytest.raises(TheoryError, match="not a degree"):
            one.judge(typed)
    else:
        assert one.judge(typed).right


@pytest.mark.parametrize("typed", ["b7", "7", "the 7th", "seventh", "minor seventh", "flat seven"])
def test_the_seventh_of_a_dominant_is_its_flat_seventh(typed):
    assert question("degree of a note", keys=["C"], topic="b7", level=3).judge(typed).right


@pytest.mark.parametrize("typed", ["7", "natural 7", "major seventh", "major 7"])
def test_the_natural_seventh_is_told_apart(typed):
    one = question("degree of a note", keys=["C"], topic="7", level=3)
    assert one.judge(typed).right
    assert not one.judge("b7").right


@pytest.mark.parametrize(
    "typed", ["b9 13", "♭9 13", "13 b9", "b9, 13", "b9 and 13", "flat nine thirteen", "B9 13"]
)
def test_a_colour_by_any_name(typed):
    assert question("colour of a shape", keys=["Db"], topic="b9 13", level=3).judge(typed).right


@pytest.mark.parametrize("typed", ["alt", "altered", "7alt", "the altered scale", "b9 #9 #11 b13"])
def test_the_altered_colour_by_any_name(typed):
    assert question("colour in a picture", keys=["Db"], topic="altered", level=3).judge(typed).right


@pytest.mark.parametrize("typed", ["Ab", "ab", "A♭", "G#", "a flat", "A-flat", "Ab4", 68, [56]])
def test_a_note_by_any_name(typed):
    assert question("note of a degree", keys=["C"], topic="b9", level=3).judge(typed).right


@pytest.mark.parametrize(
    ("typed", "right"),
    [
        ("Dm7b5", True), ("Dø", True), ("dm7b5", True), ("D half-diminished", True),
        ("Ddim", True), ("D-7b5", True), ("Dm7", False), ("D7", False), ("Fm6", False),
    ],
)  # fmt: skip
def test_the_ii_of_minor_by_any_name(typed, right):
    one = question("ii of a V", keys=["C minor"], topic="minor", level=3)
    assert one.judge(typed).right == right
    if typed == "Fm6":
        assert "has the notes of Dm7♭5 on another root" in one.judge(typed).words


def test_guide_tones_in_either_order_and_with_any_bars():
    one = question("guide tones", keys=["C"], topic="major", level=3)
    assert all(
        one.judge(text).right for text in ("F C | F B | E B", "c f b f b e", "C F, B F, B E")
    )
    with pytest.raises(TheoryError, match="two notes for each chord"):
        one.judge("F C F B")
    assert "F comes twice" in one.judge("F F | F B | E B").words


def test_where_a_note_goes_by_note_or_by_degree():
    one = question("where a note goes", keys=["Bb minor"], topic="b9", level=3)
    assert all(one.judge(text).right for text in ("F", "5", "the 5th", "fifth"))
    third = question("where a note goes", keys=["Bb minor"], topic="b7", level=3)
    assert all(third.judge(text).right for text in ("Db", "b3", "3rd", "the third", "C#"))


def test_a_wrong_answer_is_told_as_the_answer_to_another_question():
    one = question("shortcut over V", keys=["C"], topic="b9 13", level=3)
    assert "that is ♯9 ♭13" in one.judge("Eb").words
    assert "brings the ♯11 besides; that is ♭9 ♯11 13" in one.judge("C#m").words


def test_a_slash_chord_is_a_shape_and_no_two_notes():
    one = question("shortcut over V", keys=["C"], topic="suspended", level=3)
    assert one.judge("F/G").right
    assert "The plainest way: F major triad" in one.judge("Dm7").words


def test_the_symbol_of_the_v_itself_is_no_shape():
    one = question("shortcut over V", keys=["C"], topic="b9 13", level=3)
    with pytest.raises(TheoryError, match="G13♭9 is G7 itself with a colour"):
        one.judge("G13b9")


def test_a_bar_is_judged_by_reading_it():
    one = question("bar of a colour", keys=["C"], topic="b9 13", level=3)
    good = "8th D5 B4 Ab4 E4 D4 E4 Ab4 B4 | whole C5"
    judged = one.judge(good)
    assert judged.right, judged.words
    assert "E major triad" in judged.words
    assert one.judge(Line.parse(good, one.judging.over)).right
    assert not one.judge("8th D5 B4 G4 F4 D4 F4 G4 B4 | whole C5").right
    late = one.judge("8th D5 B4 Ab4 E4 D4 E4 Ab4 B4 | half rest half C5")
    assert not late.right
    marred = one.judge("8th D5 B4 Ab4 E4 D4 E4 Ab4 B4 | Eb5 D5 quarter C5 half rest")
    assert not marred.right
    assert marred.words.endswith("E♭ on beat 1 clashes with Cmaj7, as its ♭3rd: try E, its 3rd.")
    assert one.judge("").right is False
    with pytest.raises(TheoryError):
        one.judge("8th D5 ?")


def test_a_sound_is_played_at_any_tempo_as_often_as_wanted():
    heard = Heard(question("guide tones", keys=["Db"]).key, colour="b9")
    slow, fast = heard.performance(60), heard.performance(240)
    assert slow.seconds == pytest.approx(4 * fast.seconds)
    assert heard.performance(60) == slow


@pytest.mark.parametrize("typed", ["N.C.", "n.c.", "N.C. Dm7"])
def test_no_chord_is_no_answer_where_a_chord_is_asked_for(typed):
    """It was read as a chord without notes, of which there was nothing to say."""
    asked = question("substitute", keys=["Bb minor"], level=3, seed=3)
    with pytest.raises(TheoryError, match=r"no chord|not a chord"):
        asked.judge(typed)
