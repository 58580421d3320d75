"""Pages of Ogg: what is put together again is what libsndfile wrote, and reads as that."""

import io

import numpy as np
import pytest
import soundfile

from theorykit.lines.band import performance
from theorykit.show.sound import NoteStock, Samples, ogg_bytes
from theorykit.show.sound.ogg_pages import parted
from theorykit.show.sound.single_notes import ROOM
from theorykit.tunes.progression import two_five_one
from theorykit.views.sounding import Take

NUMBER = slice(14, 18)  # of the stream, in a page (RFC 3533, 2003)


def noise(frames: int, seed: int) -> Samples:
    rng = np.random.default_rng(seed)
    return Samples(0.1 * rng.standard_normal(frames).astype(np.float32), 44100)


def waves(data: bytes) -> np.ndarray:
    return soundfile.read(io.BytesIO(data), dtype="float32")[0]


@pytest.mark.parametrize("frames", [1, 500, 44100, 200_000])
def test_a_head_of_one_file_and_a_body_of_another_are_a_file(frames):
    """libsndfile, which checks the sum of each page, reads every frame as it was."""
    some, other = ogg_bytes(noise(frames, 1)), ogg_bytes(noise(9000, 2))
    head, body = parted(some)
    assert head == parted(other)[0]
    assert len(head) + len(body) == len(some)
    assert body[NUMBER] == head[NUMBER] == bytes(4)
    np.testing.assert_array_equal(waves(parted(other)[0] + body), waves(some))


def test_a_sum_that_is_wrong_is_noticed():
    """What the check above relies on."""
    head, body = parted(ogg_bytes(noise(44100, 1)))
    spoiled = bytearray(head + body)
    spoiled[len(head) + 22] ^= 1
    try:
        found = waves(bytes(spoiled))
    except soundfile.LibsndfileError:
        return
    assert len(found) != 44100 or np.abs(found - waves(head + body)).max() > 0.01


def test_what_is_put_together_stays_as_it_is():
    data = b"".join(parted(ogg_bytes(noise(9000, 3))))
    assert b"".join(parted(data)) == data


def test_only_the_room_brings_the_head_of_all_notes():
    stock = NoteStock()
    names = stock.told(Take("C", performance(None, two_five_one("Db"))), "flute")["names"]
    told, room = stock.sound(ROOM[0], "ogg")
    head = room[: told["whole"]]
    bare = 0
    for name in names:
        note, body = stock.sound(name, "ogg")
        assert (note["head"], "whole" in note) == (told["head"], False)
        assert len(waves(head + body)) == note["frames"] + round(0.01 * 44100)
        bare += len(body)
    assert len(head) * len(names) > bare / 5  # what it spares is worth while
    plain, data = stock.sound(names[0], "flac")
    assert "head" not in plain
    assert data[:4] == b"fLaC"
