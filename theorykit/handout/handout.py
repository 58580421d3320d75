"""The handout: a front, blocks in the teacher's order, kept as a text file and made into files."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from os import PathLike
from pathlib import Path
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.handout.blocks import KINDS, Block
from theorykit.handout.entries import Fault, entries, own_words, record
from theorykit.handout.files import FILES, Order, Work, make_files
from theorykit.handout.front import Edition, Front
from theorykit.handout.names import names_in
from theorykit.handout.toml_text import LONGEST_FILE, entry_lines, line_of, placed, table_of
from theorykit.show.own_reader import own_reader

__all__ = ["Handout", "moved_hint", "moved_words"]

MOST_BLOCKS = 100
MOST_TOLD = 8
OCTAVE = 12


@dataclass(frozen=True, slots=True)
class Handout(Front):
    """What a teacher gives out: title, note for the reader, blocks in order.

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

    blocks: tuple[Block, ...] = ()

    def __post_init__(self) -> None:
        """Check every entry."""
        Front.__post_init__(self)
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
        table = table_of(text)
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
            front: Front = record(Front, table, "a handout")
        except Fault as fault:
            raise placed(text, None, fault) from None
        return cls(**_values(front), blocks=blocks)

    @classmethod
    def read(cls, file: str | Path) -> Handout:
        """Read a handout from a text file.

        >>> Handout.read("nowhere.toml")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: no such file: 'nowhere.toml' (want the text file of a handout)
        """
        path = _path(file, "the text file of a handout")
        if not path.is_file():
            raise TheoryError(f"no such file: {shown(str(file))} (want the text file of a handout)")
        if path.stat().st_size > 4 * LONGEST_FILE:
            raise TheoryError(
                f"{shown(path.name)} is too large (want at most {LONGEST_FILE} characters)"
            )
        try:
            return cls.parse(path.read_text(encoding="utf-8-sig"))
        except UnicodeDecodeError:
            raise TheoryError(f"{shown(path.name)} is no text (want UTF-8)") from None

    def with_blocks(self, blocks: Iterable[Block]) -> Handout:
        """Return the handout with other blocks.

        >>> from theorykit.handout.blocks import TextBlock
        >>> print(Handout("Warm-up").with_blocks([TextBlock(text="Sing first.")]), end="")
        title = "Warm-up"
        <BLANKLINE>
        [[block]]
        kind = "text"
        text = "Sing first."
        """
        return Handout(**_values(self), blocks=tuple(blocks))

    def make(
        self,
        folder: str | PathLike[str],
        editions: object = None,
        *,
        files: object = FILES[:-1],
        sound: str = "mp3",
        overwrite: bool = False,
        progress: bool = True,
        processes: int | None = None,
    ) -> list[Path]:
        """Make the pages and what goes with them, and return the paths of the files.

        ``editions`` are those of ``Edition``, as values or as text such as ``"B flat, teacher"``;
        ``"everyone"`` makes them all, and a zip for the teacher and one for students besides; by
        default it is the one for what the reader plays. ``files`` names what is made: pages,
        MusicXML, MIDI, sound, web page, text, contents, zip; ``sound`` is its format, mp3 or ogg.
        Nothing is written outside ``folder``, and no file is overwritten unless ``overwrite`` says
        so. ``processes`` is how many work side by side, by default one for each core.

        Raises ``TheoryError`` before any work for names that are taken and for letters that the
        fonts lack, and where the folder cannot be written to.

        >>> from tempfile import TemporaryDirectory
        >>> from theorykit.handout.blocks import TextBlock
        >>> handout = Handout("Warm-up", blocks=(TextBlock(text="Sing first."),))
        >>> with TemporaryDirectory() as folder:
        ...     [file.name for file in handout.make(folder, files="pages", progress=False)]
        ['Warm-up - concert - student - A4.pdf']
        """
        work = self.work(folder, editions, files, sound, overwrite=overwrite, processes=processes)
        return make_files(work, progress=progress)

    def work(
        self,
        folder: str | PathLike[str],
        editions: object = None,
        files: object = FILES[:-1],
        sound: str = "mp3",
        *,
        overwrite: bool = False,
        processes: int | None = None,
    ) -> Work:
        """Return the work that ``make`` does, to be done step by step; nothing is made yet.

        >>> [file.name for file in Handout("Warm-up").work("Thursday", "F", "pages").files]
        ['Warm-up - F - student - A4.pdf']
        """
        wanted = Edition(own_reader().name) if editions is None else editions
        order = Order.of(self, self.blocks, str(self), wanted, files, sound)
        return Work(order, _path(folder, "a folder for the files"), overwrite, processes)

    def __str__(self) -> str:
        lines = [*entry_lines(self, Front)]
        for block in self.blocks:
            lines += ["", "[[block]]", f'kind = "{block.kind}"', *entry_lines(block)]
        return "\n".join(lines) + "\n"


def _block(text: str, number: int, row: dict[str, Any]) -> Block:
    """Return one block, or say in which line it goes wrong."""
    values = dict(row)
    kind = values.pop("kind", None)
    if not isinstance(kind, str) or kind not in KINDS:
        fault = Fault("kind", f"no such kind of block: {shown(kind)} (want {', '.join(KINDS)})")
        raise placed(text, number, fault)
    try:
        block: Block = record(KINDS[kind], values, f"a block of the kind {kind}")
    except Fault as fault:
        raise placed(text, number, fault) from None
    return block


def _values(front: Front) -> dict[str, Any]:
    """Return the entries of a front by their names."""
    return {one.name: getattr(front, one.name) for one in entries(Front)}


def moved_words(handout: Handout) -> tuple[str, ...]:
    """Return the words of all texts of a handout that are moved for a transposing reader.

    >>> moved_words(Handout("Over G7", note="Think E, section C.", as_typed=("E",)))
    ('G7',)
    """
    everything: tuple[Handout | Block, ...] = (handout, *handout.blocks)
    found = (word for one in everything for word in (*one.names, *_found_names(one)))
    return tuple(dict.fromkeys(found))


def moved_hint(handout: Handout, edition: Edition) -> str:
    """Return what to say of such words on a page for an edition; empty where none is moved.

    >>> moved_hint(Handout("Over G7"), Edition("B flat"))
    "In this edition these words are written for the reader: G7. What names no note goes under \
'as typed'."
    >>> moved_hint(Handout("Over G7"), Edition("guitar"))
    ''
    """
    words = moved_words(handout) if edition.who.semitones % OCTAVE else ()
    if not words:
        return ""
    more = " and more" if len(words) > MOST_TOLD else ""
    return (
        "In this edition these words are written for the reader: "
        f"{', '.join(words[:MOST_TOLD])}{more}. What names no note goes under 'as typed'."
    )


def _found_names(made: Handout | Block) -> tuple[str, ...]:
    """Return the names of notes and chords that are found in a teacher's texts, each once.

    They are those of title and note, or of a block, without those that are left as typed.

    >>> _found_names(Handout("Over G7", note="A triad on E. Go on to Am7!"))
    ('G7', 'E', 'Am7')
    """
    texts = (made.title, made.note) if isinstance(made, Handout) else tuple(own_words(made))
    return tuple(dict.fromkeys(word for text in texts for word in names_in(text, made.as_typed)))


def _path(given: object, what: str) -> Path:
    """Return a path, refusing what is none."""
    if not isinstance(given, (str, PathLike)):
        raise TheoryError(f"not a path: {shown(given)} (want {what})")
    return Path(given)
