"""Kept sounds: the recordings of blocks that were made before, so that they are not made again.

A sheet is made several times in an evening. Its words change more often than what is heard, and to
encode a minute of sound takes longer than to set a page.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable, Sequence
from dataclasses import replace
from threading import RLock

from theorykit.handout.files.jobs import Made, SoundJob
from theorykit.handout.files.pool import Job
from theorykit.show.sound import own_soundfont, soundfont_words

MOST = 64_000_000  # bytes of recordings that are kept


class KeptSounds:
    """What came of jobs that record, found by what is played and the sounds that play it.

    Several pages of a process may ask at the same time.

    >>> from theorykit.handout.blocks import ColourBlock
    >>> job = SoundJob(ColourBlock(colour="b9"), 0, ("01 b9",), 96, "piano", "mp3", False, True)
    >>> kept = KeptSounds()
    >>> kept.keep([job], Made({"01 b9.mp3": b"sound"}, place=0), "sounds")
    >>> kept.made(replace(job, place=3, names=("04 b9",)), "sounds").files
    {'04 b9.mp3': b'sound'}
    """

    def __init__(self, most: int = MOST) -> None:
        """Begin with none; ``most`` is how many bytes are kept, those used last."""
        self.most = most
        self._made: OrderedDict[Hashable, tuple[SoundJob, Made]] = OrderedDict()
        self._lock = RLock()

    def made(self, job: Job, sounds: Hashable) -> Made | None:
        """Return what came of a job before, wherever it stood; None where it is to be done."""
        if not isinstance(job, SoundJob):
            return None
        with self._lock:
            found = self._made.get(_key(job, sounds))
            if found is None:
                return None
            self._made.move_to_end(_key(job, sounds))
        return _placed(*found, job)

    def keep(self, jobs: Sequence[Job], made: Made, sounds: Hashable) -> None:
        """Keep what came of one of some jobs with some sounds, if it is a job that records."""
        with self._lock:
            for job in jobs:
                if isinstance(job, SoundJob) and made.place == job.place:
                    self._made[_key(job, sounds)] = job, made
            while len(self._made) > 1 and self._size > self.most:
                self._made.popitem(last=False)

    @property
    def _size(self) -> int:
        """How many bytes the recordings take up; those that are shared count once."""
        kept = [made for _, made in self._made.values()]
        data = [data for made in kept for data in made.files.values()]
        data += [one.data for made in kept for one in made.heard]
        return sum(len(one) for one in {id(one): one for one in data}.values())


def sounds_now() -> Hashable:
    """Return what tells the sounds of the moment from others."""
    own = own_soundfont()
    return soundfont_words(), own, own.stat().st_mtime_ns if own is not None else 0


def _key(job: SoundJob, sounds: Hashable) -> Hashable:
    """Return what the sound of a job depends on: not where its block stands on the sheet."""
    return replace(job, place=0, names=()), sounds


def _placed(before: SoundJob, made: Made, job: SoundJob) -> Made:
    """Return what came of a job, named and placed as it is now."""
    names = dict(zip(before.names, job.names, strict=True))
    files = {}
    for file, data in made.files.items():
        name, _, ending = file.rpartition(".")
        files[f"{names[name]}.{ending}"] = data
    heard = tuple(replace(one, place=job.place) for one in made.heard)
    return replace(made, files=files, heard=heard, place=job.place)
