"""The work behind a handout in pieces that can be done side by side."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from theorykit.handout.block import Block
from theorykit.handout.desk import Desk
from theorykit.handout.editions import Edition
from theorykit.handout.examples import examples_of
from theorykit.handout.pages import page_pdf, said_to
from theorykit.handout.sections import sections_of
from theorykit.handout.web import Article, Heard, article
from theorykit.notes.instruments import reader
from theorykit.show.audio import mp3_bytes, ogg_bytes
from theorykit.show.midi_out import midi_bytes
from theorykit.show.scores import score_musicxml
from theorykit.show.sound import MELODY_SOUNDS, render

if TYPE_CHECKING:
    from theorykit.handout.handout import Handout

__all__ = ["SOUND_FORMATS", "Made", "PageJob", "SoundJob"]

SOUND_FORMATS = {"mp3": mp3_bytes, "ogg": ogg_bytes}


@dataclass(frozen=True, slots=True)
class Made:
    """What a job gives: files by their names, articles of the web page by reader and audience."""

    files: dict[str, bytes] = field(default_factory=dict)
    articles: dict[tuple[str, str], Article] = field(default_factory=dict)
    heard: tuple[Heard, ...] = ()


@dataclass(frozen=True, slots=True)
class PageJob:
    """All pages for one reader in one size of print: engraved once, printed in every edition.

    ``pages`` are the names of the files by edition, ``music`` is the name of the MusicXML file or
    empty, ``articles`` are the audiences that the web page is made for.
    """

    handout: Handout
    reader: str
    size: str
    pages: dict[Edition, str]
    music: str = ""
    articles: tuple[str, ...] = ()

    def run(self) -> Made:
        """Return the pages."""
        who = reader(self.reader)
        sections = sections_of(self.handout.blocks, Desk(who, self.size))
        files = {
            name: page_pdf(self.handout, sections, edition) for edition, name in self.pages.items()
        }
        scores = [score for section in sections for score in section.scores]
        if self.music and scores:
            title, _ = said_to(self.handout, who)
            text = score_musicxml(
                scores, title=title, part=self.reader, rights=self.handout.licence
            )
            files[self.music] = text.encode()
        articles = {
            (self.reader, audience): article(self.handout, sections, who, audience)
            for audience in self.articles
        }
        return Made(files, articles)


@dataclass(frozen=True, slots=True)
class SoundJob:
    """What can be heard of one block; ``names`` are the names of its files, without ending.

    ``form`` is one of ``SOUND_FORMATS`` or empty for none; ``midi`` tells whether MIDI is wanted.
    """

    block: Block
    place: int
    names: tuple[str, ...]
    tempo: int
    melody: str
    form: str
    midi: bool
    files: bool

    def run(self) -> Made:
        """Return the sound of every example."""
        made: dict[str, bytes] = {}
        heard: list[Heard] = []
        for name, one in zip(self.names, examples_of(self.block, self.tempo), strict=True):
            if self.midi:
                melody = MELODY_SOUNDS[self.melody]
                made[f"{name}.mid"] = midi_bytes(one.played, swing="written out", melody=melody)
            if self.form:
                data = SOUND_FORMATS[self.form](render(one.played, melody=self.melody))
                heard.append(Heard(self.place, one.label, self.form, data))
                if self.files:
                    made[f"{name}.{self.form}"] = data
        return Made(made, heard=tuple(heard))
