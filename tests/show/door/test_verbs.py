"""See, hear, save and the ways to other libraries: read back by who did not write them."""

import csv
import io
import json
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import mido
import numpy as np
import pytest
import soundfile
from house import ROOT
from IPython.core.formatters import DisplayFormatter
from matplotlib.figure import Figure
from PIL import Image
from pypdf import PdfReader
from schema import complaints
from sweeps import swept
from together import together

from theorykit import (
    Chart,
    Chord,
    LeadSheet,
    Line,
    Note,
    Pitch,
    Scale,
    TheoryError,
    Wishes,
    cadences,
    colour,
    demonstration,
    from_dict,
    from_music21,
    hear,
    identify,
    resolve,
    save,
    see,
    shortcuts,
    substitutes,
    to_mido,
    to_music21,
    two_five_one,
    write_chorus,
)
from theorykit.handout import Handout
from theorykit.show.door import bundle

CHART = Chart.parse("title: Wet Gloves\nkey: Db\ntempo: 160\n| Ebm7 | Ab7 | Dbmaj7 | % |")
LINE = demonstration("Db", "short", "b9")
THINGS = {
    "chord": Chord.parse("Db7b9/F"),
    "scale": Scale.parse("Gb lydian"),
    "colour": colour("b9 13"),
    "shortcut": shortcuts("F#7", "b9")[0],
    "resolution": resolve("F7", "altered", "Bb minor"),
    "substitute": substitutes("Ab7", "Db")[0],
    "identification": identify("E G# B", "G7", "C"),
    "progression": two_five_one("F#"),
    "line": LINE,
    "chart": CHART,
    "lead sheet": LeadSheet(CHART),
    "chorus": write_chorus(CHART),
}
ENDINGS = ".musicxml .mxl .mid .svg .png .pdf .ogg .mp3 .wav .txt .toml .csv".split()
SOUNDS, SCORES = {".mid", ".ogg", ".mp3", ".wav"}, {".musicxml", ".mxl"}
READERS = ("concert", "trumpet", "alto", "horn", "trombone", "guitar")


def test_the_verbs_come_from_the_front_and_bring_nothing_with_them():
    """In a Python that sees no installed package; there the call says what to install."""
    asks = """
import sys
from theorykit import from_dict, hear, save, see, table, to_dict, to_mido, written_for, TheoryError
tops = {n.split(".")[0] for n, m in sys.modules.items() if m is not None}
print(sorted(tops - set(sys.stdlib_module_names) - {"__main__", "__mp_main__"}))
print(written_for("G7", "trumpet"), table("G7")[1], to_dict(written_for("G7", "alto")))
for call in (see, hear, to_mido):
    try:
        call("G7")
    except TheoryError as said:
        print(said)
"""
    run = subprocess.run(
        [sys.executable, "-S", "-c", asks], cwd=ROOT, capture_output=True, text=True, check=True
    )
    first, second, *said = run.stdout.splitlines()
    assert first == "['theorykit']"
    assert second.startswith("A7 {'degree': '3', 'note': 'B'} {'theorykit': 1")
    assert len(said) == 3
    assert all("python -m pip install 'theorykit[workbook]'" in words for words in said)


@pytest.mark.parametrize("name", THINGS)
@pytest.mark.parametrize("who", swept(READERS, ("concert", "alto").__contains__))
def test_everything_is_seen_by_every_reader(name, who):
    shown = see(THINGS[name], written_for=who)
    assert "<svg" in shown.html
    assert shown.words
    axes = shown.draw(Figure(figsize=(6, 4)).subplots())
    assert axes.get_label()


def seen_words(given: object, who: str) -> str:
    return see(given, written_for=who).words


def test_pictures_are_written_for_their_reader():
    """By hand, for an alto: G7 is E7, C dorian A dorian, D flat B flat (common practice)."""
    assert seen_words("G7", "alto") == "Keyboard: E7 is E, G♯, B, D."
    assert seen_words("C dorian", "alto").startswith("Keyboard: A dorian is A, B, C, D, E, F♯, G")
    assert "in B♭ major, chords Cm7, F7, B♭maj7" in seen_words(LINE, "alto")
    assert "chords Cm7, F7, B♭maj7" in seen_words(LeadSheet(CHART), "alto")
    assert seen_words(resolve("G7", "b9", "C"), "alto").startswith("From E7 with ♭9 to A")
    assert "your E7 sounds as G7" in see("G7", written_for="alto").html
    assert "sounds as" not in see("G7", written_for="trombone").html


@pytest.mark.parametrize("name", swept(THINGS, ("chord", "resolution", "chart").__contains__))
def test_everything_but_a_colour_is_heard(name):
    if name == "colour":
        with pytest.raises(TheoryError, match="no sound"):
            hear(THINGS[name])
        return
    shown = hear(THINGS[name])
    assert "<audio controls" in shown.html
    assert "autoplay" not in shown.html
    assert shown.words.startswith("Player")


def expected(name: str) -> set[str]:
    """What there is of each thing: a colour has no sound, and notes are written where bars are."""
    written = ("identification", "progression", "line", "chart", "lead sheet", "chorus")
    return set(ENDINGS) - (SOUNDS if name == "colour" else set()) - (
        set() if name in written else SCORES
    )  # fmt: skip


def check(file: Path, value: object) -> None:
    """Read a file with what reads such files everywhere."""
    data, ending = file.read_bytes(), file.suffix
    if ending in (".ogg", ".mp3", ".wav"):
        samples, rate = soundfile.read(io.BytesIO(data))
        assert len(samples) / rate > 1
        assert np.abs(samples).max() > 0.02
    elif ending == ".mid":
        assert any(m.type == "note_on" for m in mido.MidiFile(file=io.BytesIO(data)))
    elif ending == ".musicxml":
        assert complaints(data.decode()) == []
    elif ending == ".mxl":
        assert len(zipfile.ZipFile(io.BytesIO(data)).namelist()) == 2
    elif ending == ".png":
        assert Image.open(io.BytesIO(data)).size > (100, 50)
    elif ending == ".pdf":
        assert len(PdfReader(io.BytesIO(data)).pages) == 1
    elif ending == ".svg":
        assert data.startswith(b"<svg")
    elif ending == ".txt":
        assert data.decode() == str(value).rstrip("\n") + "\n"
    elif ending == ".toml":
        assert from_dict(tomllib.loads(data.decode())) == value
    else:
        rows = list(csv.DictReader(io.StringIO(data.decode(), newline="")))
        assert rows
        assert all(None not in row and None not in row.values() for row in rows)


TRIED = {("line", e) for e in ENDINGS} | {("chart", ".mxl"), ("chorus", ".toml"), ("chord", ".mid"),
         ("shortcut", ".pdf"), ("lead sheet", ".musicxml"), ("colour", ".toml"),
         ("identification", ".csv"), ("resolution", ".txt")}  # fmt: skip
PAIRS = [(name, ending) for name in THINGS for ending in ENDINGS]


@pytest.mark.parametrize(("name", "ending"), swept(PAIRS, TRIED.__contains__))
def test_a_file_is_what_its_ending_says_or_the_refusal_says_what_there_is(name, ending, tmp_path):
    file = tmp_path / f"thing{ending}"
    if ending in expected(name):
        assert save(THINGS[name], file) == file
        check(file, THINGS[name])
        return
    with pytest.raises(TheoryError, match=rf"no \{ending} of an? {name} \(want ") as refusal:
        save(THINGS[name], file)
    offered = set(str(refusal.value).partition("(want ")[2].rstrip(")").split(", "))
    assert offered == expected(name)
    assert not file.exists()


def test_a_list_is_saved_as_a_table(tmp_path):
    file = save(cadences(CHART), tmp_path / "cadences.csv")
    rows = list(csv.DictReader(file.open(encoding="utf-8", newline="")))
    assert [(row["kind"], row["key"]) for row in rows] == [("ii-V-I", "Db major")]
    for given, ending, words in (
        (cadences(CHART), ".txt", "want .csv"),
        ([], ".csv", "empty list"),
        ([CHART, LINE], ".csv", "one kind"),
    ):
        with pytest.raises(TheoryError, match=words):
            save(given, tmp_path / f"x{ending}")


def test_text_is_saved_as_what_it_means(tmp_path):
    file = save("Dm7 | G7 | C6", tmp_path / "turn.txt")
    assert file.read_text(encoding="utf-8").endswith("| Dm7 | G7 | C6 |\n")


def test_no_file_is_replaced_unless_asked(tmp_path):
    file = save("G7", tmp_path / "chord.txt")
    with pytest.raises(TheoryError, match="already"):
        save("C7", file)
    assert file.read_text(encoding="utf-8") == "G7\n"
    save("C7", file, replace=True)
    assert file.read_text(encoding="utf-8") == "C7\n"


def test_what_no_file_is_made_of_is_refused(tmp_path):
    for path, words in (("x.mp4", r"want \.musicxml, \.mxl"), ("x", "no such kind"), ("", "path")):
        with pytest.raises(TheoryError, match=words):
            save("G7", tmp_path / path if path else path)
    for wish in ({"tempo": "fast"}, {"melody": "bagpipe"}, {"paper": 5}, {"written_for": "kazoo"}):
        with pytest.raises(TheoryError, match="want"):
            save("G7", tmp_path / "x.txt", **wish)


def test_a_score_is_written_for_its_reader(tmp_path):
    """By hand: D flat for an alto is B flat, two flats (common practice)."""
    file = save(LINE, tmp_path / "line.musicxml", written_for="alto", title="Wet Gloves")
    text = file.read_text(encoding="utf-8")
    assert "<fifths>-2</fifths>" in text
    assert "Wet Gloves" in text


def test_a_notebook_shows_the_picture_and_falls_back_to_words():
    for value in THINGS.values():
        found = value._repr_mimebundle_()
        assert found["text/plain"] == str(value)
        assert "<svg" in found["text/html"]
    for value in (Note("B", -1), Pitch.parse("Eb4"), cadences(CHART)[0]):
        assert bundle(value) == {"text/plain": str(value)}
    hard = Line.parse("32nd " + "C5 " * 32, Chart.of("C", "C6").progression)
    assert bundle(hard)["text/plain"].startswith("32nd C5")


def test_mido_gets_what_is_saved(tmp_path):
    file = save(CHART, tmp_path / "tune.mid")
    ours, theirs = to_mido(CHART), mido.MidiFile(file)
    assert [list(track) for track in ours.tracks] == [list(track) for track in theirs.tracks]


@pytest.mark.parametrize("text", ["Bb", "F##", "Cb", "Ebb"])
def test_names_go_to_music21_and_back(text):
    note = Note.parse(text)
    assert from_music21(to_music21(note)) == note
    assert from_music21(to_music21(Pitch(note, 4))) == Pitch(note, 4)
    assert to_music21(Pitch(note, 4)).midi == Pitch(note, 4).midi


CHORDS = "G7 Dm7b5 C6/9 G13b9 Dm7/C F/G Bbmaj7#11 Cdim7 Ab7sus4 Ebm6 F#7#9b13 Gbmaj7 Bbm(maj7)"


@together("symbol", CHORDS.split())
def test_chords_go_to_music21_and_back(symbol):
    chord = Chord.parse(symbol)
    there = to_music21(chord)
    assert there.root().name.replace("-", "b") == str(chord.root)
    assert from_music21(there) == chord


@pytest.mark.parametrize("key", swept(["C", "Db", "F#", "Bb minor", "A minor"], "Db".__eq__))
def test_a_line_goes_to_music21_and_back(key):
    line = demonstration(key, "long", "b9")
    there = to_music21(line)
    assert [p.midi for p in there.flatten().pitches if p][-1] == line.notes[-1].pitch.midi
    assert from_music21(there) == line


def test_what_music21_cannot_give_is_refused():
    for given in (None, 5, "C", object()):
        with pytest.raises(TheoryError, match="want a note, a pitch"):
            from_music21(given)


def test_a_record_in_a_file_is_json_as_well(tmp_path):
    file = save(write_chorus(CHART), tmp_path / "chorus.toml")
    data = tomllib.loads(file.read_text(encoding="utf-8"))
    assert from_dict(json.loads(json.dumps(data))) == write_chorus(CHART)


def test_ipython_takes_the_picture_and_a_tuple_stays_short():
    """The formatter of IPython itself: what JupyterLab is sent for the last value of a cell."""
    formatter = DisplayFormatter()
    data, _ = formatter.format(LINE)
    assert "<svg" in data["text/html"]
    assert data["text/plain"] == str(LINE)
    words, _ = formatter.format((LINE, CHART))
    assert "text/html" not in words
    assert len(words["text/plain"]) < 220


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: to_mido(LINE, tempo=0), "no such tempo: 0 (want 10 to 800"),
        (lambda: to_mido(LINE, tempo="120"), "no such tempo: '120' (want 10 to 800"),
        (lambda: to_mido(LINE, swing="x"), "no such swing: 'x' (want a ratio"),
        (lambda: hear(LINE, tempo=-5), "no such tempo: -5.0 (want 10 to 800"),
        (lambda: hear(CHART, tempo=float("nan")), "not a tempo: nan (want beats a minute"),
        (lambda: Handout.read(None), "not a path: None (want the text file of a handout)"),
        (lambda: Handout("x").make(None), "not a path: None (want a folder for the files)"),
    ],
)
def test_what_no_band_plays_and_what_is_no_path_are_refused(call, words):
    with pytest.raises(TheoryError) as refusal:
        call()
    assert words in str(refusal.value)


def test_a_wished_range_wins_over_that_of_the_instrument():
    assert str(Wishes.within("trumpet", lowest="C4").lowest) == "C4"
    assert str(Wishes.for_reader("horn", highest="C5").highest) == "C5"
