"""A chorus as files and as an engraved page, as other readers see and measure them."""

from __future__ import annotations

import io
import re
from fractions import Fraction
from functools import cache
from xml.etree import ElementTree

import numpy as np
import pytest
import soundfile
import verovio
from house import ROOT
from listening import decibels, mono, onsets
from midi_events import check_whole, read_midi
from music21 import converter, harmony
from schema import complaints
from sweeps import swept

from theorykit.errors import TheoryError
from theorykit.lines.chorus import Chorus, muted, perform_chorus, write_chorus
from theorykit.lines.parts import PART_NAMES, Performance
from theorykit.notes.reader import reader
from theorykit.show.engraving import staff_svg
from theorykit.show.exports import CHORUS_FILES, TakenChorus, chorus_bytes
from theorykit.show.sound import render
from theorykit.show.sound.synthesizer import TAIL
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment
from theorykit.views.staves import chorus_staff

TUNES = sorted((ROOT / "workbook" / "tunes").glob("*.txt"))
TRIED = ("nine_borrowed_stands", "umbrella_in_the_hall")
each_tune = pytest.mark.parametrize(
    "file", swept(TUNES, lambda file: file.stem in TRIED), ids=lambda file: file.stem
)
SVG = "{http://www.w3.org/2000/svg}"


def taken(name: str = "nine_borrowed_stands", choruses: int = 1, **wishes) -> TakenChorus:
    """A treated chorus over a tune of the workshop."""
    return TakenChorus(*written(name, choruses), **wishes)


@cache
def written(name: str, choruses: int) -> tuple[Chorus, Treatment, Performance]:
    """A treated chorus, written and played once."""
    chart = Chart.parse((ROOT / "workbook" / "tunes" / f"{name}.txt").read_text(encoding="utf-8"))
    treatment = Treatment.proposed(chart, level="second", variety=3)
    chorus = write_chorus(chart, treatment, choruses=choruses, seed=2)
    return chorus, treatment, perform_chorus(chorus)


@each_tune
def test_the_score_fits_the_schema_and_music21_finds_every_note_and_chord(file):
    found = taken(file.stem, 2)
    text = chorus_bytes(found, "MusicXML").decode()
    assert complaints(text) == []
    part = converter.parseData(text, format="musicxml").parts[0]
    notes = [n for n in part.stripTies().recurse().notes if not isinstance(n, harmony.ChordSymbol)]
    line = found.chorus.line
    assert [n.pitch.midi for n in notes] == [note.pitch.midi for note in line.notes]
    assert [Fraction(n.quarterLength) for n in notes] == [note.beats for note in line.notes]
    measures = list(part.getElementsByClass("Measure"))
    assert [m.number for m in measures] == list(range(1, found.chorus.bars + 1))
    for measure, bar in zip(measures, line.progression.bars, strict=True):
        assert Fraction(measure.duration.quarterLength) == bar.beats
    assert len(part[harmony.ChordSymbol]) == len(line.progression.chords)
    letters = [mark.content for mark in part["RehearsalMark"]]
    named = [section.name for section in found.chorus.chart.unrolled.sections if section.name]
    assert letters == named * 2


def test_verovio_reads_the_score_of_another_reader():
    toolkit = verovio.toolkit()
    assert toolkit.loadData(chorus_bytes(taken(reader=reader("E flat")), "MusicXML").decode())
    assert toolkit.getPageCount() >= 1


@pytest.mark.parametrize("silent", [(), ("line",), ("piano", "drums")])
def test_midi_has_the_parts_that_sound_and_nothing_hangs(silent):
    found = taken(silent=silent)
    data = chorus_bytes(found, "MIDI")
    _, tracks = read_midi(data)
    check_whole(tracks)
    kept = muted(found.performance, silent)
    struck = [event for track in tracks for event in track if event.strikes]
    assert len(struck) == sum(len(part.notes) for part in kept.parts)
    (tempo,) = (event.data for event in tracks[0] if event.kind == "SET_TEMPO")
    assert 60e6 / int.from_bytes(tempo) == pytest.approx(138, abs=0.01)


def test_sound_has_the_length_of_the_bars_in_every_coding_and_never_clips():
    found = taken("the_kettle_comes_late")
    expected = (1 + 12 + 1) * 4 * 60 / 120 + TAIL
    for kind in ("sound, MP3", "sound, Ogg", "sound, WAV"):
        wave, rate = soundfile.read(io.BytesIO(chorus_bytes(found, kind)))
        assert len(wave) / rate == pytest.approx(expected, abs=0.12)
        assert decibels(float(np.abs(wave).max())) < -1  # coding adds a little to -2


def test_each_stem_takes_its_sound_away_and_no_other():
    found = taken("the_kettle_comes_late").performance
    whole = render(found).wave
    alone = {
        name: render(muted(found, [n for n in PART_NAMES if n != name])).wave for name in PART_NAMES
    }
    for name in PART_NAMES:
        without = render(muted(found, [name])).wave
        assert not np.allclose(without, whole)
        assert np.abs(alone[name]).max() > 0.01
    # The clicks of the count-in are in every one of the four, so three of them are too many.
    clicks = render(muted(found, PART_NAMES)).wave
    assert np.allclose(sum(alone.values()) - 3 * clicks, whole, atol=0.02)


def test_the_line_begins_where_the_page_says():
    """Onsets of the line alone, against beats turned into seconds by hand.

    At a tempo at which each note has faded before the next: where a low one comes under a ringing
    high one the level does not jump.
    """
    chart = Chart.parse("tempo: 60\nfeel: straight\nkey: C\n| C6 | Dm7 G7 | C6 | % |")
    chorus = write_chorus(chart, seed=3)
    played = perform_chorus(chorus, count_in=0)
    sound = render(muted(played, ("piano", "bass", "drums")), melody="marimba")
    heard = onsets(mono(sound), sound.rate)
    expected = [float(note.start) for note in chorus.line.notes]
    assert len(heard) == len(expected)
    assert heard == pytest.approx(expected, abs=0.03)


def test_texts_are_read_back():
    found = taken()
    assert Chart.parse(chorus_bytes(found, "chart, as text").decode()) == found.chorus.chart
    treated = chorus_bytes(found, "chart with its colours, as text").decode()
    assert Chart.parse(treated) == found.chorus.treated
    treatment = Treatment.parse(chorus_bytes(found, "treatment, as text").decode())
    assert treatment.applied(found.chorus.chart) == found.chorus.treated


def test_every_kind_is_made_and_another_is_refused():
    found = taken("the_kettle_comes_late")
    assert all(len(chorus_bytes(found, kind)) > 100 for kind in CHORUS_FILES)
    with pytest.raises(TheoryError, match="no such kind of file: 'PDF'"):
        chorus_bytes(found, "PDF")


# The engraved page.


@each_tune
def test_lines_have_four_bars_and_bear_letters_and_numbers(file):
    chorus = taken(file.stem).chorus
    view = chorus_staff(chorus)
    svg = staff_svg(view, scale=34, width=1000, bars_per_line=4)
    root = ElementTree.fromstring(svg)
    systems = [g for g in root.iter(f"{SVG}g") if g.get("class") == "system"]
    counts = [sum(g.get("class") == "measure" for g in s.iter(f"{SVG}g")) for s in systems]
    assert counts[:-1] == [4] * (len(counts) - 1)
    assert counts[-1] == 4 + chorus.closes
    named = [mark.section for mark in view.marks if mark.section]
    letters = [g for g in root.iter(f"{SVG}g") if g.get("class") == "reh"]
    assert [next(g.iter(f"{SVG}text")).text for g in letters] == named
    numbers = sorted(
        int(next(g.iter(f"{SVG}text")).text)
        for g in root.iter(f"{SVG}g")
        if g.get("class") == "mNum"
    )
    assert numbers == [1 + 4 * n for n in range(1, len(systems))]  # bar 1 needs no number


def test_no_glyph_of_a_private_font_is_left_in_the_texts():
    svg = staff_svg(chorus_staff(taken().chorus), width=1000, bars_per_line=4)
    texts = re.findall(r"<text[^>]*>([^<]*)</text>", svg)
    assert texts
    assert not re.search("[\ue000-\uf8ff]", "".join(texts))


def test_a_last_bar_is_not_left_alone_and_a_section_begins_a_line():
    chart = Chart.parse("A: | C | F | C |\nB: | Dm7 | G7 | C | F | C |")
    svg = staff_svg(chorus_staff(write_chorus(chart)), width=900, bars_per_line=4)
    root = ElementTree.fromstring(svg)
    systems = [g for g in root.iter(f"{SVG}g") if g.get("class") == "system"]
    counts = [sum(g.get("class") == "measure" for g in s.iter(f"{SVG}g")) for s in systems]
    assert counts == [3, 5]


def _swing(text: str) -> list[list[str | None]]:
    """Return what a score says of its eighths, element by element."""
    found = ElementTree.fromstring(text).iterfind(".//sound/swing")
    return [[one.text or one.tag for one in swing] for swing in found]


def test_the_score_says_how_its_eighths_are_swung():
    """MusicXML 4.0, ``swing``: a ratio in small whole numbers; by hand, from the table."""
    score = chorus_bytes(taken(), "MusicXML").decode()
    assert _swing(score) == [["7", "4", "eighth"]]  # at 138 beats a minute
    chart = Chart.parse("tempo: 138\nfeel: straight\nkey: C\n| Dm7 | G7 | C6 | % |")
    chorus = write_chorus(chart, Treatment.proposed(chart))
    even = TakenChorus(chorus, Treatment.proposed(chart), perform_chorus(chorus))
    assert _swing(chorus_bytes(even, "MusicXML").decode()) == [["straight"]]
    chosen = TakenChorus(chorus, Treatment.proposed(chart), perform_chorus(chorus, swing=3.0))
    assert _swing(chorus_bytes(chosen, "MusicXML").decode()) == [["3", "1", "eighth"]]
