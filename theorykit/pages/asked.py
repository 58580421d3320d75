"""Questions on a published page: what a chapter asks, each answer behind a fold."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape
from typing import Any

from theorykit.notes.key import Key
from theorykit.show.engraving import staff_svg
from theorykit.show.pictures import picture_svg
from theorykit.show.sound import performance_html
from theorykit.study import questions
from theorykit.study.course import Chapter, Exercise, chapter
from theorykit.study.drill_wishes import KEY_SETS
from theorykit.views.question_view import QuestionView, question_view

__all__ = ["asked_html"]

STEP = 5  # keys from question to question: a fourth up, so that no two of a chapter are the same
KEYBOARD_SCALE, STAFF_SCALE, TEMPO = 1.0, 50, 100


def asked_html(wishes: dict[str, Any]) -> str:
    """Return what ``drill(chapter=..., keys=...)`` asks, as a list to answer for oneself.

    >>> page = asked_html({"chapter": 4})
    >>> page.count("<details"), "Which shape brings" in page, "autoplay" in page
    (16, True, False)
    """
    row = chapter(wishes["chapter"])
    pairs = list(_pairs(row, wishes.get("keys", ())))
    items = "".join(f"<li>{_question(one, key)}</li>" for one, key in pairs)
    return f'<ol class="asked">{items}</ol>'


def _pairs(row: Chapter, named: Iterable[str]) -> Iterator[tuple[Exercise, Key]]:
    """Yield what is asked, and in which key: each in each where keys are named, else once.

    Keys follow each other by fourths, each exercise in the next one that it can be asked in.
    """
    keys = [Key.parse(name) for name in named]
    for turn in range(len(keys)):
        for place, one in enumerate(row.asked):
            if one.fits(key := keys[(place + turn) % len(keys)]):
                yield one, key
    if keys:
        return
    usual = [key for key in KEY_SETS["all keys"] if key in row.keys]
    for place, one in enumerate(row.asked):
        fitting = [key for key in usual if one.fits(key)]
        yield one, fitting[(STEP * (row.number + place) + 1) % len(fitting)]


def _question(one: Exercise, key: Key) -> str:
    """Return one question with its answer."""
    asked = questions.question(one.kind, level=one.level, keys=[key], seed=1, topic=one.topic)
    view = question_view(asked)
    parts = [f"<p>{escape(view.prompt)}</p>", *_seen(view), *_heard(view)]
    if view.choices:
        offered = ", ".join(read for read, _ in view.choices)
        parts.append(f'<p class="small">Choose from: {escape(offered)}.</p>')
    keys = picture_svg(view.answer_keyboard, scale=KEYBOARD_SCALE) if view.answer_keyboard else ""
    staves = "".join(staff_svg(staff, scale=STAFF_SCALE) for _, staff in view.answer_staves)
    words = (
        f"<p><strong>{escape(view.answer)}</strong>. {escape(asked.judge(asked.answer).words)}</p>"
    )
    return (
        f"{''.join(parts)}"
        f"<details><summary>A hint</summary><p>{escape(view.hint)}</p></details>"
        f"<details><summary>The answer</summary>{words}{keys}{staves}</details>"
    )


def _seen(view: QuestionView) -> Iterator[str]:
    """Yield what is shown with a question."""
    if view.keyboard is not None:
        yield picture_svg(view.keyboard, scale=KEYBOARD_SCALE)
    for name, staff in view.staves:
        yield f"<p>{escape(name)}</p>" if name else ""
        yield staff_svg(staff, scale=STAFF_SCALE)


def _heard(view: QuestionView) -> Iterator[str]:
    """Yield the player of a question."""
    if view.heard is not None:
        played = view.heard.performance(TEMPO, count_in=0 if view.loops else 1)
        yield performance_html(played, label=view.player, loops=view.loops)
