"""Verbs: what one does with a chord, a line or a tune, whatever it is."""

from __future__ import annotations

from collections.abc import Iterable
from importlib import import_module
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, Any

from theorykit.errors import TheoryError, needs_workbook
from theorykit.harmony.colours import Colour
from theorykit.notes.chord import Chord
from theorykit.notes.note import Note, Pitch
from theorykit.notes.reader import Reader
from theorykit.tunes.progression import Progression
from theorykit.views.things import Thing

if TYPE_CHECKING:
    from theorykit.lines.taking import TakenLine
    from theorykit.lines.text import Line
    from theorykit.show.cells import Shown

HOME = "theorykit.show.door"


def _ask(module: str) -> Any:
    """Return the module that does the work, or say how to install what it needs."""
    return _ask_in(f"{HOME}.{module}")


def _ask_in(module: str) -> Any:
    """Return a module by its whole name, or say how to install what it needs."""
    try:
        return import_module(module)
    except ModuleNotFoundError as missing:
        raise needs_workbook(missing) from missing


def see(
    given: Thing | str, *, written_for: Reader | str | None = None, scale: float | None = None
) -> Shown:
    """Return a thing as a picture, which a notebook shows as the last value of a cell.

    A chord, scale or shortcut is a keyboard, a line a staff, a chart its grid, a resolution the
    motion of its notes, a substitute the clock of twelve, a colour its table in all keys. Text is
    read as a chord, scale, colour or chart. ``written_for`` is a reader such as ``"trumpet"``, by
    default what the reader plays; ``scale`` is the size of a staff in percent. The picture has
    ``save(path)`` and, for matplotlib axes, ``draw(ax)``.

    >>> see("Db7")
    Keyboard: D♭7 is D♭, F, A♭, C♭.
    >>> see("Db7", written_for="trumpet")
    Keyboard: E♭7 is E♭, G, B♭, D♭.
    """
    found: Shown = _ask("seen").see_thing(given, written_for, scale)
    return found


def hear(
    given: Thing | str,
    *,
    over_v: Colour | str | None = None,
    tempo: float | None = None,
    swing: float | None = None,
    melody: str = "tenor saxophone",
    loops: bool = False,
    label: str = "",
) -> Shown:
    """Return a player of a thing; nothing sounds until it is pressed.

    A line, a chart or a chorus is played with the rhythm section, a chord or a shape note by note
    and then together. ``over_v`` is the colour that the piano plays on V under a line, ``tempo`` is
    in beats a minute, ``swing`` the ratio of the long to the short eighth, ``melody`` the sound of
    a line; with ``loops`` it goes round and round.

    >>> hear("G7", tempo=120)
    Player: G7
    """
    wishes = {"over_v": over_v, "tempo": tempo, "swing": swing, "loops": loops}
    found: Shown = _ask("sounded").hear_thing(given, melody, label, wishes)
    return found


def save(
    given: Thing | str | Iterable[Any],
    path: str | PathLike[str],
    *,
    written_for: Reader | str | None = None,
    over_v: Colour | str | None = None,
    tempo: float | None = None,
    swing: float | None = None,
    melody: str = "tenor saxophone",
    title: str = "",
    paper: str | None = None,
    dpi: float = 300,
    replace: bool = False,
) -> Path:
    """Write a thing to a file, by the ending of its name, and return the file.

    ``.png .svg .pdf`` are its picture, ``.mp3 .ogg .wav`` its sound, ``.mid`` its MIDI,
    ``.musicxml .mxl`` its notes, ``.txt`` its text form, ``.toml`` its record, ``.csv`` its table;
    a list of things has a table. A record is read back by ``from_dict(tomllib.loads(text))``. A
    chart that is heard is the band alone: ``chorus.treated`` is the band under a chorus. The wishes
    are those of ``see`` and ``hear``; ``written_for`` changes pages and MusicXML, sound and MIDI
    stay at concert pitch. ``paper`` is the colour behind a picture, ``dpi`` the pixels of a PNG to
    an inch. A file that is there is left alone unless ``replace`` is true.

    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     save("Dm7 | G7 | C6", f"{folder}/turn.txt").read_text(encoding="utf-8").splitlines()[-1]
    '| Dm7 | G7 | C6 |'
    """
    wishes = {"over_v": over_v, "tempo": tempo, "swing": swing}
    saver = _ask("saved")
    wanted = saver.ToSave(given, written_for, wishes, melody, title, paper, dpi)
    file: Path = saver.save_thing(wanted, path, replace)
    return file


def to_mido(given: Thing | str, *, tempo: float | None = None, swing: float | None = None) -> Any:
    """Return a thing as a ``mido.MidiFile``: what ``save`` writes with the ending ``.mid``.

    >>> [track.name for track in to_mido("G7").tracks if track.name]
    ['Piano']
    """
    return _ask("mido_bridge").midi_file(given, tempo, swing)


def to_music21(given: Thing | Note | Pitch | str) -> Any:
    """Return a thing as music21 has it: a note, a pitch, a chord, or a score with chord symbols.

    >>> [str(pitch) for pitch in to_music21("Bb7").pitches]
    ['B-2', 'D3', 'F3', 'A-3']
    """
    return _ask("music21_bridge").score_of(given)


def from_music21(found: Any, *, over: Progression | None = None) -> Note | Pitch | Chord | Line:
    """Return a note, a pitch, a chord or a line out of music21, the spelling kept.

    A score becomes the line of its melody over its chord symbols, or over a progression.

    >>> from_music21(to_music21(Note("B", -1)))
    Note('B', -1)
    """
    value: Note | Pitch | Chord | Line = _ask("music21_bridge").value_of(found, over)
    return value


def take_down(
    sound: Any,
    progression: Progression,
    *,
    tempo: float | None = None,
    start: float | None = None,
    instrument: str | None = None,
) -> TakenLine:
    """Return one melody that was played as a line over a progression, with a report.

    ``sound`` is a sound file, samples, an array with its rate, a MIDI file, or notes as rows of
    start, end (in seconds), and MIDI number. ``tempo`` is in beats a minute, ``start`` the second
    on which the first bar begins; what is not given is found, and the report says so. Where neither
    is given, those of a MIDI file are taken. No note is changed to suit its chord. ``instrument``,
    such as "tenor saxophone", tells in which octaves a recording is likely heard.

    >>> from theorykit.tunes.progression import two_five_one
    >>> played = [(0.02, 0.3, 65), (0.33, 0.5, 69), (0.51, 0.8, 72), (0.82, 1, 69), (1, 2, 71)]
    >>> take_down(played, progression=two_five_one("C", "short"), tempo=120, start=0).line.text
    '8th F4 A4 C5 A4 half B4'
    """
    taken: TakenLine = _ask_in("theorykit.show.listening").taken_down(
        sound, progression, tempo, start, instrument
    )
    return taken


def bundle(value: object) -> dict[str, str]:
    """Return what a notebook shows of a value: its picture where it has one, and its words.

    >>> from theorykit.notes.chord import Chord
    >>> sorted(bundle(Chord.parse("G7"))), bundle(Note("B", -1))
    (['text/html', 'text/plain'], {'text/plain': 'Bb'})
    """
    try:
        seen = _ask("seen")
    except TheoryError:
        return {"text/plain": str(value)}
    try:
        shown = seen.picture_of(value)
    except TheoryError as wrong:  # a page is no place for a fault: the words are always there
        return {"text/plain": f"{value}\n({wrong})"}
    if shown is None:
        return {"text/plain": str(value)}
    return {"text/plain": str(value), "text/html": shown.html}
