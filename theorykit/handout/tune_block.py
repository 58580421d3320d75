"""The block that shows a tune."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from theorykit.errors import TheoryError
from theorykit.handout.block import Block, offered, whole
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment

__all__ = ["TUNE_LINES", "TuneBlock"]

TUNE_LINES = ("chorus", "guide tones", "none")
PROPOSED = "proposed"
MOST_BARS, MOST_SEED = 128, 9_999


@dataclass(frozen=True, slots=True, kw_only=True)
class TuneBlock(Block):
    """A tune with its cadences in brackets, the plan for the chorus, and a line through it.

    ``chart`` and ``treatment`` are texts as ``Chart`` and ``Treatment`` read them; the treatment
    ``"proposed"`` is the one that the library proposes, without one the tune stays as it is
    written. ``lines`` says what goes through it; ``seed`` draws another chorus.
    """

    kind: ClassVar[str] = "tune"

    chart: str
    treatment: str = ""
    lines: str = TUNE_LINES[0]
    seed: int = 0

    @property
    def prints_notes(self) -> bool:
        """True where a line goes through the tune."""
        return self.lines != "none"

    def check(self) -> None:
        """Refuse a chart that cannot be read, and a treatment of another one."""
        offered(self.lines, "lines", TUNE_LINES)
        whole(self.seed, "seed", 0, MOST_SEED)
        tune, laid = self.music()
        laid.applied(tune)
        if len(tune.played_bars) > MOST_BARS:
            raise TheoryError(
                f"a tune of {len(tune.played_bars)} bars as played (want at most {MOST_BARS})"
            )

    def music(self) -> tuple[Chart, Treatment]:
        """Return the chart and the treatment, in concert pitch."""
        try:
            tune = Chart.parse(self.chart)
        except TheoryError as error:
            raise TheoryError(f"chart: {error}") from None
        if not self.treatment.strip():
            return tune, Treatment.plain(tune)
        if self.treatment.strip() == PROPOSED:
            return tune, Treatment.proposed(tune)
        try:
            return tune, Treatment.parse(self.treatment)
        except TheoryError as error:
            raise TheoryError(f"treatment: {error}") from None
