"""Changes to play over: the forms of a ii-V-I, one of them with a fourth bar, or typed ones."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.lines.text import Line
from theorykit.notes.key import Key
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import FORMS, Progression, two_five_one
from theorykit.views.line import LineDraft
from theorykit.widgets.controls import answer, guarded, typed, unwatched, watch
from theorykit.widgets.exploring import FORM_WORDS
from theorykit.widgets.line_page import ChosenLine

FOUR = "four bars"
FOUR_WORDS = "four bars: a bar each of ii and V, two of I"
MOST_BARS = 32
STAYED = "the notes stayed as they are, over other chords"
TIP = "your own, at concert pitch, with | between bars; empty for a form"


def over_of(key: Key | str, form: str) -> Progression:
    """Return the chords of a form: those of ``FORMS``, or the long one with a second bar of I.

    >>> str(over_of("C", FOUR))
    'Dm7 | G7 | Cmaj7 | Cmaj7'
    """
    if form != FOUR:
        return two_five_one(key, form)
    long = two_five_one(key)
    return replace(long, bars=(*long.bars, long.bars[-1]))


def typed_over(text: str, key: Key) -> Progression:
    """Return the changes that were typed, bars between bar lines, at concert pitch.

    >>> str(typed_over("Am7 D7 | Dm7 G7 | Cmaj7", Key.parse("C")))
    'Am7 D7 | Dm7 G7 | Cmaj7'
    """
    bars = text.strip().strip("|").split("|")
    if len(bars) > MOST_BARS:
        raise TheoryError(f"{len(bars)} bars (want at most {MOST_BARS})")
    try:
        return Chart.of(key, *bars).progression
    except TheoryError:
        raise TheoryError(
            f"no changes: {shown(text)} (want bars such as Dm7 | G7 | Cmaj7 | Cmaj7)"
        ) from None


def form_in(over: Progression) -> str:
    """Return the form that chords are of as they stand, empty where they are others.

    >>> form_in(over_of("Db", FOUR)), form_in(over_of("C minor", "split"))
    ('four bars', 'split')
    """
    return next((form for form in (*FORMS, FOUR) if over_of(over.key, form) == over), "")


def form_choices(over: Progression) -> list[tuple[str, str]]:
    """Return the forms to choose from, each with its bars; that of typed changes comes last.

    >>> form_choices(over_of("C", "short"))[:2]
    [('long, 3 bars: a bar each', 'long'), ('short, 2 bars: two beats each', 'short')]
    """
    told = [(name, FORM_WORDS[name].removeprefix(f"{name}: ")) for name in FORMS]
    forms = [
        (f"{name}, {_bars(two_five_one(over.key, name))}: {said}", name) for name, said in told
    ]
    forms.append((FOUR_WORDS, FOUR))
    return forms if form_in(over) else [*forms, (f"your own, {_bars(over)}: {over.pretty}", "")]


def moved_onto(state: LineDraft, key: str, form: str) -> LineDraft:
    """Return a line in another key and over the chords of another form.

    >>> state = LineDraft(over_of("C", "long")).typed("half F4 F4 | whole G4 | whole E4")
    >>> longer = moved_onto(state, "Eb major", FOUR)
    >>> longer.text, str(longer.progression)
    ('half Ab4 Ab4 | whole Bb4 | G4', 'Fm7 | Bb7 | Ebmaj7 | Ebmaj7')
    >>> moved_onto(longer, "C major", "long").text
    'half F4 F4 | whole G4 | E4'
    """
    home, own = Key.parse(key), form_in(state.progression)
    if form == own and (not form or own == FOUR) and home.mode == state.progression.key.mode:
        return state.moved(key, "")  # its own chords, in another key
    if not form:
        return put_over(state, replace(state.progression, key=home))
    if own == FOUR:
        state = put_over(state, over_of(state.progression.key, "long"))
    if form == FOUR:
        return put_over(state.moved(key, "long"), over_of(home, FOUR))
    moved = state.moved(key, form)
    return replace(moved, told=moved.told or state.told)


def put_over(state: LineDraft, over: Progression) -> LineDraft:
    """Return a line over other chords; its notes stay, and what stands after the last bar goes.

    >>> state = LineDraft(over_of("C", "short")).typed("half F4 B4 | whole C5")
    >>> put_over(state, typed_over("C7", state.progression.key)).told
    '1 note after the last bar left out'
    """
    line = state.read.line
    if line is None or not line.notes:
        return LineDraft(over)
    kept = tuple(
        replace(note, beats=min(note.beats, over.beats - note.start))
        for note in line.notes
        if note.start < over.beats
    )
    gone = len(line.notes) - len(kept)
    told = f"{gone} note{'s' * (gone != 1)} after the last bar left out" if gone else STAYED
    return LineDraft(over).taken(Line(over, kept), told)


def _bars(over: Progression) -> str:
    """Count bars in words."""
    return f"{len(over)} bar{'s' * (len(over) != 1)}"


class ChosenChanges(ChosenLine):
    """A page with one line on it, over a form or over changes that are typed.

    ``_replace`` puts another line on the page.
    """

    def _add_choices(self, colour: str) -> None:
        """Add what is chosen for the line, and the field for changes."""
        super()._add_choices(colour)
        self.changes = typed("changes", "", TIP, example="Dm7 | G7 | Cmaj7 | Cmaj7")

    def _watch_choices(self) -> None:
        """Answer what is chosen from now on."""
        watch((self.key, self.form), self._moved)
        watch((self.changes,), self._typed)

    @abstractmethod
    def _replace(self, make: Callable[[], LineDraft]) -> None:
        """Put another line on the page."""

    @answer
    def _moved(self, _: object) -> None:
        """Another key or form: the line moves with its chords, if it can."""
        key, form = self.key.value, self.form.value
        guarded(self.problem, lambda: self._replace(lambda: moved_onto(self.state, key, form)))

    @answer
    def _typed(self, _: object) -> None:
        """Changes were typed, or taken away: the text of the line stays."""
        text, key = self.changes.value.strip(), self.over.key

        def other() -> LineDraft:
            return put_over(self.state, typed_over(text, key) if text else over_of(key, "long"))

        guarded(self.problem, lambda: self._replace(other))

    @property
    def _own_form(self) -> str:
        return form_in(self.over)

    @property
    def _forms(self) -> list[tuple[str, str]]:
        return form_choices(self.over)

    def _show_choices(self, moved: Callable[[Any], None]) -> None:
        """Let the controls say what the line stands over, typed changes at concert pitch."""
        super()._show_choices(moved)
        with unwatched(self._typed, self.changes):
            self.changes.value = "" if self._own_form else str(self.over)
