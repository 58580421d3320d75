"""Phrases for a chorus out of a phrase book."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from theorykit.errors import TheoryError
from theorykit.lines.chorus_phrases import PhraseSource
from theorykit.lines.line import Line
from theorykit.lines.setting import form_of, set_into
from theorykit.lines.windows import Window
from theorykit.study.phrasebook import Phrase, PhraseBook
from theorykit.tunes.progression import Progression

__all__ = ["phrases_from"]


def phrases_from(book: PhraseBook, *, seed: int = 0) -> PhraseSource:
    """Return what gives a chorus the phrases of a book.

    For each long, short or split ii-V-I it is a phrase of the same mode in the colour of the V, set
    into its key and form; where there are several, one is drawn. Where there is none, the chorus
    asks the writer.

    >>> from tempfile import TemporaryDirectory
    >>> from theorykit.lines.chorus import write_chorus
    >>> from theorykit.tunes.chart import Chart
    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th A4 C5 F5 D5 B4 D5 B4 D5 | whole C5", two_five_one("C", "short"))
    >>> with TemporaryDirectory() as folder:
    ...     book = PhraseBook(f"{folder}/thursday.sqlite")
    ...     _ = book.keep("Ida's turn", line)
    ...     chorus = write_chorus(Chart.of("F", "Gm7 C7", "F6"), source=phrases_from(book))
    >>> chorus.line.text
    '8th D5 F5 Bb5 G5 E5 G5 E5 G5 | whole F5'
    """
    kept: dict[str, tuple[Phrase, ...]] = {}

    def phrase(window: Window, stretch: Progression) -> Line | None:
        form = form_of(stretch)
        if not form:
            return None
        if window.colour not in kept:
            kept[window.colour] = book.find(colour=window.colour)
        found = [
            one
            for one in kept[window.colour]
            if one.form and one.key.mode == stretch.key.mode and one.line.notes
        ]
        Random(f"{seed} {window.v} {window.chorus}").shuffle(found)
        return next((line for one in found if (line := _set(one, form, stretch))), None)

    return phrase


def _set(phrase: Phrase, form: str, stretch: Progression) -> Line | None:
    """Return a phrase over a stretch, None where it does not fit there."""
    try:
        line = set_into(phrase.line, stretch.key, form).line
        notes = (n for n in line.notes if 0 <= n.start < stretch.beats)
        cut = (replace(n, beats=min(n.beats, stretch.beats - n.start)) for n in notes)
        return Line(stretch, tuple(cut))
    except TheoryError:
        return None
