"""Making a handout: the work in jobs, the files one by one, and the count of what was made."""

from __future__ import annotations

import io
import os
import re
import zipfile
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from pathlib import Path

from theorykit.errors import TheoryError, shown
from theorykit.handout.blocks import placed
from theorykit.handout.files.contents_page import contents_page
from theorykit.handout.files.disk import check_free, check_inside, write_whole
from theorykit.handout.files.jobs import Made, PageJob, SoundJob
from theorykit.handout.files.kept_sounds import KeptSounds, sounds_now
from theorykit.handout.files.order import Order, page_name
from theorykit.handout.files.pool import Between, Job, Stopped, results
from theorykit.handout.front import EVERYONE, Edition, Front
from theorykit.handout.page import Heard, Players, check_letters, web_page
from theorykit.harmony.wording import listed
from theorykit.show.files import sweep

SOUNDS = KeptSounds()  # of this process
FEW_JOBS = 3  # that are done sooner here than in processes that must start first
# What files are, by their endings, in the order of telling: one of them, several.
NAMES = {
    ".pdf": ("file to print", "files to print"),
    ".musicxml": ("music file", "music files"),
    ".mid": ("MIDI file", "MIDI files"),
    ".mp3": ("recording", "recordings"),
    ".ogg": ("recording", "recordings"),
    ".html": ("web page", "web pages"),
    ".toml": ("text of the handout", "texts of handouts"),
    "contents": ("table of contents", "tables of contents"),
    ".zip": ("zip", "zips"),
}
MEGA = 1_000_000
MOST_NAMED = 4  # editions that are too long
STAMP = (1980, 1, 1, 0, 0, 0)  # of files in a zip: the same handout gives the same bytes

_PAGE = re.compile(rb"/Type\s*/Page\b")  # one for each page of a PDF that typst writes


@dataclass(frozen=True, slots=True)
class Work:
    """The files that will be made into a folder. Nothing is made before ``steps`` is gone through.

    ``overwrite`` says whether files that are there already are replaced; ``processes`` is how many
    work side by side, by default one for each core. ``own`` are names of files that may be replaced
    in any case. ``stopped`` is asked again and again whether to go on. ``gone`` names for each
    edition what its pages leave out, once they are made.
    """

    order: Order
    folder: Path
    overwrite: bool = False
    processes: int | None = None
    own: frozenset[str] = frozenset()
    stopped: Callable[[], bool] = field(default=bool, compare=False)  # bool() is False
    gone: dict[Edition, str] = field(default_factory=dict, init=False, compare=False)

    def __post_init__(self) -> None:
        """Refuse what can be seen to fail before any work is done."""
        if self.folder.exists() and not self.folder.is_dir():
            raise TheoryError(f"{shown(str(self.folder))} is a file (want a folder)")
        check_inside(self.folder, self.order.names)
        if not self.overwrite:
            check_free(self.folder, [name for name in self.order.names if name not in self.own])
        check_letters((self.order.front, self.order.blocks))
        tuple(placed(self.order.blocks))  # refuses a block that speaks of one that is not there

    @property
    def files(self) -> list[Path]:
        """The paths of the files, in the order in which they are listed."""
        return [self.folder / name for name in self.order.names]

    def steps(self) -> Iterator[Path]:
        """Make one file after another, and yield its path as soon as it is there.

        Whoever stops in the middle has whole files, and the processes that helped are ended.
        """
        with suppress(Stopped):
            yield from self._steps()

    def _go_on(self) -> None:
        """Stop where nobody wants the files any more."""
        if self.stopped():
            raise Stopped

    def _steps(self) -> Iterator[Path]:
        """Make the files, or raise ``Stopped``."""
        sweep(self.folder)
        packs = "zip" in self.order.files
        made: dict[str, bytes] = {}
        for name, data in _content(self.order, self.processes, self.gone, self._go_on):
            made[name] = data if packs else b""
            yield self._written(name, data)
        if packs:
            before = {one: _read(self.folder / one) for one in self.order.kept}
            made |= {one: data for one, data in before.items() if data is not None}
            for name, audiences in self.order.zips.items():
                held = {one: made[one] for one in made if self.order.holds(audiences, one)}
                yield self._written(name, _zipped(held))

    def _written(self, name: str, data: bytes) -> Path:
        """Write one file; return its path."""
        write_whole(self.folder / name, data, overwrite=self.overwrite or name in self.own)
        return self.folder / name


def _read(file: Path) -> bytes | None:
    """Return what a file of before holds; None where it has gone or cannot be read."""
    try:
        return file.read_bytes()
    except OSError:
        return None


def make_files(work: Work, *, progress: bool) -> list[Path]:
    """Make the files of a handout as ``Handout.make`` says, and return their paths."""
    from tqdm.auto import tqdm  # here: it looks for a notebook, which takes a while

    files, title = work.files, work.order.name[:30]
    with tqdm(total=len(files), unit="file", disable=not progress, desc=title) as bar:
        for _ in work.steps():
            bar.update()
    return files


def _content(
    order: Order, processes: int | None, gone: dict[Edition, str], between: Between
) -> Iterator[tuple[str, bytes]]:
    """Yield the files with their content as they are done; what is left out goes into ``gone``."""
    articles = {}
    heard: list[Heard] = []
    for made in _done(list(_jobs(order)), processes, between):
        yield from made.files.items()
        articles.update(made.articles)
        gone.update(made.gone)
        heard += made.heard
    heard += _beside_others(order, heard)
    heard.sort(key=lambda one: one.place)
    if "web page" in order.files:
        players = Players(heard, order.front.melody)
        for audience in order.audiences:
            mine = {who: articles[who, audience] for who in order.readers_gathered}
            yield order.web(audience), web_page(order.front, mine, players, audience).encode()
    if "text" in order.files:
        yield order.text, order.written.encode()
    if "contents" in order.files:
        told = {(one.place, one.label): one.told for one in heard}
        for audience in order.audiences_listed:
            yield order.contents(audience), contents_page(order, audience, told).encode()


def _done(jobs: list[Job], processes: int | None, between: Between) -> Iterator[Made]:
    """Yield what comes of jobs, first what is kept from the time before."""
    sounds = sounds_now()
    found = [(job, SOUNDS.made(job, sounds)) for job in jobs]
    yield from (made for _, made in found if made is not None)
    rest = [job for job, made in found if made is None]
    wanted = (os.cpu_count() or 1) if processes is None else processes
    used = 1 if len(rest) <= FEW_JOBS else wanted
    for made in results(rest, processes=used, between=between):
        if not isinstance(made, Made):
            raise TypeError(f"not what a job makes: {type(made)}")
        SOUNDS.keep(rest, made, sounds)
        yield made


def _beside_others(order: Order, heard: list[Heard]) -> Iterator[Heard]:
    """Yield the recordings that stand a second time beside a block that speaks of them."""
    made = {(one.place, one.label): one for one in heard}
    for number, (_, place) in enumerate(placed(order.blocks)):
        one = place.heard
        if one is not None and (one.place, one.label) in made:
            again = made[one.place, one.label]
            take = None if again.take is None else replace(again.take, label=one.name)
            yield replace(again, place=number, label=one.name, take=take)


def _jobs(order: Order) -> Iterator[Job]:
    """Yield the jobs, those that take longest first."""
    kinds = order.files
    if {"sound", "MIDI", "web page"} & set(kinds):
        for place, found in reversed(order.heard.items()):
            yield SoundJob(
                order.blocks[place],
                place,
                tuple(one.file for one in found),
                order.front.tempo,
                order.front.melody,
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
            order.front,
            order.blocks,
            reader,
            size,
            {one: order.page(one) for one in group} if "pages" in kinds else {},
            order.music(reader) if is_first and "MusicXML" in kinds and order.has_music else "",
            order.audiences if is_first and "web page" in kinds else (),
        )
    if "web page" in kinds:
        for who in order.readers_gathered[len(order.readers) :]:
            yield PageJob(order.front, order.blocks, who, "normal", {}, "", order.audiences)


def _zipped(made: dict[str, bytes]) -> bytes:
    """Return files as a zip; what is compressed already is only stored."""
    box = io.BytesIO()
    with zipfile.ZipFile(box, "w") as packed:
        for name, data in sorted(made.items()):
            dense = name.endswith((".pdf", ".mp3", ".ogg"))
            how = zipfile.ZIP_STORED if dense else zipfile.ZIP_DEFLATED
            packed.writestr(zipfile.ZipInfo(name, STAMP), data, how)
    return box.getvalue()


@dataclass(frozen=True, slots=True)
class Summary:
    """How many files there are of each ending, how large they are, and in which folder.

    ``pages`` are those of all files to print.

    >>> Summary({".pdf": 2, ".zip": 1}, 2_500_000, "Thursday", 5).words
    '3 files (2 files to print with 5 pages, 1 zip), 2.5 MB, in Thursday.'
    """

    counts: dict[str, int]
    bytes: int
    folder: str
    pages: int = 0

    @property
    def words(self) -> str:
        """The whole in a sentence."""
        count = sum(self.counts.values())
        parts = [self._part(end) for end in NAMES if end in self.counts]
        size = f"{self.bytes / MEGA:.1f} MB"
        return f"{count} file{'s' * (count != 1)} ({', '.join(parts)}), {size}, in {self.folder}."

    def _part(self, end: str) -> str:
        """Say how many files of an ending there are."""
        count = self.counts[end]
        paper = f" with {self.pages} page{'s' * (self.pages != 1)}" if end == ".pdf" else ""
        return f"{count} {NAMES[end][count > 1]}{paper}"


def _kind(file: Path) -> str:
    """Return what a file is, as ``NAMES`` has it."""
    return "contents" if " - contents - " in file.stem else file.suffix


def summary_of(files: Iterable[Path]) -> Summary:
    """Return what ``Handout.make`` made, counted, with the full path of the folder.

    >>> summary_of([]).words
    '0 files (), 0.0 MB, in nowhere.'
    """
    found = list(files)
    tops = [file.parent for file in found]
    while len(set(tops)) > 1:
        deepest = max(len(top.parts) for top in tops)
        tops = [top.parent if len(top.parts) == deepest else top for top in tops]
    return Summary(
        dict(Counter(map(_kind, found))),
        sum(file.stat().st_size for file in found),
        str(tops[0].absolute()) if tops else "nowhere",
        sum(map(_pages, (file for file in found if file.suffix == ".pdf"))),
    )


def _pages(file: Path) -> int:
    """Return how many pages a file to print has."""
    return len(_PAGE.findall(file.read_bytes()))


def too_long(front: Front, files: Iterable[Path]) -> str:
    """Return which files are longer than the target of a handout, in a sentence; empty for none.

    >>> too_long(Front("Warm-up", fits="1 page"), [])
    ''
    """
    editions = {page_name(front, one): one for one in EVERYONE}
    found = [(editions[file.name], _pages(file)) for file in files if file.name in editions]
    limits = [(one, pages, one.most_pages(front.fits)) for one, pages in found]
    long = [f"{one} ({pages} pages)" for one, pages, most in limits if 0 < most < pages]
    if not long:
        return ""
    more = f" and {len(long) - MOST_NAMED} more" if len(long) > MOST_NAMED else ""
    return f"Longer than asked for: {'; '.join(long[:MOST_NAMED])}{more}."


def left_out(gone: Mapping[Edition, str]) -> str:
    """Return what pages leave out to be as short as asked for, in a sentence; empty for nothing.

    ``gone`` names it for each edition that was made.

    >>> left_out({Edition(): "", Edition(size="large print"): "the keyboard (block 1)"})
    'Left out so that the pages fit: in large print the keyboard (block 1).'
    """
    groups: dict[tuple[str, str], list[Edition]] = {}
    for one, parts in gone.items():
        groups.setdefault((one.size, parts), []).append(one)
    said = [
        f"in {_whose(size, found, gone)} {parts}"
        for (size, parts), found in groups.items()
        if parts
    ]
    return f"Left out so that the pages fit: {'; '.join(said)}." if said else ""


def _whose(size: str, found: Sequence[Edition], everyone: Iterable[Edition]) -> str:
    """Say which of the editions of a size some are: by print alone, or by reader and audience."""
    alike = [one for one in everyone if one.size == size]
    kind = "normal print" if size == "normal" else size
    readers, audiences = {one.reader for one in found}, {one.audience for one in found}
    if sum(one.reader in readers and one.audience in audiences for one in alike) > len(found):
        return f"{kind} for {listed(f'{one.reader} ({one.audience})' for one in found)}"
    more = [
        listed(dict.fromkeys(names))
        for names, all_names in (
            ([one.reader for one in found], {one.reader for one in alike}),
            ([one.audience for one in found], {one.audience for one in alike}),
        )
        if set(names) != all_names
    ]
    return f"{kind} for {', '.join(more)}" if more else kind
