"""What a page plays before all its sounds have come: no note is ever struck without its sound.

The clock is counted, not waited for, so that no machine is too slow: sounds come one by one in the
order in which the page asks for them, and every note that is due after the page says that it can
begin is compared with the moment at which its sounds came.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from theorykit.show.sound import NoteStock, band_told
from theorykit.views.explorer_view import explore
from theorykit.widgets.player import Player

SLOW = 2.0  # times as long as a sound took before: what a page has to get over

# Returns how many sounds had come when the page could begin, of how many, and by how many seconds
# the sound of a note came before the note, at the least.
_COUNT = """async ([source, takes, before, band, {tempo, position, pace, slower, goes}]) => {
    const address = URL.createObjectURL(new Blob([source], {type: "text/javascript"}));
    const {Supply, Timeline, hall} = await import(address);
    const shared = hall();
    const clock = {currentTime: 0};
    const model = {get: name => ({band, takes, every_key: []})[name], send: () => {}};
    const timeline = new Timeline([before ?? takes[0]], {tempo, pace: band, loops: true});
    if (goes) { timeline.begin(-goes * 60 / tempo); timeline.due(1); }
    const control = {
        model, el: {dataset: {}}, cycle: [takes[0]], tempo, position,
        playing: goes ? {timeline, band: {context: clock}} : null,
        wishes: {from: 0, to: Infinity}, length: takes[0].beats - takes[0].count,
    };
    const supply = new Supply(control);
    shared.sounds.clear();
    const had = before ? [...before.names, ...band.room] : [];
    had.forEach(name => shared.sounds.set(name, {}));
    shared.pace = pace;
    const names = supply.missing.map(([name]) => name);
    supply.ask();
    supply.hears = true; // the first answer has nothing new
    let count = 0;
    while (!supply.suffices) {
        shared.sounds.set(names[count++], {});
        clock.currentTime = count * pace * slower;
    }
    const came = new Map(names.map((name, at) => [name, (at + 1) * pace * slower]));
    let line = timeline;
    if (goes) line.change(clock.currentTime + 0.06, {cycle: [takes[0]]}, new Set());
    else {
        line = new Timeline([takes[0]], {tempo, pace: band, start: position, loops: true});
        line.begin(clock.currentTime + 0.12);
    }
    const beforehand = line.due(clock.currentTime + 200).flatMap(note =>
        note.row[1].map(at => note.begins - (came.get(note.take.names[at]) ?? -Infinity)));
    return [count, names.length, Math.min(...beforehand), control.el.dataset.lacks];
}"""


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    with browser.new_context() as context:
        yield context.new_page()


def told(key: str, colour: str = "altered") -> dict[str, Any]:
    return NoteStock().told(explore(key, "long", colour).takes(100, 2.0)[1], "flute")


def counted(page: Page, key: str, before: str = "", **how: Any) -> tuple[int, int, float, int]:
    usual = {"tempo": 320, "position": 0, "pace": 0.03, "slower": SLOW, "goes": 0}
    earlier = told(before) if before else None
    given = [Player._esm, [told(key)], earlier, band_told(), usual | how]
    return tuple(page.evaluate(_COUNT, given))  # type: ignore[return-value]


@pytest.mark.parametrize("tempo", [40, 100, 320])
@pytest.mark.parametrize("pace", [0.01, 0.03, 0.2])
def test_no_note_is_struck_before_its_sound_has_come(page, tempo, pace):
    for key, position in (("C", 0), ("Gb", 0), ("Bb minor", 5), ("F#", 8)):
        came, of, least, _ = counted(page, key, tempo=tempo, pace=pace, position=position)
        assert 2 <= came <= of  # the room and the first click at least
        assert least > 0.06  # seconds in which a sound is taken apart and handed on


def test_a_new_key_can_begin_at_once_while_its_sounds_are_still_on_their_way(page):
    came, of, least, lacks = counted(page, "Gb", before="C", tempo=100)
    assert (came, lacks) == (0, of)
    assert of > 5
    assert least > 0.06


@pytest.mark.parametrize("tempo", [40, 100, 320])
@pytest.mark.parametrize("goes", [0.5, 4, 5.3, 9.9, 15.5, 40])  # beats since the start
def test_what_goes_on_in_another_key_goes_on_with_all_its_sounds(page, tempo, goes):
    for key in ("Gb", "A", "F minor"):
        came, of, least, _ = counted(page, key, before="C", tempo=tempo, goes=goes)
        assert came <= of
        assert least > 0.05


def test_where_nothing_is_known_to_come_nothing_begins(page):
    """The page has asked, and nobody has answered."""
    silent = _COUNT.replace("supply.hears = true;", "").replace(
        "while (!supply.suffices)", "if (!supply.suffices) return [-1]; while (true)"
    )
    given = [Player._esm, [told("C")], None, band_told()]
    wishes = {"tempo": 40, "position": 0, "pace": 0.001, "slower": 1, "goes": 0}
    assert page.evaluate(silent, [*given, wishes]) == [-1]
