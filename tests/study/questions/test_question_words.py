"""Words of questions that a musician would check: names that are written, choices that differ."""

import re

import pytest
from sweeps import SWEPT_KEYS
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.colours import COLOURS, colour
from theorykit.notes.key import Key
from theorykit.study.questions import KINDS_OF_QUESTION, question
from theorykit.study.questions.typed import shape_typed
from theorykit.tunes.progression import cadence_chords

TRIPLE = re.compile(r"[A-G](♯{3}|♭{3}|#{3}|b{3})")


@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_no_two_choices_of_shapes_sound_alike(keys):
    for key in keys:
        for row in COLOURS:
            if not row.suits(Key.parse(str(key)).mode):
                continue
            asked = question("shortcut to I", keys=[key], topic=row.name, level=2, seed=3)
            sounds = [frozenset(n.semitone for n in shape_typed(c).notes) for c in asked.choices]
            assert len(set(sounds)) == len(sounds), asked.choices


def test_a_near_shape_has_the_name_that_is_read_most():
    """Over F7 the minor triad a half step up is called F sharp minor (common practice)."""
    asked = question("shortcut to I", keys=["Bb"], topic="#9 b13", level=2)
    assert "F#m" in asked.near_misses
    assert "Gbm" not in asked.near_misses


@together("kind", KINDS_OF_QUESTION, ids=str)
def test_nobody_is_shown_three_accidentals(kind):
    """In A sharp minor the V is E sharp 7, whose #9 by function would be F with three sharps."""
    for topic in kind.topics:
        try:
            asked = question(kind, keys=["A# minor"], topic=topic, level=3, seed=1)
        except TheoryError:
            continue
        told = [asked.judge(text).words for text in (asked.answer, *asked.near_misses)]
        texts = (asked.prompt, asked.hint, asked.answer, *asked.near_misses, *told)
        assert not [text for text in texts if TRIPLE.search(text)]


def test_a_colour_is_written_without_three_accidentals():
    dominant = cadence_chords(Key.parse("A# minor"))[1]
    assert [str(note) for note in colour("#9").notes(dominant)] == ["G#", "B#", "D#"]


@pytest.mark.parametrize(
    ("topic", "hint"),
    [
        ("b9 b13", "Think of a minor triad a half step above V, the ♭9 of V."),
        ("b9 13", "Think of a major triad on the 6th of V or the 3rd of I."),
        ("b9", "Think of a diminished seventh chord a half step below I, the 3rd of V."),
        (
            "whole tone",
            "Think of two augmented triads, the first on the root of V or the 5th of I.",
        ),
    ],
)
def test_the_hint_reads_as_one_says_it(topic, hint):
    assert question("shortcut over V", keys=["C"], topic=topic).hint == hint


def test_a_possessive_has_no_article_and_small_numbers_are_words():
    for kind in ("shortcut over V", "wrong note", "bar of a colour"):
        asked = question(kind, keys=["C minor"], topic="minor's own", level=2)
        told = [asked.judge(text).words for text in (asked.answer, *asked.near_misses)]
        assert "the minor's own" not in " ".join((asked.prompt, asked.hint, *told)).lower()
    assert question("colour by ear", keys=["C"], topic="b9").hint == "It adds one note to the V."
    assert "it brings the ♯11 besides" in (
        question("shortcut over V", keys=["C"], topic="b9 13").judge("C#m").words
    )


def test_a_scale_is_told_with_the_note_that_passes():
    """C harmonic minor over G7 has the 11 besides the notes of minor's own colour."""
    asked = question("colour of a shape", keys=["C minor"], topic="minor's own", level=3)
    assert asked.judge("minor's own").words == (
        "C harmonic minor is 1, ♭9, 3, 5, ♭13 and ♭7, with the 11 in passing, over G7: "
        "minor's own colour."
    )


@pytest.mark.parametrize(
    ("topic", "wrong", "place"),
    [
        ("b9 13", "Em", "on the 6th of V or the 3rd of I."),
        ("b9 #11", "C#m", "a half step above I, the ♯11 of V."),
        ("#9 b13", "Ebm", "on the ♭6th of V or the ♭3rd of I."),
        ("9 #11 13", "Am", "on the 9th of V or the 6th of I."),
    ],
)
def test_who_is_wrong_is_told_the_place_and_not_the_example_alone(topic, wrong, place):
    """The places over V are the table of chapter 4 (common practice)."""
    judged = question("shortcut over V", keys=["C"], topic=topic, level=3).judge(wrong)
    assert not judged.right
    assert judged.words.endswith(place)


def test_a_leading_note_may_rise_where_it_may_stay():
    """B over G7 is at home in Cmaj7, and rises to C all the same (common practice)."""
    asked = question("where a note goes", keys=["C"], topic="3", level=3)
    assert asked.prompt.endswith("go when Cmaj7 comes, or does it stay?")
    assert asked.judge("B").words == "B, the 3, stays: it is the 7th of I."
    rises = asked.judge("C")
    assert rises.right
    assert rises.words.startswith("C is the root of Cmaj7, a half step away: so it may go.")
    assert not any(asked.judge(wrong).right for wrong in ("E", "G", "Bb"))


@pytest.mark.parametrize(
    ("kind", "topic", "key", "words"),
    [
        ("ii of a V", "major", "Db", "is E♭m7: its root is a fifth above A♭."),
        ("substitute", "tritone substitute", "F", "is G♭7: its root is the ♭5 of C7."),
        (
            "substitute",
            "ii-V of the tritone substitute",
            "F",
            "is D♭m7 G♭7: the first root is the ♭9 of C7.",
        ),
    ],
)
def test_chords_are_told_with_the_place_of_their_root(kind, topic, key, words):
    asked = question(kind, keys=[key], topic=topic, level=3)
    assert asked.judge(asked.answer).words.endswith(words)
    assert asked.judge("Cmaj7").words.endswith(words)


def test_the_way_to_a_degree_leads_there():
    """Each way is gone in half steps; the tones it starts from are the chord's own, or told so."""
    steps = {"a half step": 1, "a whole step": 2}
    start = {"root": 0, "9": 2, "3": 4, "11": 5, "5": 7}
    degrees = {"b9": 1, "9": 2, "#9": 3, "3": 4, "11": 5, "#11": 6, "5": 7, "b13": 8, "13": 9}
    degrees |= {"b7": 10, "7": 11}
    for topic, wanted in degrees.items():
        for one in (question("note of a degree", keys=[k], topic=topic) for k in ("Db", "B minor")):
            words = one.hint.partition("it lies ")[2].rstrip(".")
            far, way, tone = re.fullmatch(r"(a \w+ step) (above|below) the (\w+)", words).groups()
            assert (start[tone] + steps[far] * (1 if way == "above" else -1)) % 12 == wanted
            wrong = one.judge(one.near_misses[0])
            assert wrong.words.endswith(f"It lies {words}.")
