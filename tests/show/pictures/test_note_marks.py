"""One mark means one thing: every picture takes its marks from one table, by the same roles."""

import re
from xml.etree import ElementTree

import pytest
from sweeps import keys
from together import together

from theorykit import COLOURS, Chord, Degree, Treatment, evidence, resolve
from theorykit.harmony.substitution import substitutes
from theorykit.harmony.tensions import MARKS, ROLES, role_over
from theorykit.show.engraving import musicxml, staff_svg
from theorykit.show.pictures import NOTE_MARKS, staff_words
from theorykit.show.pictures.clock_picture import clock_picture
from theorykit.show.pictures.keyboard_picture import keyboard_picture
from theorykit.show.pictures.marks import Label, Marker, Stroke, outline
from theorykit.show.pictures.motion_picture import motion_picture
from theorykit.show.pictures.table_pictures import counts_picture
from theorykit.show.pictures.tune_picture import tune_grid_picture
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import cadence_chords
from theorykit.views.clock import clock_of
from theorykit.views.counts import counts_of
from theorykit.views.explorer_view import explore
from theorykit.views.identification_view import identification
from theorykit.views.motion import motion_of
from theorykit.views.substitutes_view import substitution
from theorykit.views.tune_page import tune_grid

FILLS = {row.fill: role for role, row in NOTE_MARKS.items()}
SHAPES = {row.shape: role for role, row in NOTE_MARKS.items()}


def told(picture) -> set[tuple[str, str]]:
    """Degrees in the shapes of a picture, each with the role that shape and colour agree on."""
    texts = {(m.x, m.y): [] for m in picture.marks if isinstance(m, Marker) and m.fill in FILLS}
    for label in (m for m in picture.marks if isinstance(m, Label) and m.fill == "#ffffff"):
        x, y = min(texts, key=lambda at: abs(at[0] - label.x) + abs(at[1] - label.y))
        if abs(x - label.x) < 0.01 and 0 < label.y - y < label.size:
            texts[x, y].append(label.text)
    found = set()
    for marker in (m for m in picture.marks if isinstance(m, Marker) and m.fill in FILLS):
        assert FILLS[marker.fill] == SHAPES[marker.shape]  # never the shape of another
        found |= {(text, FILLS[marker.fill]) for text in texts[marker.x, marker.y]}
    return found


def over_v(view) -> set[tuple[str, str]]:
    """Degrees of the short notes over V on a staff, with their marks; no mark is a chord tone."""
    short = [note for note in view.notes if note.beats < 1]
    return {(note.labels[0], note.mark or "chord") for note in short if note.mark != "landing"}


def test_the_table_has_a_row_for_every_role_and_nothing_twice():
    rows = NOTE_MARKS.values()
    assert tuple(NOTE_MARKS) == ROLES
    assert ("", *ROLES[1:]) == MARKS
    for what in ("words", "shape", "sign", "fill", "style", "set_"):
        assert len({getattr(row, what) for row in rows}) == len(ROLES), what
    corners = [len(outline(Marker(0, 0, 8, row.shape, ""))) for row in rows]
    assert corners == [0, 4, 4, 5]


# By hand, over G7 to a major I (Wikipedia, *Upper structure*: the 11 and the natural 7 rub).
BY_HAND = {
    **dict.fromkeys("1 3 5 b7".split(), "chord"),
    **dict.fromkeys("b9 9 #9 #11 b13 13".split(), "colour"),
    **dict.fromkeys("11 7".split(), "outside"),
}


@together(("degree", "role"), BY_HAND.items())
def test_the_role_of_each_of_the_twelve_over_a_dominant(degree, role):
    assert role_over(Chord.parse("G7"), Degree.parse(degree)) == role


@pytest.mark.parametrize("key", keys())
def test_a_degree_has_the_same_mark_on_staff_keyboard_clock_and_motion(key):
    _, v, one = cadence_chords(key)
    for row in COLOURS:
        view = explore(key, "long", row)
        keyboard = told(keyboard_picture(view.keyboard))
        pictures = {
            "staff": over_v(view.staff),
            "clock": told(clock_picture(clock_of(v, row, None, one))),
            "motion": {
                (text, role)
                for text, role in told(motion_picture(motion_of(view.resolution)))
                if role != "landing"
            },
        }
        roles = dict(keyboard)
        assert len(roles) == len(keyboard), (key, row.name)
        for name, found in pictures.items():
            for degree, role in found:
                assert roles.setdefault(degree, role) == role, (str(key), row.name, name, degree)


@pytest.mark.parametrize("key", keys())
def test_a_substitute_has_the_same_marks_on_staff_keyboard_and_clock(key):
    _, v, one = cadence_chords(key)
    for name in (found.name for found in substitutes(v, one)):
        view = substitution(key, name)
        roles = dict(told(clock_picture(view.clock)))
        for degree, role in told(keyboard_picture(view.keyboard)):
            assert roles[degree] == role, (str(key), name, degree)


def test_what_rubs_is_marked_where_a_player_brings_it():
    for notes, role in (("E C", "outside"), ("F A C", "colour")):  # the second one is suspended
        view = identification(notes, "G7", "C")
        assert view.motion is not None
        assert [note.mark for note in view.staff.notes][-2:] == [role, "landing"]
        assert ("11", role) in told(keyboard_picture(view.keyboard))
        assert ("11", role) in told(motion_picture(view.motion))
    related = explore("C", "long", "its related ii")
    assert ("7", "outside") in over_v(related.staff) & told(keyboard_picture(related.keyboard))


def test_the_notes_of_the_next_chord_are_landings_in_the_motion_as_on_the_staff():
    picture = motion_picture(motion_of(resolve("G7", "b9", "C")))
    right = [m for m in picture.marks if isinstance(m, Marker) and m.x == 370]
    landing = NOTE_MARKS["landing"]
    assert {(m.shape, m.fill) for m in right} == {(landing.shape, landing.fill)}
    assert landing.fill.upper() in staff_svg(explore("C").staff)


def test_labels_are_set_by_the_table_in_picture_and_file():
    view = explore("C", "long", "its related ii").staff
    root = ElementTree.fromstring(staff_svg(view))
    lines = {"underline": "colour", "overline": "outside"}
    drawn = {
        text.text: lines[text.get("text-decoration")]
        for text in root.iter("{http://www.w3.org/2000/svg}text")
        if text.get("text-decoration")
    }
    marked = {n.labels[0]: n.mark for n in view.notes if n.mark in lines.values()}
    assert drawn == marked
    assert set(marked.values()) == set(lines.values())
    for text in ElementTree.fromstring(re.sub("<!DOCTYPE.*?>", "", musicxml(view))).iter("text"):
        mark = marked.get(text.text or "")
        if mark:
            assert dict(NOTE_MARKS[mark].style).items() <= text.attrib.items()
            assert text.get("color") == NOTE_MARKS[mark].fill.upper()


def test_what_is_no_note_has_the_colour_of_none():
    bars = counts_picture(counts_of([evidence("b9"), evidence("9")]))
    assert not {getattr(m, "fill", "") for m in bars.marks} & set(FILLS)
    clock = clock_picture(clock_of("G7", "b9", "Db7"))
    assert not {m.colour for m in clock.marks if isinstance(m, Stroke)} & set(FILLS)


def test_in_the_grid_of_a_tune_what_lands_is_green_and_what_was_coloured_is_underlined():
    chart = Chart.of("C", "Dm7", "G7", "C6", "Am7")
    picture = tune_grid_picture(tune_grid(chart, Treatment.proposed(chart)))
    strokes = {m.colour for m in picture.marks if isinstance(m, Stroke)}
    assert {NOTE_MARKS["landing"].fill, NOTE_MARKS["colour"].fill} <= strokes
    coloured = [m for m in picture.marks if isinstance(m, Label)]
    assert {m.fill for m in coloured} & set(FILLS) == {NOTE_MARKS["colour"].fill}


def test_words_say_how_labels_are_set():
    assert staff_words() == (
        "the colour underlined, what rubs with a line above, the landing slanted"
    )
