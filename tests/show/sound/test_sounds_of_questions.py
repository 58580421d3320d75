"""What is heard in a question differs in its samples from what it may be taken for."""

import numpy as np
import pytest
from listening import mono
from sweeps import some_and_all

from theorykit import KINDS_OF_QUESTION, Key, question
from theorykit.notes.key import KEYS
from theorykit.show.sound import render

HEARD = [kind for kind in KINDS_OF_QUESTION if kind.way == "hear"]
APART = 0.01  # of the loudness of the first: what a player of the page still carries


def samples(heard):
    """The mono sound of what is heard, without its count-in."""
    return np.asarray(mono(render(heard.performance(160, count_in=0))), dtype=float)


def difference(one, other):
    """How loud the difference of two sounds is, as a share of the first."""
    length = max(len(one), len(other))
    first, second = (np.pad(found, (0, length - len(found))) for found in (one, other))
    return float(np.sqrt(np.mean((first - second) ** 2)) / np.sqrt(np.mean(first**2)))


@pytest.mark.parametrize("kind", HEARD, ids=str)
@pytest.mark.parametrize("every", some_and_all([False], [True]))
def test_by_samples(kind, every):
    topics = kind.topics if every[0] else kind.topics[:1]
    for topic in topics:
        keys = [key for key in KEYS[::7] if kind.fits(topic, key)] or [
            key for key in KEYS if kind.fits(topic, key)
        ][:1]
        for key in keys if every[0] else keys[:1]:
            one = question(kind, level=2, keys=[key], topic=topic)
            own = samples(one.heard)
            for name, sound in one.sounds:
                if name != one.answer:
                    assert difference(own, samples(sound)) > APART, (one.prompt, name)


def test_the_same_sound_is_the_same():
    one = question("colour by ear", keys=[Key.parse("Db")], level=2)
    assert difference(samples(one.heard), samples(one.heard)) == 0
