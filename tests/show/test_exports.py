"""Lines as files: each kind is what it says it is, to a reader that we did not write."""

import base64
import io
import re
import zipfile
from xml.etree import ElementTree

import numpy as np
import pytest
import soundfile
from listening import cents, decibels, frequency, mono, onsets
from midi_events import onsets_of
from schema import complaints

from theorykit.errors import TheoryError
from theorykit.harmony.colours import colour
from theorykit.lines.band.swing import soloist_swing
from theorykit.lines.text import Line
from theorykit.lines.writing import write_lines
from theorykit.notes.reader import READERS, reader
from theorykit.show.exports import EXPORTS, Wanted, export, file_stem, link_html
from theorykit.show.sound import Samples
from theorykit.tunes.progression import two_five_one
from theorykit.views.sounding import JOURNEYS, Rehearsal, rehearse

OVER = two_five_one("Db", "short")
LINE = Line.parse("8th Bb4 Db5 Gb5 Eb5 C5 Bbb4 F4 Eb4 | whole Db4", OVER)
WANTED = Wanted(rehearse(LINE, colour("b9 13"), Rehearsal(tempo=132, swing=2.5)))


def test_text_is_read_back_as_the_line():
    assert Line.parse(export(WANTED, "text").decode(), OVER) == LINE


def test_a_score_keeps_to_the_schema_and_is_written_for_its_reader():
    text = export(WANTED, "MusicXML").decode()
    assert complaints(text) == []
    alto = export(Wanted(WANTED.practice, reader("E flat")), "MusicXML").decode()
    assert complaints(alto) == []
    steps = [e.text for e in ElementTree.fromstring(alto).iter("step")]
    assert steps[:4] == ["G", "B", "E", "C"]  # B flat sounding is G on an alto's page
    with zipfile.ZipFile(io.BytesIO(export(WANTED, "MusicXML, packed"))) as box:
        assert complaints(box.read("line.musicxml").decode()) == []


def test_midi_is_even_for_editors_and_swung_for_the_ear():
    beat = 60 / 132
    even = onsets_of(export(WANTED, "MIDI, even eighths"))
    swung = onsets_of(export(WANTED, "MIDI, swung eighths"))
    assert even[:3] == pytest.approx([0, beat / 2, beat], abs=0.002)
    assert swung[:3] == pytest.approx([0, beat * 2.5 / 3.5, beat], abs=0.002)


@pytest.mark.parametrize(
    ("kind", "form", "slack"),
    [("sound, MP3", "MP3", 0.15), ("sound, Ogg", "OGG", 0.01), ("sound, WAV", "WAV", 0.01)],
)
def test_sound_lasts_as_long_as_the_music(kind, form, slack):
    data = io.BytesIO(export(WANTED, kind))
    assert soundfile.info(data).format == form
    data.seek(0)
    wave, rate = soundfile.read(data)
    assert len(wave) / rate == pytest.approx((4 + 8) * 60 / 132 + 1, abs=slack)
    assert -26 < decibels(abs(wave).max()) < -1


@pytest.mark.parametrize(("tempo", "swing"), [(60, None), (120, None), (96, 2.5), (132, 1.0)])
def test_tempo_swing_tuning_and_peak_are_right_in_the_compressed_sound(tempo, swing):
    """What is measured is what a listener gets: the file, decoded again."""
    eighths = "16th " + "A5 rest A5 rest " * 4  # a lower note between higher ones may be swallowed
    line = Line.parse(f"{eighths}| {eighths}| whole A4", two_five_one("C"))
    practice = rehearse(line, None, Rehearsal("line alone", tempo=tempo, swing=swing))
    data = io.BytesIO(export(Wanted(practice, melody="marimba"), "sound, Ogg"))
    wave, rate = soundfile.read(data, dtype="float32")
    both, wave = wave, mono(Samples(wave, rate))
    beat = 60 / tempo
    heard = np.array([t for t in onsets(wave, rate, apart=0.04) if t > 3.9 * beat])
    long, short = np.diff(heard[:17])[::2], np.diff(heard[:17])[1::2]
    # As players do, the soloist's eighths are less unequal than the drummer's; he strays a little.
    wanted = soloist_swing(tempo) if swing is None else practice.performance.swing
    assert np.median(long) / np.median(short) == pytest.approx(wanted, rel=0.12)
    assert np.median(long) + np.median(short) == pytest.approx(beat, abs=0.01)
    whole = wave[round(12 * beat * rate) : round(14 * beat * rate)]
    assert abs(cents(frequency(whole, rate, 440), 440)) < 3  # A4 is 440 Hz, ISO 16
    assert decibels(abs(both).max()) < -1


def test_the_whole_band_stays_below_the_peak_through_all_keys():
    line = write_lines(OVER, "altered", count=1)[0]
    wishes = Rehearsal(journey=JOURNEYS[1], answers=True, tempo=200)
    data = io.BytesIO(export(Wanted(rehearse(line, colour("altered"), wishes)), "sound, Ogg"))
    wave, _ = soundfile.read(data)
    assert -12 < decibels(abs(wave).max()) < -1  # Vorbis may overshoot -2 by a little


def test_a_journey_through_the_keys_can_be_taken_away_as_sound():
    wanted = Wanted(rehearse(LINE, None, Rehearsal(journey=JOURNEYS[1], tempo=240)))
    data = io.BytesIO(export(wanted, "sound, Ogg"))
    assert soundfile.info(data).duration == pytest.approx((4 + 12 * 8) * 60 / 240 + 1, abs=0.01)


def test_every_kind_can_be_put_into_a_link_that_holds_it_whole():
    for kind, row in EXPORTS.items():
        data = export(WANTED, kind)
        link = link_html(f'a "turn" <{row.ending}', row.media, data)
        root = ElementTree.fromstring(link)
        assert root.get("download") == f'a "turn" <{row.ending}'
        media, _, packed = root.get("href").partition(";base64,")
        assert media == f"data:{row.media}"
        assert base64.b64decode(packed) == data
        assert re.search(r"\(\d+ kB\)", root.text)


def test_what_is_no_kind_is_refused():
    with pytest.raises(TheoryError, match=r"no such kind of file: 'PDF' .want MusicXML"):
        export(WANTED, "PDF")


def test_a_score_of_a_line_says_its_title_and_the_tempo_that_is_heard():
    practice = rehearse(LINE, None, Rehearsal(tempo=165))
    data = export(Wanted(practice, title="Ida's turn"), "MusicXML")
    root = ElementTree.fromstring(data)
    assert complaints(data.decode()) == []
    assert root.findtext("work/work-title") == "Ida's turn"
    assert root.findtext(".//metronome/per-minute") == "165"
    assert root.find(".//sound[@tempo]").get("tempo") == "165"


def test_names_of_files_tell_flats_sharps_and_readers_apart():
    titles = ("In E", "In E♭", "In E♯", "Night in Łódź", "?")
    names = [file_stem(title, "line", who.name) for title in titles for who in READERS]
    assert len(set(names)) == len(titles) * len(READERS)
    assert all(re.fullmatch(r"\w+", name) for name in names)
    assert len(file_stem("x" * 500, "chart")) < 100
