"""Making a handout: which files there will be, the work in jobs, the files one by one."""

from __future__ import annotations

import io
import os
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from tqdm.auto import tqdm

from theorykit.errors import TheoryError, shown
from theorykit.handout.block import Block
from theorykit.handout.disk import check_free, check_inside, file_name, sweep, write_whole
from theorykit.handout.editions import EVERYONE, Edition, chosen_editions
from theorykit.handout.examples import labels_of, sounds_in, title_of
from theorykit.handout.letters import check_letters
from theorykit.handout.made import Heard, Made
from theorykit.handout.page_job import PageJob
from theorykit.handout.pool import Job, results
from theorykit.handout.sound_job import SOUND_FORMATS, SoundJob
from theorykit.handout.web import web_page

if TYPE_CHECKING:
    from theorykit.handout.handout import Handout

__all__ = ["FILES", "make_files"]

# What can be made, by the name that asks for it.
FILES = ("pages", "MusicXML", "MIDI", "sound", "web page", "text", "zip")
SOUND_FOLDER = "sound"
FEW_JOBS = 3  # that are done sooner here than in processes that must start first
STAMP = (1980, 1, 1, 0, 0, 0)  # of files in a zip: the same handout gives the same bytes


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be made of a handout: editions, kinds of files, format of the sound."""

    handout: Handout
    editions: tuple[Edition, ...]
    files: tuple[str, ...]
    sound: str

    @property
    def name(self) -> str:
        """The handout's title as the beginning of the names of its files."""
        return file_name(self.handout.title)

    @property
    def groups(self) -> dict[tuple[str, str], tuple[Edition, ...]]:
        """The editions that share their engraving, by reader and size."""
        keys = dict.fromkeys((one.reader, one.size) for one in self.editions)
        return {
            key: tuple(one for one in self.editions if (one.reader, one.size) == key)
            for key in keys
        }

    @property
    def readers(self) -> tuple[str, ...]:
        """The readers, each once."""
        return tuple(dict.fromkeys(one.reader for one in self.editions))

    @property
    def audiences(self) -> tuple[str, ...]:
        """The audiences, each once."""
        return tuple(dict.fromkeys(one.audience for one in self.editions))

    @property
    def heard(self) -> tuple[tuple[int, Block], ...]:
        """The blocks of which something can be heard, with their places."""
        blocks = enumerate(self.handout.blocks)
        return tuple((place, block) for place, block in blocks if sounds_in(block))

    def page(self, one: Edition) -> str:
        """Return the name of the file of an edition."""
        size = "" if one.size == "normal" else f" - {one.size}"
        return f"{one.reader}/{self.name} - {one.reader} - {one.audience} - {one.paper}{size}.pdf"

    def music(self, reader: str) -> str:
        """Return the name of the MusicXML file of a reader."""
        return f"{reader}/{self.name} - {reader}.musicxml"

    def web(self, audience: str) -> str:
        """Return the name of the web page."""
        return f"{self.name} - {audience}.html"

    def sounds(self, place: int, block: Block) -> tuple[str, ...]:
        """Return the names of what can be heard of a block, without ending."""
        number = [at for at, _ in self.heard].index(place) + 1
        title = file_name(title_of(block), otherwise="example")
        return tuple(f"{SOUND_FOLDER}/{number:02} {title} - {label}" for label in labels_of(block))


def ordered(handout: Handout, editions: object, files: object, sound: str) -> Order:
    """Return what was asked for, or refuse what cannot be made."""
    wanted = (files,) if isinstance(files, str) else tuple(files)  # type: ignore[arg-type]
    for one in wanted:
        if one not in FILES:
            raise TheoryError(f"no such kind of file: {shown(one)} (want {', '.join(FILES)})")
    if sound not in SOUND_FORMATS:
        raise TheoryError(
            f"no such format of sound: {shown(sound)} (want {', '.join(SOUND_FORMATS)})"
        )
    chosen = chosen_editions(editions)
    if set(chosen) == set(EVERYONE) and "zip" not in wanted:
        wanted = (*wanted, "zip")
    return Order(handout, chosen, wanted, sound)


def make_files(
    handout: Handout,
    folder: str | os.PathLike[str],
    editions: object,
    *,
    files: object,
    sound: str,
    overwrite: bool,
    progress: bool,
    processes: int | None,
) -> list[Path]:
    """Make the files of a handout as ``Handout.make`` says, and return their paths."""
    order = ordered(handout, editions, files, sound)
    home = Path(folder)
    if home.exists() and not home.is_dir():
        raise TheoryError(f"{shown(str(home))} is a file (want a folder)")
    names = list(planned(order))
    check_inside(home, names)
    if not overwrite:
        check_free(home, names)
    check_letters(handout)
    sweep(home)
    made: dict[str, bytes] = {}
    with tqdm(total=len(names), unit="file", disable=not progress, desc=order.name[:30]) as bar:
        for name, data in _content(order, processes):
            write_whole(home / name, data, overwrite=overwrite)
            made[name] = data if "zip" in order.files else b""
            bar.update()
        if "zip" in order.files:
            write_whole(home / _zip_name(order), _zipped(made), overwrite=overwrite)
            bar.update()
    return [home / name for name in names]


def planned(order: Order) -> Iterator[str]:
    """Yield the names of all files that will be made, in the order in which they are listed."""
    if "pages" in order.files:
        yield from map(order.page, order.editions)
    if "MusicXML" in order.files and _has_music(order):
        yield from map(order.music, order.readers)
    for place, block in order.heard:
        for name in order.sounds(place, block):
            if "sound" in order.files:
                yield f"{name}.{order.sound}"
            if "MIDI" in order.files:
                yield f"{name}.mid"
    if "web page" in order.files:
        yield from map(order.web, order.audiences)
    if "text" in order.files:
        yield f"{order.name}.toml"
    if "zip" in order.files:
        yield _zip_name(order)


def _zip_name(order: Order) -> str:
    """Return the name of the zip."""
    whose = "everyone" if set(order.editions) == set(EVERYONE) else "all files"
    return f"{order.name} - {whose}.zip"


def _has_music(order: Order) -> bool:
    """Tell whether any block prints notes."""
    return any(block.prints_notes for block in order.handout.blocks)


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
        yield f"{order.name}.toml", str(order.handout).encode()


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
            order.music(reader) if is_first and "MusicXML" in kinds and _has_music(order) else "",
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
