"""Cells of a chapter that set lines side by side: on one staff, one above the other, together."""

from __future__ import annotations

from theorykit.lines.band import unaccompanied
from theorykit.lines.text import Line
from theorykit.notes.key import reader_words
from theorykit.show.cells import Shown, at_concert, noted, pictured
from theorykit.show.engraving import staff_svg
from theorykit.show.html_text import sentences_html
from theorykit.show.own_reader import reader_or_own
from theorykit.show.sound import performance_html
from theorykit.views.staves import duet_staff, phrase_staff

__all__ = ["hear_together", "see_duet", "see_stacked"]

STACK = 420  # pixels: each of some staves that are compared is as wide


def see_duet(
    upper: Line, lower: Line, *, written_for: str | None = None, scale: float = 50
) -> Shown:
    """Return one staff with two lines on it, the degrees of each in a row of their own.

    >>> from theorykit.lines.guide_tones import guide_tone_lines
    >>> from theorykit.tunes.progression import two_five_one
    >>> see_duet(*guide_tone_lines(two_five_one("F"), longest=4))
    3 bars in F major, chords Gm7, C7, Fmaj7; notes B♭4 (♭3), B♭4 (♭7), A4 (3); second voice \
F4 (♭7), E4 (3), E4 (7).
    """
    who = reader_or_own(written_for)
    view = duet_staff(upper, lower, reader=who)
    words = reader_words(who, upper.progression.key)
    return noted(pictured(staff_svg(view, scale=scale), view.alt), words)


def see_stacked(
    *named: tuple[str, Line], written_for: str | None = None, scale: float = 50
) -> Shown:
    """Return the staves of some lines one above the other, all of one width, each with its name.

    >>> from theorykit.lines.demonstration import demonstration
    >>> from theorykit.lines.excerpts import excerpt
    >>> see_stacked(("plain", excerpt(demonstration("C", "long"), 2, 2)))
    plain: 1 bar in C major, chords G7; notes B4 (3), D5 (5), B4 (3), G4 (1), F4 (♭7).
    """
    who = reader_or_own(written_for)
    views = [(name, phrase_staff(line, reader=who)) for name, line in named]
    rows = (
        sentences_html(name)
        + staff_svg(view, scale=scale, width=STACK, bars_per_line=(len(view.bars),))
        for name, view in views
    )
    shown = Shown(f"<div>{''.join(rows)}</div>", " ".join(f"{n}: {view.alt}" for n, view in views))
    return noted(shown, reader_words(who, named[0][1].progression.key) if named else "")


def hear_together(
    *lines: Line, tempo: float = 80, melody: str = "tenor saxophone", label: str = "together"
) -> Shown:
    """Return a player of some lines at once, with nothing under them but a bar of count-in.

    >>> from theorykit.lines.guide_tones import guide_tone_lines
    >>> from theorykit.tunes.progression import two_five_one
    >>> hear_together(*guide_tone_lines(two_five_one("C"), longest=4), label="two horns")
    Player: two horns, Dm7 | G7 | Cmaj7
    """
    played = unaccompanied(*lines, tempo=tempo)
    html = performance_html(played, label=label, melody=melody, is_kept=True)
    return at_concert(Shown(html, f"Player: {label}, {lines[0].progression.pretty}"))
