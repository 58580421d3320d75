"""The drill: questions out of the journal, judged in words, kept at once, going on where it was."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from os import PathLike
from random import randrange
from time import monotonic
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError, expect_all, expect_path, shown
from theorykit.notes.key import Key
from theorykit.notes.reader import reader as reader_named
from theorykit.show.html_text import said_html, sentences_html
from theorykit.show.review_dates import ReviewDates
from theorykit.study.cards import Card
from theorykit.study.drill_wishes import KEY_SETS, keys_on_page, kinds_wanted
from theorykit.study.journal import Journal
from theorykit.study.questions import KINDS_OF_QUESTION, WAYS, Judgement, Question
from theorykit.study.session import Session
from theorykit.study.sitting import MOST_SEED, Sitting, Task, when_words
from theorykit.views.question_view import SURFACES, question_view
from theorykit.widgets.controls import (
    answer,
    button,
    choice,
    guarded,
    keep_keys,
    number,
    panel,
    picture,
    put,
    readers,
    tick,
    watch,
)
from theorykit.widgets.drills.journal_forms import journal_at, own_journal
from theorykit.widgets.drills.question_page import QuestionPage, change, show
from theorykit.widgets.faults import Page, lasting

MINUTES, LONGEST = 15, 180
UNLIMITED = 1440.0  # minutes: a chapter ends with its last question
AS_KNOWN = "as well as you know it"
LEVELS = ((AS_KNOWN, 0), ("1: two to choose from", 1), ("2: four to choose from", 2),
          ("3: without choices, or with all", 3))  # fmt: skip
ALLOWED = {"recall": 12.0, "see": 20.0, "hear": 20.0}  # seconds, where the reader wants a clock
PASSED = "I do not know"
READS = "What is here and what you type is as written for {}; what you hear is at concert pitch."
CHAPTER_KEYS = "all keys"
WIDE = {"width": "410px", "label_width": "60px"}
NARROW = {"width": "300px", "label_width": "60px"}
SHORT = "150px"
OPENER = {"width": "auto", "margin": "6px 8px 2px", "align_self": "flex-start"}
What = str | Iterable[str] | None


class Drill(Page):
    """A drill as a widget; its controls are attributes, ``sitting`` is how it stands.

    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     box = Drill("guide tones", keys="Db", journal=f"{folder}/journal.sqlite")
    ...     box.page.view.prompt
    ...     box.page.field.value = "gb db, c gb, f c"
    ...     box.page.go.click()
    ...     box.judged.right, box.journal().answers[0].given
    'Which are the guide tones of E♭m7 A♭7 D♭maj7? Two notes for each chord.'
    (True, 'gb db, c gb, f c')
    """

    ways: Sequence[str] = WAYS
    everything = "what the journal says"
    waits = False  # True where a sitting goes on however long ago it was left

    def __init__(
        self,
        what: What = None,
        *,
        keys: str | Key | Iterable[str | Key] | None = None,
        minutes: float = MINUTES,
        level: int = 0,
        tempo: float = 100,
        timed: bool = False,
        written_for: str | None = None,
        journal: str | PathLike[str] | None = None,
        name: str = "",
        tasks: Sequence[Task] = (),
        class_seed: int | None = None,
    ) -> None:
        _check(minutes, level, tempo)
        named = what is None or isinstance(what, str)
        self._wanted = what if named else expect_all(what, str, "what to ask", "names of it")
        self._kinds = self._all_kinds()
        named = keys is None or isinstance(keys, (str, Key))
        self._keys = keys if named else keys_on_page(keys)
        self._tasks, self._class_seed = tuple(tasks), class_seed
        self._path = str(own_journal() if journal is None else expect_path(journal, "a journal"))
        self._dates, self._asked_at = ReviewDates(), monotonic()
        self.judged: Judgement | None = None
        self.asked: Question | None = None
        self._name = name or self._own_name()
        self._add_settings(minutes, level, timed, written_for)
        self.page = QuestionPage(self._given, tempo)
        self.problem, self.verdict, self.ahead = picture(), picture(), picture()
        self.next = button("next question", self._next, "the next question")
        self.again = button("another sitting", self._again, "begin anew")
        self.sitting = self._fresh()
        super().__init__(self._parts())
        keep_keys(self)
        self._watch()
        if not guarded(self.problem, self._begin):
            self.page.close_question()

    def _own_name(self) -> str:
        """Return what the sitting is kept under."""
        named = (self._wanted,) if isinstance(self._wanted, str) else self._wanted or ()
        keys = (self._keys,) if isinstance(self._keys, (str, Key)) else self._keys or ()
        return " ".join(("drill", *named, *map(str, keys)))

    def _all_kinds(self) -> tuple[Any, ...]:
        """Return the kinds that are meant, refusing names that mean none."""
        wanted = self._wanted if self._wanted else None
        found = tuple(kind for kind in kinds_wanted(wanted) if kind.way in self.ways)
        if not found:
            raise TheoryError(
                f"nothing that is heard by the name {shown(wanted)} (want a kind such as "
                "'top note', or a colour such as 'b9 13')"
            )
        return found

    def _add_settings(
        self, minutes: float, level: int, timed: bool, written_for: str | None
    ) -> None:
        """Add what the reader may set."""
        named = [(one, one) for one in KEY_SETS]
        keys_on_page(self._keys)
        mine = [] if self._keys is None or self._keys in [*KEY_SETS] else [("as given", "")]
        start = "" if mine else (self._keys or CHAPTER_KEYS)
        single = [(key.pretty, str(key)) for key in KEY_SETS[CHAPTER_KEYS]]
        kinds = [kind for kind in KINDS_OF_QUESTION if kind.way in self.ways]
        about = [(self.everything, ""), *((kind.title, kind.name) for kind in kinds)]
        self.about = choice("about", about, "", **WIDE)
        self.in_keys = choice("keys", [*mine, *named, *single], start, **NARROW)
        self.level = choice("level", LEVELS, level, "what is offered to choose from", **NARROW)
        self.minutes = number("minutes", round(minutes), 1, LONGEST)
        self.minutes.layout.width = SHORT
        self.minutes.style.description_width = NARROW["label_width"]
        self.timed = tick("look at the clock", timed, "a slow answer then comes again sooner")
        self.reader = readers()
        if written_for is not None:
            self.reader.value = reader_named(written_for)
        on = SURFACES[0] if self.reader.value == reader_named("concert") else SURFACES[1]
        self.surface = choice("notes on a", SURFACES, on)

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out, in the order in which one works."""
        self.folded = panel(*self._set_here())
        show(self.folded, False)
        self.settings = ipw.ToggleButton(
            description="settings", tooltip="show the settings, or put them away", layout=OPENER
        )
        self.settings.observe(self._fold, "value")
        self.after = ipw.VBox([self.verdict, self.ahead, panel(self.next, self.again)])
        return [
            *self._above(), self.problem, self.page, self.after, self.settings, self.folded,
        ]  # fmt: skip

    @answer
    def _fold(self, _: object) -> None:
        """Show the settings, or put them away."""
        show(self.folded, self.settings.value)

    def _above(self) -> list[ipw.Widget]:
        """Return what stands above the question."""
        return []

    def _set_here(self) -> list[ipw.Widget]:
        """Return the controls that lie in the fold."""
        fixed = [self.reader, self.surface, self.timed]
        return (
            fixed if self._tasks else [self.about, self.in_keys, self.level, self.minutes, *fixed]
        )

    def _wishes(self) -> list[ipw.Widget]:
        """Return the controls that say what is asked."""
        return [self.about, self.minutes, self.in_keys, self.level]

    def _watch(self) -> None:
        """Answer every change of a setting."""
        watch((self.about, self.in_keys, self.level, self.minutes, self.reader), self._set)
        watch((self.surface,), self._look_again)

    # === The sitting ===

    def journal(self) -> Journal:
        """Return the journal that answers are kept in."""
        return journal_at(self._path)

    def _session(self) -> Session:
        """Return the session that is wished for."""
        kinds = kinds_wanted(self.about.value) if self.about.value else self._kinds
        keys = keys_on_page(self.in_keys.value or self._keys, self.reader.value)
        minutes = UNLIMITED if self._tasks else float(self.minutes.value)
        return Session(minutes, kinds, keys)

    def _fresh(self) -> Sitting:
        """Return a sitting that begins."""
        tasks = tuple(
            replace(task, key=str(self.reader.value.written_key(Key.parse(task.key))))
            if task.key
            else task
            for task in self._tasks
        )
        return Sitting(self._name, self._session(), tasks, self.level.value, self._class_seed)

    def _begin(self) -> None:
        """Go on where the reader was, or begin."""
        now = _now()
        journal = self.journal()
        kept = journal.sitting(self._name)
        self.sitting = self._fresh().gone_on(kept, now, always=self.waits)
        went_on = len(self.sitting.done)
        self._plan(journal)
        self._ask(f"Going on after {went_on} questions." if went_on else "", focus=False)

    def _plan(self, journal: Journal) -> None:
        """Open the next question, and keep that it is."""
        past = journal.past(_now())
        self.sitting = self.sitting.opened(past, _now(), randrange(MOST_SEED))
        journal.sit(self._name, self.sitting.state)

    def _ask(self, said: str = "", *, focus: bool = True) -> None:
        """Show the open question, or the last words."""
        self.judged = None
        one = self.sitting.open
        if one is None:
            self._end(focus=focus)
            return
        self.asked = one.question
        view = question_view(self.asked, reader=self.reader.value, surface=self.surface.value)
        self.page.ask(view, said or f"{self.sitting.progress}.", one.why)
        self._asked_at = monotonic()
        put(self.verdict, "")
        reader = self.reader.value
        reads = sentences_html("", READS.format(reader.name)) if reader.transposes else ""
        put(self.ahead, reads)
        self._buttons(next_=False, again=False)
        if focus:
            self.page.focus_answer()

    def _buttons(self, *, next_: bool, again: bool) -> None:
        """Show the buttons that lead on."""
        show(self.next, next_)
        show(self.again, again)

    # === Answers ===

    def _given(self, given: str | None) -> None:
        """Judge an answer, keep it, and plan what comes next; what cannot be read is refused."""
        if self.asked is None or self.judged is not None:
            return
        asked = self.asked
        judged = _passed(asked) if given is None else asked.judge(given)
        seconds = monotonic() - self._asked_at
        self._keep(asked, PASSED if given is None else given, judged, seconds)
        self.judged = judged
        self._tell(judged, seconds)

    def _keep(self, asked: Question, given: str, judged: Judgement, seconds: float) -> Card:
        """Keep the answer and the sitting in one write, then plan what comes next."""
        journal, hinted = self.journal(), self.page.hinted
        after = self.sitting.answered(given, judged.right, seconds=seconds, hinted=hinted)
        card = journal.answered(
            asked,
            given,
            judged,
            memory=self._dates,
            seconds=round(seconds, 1),
            allowed=ALLOWED.get(asked.way) if self.timed.value else None,
            hinted=hinted,
            sitting=(self._name, after.state),
        )
        lasting("your answer is kept.")
        self.sitting = after
        self._plan(journal)
        self._card = card
        return card

    def _tell(self, judged: Judgement, seconds: float) -> None:
        """Say how it was, and what comes next."""
        view = self.page.view
        first = "Right." if judged.right else "Not this time."
        told = judged.right or view is None or (self.asked is not None and self.asked.is_report)
        own = "" if told or view is None else f"A right answer: {view.answer}."
        clock = f"It took you {seconds:.0f} seconds." if self.timed.value else ""
        due = f"It comes again {when_words(self._card.due or _now(), _now())}."
        put(self.verdict, said_html(first, judged.words, own, clock))
        put(self.ahead, sentences_html("", due, self._next_words()))
        self.page.answered()
        leads = "next question" if self.sitting.open else "how it went"
        tip = " ".join(filter(None, (first, judged.words, own)))
        change(self.next, description=leads, tooltip=tip)
        self._buttons(next_=True, again=False)
        self.next.focus()

    def _next_words(self) -> str:
        """Say what comes next and why."""
        one = self.sitting.open
        return f"Next: {one.words}. {one.why}" if one is not None else "That was the last question."

    @answer
    def _next(self, _: object) -> None:
        """Show the next question."""
        if self.judged is not None:
            guarded(self.problem, self._ask)

    @answer
    def _again(self, _: object) -> None:
        """Begin another sitting."""
        guarded(self.problem, self._anew)

    def _anew(self) -> None:
        """Begin anew, whatever was before."""
        self.sitting = self._fresh()
        self._plan(self.journal())
        self._ask()

    def _end(self, *, focus: bool = True) -> None:
        """Say how it went and what comes next."""
        self.asked = None
        names = {kind.name for kind in self.sitting.session.kinds} if not self._tasks else None
        cards = [card for card in self.journal().cards if names is None or card.kind in names]
        first, *others = self.sitting.summary(cards, _now())
        self.page.close_question()
        put(self.verdict, said_html(first, *others, *self._last_words()))
        put(self.ahead, "")
        change(self.again, tooltip=" ".join((first, *others)))
        self._buttons(next_=False, again=True)
        if focus:
            self.again.focus()

    def _last_words(self) -> tuple[str, ...]:
        """Return what else is said at the end."""
        return ()

    # === Settings ===

    @answer
    def _set(self, _: object) -> None:
        """Other wishes: the open question stays if it is still one that is wished for."""
        guarded(self.problem, self._wish)

    def _wish(self) -> None:
        """Plan anew with what was done so far."""
        fresh = self._fresh()
        stays = self.sitting.open is not None and not self.sitting.over
        kept = replace(self.sitting, session=fresh.session, tasks=fresh.tasks, level=fresh.level)
        self.sitting = replace(kept, open=None, over=False) if stays else kept
        if stays:
            self._plan(self.journal())
            if self.judged is None:
                self._ask(focus=False)
            else:
                put(self.ahead, sentences_html("", self._next_words()))

    @answer
    def _look_again(self, _: object) -> None:
        """Another surface: the question stays, and what was typed."""
        if self.asked is not None and self.judged is None:
            text = self.page.field.value
            guarded(self.problem, lambda: self._ask(focus=False))
            change(self.page.field, value=text)


def _check(minutes: object, level: object, tempo: object) -> None:
    """Refuse wishes that no control can show."""
    if level not in [value for _, value in LEVELS] or isinstance(level, bool):
        raise TheoryError(f"no such level: {shown(level)} (want 1, 2, 3, or 0 as you know it)")
    for name, value, least, most in (("minutes", minutes, 1, LONGEST), ("tempo", tempo, 40, 300)):
        if not isinstance(value, (int, float)) or not least <= value <= most:
            raise TheoryError(f"not {name}: {shown(value)} (want {least} to {most})")


def _passed(asked: Question) -> Judgement:
    """Return the judgement on no answer: what is right, and why."""
    return Judgement(False, asked.judge(asked.answer).words)


def _now() -> datetime:
    """Return the time."""
    return datetime.now(UTC)
