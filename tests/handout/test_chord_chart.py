"""The chord chart: a whole tune on one page, its chords as the reader has them, and no more."""

import pytest
from house import ROOT
from sheets import needs_poppler, read, words_of
from sweeps import swept

from theorykit.handout import EVERYONE
from theorykit.handout.chord_chart import chord_chart_pdf
from theorykit.tunes.charts import Chart

TUNES = sorted((ROOT / "workbook" / "tunes").glob("*.txt"))
LONG = Chart.parse(
    "title: Long\nkey: Gb\n" + "| Abm7 Db7#9b13 | Gbmaj7 / Ebm7 / | Abm7 | Db7 |\n" * 24
)
SOME = [one for one in EVERYONE if one.audience == "student"]


@needs_poppler
@pytest.mark.parametrize("edition", swept(SOME, SOME[::7].__contains__), ids=str)
def test_a_tune_is_on_one_page_and_long_ones_are_not_cut(edition, tmp_path):
    for chart in (*(Chart.parse(file.read_text("utf-8")) for file in TUNES[:2]), LONG):
        data = chord_chart_pdf(chart, edition)
        assert edition.size != "normal" or len(read(data).pages) == 1
        words = [word.text for page in words_of(data, tmp_path) for word in page]
        wanted = {one.pretty for bar in chart.written_for(edition.who).bars for one in bar.chords}
        assert wanted <= set(words)
        assert not [word for word in words if "ii-V" in word]
