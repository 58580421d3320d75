"""Staves as pictures: what they say, and that they can stand together on a page."""

import re
import subprocess
import sys
import threading
import unicodedata
from dataclasses import replace
from fractions import Fraction
from itertools import product
from xml.etree import ElementTree

import pytest
from house import ROOT
from staves import staff
from sweeps import keys

from theorykit.errors import TheoryError
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.kinds import CHORD_KINDS
from theorykit.notes.note import Pitch
from theorykit.notes.reader import READERS
from theorykit.show.engraving import staff_svg
from theorykit.show.pictures import NOTE_MARKS, PAPER
from theorykit.tunes.progression import two_five_one
from theorykit.views.staves import PLAIN_BAR, BarMark, staff_of_line

SVG = "{http://www.w3.org/2000/svg}"


def tree(picture: str) -> ElementTree.Element:
    """Read a picture as XML."""
    return ElementTree.fromstring(picture)


def classed(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    """Return the groups of one class."""
    return [group for group in root.iter(f"{SVG}g") if group.get("class") == name]


def texts(root: ElementTree.Element, name: str) -> list[str]:
    """Return the texts in the groups of one class."""
    return [t.text for group in classed(root, name) for t in group.iter(f"{SVG}text")]


def marked_phrase(key: str = "C"):
    """Four notes: plain, two of the colour, the landing."""
    progression = two_five_one(key, "short")
    root = progression.chords[1].chord
    pitches = [Pitch(note, 4) for note in (*root.notes[:3], root.notes[1])]
    places = [(0, 1), (Fraction(5, 2), Fraction(1, 2)), (3, 1), (4, 4)]
    notes = [
        TimedNote(pitch, Fraction(start), Fraction(beats))
        for pitch, (start, beats) in zip(pitches, places, strict=True)
    ]
    labels = (("1",), ("♭9", "A♭"), ("♯11",), ("3",))
    marks = ("", "colour", "colour", "landing")
    return staff_of_line(Line(progression, tuple(notes)), labels=labels, marks=marks)


@pytest.mark.parametrize("key", keys(), ids=str)
def test_chord_symbols_are_printed_as_the_chord_prints_them(key):
    for form, one in product(("long", "split"), READERS[:3]):
        view = staff_of_line(Line(two_five_one(key, form), ()), reader=one)
        assert texts(tree(staff_svg(view)), "harm") == [chord.pretty for _, chord in view.chords]


@pytest.mark.parametrize("root", ["C", "Bb", "F#"])
def test_every_kind_is_printed_and_N_C_too(root):
    symbols = [root + row.symbol for row in CHORD_KINDS]
    symbols += [f"{root}7b9#11/Gb", f"{root}13#11no5", "N.C."]
    chords = [(4 * place, symbol) for place, symbol in enumerate(symbols)]
    view = staff("C5:4 " * len(symbols), bars=len(symbols), chords=chords)
    assert texts(tree(staff_svg(view)), "harm") == [Chord.parse(s).pretty for s in symbols]


def test_no_text_needs_the_music_font():
    view = staff("C5:4 Fb4:2 F##4:2", chords=[(0, "Bb7b9#11/Ab"), (4, "F#m7b5")], label="♭♭7")
    picture = staff_svg(view)
    said = [t.text or "" for t in tree(picture).iter(f"{SVG}text")]
    assert len(said) == 5
    assert all(unicodedata.category(letter) != "Co" for text in said for letter in text)
    assert "Leipzig" not in picture
    assert list(tree(picture).iter(f"{SVG}tspan")) == []


def test_labels_stand_under_their_notes_and_tell_the_marks():
    root = tree(staff_svg(marked_phrase()))
    notes = classed(root, "note")
    found = [[t.text for t in note.iter(f"{SVG}text")] for note in notes]
    assert found == [["1"], ["♭9", "A♭"], ["♯11"], ["3"]]
    assert [note.get("color", "").lower() for note in notes] == [
        "",
        NOTE_MARKS["colour"].fill,
        NOTE_MARKS["colour"].fill,
        NOTE_MARKS["landing"].fill,
    ]
    styles = [next(note.iter(f"{SVG}text")).attrib for note in notes]
    assert [
        (s.get("font-weight"), s.get("font-style"), s.get("text-decoration")) for s in styles
    ] == [
        (None, None, None),
        ("bold", None, "underline"),
        ("bold", None, "underline"),
        ("bold", "italic", None),
    ]


@pytest.mark.parametrize("name", ["E4", "D4", "C4", "B3", "G3"])
def test_no_label_touches_a_low_note(name):
    """In verovio's units: half a head is 90 high, a figure 0.73 of its size (DejaVu Sans)."""
    note = classed(tree(staff_svg(staff(f"{name}:4", bars=1, label="5"))), "note")[0]
    place = re.findall(r"[\d.]+", next(note.iter(f"{SVG}use")).attrib["transform"])
    text = next(note.iter(f"{SVG}text"))
    top = float(text.attrib["y"]) - 0.73 * float(text.attrib["font-size"])
    assert top - (float(place[1]) + 90) > (160 if name in ("E4", "D4") else 60)


def test_two_pictures_share_no_id_and_refer_to_their_own():
    pictures = [tree(staff_svg(marked_phrase(key))) for key in ("C", "C", "Db")]
    ids = [{e.get("id") for e in picture.iter() if e.get("id")} for picture in pictures]
    assert all(ids)
    assert not ids[0] & ids[1]
    assert not (ids[0] | ids[1]) & ids[2]
    for picture, own in zip(pictures, ids, strict=True):
        assert {use.get("href") for use in picture.iter(f"{SVG}use")} <= {f"#{one}" for one in own}
        assert len(list(picture.iter(f"{SVG}use"))) >= 10


def test_a_picture_says_in_words_what_it_shows():
    view = staff_of_line(Line(two_five_one("Bb minor"), ()))
    root = tree(staff_svg(view))
    assert root.get("role") == "img"
    assert root.get("aria-label") == root.findtext(f"{SVG}title") == view.alt
    assert "B♭ minor" in view.alt


def test_the_paper_is_light_and_the_ink_is_dark_whatever_the_page():
    picture = staff_svg(marked_phrase())
    card = tree(picture).find(f"{SVG}rect")
    assert card.get("fill") == PAPER
    assert float(card.get("rx")) > 0
    assert "<style" not in picture
    strokes = {e.get("stroke") for e in tree(picture).iter(f"{SVG}path") if e.get("stroke-width")}
    assert strokes == {"currentColor"}


def test_words_that_look_like_markup_stay_words():
    view = staff("C4:4", label="<b>&amp;")
    assert [t.text for t in tree(staff_svg(view)).iter(f"{SVG}text")] == ["<b>&amp;"]


@pytest.mark.parametrize("one", READERS, ids=lambda one: one.name)
def test_the_clef_is_the_readers(one):
    note = TimedNote(Pitch.parse("E4"), Fraction(0), Fraction(4))
    root = tree(staff_svg(staff_of_line(Line(two_five_one("C"), (note,)), reader=one)))
    (clef,) = classed(root, "clef")
    glyph = next(clef.iter(f"{SVG}use")).get("href")[1:]
    (drawn,) = [e for e in root.iter(f"{SVG}g") if e.get("id") == glyph]
    treble = tree(staff_svg(staff("C4:4")))
    first = next(classed(treble, "clef")[0].iter(f"{SVG}use")).get("href")[1:]
    (same,) = [e for e in treble.iter(f"{SVG}g") if e.get("id") == first]
    assert (drawn[0].get("d") == same[0].get("d")) == (one.clef == "treble")


# Lines of music.


def tune(bars: int = 32):
    """A tune of eighths, two chords a bar."""
    chords = [(2 * place, ("Dm7", "G7b9")[place % 2]) for place in range(2 * bars)]
    return staff("C5:1/2 " * 8 * bars, bars=bars, chords=chords, label="♭7")


def test_a_long_line_is_broken_between_bars_and_fills_the_width():
    root = tree(staff_svg(tune(), width=900))
    systems = classed(root, "system")
    assert len(systems) > 4
    assert sum(len(classed(system, "measure")) for system in systems) == 32
    assert float(root.get("width")) == pytest.approx(900, abs=1)
    ends = [_right(system) for system in systems[:-1]]
    assert max(ends) - min(ends) < 60  # in units of which 180 are one space


def _right(system: ElementTree.Element) -> float:
    """Return the right end of the lines of a system."""
    path = classed(system, "staff")[-1].find(f"{SVG}path").get("d")
    return float(re.findall(r"[\d.]+", path)[2])


@pytest.mark.parametrize(("per_line", "counts"), [(4, [4, 4, 4]), (5, [5, 5, 2])])
def test_a_line_can_hold_a_number_of_bars(per_line, counts):
    root = tree(staff_svg(tune(12), width=1400, bars_per_line=per_line))
    systems = classed(root, "system")
    assert [len(classed(system, "measure")) for system in systems] == counts


def test_a_pickup_belongs_to_the_first_line():
    view = staff("G4:1 " + "C5:4 " * 8, bars=8, start=Fraction(-1))
    systems = classed(tree(staff_svg(view, width=1200, bars_per_line=4)), "system")
    assert [len(classed(system, "measure")) for system in systems] == [5, 4]


def test_without_a_width_all_stands_on_one_line_and_scale_is_size():
    small, large = (tree(staff_svg(tune(8), scale=scale)) for scale in (30, 60))
    assert [len(classed(root, "system")) for root in (small, large)] == [1, 1]
    inside = [float(root.get("width")) - 28 for root in (small, large)]
    assert inside[1] / inside[0] == pytest.approx(2, rel=0.01)


def test_one_size_leaves_no_trace_in_the_next():
    before = tree(staff_svg(marked_phrase())).get("width")
    staff_svg(tune(), width=600, bars_per_line=4)
    assert tree(staff_svg(marked_phrase())).get("width") == before


def test_an_empty_staff_shows_no_rests():
    empty = tree(staff_svg(staff("", chords=[(0, "Dm7"), (4, "G7"), (6, "Db7")])))
    assert classed(empty, "mRest") == []
    assert texts(empty, "harm") == ["Dm7", "G7", "D♭7"]
    assert classed(tree(staff_svg(staff("C4:4"))), "mRest") != []


@pytest.mark.parametrize("wish", [{"scale": 0}, {"width": 20}, {"width": 900, "bars_per_line": 0}])
def test_sizes_that_nobody_could_read_are_refused(wish):
    with pytest.raises(TheoryError, match="out of range"):
        staff_svg(staff("C4:4"), **wish)


def test_what_cannot_be_written_is_refused_before_anything_is_drawn():
    with pytest.raises(TheoryError, match="no note value"):
        staff_svg(staff("C4:1/5"))


def test_a_control_that_answers_in_another_thread_draws_the_same_picture():
    """JupyterLab runs the callbacks of widgets beside the cells, in a thread of their own."""
    view = staff_of_line(Line(two_five_one("F#"), ()))
    here = staff_svg(view)
    there: list[str] = []
    for _ in range(2):
        thread = threading.Thread(target=lambda: there.append(staff_svg(view)))
        thread.start()
        thread.join()
    assert [re.sub(r"id=\"[^\"]*\"|#[\w-]+", "", one) for one in there] == [
        re.sub(r"id=\"[^\"]*\"|#[\w-]+", "", here)
    ] * 2


def test_a_single_line_asked_for_by_its_bars_fills_the_width_in_silence(capfd):
    picture = staff_svg(staff("F4:4"), width=900, bars_per_line=4)
    assert capfd.readouterr().err == ""
    right = max(float(x) for x in re.findall(r'd="M[\d.]+ [\d.]+ L([\d.]+) ', picture))
    assert right * 0.04 == pytest.approx(900 - 2 * 14, rel=0.01)  # scale 40, in pixels


def test_lines_may_have_bars_of_their_own_number(capfd):
    view = staff("F4:4 " * 7, bars=7)
    picture = staff_svg(view, width=700, bars_per_line=(3, 1, 3))
    lines = picture.split('class="system"')[1:]
    assert [line.count('class="measure"') for line in lines] == [3, 1, 3]
    assert capfd.readouterr().err == ""
    with pytest.raises(TheoryError, match=r"lines of \(3, 3\) bars \(want 7 bars in all\)"):
        staff_svg(view, width=700, bars_per_line=(3, 3))


@pytest.mark.parametrize("counts", [(3,), (1, 2), (2, 1)])
def test_a_pickup_stands_on_the_first_line_before_its_bar(counts):
    """Common practice: the notes before the first bar line never have a line of their own."""
    for key, note in (("C", "E4"), ("Db", "F4"), ("F#", "A#4"), ("Bb minor", "Db5")):
        line = Line.parse(f"pickup 8th {note} | whole {note} | {note} | {note}", two_five_one(key))
        picture = staff_svg(staff_of_line(line), width=700, bars_per_line=counts)
        first, *others = picture.split('class="system"')[1:]
        assert first.count('class="measure"') == 1 + counts[0]
        assert [one.count('class="measure"') for one in others] == list(counts[1:])


def test_the_first_staff_of_a_process_may_be_drawn_in_another_thread():
    """JupyterLab answers controls in another thread than the cell that imported the library."""
    script = (
        "import threading\n"
        "from theorykit.show.engraving.engraved_staff import staff_svg\n"
        "from theorykit.views.explorer_view import explore\n"
        "drawn = []\n"
        "act = lambda: drawn.append(staff_svg(explore('C').staff))\n"
        "other = threading.Thread(target=act)\n"
        "other.start(); other.join(); act()\n"
        "assert [picture.count('<use') for picture in drawn] == [drawn[1].count('<use')] * 2\n"
    )
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


def test_the_number_of_a_bar_hangs_out_where_its_section_begins_a_line():
    marks = (BarMark("A"), PLAIN_BAR, BarMark("B"))
    view = replace(staff("F4:4 F4:4 F4:4"), marks=marks)
    in_lines = staff_svg(view, width=700, bars_per_line=2)
    in_one = staff_svg(view)
    numbers = re.compile(r'<g class="mNum"><text ([^>]*)>(\d)</text>')
    assert [(n, "end" in a) for a, n in numbers.findall(in_lines)] == [("3", True)]
    assert [n for _, n in numbers.findall(in_one)] == ["3"]


def covered(text):
    """About what a text covers: left, top, right, bottom, in the units of the picture."""
    x, y, size = (float(text.attrib[name]) for name in ("x", "y", "font-size"))
    wide = 0.6 * size * len(text.text)
    left = x - wide * {"middle": 0.5, "end": 1}.get(text.get("text-anchor"), 0)
    return left, y - 0.8 * size, left + wide, y


def framed(box):
    """What a box covers."""
    x, y, wide, high = (float(box.attrib[name]) for name in ("x", "y", "width", "height"))
    return x, y, x + wide, y + high


def test_the_number_of_a_bar_meets_no_chord_symbol_and_no_box():
    """In one line, in several, and where a chord comes right before the section or with it."""
    marks = (BarMark("A"), BarMark("B"), BarMark("C"))
    plain = staff("F4:4 F4:4 F4:4")
    beats = [Fraction(n, 2) for n in (0, 7, 8, 11, 15, 16)]
    for first, last in product((1, 99), ("Abm7", "F#7b9b13")):
        chords = tuple((beat, Chord.parse(last)) for beat in beats)
        view = replace(plain, marks=marks, chords=chords, first=first)
        for width in (None, 500, 700, 900):
            picture = re.sub(r' xmlns="[^"]*"', "", staff_svg(view, width=width))
            root = ElementTree.fromstring(picture)
            groups = [group for group in root.iter("g") if group.get("class") == "reh"]
            (moved,) = (g for g in root.iter("g") if g.get("class") == "page-margin")
            margin = float(moved.attrib["transform"].rpartition(",")[2].rstrip(") "))
            inner = [one for group in groups for one in group.iter("g") if one is not group]
            numbers = [text for one in inner for text in one.iter("text")]
            assert len(numbers) >= 2
            others = [t for t in root.iter("text") if "x" in t.attrib and t not in numbers]
            boxes = [framed(box) for group in groups for box in group.iter("rect")]
            areas = [*map(covered, others), *boxes]
            for left, top, right, bottom in map(covered, numbers):
                assert top + margin >= 0
                assert not any(
                    left < r and x < right and top < b and y < bottom for x, y, r, b in areas
                )


@pytest.mark.parametrize("bars", [2, 8, 9])
def test_a_staff_drawn_twice_is_the_same_but_for_its_ids(bars: int):
    view = replace(marked_phrase("Db"), bars=(Fraction(4),) * bars)
    one, two = staff_svg(view), staff_svg(view)
    ids = re.compile(r"p[0-9a-f]{12}-")
    assert not {*ids.findall(one)} & {*ids.findall(two)}
    assert len({*ids.findall(two)}) == 1
    assert ids.sub("", one) == ids.sub("", two)
    named = {e.get("id") for e in ElementTree.fromstring(two).iter() if "id" in e.attrib}
    used = {e.get("href", "#")[1:] for e in ElementTree.fromstring(two).iter()} - {""}
    assert used
    assert used <= named
