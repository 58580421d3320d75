"""The desk for lines without a browser: every state of every control."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import pairwise, product
from xml.etree import ElementTree

import ipywidgets as ipw
import pytest
from sweeps import some_and_all
from uploads import uploaded

import theorykit.widgets.hearing as hearing_room
import theorykit.widgets.lines.demonstrating as demonstrating
from theorykit.errors import TheoryError
from theorykit.harmony.colours import COLOURS
from theorykit.lines.text import Line
from theorykit.notes.key import KEYS, Key
from theorykit.notes.reader import READERS
from theorykit.show.files import line_bytes
from theorykit.show.files.line_files import save_line
from theorykit.study.phrasebook import PhraseBook
from theorykit.tunes.progression import FORMS, Bar, Progression, two_five_one
from theorykit.views.sounding import Take
from theorykit.widgets import LineDesk, line_desk
from theorykit.widgets.player import Player

CONTROLS = (
    *(ipw.Dropdown, ipw.Text, ipw.Textarea, ipw.Button, ipw.Checkbox, ipw.FloatSlider),
    *(ipw.BoundedIntText, ipw.FileUpload),
)
TEXT = "8th F4 A4 C5 E5 D5 C5 A4 F4 | E4 F4 G4 Ab4 B4 D5 Ab4 B4 | half C5 rest"
SHORT = "8th F5 E5 D5 C5 B4 E5 Ab4 B4 | whole C5"


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, object]]:
    """Players that only note down what they were asked for: sound has tests of its own."""
    noted: list[dict[str, object]] = []

    def note_down(played: object, **wishes: object) -> str:
        noted.append({"played": played, **wishes})
        return f"<audio controls aria-label='{wishes['label']}' title='{len(noted)}'></audio>"

    def shown(player: Player, takes: Iterable[Take], melody: str = "") -> None:
        player.shown = tuple(takes)
        for one in player.shown:
            note_down(one.performance, label=one.label, melody=melody)

    monkeypatch.setattr(hearing_room, "performance_html", note_down)
    monkeypatch.setattr(Player, "show", shown)
    return noted


@pytest.fixture
def desk(tmp_path, asked) -> LineDesk:
    return line_desk(line=TEXT, book=tmp_path / "thursday.sqlite")


def texts(svg: str) -> str:
    return "".join("".join(ElementTree.fromstring(svg).itertext()).split())


def type_in(desk: LineDesk, text: str) -> list[str]:
    """Type a text letter by letter; return what was said of it each time."""
    said = []
    for length in range(1, len(text) + 1):
        desk.text.value = text[:length]
        said.append(desk.problem.value)
    return said


def test_a_line_is_read_as_it_is_typed_and_no_letter_of_it_is_lost(tmp_path, asked):
    desk = line_desk(book=tmp_path / "b.sqlite")
    said = type_in(desk, TEXT)
    assert desk.text.value == TEXT
    assert [text for text in said if "alert" in text] == []
    assert desk.view.line == Line.parse(TEXT, two_five_one("C"))
    staff = texts(desk.page.staff.value)
    assert all(chord in staff for chord in ("Dm7", "G7", "Cmaj7"))
    assert staff.count("alt") >= 2
    assert "♭9" in staff
    assert "spells ♭9 13" in desk.page.words.value
    assert "CT chord tone" in desk.page.legend.value
    assert "closes in" in desk.page.table.value
    assert asked == []  # no sound is made for a keystroke


def test_what_is_not_finished_is_told_quietly_and_shown_so_far(desk):
    desk.text.value = "8th F4 A4 C5 e"
    assert desk.problem.value == ""
    assert "write E5" in desk.told.value
    assert len(desk.view.line.notes) == 3


def test_octaves_that_were_left_out_are_shown_and_the_text_stays_as_it_was_typed(desk):
    desk.text.value = "8th F Ab C"
    assert desk.problem.value == ""
    assert "nearest ones: F4 Ab4 C5<" in desk.told.value
    desk.text.value = "quarter F Ab C Eb"
    assert "nearest ones: quarter F4 Ab4 C5 Eb5<" in desk.told.value
    assert desk.text.value == "quarter F Ab C Eb"
    desk.text.value = "quarter F4 Ab4 C5 Eb5"
    assert "nearest" not in desk.told.value


def test_a_mistake_is_told_with_bar_place_and_proposal_and_the_last_good_picture_stays(desk):
    before = (desk.page.staff.value, desk.page.words.value, desk.page.table.value)
    wrong = TEXT.replace("B4 D5", "H4 D5")
    desk.text.value = wrong
    assert 'role="alert"' in desk.problem.value
    assert "bar 2, character 44" in desk.problem.value
    assert "write B4 or Bb4" in desk.problem.value
    assert desk.text.value == wrong
    assert (desk.page.staff.value, desk.page.words.value, desk.page.table.value) == before
    desk.text.value = TEXT
    assert desk.problem.value == ""


def test_staff_and_words_from_before_say_so_and_claim_nothing_of_the_text(asked):
    """The ♭13 stood in the text before the mistake, and was still to come beside it."""
    desk = line_desk("Eb", "b9 b13", "short", "8th F4 Ab4 C5 Eb5 Bb4 D5 Cb5 G5 | whole G4")
    assert desk.page.old.value == ""
    assert "G♭ (♭13) is still to come" in desk.page.words.value
    good = desk.page.staff.value
    desk.text.value = "8th F4 Ab4 C5 Eb5 Bb4 D5 Cb5 Gb4 | quater G4"
    assert "quater" in desk.problem.value
    assert "those of the last line that could be read" in desk.page.old.value
    assert "still to come" not in desk.page.words.value
    assert desk.page.staff.value == good
    desk.text.value = "8th F4 Ab4 C5 Eb5 Bb4 D5 Cb5 Gb4 | quarter G4"
    assert desk.page.old.value == ""
    assert desk.page.staff.value != good
    desk.mine.new.click()
    desk.text.value = "quater G4 A4"
    assert (desk.page.old.value, desk.problem.value != "") == ("", True)


@pytest.mark.parametrize("text", ["H4 F4 A4 | whole E4", "H4 ", "8th H4 F4"])
def test_of_notes_none_of_which_can_be_read_only_the_mistake_is_said(text, asked):
    desk = LineDesk("Eb", form="short")
    assert "No note yet" in desk.page.legend.value
    desk.text.value = text
    assert "H4" in desk.problem.value
    assert (desk.page.legend.value, desk.page.words.value) == ("", "")
    desk.text.value = ""
    assert "No note yet" in desk.page.legend.value
    assert "Write a first note" in desk.page.words.value


def test_markup_that_is_typed_stays_text(desk):
    desk.text.value = "8th <b>x</b> F4"
    assert "<b>" not in desk.problem.value
    assert "&lt;b&gt;" in desk.problem.value


def test_a_text_that_is_far_too_long_is_refused_and_stays(desk):
    desk.text.value = "8th " + "C5 " * 40_000
    assert "characters" in desk.problem.value
    assert len(desk.text.value) > 100_000


@pytest.mark.parametrize("form", FORMS)
def test_every_major_key_and_form_moves_the_line_and_shows_its_chords(tmp_path, asked, form):
    desk = line_desk(line=SHORT, form="short", book=tmp_path / "b.sqlite")
    desk.form.value = form
    for key in [key for key in KEYS if not key.is_minor]:
        desk.key.value = str(key)
        assert desk.problem.value == ""
        assert desk.over == two_five_one(key, form)
        assert (desk.key.value, desk.form.value) == (str(key), form)
        staff = texts(desk.page.staff.value)
        assert all(placed.chord.pretty in staff for placed in desk.over.chords)
        assert desk.view.reading.dominants[0].colour.name == "b9 13"
    desk.key.value, desk.form.value = "C major", "short"
    assert desk.text.value == SHORT


MINOR = [key for key in KEYS if key.is_minor]


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("keys", some_and_all(map(Key.parse, ("Am", "Bbm", "D#m")), MINOR))
def test_every_minor_key_and_form_shows_its_chords_under_notes_that_stay(
    tmp_path, asked, form, keys
):
    desk = line_desk(line=TEXT, book=tmp_path / "b.sqlite")
    for key in keys:
        desk.key.value, desk.form.value = "C major", "long"
        desk.text.value = TEXT
        desk.key.value = str(key)
        assert desk.text.value == TEXT
        assert "stayed as they are" in desk.told.value
        desk.form.value = form
        assert desk.over == two_five_one(key, form)
        assert desk.problem.value == ""


def test_every_colour_is_looked_for_in_the_line(desk):
    for row in COLOURS:
        desk.colour.value = row.name
        assert desk.view.colour is row
        assert desk.problem.value == ""
    desk.colour.value = "altered"
    assert "Over G7 you chose altered" in desk.page.words.value
    assert "D♯ or E♭" not in desk.page.words.value
    assert desk.text.value == TEXT


def test_every_reader_sees_it_written_for_them_and_the_text_stays_as_it_sounds(desk):
    seen = set()
    for _, reader in desk.reader.options:
        desk.reader.value = reader
        seen.add(re.search('aria-label="([^"]*)"', desk.page.staff.value)[1])
        assert desk.text.value == TEXT
        assert desk.problem.value == ""
    desk.reader.value = next(r for _, r in desk.reader.options if r.name == "E flat")
    assert "written for E flat" in desk.page.legend.value
    assert len(seen) >= 5  # guitar and concert differ in the octave, which the names tell too


def test_an_unchanged_line_leaves_the_staff_alone(desk):
    touched: list[object] = []
    desk.page.staff.observe(touched.append, "value")
    desk.text.value = TEXT + " "
    desk.text.value = TEXT + "  "
    assert touched == []


def test_hear_makes_a_player_of_what_is_seen_and_nothing_else_does(desk, asked):
    desk.hearing.hear.click()
    assert len(asked) == 1
    player = desk.hearing.player.shown
    desk.text.value = TEXT.replace("rest", "D5")
    desk.key.value = "Eb major"
    desk.colour.value = "b9"
    assert len(asked) == 1
    assert desk.hearing.player.shown is player  # what plays goes on playing
    assert "before your last change" in desk.hearing.note.value
    desk.hearing.hear.click()
    assert desk.hearing.note.value == ""
    (take,) = desk.hearing.player.shown
    assert "E♭ major" in take.label
    assert "coloured ♭9," in take.label


def test_undo_and_redo_bring_lines_back_with_their_chords(desk):
    desk.key.value = "F major"
    desk.form.value = "short"
    in_f = desk.text.value
    desk.mine.undo.click()
    desk.mine.undo.click()
    assert (desk.text.value, desk.key.value, desk.form.value) == (TEXT, "C major", "long")
    assert desk.mine.undo.disabled
    desk.mine.redo.click()
    desk.mine.redo.click()
    assert (desk.text.value, desk.key.value, desk.form.value) == (in_f, "F major", "short")
    assert desk.mine.redo.disabled


@pytest.mark.parametrize("text", ["8th F4 A4 all of it mine", SHORT])
def test_what_was_typed_stays_in_the_list_when_a_line_is_taken_over(desk, text):
    """Two lines taken over one after the other are one work: neither of them is the reader's."""
    desk.text.value = text
    mine = desk.mine.list.value
    desk.asking.write.click()
    takes = [row.children[1].children[1] for row in desk.asking.rows.children]
    for take, line in zip(takes[:2], desk.asking.lines, strict=False):
        take.click()
        assert desk.text.value == line.text
        assert desk.problem.value == ""
    assert len(desk.mine.list.options) == 3  # the example, the typed one, that of the two
    desk.mine.undo.click()
    assert desk.text.value == desk.asking.lines[0].text
    desk.text.value = f"{desk.asking.lines[0].text} rest"
    changed = desk.text.value
    takes[2].click()
    assert len(desk.mine.list.options) == 4
    assert "Yours stays in the list" in desk.mine.told.value
    shown = set()
    for _, number in desk.mine.list.options[1:]:
        desk.mine.list.value = number
        shown.add(desk.text.value)
    assert shown == {text, changed, desk.asking.lines[2].text}
    desk.mine.list.value = mine
    assert desk.text.value == text


# Asking.


def test_lines_are_written_over_the_chords_of_the_moment_each_with_staff_and_player(desk, asked):
    desk.key.value, desk.form.value = "Db major", "split"
    desk.asking.write.click()
    assert desk.asking.problem.value == ""
    assert len(desk.asking.lines) == 5
    for number, (line, row) in enumerate(
        zip(desk.asking.lines, desk.asking.rows.children, strict=True), 1
    ):
        assert line.progression == two_five_one("Db", "split")
        seen, heard = row.children
        assert "<svg" in seen.children[0].value
        player, take = heard.children
        assert f"line {number} in D♭ major" in player.value
        assert take.description == f"take line {number} over"
    assert len(asked) == 5


def test_the_same_seed_gives_the_same_lines_and_others_gives_others(desk):
    desk.asking.write.click()
    first = desk.asking.lines
    desk.asking.write.click()
    assert desk.asking.lines == first
    desk.asking.others.click()
    assert desk.asking.seed.value == 1
    assert desk.asking.lines != first
    desk.asking.seed.value = 9999
    desk.asking.others.click()
    assert desk.asking.seed.value == 0
    assert desk.asking.lines == first


@pytest.mark.parametrize(
    "name",
    [
        *("range", "density", "direction", "chromatic", "rests", "triplets", "spelling"),
        *("begins", "ends", "reach", "manner"),
    ],
)
def test_every_wish_of_every_list_gives_lines(tmp_path, asked, name):
    desk = line_desk("Eb", "b9", book=tmp_path / "b.sqlite")
    desk.asking.count.value = 2
    control = getattr(desk.asking, name)
    for wish in control.options:
        control.value = wish
        desk.asking.write.click()
        assert desk.asking.problem.value == "", wish
        low, high = desk.asking.wishes.compass
        pitches = [note.pitch.midi for line in desk.asking.lines for note in line.notes]
        assert low <= min(pitches) <= max(pitches) <= high


def test_a_range_that_is_typed_is_that_of_no_instrument(desk):
    desk.asking.range.value = "trumpet"
    assert (desk.asking.lowest.value, desk.asking.highest.value) == ("F#3", "Bb5")
    assert desk.asking.range.value == "trumpet"
    desk.asking.highest.value = "D5"
    assert desk.asking.range.value == "as typed"
    assert str(desk.asking.wishes.lowest) == "F#3"
    desk.asking.range.value = "most instruments"
    assert desk.asking.highest.value == "Bb5"


def test_first_and_last_notes_are_asked_for_by_name_or_degree(desk):
    desk.asking.start.value, desk.asking.landing.value = "F4", "3"
    desk.asking.count.value = 3
    desk.asking.write.click()
    assert {str(line.notes[0].pitch) for line in desk.asking.lines} == {"F4"}
    assert "E" in {str(line.notes[-1].pitch.note) for line in desk.asking.lines}


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("start", "H4", "not a note to start"),
        ("landing", "b3", "stands in the way"),
        ("lowest", "none", "not a pitch"),
        ("highest", "C4", "too narrow a range"),
    ],
)
def test_a_wish_that_cannot_be_met_is_told_and_the_last_lines_stay(desk, name, value, words):
    desk.asking.write.click()
    before = desk.asking.lines
    getattr(desk.asking, name).value = value
    desk.asking.write.click()
    assert words in desk.asking.problem.value
    assert desk.asking.lines == before
    assert len(desk.asking.rows.children) == 5
    assert getattr(desk.asking, name).value == value


def test_no_line_has_double_accidentals_and_readable_ones_no_f_flat(tmp_path, asked):
    """The b13 of A flat 7 is F flat by function; written lines never have a double flat.

    Lines are written by the rule of what reads well, so F flat is E in them nearly always.
    """
    desk = line_desk("Db", "altered", book=tmp_path / "b.sqlite")
    texts: dict[str, list[str]] = {"by function": [], "readable": []}
    for seed, spelling in product(range(3), texts):
        desk.asking.seed.value = seed
        desk.asking.spelling.value = spelling
        desk.asking.write.click()
        texts[spelling] += [line.text for line in desk.asking.lines]
    assert len(texts["readable"]) == len(texts["by function"]) == 15
    assert not any("bb" in text or "##" in text for text in texts["by function"])
    assert not any(name in text for text in texts["readable"] for name in ("bb", "Fb", "Cb"))


# Keeping.


def test_a_line_is_kept_with_name_colour_tags_and_notes(desk, tmp_path):
    keeping = desk.keeping
    keeping.name.value, keeping.tags.value = " Ida's turn ", "easy, falling"
    keeping.notes.value = "second chorus"
    keeping.keep.click()
    assert "filed under ♭9 13" in keeping.told.value
    phrase = PhraseBook(tmp_path / "thursday.sqlite").phrase("Ida's turn")
    assert phrase.line.text == TEXT
    assert (phrase.colour, phrase.form) == ("b9 13", "long")
    assert (phrase.tags, phrase.notes) == (("easy", "falling"), "second chorus")


def test_a_name_that_is_taken_is_replaced_only_if_that_is_ticked(desk, tmp_path):
    desk.keeping.name.value = "turn"
    desk.keeping.keep.click()
    desk.text.value = TEXT.replace("rest", "D5")
    desk.keeping.keep.click()
    assert "already" in desk.keeping.problem.value
    assert desk.keeping.told.value == ""
    book = PhraseBook(tmp_path / "thursday.sqlite")
    assert book.phrase("turn").line.text == TEXT
    desk.keeping.replace.value = True
    desk.keeping.keep.click()
    assert book.phrase("turn").line.text == desk.text.value
    assert not desk.keeping.replace.value


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"name": ""}, "not a name"),
        ({"book": "a\0b"}, "not a path"),
        ({"book": "no such folder/book"}, "no such folder"),
    ],
)
def test_what_cannot_be_kept_is_told_and_nothing_typed_is_lost(desk, change, words):
    desk.keeping.name.value, desk.keeping.notes.value = "turn", "mine"
    for name, value in change.items():
        getattr(desk.keeping, name).value = value
    desk.keeping.keep.click()
    assert words in desk.keeping.problem.value
    assert desk.keeping.notes.value == "mine"


def test_a_line_that_is_not_whole_is_neither_kept_nor_exported(desk, tmp_path):
    desk.text.value = "8th F4 A4 C5 E"
    desk.keeping.name.value = "half"
    desk.keeping.keep.click()
    desk.exporting.link.click()
    for room in (desk.keeping, desk.exporting):
        assert "cannot be read to its end" in room.problem.value
    assert not (tmp_path / "thursday.sqlite").exists()


def test_opening_the_desk_makes_no_book(desk, tmp_path):
    assert list(tmp_path.iterdir()) == []


def test_a_damaged_book_is_refused_with_words_and_left_as_it_is(desk, tmp_path):
    file = tmp_path / "thursday.sqlite"
    file.write_bytes(b"no book at all" * 100)
    desk.keeping.name.value = "turn"
    desk.keeping.keep.click()
    assert "no phrase book" in desk.keeping.problem.value
    assert file.read_bytes() == b"no book at all" * 100


# Exporting.


def test_every_kind_of_file_can_be_taken_away_in_a_link(desk):
    desk.reader.value = next(one for one in READERS if one.name == "B flat")
    names = []
    for _, kind in desk.exporting.kind.options:
        desk.exporting.kind.value = kind
        desk.exporting.link.click()
        assert desk.exporting.problem.value == ""
        names.append(re.search(r'download="([^"]*)"', desk.exporting.told.value)[1])
    assert len(set(names)) == len(names)
    assert names[:3] == [
        "line_in_C_major_B_flat.musicxml",
        "line_in_C_major_B_flat.mxl",
        "line_in_C_major_even_eighths.mid",
    ]


def test_a_file_is_written_to_a_path_and_never_over_another_one_unasked(desk, tmp_path):
    path = desk.exporting.path
    path.value = str(tmp_path / "turn")
    desk.exporting.write.click()
    file = tmp_path / "turn.musicxml"
    assert str(file) in desk.exporting.told.value
    first = file.read_bytes()
    desk.text.value = TEXT.replace("rest", "D5")
    desk.exporting.write.click()
    assert desk.exporting.told.value == ""
    assert "left as it is" in desk.exporting.problem.value
    assert file.read_bytes() == first
    desk.exporting.replace.value = True
    desk.exporting.write.click()
    assert file.read_bytes() != first
    path.value = ""
    desk.exporting.write.click()
    assert "not a path" in desk.exporting.problem.value


def test_a_link_and_what_was_said_go_when_the_line_or_its_sound_changes(desk):
    for change in (
        lambda: setattr(desk.text, "value", TEXT.replace("rest", "D5")),
        lambda: setattr(desk.key, "value", "D major"),
        lambda: setattr(desk.hearing.tempo, "value", 95),
        lambda: setattr(desk.reader, "value", desk.reader.options[1][1]),
    ):
        desk.exporting.link.click()
        assert "download=" in desk.exporting.told.value
        change()
        assert desk.exporting.told.value == ""
    desk.text.value = "8th F4 H4 "
    desk.keeping.keep.click()
    assert "cannot be read" in desk.keeping.problem.value
    desk.text.value = TEXT
    assert desk.keeping.problem.value == ""


# Opening files.


def test_a_score_is_opened_with_its_chords_and_the_line_before_can_be_brought_back(desk):
    line = Line.parse(SHORT, two_five_one("C", "short")).transposed("Eb")
    for ending in (".musicxml", ".mxl", ".mid"):
        desk.opening.file.value = uploaded(f"turn{ending}", line_bytes(line, ending))
        assert desk.opening.problem.value == ""
        assert desk.view.line.notes[0].pitch.midi == line.notes[0].pitch.midi
        assert f"turn{ending}" in desk.opening.told.value
        assert (desk.key.value, desk.form.value) == ("Eb major", "short")
        assert desk.opening.file.value == ()
        desk.mine.undo.click()
        assert desk.text.value == TEXT


def test_a_file_with_other_chords_is_shown_over_them(desk):
    over = Progression(Key.parse("F"), (Bar.even("F7"), Bar.even("Bb7"), Bar.even("F7")))
    line = Line.parse("whole A4 | Ab4 | A4", over)
    desk.opening.file.value = uploaded("vamp.musicxml", line_bytes(line, ".musicxml"))
    assert desk.form.value == ""
    assert desk.form.options[-1] == ("as it came: F7 | B♭7 | F7", "")
    desk.key.value = "Bb major"
    assert desk.text.value == "whole D5 | Db5 | D5"
    desk.form.value = "long"
    assert str(desk.over) == "Cm7 | F7 | Bbmaj7"
    assert len(desk.form.options) == 3


def test_a_file_can_be_set_over_the_chords_of_the_desk(desk):
    line = Line.parse("whole F4 | Ab4 | G4", two_five_one("C"))
    desk.opening.mine.value = True
    desk.key.value = "F major"
    desk.opening.file.value = uploaded("a.mid", line_bytes(line, ".mid"))
    assert desk.opening.problem.value == ""
    assert desk.over == two_five_one("F")
    assert [note.pitch.midi for note in desk.view.line.notes] == [65, 68, 67]


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("<i>x</i>.musicxml", b"no music"),
        ("cut.mid", b"MThd\x00\x00\x00\x06\x00\x01"),
        ("bomb.xml", b'<!DOCTYPE a [<!ENTITY b "bbbb"><!ENTITY c "&b;&b;">]><a>&c;</a>'),
        ("a.mxl", b"PK\x03\x04broken"),
        ("../../up.xml", b""),
    ],
)
def test_what_is_no_music_is_refused_with_words_and_the_line_stays(desk, name, content):
    desk.opening.file.value = uploaded(name, content)
    assert 'role="alert"' in desk.opening.problem.value
    assert "<i>" not in desk.opening.problem.value
    assert desk.text.value == TEXT
    assert desk.mine.undo.disabled


def test_a_file_is_opened_at_its_path(desk, tmp_path):
    line = Line.parse(SHORT, two_five_one("C", "short")).transposed("Ab")
    save_line(line, tmp_path / "turn.musicxml")
    desk.opening.path.value = f" {tmp_path / 'turn.musicxml'} "
    assert desk.opening.problem.value == ""
    assert desk.view.line == line
    for wrong, words in (("none.mid", "no such file"), ("\0", "not a path"), (tmp_path, "no such")):
        desk.opening.path.value = str(wrong)
        assert words in desk.opening.problem.value
        assert desk.opening.told.value == ""
        assert desk.view.line == line


def test_a_file_that_is_far_too_large_is_refused_in_words(desk, tmp_path):
    with (tmp_path / "large.musicxml").open("wb") as file:
        file.truncate(100_000_000)
    desk.opening.path.value = str(tmp_path / "large.musicxml")
    assert "100,000,000 bytes are too many" in desk.opening.problem.value
    assert "at most 10 MB" in desk.opening.file.tooltip


# The whole.


def test_every_control_has_a_label_of_its_own_room_and_nothing_plays_by_itself(desk):
    rooms = (desk, desk.hearing, desk.asking, desk.keeping, desk.exporting, desk.opening)
    for room in rooms:
        controls = [v for v in vars(room).values() if isinstance(v, CONTROLS)]
        labels = [control.description for control in controls]
        assert all(labels)
        assert len(set(labels)) == len(labels)
    desk.hearing.hear.click()
    assert desk.hearing.player.shown[0].label
    assert 'role="img"' in desk.page.staff.value
    assert "<title>" in desk.page.staff.value


def test_a_desk_opens_on_a_line_with_chords_of_its_own():
    line = Line.parse(SHORT, two_five_one("C", "short")).transposed("Gb")
    desk = line_desk("C", line=line, book="unused.sqlite")
    assert (desk.key.value, desk.form.value) == ("Gb major", "short")
    assert desk.view.line == line


def test_what_is_no_key_colour_or_form_is_refused_before_anything_is_shown():
    for wrong in ({"key": "H"}, {"colour": "blue"}, {"form": "endless"}):
        with pytest.raises(TheoryError, match=r"not a key|no such"):
            line_desk(**wrong)


def test_typing_never_makes_the_picture_smaller_than_what_was_typed(tmp_path, asked):
    desk = line_desk(book=tmp_path / "b.sqlite")
    counts = []
    for length in range(1, len(TEXT) + 1):
        desk.text.value = TEXT[:length]
        counts.append(len(desk.view.line.notes))
    assert all(b >= a for a, b in pairwise(counts))


# One idea in several colours, and ways into a short line.


def test_one_idea_is_seen_in_every_colour_and_sounds_back_to_back(desk, monkeypatch):
    played = []
    monkeypatch.setattr(
        demonstrating,
        "performance_html",
        lambda performance, **wishes: played.append(performance) or "<audio controls></audio>",
    )
    room = desk.demonstrating
    room.colours.value = "b9, b9 13, altered"
    room.write.click()
    assert room.problem.value == ""
    assert [row.name for row in room.idea.colours] == ["b9", "b9 13", "altered"]
    assert len(room.rows.children) == 3
    for row, name in zip(room.rows.children, ("♭9", "♭9 13", "altered"), strict=True):
        assert name in row.children[0].value
        assert "<svg" in row.children[0].value
    assert played[0].beats == 4 + room.idea.joined.progression.beats  # with a bar of count-in
    same = room.idea.lines
    room.led.value = True
    room.write.click()
    assert [line.text for line in room.idea.lines] != [line.text for line in same]
    room.exporting.kind.value = next(v for n, v in room.exporting.kind.options if n == "MusicXML")
    room.exporting.link.click()
    assert "one_idea_concert.musicxml" in room.exporting.told.value
    assert room.exporting.problem.value == ""


@pytest.mark.parametrize(
    ("colours", "words"), [("", "0 colours"), ("b9, green", "no such colour"), (" , ", "0 colours")]
)
def test_colours_that_are_none_are_told_and_the_last_idea_stays(desk, colours, words):
    room = desk.demonstrating
    room.colours.value = "b9, altered"
    room.write.click()
    before = room.idea
    room.colours.value = colours
    room.write.click()
    assert words in room.problem.value
    assert room.idea == before
    assert len(room.rows.children) == 2


def test_nothing_can_be_taken_away_before_an_idea_is_written(desk):
    desk.demonstrating.exporting.link.click()
    assert "no idea has been written yet" in desk.demonstrating.exporting.problem.value


def test_a_short_line_grows_and_is_taken_over(tmp_path, asked):
    desk = line_desk(form="short", line="8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4")
    room = desk.demonstrating
    room.grow.click()
    assert room.problem.value == ""
    names = [row.children[1].children[1].description for row in room.rows.children]
    assert names == [
        f"take {way} over" for way in ("guide tones", "scale run", "enclosure", "its own motif")
    ]
    room.rows.children[1].children[1].children[1].click()
    assert desk.text.value.endswith("G4 | A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4")
    assert desk.form.value == "long"
    desk.mine.undo.click()
    assert desk.form.value == "short"


def test_a_long_line_is_not_grown(desk):
    desk.demonstrating.grow.click()
    assert "not a phrase over a short ii-V-I" in desk.demonstrating.problem.value


def test_a_wish_for_time_that_cannot_be_kept_is_told(tmp_path, asked):
    over = Progression(Key.parse("C"), (Bar.even("G7"), Bar.even("C6")))
    desk = line_desk(line=Line(over, ()), book=tmp_path / "b.sqlite")
    desk.asking.begins.value = "after a rest"
    desk.asking.write.click()
    assert "the wish to begin after a rest stands in the way" in desk.asking.problem.value
