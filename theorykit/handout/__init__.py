"""Handouts: pages, music files, sound and one page for the browser, for everyone in the room."""

from theorykit.handout.editions import EVERYONE, Edition
from theorykit.handout.handout import Handout
from theorykit.handout.summary import Summary, summary_of

__all__ = ["EVERYONE", "Edition", "Handout", "Summary", "summary_of"]
