"""A tune as a page: the grid, its cadences, the plan, one cadence close up."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from theorykit.harmony.colours import colour
from theorykit.harmony.shortcuts import shortcuts
from theorykit.harmony.substitution import substitute
from theorykit.lines.band import colours_over, performance
from theorykit.lines.chorus import cadence_line
from theorykit.lines.parts import Performance
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key, heard_words, reader_words
from theorykit.notes.reader import READERS, Reader
from theorykit.tunes.charts import Chart
from theorykit.tunes.families import seventh_for
from theorykit.tunes.treatments import Choice, Treatment
from theorykit.views.explorer_view import keyboard_of
from theorykit.views.keyboard import KeyboardView, plain_keyboard
from theorykit.views.sounding import Take
from theorykit.views.staves import StaffView, cadence_staff
from theorykit.views.tune.tune_draft import TuneDraft, choice_at
from theorykit.views.tune_page import TuneGridView, TuneMark, tune_grid

AT_CONCERT = "the chart that you type, the files of text, MIDI and sound, and what you hear are"


@dataclass(frozen=True, slots=True)
class TuneView:
    """The whole tune: its grid, a name for each mark, the plan in words, as a reader has them.

    ``treatment`` is that of the chart that sounds; ``page`` is the chart as the reader has it.
    """

    treatment: Treatment
    grid: TuneGridView
    options: tuple[tuple[str, int], ...]
    plan: tuple[str, ...]
    page: Chart
    reader: Reader
    key: Key

    @property
    def written(self) -> str:
        """What is at concert pitch, for a reader who has other names on the page."""
        return reader_words(self.reader, self.key, AT_CONCERT)

    def number_at(self, place: tuple[int, Fraction] | None) -> int:
        """Return the number of the mark whose V stands at a place, 0 if there is none."""
        return next((mark.number for mark in self.grid.marks if mark.place == place), 0)

    def mark(self, number: int) -> TuneMark | None:
        """Return the mark with a number, if there is one."""
        return next((mark for mark in self.grid.marks if mark.number == number), None)


def tune_view(
    state: TuneDraft,
    chosen: int = 0,
    *,
    treated: bool = True,
    jobs: bool = False,
    reader: Reader = READERS[0],
) -> TuneView | None:
    """Return what is shown of a tune, or nothing before a first chart could be read.

    ``chosen`` is the number of the mark looked at; ``treated`` shows the colours in the grid,
    ``jobs`` what each chord does.

    >>> state = TuneDraft().typed("| Dm7 | G7 | C6 | % |").proposed("first", 2)
    >>> view = tune_view(state, 1)
    >>> view.options
    (('1   bars 1-3   long ii-V-I to C   split, ♭9 13', 1),)
    """
    if state.chart is None:
        return None
    treatment, page = state.treatment, state.chart.written_for(reader)
    laid = treatment.over(page)
    grid = tune_grid(page, laid if treated else None, chosen=chosen, jobs=jobs)
    options = tuple((_option(mark, treatment), mark.number) for mark in grid.marks)
    key = state.chart.key
    return TuneView(treatment, grid, options, laid.plan(page), page, reader, key)


def _option(mark: TuneMark, treatment: Treatment) -> str:
    """Name a mark in a list: where, what, and what is done with it."""
    bars = f"bars {mark.bars}" if "-" in mark.bars or "," in mark.bars else f"bar {mark.bars}"
    done = _done(choice_at(treatment, mark)) if mark.dominant is not None else ""
    return "   ".join(filter(None, (str(mark.number), bars, mark.name, done)))


def _done(choice: Choice) -> str:
    """Say in few words what a choice does."""
    parts = ["split"] * choice.split
    parts += [choice.substitute] if choice.substitute else []
    parts += [colour(choice.colour).pretty] if choice.colour else []
    return ", ".join(parts)


Offers = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class CadenceView:
    """One cadence close up: what was found, what to think, and the pictures.

    ``offered`` are the colours that agree with what the composer wrote, ``others`` those that would
    change it, each with its words for a list and its name.
    """

    mark: TuneMark
    choice: Choice | None
    sentence: str
    line: Line | None
    staff: StaffView | None
    keyboard: KeyboardView | None
    offered: Offers = ()
    others: Offers = ()


def cadence_view(
    state: TuneDraft, view: TuneView, number: int, *, seed: int = 0
) -> CadenceView | None:
    """Return one cadence close up, or nothing where no mark has the number.

    >>> state = TuneDraft().typed("| Dm7 | G7 | C6 | % |").proposed("first", 2)
    >>> found = cadence_view(state, tune_view(state), 1)
    >>> found.sentence
    'bars 1-3: the long ii-V to C; think of the V bar as Dm7 G7, and over G7 play ♭9 13: the E \
major triad on the 6th of V, which is the 3rd of I.'
    >>> [key.name for key in found.keyboard.lit if key.ringed]
    ['E', 'A♭', 'B']
    """
    mark = view.mark(number)
    if mark is None or state.chart is None:
        return None
    if mark.dominant is None:
        told = f"{mark.why} {_why_plain(view.page, mark)}".strip()
        return CadenceView(mark, None, told, None, None, None)
    choice = choice_at(view.treatment, mark)
    place = view.treatment.choices.index(choice)
    line = cadence_line(state.chart, view.treatment, mark.dominant.v, seed=seed)
    staff = None
    if line is not None:
        laid = view.treatment.over(view.page)
        moved = cadence_line(view.page, laid, mark.dominant.v) if view.reader.transposes else None
        over = moved.progression if moved is not None else None
        metre = state.chart.metre
        staff = cadence_staff(line, choice.colour, reader=view.reader, over=over, metre=metre)
    keyboard = _keyboard(choice, mark.dominant.chord, mark.dominant.target)
    told = view.plan[place]
    return CadenceView(mark, choice, told, line, staff, keyboard, *_offers(state.chart, view, mark))


def _offers(chart: Chart, view: TuneView, mark: TuneMark) -> tuple[Offers, Offers]:
    """Return the colours for a mark that agree with what is written, and the others."""
    at = mark.dominant
    if at is None:
        return (), ()
    found = view.treatment.offers(chart, at.bar, beat=at.beat)
    agreeing = tuple((row.pretty, row.name) for row, against in found if not against)
    others = (row for row, against in found if against)
    return agreeing, tuple((f"{row.pretty} (changes the chord)", row.name) for row in others)


def _why_plain(chart: Chart, mark: TuneMark) -> str:
    """Say why a V that is no dominant seventh chord takes no colour, and how it would."""
    chords = (one.chord for one in chart.played if (one.written, one.beat) == mark.place)
    v = next(chords)
    other = seventh_for(v)
    if other is None:
        return ""
    return f"A colour wants a dominant seventh: write {v.pretty} as {other.pretty} to give it one."


def cadence_takes(
    state: TuneDraft, view: TuneView, found: CadenceView, *, tempo: float, swing: float | None
) -> tuple[Take, ...]:
    """Return two takes of a cadence: as written, and with its colour.

    There is one alone where the two are the same.
    """
    chart, choice = state.chart, found.choice
    if chart is None or choice is None or found.mark.dominant is None or found.line is None:
        return ()
    plain = cadence_line(chart, Treatment.plain(chart), found.mark.dominant.v)
    pairs = [("as written", plain, "")] if plain is not None else []
    if not choice.is_plain:
        pairs.append((f"with {_done(choice)}", found.line, choice.colour))
    sounds = heard_words(view.reader, view.key)
    return tuple(
        Take(
            f"{mark_words(found.mark)}, {name}{sounds}",
            _played(line, row, tempo, swing),
            as_players_do=swing is None,
            bar=line.progression.bars[0].beats,
            is_seen=line == found.line,
        )
        for name, line, row in pairs
    )


def mark_words(mark: TuneMark) -> str:
    """Name a mark for a player."""
    return f"bars {mark.bars}, {mark.label}"


def _played(line: Line, row: str, tempo: float, swing: float | None) -> Performance:
    """Return a cadence over the rhythm section."""
    over = line.progression
    colours = colours_over(line, colour(row) if row else None)
    return performance(line, over, tempo=tempo, swing=swing, colours=colours)


def _keyboard(choice: Choice, v: Chord, target: Chord) -> KeyboardView:
    """Return the keys of the V, and above it the shape that brings the colour."""
    if choice.substitute:
        last = substitute(choice.substitute, v, target).chords[-1]
        v = last if last.kind.is_dominant or not choice.colour else v
    if not choice.colour or not v.kind.is_dominant:
        return plain_keyboard(v)
    best = shortcuts(v, choice.colour, target)[0]
    return keyboard_of(v, best, {note.semitone: note for note in best.function_notes})
