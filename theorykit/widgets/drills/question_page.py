"""A question on the page: its words, pictures and player, and three ways to answer it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from threading import Timer
from time import monotonic
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.show.engraving import staff_svg
from theorykit.show.html_text import said_html, sentences_html
from theorykit.show.pictures import picture_svg
from theorykit.show.sound import CAUTION
from theorykit.views.question_view import KEY_BUTTONS, QuestionView
from theorykit.views.sounding import Take
from theorykit.widgets.controls import (
    answer,
    button,
    guarded,
    in_notebook,
    panel,
    picture,
    put,
    typed,
)
from theorykit.widgets.faults import Page, noted
from theorykit.widgets.player import Player, tempo_slider

KEYBOARD_SCALE, STAFF_SCALE, SMALL_SCALE = 0.85, 40, 32
IN_A_ROW = "display:flex;flex-wrap:wrap;gap:8px"
IN_PAIRS = "display:grid;grid-template-columns:1fr 1fr;gap:4px 8px;max-width:860px"
FEW = 1  # staves that are shown in full size
ENTERED = 0.25  # seconds in which the text of a field follows its Enter
GONE = "none"
KEY_WIDTH = "58px"
FIELD_WIDE, BAR_WIDE, LONG_HINT = "306px", "98%", 40  # characters of what a field asks for
TEMPO_WIDE, TEMPO_LABEL = "270px", "52px"


class QuestionPage(Page):
    """A question, and what it takes to answer it; ``take`` is given what was answered.

    ``take`` is called with None where the reader gives up. Nothing is judged here.
    """

    def __init__(self, take: Callable[[str | None], None], tempo: float) -> None:
        self._take = take
        self.view: QuestionView | None = None
        self.hinted = False
        self._entered = 0.0
        self.problem, self.words = picture(), picture()
        self.seen, self.player, self.hint_words = picture(), Player(), picture()
        self.tempo = tempo_slider(tempo)
        self.player.follow(self.tempo)
        self.tempo.layout.width = TEMPO_WIDE
        self.tempo.style.description_width = TEMPO_LABEL
        self.choices = [self._choice(place) for place in range(4)]
        self.choice_row = panel(*self.choices)
        self.key_buttons = [self._key(text, names) for text, names in KEY_BUTTONS]
        self.key_rows = self._key_rows()
        self.field = typed("your answer", "", "type it, then Enter", width=FIELD_WIDE)
        self.go = button("answer", self._go, "give the answer that stands in the field")
        self.clear = button("clear", self._clear, "empty the field")
        self.hint = button("hint", self._hint, "a hint; the answer then counts a little less")
        self.pass_by = button("I do not know", self._pass, "see the answer; it comes again soon")
        super().__init__(self._parts())
        self.field.on_msg(self._entered_key)
        self.field.observe(self._typed, "value")

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out: what is asked, heard and seen, then the ways to answer."""
        caution = picture()
        caution.value = f'<div style="font-size:12px">{sentences_html("", CAUTION)}</div>'
        self.sound = panel(self.tempo, self.player, caution)
        self.answering = ipw.VBox(
            [
                self.choice_row,
                self.key_rows,
                panel(self.field, self.go, self.clear, self.hint, self.pass_by),
                self.hint_words,
            ]
        )
        return [self.words, self.sound, self.seen, self.answering, self.problem]

    def _choice(self, place: int) -> ipw.Button:
        """Return the button of a choice."""
        return button("", lambda _: self._chosen(place))

    def _key(self, text: str, names: str) -> ipw.Button:
        """Return the button of a key."""
        made = button(names, lambda _: self._tapped(text), f"the key {names.replace(' ', ' or ')}")
        made.layout.width, made.layout.margin = KEY_WIDTH, "2px"
        made.style.font_weight = "bold" if " " not in names else "normal"
        return made

    def _key_rows(self) -> ipw.VBox:
        """Lay the keys out as on a keyboard: five above, seven below."""
        black = [
            one
            for one, (_, names) in zip(self.key_buttons, KEY_BUTTONS, strict=True)
            if " " in names
        ]
        white = [one for one in self.key_buttons if one not in black]
        for place, one in enumerate(black):
            one.layout.margin = f"2px 2px 2px {33 if place == 0 else 64 if place == 2 else 2}px"
        return ipw.VBox([ipw.HBox(black), ipw.HBox(white)])

    # === What is shown ===

    def ask(self, view: QuestionView, first: str, why: str) -> None:
        """Show a question with a line on where one is and why it is asked."""
        self.view, self.hinted = view, False
        put(self.words, said_html(view.prompt, f"{first} {why}"))
        put(self.problem, "")
        put(self.hint_words, "")
        self._show(view.keyboard, view.staves)
        self._offer(view)
        tip = f"{view.prompt} Type {view.typed}, then Enter."
        change(self.field, value="", placeholder=view.typed, tooltip=tip)
        wide = BAR_WIDE if len(view.typed) > LONG_HINT else FIELD_WIDE
        change(self.field.layout, width=wide)
        show(self.answering)
        show(self.sound, view.heard is not None)
        if view.heard:
            self._play()
        else:
            self.player.show(())

    def _offer(self, view: QuestionView) -> None:
        """Show the choices, or the keys where notes are asked for and nothing is offered."""
        while len(self.choices) < len(view.choices):
            self.choices.append(self._choice(len(self.choices)))
            self.choice_row.children = tuple(self.choices)
        for place, one in enumerate(self.choices):
            given = place < len(view.choices)
            name = view.choices[place][0] if given else ""
            show(one, given)
            change(one, description=name, tooltip=f"answer: {name}")
        show(self.choice_row, bool(view.choices))
        tapping = bool(view.tapped) and not view.choices
        show(self.key_rows, tapping)
        show(self.clear, tapping)

    def _show(self, keyboard: Any, staves: Any) -> None:
        """Show a keyboard and staves side by side; nothing where there are none."""
        parts = [picture_svg(keyboard, scale=KEYBOARD_SCALE)] if keyboard else []
        scale = STAFF_SCALE if len(staves) <= FEW else SMALL_SCALE
        parts += [_named(name, staff_svg(view, scale=scale)) for name, view in staves]
        row = "".join(f'<div style="min-width:0">{part}</div>' for part in parts)
        wrap = IN_PAIRS if len(staves) > FEW else IN_A_ROW
        put(self.seen, f'<div style="{wrap}">{row}</div>' if row else "")

    def answered(self) -> None:
        """Show what the answer looks like, and take the ways to answer away."""
        if self.view is None:
            return
        view = self.view
        put(self.problem, "")
        show(self.answering, False)
        if view.answer_keyboard or view.answer_staves:
            self._show(view.answer_keyboard, view.answer_staves)

    def close_question(self) -> None:
        """Show no question any more."""
        self.view = None
        show(self.answering, False)
        show(self.sound, False)
        for place in (self.words, self.seen, self.problem):
            put(place, "")
        self.player.show(())

    def focus_answer(self) -> None:
        """Bring the focus to where the answer is given."""
        offered = self.view is not None and self.view.choices
        (self.choices[0] if offered else self.field).focus()

    def _play(self) -> None:
        """Hand the player what is asked about."""
        view = self.view
        if view is None or view.heard is None:
            return
        played = view.heard.performance(self.tempo.value)
        self.player.show([Take(view.player, played, as_players_do=True, loops=view.loops)])

    # === How it is answered ===

    @answer
    def _chosen(self, place: int) -> None:
        """A choice was pressed."""
        if self.view is not None and place < len(self.view.choices):
            self._give(self.view.choices[place][1])

    @answer
    def _tapped(self, text: str) -> None:
        """A key was tapped: one note is the answer, of some each is written down."""
        if self.view is not None and self.view.tapped == "one":
            self._give(text)
        else:
            change(self.field, value=f"{self.field.value} {text}".strip())

    @answer
    def _clear(self, _: object) -> None:
        """Empty the field."""
        change(self.field, value="")
        self.field.focus()

    @answer
    def _go(self, _: object) -> None:
        """Answer what stands in the field."""
        if not self.field.value.strip():
            guarded(self.problem, self._nothing_given)
            return
        self._give(self.field.value)

    def _nothing_given(self) -> None:
        """Say that nothing stands there."""
        wanted = self.view.typed if self.view is not None else "an answer"
        raise TheoryError(f"no answer yet (want {wanted})")

    def _entered_key(self, _: object, content: dict[str, Any], __: object) -> None:
        """Enter was pressed in the field, whose text may be on its way still."""
        if content.get("event") != "submit":
            return
        if not in_notebook():
            self._go(None)
            return
        self._entered = monotonic()
        Timer(ENTERED, self._take_entered).start()

    def _typed(self, _: object) -> None:
        """The text of the field came in: it is the answer where Enter was pressed."""
        if self._entered and in_notebook():
            self._take_entered()

    def _take_entered(self) -> None:
        """Answer what was entered, once."""
        if self._entered:
            self._entered = 0.0
            self._go(None)

    def _give(self, given: str | None) -> None:
        """Hand the answer on."""
        if self.view is not None and self.answering.layout.display != GONE:
            guarded(self.problem, lambda: self._take(given))

    @answer
    def _hint(self, _: object) -> None:
        """Show the hint."""
        if self.view is not None:
            self.hinted = True
            put(self.hint_words, said_html("", f"Hint: {self.view.hint}"))
            self.field.focus()

    @answer
    def _pass(self, _: object) -> None:
        """The reader gives up."""
        self._give(None)


def change(widget: ipw.Widget, **traits: object) -> None:
    """Change a widget, so that it goes back where the answer breaks off."""
    for name, value in traits.items():
        noted(partial(setattr, widget, name, getattr(widget, name)))
        setattr(widget, name, value)


def show(widget: ipw.DOMWidget, shown: bool = True) -> None:
    """Show a widget, or take it out of sight and out of the way of the Tab key."""
    change(widget.layout, display="" if shown else GONE)


def _named(name: str, svg: str) -> str:
    """Return a staff with its letter before it."""
    inside = f'{sentences_html(name)}<div style="min-width:0">{svg}</div>'
    row = f'<div style="display:flex;gap:4px">{inside}</div>'
    return row if name else svg
