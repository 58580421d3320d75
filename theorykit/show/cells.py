"""Cells of a chapter: the last line of a cell is the picture or the player itself."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from os import PathLike, fspath
from pathlib import Path
from typing import TYPE_CHECKING, Any

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import COLOURS, Colour, colour
from theorykit.harmony.counts import evidence, tally
from theorykit.harmony.identification import Identification
from theorykit.harmony.resolution import resolve
from theorykit.harmony.shortcuts import Shortcut
from theorykit.harmony.subsets import Subset
from theorykit.harmony.substitution import Substitute
from theorykit.lines.band import colours_over, performance
from theorykit.lines.in_place import in_place
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key, reader_words
from theorykit.notes.plain_words import words_ascii
from theorykit.show.cell_sound import Heard, heard
from theorykit.show.engraving import staff_svg
from theorykit.show.files import file_at, write_file
from theorykit.show.html_text import explanation_html, sentences_html
from theorykit.show.own_reader import fingerboard_for, own_reader, reader_or_own
from theorykit.show.pictures import Drawable, picture_axes, picture_bytes, picture_svg
from theorykit.views.clock import clock_of
from theorykit.views.counts import counts_of, tally_counts
from theorykit.views.explorer_view import keyboard_of
from theorykit.views.grid import colour_grid, tension_grid
from theorykit.views.line import line_view
from theorykit.views.motion import motion_of
from theorykit.views.sounding import JOURNEYS, Rehearsal, rehearse
from theorykit.views.staves import phrase_staff

if TYPE_CHECKING:
    from matplotlib.axes import Axes

PIANO_HOLDS = "one held"  # its chords, so that two players differ in nothing else

__all__ = [
    "Shown",
    "at_concert",
    "hear",
    "hear_substitute",
    "noted",
    "pictured",
    "practise",
    "see",
    "see_clock",
    "see_colours",
    "see_counts",
    "see_keys",
    "see_motion",
    "see_reading",
    "see_tally",
    "see_tensions",
    "tell",
]

ENDING = ".png"  # of a path that has none
FINGERBOARD_SCALE = 0.85
AT_CONCERT = "At concert pitch: these are the names that sound."


@dataclass(frozen=True, slots=True)
class Shown:
    """Something that a notebook shows: ``html`` for the eye and ear, ``words`` for the rest.

    Where it is a picture, ``picture`` is what is drawn, and it can be saved or put into a figure;
    ``heard`` is what a control of the page can play.

    >>> Shown("<b>G7</b>", "a chord")
    a chord
    """

    html: str
    words: str
    picture: Drawable | None = None
    heard: Heard | None = None

    def _repr_html_(self) -> str:
        """What a notebook puts under the cell."""
        return self.html

    def _repr_mimebundle_(self, **_: object) -> dict[str, Any]:
        """What a notebook puts there where the page has a control for it."""
        return self.heard.bundle(self.html, self.words) if self.heard else {}

    def __repr__(self) -> str:
        return self.words

    @property
    def words_ascii(self) -> str:
        """The words in plain ASCII, for a console that has no music signs.

        >>> see_clock("G7", substitute="Db7").words_ascii.partition("An axis: ")[2]
        'tritone of G7 and Db7: B and F.'
        """
        return words_ascii(self.words)

    def save(
        self,
        path: str | PathLike[str],
        *,
        replace: bool = False,
        paper: str | None = None,
        dpi: float = 300,
    ) -> Path:
        """Write the picture to a file, by the ending of its name: .png, .svg or .pdf.

        ``paper`` is the colour behind it, by default its own, ``"none"`` for a file that one
        sees through; ``dpi`` are the pixels of a PNG to an inch. A file that is there is left alone
        unless ``replace`` is true. Returns the file.

        >>> from tempfile import TemporaryDirectory
        >>> with TemporaryDirectory() as folder:
        ...     see_clock("G7", "b9").save(f"{folder}/clock.pdf").name
        'clock.pdf'
        """
        file = file_at(fspath(path), ENDING)
        data = picture_bytes(self._drawable(), file.suffix, paper=paper, dpi=dpi)
        write_file(file, data, replace=replace)
        return file

    def draw(self, ax: Axes | None = None) -> Axes:
        """Draw the picture on matplotlib axes, or on a figure of its own; return the axes.

        >>> from matplotlib.figure import Figure
        >>> left, right = Figure(figsize=(12, 5)).subplots(1, 2)
        >>> see_clock("G7", "b9").draw(left) is left
        True
        """
        return picture_axes(self._drawable(), ax)

    def _drawable(self) -> Drawable:
        """Return what is drawn."""
        if self.picture is None:
            raise TheoryError(
                f"no picture here: {shown(self.words)} (want what is seen, not heard)"
            )
        return self.picture


def pictured(picture: Drawable, words: str) -> Shown:
    """Return a picture as what a notebook shows.

    >>> from theorykit.views.clock import clock_of
    >>> pictured(clock_of("G7"), "a clock")
    a clock
    """
    return Shown(picture_svg(picture), words, picture)


def noted(shown: Shown, note: str) -> Shown:
    """Return what is shown with a sentence under it; without a sentence, as it is.

    >>> noted(Shown("<b>G7</b>", "a chord"), "") == Shown("<b>G7</b>", "a chord")
    True
    """
    if not note:
        return shown
    sound = shown.heard and replace(shown.heard, note=note)
    return replace(shown, html=f"<div>{shown.html}{sentences_html('', note)}</div>", heard=sound)


def at_concert(shown: Shown) -> Shown:
    """Return what is shown with the word that it is at concert pitch, for who reads otherwise."""
    return noted(shown, AT_CONCERT if own_reader().transposes else "")


def see(
    line: Line,
    over_v: Colour | str | None = None,
    *,
    written_for: str | None = None,
    scale: float = 50,
) -> Shown:
    """Return the staff of a line, the degree of each note under it.

    ``over_v`` is the colour that was meant over V, by default the one that the line spells;
    ``written_for`` is a reader such as ``"B flat"`` or ``"trumpet"``, by default what the reader
    plays; ``scale`` the size in percent.

    >>> from theorykit.lines.demonstration import demonstration
    >>> see(demonstration("F", "short"))
    2 bars in F major, chords Gm7, C7, Fmaj7; notes B♭5 (♭3), F5 (♭7), G5 (5), E5 (3), C5 (1), \
B♭4 (♭7), A4 (3).
    """
    who = reader_or_own(written_for)
    view = phrase_staff(line, None if over_v is None else colour(over_v), reader=who)
    shown = noted(pictured(staff_svg(view, scale=scale), view.alt), view.legend)
    return noted(shown, reader_words(who, line.progression.key))


def see_reading(
    line: Line, over_v: Colour | str | None = None, *, written_for: str | None = None
) -> Shown:
    """Return the staff of a line, degree and role under each note, and a teacher's words.

    ``over_v`` is the colour that was meant over V: what of it is missing is said too.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("half F4 8th B4 Ab4 F4 D4 | whole E4", two_five_one("C", "short"))
    >>> see_reading(line).words.partition(".")[0]
    'Over G7 the line spells ♭9: think B diminished seventh chord, a half step below I: the 3rd of \
V, the 7th of I'
    """
    wanted = None if over_v is None else colour(over_v)
    view = line_view(line, wanted, reader=reader_or_own(written_for))
    staff = staff_svg(view.staff, scale=50)
    under = sentences_html("", view.legend, view.written)
    words = " ".join(text for _, texts in view.sections for text in texts)
    html = f"<div>{staff}{under}{explanation_html(view.sections)}</div>"
    return Shown(html, words, staff)


def see_keys(shortcut: Shortcut, *, written_for: str | None = None) -> Shown:
    """Return the keyboard of a shortcut: the chord, and above it the shape.

    ``written_for`` is a reader such as ``"B flat"``, by default what the reader plays. Who plays
    guitar or bass sees the shape on the fingerboard too.

    >>> from theorykit.harmony.shortcuts import shortcuts
    >>> see_keys(shortcuts("G7", "b9 13")[0])
    Keyboard: G7 is G, B, D, F; above it E: E (13), A♭ (♭9), B (3).
    """
    who = reader_or_own(written_for)
    page = shortcut.written_for(who)
    names = {note.semitone: note for note in page.function_notes}
    view = keyboard_of(page.chord, page, names)
    sounds = f"Written for {who.name}: your {page.chord.pretty} sounds as {shortcut.chord.pretty}."
    shown = pictured(view, view.alt)
    if (board := fingerboard_for(who, view)) is not None:
        both = f"<div>{shown.html}{picture_svg(board, scale=FINGERBOARD_SCALE)}</div>"
        shown = replace(shown, html=both, words=f"{view.alt} {board.alt}")
    return noted(shown, sounds if who.transposes else "")


def see_motion(
    chord: Chord | str, over_v: Colour | str | None = None, target: Chord | Key | str | None = None
) -> Shown:
    """Return the motion picture of a chord with a colour: where each note goes on the next chord.

    >>> see_motion("G7", "b9", "C")
    From G7 with ♭9 to C: G stays as the 5th of I; A♭ falls a half step to G, the 5th of I; B \
rises a half step to C, the root of I; D falls a whole step to C, the root of I; F falls a half \
step to E, the 3rd of I.
    """
    view = motion_of(resolve(chord, over_v, target))
    return at_concert(pictured(view, view.alt))


def see_clock(
    dominant: Chord | str,
    over_v: Colour | str | None = None,
    substitute: Chord | str | None = None,
) -> Shown:
    """Return the clock of twelve of a dominant, with a colour or a substitute chord or both.

    >>> see_clock("G7", substitute="Db7").words.partition("An axis: ")[2]
    'tritone of G7 and D♭7: B and F.'
    """
    view = clock_of(dominant, over_v, substitute)
    return at_concert(pictured(view, view.alt))


def see_colours(keys: Iterable[Key | str], colours: Iterable[Colour | str] = COLOURS) -> Shown:
    """Return a table of colours against keys: in each cell the best shortcut over the V.

    >>> see_colours(["C", "F"], ["b9 13"])
    Table of 1 colours down and 2 keys across. ♭9 13: C major E, F major A.
    """
    view = colour_grid(keys, colours)
    return at_concert(pictured(view, view.alt))


def see_tensions(rows: Iterable[Subset]) -> Shown:
    """Return a table of tensions against triads and seventh chords: on which root each has them.

    >>> from theorykit.harmony.subsets import subsets
    >>> see_tensions(row for row in subsets("G7") if row.name == "b9 13")
    Table of 1 tensions down and 13 shapes across. ♭9 13: major E, 7 E.
    """
    view = tension_grid(rows)
    return at_concert(pictured(view, view.alt))


def see_counts(degrees: str, *goings: str) -> Shown:
    """Return bars: how often degrees were played over dominants, with the counts in view.

    ``goings`` say where the dominants go, as in ``evidence``: to a major I if none is given.

    >>> see_counts("b9 9").words[:72]
    'Bars. Notes over a dominant going to a major I, by degree. ♭9: 852 of 15'
    """
    wanted = degrees.split()
    view = counts_of(evidence(one, going) for one in wanted for going in goings or ("major",))
    return pictured(view, view.alt)


def see_tally(name: str, *labels: str) -> Shown:
    """Return bars for something that was counted in lines, with the counts in view.

    >>> see_tally("first notes on a major I", "5").words[:78]
    'Bars. First notes over a major I after V, by degree of I. 5: 539 of 2,440, 22.'
    """
    view = tally_counts(tally(name), labels)
    return pictured(view, view.alt)


def tell(explained: Substitute | Identification, *headings: str) -> Shown:
    """Return an explanation as text under headings: all of it, or only the headings named.

    >>> from theorykit.harmony.substitution import substitute
    >>> tell(substitute("tritone substitute", "G7", "C"), "the bass")
    In the bass D♭ falls a half step to C. With G7 alone, G falls a fifth to C.
    """
    found = explained.sections
    named = [heading for heading, _ in found]
    for heading in headings:
        if heading not in named:
            raise TheoryError(f"no such heading: {shown(heading)} (want {', '.join(named)})")
    wanted = [(name, texts) for name, texts in found if not headings or name in headings]
    words = " ".join(text for _, texts in wanted for text in texts)
    return at_concert(Shown(explanation_html(wanted), words))


def hear(
    line: Line,
    *,
    over_v: Colour | str | None = None,
    tempo: float = 100,
    swing: float | None = None,
    melody: str = "tenor saxophone",
    label: str = "phrase",
) -> Shown:
    """Return a player of a line over piano, bass and ride; nothing sounds until it is pressed.

    ``over_v`` is the colour that the piano plays on V as well, ``tempo`` in beats a minute from 40
    to 300, ``swing`` the ratio of the long to the short eighth from 1 to 3, by default what suits
    the tempo.
    """
    wanted = None if over_v is None else colour(over_v)
    over, colours = line.progression, colours_over(line, wanted)
    played = performance(line, over, tempo=tempo, swing=swing, colours=colours, figure=PIANO_HOLDS)
    html, sound = heard({label: played}, melody=melody)
    return at_concert(Shown(html, f"Player: {label}, {line.progression}", heard=sound))


def practise(
    line: Line,
    journey: str = JOURNEYS[0],
    *,
    over_v: Colour | str | None = None,
    answers: bool = True,
    loops: bool = False,
    tempo: float = 100,
) -> Shown:
    """Return a player of a line to practise with: the phrase, then the same bars for an answer.

    ``journey`` is ``"this key"`` or ``"twelve keys by fifths"``, ``"... by half steps"``, ``"... by
    whole steps"``; with ``loops`` it goes round and round; ``tempo`` in beats a minute.

    >>> from theorykit.lines.demonstration import demonstration
    >>> practise(demonstration("F", "short"), tempo=80)
    Player: plain, in F major, with answer bars, 80 beats a minute
    """
    wanted = None if over_v is None else colour(over_v)
    chords = "plain" if wanted is None else "coloured"
    found = rehearse(line, wanted, Rehearsal(chords, journey, loops, answers, tempo))
    html, sound = heard({found.label: found.performance}, loops=found.loops)
    return at_concert(Shown(html, f"Player: {found.label}", heard=sound))


def hear_substitute(key: Key | str, name: str, *, tempo: float = 100) -> Shown:
    """Return three players of a ii-V-I: plain, with a substitute over the old bass and its own.

    ``name`` is a name of the table of substitutes, ``tempo`` in beats a minute from 40 to 300.

    >>> hear_substitute("C", "tritone substitute")
    Players: original, Dm7 | G7 | Cmaj7; substitute over the original bass, Dm7 | D♭7/G | Cmaj7; \
substitute over its own bass, Dm7 | D♭7 | Cmaj7
    """
    versions = in_place(key, name).versions
    named = {f"{one.name}: {one.chords.pretty}": one.performance(tempo=tempo) for one in versions}
    html, sound = heard(named)
    said = "; ".join(label.replace(": ", ", ", 1) for label in named)
    return at_concert(Shown(f"<div>{html}</div>", f"Players: {said}", heard=sound))
