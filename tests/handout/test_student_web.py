"""What the students' page keeps back, lets tick and says of its sounds; its contrasts."""

import re
from dataclasses import replace
from importlib.resources import files

import html5lib
import pytest

from theorykit.handout import Handout
from theorykit.handout.blocks import ColourBlock, LineBlock, TextBlock
from theorykit.handout.blocks.plan_block import PlanBlock, Step
from theorykit.handout.blocks.question_block import ANSWERS, Question, QuestionBlock
from theorykit.handout.files.jobs import PageJob, SoundJob
from theorykit.handout.front import WEB_QUESTIONS
from theorykit.handout.page import web_page
from theorykit.handout.week_questions import asked_section
from theorykit.notes.reader import READERS, reader
from theorykit.views.sounding import notes_of

XHTML = "{http://www.w3.org/1999/xhtml}"
READ = ("concert", "B flat")
ASKED = QuestionBlock(questions=(Question(question="Which note bends G7?", answer="The Ab."),))
PLAN = PlanBlock(steps=(Step(minutes=5, what="Sing the roots."),), days=2)


def page(handout: Handout, audience: str = "student", names=READ) -> str:
    articles = {}
    for name in names:
        job = PageJob(handout, handout.blocks, name, "normal", {}, articles=(audience,))
        articles |= {who: one for (who, _), one in job.run().articles.items()}
    return web_page(handout, articles, (), audience)


def parsed(text: str):
    return html5lib.HTMLParser(strict=True).parse(text)


@pytest.mark.parametrize("audience", ["student", "teacher"])
def test_every_block_of_the_week_makes_a_valid_page(audience):
    handout = Handout(
        "Week", blocks=(ColourBlock(colour="b9 13", key="Db"), PLAN, ASKED, TextBlock(text="Sing."))
    )
    root = parsed(page(handout, audience))
    fields = [one for one in root.iter(f"{XHTML}input") if one.get("type") == "checkbox"]
    assert {one.get("aria-label") for one in fields} == {
        "day 1: Sing the roots.",
        "day 2: Sing the roots.",
    }
    ticks = [one.get("data-tick") for one in fields]
    assert sorted(ticks) == sorted([*set(ticks)] * len(READ))  # the same for every reader


def test_answers_are_folded_away_one_by_one_and_moved_for_the_reader():
    root = parsed(page(Handout("Week", blocks=(ASKED,))))
    folds = ["".join(one.itertext()) for one in root.iter(f"{XHTML}details")]
    assert folds == ["Answer to question 1The A♭.", "Answer to question 1The B♭."]
    assert all("open" not in one.attrib for one in root.iter(f"{XHTML}details"))


@pytest.mark.parametrize("answers", ANSWERS[1:])
def test_an_answer_that_is_not_for_students_is_not_in_their_page(answers):
    handout = Handout("Week", blocks=(replace(ASKED, answers=answers),))
    assert "The A♭." not in page(handout)
    assert ("The A♭." in page(handout, "teacher")) == (answers == "teacher only")


def test_the_page_asks_about_what_stands_on_it_unless_told_not_to():
    handout = Handout("Week", blocks=(ASKED, ColourBlock(colour="b9 13", key="Db")))
    text = page(handout)
    assert text.count("Questions for this week") == len(READ)
    # by hand: the V of D flat is A flat 7, a whole step higher for B flat instruments B flat 7
    assert "Which shape brings ♭9 13 over A♭7, on the way to D♭maj7?" in text
    assert "Which shape brings ♭9 13 over B♭7, on the way to E♭maj7?" in text
    assert "<b>2</b>" in text  # numbered on from the sheet's own question
    none = replace(handout, web_questions=WEB_QUESTIONS[1])
    assert "Questions for this week" not in page(none)
    assert "Questions for this week" not in page(Handout("Warm-up", blocks=(PLAN,)))


@pytest.mark.parametrize("key", ["Eb", "F# minor", "C"])
def test_an_answer_is_told_with_the_letter_of_its_choice(key):
    """An answer that begins "C." is taken for the choice c, which may be another one."""
    asked = 0
    for who in READ:
        found = asked_section("Week", [ColourBlock(colour="b9", key=key)], reader(who))
        for one in found.pieces[1:]:
            _, *offered = one.question.splitlines()
            told = [choice for choice in offered if one.answer.startswith(f"{choice}. ")]
            assert len(told) == 1, one.answer
            assert (one.number, one.answer) in found.answers
            asked += 1
    assert asked > 3 * len(READ)


def test_staves_stand_there_for_a_wide_and_for_a_narrow_screen_and_words_once():
    text = page(Handout("Week", blocks=(ColourBlock(colour="b9 13", key="Db"),)), names=["F"])
    assert text.count('class="picture wide"') >= 1
    assert text.count('class="picture narrow"') >= 1
    assert text.count("Under each note stands") == 1


def test_a_recording_says_its_length_tempo_and_count_in():
    block = LineBlock(line="8th D5 F5 A5 C6 B5 Ab5 E5 Ab5 | whole G5", form="short")
    job = SoundJob(block, 0, ("a", "b", "c"), 60, "flute", "ogg", midi=False, files=False)
    heard = job.run().heard
    # by hand: a bar of count-in and two bars of music, at a beat a second; twice the bars in turn
    assert [one.told.partition(", ")[2] for one in heard] == [
        "60 beats a minute, counted in for 1 bar"
    ] * 3
    seconds = [int(one.told[2:4]) for one in heard]
    assert [12 <= one <= 16 for one in seconds[:2]] == [True, True]
    assert 20 <= seconds[2] <= 24
    notes = [note for note in notes_of(heard[0].take) if note.mark >= 0]
    assert len(notes) == 9  # what is lit on the staff


# === Contrast ===


def luminance(colour: str) -> float:
    """Return how light a colour is. Source: WCAG 2.2 (W3C, 2023), relative luminance."""
    full = colour if len(colour) == 7 else "#" + "".join(2 * one for one in colour[1:])
    parts = [int(full[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast of two colours. Source: WCAG 2.2 (W3C, 2023), contrast ratio."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


SHEET = files("theorykit.handout").joinpath("web.css").read_text(encoding="utf-8")
THEMES = [
    dict(re.findall(r"--(\w+): (#\w+)", rules))
    for rules in re.findall(r":root \{(.*?)\}", SHEET, re.DOTALL)
]


def test_the_measure_of_contrast_is_right():
    assert contrast("#000", "#ffffff") == 21  # WCAG 2.2: black on white
    assert contrast("#777777", "#fff") == pytest.approx(4.48, abs=0.01)  # from memory


@pytest.mark.parametrize("theme", THEMES, ids=["light", "dark"])
def test_words_and_edges_stand_out_in_both_themes(theme):
    for words in ("ink", "soft", "accent"):
        assert contrast(theme[words], theme["sheet"]) >= 4.5, words
    for edge in ("rule", "accent"):  # of fields and of what has the focus
        assert contrast(theme[edge], theme["sheet"]) >= 3, edge


def test_every_reader_of_the_house_has_an_end_of_the_address():
    handout = Handout("Week", web_address="https://example.org/x.html")
    ends = [handout.link(who).rpartition("#")[2] for who in READERS]
    assert ends == ["concert", "B-flat", "E-flat", "F", "bass-clef", "guitar"]
    text = page(replace(handout, blocks=(PLAN,)), names=[who.name for who in READERS])
    assert all(f'value="{end}"' in text for end in ends)
