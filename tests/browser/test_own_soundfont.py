"""A compressed SoundFont of the reader's own, played by the page: chosen, said, and heard."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from lab import PAGE, Lab
from offline_player import RATE, played
from playwright.sync_api import expect
from small_soundfont import compressed

from theorykit.show.sound import NoteStock, keep_soundfont, render
from theorykit.show.sound.soundfont import open_soundfont
from theorykit.show.sound.synthesizer import decoded
from theorykit.views.explorer_view import explore
from theorykit.views.sounding import heard_take

expect.set_options(timeout=PAGE)

TEMPO = 160


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sounds inside the wheel, each recording of them as Ogg Vorbis."""
    return compressed(open_soundfont().path, tmp_path_factory.mktemp("own") / "mine.sf3")


def number(file: Path) -> str:
    """With what the names of its sounds begin."""
    return f"{open_soundfont(file, decoded).number:x} "


def test_the_page_plays_it_as_the_engine_does(browser, file):
    take = explore("Gb", "long", "b9 13").takes(TEMPO, 2.0)[1]
    built_in = NoteStock().told(take, "tenor saxophone")["names"]
    assert keep_soundfont(file) == "mine.sf3 (your own)"
    try:
        own = NoteStock().told(take, "tenor saxophone")["names"]
        assert all(name.startswith(number(file)) for name in own)
        assert len(own) == len(built_in)
        assert not {*own} & {*built_in}
        theirs = render(heard_take(take, TEMPO, {})).wave.T
        with browser.new_context() as context:
            ours = played(context.new_page(), take, tempo=TEMPO, seconds=theirs.shape[1] / RATE)[
                :, : theirs.shape[1]
            ]
    finally:
        keep_soundfont(None)
    whole = [20 * np.log10(np.sqrt((wave**2).mean())) for wave in (ours, theirs)]
    assert whole[0] == pytest.approx(whole[1], abs=0.5)
    size = RATE * 2 // 5  # 400 ms are a moment (EBU Tech 3341, 2016)
    count = theirs.shape[1] // size
    moments = [
        10 * np.log10((wave[:, : count * size].reshape(2, count, size) ** 2).mean(axis=(0, 2)))
        for wave in (ours, theirs)
    ]
    loud = moments[1] > moments[1].max() - 25
    assert (np.abs(moments[0] - moments[1])[loud] < 1).mean() > 0.9


def test_chosen_in_the_page_it_is_what_the_next_player_has(lab: Lab, file, pictures):
    cells = (
        "from theorykit import *\nfrom theorykit.widgets import i_play\ni_play()",
        "hear(demonstration('Gb', 'short', 'b9'), label='with my own')",
    )
    kept = lab.server.folder.parent / "data" / "theorykit" / "soundfont.txt"
    try:
        with lab.open_notebook(lab.write_notebook("own sounds.ipynb", *cells), anew=True) as page:
            page.page.evaluate("() => window.jupyterapp.commands.execute('notebook:run-cell')")
            page.set_value("SoundFont", str(file))
            page.wait_for_text("The band plays with mine.sf3 (your own).")
            page.run_all()
            player = page.output(1).locator(".theorykit-player")
            player.locator(".theorykit-play").click()
            expect(player).to_have_attribute("data-plays", "yes")
            expect(player).to_have_attribute("data-lacks", "0")
            names = page.page.evaluate(
                "() => [...window[Symbol.for('theorykit hall')].sounds.keys()]"
            )
            notes = [name for name in names if not name.startswith("room")]
            assert len(notes) > 10
            assert all(name.startswith(number(file)) for name in notes)
            expect(player.locator(".theorykit-where")).to_have_text("bar 2 of 2")
            page.screenshot(pictures / "own soundfont.png")
            player.locator(".theorykit-play").click()
    finally:
        kept.unlink(missing_ok=True)
