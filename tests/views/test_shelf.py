"""What a phrase book shows."""

from itertools import product

import pytest

from theorykit.lines.text import Line
from theorykit.notes.key import KEYS, Key
from theorykit.study.phrase import Phrase
from theorykit.tunes.progression import FORMS, Bar, Progression, two_five_one
from theorykit.views.shelf import ANY, Shelf, facts, form_options, key_options, phrase_view

SHORT = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", two_five_one("C", "short"))
LONG = Line.parse(
    "8th D5 F5 A5 C6 B5 A5 G5 E5 | F5 D5 E5 C5 B4 Ab4 F4 D4 | whole E4", two_five_one("C")
)
MINOR = Line.parse("8th Ab4 C5 D5 F5 B4 Ab4 Eb4 D4 | whole Eb4", two_five_one("C minor", "short"))
OTHER = Line.parse("whole A4", Progression(Key.parse("F"), (Bar.even("F7"),)))
PHRASES = (
    Phrase("a turn", SHORT, "b9 13", ("falling", "Ida"), "Thursday"),
    Phrase("long way", LONG, "b9", ("falling",)),
    Phrase("minor", MINOR, "b9 b13"),
    Phrase("vamp", OTHER, "", ("easy",)),
)
SHELF = Shelf(PHRASES, PHRASES[:2])


def test_each_list_offers_what_the_book_has_and_any():
    assert SHELF.colours == (
        ("any", ANY),
        *(("no colour", ""), ("♭9", "b9"), ("♭9 13", "b9 13"), ("♭9 ♭13", "b9 b13")),
    )
    assert [value for _, value in SHELF.forms] == [ANY, "long", "short", ""]
    assert SHELF.lengths == (("any", ANY), ("one bar", 1), ("two bars", 2), ("three bars", 3))
    assert [value for _, value in SHELF.tags] == [ANY, "easy", "falling", "Ida"]


def test_the_phrases_that_were_asked_for_are_listed_with_what_they_are():
    assert [name for _, name in SHELF.listed] == ["a turn", "long way"]
    assert SHELF.listed[0][0].endswith(facts(PHRASES[0]))
    assert SHELF.words == "2 of 4 phrases."
    assert Shelf(PHRASES[:1], PHRASES[:1]).words == "1 of 1 phrase."
    assert facts(PHRASES[3]) == "one bar, no colour, F major"


@pytest.mark.parametrize("phrase", PHRASES, ids=lambda phrase: phrase.name)
def test_a_phrase_can_be_set_into_every_key_and_form_that_is_offered(phrase):
    forms = [(form, form) for form in FORMS]
    for (_, key), (_, form) in product(key_options(phrase), form_options(phrase, forms)):
        view = phrase_view(phrase, key, form)
        assert str(view.page.line.progression.key) == (key or str(phrase.key))
        assert view.told[0].endswith(".")
    assert len(key_options(phrase)) == 1 + len([k for k in KEYS if k.mode == phrase.key.mode])


def test_a_phrase_that_is_no_ii_v_i_is_offered_no_other_form():
    assert [value for _, value in form_options(PHRASES[3], [("long", "long")])] == [""]


def test_what_is_told_of_a_phrase():
    view = phrase_view(PHRASES[0], "Eb major", "long")
    assert view.title == "a turn: short, ♭9 13, C major"
    moved, tags, notes = view.told
    assert moved == "Moved to E♭ major; the short phrase stands in the bar before I."
    assert (tags, notes) == ("Tags: falling, Ida.", "Thursday")
    assert str(view.colour) == "b9 13"
    assert phrase_view(PHRASES[3]).colour is None
