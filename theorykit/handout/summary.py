"""What was made, counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

__all__ = ["Summary", "summary_of"]

# What files are, by their endings, in the order of telling: one of them, several.
NAMES = {
    ".pdf": ("page to print", "pages to print"),
    ".musicxml": ("music file", "music files"),
    ".mid": ("MIDI file", "MIDI files"),
    ".mp3": ("recording", "recordings"),
    ".ogg": ("recording", "recordings"),
    ".html": ("web page", "web pages"),
    ".toml": ("text of the handout", "texts of handouts"),
    ".zip": ("zip of them all", "zips"),
}
MEGA = 1_000_000


@dataclass(frozen=True, slots=True)
class Summary:
    """How many files there are of each ending, how large they are, and in which folder.

    >>> Summary({".pdf": 2, ".zip": 1}, 2_500_000, "Thursday").words
    '3 files (2 pages to print, 1 zip of them all), 2.5 MB, in Thursday.'
    """

    counts: dict[str, int]
    bytes: int
    folder: str

    @property
    def words(self) -> str:
        """The whole in a sentence."""
        count = sum(self.counts.values())
        parts = [
            f"{self.counts[end]} {names[self.counts[end] > 1]}"
            for end, names in NAMES.items()
            if end in self.counts
        ]
        size = f"{self.bytes / MEGA:.1f} MB"
        return f"{count} file{'s' * (count != 1)} ({', '.join(parts)}), {size}, in {self.folder}."


def summary_of(files: Iterable[Path]) -> Summary:
    """Return what ``Handout.make`` made, counted.

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
        str(tops[0]) if tops else "nowhere",
    )
