"""The player of a page without a page: its module in an empty one, played into memory.

What comes back are the samples that a listener would have heard, whatever the machine is doing.
"""

from __future__ import annotations

import base64
from typing import Any

import numpy as np
from playwright.sync_api import Page

from theorykit.show.sound import NoteStock, band_told
from theorykit.views.sounding import Take
from theorykit.widgets.player import Player

RATE = 44100
BEGINS = 0.1  # seconds before the first beat

_PLAY = """async ([source, cycle, band, sounds, data, tempo, seconds, steps, wishes, levels]) => {
    const address = URL.createObjectURL(new Blob([source], {type: "text/javascript"}));
    const {keep, Band, Timeline, Playing} = await import(address);
    const kept = new Map();
    const bytes = Uint8Array.from(atob(data), letter => letter.charCodeAt(0));
    await keep(kept, sounds, bytes.buffer, band.rate);
    const frames = Math.round(seconds * band.rate);
    const context = new OfflineAudioContext(2, frames, band.rate);
    const players = new Band(context, band, kept);
    players.balance(levels, 0);
    const line = new Timeline(cycle, {tempo, pace: band, ...wishes});
    const playing = new Playing(players, line);
    playing.begin(0.1);
    for (const [at, changes] of steps) {
        playing.advance(at + 1.0);
        playing.change(at, changes);
    }
    playing.advance(seconds);
    const made = await context.startRendering();
    const whole = new Float32Array(2 * frames);
    [0, 1].forEach(side => whole.set(made.getChannelData(side), side * frames));
    const raw = new Uint8Array(whole.buffer);
    let text = "";
    for (let at = 0; at < raw.length; at += 32768)
        text += String.fromCharCode(...raw.subarray(at, at + 32768));
    return btoa(text);
}"""
# Of notes: when each begins in seconds, of which part it is and in which round; nothing sounds.
_TIMES = """async ([source, cycle, band, tempo, seconds, steps, wishes]) => {
    const address = URL.createObjectURL(new Blob([source], {type: "text/javascript"}));
    const {Timeline} = await import(address);
    const line = new Timeline(cycle, {tempo, pace: band, ...wishes});
    line.begin(0);
    const found = [];
    const told = note => [note.begins, note.ends, note.row[0], note.row[6], note.number];
    for (const [at, changes] of steps) {
        const due = line.due(at + 1.0);
        found.push(...due.filter(note => note.begins < at));
        const round = line.placeAt(at).round;
        const own = found.filter(note => note.number === round);
        line.change(at, changes, new Set(own.map(note => note.row)));
    }
    found.push(...line.due(seconds));
    return found.map(told).sort((one, other) => one[0] - other[0]);
}"""


def played(
    page: Page,
    take: Take,
    *,
    tempo: float,
    seconds: float,
    melody: str = "tenor saxophone",
    steps: list[Any] | None = None,
    levels: tuple[float, ...] = (1, 1, 1, 1),
    **wishes: Any,
) -> np.ndarray:
    """Return what is heard of a take from its first beat on, a row for each channel."""
    stock = NoteStock()
    told, band = stock.told(take, melody), band_told()
    names = [*told["names"], *band["room"]]  # type: ignore[misc]
    sounds, data = stock.sounds(names, "ogg")
    text = base64.b64encode(data).decode()
    given = [tempo, seconds + BEGINS, steps or [], wishes, list(levels)]
    found = page.evaluate(_PLAY, [Player._esm, [told], band, sounds, text, *given])
    whole = np.frombuffer(base64.b64decode(found), np.float32).reshape(2, -1)
    return whole[:, round(BEGINS * RATE) :]


def times(
    page: Page, *cycle: dict[str, Any], tempo: float, seconds: float, steps: Any = (), **wishes: Any
) -> list[tuple[float, float, int, int, int]]:
    """Return of each note that begins within some seconds: begin, end, part, click, round."""
    given = [Player._esm, list(cycle), band_told(), tempo, seconds, list(steps), wishes]
    return [tuple(row) for row in page.evaluate(_TIMES, given) if row[0] < seconds]  # type: ignore[misc]
