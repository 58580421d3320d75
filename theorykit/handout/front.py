"""The front of a handout: all its entries but the blocks. Pages and files are named after it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date as Date
from typing import Annotated

from theorykit.errors import TheoryError, shown
from theorykit.handout.entries import About
from theorykit.handout.texts import checked_line, checked_names, checked_text, moved_names
from theorykit.lines.parts import FASTEST, MELODY_SOUNDS, SLOWEST
from theorykit.notes.instruments import Reader
from theorykit.notes.key import KEYS, Key

__all__ = ["Front", "KeyName", "Names"]

LONGEST_NOTE = 3_000

# Entries that the front has in common with blocks.
KeyName = Annotated[
    str, About(offers=tuple(str(key).removesuffix(" major") for key in KEYS), reads=Key.parse)
]
Names = Annotated[
    tuple[str, ...],
    About(
        says="words in the text that name notes or chords: they are written for each reader",
        hint="G7, Eb",
    ),
]


@dataclass(frozen=True, slots=True)
class Front:
    """What stands above and below the blocks of a handout, and how its recordings sound.

    ``teacher``, ``date`` and ``licence`` stand at the foot of the pages where they are given;
    ``tempo`` (beats a minute) and ``melody`` are for the sound that goes with the pages. ``names``
    are the words of the title and the note that name notes or chords in concert pitch and ``key``:
    they are moved for each reader.
    """

    title: Annotated[str, About(names=True)]
    note: Annotated[str, About(rows=4, names=True)] = ""
    teacher: str = ""
    date: Annotated[Date | str, About(says="such as 2026-03-05, or any words")] = ""
    licence: Annotated[str, About(says="a line at the foot of each page")] = ""
    tempo: Annotated[int, About(says="beats a minute, of the recordings")] = 100
    melody: Annotated[
        str, About(offers=tuple(MELODY_SOUNDS), says="the sound of the recordings")
    ] = "tenor saxophone"
    names: Names = ()
    key: KeyName = "C"

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

    def said_to(self, who: Reader) -> tuple[str, str]:
        """Return title and note, the names in them moved for a reader.

        >>> from theorykit.notes.instruments import reader
        >>> Front("Over G7", names=("G7",)).said_to(reader("E flat"))
        ('Over E7', '')
        """
        old = Key.parse(self.key)
        new = who.written_key(old)
        title, note = (moved_names(text, self.names, old, new) for text in (self.title, self.note))
        return title, note
