"""The jobs behind a handout: the pages of one reader, the sounds of one block.

Each can be done in another process beside the others.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from theorykit.handout.blocks import Block
from theorykit.handout.files.pool import Between, go_on
from theorykit.handout.fitting import fitted, phone_sections
from theorykit.handout.front import WEB_QUESTIONS, Edition, Front
from theorykit.handout.page import PLAIN, Article, Heard, article, page_pdf
from theorykit.handout.pieces import Section
from theorykit.handout.week_questions import asked_section
from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.notes.reader import Reader, reader
from theorykit.show.engraving import score_musicxml
from theorykit.show.files import midi_bytes
from theorykit.show.sound import mp3_bytes, ogg_bytes, render

SOUND_FORMATS = {"mp3": mp3_bytes, "ogg": ogg_bytes}


@dataclass(frozen=True, slots=True)
class Made:
    """What one job returns: files by their names, articles of the web page, recordings.

    Articles are found by reader and audience; ``place`` is that of the block that is heard;
    ``gone`` names for each edition the parts that its pages leave out.
    """

    files: dict[str, bytes] = field(default_factory=dict)
    articles: dict[tuple[str, str], Article] = field(default_factory=dict)
    heard: tuple[Heard, ...] = ()
    place: int | None = None
    gone: dict[Edition, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PageJob:
    """All pages for one reader in one size of print: engraved once, printed in every edition.

    ``pages`` are the names of the files by edition, ``music`` is the name of the MusicXML file or
    empty, ``articles`` are the audiences that the web page is made for.
    """

    front: Front
    blocks: tuple[Block, ...]
    reader: str
    size: str
    pages: dict[Edition, str]
    music: str = ""
    articles: tuple[str, ...] = ()

    def run(self, *, between: Between = go_on) -> Made:
        """Return the pages; ``between`` is called after each step."""
        who = reader(self.reader)
        near, files, gone = PLAIN, {}, {}
        for edition, name in self.pages.items():
            one = fitted(self.front, self.blocks, edition, near=near)  # mostly as the one before
            between()
            near, gone[edition] = one.setting, one.gone
            files[name] = page_pdf(self.front, one.sections, edition, near, told=one.told)
            between()
        sections = fitted(Front("any"), self.blocks, Edition(self.reader, size=self.size)).sections
        between()
        if self.music:
            files |= self._score(sections, who)
            between()
        articles = self._articles(sections, who) if self.articles else {}
        return Made(files, articles, gone=gone)

    def _score(self, sections: tuple[Section, ...], who: Reader) -> dict[str, bytes]:
        """Return the music of the pages as a file, each staff with its tempo and swing."""
        scores = [score for section in sections for score in section.scores]
        if not scores:
            return {}
        owners = [section for section in sections for _ in section.scores]
        text = score_musicxml(
            scores,
            title=self.front.said_to(who)[0],
            part=self.reader,
            rights=self.front.licence,
            tempos=[one.tempo or self.front.tempo for one in owners],
            evens=[one.is_even for one in owners],
        )
        return {self.music: text.encode()}

    def _articles(
        self, sections: tuple[Section, ...], who: Reader
    ) -> dict[tuple[str, str], Article]:
        """Return the reader's part of the web page for each audience, the week's questions last."""
        wants = self.front.web_questions == WEB_QUESTIONS[0]
        asked = asked_section(self.front.title, self.blocks, who) if wants else None
        more = (asked,) if asked is not None else ()
        wide, narrow = (*sections, *more), (*phone_sections(self.blocks, who), *more)
        return {
            (self.reader, audience): article(self.front, wide, who, audience, narrow)
            for audience in self.articles
        }


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

    def run(self, *, between: Between = go_on) -> Made:
        """Return the sound of every example; ``between`` is called after each."""
        made: dict[str, bytes] = {}
        heard: list[Heard] = []
        for name, one in zip(self.names, self.block.examples(self.tempo), strict=True):
            if self.midi:
                melody = MELODY_SOUNDS[self.melody]
                made[f"{name}.mid"] = midi_bytes(one.played, swing="written out", melody=melody)
            if self.form:
                sound = render(one.played, melody=self.melody)
                data = SOUND_FORMATS[self.form](sound)
                told = one.told(sound.seconds)
                heard.append(Heard(self.place, one.label, self.form, data, told, one.take))
                if self.files:
                    made[f"{name}.{self.form}"] = data
            between()
        return Made(made, heard=tuple(heard), place=self.place)
