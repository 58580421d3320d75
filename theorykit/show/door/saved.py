"""Files of things, by the ending of their name."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from io import StringIO
from os import PathLike, fspath
from pathlib import Path
from typing import Any

from theorykit.errors import TheoryError, expect, shown
from theorykit.harmony.colours import Colour, colour
from theorykit.harmony.identification import Identification
from theorykit.lines.chorus import Chorus
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.lines.text import Line
from theorykit.notes.reader import READERS, Reader
from theorykit.show.door.seen import see_thing
from theorykit.show.exports import EXPORTS, TakenChorus, Wanted, chorus_bytes, export
from theorykit.show.files import (
    file_at,
    lead_sheet_xml,
    line_bytes,
    midi_bytes,
    packed_xml,
    write_file,
)
from theorykit.show.own_reader import reader_or_own
from theorykit.show.pictures import picture_bytes
from theorykit.show.sound import mp3_bytes, ogg_bytes, render, wav_bytes
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Progression
from theorykit.tunes.treatments import Treatment
from theorykit.views.identification_view import identification
from theorykit.views.sounding import Rehearsal, rehearse
from theorykit.views.things import Thing, kind_of, number, performed, table, thing, to_dict

PICTURES, SOUNDS = (".png", ".svg", ".pdf"), (".mp3", ".ogg", ".wav")
SCORES, DATA = (".musicxml", ".mxl"), (".txt", ".toml", ".csv")
ENDINGS = (*SCORES, ".mid", ".svg", ".png", ".pdf", ".ogg", ".mp3", ".wav", *DATA)
_ENCODERS = {".mp3": mp3_bytes, ".ogg": ogg_bytes, ".wav": wav_bytes}
_WRITTEN = (Line, Progression, Chart, LeadSheet, Chorus, Identification)  # what has bars
USUAL, DPI, MELODY = 100, 300, "tenor saxophone"


@dataclass(frozen=True, slots=True)
class ToSave:
    """What is saved, and how: its reader, its wishes for sound, its title and its picture."""

    given: Any
    who: Reader | str | None
    wishes: dict[str, Any]
    melody: str
    title: str
    paper: str | None
    dpi: float

    @property
    def reader(self) -> Reader:
        """For whom it is written."""
        return reader_or_own(self.who)


def save_thing(wanted: ToSave, path: str | PathLike[str], replaces: bool) -> Path:
    """Write a thing to a file whose ending says the kind; return the file."""
    if not isinstance(path, (str, PathLike)):
        raise TheoryError(f"not a path: {shown(path)} (want one such as lines/turn.mid)")
    file = file_at(str(fspath(path)))
    _check(wanted, replaces)
    write_file(file, _content(wanted, file.suffix.lower()), replace=replaces)
    return file


def _check(wanted: ToSave, replaces: object) -> None:
    """Refuse wishes that are none, whatever kind of file is asked for."""
    expect(replaces, bool, "a choice", "True to replace a file, or False")
    expect(wanted.title, str, "a title", "text")
    _melody(wanted)
    reader_or_own(wanted.who)
    number(wanted.dpi, "dpi", "a number from 30 to 1200")
    if wanted.paper is not None:
        expect(wanted.paper, str, "a colour of paper", "one as '#ffffff', or 'none'")
    for name in ("tempo", "swing"):
        if wanted.wishes[name] is not None:
            number(wanted.wishes[name], f"a {name}", "a number")
    if wanted.wishes["over_v"] is not None:
        colour(wanted.wishes["over_v"])


def _content(wanted: ToSave, ending: str) -> bytes:
    """Return the content of a file."""
    if ending not in ENDINGS:
        raise TheoryError(f"no such kind of file: {shown(ending)} (want {', '.join(ENDINGS)})")
    if _is_many(wanted.given):
        if ending != ".csv":
            raise TheoryError(f"no {ending} of a list of things (want .csv)")
        return _columns(wanted)
    one = thing(wanted.given)
    possible = endings_of(one)
    if ending not in possible:
        raise TheoryError(f"no {ending} of {kind_of(one)} (want {', '.join(possible)})")
    return _MAKERS[ending](replace(wanted, given=one), ending)


def _is_many(given: object) -> bool:
    """Tell whether a list of things is to be saved."""
    return isinstance(given, (list, tuple, set, frozenset)) or hasattr(given, "__next__")


def endings_of(one: Thing) -> tuple[str, ...]:
    """Return the kinds of file that there are of a thing.

    >>> from theorykit.harmony.colours import colour
    >>> endings_of(colour("b9"))
    ('.svg', '.png', '.pdf', '.txt', '.toml', '.csv')
    """
    silent = (".mid", *SOUNDS) if isinstance(one, Colour) else ()
    unwritten = () if isinstance(one, _WRITTEN) else SCORES
    return tuple(ending for ending in ENDINGS if ending not in (*silent, *unwritten))


# === The kinds of file ===


def _picture(wanted: ToSave, ending: str) -> bytes:
    """Return the picture."""
    picture = see_thing(wanted.given, wanted.who, None).picture
    if picture is None:
        raise TheoryError(f"no picture of {kind_of(wanted.given)} (want .txt)")
    return picture_bytes(picture, ending, paper=wanted.paper, dpi=wanted.dpi)


def _sound(wanted: ToSave, ending: str) -> bytes:
    """Return the sound."""
    if isinstance(wanted.given, Line):
        return export(_practice(wanted), _export_of(ending))
    played = performed(wanted.given, **wanted.wishes)
    return _ENCODERS[ending](render(played, melody=_melody(wanted)))


def _midi(wanted: ToSave, ending: str) -> bytes:
    """Return the MIDI: of a line the line alone, with even eighths; else all that sounds."""
    if isinstance(wanted.given, Line):
        return export(_practice(wanted), _export_of(ending))
    played = performed(wanted.given, **wanted.wishes)
    return midi_bytes(played, swing="written out", melody=MELODY_SOUNDS[_melody(wanted)])


def _melody(wanted: ToSave) -> str:
    """Return the sound of the melody, or refuse one that is none."""
    if not isinstance(wanted.melody, str) or wanted.melody not in MELODY_SOUNDS:
        accepted = ", ".join(MELODY_SOUNDS)
        raise TheoryError(f"no such melody sound: {shown(wanted.melody)} (want {accepted})")
    return wanted.melody


def _practice(wanted: ToSave) -> Wanted:
    """Return a line as its desk takes it away."""
    tempo, swing, over_v = (wanted.wishes[name] for name in ("tempo", "swing", "over_v"))
    wished = Rehearsal(tempo=USUAL if tempo is None else tempo, swing=swing)
    practice = rehearse(wanted.given, None if over_v is None else colour(over_v), wished)
    return Wanted(practice, wanted.reader, _melody(wanted), wanted.title)


def _export_of(ending: str) -> str:
    """Return the first kind of export with an ending."""
    return next(name for name, kind in EXPORTS.items() if kind.ending == ending)


def _score(wanted: ToSave, ending: str) -> bytes:
    """Return the notes as MusicXML, packed or not."""
    xml = _xml(wanted)
    return packed_xml(xml) if ending == ".mxl" else xml


def _xml(wanted: ToSave) -> bytes:
    """Return the notes as MusicXML."""
    one, who = wanted.given, wanted.reader
    if isinstance(one, Chorus):
        played = performed(one, **wanted.wishes)
        taken = TakenChorus(one, Treatment.plain(one.chart), played, who)
        return chorus_bytes(taken, "MusicXML")
    if isinstance(one, (Chart, LeadSheet)):
        return lead_sheet_xml(one, reader=who).encode()
    line = _identified(one) if isinstance(one, Identification) else one
    if isinstance(line, Progression):
        line = Line(line, ())
    return line_bytes(line, ".musicxml", reader=who, title=wanted.title,
                      tempo=wanted.wishes["tempo"])  # fmt: skip


def _identified(found: Identification) -> Line:
    """Return notes over a chord as a line."""
    target = str(found.target) if found.target else ""
    return identification(found.sounds.name, str(found.over), target).heard.line


def midi_of(given: Thing | str, tempo: float | None, swing: float | None) -> bytes:
    """Return the MIDI of a thing, as ``save`` writes it.

    >>> midi_of("G7", None, None)[:4]
    b'MThd'
    """
    wishes = {"over_v": None, "tempo": tempo, "swing": swing}
    return _content(ToSave(given, READERS[0], wishes, MELODY, "", None, DPI), ".mid")


def score_xml(given: Thing | str) -> str:
    """Return a thing as the text of a MusicXML file, at concert pitch.

    >>> "<kind" in score_xml("Dm7 | G7 | C6")
    True
    """
    wishes = {"over_v": None, "tempo": None, "swing": None}
    wanted = ToSave(given, READERS[0], wishes, MELODY, "", None, DPI)
    return _content(wanted, ".musicxml").decode()


def _text(wanted: ToSave, ending: str) -> bytes:
    """Return the text form."""
    return (str(wanted.given).rstrip("\n") + "\n").encode()


def _columns(wanted: ToSave, ending: str = ".csv") -> bytes:
    """Return the table, a row a line, with its heads."""
    rows = table(wanted.given)
    if not rows:
        raise TheoryError("an empty list has no table (want at least one thing)")
    text = StringIO(newline="")
    writer = csv.DictWriter(text, list(rows[0]), lineterminator="\r\n")  # RFC 4180
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue().encode()


def _record(wanted: ToSave, ending: str) -> bytes:
    """Return the record as TOML."""
    entries = to_dict(wanted.given).items()
    return "".join(f"{name} = {_toml(value)}\n" for name, value in entries).encode()


def _toml(value: Any) -> str:
    """Return a value on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{name} = {_toml(one)}" for name, one in value.items()) + "}"
    if isinstance(value, list):
        return f"[{', '.join(map(_toml, value))}]"
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


_MAKERS: dict[str, Callable[[ToSave, str], bytes]] = {
    **dict.fromkeys(PICTURES, _picture),
    **dict.fromkeys(SOUNDS, _sound),
    **dict.fromkeys(SCORES, _score),
    ".mid": _midi,
    ".txt": _text,
    ".toml": _record,
    ".csv": _columns,
}
