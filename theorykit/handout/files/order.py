"""Orders: the files that are wanted of a handout, and all their names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import chain

from theorykit.errors import TheoryError, shown
from theorykit.handout.blocks import Block, Recording, keyed, recordings
from theorykit.handout.file_names import file_name
from theorykit.handout.files.jobs import SOUND_FORMATS
from theorykit.handout.front import AUDIENCES, EVERYONE, Edition, Front, chosen_editions

# What can be made, by the name that asks for it.
FILES = ("pages", "MusicXML", "MIDI", "sound", "web page", "text", "contents", "zip")


def page_name(front: Front, one: Edition) -> str:
    """Return the name of the file of an edition, without its folder.

    >>> page_name(Front("Warm-up"), Edition("F", size="large print"))
    'Warm-up - F - student - A4 - large print.pdf'
    """
    size = "" if one.size == "normal" else f" - {one.size}"
    return f"{file_name(front.title)} - {one.reader} - {one.audience} - {one.paper}{size}.pdf"


@dataclass(frozen=True, slots=True)
class Earlier:
    """What was made of a handout before: the names of the files, and the readers they are for.

    ``said`` is what the table of contents said of recordings, by the names of their files.
    """

    names: frozenset[str] = frozenset()
    readers: tuple[str, ...] = ()
    said: Mapping[str, str] = field(default_factory=dict, compare=False)


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be made of a handout: editions, kinds of files, format of the sound.

    ``written`` is the handout as its own text file; ``earlier`` is what zips, contents and web page
    hold beside what is made.
    """

    front: Front
    blocks: tuple[Block, ...]
    written: str
    editions: tuple[Edition, ...]
    files: tuple[str, ...]
    sound: str
    earlier: Earlier = Earlier()

    @classmethod
    def of(
        cls,
        front: Front,
        blocks: tuple[Block, ...],
        written: str,
        editions: object,
        files: object,
        sound: str,
    ) -> Order:
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
        return cls(front, keyed(blocks), written, chosen, wanted, sound)

    @property
    def name(self) -> str:
        """The handout's title as the beginning of the names of its files."""
        return file_name(self.front.title)

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
    def every(self) -> Order:
        """The order of everything that could be made of the handout."""
        return replace(self, editions=EVERYONE, files=FILES, earlier=Earlier())

    @property
    def readers_gathered(self) -> tuple[str, ...]:
        """The readers, and after them those for whom something was made before."""
        return tuple(dict.fromkeys((*self.readers, *self.earlier.readers)))

    @property
    def audiences_listed(self) -> tuple[str, ...]:
        """The audiences that have a table of contents."""
        before = (one for one in AUDIENCES if self.contents(one) in self.earlier.names)
        return tuple(dict.fromkeys((*self.audiences, *before)))

    @property
    def kept(self) -> frozenset[str]:
        """The names of the files that were made before and are not made anew."""
        return self.earlier.names.difference(self.names)

    @property
    def gathered(self) -> tuple[str, ...]:
        """The names of all files of the folder: those that will be made, and those of before."""
        kept = self.kept
        if not kept:
            return self.names
        return tuple(one for one in self.every.names if one in kept or one in self.names)

    def made_for(self, reader: str) -> Iterator[str]:
        """Yield the names of the files that are for one reader."""
        yield from (self.page(one) for one in self.editions if one.reader == reader)
        yield self.music(reader)

    @property
    def heard(self) -> dict[int, tuple[Recording, ...]]:
        """The recordings of the blocks of which something can be heard, by the blocks' places."""
        return recordings(self.blocks)

    def page(self, one: Edition) -> str:
        """Return the name of the file of an edition."""
        return f"{one.reader}/{page_name(self.front, one)}"

    def music(self, reader: str) -> str:
        """Return the name of the MusicXML file of a reader."""
        return f"{reader}/{self.name} - {reader}.musicxml"

    def web(self, audience: str) -> str:
        """Return the name of the web page."""
        return self.front.web_file(audience)

    def contents(self, audience: str) -> str:
        """Return the name of the table of contents."""
        return f"{self.name} - contents - {audience}.html"

    @property
    def text(self) -> str:
        """The name of the handout's own text, which holds the answers."""
        return f"{self.name}.toml"

    @property
    def has_music(self) -> bool:
        """True if any block prints notes."""
        return any(block.prints_notes for block in self.blocks)

    @property
    def zips(self) -> dict[str, tuple[str, ...]]:
        """The zips by name, each with the audiences that it is for.

        That of the teacher holds everything, that of the students neither answers nor notes.
        """
        found: dict[str, tuple[str, ...]] = {f"{self.name} - for the teacher.zip": AUDIENCES}
        students = f"{self.name} - for students.zip"
        if AUDIENCES[0] in self.audiences or students in self.earlier.names:
            found[students] = AUDIENCES[:1]
        return found

    def holds(self, audiences: tuple[str, ...], name: str) -> bool:
        """Tell whether a file is for some audiences; the teacher has all, students their own."""
        if AUDIENCES[1] in audiences:
            return True
        theirs = {self.web(AUDIENCES[1]), self.contents(AUDIENCES[1]), self.text}
        theirs |= {self.page(one) for one in EVERYONE if one.audience == AUDIENCES[1]}
        return name not in theirs

    @property
    def names(self) -> tuple[str, ...]:
        """The names of all files that will be made, in the order in which they are listed."""
        return tuple(self._names())

    def _names(self) -> Iterator[str]:
        """Yield the names."""
        if "pages" in self.files:
            yield from map(self.page, self.editions)
        if "MusicXML" in self.files and self.has_music:
            yield from map(self.music, self.readers)
        for one in chain(*self.heard.values()):
            if "sound" in self.files:
                yield f"{one.file}.{self.sound}"
            if "MIDI" in self.files:
                yield f"{one.file}.mid"
        if "web page" in self.files:
            yield from map(self.web, self.audiences)
        if "text" in self.files:
            yield self.text
        if "contents" in self.files:
            yield from map(self.contents, self.audiences_listed)
        if "zip" in self.files:
            yield from self.zips
