"""The pace: at another tempo a band plays as it would have been written for that tempo."""

from __future__ import annotations

import pytest
from sweeps import swept

from theorykit.lines.band import default_swing, moments, pace, paced, performance
from theorykit.lines.band.swing import soloist_swing
from theorykit.lines.demonstration import demonstration
from theorykit.lines.parts import Performance
from theorykit.notes.key import KEYS

TEMPOS = (80, 100, 160, 240, 320)  # brushes begin at 76: the drummer then plays something else


def phrase(key: str, tempo: float, swing: float | None = None) -> Performance:
    line = demonstration(key, "long", "b9 13")
    return performance(line, line.progression, tempo=tempo, swing=swing)


def times(played: Performance) -> dict[str, list[tuple[float, float]]]:
    return {
        part.name: [(played.begins(note), played.ends(note)) for note in part.notes]
        for part in played.parts
    }


@pytest.mark.parametrize(
    "key", swept([str(key) for key in KEYS], ("Db major", "Bb minor").__contains__)
)
def test_another_tempo_is_what_would_have_been_played_at_it(key):
    slow = phrase(key, TEMPOS[0])
    for tempo in TEMPOS:
        wanted, got = times(phrase(key, tempo)), times(paced(slow, tempo, as_players_do=True))
        assert wanted.keys() == got.keys()
        for name in ("line", "bass"):
            assert len(got[name]) == len(wanted[name])
            for one, other in zip(got[name], wanted[name], strict=True):
                assert one == pytest.approx(other, abs=0.0002)


def test_a_swing_that_was_asked_for_stays_at_every_tempo():
    for tempo in TEMPOS:
        found = paced(phrase("F#", 100, 1.7), tempo, as_players_do=False)
        assert (found.swing, found.tempo) == (1.7, tempo)
        wanted = times(phrase("F#", tempo, 1.7))
        for name, notes in times(found).items():
            assert notes == [pytest.approx(one, abs=0.0002) for one in wanted[name]]


def test_the_pace_keeps_drummer_and_soloist_together_off_the_beat():
    """Friberg and Sundström 2002 (as in swing.py): off the beat they are together."""
    for tempo in TEMPOS:
        found = pace(phrase("C", 100), tempo, as_players_do=True)
        ratio = default_swing(tempo)
        assert found.off_beat == pytest.approx(ratio / (ratio + 1))
        on_beat = found.late / 1000 * tempo / 60
        long = found.off_beat - on_beat
        soloist = soloist_swing(tempo)
        assert long == pytest.approx(min(found.off_beat, soloist / (soloist + 1)), abs=0.001)


def test_a_note_on_the_triplet_grid_does_not_swing():
    played = phrase("C", 100)
    for part in played.parts:
        for note in part.notes:
            begins, _ = moments(played, part, note, as_players_do=True)
            if note.start.denominator == 3:
                assert begins.swings == 0
            if note.start.denominator == 2:
                assert begins.swings == 1
