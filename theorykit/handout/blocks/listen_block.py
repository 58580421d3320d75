"""The block that sends readers to a recording of the handout, and says what to listen for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, ClassVar

from theorykit.errors import TheoryError, shown
from theorykit.handout.blocks.block import WITH, Block, Place, Recording, recordings
from theorykit.handout.entries import About
from theorykit.handout.front import KeyName, Names
from theorykit.handout.page import Engraver
from theorykit.handout.pieces import BOX, Lead, Para, Piece, Section, Table, checked_line
from theorykit.notes.note import ascii_accidentals

MOST_THINGS, LONGEST_THING = 5, 200
OCTAVE = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class ListenBlock(Block):
    """A recording of the handout, and up to five things to listen for, each with a box to tick.

    ``sound`` is the heading of the block whose recording it is, or the title of its files; without
    one it is the first block that sounds. ``example`` is one of its recordings, such as "without
    the line"; without one it is the one with the line, or else the first. Where nothing in the
    handout sounds, the list stands alone, for what the band plays.
    """

    kind: ClassVar[str] = "listen"
    telling: ClassVar[tuple[str, ...]] = ("sound", "things")

    things: Annotated[
        tuple[str, ...],
        About(
            says="what to listen for, at most five",
            hint="Where does the bass go?",
            rows=5,
            names=True,
        ),
    ]
    sound: Annotated[
        str,
        About(
            says="the heading of a block that sounds; empty for the first", hint="the first sound"
        ),
    ] = ""
    example: Annotated[
        str, About(says="which of its recordings; empty for the one with the line", hint=WITH)
    ] = ""
    names: Names = ()
    key: KeyName = "C"

    def check(self) -> None:
        """Refuse a list that is empty or too long for one hearing."""
        if not 1 <= len(self.things) <= MOST_THINGS:
            raise TheoryError(
                f"no such number of things: {len(self.things)} (want 1 to {MOST_THINGS})"
            )
        for thing in self.things:
            if not checked_line(thing, "one of the things", longest=LONGEST_THING).strip():
                raise TheoryError("one of the things is empty (want a line of words)")
        checked_line(self.sound, "sound")
        checked_line(self.example, "example")

    def place_in(self, blocks: Sequence[Block], number: int) -> Place:
        """Return the recording that is meant, or refuse one that is not there."""
        found = list(recordings(blocks).values())
        if not found and not self.sound.strip() and not self.example.strip():
            return Place()
        return Place(heard=_labelled(_titled(found, self.sound), self.example))

    def section(self, engraver: Engraver, place: Place) -> Section:
        """Return where the recording is, and the list."""
        rows = tuple(
            (str(number), self.said(thing, engraver), BOX)
            for number, thing in enumerate(self.things, 1)
        )
        table = Table(
            "what to listen for", ("", "listen for", "heard"), rows, (0.0, 1.0, 0.0), marks=(0,)
        )
        told = _told(place.heard, engraver) if place.heard is not None else ()
        return Section(self.headed(engraver, "Listen"), (*told, table), self.margin_notes)


def _told(heard: Recording, engraver: Engraver) -> Iterator[Piece]:
    """Yield which recording it is, where its file lies and where its player stands."""
    yield Lead(f"Recording {heard.number}, {heard.label}")
    moved = engraver.reader.semitones % OCTAVE
    pitch = " The recording and its name are in concert pitch." if moved else ""
    yield Para(
        f"The file is “{heard.name}” in the folder “{heard.folder}”. On the web page, the player "
        f"is in this section.{pitch}",
        small=True,
    )


def _titled(found: list[tuple[Recording, ...]], title: str) -> tuple[Recording, ...]:
    """Return the recordings of the block with a title, of the first without one."""
    if found and not title.strip():
        return found[0]
    for one in found:
        if _plain(one[0].title) == _plain(title):
            return one
    there = ", ".join(one[0].title for one in found) or "a block that sounds"
    raise TheoryError(f"no such sound in this handout: {shown(title)} (want {there})")


def _labelled(found: tuple[Recording, ...], label: str) -> Recording:
    """Return the recording with a label; without one the line, or else the first."""
    labels = {_plain(one.label): one for one in found}
    if not label.strip():
        return labels.get(WITH, found[0])
    if _plain(label) not in labels:
        raise TheoryError(
            f"no such example of {found[0].title}: {shown(label)} (want "
            f"{', '.join(one.label for one in found)})"
        )
    return labels[_plain(label)]


def _plain(text: str) -> str:
    """Return a title as it is compared: signs as letters, no matter how it is spaced."""
    return " ".join(ascii_accidentals(text).casefold().split())
