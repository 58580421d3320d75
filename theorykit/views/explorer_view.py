"""The view of the explorer for one choice: phrase, staff, keyboard, words, table, counts."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from theorykit.errors import TheoryError, expect, shown
from theorykit.harmony.agreement import disagreements
from theorykit.harmony.colours import Colour, borrowed, colour
from theorykit.harmony.counts import evidence, going_of
from theorykit.harmony.resolution import Move, Resolution, resolve
from theorykit.harmony.shortcuts import Shortcut, shortcuts, ways_to_think
from theorykit.harmony.tensions import stands_for_third
from theorykit.harmony.wording import doubled_words, sentence
from theorykit.lines.band import colours_over, keys_by, performance
from theorykit.lines.demonstration import demonstration
from theorykit.lines.parts import Performance
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, readable, single, written_above
from theorykit.notes.key import Key, heard_words, reader_words
from theorykit.notes.note import Note, Pitch, pretty_words
from theorykit.notes.reader import READERS, Reader, reader as named
from theorykit.tunes.progression import FORMS, cadence_chords
from theorykit.views.counts import CountsView, counts_of
from theorykit.views.keyboard import KeyboardView, KeyNote, stacked_keys
from theorykit.views.sounding import Take
from theorykit.views.staves import StaffView, degree_staff, with_pitches

__all__ = ["SPELLINGS", "ExplorerView", "explore", "keyboard_of"]

SPELLINGS = ("by function", "by shape", "readable")
STEADY = "one held"  # how the piano plays
MOST_SHORTCUTS = 12  # offered in the explorer; the search itself returns every one


@dataclass(frozen=True, slots=True)
class NoteRow:
    """One note of the shape: its name, its degree over V, where it goes on I, why it rubs."""

    note: Note
    degree: Degree
    move: str
    clash: str = ""


@dataclass(frozen=True, slots=True)
class ExplorerView:
    """Everything that the explorer shows for one choice.

    ``key`` and the two lines are what sounds; all the rest is as the reader has it on the page.
    """

    key: Key
    dominant: Chord
    target: Chord
    colour: Colour
    options: tuple[Shortcut, ...]
    shortcut: Shortcut
    plain: Line
    coloured: Line
    staff: StaffView
    keyboard: KeyboardView
    rows: tuple[NoteRow, ...]
    resolution: Resolution
    reader: Reader

    @property
    def sentence(self) -> str:
        """The shortcut in words, with the chord that it stands over."""
        return f"Over {self.dominant.pretty} think {self.shortcut.words}."

    @property
    def counts(self) -> CountsView:
        """How often each degree of the shape was played over a V that goes to this I."""
        going = going_of(self.dominant, self.target)
        return counts_of(evidence(degree, going) for degree in self.shortcut.degrees)

    @property
    def summary(self) -> str:
        """What the colour adds to the pull of the chord, as a sentence.

        The chord that follows is named, because it decides: on a major seventh chord the 3 of V
        may stay, and on a triad it may not.
        """
        return f"On the way to {self.target.pretty} {self.resolution.summary}."

    @property
    def names(self) -> str:
        """The notes as the shape and as the function call them, or nothing if that is the same."""
        best = self.shortcut
        shape, function = (
            " ".join(note.pretty for note in notes)
            for notes in (map(single, best.notes), best.function_notes)
        )
        if shape == function:
            return self._why_doubled
        told = f"Its notes by shape: {shape}. By function: {function}."
        return f"{told} {self._why_doubled}".strip()

    @property
    def _why_doubled(self) -> str:
        """Why notes on the page have double accidentals, where they have."""
        heard = (note.pitch.note for note in self.staff.notes)
        return doubled_words((*(row.note for row in self.rows), *heard))

    @property
    def written(self) -> str:
        """What is written for the reader and what is not, if the reader transposes."""
        return reader_words(self.reader, self.key, "the key in the list and what you hear are")

    @property
    def names_of_takes(self) -> tuple[str, str]:
        """What the two takes are called: the plain chord, and the coloured one."""
        over, sounds = self.dominant.pretty, heard_words(self.reader, self.key)
        return f"plain {over}{sounds}", f"coloured {over}: {self.colour.pretty}{sounds}"

    def takes(self, tempo: float, swing: float) -> tuple[Take, Take]:
        """Return what is heard: the plain chord, and the coloured one, which is on the staff.

        >>> plain, coloured = explore("C").takes(100, 2.0)
        >>> plain.label, coloured.label, coloured.is_seen
        ('plain G7', 'coloured G7: ♭9 13', True)
        """
        plain, coloured = self.names_of_takes
        return (
            Take(plain, _with_band(self.plain, None, tempo, swing)),
            Take(
                coloured,
                _with_band(self.coloured, self.colour, tempo, swing),
                is_seen=True,
                keys=self._keys_lit,
            ),
        )

    def travels(self, place: int, step: str, tempo: float, swing: float) -> tuple[Take, ...]:
        """Return one of the two takes in every key, by a step of ``STEPS``; the first is at home.

        >>> [take.key for take in explore("C").travels(1, "fifths", 100, 2.0)][:3]
        ['C major', 'F major', 'B♭ major']
        """
        line, row = ((self.plain, None), (self.coloured, self.colour))[place]
        label = self.names_of_takes[place]
        return tuple(
            Take(label, _with_band(line.transposed(key), row, tempo, swing), key=key.pretty)
            for key in keys_by(self.key, step)
        )

    @property
    def _keys_lit(self) -> tuple[int, ...]:
        """The key of the keyboard for each pitch class that sounds: one that is lit, if any is."""
        shift = self.reader.semitones
        lit = {key.midi % 12: key.midi for key in self.keyboard.lit}
        low = self.keyboard.low
        page = [(sounds + shift) % 12 for sounds in range(12)]
        return tuple(lit.get(one, low + (one - low) % 12) for one in page)

    @property
    def advice(self) -> str:
        """A word where the colour is not meant for the mode of I, or changes V, else nothing."""
        against = (sentence(why) for why in disagreements(self.colour, self.dominant))
        return " ".join(filter(None, (borrowed(self.colour, self.key.mode), *against)))

    @property
    def caption(self) -> str:
        """What the table is about."""
        over = f"{self.shortcut.pretty} over {self.dominant.pretty}"
        return f"{over}, on the way to {self.target.pretty}"

    @property
    def heads(self) -> tuple[str, ...]:
        """The heads of the table; the last one only where something rubs."""
        heads = ("note", "over V", "where it goes", "where it rubs")
        return heads if any(row.clash for row in self.rows) else heads[:3]

    @property
    def cells(self) -> tuple[tuple[str, ...], ...]:
        """The table as texts: note, degree, where it goes, and where it rubs if anything does."""
        rows = ((r.note.pretty, r.degree.pretty, r.move, r.clash) for r in self.rows)
        return tuple(row[: len(self.heads)] for row in rows)


@lru_cache(maxsize=64)  # the plain chord of a key sounds the same beside every colour
def _with_band(line: Line, over_v: Colour | None, tempo: float, swing: float) -> Performance:
    """Return a phrase with a band whose piano holds its chords, so that only the colour differs."""
    colours = colours_over(line, over_v)
    over = line.progression
    return performance(line, over, tempo=tempo, swing=swing, colours=colours, figure=STEADY)


def explore(
    key: Key | str,
    form: str = "long",
    over_v: Colour | str = "b9 13",
    *,
    choice: int = 0,
    spelling: str = SPELLINGS[0],
    reader: Reader | str = READERS[0],
) -> ExplorerView:
    """Return what the explorer shows; ``choice`` counts the shortcuts, the best being 0.

    >>> view = explore("C", "long", "b9 13")
    >>> view.sentence
    'Over G7 think E major triad on the 6th of V, which is the 3rd of I.'
    >>> [(row.note.pretty, row.degree.pretty, row.move) for row in view.rows][1]
    ('A♭', '♭9', '♭9 falls a half step to the 5th of I')
    >>> view.summary
    'On the way to Cmaj7 this colour adds one half-step pull.'
    >>> view.names
    'Its notes by shape: E G♯ B. By function: E A♭ B.'
    """
    home = Key.parse(key) if isinstance(key, str) else expect(key, Key, "a key", "one such as 'F'")
    expect(choice, int, "the number of a shortcut", "0 for the best")
    if not isinstance(form, str):  # it is remembered by it
        raise TheoryError(f"no such form: {shown(form)} (want {', '.join(FORMS)})")
    if not isinstance(spelling, str):
        raise TheoryError(f"no such spelling: {shown(spelling)} (want {', '.join(SPELLINGS)})")
    return _explored(home, form, colour(over_v), choice, spelling, named(reader))


@lru_cache(maxsize=64)  # one goes to and fro between the colours of a key
def _explored(
    home: Key, form: str, wanted: Colour, choice: int, spelling: str, reader: Reader
) -> ExplorerView:
    """Return what the explorer shows."""
    page = reader.written_key(home)
    _, v, one = cadence_chords(page)
    options = ways_to_think(shortcuts(v, wanted, one), MOST_SHORTCUTS)
    if not 0 <= choice < len(options):
        raise TheoryError(f"no shortcut {shown(choice)} (want 0 to {len(options) - 1})")
    best = options[choice]
    names = _names(best, page, wanted, spelling)
    coloured = _sounding(best, home, form, wanted, spelling)
    resolution = resolve(v, wanted, one)
    return ExplorerView(
        home,
        v,
        one,
        wanted,
        options,
        best,
        _plain(home, form),
        coloured,
        _staff(coloured, wanted, reader, names, spelling),
        keyboard_of(v, best, names, _own_names(v, names, spelling)),
        _rows(best, resolution, names),
        resolution,
        reader,
    )


@lru_cache(maxsize=64)
def _plain(home: Key, form: str) -> Line:
    """Return the phrase of a key without a colour, which is the same beside each."""
    return demonstration(home, form)


def _names(best: Shortcut, key: Key, over_v: Colour, spelling: str) -> dict[int, Note]:
    """Return the name of each note of V, its colour and a shape in the wanted spelling.

    By function a name may have a double accidental; in the other spellings none has.
    """
    if spelling not in SPELLINGS:
        raise TheoryError(f"no such spelling: {shown(spelling)} (want {', '.join(SPELLINGS)})")
    v = best.chord
    own = (*v.notes, *(written_above(v.root, degree) for degree in over_v.degrees))
    named = {note.semitone: note for note in (*own, *best.function_notes)}
    if spelling == "by shape":
        named |= {note.semitone: note for note in best.notes}
    if spelling == "readable":
        named = dict(zip(named, readable(named.values(), key.notes), strict=True))
    plain = (lambda note: note) if spelling == SPELLINGS[0] else single
    return {semitone: plain(note) for semitone, note in named.items()}


def _own_names(v: Chord, names: dict[int, Note], spelling: str) -> dict[int, Note]:
    """Return the names of V's own keys: a shape names its own notes and not those of the chord."""
    if spelling != "by shape":
        return names
    return {note.semitone: single(note) for note in v.notes}


def _sounding(best: Shortcut, home: Key, form: str, over_v: Colour, spelling: str) -> Line:
    """Return the phrase as it sounds, named in its own key as the shape is there."""
    _, v, one = cadence_chords(home)
    here = replace(best, chord=v, target=one)
    return demonstration(home, form, over_v, names=_names(here, home, over_v, spelling))


def _staff(
    line: Line, over_v: Colour, reader: Reader, names: dict[int, Note], spelling: str
) -> StaffView:
    """Return the staff of a phrase, its notes over V by their names on the page."""
    page = line.written_for(reader)
    notes = []
    for note in page.notes:
        name, midi = note.pitch.note, note.pitch.midi
        if page.progression.chord_at(note.start).chord.kind.is_dominant:
            name = names.get(midi % 12, name)
        name = name if spelling == SPELLINGS[0] else single(name)
        notes.append(replace(note, pitch=Pitch.numbered(name, midi)))
    named = replace(page, notes=tuple(notes))
    whole = named.readable if spelling == "readable" else named
    view = degree_staff(line, over_v, reader=reader, page=page)
    return with_pitches(view, [n.pitch for n in whole.notes])


def _rows(best: Shortcut, found: Resolution, names: dict[int, Note]) -> tuple[NoteRow, ...]:
    """Return the table: the notes in the order of the shape.

    A note goes where it goes in the colour; what the shape adds goes its own nearest way.
    """
    whole = (*resolve(found.chord, best.degrees, found.target).moves, *found.moves)
    moves: dict[int, Move] = {move.degree.semitone: move for move in whole}
    why = dict(zip(best.clashes, best.why_clashes, strict=True))
    return tuple(
        NoteRow(
            names[note.semitone],
            degree,
            moves[degree.semitone].words,
            _with_name(why.get(degree, ""), note, names[note.semitone]),
        )
        for note, degree in zip(best.function_notes, best.degrees, strict=True)
    )


def _with_name(why: str, note: Note, name: Note) -> str:
    """Return why a note rubs with the name that it has on the page before that of its degree."""
    if note == name:
        return why
    return why.replace(note.pretty, f"{name.pretty} ({note.pretty})", 1)


def keyboard_of(
    v: Chord, best: Shortcut, names: dict[int, Note], own: dict[int, Note] | None = None
) -> KeyboardView:
    """Return the keyboard: the chord from its root, and above it the shape in close position.

    ``own`` are the names of the chord's own notes where they are not those of ``names``.

    >>> best = shortcuts("G7", "b9 13")[0]
    >>> view = keyboard_of(best.chord, best, {n.semitone: n for n in best.function_notes})
    >>> [(key.name, key.degree, key.role) for key in view.lit if key.ringed]
    [('E', '13', 'colour'), ('A♭', '♭9', 'colour'), ('B', '3', 'chord')]
    """
    shape = zip(best.function_notes, best.degrees, strict=True)
    rubs = [d for d in best.clashes if not stands_for_third(d, best.wanted)]
    notes = (KeyNote(names[note.semitone], degree, degree in rubs) for note, degree in shape)
    held = names if own is None else own
    return stacked_keys(v, notes, _say(v, best, names, held), held)


def _say(v: Chord, best: Shortcut, names: dict[int, Note], own: dict[int, Note]) -> str:
    """Say in words what the keyboard shows."""
    tones = ", ".join(own.get(note.semitone, note).pretty for note in v.notes)
    notes = ", ".join(
        f"{names[note.semitone].pretty} ({degree.pretty})"
        for note, degree in zip(best.function_notes, best.degrees, strict=True)
    )
    return f"Keyboard: {v.pretty} is {tones}; above it {pretty_words(best.shape)}: {notes}."
