"""Kept sounds: the recordings of blocks that were made before, so that they are not made again.

A sheet is made several times in an evening. Its words change more often than what is heard, and to
encode a minute of sound takes longer than to set a page.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from typing import Any

from theorykit.handout.files.jobs import Made, SoundJob
from theorykit.handout.files.pool import Job
from theorykit.show.sound import own_soundfont, soundfont_words

MOST = 64_000_000  # bytes of recordings that are kept


class KeptSounds:
    """What came of jobs that record, found by the job and the sounds that played.

    >>> from theorykit.handout.blocks import ColourBlock
    >>> job = SoundJob(ColourBlock(colour="b9"), 0, ("b9",), 96, "piano", "mp3", False, True)
    >>> kept = KeptSounds()
    >>> kept.keep([job], Made({"b9.mp3": b"sound"}, place=0))
    >>> kept.made(job).files
    {'b9.mp3': b'sound'}
    """

    def __init__(self, most: int = MOST) -> None:
        """Begin with none; ``most`` is how many bytes are kept, those used last."""
        self.most = most
        self._made: OrderedDict[tuple[Any, ...], Made] = OrderedDict()

    def made(self, job: Job) -> Made | None:
        """Return what came of a job before; None where it is to be done."""
        if not isinstance(job, SoundJob):
            return None
        found = self._made.get(_key(job))
        if found is not None:
            self._made.move_to_end(_key(job))
        return found

    def keep(self, jobs: Sequence[Job], made: Made) -> None:
        """Keep what came of one of some jobs, if it is a job that records."""
        for job in jobs:
            if isinstance(job, SoundJob) and made.place == job.place:
                self._made[_key(job)] = made
        while len(self._made) > 1 and sum(map(_size, self._made.values())) > self.most:
            self._made.popitem(last=False)


def _key(job: SoundJob) -> tuple[Any, ...]:
    """Return what the sound of a job depends on."""
    return job, soundfont_words(), own_soundfont()


def _size(made: Made) -> int:
    """Return how many bytes the recordings take up; files and recordings share theirs."""
    return sum(map(len, made.files.values())) + sum(len(one.data) for one in made.heard)
