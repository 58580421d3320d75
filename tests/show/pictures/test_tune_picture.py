"""The grid of a tune drawn: everything inside the sheet, nothing over anything else."""

from __future__ import annotations

import re
from itertools import combinations
from xml.etree import ElementTree

import pytest
from house import ROOT
from matplotlib.ft2font import FT2Font

from theorykit.notes.key import Key
from theorykit.notes.note import Note
from theorykit.show.pictures import NOTE_MARKS, picture_axes, picture_svg
from theorykit.show.pictures.figure_painter import UNITS_AN_INCH, font_folder
from theorykit.show.pictures.marks import Area, Label, Picture, Stroke, text_width
from theorykit.show.pictures.picture_colours import FADED, INK, contrast
from theorykit.show.pictures.tune_brackets import JUMP_SIZE, LONG, THIN
from theorykit.show.pictures.tune_picture import (
    CELL,
    CHORD,
    JOB,
    WHITE,
    chord_width,
    margin_of,
    set_words,
    tune_grid_picture,
    tune_grid_pictures,
)
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment
from theorykit.views.tune_page import tune_grid
from theorykit.views.tune_page.tune_bars import grid_bars

SVG = "{http://www.w3.org/2000/svg}"
TUNES = sorted((ROOT / "workbook" / "tunes").glob("*.txt"))
CROWDED = Chart.parse(
    "title: Crowded\n\n[Bridge of boards]\n|: Bbm7b5 Eb7#9b13 Abm(maj7) Db13#11 | "
    "Dm7b5/Ab / G7alt / | 3/4 C#m7b5 / F#7b9b13 | 1. 6/8 Bb7sus4b9 Eb7alt :| 2. 4/4 C6/9 | % |"
)

JUMPS = (
    "title: Round the pond\n\n[A]\n|: segno Ebmaj7 | Cm7 | 1. Fm7 | Bb7 :| 2. Fm7 Bb7 | "
    "Eb6 to coda |\n[Bridge of boards]\n| Bbm7 | Eb7 | Abmaj7 | % D.S. |\n[Coda]\n|: Fm7 | "
    "Bb7 :| x3 Eb6 | % |",
    "title: Beside a long name\n\n[Bridge of boards and of many long names]\n| segno C to coda | "
    "F | % | G7 D.S. al coda |\n[Out]\n| coda Am | F fine |",
    "title: All in one bar\n\n| C | segno F to coda D.S. al coda | coda G | C |",
    "title: Back to bar one\n\n[A]\n| C | F | G7 | % fine |\n[B]\n| Dm7 | G7 D.C. al fine |",
)


def views():
    """The tunes as written and treated, and a crowded chart."""
    for chart in (*(Chart.parse(f.read_text(encoding="utf-8")) for f in TUNES), CROWDED):
        yield tune_grid(chart, chosen=1)
        yield tune_grid(chart, Treatment.proposed(chart, level="third", variety=4))


VIEWS = [*views(), *(tune_grid(Chart.parse(text)) for text in JUMPS)]
each = pytest.mark.parametrize("view", VIEWS, ids=lambda v: v.title)


def labels(picture) -> list[Label]:
    """The texts of a picture."""
    return [mark for mark in picture.marks if isinstance(mark, Label)]


@each
def test_screen_and_paper_say_the_same(view):
    root = ElementTree.fromstring(picture_svg(view))
    drawn = [text.text for text in root.iter(f"{SVG}text")]
    figure = picture_axes(view)
    assert drawn == [text.get_text() for text in figure.texts]
    assert root.get("aria-label") == figure.get_label() == view.alt
    assert root.get("role") == "img"
    assert not [one for one in root.iter() if one.get("id")]


@each
def test_everything_lies_on_the_sheet(view):
    picture = tune_grid_picture(view)
    for mark in picture.marks:
        points = mark.points if isinstance(mark, Stroke | Area) else ((mark.x, mark.y),)
        for x, y in points:
            assert 0 <= x <= picture.width
            assert 0 <= y <= picture.height


@each
def test_no_two_chords_of_a_row_run_together_and_none_leaves_its_bar(view):
    picture = tune_grid_picture(view)
    words = {word.text for bar in view.bars for word in bar.words}
    chords = [label for label in labels(picture) if label.text in words and label.size > 8.9]
    spans = [(c.y, c.x, c.x + chord_width(c.text, c.size)) for c in chords if c.bold]
    for (y, left, right), (v, start, end) in combinations(spans, 2):
        assert y != v or right <= start or end <= left
    margin = margin_of(view)
    for _, left, right in spans:
        cell = (left - margin) // CELL
        assert cell >= 0
        assert right <= margin + CELL * (cell + 1)


@each
def test_words_under_brackets_do_not_run_together(view):
    picture = tune_grid_picture(view)
    said = [one.label for one in view.brackets if one.label]
    under = [label for label in labels(picture) if label.text in said and label.size == 11.5]
    assert len(under) == len(said)
    for one, other in combinations(under, 2):
        if one.y == other.y:
            first, second = sorted((one, other), key=lambda label: label.x)
            assert first.x + 0.5 * first.size * len(first.text) <= second.x


def test_every_text_can_be_read_on_the_paper():
    for view in VIEWS:
        for label in labels(tune_grid_picture(view)):
            assert contrast(label.fill, WHITE) >= 4.5
            assert label.size >= 9


def test_kinds_are_told_apart_without_colour():
    """Long by its thickness and bold words, the substitute by dashes, the back door by dots."""
    waltz = ROOT / "workbook" / "tunes" / "rain_on_the_skylight.txt"
    view = tune_grid(Chart.parse(waltz.read_text(encoding="utf-8")))
    picture = tune_grid_picture(view)
    lines = {
        (m.width, m.dash)
        for m in picture.marks
        if isinstance(m, Stroke) and m.width in (LONG, THIN)
    }
    assert (LONG, ()) in lines
    assert (THIN, ()) in lines
    assert len({dash for _, dash in lines if dash}) == 2
    bold = {label.text: label.bold for label in labels(picture)}
    assert bold["2  ii-V-I G, long"]
    assert not bold["4  ii-V-I C, short"]
    legend = [label.text for label in labels(picture)][-6:]
    assert legend == [
        "to the I",
        "no I",
        "long: a bar of ii, a bar of V",
        "long, no I",
        "the V is a tritone substitute",
        "the V comes by the back door",
    ]


def _crosses_itself(stroke: Stroke, picture: Picture) -> bool:
    """Tell whether an upright piece stands above and below the end of a level line."""
    (x, top), (end, foot) = stroke.points[-2:]
    levels = [m.points[:2] for m in picture.marks if isinstance(m, Stroke) and len(m.points) > 1]
    return x == end and any(
        y == level and after == x and min(top, foot) < y < max(top, foot)
        for (_, y), (after, level) in levels
    )


def test_the_legend_has_every_line_of_the_grid():
    """The thick grey bracket and the thin green arrow were not in it."""
    for view in VIEWS:
        picture = tune_grid_picture(view)
        drawn = {(mark.is_long, mark.lands) for mark in view.marks}
        told = {label.text for label in labels(picture)}
        assert ("to the I" in told) == ((False, True) in drawn)
        assert ("no I" in told) == any(not lands for _, lands in drawn)
        assert any(word.startswith("long: ") for word in told) == any(long for long, _ in drawn)
        assert ("long, no I" in told) == ({(True, True), (True, False)} <= drawn)


GREY, DOTTED = "no I", "until the I comes"


@pytest.mark.parametrize(
    ("bars", "told"),
    [
        (("Dm7", "G7", "C6"), set()),
        (("Dm7", "G7", "Fm6", "C6"), {GREY}),
        (("Dm7", "G7", "F#dim7", "C6"), {DOTTED}),
    ],
)
def test_the_legend_says_what_grey_and_dotted_lines_are_where_they_stand(bars, told):
    """The green ones were told, and the grey ones of the same grid were not."""
    picture = tune_grid_picture(tune_grid(Chart.of("C", *bars)))
    words = {label.text for label in labels(picture)}
    assert words & {GREY, DOTTED} == told
    colours = {m.colour for m in picture.marks if isinstance(m, Stroke) and m.width == THIN}
    assert (FADED in colours) == (GREY in told)
    # and without colour: a bar stands across the end of a line to no I, in the grid and the legend
    across = [m for m in picture.marks if isinstance(m, Stroke) and _crosses_itself(m, picture)]
    assert len(across) == 2 * (GREY in told)


def test_what_a_treatment_changed_is_underlined():
    chart = Chart.of("Eb", "Fm7", "Bb7", "Ebmaj7")
    plain = tune_grid_picture(tune_grid(chart))
    treated = tune_grid_picture(tune_grid(chart, Treatment.proposed(chart)))
    lines = [
        sum(isinstance(m, Stroke) and m.width == 1.6 for m in p.marks) for p in (plain, treated)
    ]
    assert lines == [0, 3]  # the ii, the V, and the sample in the legend


def test_the_chosen_cadence_has_a_ground_and_bold_words():
    chart = Chart.of("C", "Dm7 G7", "C6", "Fm7 Bb7", "Eb6")
    grounds = [
        m for m in tune_grid_picture(tune_grid(chart, chosen=2)).marks if isinstance(m, Area)
    ]
    arrows, ground = grounds[1:], grounds[0]
    assert len(ground.points) == 4
    assert len(arrows) == 2
    assert not [
        m for m in tune_grid_picture(tune_grid(chart)).marks if len(getattr(m, "points", ())) == 4
    ]


@each
def test_segno_coda_fine_and_jumps_stand_clear_of_numbers_and_one_another(view):
    picture = tune_grid_picture(view)
    said = [words for bar in view.bars for words in (", ".join(bar.heads), ", ".join(bar.ends))]
    found = [label for label in labels(picture) if label.text in said and label.size == JUMP_SIZE]
    assert len(found) == len([words for words in said if words])
    spans = []
    for label in found:
        wide = text_width(label.text, label.size)
        start = label.x - wide if label.anchor == "end" else label.x
        spans.append((start, start + wide, label.y - label.size, label.y + 3))
    margin = margin_of(view)
    others = [one for one in labels(picture) if one not in found and one.x >= margin]
    others = [one for one in others if one.size < 14]
    numbers = [(o.x, o.x + 1, o.y - o.size * 0.75, o.y) for o in others]
    for one, other in combinations(spans, 2):
        assert apart(one, other)
    assert all(apart(one, number) for one in spans for number in numbers)


def apart(one, other) -> bool:
    """Tell whether two boxes (left, right, top, bottom) do not meet."""
    beside = one[1] <= other[0] or other[1] <= one[0]
    return beside or one[3] <= other[2] or other[3] <= one[2]


def test_where_players_leave_the_bar_line_is_double():
    def uprights(text: str) -> int:
        marks = tune_grid_picture(tune_grid(Chart.parse(text))).marks
        return sum(isinstance(m, Stroke) and m.points[0][0] == m.points[1][0] for m in marks)

    plain = uprights("| C | F | G |")
    assert uprights("| C to coda | F D.C. | coda G |") == plain + 2
    assert uprights("| C | F fine | G D.C. |") == plain + 1  # the last bar has its final line


def test_repeats_and_endings_are_drawn():
    picture = tune_grid_picture(tune_grid(Chart.parse("|: C | F | 1. G :| x3 2.3. Am |")))
    texts = [label.text for label in labels(picture)]
    assert "1." in texts
    assert "2.3." in texts
    dots = [mark for mark in picture.marks if type(mark).__name__ == "Marker"]
    assert len(dots) == 4


def test_a_chart_of_strange_words_is_escaped():
    chart = Chart.parse('title: <b>&"\n\n| C |')
    svg = picture_svg(tune_grid(chart))
    assert "<b>" not in svg
    assert ElementTree.fromstring(svg) is not None
    assert re.search("&lt;b&gt;", svg)


def test_long_names_stay_on_their_beats_or_begin_earlier_and_shrink_last():
    bars = grid_bars(CROWDED)
    for bar in bars:
        size, places = set_words(bar.words, 9, 183, 0, 188)
        assert places == sorted(places)
        assert 9 <= size <= CHORD
    size, places = set_words(bars[-2].words, 9, 183, 0, 188)
    assert (size, places) == (CHORD, [9])


@each
def test_the_ground_is_white_and_names_of_sections_stand_in_the_margin(view):
    picture = tune_grid_picture(view)
    assert picture.paper == WHITE == "#ffffff"
    assert f'rx="8" fill="{WHITE}"' in picture_svg(view)
    margin = margin_of(view)
    inside = [label for label in labels(picture) if label.x == 0]
    names = [bar.section for bar in view.bars if bar.section]
    assert " ".join(label.text for label in inside) == " ".join(" ".join(names).split())
    for label in inside:
        assert label.x + text_width(label.text, label.size) <= margin - 6
    strokes = [m for m in picture.marks if isinstance(m, Stroke)]
    assert not [m for m in strokes if m.closed]  # no boxes
    assert min(x for m in strokes for x, _ in m.points) >= margin
    for one, other in combinations(inside, 2):
        assert abs(one.y - other.y) >= min(one.size, other.size)


def test_a_row_has_four_bars_and_stands_on_a_line_of_its_own():
    picture = tune_grid_picture(tune_grid(Chart.of("C", *["C"] * 6)))
    floors = [
        m.points
        for m in picture.marks
        if isinstance(m, Stroke) and m.colour == "#8a8a8a" and m.points[0][1] == m.points[1][1]
    ]
    assert [round((b[0] - a[0]) / CELL) for a, b in floors] == [4, 2]


@each
def test_without_being_asked_for_no_job_is_told(view):
    assert not any(word.job for bar in view.bars for word in bar.words)
    assert not [label for label in labels(tune_grid_picture(view)) if label.size == JOB]


@pytest.mark.parametrize("file", TUNES, ids=lambda file: file.stem)
def test_jobs_stand_under_their_chords_in_lines_that_touch_nothing(file):
    """Widths by the measure of the fonts that come with matplotlib."""
    chart = Chart.parse(file.read_text(encoding="utf-8"))
    for key in ("C", "Eb", "F#", "Bb"):
        moved = chart.transposed(Key(Note.parse(key), chart.key.mode))
        view = tune_grid(moved, Treatment.proposed(moved, level="third"), jobs=True)
        axes = picture_axes(view)
        axes.figure.canvas.draw()
        scale = UNITS_AN_INCH / axes.figure.dpi
        texts = zip(labels(tune_grid_picture(view)), axes.texts, strict=True)
        spans = [
            (m.x, m.x + text.get_window_extent().width * scale, m.y - 0.75 * m.size, m.y)
            for m, text in texts
            if m.size == JOB
        ]
        said = [word.job for bar in view.bars for word in bar.words if word.job]
        assert said
        for one, other in combinations(spans, 2):
            assert apart(one, other), (key, one, other)
        assert max(right for _, right, _, _ in spans) <= tune_grid_picture(view).width


def test_a_job_is_told_for_each_pass_of_a_repeat():
    """Common practice: the V at the end of a section goes to the chord that follows it then."""
    text = "key: C\n| segno Cmaj7 | G7 to coda D.S. al coda | coda Am7 |"
    view = tune_grid(Chart.parse(text), jobs=True)
    assert [word.job for word in view.bars[1].words] == ["V of Cmaj7, then V of Am7"]
    assert "(V of Cmaj7, then V of Am7)" in view.alt


def test_what_lands_is_in_the_colour_of_what_lands():
    picture = tune_grid_picture(tune_grid(Chart.of("C", "Dm7", "G7", "C6")))
    arrows = [m.fill for m in picture.marks if isinstance(m, Area)]
    assert arrows == [NOTE_MARKS["landing"].fill]


@pytest.mark.parametrize(
    "text", ["G♭13♯11", "F7♭9♭13", "E♭7sus4", "A♭m(maj7)", "Dm7♭5/A♭", "C♯m7", "B♭6/9", "N.C."]
)
def test_a_chord_has_the_room_that_its_letters_take_on_paper(text):
    """Measured in the font of the pages, DejaVu Sans Bold, whose letters are wider than most."""
    wide = _on_paper(text, bold=True)
    assert wide <= chord_width(text, 1.0) <= 1.12 * wide


def _on_paper(text: str, *, bold: bool) -> float:
    """Return how wide a text is in the font of the pages, by the size of its letters."""
    font = FT2Font(str(font_folder() / f"DejaVuSans{'-Bold' * bold}.ttf"))
    font.set_size(100, 72)
    return sum(font.load_char(ord(letter)).linearHoriAdvance for letter in text) / 65536 / 100


BACK_DOORS = Chart.parse(
    "key: Eb\n| Bbm7 | Eb7 | Abmaj7 | Abm7 Db7 | Gm7 C7 | Fm7 | Abm7 Db7 | Ebmaj7 |"
)


def test_words_stand_beside_their_bracket_where_their_letters_have_room_in_large_print():
    """Those of bar 4 hung a level below bars 1 and 2: they were counted as wide as bold ones."""
    for view in (tune_grid(BACK_DOORS), *VIEWS):
        (picture,) = tune_grid_pictures(view, view.rows, width=510, least=12)
        said = [one.label for one in view.brackets if one.label]
        for label in (one for one in labels(picture) if one.text in said and one.size == 12):
            wide = label.size * _on_paper(" ".join(label.text.split()), bold=label.bold)
            assert label.x + wide <= picture.width - 10 + 0.5, label.text
    (picture,) = tune_grid_pictures(tune_grid(BACK_DOORS), 2, width=510, least=12)
    first, second = (one for one in labels(picture) if one.text[:3] in ("1  ", "2  "))
    assert first.y == second.y


def test_the_dotted_line_of_the_legend_has_no_colour_that_the_grid_contradicts():
    """It was green, and a back door that leads to no I is grey: one colour, or ink for both."""
    for chart, told in ((BACK_DOORS, INK), (Chart.of("C", "Fm7 Bb7", "Em7", "Am7"), FADED)):
        picture = tune_grid_picture(tune_grid(chart))
        *drawn, legend = [m.colour for m in picture.marks if isinstance(m, Stroke) and m.dash]
        assert legend == told
        assert legend in drawn or len(set(drawn)) == 2


def test_a_sign_for_the_same_bar_again_is_black_in_large_print():
    (large,) = tune_grid_pictures(tune_grid(Chart.of("C", "C6", "%")), 1, width=510, least=12)
    assert {one.fill for one in labels(large) if one.text == "%"} == {INK}
