"""Making a handout: the work in jobs, the files one by one."""

from __future__ import annotations

import io
import os
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tqdm.auto import tqdm

from theorykit.errors import TheoryError, shown
from theorykit.handout.disk import check_free, check_inside, sweep, write_whole
from theorykit.handout.letters import check_letters
from theorykit.handout.made import Heard, Made
from theorykit.handout.order import Order
from theorykit.handout.page_job import PageJob
from theorykit.handout.pool import Job, results
from theorykit.handout.sound_job import SoundJob
from theorykit.handout.web import web_page

__all__ = ["Work", "make_files"]

FEW_JOBS = 3  # that are done sooner here than in processes that must start first
STAMP = (1980, 1, 1, 0, 0, 0)  # of files in a zip: the same handout gives the same bytes


@dataclass(frozen=True, slots=True)
class Work:
    """The files that will be made into a folder. Nothing is made before ``steps`` is gone through.

    ``overwrite`` says whether files that are there already are replaced; ``processes`` is how many
    work side by side, by default one for each core.
    """

    order: Order
    folder: Path
    overwrite: bool = False
    processes: int | None = None

    def __post_init__(self) -> None:
        """Refuse what can be seen to fail before any work is done."""
        if self.folder.exists() and not self.folder.is_dir():
            raise TheoryError(f"{shown(str(self.folder))} is a file (want a folder)")
        check_inside(self.folder, self.order.names)
        if not self.overwrite:
            check_free(self.folder, self.order.names)
        check_letters(self.order.handout)

    @property
    def files(self) -> list[Path]:
        """The paths of the files, in the order in which they are listed."""
        return [self.folder / name for name in self.order.names]

    def steps(self) -> Iterator[Path]:
        """Make one file after another, and yield its path as soon as it is there.

        Whoever stops in the middle has whole files, and the processes that helped are ended.
        """
        sweep(self.folder)
        packs = "zip" in self.order.files
        made: dict[str, bytes] = {}
        for name, data in _content(self.order, self.processes):
            made[name] = data if packs else b""
            yield self._written(name, data)
        if packs:
            for name, audiences in self.order.zips.items():
                held = {one: made[one] for one in made if self.order.holds(audiences, one)}
                yield self._written(name, _zipped(held))

    def _written(self, name: str, data: bytes) -> Path:
        """Write one file; return its path."""
        write_whole(self.folder / name, data, overwrite=self.overwrite)
        return self.folder / name


def make_files(work: Work, *, progress: bool) -> list[Path]:
    """Make the files of a handout as ``Handout.make`` says, and return their paths."""
    files, title = work.files, work.order.name[:30]
    with tqdm(total=len(files), unit="file", disable=not progress, desc=title) as bar:
        for _ in work.steps():
            bar.update()
    return files


def _content(order: Order, processes: int | None) -> Iterator[tuple[str, bytes]]:
    """Yield the files with their content as they are done."""
    articles = {}
    heard: list[Heard] = []
    jobs = list(_jobs(order))
    wanted = (os.cpu_count() or 1) if processes is None else processes
    for made in results(jobs, processes=1 if len(jobs) <= FEW_JOBS else wanted):
        if not isinstance(made, Made):
            raise TypeError(f"not what a job makes: {type(made)}")
        yield from made.files.items()
        articles.update(made.articles)
        heard += made.heard
    heard.sort(key=lambda one: one.place)
    if "web page" in order.files:
        for audience in order.audiences:
            mine = {reader: articles[reader, audience] for reader in order.readers}
            yield order.web(audience), web_page(order.handout, mine, heard, audience).encode()
    if "text" in order.files:
        yield order.text, str(order.handout).encode()


def _jobs(order: Order) -> Iterator[Job]:
    """Yield the jobs, those that take longest first."""
    kinds = order.files
    if {"sound", "MIDI", "web page"} & set(kinds):
        for place, block in reversed(order.heard):
            yield SoundJob(
                block,
                place,
                order.sounds(place, block),
                order.handout.tempo,
                order.handout.melody,
                order.sound if {"sound", "web page"} & set(kinds) else "",
                midi="MIDI" in kinds,
                files="sound" in kinds,
            )
    first = set(order.readers)
    sizes = sorted(order.groups.items(), key=lambda pair: pair[0][1] != "normal")
    for (reader, size), group in sizes:
        is_first = reader in first and bool({"MusicXML", "web page"} & set(kinds))
        first.discard(reader)
        if "pages" not in kinds and not is_first:
            continue
        yield PageJob(
            order.handout,
            reader,
            size,
            {one: order.page(one) for one in group} if "pages" in kinds else {},
            order.music(reader) if is_first and "MusicXML" in kinds and order.has_music else "",
            order.audiences if is_first and "web page" in kinds else (),
        )


def _zipped(made: dict[str, bytes]) -> bytes:
    """Return files as a zip; what is compressed already is only stored."""
    box = io.BytesIO()
    with zipfile.ZipFile(box, "w") as packed:
        for name, data in sorted(made.items()):
            dense = name.endswith((".pdf", ".mp3", ".ogg"))
            how = zipfile.ZIP_STORED if dense else zipfile.ZIP_DEFLATED
            packed.writestr(zipfile.ZipInfo(name, STAMP), data, how)
    return box.getvalue()
