"""A page: its pictures engraved for a reader, set for paper and for the browser."""

from theorykit.handout.page.browser_page import Article, Heard, Players, article, web_page
from theorykit.handout.page.engraver import Engraver, playable
from theorykit.handout.page.page_setting import ASIDES, PLAIN, SETTINGS, Setting
from theorykit.handout.page.printed_page import (
    check_letters,
    page_extent,
    page_pdf,
    page_pngs,
)

__all__ = [
    "ASIDES",
    "PLAIN",
    "SETTINGS",
    "Article",
    "Engraver",
    "Heard",
    "Players",
    "Setting",
    "article",
    "check_letters",
    "page_extent",
    "page_pdf",
    "page_pngs",
    "playable",
    "web_page",
]
