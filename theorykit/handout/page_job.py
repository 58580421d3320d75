"""The work behind the pages of one reader, to be done beside other work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from theorykit.handout.desk import Desk
from theorykit.handout.editions import Edition
from theorykit.handout.made import Made
from theorykit.handout.pages import page_pdf, said_to
from theorykit.handout.sections import sections_of
from theorykit.handout.web import article
from theorykit.notes.instruments import reader
from theorykit.show.scores import score_musicxml

if TYPE_CHECKING:
    from theorykit.handout.handout import Handout

__all__ = ["PageJob"]


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
