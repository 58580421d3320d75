"""Cells of a chapter that set lines side by side: on one staff, one above the other, together."""

from __future__ import annotations

from theorykit.lines.band import performance, unaccompanied
from theorykit.lines.text import Line
from theorykit.lines.vocabulary import OneIdea
from theorykit.notes.key import reader_words
from theorykit.show.cell_sound import heard
from theorykit.show.cells import Shown, at_concert, noted, pictured
from theorykit.show.engraving import staff_svg
from theorykit.show.html_text import sentences_html
from theorykit.show.own_reader import reader_or_own
from theorykit.views.staves import duet_staff, phrase_staff

__all__ = ["hear_idea", "hear_together", "see_duet", "see_idea", "see_stacked"]

WIDE = 640  # pixels: each version of an idea is as wide
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
    *named: tuple[str, Line],
    written_for: str | None = None,
    scale: float = 50,
    width: int = STACK,
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
        + staff_svg(view, scale=scale, width=width, bars_per_line=(len(view.bars),))
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
    html, sound = heard({label: played}, melody=melody)
    words = f"Player: {label}, {lines[0].progression.pretty}"
    return at_concert(Shown(html, words, heard=sound))


def see_idea(idea: OneIdea, *, written_for: str | None = None, scale: float = 45) -> Shown:
    """Return one idea in its colours, one staff above the other, each with its colour's name.

    >>> from theorykit.lines.vocabulary import one_idea
    >>> see_idea(one_idea("C", ["b9", "b9 13"], form="short", seed=4)).words[:44]
    '♭9: 2 bars in C major, chords Dm7, G7, Cmaj7'
    """
    named = [(row.pretty, line) for row, line in zip(idea.colours, idea.lines, strict=True)]
    return see_stacked(*named, written_for=written_for, scale=scale, width=WIDE)


def hear_idea(
    idea: OneIdea, *, tempo: float = 100, melody: str = "tenor saxophone", label: str = "one idea"
) -> Shown:
    """Return a player of one idea in its colours, back to back with a bar of I between.

    >>> from theorykit.lines.vocabulary import one_idea
    >>> hear_idea(one_idea("F", ["b9", "b9 13"], form="short", seed=4))
    Player: one idea, ♭9, ♭9 13
    """
    line = idea.joined
    played = performance(line, line.progression, tempo=tempo, colours=idea.band)
    html, sound = heard({label: played}, melody=melody)
    names = ", ".join(row.pretty for row in idea.colours)
    return at_concert(Shown(html, f"Player: {label}, {names}", heard=sound))
