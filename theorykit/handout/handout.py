"""The handout: a title, a note for the reader, blocks in the teacher's order, kept as TOML text."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date as Date
from os import PathLike
from pathlib import Path
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.handout.block import Block
from theorykit.handout.kinds import KINDS, Fault, entries, record
from theorykit.handout.names import checked_names
from theorykit.handout.texts import checked_line, checked_text
from theorykit.handout.toml_faults import in_plain_words
from theorykit.handout.toml_lines import line_of
from theorykit.handout.toml_text import block_lines, entry_lines
from theorykit.lines.parts import FASTEST, SLOWEST
from theorykit.notes.key import Key
from theorykit.show.sound import MELODY_SOUNDS

__all__ = ["Handout"]

LONGEST_FILE = 500_000  # characters
MOST_BLOCKS = 100
LONGEST_NOTE = 3_000


@dataclass(frozen=True, slots=True)
class Handout:
    """What a teacher gives out: title, note for the reader, blocks in order.

    ``teacher``, ``date`` and ``licence`` stand at the foot of the pages where they are given;
    ``tempo`` (beats a minute) and ``melody`` are for the sound that goes with the pages. ``names``
    are the words of the title and the note that name notes or chords in concert pitch and ``key``:
    they are moved for each reader.

    >>> text = '''
    ... title = "One colour over the five"
    ...
    ... [[block]]
    ... kind = "colour"
    ... colour = "b9 13"
    ... key = "F"
    ... '''
    >>> handout = Handout.parse(text)
    >>> handout.blocks[0].key, Handout.parse(str(handout)) == handout
    ('F', True)
    """

    title: str
    note: str = ""
    teacher: str = ""
    date: Date | str = ""
    licence: str = ""
    tempo: int = 100
    melody: str = "tenor saxophone"
    names: tuple[str, ...] = ()
    key: str = "C"
    blocks: tuple[Block, ...] = ()

    def __post_init__(self) -> None:
        """Check every entry."""
        if not checked_line(self.title, "title").strip():
            raise TheoryError("a handout without a title (want a title of one line)")
        checked_text(self.note, "note", longest=LONGEST_NOTE)
        checked_line(self.teacher, "teacher")
        checked_line(self.licence, "licence", longest=300)
        if not isinstance(self.date, Date):
            checked_line(self.date, "date", longest=40)
        if not isinstance(self.tempo, int) or not SLOWEST <= self.tempo <= FASTEST:
            raise TheoryError(
                f"no such tempo: {shown(self.tempo)} (want {SLOWEST} to {FASTEST} beats a minute)"
            )
        if self.melody not in MELODY_SOUNDS:
            raise TheoryError(
                f"no such melody: {shown(self.melody)} (want {', '.join(MELODY_SOUNDS)})"
            )
        Key.parse(self.key)
        checked_names(self.names)
        if len(self.blocks) > MOST_BLOCKS:
            raise TheoryError(f"{len(self.blocks)} blocks (want at most {MOST_BLOCKS})")
        if not all(isinstance(block, Block) for block in self.blocks):
            raise TheoryError("not a block among the blocks (want blocks such as ColourBlock)")

    @classmethod
    def parse(cls, text: str) -> Handout:
        """Read a handout. The reverse of ``str``.

        >>> Handout.parse('title = "x"\\n\\n[[block]]\\nkind = "colour"\\ncolour = "blue"\\n')
        Traceback (most recent call last):
        theorykit.errors.TheoryError: line 5: no such colour: 'blue' (want one of b9, b9 13, \
b9 b13, b9 #11, b9 #11 13, 9 #11 13, #9, #9 b13, #9 #11, half-whole diminished, altered, whole \
tone, lydian dominant, minor's own, suspended, suspended b9, tritone substitute, its related ii)
        """
        table = _table(text)
        rows = table.pop("block", [])
        if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
            raise TheoryError(
                f"line {line_of(text, None, 'block')}: block is no list of tables "
                "(want [[block]] on a line of its own before each block)"
            )
        if "blocks" in table:
            raise TheoryError(
                f"line {line_of(text, None, 'blocks')}: no such entry in a handout: 'blocks' "
                "(want [[block]] on a line of its own before each block)"
            )
        blocks = tuple(_block(text, number, row) for number, row in enumerate(rows))
        try:
            front: Handout = record(cls, table, "a handout")
        except Fault as fault:
            raise _placed(text, None, fault) from None
        return front.with_blocks(blocks)

    @classmethod
    def read(cls, file: str | Path) -> Handout:
        """Read a handout from a text file.

        >>> Handout.read("nowhere.toml")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: no such file: 'nowhere.toml' (want the text file of a handout)
        """
        path = Path(file)
        if not path.is_file():
            raise TheoryError(f"no such file: {shown(str(file))} (want the text file of a handout)")
        if path.stat().st_size > 4 * LONGEST_FILE:
            raise TheoryError(
                f"{shown(path.name)} is too large (want at most {LONGEST_FILE} characters)"
            )
        try:
            return cls.parse(path.read_text(encoding="utf-8"))
        except UnicodeDecodeError:
            raise TheoryError(f"{shown(path.name)} is no text (want UTF-8)") from None

    def with_blocks(self, blocks: Iterable[Block]) -> Handout:
        """Return the handout with other blocks.

        >>> from theorykit.handout.words import TextBlock
        >>> print(Handout("Warm-up").with_blocks([TextBlock(text="Sing first.")]), end="")
        title = "Warm-up"
        <BLANKLINE>
        [[block]]
        kind = "text"
        text = "Sing first."
        """
        values = {one.name: getattr(self, one.name) for one in entries(Handout)}
        return Handout(**(values | {"blocks": tuple(blocks)}))

    def make(
        self,
        folder: str | PathLike[str],
        editions: object = "concert",
        *,
        files: object = ("pages", "MusicXML", "MIDI", "sound", "web page", "text"),
        sound: str = "mp3",
        overwrite: bool = False,
        progress: bool = True,
        processes: int | None = None,
    ) -> list[Path]:
        """Make the pages and what goes with them, and return the paths of the files.

        ``editions`` are those of ``Edition``, as values or as text such as ``"B flat, teacher"``;
        ``"everyone"`` makes them all and packs everything into a zip besides. ``files`` names what
        is made: pages, MusicXML, MIDI, sound, web page, text, zip; ``sound`` is its format, mp3 or
        ogg. Nothing is written outside ``folder``, and no file is overwritten unless ``overwrite``
        says so. ``processes`` is how many work side by side, by default one for each core.

        Raises ``TheoryError`` before any work for names that are taken and for letters that the
        fonts lack, and where the folder cannot be written to.

        >>> from tempfile import TemporaryDirectory
        >>> from theorykit.handout.words import TextBlock
        >>> handout = Handout("Warm-up", blocks=(TextBlock(text="Sing first."),))
        >>> with TemporaryDirectory() as folder:
        ...     [file.name for file in handout.make(folder, files="pages", progress=False)]
        ['Warm-up - concert - student - A4.pdf']
        """
        from theorykit.handout.making import Work, make_files
        from theorykit.handout.order import ordered

        order = ordered(self, editions, files, sound)
        return make_files(Work(order, Path(folder), overwrite, processes), progress=progress)

    def __str__(self) -> str:
        lines = [*entry_lines(self)]
        for block in self.blocks:
            lines += block_lines(block)
        return "\n".join(lines) + "\n"


def _table(text: object) -> dict[str, Any]:
    """Read TOML; its reader names line and column of what it cannot read."""
    if not isinstance(text, str) or len(text) > LONGEST_FILE:
        raise TheoryError(
            f"not a handout: {shown(text)} (want text of at most {LONGEST_FILE} characters)"
        )
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise TheoryError(
            f'{in_plain_words(str(error), text)} (want lines such as title = "Six colours", and '
            "[[block]] before each block)"
        ) from None
    except RecursionError:
        raise TheoryError("lists inside lists, too deep to read (want a flat file)") from None


def _block(text: str, number: int, row: dict[str, Any]) -> Block:
    """Return one block, or say in which line it goes wrong."""
    values = dict(row)
    kind = values.pop("kind", None)
    if not isinstance(kind, str) or kind not in KINDS:
        fault = Fault("kind", f"no such kind of block: {shown(kind)} (want {', '.join(KINDS)})")
        raise _placed(text, number, fault)
    try:
        block: Block = record(KINDS[kind], values, f"a block of the kind {kind}")
    except Fault as fault:
        raise _placed(text, number, fault) from None
    return block


def _placed(text: str, block: int | None, fault: Fault) -> TheoryError:
    """Return an error with its line."""
    return TheoryError(f"line {line_of(text, block, fault.entry)}: {fault}")
