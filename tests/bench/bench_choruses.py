"""The desk for tunes: a keystroke and a click in the kernel; a treated chorus, from chart to sound.

Each round has another text, another colour or another seed, so that nothing is answered from what
was kept. The yardstick for the chorus is the bare synthesis and encoding of the same performance.
"""

from itertools import count, cycle

from house import ROOT
from measure import Bench, median_at_most, p95_at_most

from theorykit.lines.chorus import perform_chorus, write_chorus
from theorykit.show.engraving import staff_svg
from theorykit.show.exports import TakenChorus, chorus_bytes
from theorykit.show.files import lead_sheet_of_bytes, lead_sheet_xml
from theorykit.show.sound import ogg_bytes, render
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment
from theorykit.views.staves import chorus_staff
from theorykit.widgets import TuneDesk

TEXT = (ROOT / "workbook" / "tunes" / "nine_borrowed_stands.txt").read_text(encoding="utf-8")
SEEDS = count()
CHORDS = cycle("Gb6 Gbmaj7 Ebm7 Gbmaj9 Bb7 Gb Ebm9 Abm7 Db7".split())
DESK = TuneDesk(TEXT)
DESK.colouring.cadences.value = 1
NAMES = cycle([value for _, value in DESK.colouring.colour.options if value])  # what it offers


def keystroke() -> None:
    """Change a chord of the chart while a cadence is looked at: grid, list, plan, close-up."""
    DESK.text.value = TEXT.replace("Gbmaj7 |", f"{next(CHORDS)} |")


def was_answered() -> None:
    """Raise where a keystroke changes nothing on the desk, or is complained about."""
    before = DESK.grid.value
    keystroke()
    if DESK.grid.value == before or DESK.problems.value or DESK.problem.value:
        raise ValueError("the desk did not answer")


def another_colour() -> None:
    """Set a colour for the chosen cadence: pictures, words and both players."""
    DESK.colouring.colour.value = next(NAMES)


def chart_to_sound() -> bytes:
    """Read a chart of 32 bars, propose colours, write a chorus, play it and encode it."""
    chart = Chart.parse(TEXT)
    treatment = Treatment.proposed(chart, level="third", variety=4)
    chorus = write_chorus(chart, treatment, seed=next(SEEDS))
    return chorus_bytes(TakenChorus(chorus, treatment, perform_chorus(chorus)), "sound, Ogg")


CHART = Chart.parse(TEXT)
TREATMENT = Treatment.proposed(CHART, level="third", variety=4)
CHORUS = write_chorus(CHART, Treatment.proposed(CHART))
PLAYED = perform_chorus(CHORUS)
SHEET = lead_sheet_xml(CHART).encode()

BENCHES = (
    Bench(
        name="a chorus of 32 bars written",
        candidate=lambda: write_chorus(CHART, TREATMENT, seed=next(SEEDS)),
        reference=None,
        goal=p95_at_most(0.700),
        rounds=20,
    ),
    Bench(
        name="a keystroke in the desk for tunes, 32 bars",
        candidate=keystroke,
        reference=None,
        goal=p95_at_most(0.150),
        rounds=40,
        check=was_answered,
    ),
    Bench(
        name="a colour set in the desk for tunes, seen and heard",
        candidate=another_colour,
        reference=None,
        goal=p95_at_most(0.400),
        rounds=30,
    ),
    Bench(
        name="a treated chorus of 32 bars, from chart to sound",
        candidate=chart_to_sound,
        reference=lambda: ogg_bytes(render(PLAYED)),
        goal=median_at_most(2.0),
        rounds=10,
    ),
    Bench(
        name="32 bars of a chorus engraved",
        candidate=lambda: staff_svg(chorus_staff(CHORUS), width=1000, bars_per_line=4),
        reference=None,
        goal=median_at_most(0.300),
    ),
    Bench(
        name="a lead sheet of 32 bars read",
        candidate=lambda: lead_sheet_of_bytes("sheet.musicxml", SHEET),
        reference=None,
        goal=median_at_most(0.500),
        rounds=10,
    ),
)
