"""Players as the explorer asks for them, and long sound against bare synthesis and encoding."""

from collections.abc import Iterator
from itertools import cycle, product

import numpy as np
import symusic
from measure import Bench, at_most_times, median_at_most, p95_at_most

from theorykit.harmony.colours import COLOURS
from theorykit.lines.band import performance
from theorykit.lines.band.accompaniment import accompany
from theorykit.lines.demonstration import demonstration
from theorykit.lines.parts import MELODY_SOUNDS, Performance
from theorykit.lines.text import Line
from theorykit.notes.key import KEYS, Key
from theorykit.show.sound import Samples, levels, ogg_bytes, render, voice
from theorykit.show.sound.players import audio_html
from theorykit.show.sound.soundfont import open_soundfont
from theorykit.tunes.progression import Bar, Progression

RATE = 44100
TUNE = "Dm7|G7|Cmaj7|A7|Dm7|G7|Cmaj7|Cmaj7|Gm7|C7|Fmaj7|Fmaj7|Fm7|Bb7|Em7 A7|Dm7 G7".split("|")
OVER = Progression(Key.parse("C"), tuple(Bar.even(*bar.split()) for bar in TUNE * 2))
BAR = "8th D4 F4 A4 C5 B4 G4 F4 E4"
LINE = Line.parse(" | ".join([BAR] * len(OVER.bars)), OVER)
PROGRAMS = {"line": MELODY_SOUNDS["tenor saxophone"], "piano": 0, "bass": 32, "drums": 0}
FRESH: Iterator = cycle(product(KEYS[:15], COLOURS))


def both_players() -> list[str]:
    """Make the plain and the coloured player for a key and a colour not asked for before."""
    key, row = next(FRESH)
    plain, coloured = demonstration(key), demonstration(key, over_v=row)
    over = plain.progression
    return [
        audio_html(render(performance(line, over, colours=colours)), label="ii-V-I")
        for line, colours in ((plain, {}), (coloured, {1: row.degrees}))
    ]


def long_sound() -> bytes:
    """Think of 32 bars of rhythm section under a line, play and encode them."""
    return ogg_bytes(render(performance(LINE, OVER, count_in=0), rate=RATE))


PLAYED = performance(LINE, OVER, count_in=0)


def chorus_in_stereo() -> Samples:
    """Play 32 bars with every voice and level made anew, as after a start."""
    voice._STOCK = voice._Stock()
    levels.note_level.cache_clear()
    voice.correction.cache_clear()
    return render(PLAYED)


def bare_score(played: Performance) -> symusic.Score:
    """Return the same notes at the same times for a synthesizer that we did not write."""
    score = symusic.Score(960).to("second")
    for part in played.parts:
        drums = part.name == "drums"
        track = symusic.Track(part.name, PROGRAMS[part.name], drums, ttype="second")
        for note in part.notes:
            start, end = max(0.0, played.begins(note)), played.ends(note)
            track.notes.append(
                symusic.Note(start, end - start, note.midi, note.loudness, ttype="second")
            )
        score.tracks.append(track)
    return score


SYNTHESIZER = symusic.Synthesizer(str(open_soundfont().path), RATE, 0)
SCORE = bare_score(PLAYED)


def bare_stereo() -> np.ndarray:
    """Play the same notes with a synthesizer in a compiled language, without mix and room."""
    return SYNTHESIZER.render(SCORE, True)


def bare_sound() -> bytes:
    """Play and encode the same notes, with nothing else to think of."""
    wave = SYNTHESIZER.render(SCORE, True).T
    return ogg_bytes(Samples(np.ascontiguousarray(wave), RATE))


def same_notes() -> None:
    """Raise where the two do not play as many notes for as long."""
    played = performance(LINE, OVER, count_in=0)
    ours = sum(len(part.notes) for part in played.parts)
    theirs = sum(len(track.notes) for track in SCORE.tracks)
    length = SYNTHESIZER.render(SCORE, True).shape[1] / RATE
    if ours != theirs or abs(length - played.seconds) > 1:
        raise ValueError(f"{ours} notes against {theirs}, {played.seconds} s against {length} s")


BENCHES = (
    Bench(
        name="both players of the explorer, another key and colour each time",
        candidate=both_players,
        reference=None,
        goal=p95_at_most(0.150),
        rounds=60,
    ),
    Bench(
        name="32 bars to Ogg, against bare synthesis and encoding",
        candidate=long_sound,
        reference=bare_sound,
        goal=at_most_times(1.5),
        check=same_notes,
    ),
    Bench(
        name="32 bars in stereo, every voice made anew, against bare synthesis",
        candidate=chorus_in_stereo,
        reference=bare_stereo,
        goal=at_most_times(4.0),
        check=same_notes,
    ),
    Bench(
        name="a rhythm section of 32 bars",
        candidate=lambda: accompany(OVER, feel="four", colours={1: COLOURS[1].degrees}),
        reference=None,
        goal=median_at_most(0.050),
    ),
)
