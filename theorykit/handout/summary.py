"""What was made, counted."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

__all__ = ["Summary", "summary_of"]

# What files are, by their endings, in the order of telling: one of them, several.
NAMES = {
    ".pdf": ("file to print", "files to print"),
    ".musicxml": ("music file", "music files"),
    ".mid": ("MIDI file", "MIDI files"),
    ".mp3": ("recording", "recordings"),
    ".ogg": ("recording", "recordings"),
    ".html": ("web page", "web pages"),
    ".toml": ("text of the handout", "texts of handouts"),
    ".zip": ("zip", "zips"),
}
MEGA = 1_000_000
_PAGE = re.compile(rb"/Type\s*/Page\b")  # one for each page of a PDF that typst writes


@dataclass(frozen=True, slots=True)
class Summary:
    """How many files there are of each ending, how large they are, and in which folder.

    ``pages`` are those of all files to print.

    >>> Summary({".pdf": 2, ".zip": 1}, 2_500_000, "Thursday", 5).words
    '3 files (2 files to print with 5 pages, 1 zip), 2.5 MB, in Thursday.'
    """

    counts: dict[str, int]
    bytes: int
    folder: str
    pages: int = 0

    @property
    def words(self) -> str:
        """The whole in a sentence."""
        count = sum(self.counts.values())
        parts = [self._part(end) for end in NAMES if end in self.counts]
        size = f"{self.bytes / MEGA:.1f} MB"
        return f"{count} file{'s' * (count != 1)} ({', '.join(parts)}), {size}, in {self.folder}."

    def _part(self, end: str) -> str:
        """Say how many files of an ending there are."""
        count = self.counts[end]
        paper = f" with {self.pages} page{'s' * (self.pages != 1)}" if end == ".pdf" else ""
        return f"{count} {NAMES[end][count > 1]}{paper}"


def summary_of(files: Iterable[Path]) -> Summary:
    """Return what ``Handout.make`` made, counted, with the full path of the folder.

    >>> summary_of([]).words
    '0 files (), 0.0 MB, in nowhere.'
    """
    found = list(files)
    tops = [file.parent for file in found]
    while len(set(tops)) > 1:
        deepest = max(len(top.parts) for top in tops)
        tops = [top.parent if len(top.parts) == deepest else top for top in tops]
    return Summary(
        dict(Counter(file.suffix for file in found)),
        sum(file.stat().st_size for file in found),
        str(tops[0].absolute()) if tops else "nowhere",
        sum(len(_PAGE.findall(file.read_bytes())) for file in found if file.suffix == ".pdf"),
    )
