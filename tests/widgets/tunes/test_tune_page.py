"""The desk for tunes without a browser: every state of every control."""

from __future__ import annotations

import base64
import html
import io
import re
import threading
from collections.abc import Iterable
from itertools import product
from xml.etree import ElementTree

import ipywidgets as ipw
import pytest
from house import ROOT
from mido import MidiFile
from pypdf import PdfReader
from uploads import uploaded

import theorykit.widgets.tunes.tune_playing as playing_room
from theorykit.harmony.colours import COLOURS
from theorykit.harmony.substitution import NAMES
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.lines.parts import PART_NAMES
from theorykit.lines.text import Line
from theorykit.notes.reader import READERS, reader
from theorykit.show.exports import CHORUS_FILES, TUNE_FILES
from theorykit.show.files import lead_sheet_of_bytes, lead_sheet_xml, open_lead_sheet
from theorykit.study.phrasebook import PhraseBook
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import two_five_one
from theorykit.tunes.treatments import Treatment
from theorykit.views.sounding import Take
from theorykit.views.tune import PROPOSALS, TuneDraft
from theorykit.widgets import TuneDesk, tune_desk
from theorykit.widgets.player import Player

TUNES = {file.stem: file for file in sorted((ROOT / "workbook" / "tunes").glob("*.txt"))}
SMALL = "title: Small\nkey: Eb\ntempo: 120\n\n| Fm7 | Bb7 | Ebmaj7 | % |\n| Dm7 G7 | C6 |\n"
SWEEP = pytest.mark.sweep
CONTROLS = (
    *(ipw.Dropdown, ipw.Text, ipw.Textarea, ipw.Button, ipw.Checkbox, ipw.FloatSlider),
    *(ipw.BoundedIntText, ipw.FileUpload, ipw.Select),
)


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, object]]:
    """A player that only notes down what it is handed: it has tests of its own."""
    noted: list[dict[str, object]] = []

    def note_down(player: Player, takes: Iterable[Take], melody: str = "") -> None:
        player.shown = tuple(takes)
        noted.extend(
            {"played": one.performance, "label": one.label, "loops": one.loops, "melody": melody}
            for one in player.shown
        )

    monkeypatch.setattr(Player, "show", note_down)
    return noted


@pytest.fixture
def desk(asked, tmp_path) -> TuneDesk:
    return tune_desk(SMALL, book=tmp_path / "thursday.sqlite")


def everything(widget: ipw.Widget) -> list[ipw.Widget]:
    """A widget with all that is in it."""
    found = [widget]
    for child in getattr(widget, "children", ()):
        found += everything(child)
    return found


def texts(svg: str) -> str:
    """All texts of a picture, without spaces."""
    return "".join("".join(ElementTree.fromstring(svg).itertext()).split())


def quiet(desk: TuneDesk) -> bool:
    """Tell whether nothing is complained about."""
    rooms = (desk.problems, desk.problem, desk.colouring.problem, desk.playing.problem)
    return not any(room.value for room in (*rooms, desk.taking.problem, desk.opening.problem))


# Typing.


@pytest.mark.parametrize("name", TUNES)
def test_every_tune_opens_with_grid_list_and_plan(name, asked):
    text = TUNES[name].read_text(encoding="utf-8")
    desk = tune_desk(text)
    assert quiet(desk)
    assert desk.text.value == text
    chart = Chart.parse(text)
    shown = texts(desk.grid.value)
    assert chart.title.replace(" ", "") in shown
    assert len(desk.colouring.cadences.options) == len(desk.view.grid.marks)
    assert desk.plan.value.count("<li>") == len(desk.view.plan)
    assert desk.playing.tempo.value == chart.tempo
    assert asked == []


def test_a_chart_typed_letter_by_letter_loses_nothing_and_keeps_the_last_picture(asked):
    desk = tune_desk("")
    assert desk.grid.value == desk.old.value == ""
    assert desk.problems.value
    pictures = []
    for length in range(1, len(SMALL) + 1):
        desk.text.value = SMALL[:length]
        assert desk.text.value == SMALL[:length]
        assert desk.problem.value == ""
        pictures.append(desk.grid.value)
        if desk.state.problems:
            assert re.search(r"line \d+, column \d+", desk.problems.value)
            assert len(pictures) < 2 or pictures[-1] == pictures[-2]
    assert quiet(desk)
    assert desk.state.chart == Chart.parse(SMALL)


def test_a_mistake_is_shown_with_its_place_and_mended(desk):
    before = desk.grid.value
    desk.text.value = SMALL.replace("Bb7", "Bb8")
    assert "line 5, column 9" in desk.problems.value
    assert "^" in desk.problems.value
    assert desk.grid.value == before
    assert "last chart that could be read" in desk.old.value
    desk.text.value = SMALL.replace("Bb7", "Bb9")
    assert desk.problems.value == desk.old.value == ""
    assert "B♭13♯11" in texts(desk.grid.value)  # the 9 that is written stays


@pytest.mark.parametrize("text", ["", "\n", "x" * 100_000, "| C " * 500 + "|", "\x00|", "🎷", "|:"])
def test_any_text_is_answered_in_words(desk, text):
    before = desk.grid.value
    desk.text.value = text
    assert desk.problems.value
    assert desk.grid.value == before


def test_nothing_is_redrawn_by_a_blank(desk):
    touched: list[str] = []
    rooms = {"grid": desk.grid, "plan": desk.plan, "staff": desk.colouring.staff}
    desk.colouring.cadences.value = 1
    for name, room in rooms.items():
        room.observe(lambda change, name=name: touched.append(name), "value")
    desk.text.value = SMALL + " "
    assert touched == []


# Cadences and colours.


def test_one_choice_shows_a_cadence_and_its_players(desk, asked):
    assert "Choose a cadence" in desk.colouring.sentence.value
    desk.colouring.cadences.value = 1
    assert quiet(desk)
    assert "over B♭7 play ♭9 13" in desk.colouring.sentence.value
    assert {"Fm7", "B♭13♭9", "E♭maj7"} <= set(
        re.findall(r">([^<>]+)</text>", desk.colouring.staff.value)
    )
    assert "♭9" in texts(desk.colouring.keyboard.value)
    assert [call["label"] for call in asked] == [
        "bars 1-3, ii-V-I E♭, long, as written",
        "bars 1-3, ii-V-I E♭, long, with split, ♭9 13",
    ]
    assert 'fill="#dcebf5"' in desk.grid.value  # the chosen one stands out


@pytest.mark.parametrize(
    ("rows", "names"), [(COLOURS[::4], NAMES[::4]), pytest.param(COLOURS, NAMES, marks=SWEEP)]
)
def test_every_colour_substitute_and_split_of_every_cadence(desk, rows, names):
    box = desk.colouring
    box.others.value = True  # what would change the composer's chord is offered only on request
    for number in (1, 2):
        box.cadences.value = number
        for row in ("", *(row.name for row in rows)):
            box.colour.value = row
            assert quiet(desk)
            assert box.found.choice.colour == row
            assert desk.state.own
        box.colour.value = "b9"
        for name in ("", *names):
            box.substitute.value = name
            assert box.found.choice.substitute == (name if not box.problem.value else "")
            assert box.substitute.value == box.found.choice.substitute
        box.substitute.value = ""
    box.cadences.value = 1
    for split in (False, True):
        box.split.value = split
        assert box.found.choice.split == split
    box.cadences.value = 2
    assert box.split.disabled
    assert not box.split.value


def test_what_would_change_the_chord_is_offered_only_on_request(desk):
    box = desk.colouring
    desk.text.value = SMALL.replace("Bb7", "Bb7alt")
    box.cadences.value = 1
    names = [name for _, name in box.colour.options]
    assert "altered" in names
    assert "b9 13" not in names
    box.others.value = True
    assert ("♭9 13 (changes the chord)", "b9 13") in box.colour.options
    box.colour.value = "b9 13"
    assert "by your own choice B♭7alt becomes B♭13♭9" in box.sentence.value
    box.others.value = False  # what was chosen stays
    assert box.colour.value == box.found.choice.colour == "b9 13"
    assert quiet(desk)


def test_what_cannot_be_written_is_told_and_the_control_goes_back(desk):
    box = desk.colouring
    desk.text.value = f"| Dm7 {'/ ' * 14}G7 | C6 |"  # a V of a 16th
    box.cadences.value = 1
    before = desk.grid.value
    box.substitute.value = "backdoor dominant"
    assert "no room for 2 chords in 1/4 beats" in box.problem.value
    assert box.substitute.value == ""
    assert desk.grid.value == before
    box.substitute.value = "tritone substitute"
    assert quiet(desk)
    assert "D♭13♯11" in texts(desk.grid.value)  # a substitute has the lydian dominant


def test_a_colour_that_was_set_survives_typing_elsewhere_and_other_proposals(desk):
    desk.colouring.cadences.value = 1
    desk.colouring.colour.value = "altered"
    desk.text.value = SMALL.replace("C6", "Cmaj9")
    assert desk.colouring.colour.value == "altered"
    assert "B♭7alt" in texts(desk.grid.value)
    desk.proposal.value = "third"
    assert "B♭7alt" in texts(desk.grid.value)
    desk.forget.click()
    assert "B♭7alt" not in texts(desk.grid.value)
    assert quiet(desk)


def test_the_chosen_cadence_stays_chosen_while_its_number_moves(desk):
    desk.colouring.cadences.value = 2
    desk.text.value = SMALL.replace("| Dm7 G7 | C6 |", "| Abm7 Db7 | Gb6 |\n| Dm7 G7 | C6 |")
    assert desk.colouring.cadences.value in (2, None)
    desk.colouring.cadences.value = 3
    desk.text.value = desk.text.value.replace("title: Small", "title: Larger")
    assert desk.colouring.cadences.value == 3
    desk.text.value = "| C6 |"
    assert desk.colouring.cadences.value is None
    assert desk.colouring.staff.value == ""


def test_every_proposal_and_variety(desk):
    seen = set()
    for proposal, variety in product(PROPOSALS, (1, 2, 6)):
        desk.proposal.value, desk.variety.value = proposal, variety
        assert quiet(desk)
        seen.add((proposal, desk.grid.value))
    assert len(seen) >= len(PROPOSALS)
    desk.treated.value = False
    assert "B♭7" in texts(desk.grid.value)
    assert "B♭13" not in texts(desk.grid.value)


def test_every_reader_has_a_staff_of_their_own_and_the_grid_stays(desk):
    desk.colouring.cadences.value = 1
    grid, staves = desk.grid.value, set()
    for one in READERS:
        desk.reader.value = one
        staves.add(texts(desk.colouring.staff.value))
        assert quiet(desk)
    assert len(staves) >= 4
    assert desk.grid.value == grid


# The chorus.


def test_a_chorus_is_written_heard_with_and_without_the_line_and_drawn(desk, asked):
    assert desk.playing.player.shown == ()
    desk.playing.write.click()
    assert quiet(desk)
    assert [call["label"] for call in asked] == [
        "Small, 1 chorus, with the line",
        "Small, 1 chorus, without the line",
    ]
    with_line, without = (call["played"] for call in asked)
    assert [part.name for part in with_line.parts] == list(PART_NAMES)
    assert [part.name for part in without.parts] == list(PART_NAMES[1:])
    assert "B♭13♭9" in texts(desk.playing.staff.value)
    assert len(desk.playing.player.shown) == 2


@pytest.mark.parametrize("name", PART_NAMES)
def test_each_stem_can_be_silenced(desk, asked, name):
    desk.playing.stems[name].value = False
    desk.playing.write.click()
    first = {part.name: part.notes for part in asked[0]["played"].parts}
    assert name not in first or name == "drums"
    assert len(asked) == (1 if name == "line" else 2)


def test_every_wish_reaches_the_performance(desk, asked):
    box = desk.playing
    for choruses in range(1, 6):
        box.choruses.value = choruses
        box.write.click()
        assert asked[-1]["played"].beats == 4 * (1 + 6 * choruses)
        assert box.shown.options == tuple(range(1, choruses + 1))
    box.choruses.value = 1
    box.tempo.value, box.by_feel.value = 90, False
    box.swing.value = 1.4
    box.melody.value = "trumpet"
    box.first.value, box.last.value, box.loops.value = 2, 3, True
    box.write.click()
    played = asked[-1]["played"]
    assert (played.tempo, played.swing, played.beats) == (90, 1.4, 12)  # counted in, then round
    assert asked[-1]["melody"] == "trumpet"
    assert asked[-1]["loops"] is True
    assert "bars 2-3, round and round" in str(asked[-1]["label"])


def test_a_change_makes_the_chorus_stale_and_pressing_makes_it_new(desk):
    desk.playing.write.click()
    assert desk.playing.note.value == ""
    player = desk.playing.player.shown
    for change in (
        lambda: setattr(desk.playing.tempo, "value", 80),
        lambda: setattr(desk.playing.stems["piano"], "value", False),
        lambda: setattr(desk.text, "value", SMALL.replace("C6", "Am7")),
    ):
        change()
        assert "before your last change" in desk.playing.note.value
        assert desk.playing.player.shown is player
        desk.playing.write.click()
        assert desk.playing.note.value == ""
        assert desk.playing.player.shown is not player
        player = desk.playing.player.shown


def test_other_lines_are_other_lines_and_the_number_brings_them_back(desk):
    desk.playing.write.click()
    first = desk.playing.view.chorus.line
    desk.playing.others.click()
    assert desk.playing.seed.value == 2
    assert desk.playing.view.chorus.line != first
    desk.playing.seed.value = 1
    desk.playing.write.click()
    assert desk.playing.view.chorus.line == first


def test_bars_that_are_not_there_are_told_and_the_last_chorus_stays(desk):
    desk.playing.write.click()
    player, staff = desk.playing.player.shown, desk.playing.staff.value
    desk.playing.first.value = 40
    desk.playing.write.click()
    assert "no such bars" in desk.playing.problem.value
    assert (desk.playing.player.shown, desk.playing.staff.value) == (player, staff)
    desk.playing.first.value = 0
    desk.playing.write.click()
    assert quiet(desk)


def test_another_chorus_can_be_looked_at(desk, asked):
    desk.playing.choruses.value = 2
    desk.playing.write.click()
    first, count = desk.playing.staff.value, len(asked)
    desk.playing.shown.value = 2
    assert desk.playing.staff.value != first
    assert len(asked) == count


def test_phrases_come_out_of_the_book_where_there_is_one(desk, tmp_path):
    desk.playing.phrases.value = playing_room.BOOK
    desk.playing.write.click()
    assert "no phrase book" in desk.playing.problem.value
    line = Line.parse("8th D5 F5 A5 F5 B4 D5 G4 B4 | whole C5", two_five_one("C", "short"))
    PhraseBook(tmp_path / "thursday.sqlite").keep("turn", line)
    desk.proposal.value = "as written"
    desk.playing.write.click()
    assert quiet(desk)
    notes = desk.playing.view.chorus.phrases[1].notes
    assert [str(note.pitch) for note in notes] == "D5 F5 A5 F5 B4 D5 G4 B4 C5".split()


def test_tempo_and_feel_follow_a_chart_that_is_opened(asked):
    desk = tune_desk(TUNES["umbrella_in_the_hall"].read_text(encoding="utf-8"))
    assert (desk.playing.tempo.value, desk.playing.swing.value) == (112, 1.0)
    desk.take(TUNES["nine_borrowed_stands"].read_text(encoding="utf-8"))
    assert (desk.playing.tempo.value, desk.playing.swing.value) == (138, 2.62)
    assert desk.state.own == ()


# Files.


# What each kind of file is called, by hand.
CALLED = {
    "MusicXML": "Small_chorus_lines_1_concert.musicxml",
    "MIDI": "Small_chorus_lines_1.mid",
    "sound, MP3": "Small_chorus_lines_1.mp3",
    "sound, Ogg": "Small_chorus_lines_1.ogg",
    "sound, WAV": "Small_chorus_lines_1.wav",
    "chart, as text": "Small_chart.txt",
    "chart with its colours, as text": "Small_chart_with_colours.txt",
    "lead sheet, MusicXML": "Small_lead_sheet_concert.musicxml",
    "treatment, as text": "Small_treatment.txt",
}


def link_of(desk, kind: str) -> tuple[str, bytes]:
    """Make a link of a kind; return the name of its file and what it holds."""
    desk.taking.kind.value = kind
    desk.taking.link.click()
    assert quiet(desk)
    found = re.search(r'download="([^"]*)" href="data:[^,]*,([^"]*)"', desk.taking.told.value)
    return html.unescape(found[1]), base64.b64decode(found[2])


def test_every_kind_of_file_can_be_taken_away_by_a_link_under_a_name_of_its_own(desk):
    desk.taking.link.click()
    assert "no chorus yet" in desk.taking.problem.value
    desk.playing.write.click()
    assert {kind: link_of(desk, kind)[0] for kind in CALLED} == CALLED
    assert [*CHORUS_FILES, *TUNE_FILES] == list(CALLED)
    desk.reader.value = reader("B flat")
    assert link_of(desk, "lead sheet, MusicXML")[0] == "Small_lead_sheet_B_flat.musicxml"


def test_a_tune_that_was_typed_can_be_saved_before_any_chorus(desk, tmp_path):
    desk.text.value = "title: Typed\nkey: Db\ntempo: 96\n\n| Ebm7 | Ab7 | Dbmaj7 | % |"
    desk.reader.value = reader("E flat")
    for kind, row in TUNE_FILES.items():
        desk.taking.kind.value = kind
        desk.taking.path.value = str(tmp_path / f"{kind}{row.ending}")
        desk.taking.write.click()
        assert quiet(desk)
    assert Chart.parse((tmp_path / "chart, as text.txt").read_text()) == desk.state.chart
    sheet = open_lead_sheet(tmp_path / "lead sheet, MusicXML.musicxml")
    assert sheet.chart == desk.state.chart
    score = (tmp_path / "lead sheet, MusicXML.musicxml").read_text()
    assert "<work-title>Typed</work-title>" in score
    assert "<chromatic>-9</chromatic>" in score  # alto saxophone sounds a major sixth lower
    text = (tmp_path / "treatment, as text.txt").read_text()
    assert Treatment.parse(text) == desk.state.treatment


def test_a_file_of_the_same_tune_is_written_again_and_one_of_another_is_not(desk, tmp_path):
    file = tmp_path / "thursday.txt"
    desk.taking.kind.value, desk.taking.path.value = "chart, as text", str(file)
    for text in (SMALL, SMALL.replace("C6", "C6/9")):
        desk.text.value = text
        desk.taking.write.click()
        assert quiet(desk)
        assert Chart.parse(file.read_text()) == desk.state.chart
    before = file.read_text()
    desk.text.value = SMALL.replace("Small", "Later")
    desk.taking.write.click()
    assert "left as it is" in desk.taking.problem.value
    assert file.read_text() == before
    desk.taking.replace.value = True
    desk.taking.write.click()
    assert "Later" in file.read_text()
    assert not desk.taking.replace.value


def test_what_is_taken_of_a_tune_is_what_stands_on_the_desk_now(desk):
    desk.playing.write.click()
    desk.text.value = SMALL.replace("Small", "Later").replace("C6", "C6/9")
    name, data = link_of(desk, "chart, as text")
    assert (name, Chart.parse(data.decode())) == ("Later_chart.txt", desk.state.chart)
    desk.colouring.cadences.value = 1
    desk.colouring.colour.value = "altered"
    assert b"altered" in link_of(desk, "treatment, as text")[1]
    assert link_of(desk, "MusicXML")[0].startswith("Small_chorus")  # the one that is shown


def test_a_chart_that_cannot_be_read_is_not_taken_away_as_an_older_one(desk):
    desk.text.value = SMALL + "| Q |"
    desk.taking.kind.value = "chart, as text"
    desk.taking.link.click()
    assert "the chart cannot be read: line" in desk.taking.problem.value
    assert desk.taking.told.value == ""


@pytest.mark.parametrize(
    ("tempo", "metre", "quarters", "mark"),
    [(96, "4/4", 96, "96"), (360, "4/4", 360, "360"), (60, "6/8", 90, "60"), (25, "3/4", 25, "25")],
)
def test_the_tempo_of_a_chart_is_that_of_its_sound_and_its_files(
    desk, tempo, metre, quarters, mark
):
    head = f"title: Slow\ntempo: {tempo}\nmetre: {metre}\nkey: Eb"
    desk.text.value = f"{head}\n\n| Ebmaj7 | Ebmaj7 |"
    assert desk.playing.tempo.value == tempo
    desk.playing.write.click()
    assert quiet(desk)
    assert desk.playing.view.performance.tempo == quarters
    midi = MidiFile(file=io.BytesIO(link_of(desk, "MIDI")[1]))
    told = next(one.tempo for one in midi.tracks[0] if one.type == "set_tempo")
    assert told == round(60_000_000 / quarters)
    for kind in ("MusicXML", "lead sheet, MusicXML"):
        root = ElementTree.fromstring(link_of(desk, kind)[1])
        assert root.findtext(".//per-minute") == mark
        assert root.find(".//sound[@tempo]").get("tempo") == str(quarters)
        assert root.findtext("work/work-title") == "Slow"


def test_a_tempo_that_was_chosen_on_the_desk_is_that_of_a_chart_that_says_none(desk):
    desk.text.value = "| Ebmaj7 | Ebmaj7 |"
    desk.playing.tempo.value = 77
    root = ElementTree.fromstring(link_of(desk, "lead sheet, MusicXML")[1])
    assert root.findtext(".//per-minute") == "77"
    assert "tempo" not in link_of(desk, "chart, as text")[1].decode()


def test_a_chorus_is_taken_away_with_the_sound_that_was_heard(desk):
    desk.playing.write.click()
    heard = link_of(desk, "MIDI")[1]
    desk.playing.melody.value = "flute"
    assert link_of(desk, "MIDI")[1] == heard
    desk.playing.write.click()
    assert link_of(desk, "MIDI")[1] != heard


def test_a_file_is_written_only_where_the_reader_says_and_never_over_another(desk, tmp_path):
    desk.playing.write.click()
    desk.taking.write.click()
    assert "not a path" in desk.taking.problem.value
    desk.taking.path.value = str(tmp_path / "small")
    desk.taking.write.click()
    assert quiet(desk)
    file = tmp_path / "small.musicxml"
    assert "<score-partwise" in file.read_text(encoding="utf-8")
    file.write_text("mine")
    desk.taking.write.click()
    assert "already" in desk.taking.problem.value
    assert file.read_text() == "mine"
    desk.taking.replace.value = True
    desk.taking.write.click()
    assert "<score-partwise" in file.read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", ["two.txt", "two.musicxml"])
def test_a_chart_or_lead_sheet_can_be_opened(desk, kind):
    chart = Chart.parse(TUNES["nine_borrowed_stands"].read_text(encoding="utf-8"))
    content = str(chart) if kind.endswith("txt") else lead_sheet_xml(chart)
    desk.opening.file.value = uploaded(kind, content.encode())
    assert quiet(desk)
    assert desk.state.chart == chart
    assert desk.text.value == str(chart)
    assert "Every chord and sign was read" in desk.opening.told.value
    assert "melody" not in desk.opening.told.value
    assert desk.opening.file.value == ()


def test_the_melody_of_a_file_is_kept_shown_and_taken_away_again(desk):
    """It waits where the bars do not hold it, and is there again with them."""
    over = LeadSheet(Chart.of("C", "Dm7 G7", "C6")).written.progression
    sheet = LeadSheet(
        Chart.of("C", "Dm7 G7", "C6"), Line.parse("half D5 B4 | whole C5", over).notes
    )
    desk.opening.file.value = uploaded("a.musicxml", lead_sheet_xml(sheet).encode())
    assert "with its melody of 3 notes" in desk.opening.told.value
    assert desk.state.melody == "half D5 B4 | whole C5"
    desk.reader.value = reader("E flat")
    assert "B5" in html.unescape(desk.melody.staff.value)  # D5 on the page of an alto
    kept = TuneDraft.of(desk.state.data)
    assert kept.sheet.melody == sheet.melody
    desk.taking.kind.value = "lead sheet, MusicXML"
    desk.taking.link.click()
    data = re.search(r"base64,([\w+/=]+)", desk.taking.told.value)[1]
    back = lead_sheet_of_bytes("a.musicxml", base64.b64decode(data))
    assert back.melody == sheet.melody
    whole = desk.text.value
    desk.text.value = "key: C\n| Dm7 |"
    assert desk.melody.staff.value == ""
    assert "does not fit these bars" in desk.melody.told.value
    desk.text.value = whole
    assert "B5" in html.unescape(desk.melody.staff.value)
    assert desk.melody.told.value == ""
    desk.take("| Dm7 | G7 |")
    assert (desk.state.melody, desk.melody.staff.value) == ("", "")


def test_a_file_that_cannot_be_read_is_told_and_the_desk_stays(desk):
    for name, content in (
        ("a.musicxml", b"<!DOCTYPE x SYSTEM 'file:///x'><a/>"),
        ("a.txt", b"| Q |"),
    ):
        desk.opening.file.value = uploaded(name, content)
        assert desk.opening.problem.value
        assert desk.text.value == SMALL


# What holds for the whole page.


def test_every_control_has_a_label_and_no_two_share_one(desk):
    labels = [
        one.description or one.tooltip for one in everything(desk) if isinstance(one, CONTROLS)
    ]
    assert all(labels)
    assert len(set(labels)) == len(labels)


def test_pictures_say_what_they_show_and_nothing_plays_by_itself(monkeypatch):
    desk = tune_desk(SMALL)
    desk.colouring.cadences.value = 1
    desk.playing.write.click()
    for picture in (desk.grid, desk.colouring.staff, desk.colouring.keyboard, desk.playing.staff):
        assert re.search(r'role="img" aria-label="[^"]{20,}"', picture.value)
    assert [len(one.takes) for one in (desk.colouring.player, desk.playing.player)] == [2, 2]
    assert all(take["label"] for take in desk.playing.player.takes)


def test_it_answers_in_another_thread_than_it_was_made_in(desk):
    """JupyterLab runs the answers of controls in another thread than cells."""

    def act() -> None:
        desk.text.value = SMALL.replace("C6", "Cmaj7")
        desk.colouring.cadences.value = 1
        desk.playing.write.click()

    other = threading.Thread(target=act)
    other.start()
    other.join()
    assert quiet(desk)
    assert "<svg" in desk.playing.staff.value


# -- jobs --------------------------------------------------------------------------------------


def job_cells(desk) -> list[list[str]]:
    """The rows of the table of jobs, as text."""
    rows = re.findall(r"<tr>(.*?)</tr>", desk.job_table.value)
    return [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row) for row in rows]


def test_jobs_stand_under_the_grid_when_they_are_asked_for(desk):
    assert desk.job_table.value == ""
    desk.jobs.value = True
    head, first, second, *_ = job_cells(desk)
    assert head == ["bar", "chord", "job", "in words"]
    assert first == ["1", "Fm7", "ii of B♭7", "Fm7 is the ii of B♭7."]
    assert second[:3] == ["2", "B♭7", "V of E♭maj7"]
    assert "at concert pitch" in desk.job_table.value
    desk.jobs.value = False
    assert desk.job_table.value == ""


def test_jobs_follow_what_is_typed_and_the_reader(desk):
    desk.jobs.value = True
    desk.text.value = "key: C\n| Am7 D7 | Dm7 G7 | C6 | % |"
    assert job_cells(desk)[2][1:3] == ["D7", "V of G7"]
    desk.text.value = "key: C\n| Am7 D8 |"  # the last good one stays
    assert job_cells(desk)[2][1:3] == ["D7", "V of G7"]
    desk.reader.value = READERS[1]
    assert job_cells(desk)[2][1:3] == ["E7", "V of A7"]
    assert f"as written for {READERS[1].name}" in desk.job_table.value


def test_jobs_can_be_read_without_seeing_or_colour(desk):
    desk.jobs.value = True
    assert 'role="region" tabindex="0" aria-label="The job of every chord' in desk.job_table.value
    assert desk.job_table.value.count('<th scope="row"') == len(job_cells(desk)) - 1


def test_the_chords_are_on_a_page_of_their_own_in_one_click(desk):
    """At the pitch of the reader who is chosen; a link of before does not stay."""
    desk.text.value = SMALL
    desk.reader.value = reader("E flat")
    desk.chord_chart.click()
    assert 'download="Small_chords_E_flat.pdf"' in desk.chart_link.value
    data = re.search(r"base64,([\w+/=]+)", desk.chart_link.value)[1]
    (page,) = PdfReader(io.BytesIO(base64.b64decode(data))).pages
    words = page.extract_text()
    assert "Dm7" in words
    assert "ii-V" not in words
    desk.reader.value = reader("concert")
    assert desk.chart_link.value == ""
