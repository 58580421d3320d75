"""Substitutes, identification and the table of tensions, in JupyterLab."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from lab import Lab, NotebookPage
from sweeps import swept

CASES = (
    ("C major", "tritone substitute", "D♭7 stands in for G7", "D♭7/G"),
    ("D♭ major", "side step", "Em7 and A7 are the ii-V", "A7/A♭"),
    ("F♯ major", "chain of dominants", "A♯7, D♯7, G♯7 and C♯7", "D♯7/C♯"),
    ("B♭ minor", "backdoor dominant", "A♭7 stands a whole step below B♭", "E♭m7/F"),
)
COUNT_IN, BARS, TAIL = 4, 12, 1.0  # beats before, beats of music, seconds after
TALL = 2000  # pixels, so that a whole widget is in view


def opened(lab: Lab, name: str, cell: str) -> Iterator[NotebookPage]:
    """A notebook of one cell, run."""
    lab.write_notebook(f"{name}.ipynb", cell)
    with lab.open_notebook(name, height=TALL) as page:
        page.run_all()
        yield page


@pytest.fixture(scope="module")
def substitutes(lab: Lab) -> Iterator[NotebookPage]:
    yield from opened(
        lab, "substitutes", "from theorykit.widgets import substitutions\nsubstitutions()"
    )


@pytest.fixture(scope="module")
def notes(lab: Lab) -> Iterator[NotebookPage]:
    yield from opened(
        lab, "notes", "from theorykit.widgets import identify_notes\nidentify_notes()"
    )


@pytest.fixture(scope="module")
def table(lab: Lab) -> Iterator[NotebookPage]:
    yield from opened(lab, "table", "from theorykit.widgets import subset_table\nsubset_table()")


def said(page: NotebookPage) -> list[str]:
    """What the pictures say to a screen reader, in order."""
    found = page.output(0).locator("svg[role=img]")
    return [found.nth(i).get_attribute("aria-label") or "" for i in range(found.count())]


def tops(page: NotebookPage) -> list[float]:
    """How far down each picture and player lies, in pixels."""
    places = page.output(0).locator("svg[role=img], .theorykit-player")
    return places.evaluate_all("all => all.map(one => one.getBoundingClientRect().top)")


def shots(page: NotebookPage, folder: Path, name: str) -> None:
    """Take a picture of the widget in both themes."""
    for theme in ("light", "dark"):
        page.set_theme(theme)
        shot = page.screenshot(folder / f"{name} {theme}.png", page.output(0))
        assert shot.stat().st_size > 20_000
    page.set_theme("light")


@pytest.mark.parametrize(
    ("key", "name", "sentence", "slash"),
    swept(CASES, lambda case: case[0] in ("D♭ major", "B♭ minor")),
)
def test_key_and_substitute_change_words_pictures_and_players(
    substitutes, pictures, key, name, sentence, slash
):
    page = substitutes
    page.set_value("key", key)
    page.set_value("substitute", name)
    page.wait_for_text(sentence)
    staff, keyboard, motion, clock = said(page)
    assert f"in {key}" in staff
    chord = slash.partition("/")[0]
    assert chord in staff
    assert keyboard.startswith("Keyboard: ")
    assert motion.startswith("From ")
    assert clock.startswith("Clock of twelve")
    offered = page.output(0).locator(".theorykit-player select").first.locator("option")
    labels = offered.all_text_contents()
    assert [label.partition(":")[0] for label in labels] == [
        "original",
        "substitute over the original bass",
        "substitute over its own bass",
    ]
    assert slash in labels[1]
    assert page.page.locator("[role=alert]").count() == 0
    shots(page, pictures, f"substitutions {key}")


def test_nothing_moves_when_another_substitute_or_key_is_chosen(substitutes):
    page = substitutes
    page.set_value("key", "E♭ major")
    page.set_value("substitute", "related ii")
    places = tops(page)
    for name in ("chain of dominants", "leading-note diminished chord", "suspended version"):
        page.set_value("substitute", name)
        page.set_value("key", "B major" if name == "suspended version" else "G minor")
        assert tops(page) == pytest.approx(places, abs=1)


def test_the_target_moves_the_key_to_the_other_mode(substitutes):
    page = substitutes
    page.set_value("key", "D♭ major")
    page.set_value("going to", "a minor I")
    assert page.value("key").replace("\u00a0", " ") == "C♯ minor"
    page.set_value("key", "F major")
    assert page.value("going to").replace("\u00a0", " ") == "a major I"


def test_the_player_has_all_three_versions_and_none_plays(substitutes):
    player = substitutes.page.locator(".theorykit-player[data-ready]")
    player.wait_for()
    assert player.locator("select").first.locator("option").count() == 3
    assert player.locator(".theorykit-where").text_content() == f"bar 1 of {BARS // 4}"
    assert player.get_attribute("data-plays") == "no"


def test_every_control_of_the_substitutes_is_reached_with_the_tab_key(substitutes):
    page = substitutes
    page.control("key").locator("select").focus()
    reached = set()
    for _ in range(30):  # the parts of the player are stops of their own
        reached.add(
            page.page.evaluate(
                "() => document.activeElement.closest('.jupyter-widgets.widget-inline-hbox')"
                "?.querySelector('.widget-label')?.textContent.trim() ?? ''"
            )
        )
        page.page.keyboard.press("Tab")
    wanted = {"key", "going to", "substitute", "pictures show", "written for"}
    assert wanted | {"tempo", "swing", "melody sound"} <= reached


def test_notes_are_typed_and_what_is_wrong_stays_typed(notes, pictures):
    page = notes
    page.set_value("notes", "Bmaj7")
    page.wait_for_text("Bmaj7 (B D♯ F♯ A♯) over G7, going to C: 3 ♭13 7 ♯9.")
    page.wait_for_text("These are the tensions of the colour rootless ii of the tritone substitute")
    shots(page, pictures, "identify a chord")
    before = said(page)
    page.set_value("notes", "Bmaj7x")
    alert = page.page.locator("[role=alert]")
    assert "not a chord: 'Bmaj7x'" in alert.inner_text()
    assert page.value("notes") == "Bmaj7x"
    assert said(page) == before
    page.set_value("notes", "E G# B")
    assert alert.count() == 0


def key_named(page: NotebookPage, name: str) -> object:
    """A key of the piano by what its tip says."""
    return page.output(0).locator(f"button[title^='{name}']")


def test_keys_are_tapped_with_the_mouse_and_with_the_keyboard_alone(notes, pictures):
    page = notes
    page.set_value("notes", "E")
    for name in ("G sharp or A flat, octave 4", "B, octave 4"):
        key_named(page, name).click()
        page.settle()
    page.wait_for_text("E A♭ B over G7, going to C: 13 ♭9 3.")
    key_named(page, "E, octave 4").focus()
    page.page.keyboard.press("Tab")  # from E to F
    assert "F, octave 4" in page.page.evaluate("() => document.activeElement.title")
    page.page.keyboard.press("Space")
    page.settle()
    page.wait_for_text("E F A♭ B over G7, going to C: 13 ♭7 ♭9 3.")
    page.page.keyboard.press("Enter")
    page.settle()
    page.wait_for_text("E A♭ B over G7, going to C: 13 ♭9 3.")
    shots(page, pictures, "identify keys")


def test_the_keys_lie_as_on_a_piano(notes):
    c, d_flat, d = (
        key_named(notes, f"{name}, octave 4").bounding_box()
        for name in ("C", "C sharp or D flat", "D")
    )
    assert d_flat["y"] + d_flat["height"] <= c["y"] + 2
    assert c["x"] < d_flat["x"] < d["x"]
    assert c["x"] + c["width"] == pytest.approx(d["x"], abs=4)
    middle = d_flat["x"] + d_flat["width"] / 2
    assert middle == pytest.approx(d["x"], abs=4)


def test_another_chord_and_target_read_the_same_notes_anew(notes):
    page = notes
    page.set_value("notes", "E G# B")
    page.set_value("over the chord", "Dm7")
    page.set_value("going to", "")
    page.wait_for_text("E G♯ B over Dm7: 9 ♯11 13.")
    page.set_value("over the chord", "G7")
    page.set_value("going to", "Cm6")
    page.wait_for_text("the tonic is minor")
    player = page.page.locator(".theorykit-player[data-ready]")
    player.get_by_text("bar 1 of 2", exact=True).wait_for()


def test_the_table_is_filtered_sorted_and_scrolled_by_keyboard(table, pictures):
    page = table
    rows = page.output(0).locator("tbody tr")
    assert rows.count() == 64
    page.set_value("order", "most tensions first")
    assert "♭9 9 ♯9 ♯11 ♭13 13" in rows.first.inner_text()
    frame = page.output(0).locator("[role=region]")
    frame.focus()
    page.page.keyboard.press("PageDown")
    page.page.wait_for_function("one => one.scrollTop > 0", arg=frame.element_handle())
    page.set_value("13", "with it")
    page.set_value("♭9", "with it")
    page.set_value("rows", "that a triad or seventh chord brings alone")
    page.set_value("order", "fewest tensions first")
    assert "E major triad on the 6th of V" in rows.first.inner_text()
    page.set_value("key", "B♭ minor")
    page.wait_for_text("Over F7, going to B♭m6")
    shots(page, pictures, "tensions")
