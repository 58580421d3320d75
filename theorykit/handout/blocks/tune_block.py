"""The block that shows a tune."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Annotated, ClassVar

from theorykit.errors import TheoryError
from theorykit.handout.blocks.block import WITH, WITHOUT, Block, Example, Place
from theorykit.handout.blocks.guide_tone_block import guide_staff
from theorykit.handout.entries import About
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import Para, Piece, Section, StaffLabel, Table, capital
from theorykit.lines.band import performance
from theorykit.lines.chorus import Chorus, band_feel, straight, write_chorus
from theorykit.lines.guide_tones import guide_tone_lines
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.lines.text import Line
from theorykit.notes.key import MODES, Key
from theorykit.notes.reader import Reader
from theorykit.show.pictures import staff_words
from theorykit.tunes.cadences import cadences
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Progression
from theorykit.tunes.treatments import Treatment
from theorykit.views.staves import StaffView, chorus_staff, lead_sheet_staff
from theorykit.views.tune import JOB_HEADS, job_rows
from theorykit.views.tune_page import heard_sections, tune_grid

TUNE_LINES = ("chorus", "guide tones", "none")
JOBS = ("none", "in the grid", "in a table")
PARTS = ("grid", "brackets", "melody", "plan")
PROPOSED, LINES = "proposed", "lines"
MOST_BARS, MOST_SEED = 128, 9_999
MOST_KEYS = 4  # that a class is asked about
CHORUS = "A chorus, with degrees over each V"
GUIDES = ("Guide tones, from the 3rd", "Guide tones, from the 7th")
MELODY, MELODY_LABEL = "The melody, under its chords", "with the melody"
GUIDE_LABELS = ("with the line from the 3rd", "with the line from the 7th")


@dataclass(frozen=True, slots=True, kw_only=True)
class TuneBlock(Block):
    """A tune with its cadences in brackets, the plan for the chorus, and a line through it.

    ``chart`` and ``treatment`` are texts as ``Chart`` and ``Treatment`` read them; the treatment
    ``"proposed"`` is the one that the library proposes, without one the tune stays as it is
    written. ``lines`` says what goes through it; ``seed`` draws another chorus. ``jobs`` prints
    what each chord does: in few words under its bar, or in a table with a sentence for each.
    ``melody`` is over the written bars. ``show`` names what
    stands on the page beside the lines; the grid alone is a chord chart.
    """

    kind: ClassVar[str] = "tune"

    chart: Annotated[
        str, About(says="a chart as at the desk for tunes", hint="| Gm7 | C7 | F6 | % |", rows=10)
    ]
    treatment: Annotated[
        str,
        About(
            says="'proposed', or the colours as the desk for tunes gives them; empty for none",
            hint="proposed",
            rows=4,
        ),
    ] = ""
    lines: Annotated[str, About(offers=TUNE_LINES)] = TUNE_LINES[0]
    seed: Annotated[
        int, About(least=0, most=MOST_SEED, says="another number draws another chorus")
    ] = 0
    jobs: Annotated[str, About(offers=JOBS, says="what each chord does, and where it leads")] = (
        JOBS[0]
    )
    melody: Annotated[
        str,
        About(
            says="notes over the written bars, as at the desk for lines",
            hint="half Bb4 D5 | half C5 E4 | whole F4",
            rows=3,
        ),
    ] = ""
    show: Annotated[
        tuple[str, ...],
        About(
            offers=PARTS,
            called="part to show",
            says="the bars, the brackets of the cadences under them, the melody, the plan",
        ),
    ] = PARTS

    @property
    def writes_lines(self) -> bool:
        """True where a chorus stands there."""
        return self.lines == "chorus"

    @property
    def prints_notes(self) -> bool:
        """True where the melody or a line through the tune stands there."""
        return self.lines != "none" or self._has_melody

    def asks_about(self) -> Iterator[tuple[str, Key]]:
        """Yield the colours of its plan, in the keys that it goes through."""
        chart, laid = self.music()
        found = [one.key for one in cadences(chart) if one.mode in MODES]
        names = [choice.colour for choice in laid.choices if choice.colour]
        for key in list(dict.fromkeys(found))[:MOST_KEYS] or [chart.key]:
            yield from ((name, key) for name in dict.fromkeys(names) or [""])

    @property
    def tunes(self) -> tuple[Chart, ...]:
        """The tune itself."""
        return (self.music()[0],)

    def check(self) -> None:
        """Refuse a chart that cannot be read, and a treatment of another one."""
        tune, laid = self.music()
        _applied(tune, laid)
        self.sheet()
        if len(tune.played_bars) > MOST_BARS:
            raise TheoryError(
                f"a tune of {len(tune.played_bars)} bars as played (want at most {MOST_BARS})"
            )

    @property
    def parts(self) -> tuple[str, ...]:
        """What is shown, and the lines."""
        return *self.show, *((LINES,) if self.lines != "none" else ())

    def without(self, *parts: str) -> TuneBlock:
        """Return the tune without some parts; without its lines too, where they are named."""
        rest = replace(self, show=tuple(part for part in self.show if part not in parts))
        return replace(rest, lines="none") if LINES in parts else rest

    @property
    def _has_melody(self) -> bool:
        """True where a melody is given and shown."""
        return bool(self.melody.strip()) and "melody" in self.show

    def sheet(self) -> LeadSheet:
        """Return the tune with its melody, in concert pitch."""
        return LeadSheet.of(self.music()[0], self.melody)

    def music(self) -> tuple[Chart, Treatment]:
        """Return the chart and the treatment, in concert pitch."""
        return _music(self.chart, self.treatment)

    def chorus(self) -> Chorus:
        """Return the chorus through the tune, in concert pitch."""
        return _chorus(*self.music(), self.seed)

    def guides(self) -> tuple[Line, ...]:
        """Return the guide-tone lines through the tune, in concert pitch."""
        tune, laid = self.music()
        return guide_tone_lines(_applied(tune, laid).progression, longest=4)

    @property
    def words_key(self) -> Key:
        """The key of the tune."""
        return self.music()[0].key

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return a tune: the grid with its brackets, the plan, the lines."""
        tune, laid = self.music()
        chart = tune.written_for(engraver.reader)
        treatment = laid.over(chart)
        heading = self.headed(engraver, chart.title or "A tune")
        pieces: list[Piece] = [*self._grid(chart, treatment, heading, engraver)]
        if self.jobs == JOBS[2]:
            pieces.append(_job_table(tune, engraver.reader))
        plan = treatment.plan(chart)
        if plan and "plan" in self.show:
            pieces.append(_plan(plan))
        scores = []
        views = list(_staves(self, tune, engraver))
        staves = engraver.staves([view for _, view in views])
        for (name, view), staff in zip(views, staves, strict=True):
            pieces += [StaffLabel(name), *staff]
            scores.append((f"{heading}: {name.partition(',')[0].lower()}", view))
        if not plan and "plan" in self.show:
            pieces.append(Para("No dominant in this tune moves."))
        found = Section(heading, tuple(pieces), self.margin_notes, scores=tuple(scores))
        return replace(found, tempo=tune.tempo or 0, is_even=straight(tune.feel))

    def _grid(
        self, chart: Chart, treatment: Treatment, heading: str, engraver: Engraver
    ) -> Iterator[Piece]:
        """Yield the grid of the tune."""
        if "grid" not in self.show:
            return
        grid = tune_grid(
            chart,
            treatment,
            jobs=self.jobs == JOBS[1],
            brackets="brackets" in self.show,
            columns=engraver.columns,
        )
        untitled = replace(grid, title="" if heading == chart.title else grid.title)
        yield from engraver.tune(untitled)

    @property
    def labels(self) -> tuple[str, ...]:
        """The tune with each of its lines, and without."""
        lines = {"chorus": (WITH,), "guide tones": GUIDE_LABELS, "none": ()}
        own = (MELODY_LABEL,) if self.melody.strip() else ()
        return *own, *lines[self.lines], WITHOUT

    def examples(self, tempo: int) -> Iterator[Example]:
        """Yield a chorus with each of its lines, and without."""
        tune, laid = self.music()
        over = _applied(tune, laid).progression
        if self.melody.strip():
            yield _example(MELODY_LABEL, self.sheet().played, tune.progression, tune, tempo)
        if self.lines == "chorus":
            line = self.chorus().line
            over = line.progression
            yield _example(WITH, line, over, tune, tempo, seen=not self._has_melody)
        elif self.lines == "guide tones":
            for label, line in zip(GUIDE_LABELS, self.guides(), strict=False):
                yield _example(label, line, over, tune, tempo)
        yield _example(WITHOUT, None, over, tune, tempo)

    @property
    def own_title(self) -> str:
        """The title of the tune."""
        return self.music()[0].title or self.kind


def _example(
    label: str,
    line: Line | None,
    over: Progression,
    tune: Chart,
    tempo: int,
    *,
    seen: bool = False,
) -> Example:
    """Return a line over a tune as it sounds, in the tempo that the chart counts.

    >>> slow = Chart.parse("metre: 6/8\\ntempo: 60\\n\\n| Dm7 | G7 |")
    >>> _example("x", None, slow.progression, slow, 100).told(8)
    '0:08, 60 beats a minute, counted in for 1 bar'
    """
    pulse = tune.metre.quarters
    played = performance(
        line, over, tempo=(tune.tempo or tempo) * float(pulse), feel=band_feel(tune.feel)
    )
    return Example(
        label,
        played,
        over.bars[0].beats,
        pulse,
        even=straight(tune.feel),
        seen=seen,
        sections=heard_sections(tune),
    )


@lru_cache(maxsize=32)  # a page asks several times, and again for each letter that is typed
def _music(chart: str, treatment: str) -> tuple[Chart, Treatment]:
    """Return a chart and a treatment out of their texts."""
    try:
        tune = Chart.parse(chart)
    except TheoryError as error:
        raise TheoryError(f"chart: {error}") from None
    if not treatment.strip():
        return tune, Treatment.plain(tune)
    if treatment.strip() == PROPOSED:
        return tune, Treatment.proposed(tune)
    try:
        return tune, Treatment.parse(treatment)
    except TheoryError as error:
        raise TheoryError(f"treatment: {error}") from None


@lru_cache(maxsize=32)
def _applied(tune: Chart, laid: Treatment) -> Chart:
    """Return a chart with its treatment laid over it."""
    return laid.applied(tune)


@lru_cache(maxsize=16)  # every reader and every setting of a page asks for the same chorus
def _chorus(tune: Chart, laid: Treatment, seed: int) -> Chorus:
    """Return a chorus through a tune, written once."""
    return write_chorus(tune, laid, seed=seed)


@lru_cache(maxsize=16)  # every setting of a page asks for the same staff
def _chorus_staff(tune: Chart, laid: Treatment, seed: int, who: Reader) -> StaffView:
    """Return the staff of a chorus for a reader."""
    return chorus_staff(_chorus(tune, laid, seed), 1, reader=who)


def _job_table(tune: Chart, who: Reader) -> Table:
    """Return the job of every chord, named as the reader has them on the page.

    >>> from theorykit.notes.reader import READERS
    >>> _job_table(Chart.of("C", "Dm7 G7", "C6"), READERS[0]).rows[1][:3]
    ('1, beat 3', 'G7', 'V of C6')
    """
    rows = tuple(row.cells for row in job_rows(tune, who))
    return Table("the job of every chord", JOB_HEADS, rows, (0, 0, 0.6, 1), marks=(1,))


def _plan(sentences: tuple[str, ...]) -> Table:
    """Return the plan as rows: which bars, what they are, what to think of."""
    return Table(
        "the plan for the chorus",
        ("bars", "what they are", "what to do"),
        tuple(_plan_row(sentence) for sentence in sentences),
        (0, 0.6, 1),
        marks=(0,),
    )


def _plan_row(sentence: str) -> tuple[str, str, str]:
    """Take a sentence of the plan apart.

    >>> _plan_row("bars 1-3: the long ii-V to E♭; over B♭7 play ♭9: the D major triad.")
    ('1–3', 'The long ii-V to E♭', 'Over B♭7 play ♭9: the D major triad.')
    """
    where, _, rest = sentence.partition(": ")
    what, _, done = rest.partition("; ")
    bars = where.removeprefix("bars ").removeprefix("bar ").replace("-", "–")
    return bars, capital(what), capital(done)


def _chorus_label(view: StaffView) -> str:
    """Return what stands above a chorus: which marks are under its notes, and no others.

    >>> from theorykit.tunes.progression import two_five_one
    >>> from theorykit.views.staves import staff_of_line
    >>> line = Line.parse("whole C5", two_five_one("C", "short"))
    >>> _chorus_label(staff_of_line(line, marks=("landing",)))
    'A chorus, with degrees over each V: the landing slanted'
    """
    told = staff_words({note.mark for note in view.notes})
    return f"{CHORUS}: {told}" if told else CHORUS


def _staves(block: TuneBlock, tune: Chart, engraver: Engraver) -> Iterator[tuple[str, StaffView]]:
    """Yield the staves of a tune with their names: its melody, and the lines through it."""
    if block._has_melody:
        yield MELODY, lead_sheet_staff(block.sheet(), reader=engraver.reader)
    if block.lines == "chorus":
        view = _chorus_staff(*block.music(), block.seed, engraver.reader)
        yield _chorus_label(view), view
    elif block.lines == "guide tones":
        time = (tune.metre.count, tune.metre.unit)
        for name, line in zip(GUIDES, block.guides(), strict=True):
            yield name, replace(guide_staff(line, engraver.reader), time=time)
