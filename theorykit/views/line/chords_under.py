"""Chords to play over: the forms of a ii-V-I, one of them with a fourth bar, or typed ones."""

from __future__ import annotations

from dataclasses import replace

from theorykit.errors import TheoryError, shown
from theorykit.lines.taking import spelled_pitches
from theorykit.lines.text import Line
from theorykit.notes.key import Key
from theorykit.tunes.charts import typed_changes
from theorykit.tunes.home_key import phrase_key
from theorykit.tunes.progression import FORMS, Progression, two_five_one
from theorykit.views.line.line_draft import LineDraft

FOUR_BARS = "four bars"
MOST_BARS = 32
STAYED = "the notes stayed as they are, over other chords"


def over_of(key: Key | str, form: str) -> Progression:
    """Return the chords of a form: those of ``FORMS``, or the long one with a second bar of I.

    >>> str(over_of("C", FOUR_BARS))
    'Dm7 | G7 | Cmaj7 | Cmaj7'
    """
    if form != FOUR_BARS:
        return two_five_one(key, form)
    long = two_five_one(key)
    return replace(long, bars=(*long.bars, long.bars[-1]))


def typed_over(text: str, key: Key) -> Progression:
    """Return the changes that were typed, bars between bar lines or commas, at concert pitch.

    They are in the key that they point to; a single chord is in the key that is given.

    >>> over = typed_over("Abm7 Db7 | Gbmaj7", Key.parse("C"))
    >>> str(over), str(over.key)
    ('Abm7 Db7 | Gbmaj7', 'Gb major')
    """
    try:
        over = typed_changes(text, key)
    except TheoryError as wrong:
        raise TheoryError(
            f"no changes: {shown(text)}: {wrong}; want bars such as Dm7 | G7 | Cmaj7 | Cmaj7"
        ) from None
    if len(over) > MOST_BARS:
        raise TheoryError(f"{len(over)} bars (want at most {MOST_BARS})")
    chords = [(one.chord, one.beats) for one in over.chords]
    return replace(over, key=phrase_key(chords)) if len(chords) > 1 else over


def form_in(over: Progression) -> str:
    """Return the form that chords are of as they stand, empty where they are others.

    >>> form_in(over_of("Db", FOUR_BARS)), form_in(over_of("C minor", "split"))
    ('four bars', 'split')
    """
    return next((form for form in (*FORMS, FOUR_BARS) if over_of(over.key, form) == over), "")


def moved_onto(state: LineDraft, key: str, form: str) -> LineDraft:
    """Return a line in another key and over the chords of another form.

    >>> state = LineDraft(over_of("C", "long")).typed("half F4 F4 | whole G4 | whole E4")
    >>> longer = moved_onto(state, "Eb major", FOUR_BARS)
    >>> longer.text, str(longer.progression)
    ('half Ab4 Ab4 | whole Bb4 | G4', 'Fm7 | Bb7 | Ebmaj7 | Ebmaj7')
    >>> moved_onto(longer, "C major", "long").text
    'half F4 F4 | whole G4 | E4'
    """
    home, own = Key.parse(key), form_in(state.progression)
    if form == own and (not form or own == FOUR_BARS) and home.mode == state.progression.key.mode:
        return state.moved(key, "")  # its own chords, in another key
    if not form:
        return put_over(state, replace(state.progression, key=home))
    if own == FOUR_BARS:
        state = put_over(state, over_of(state.progression.key, "long"))
    if form == FOUR_BARS:
        return put_over(state.moved(key, "long"), over_of(home, FOUR_BARS))
    moved = state.moved(key, form)
    cut = state.told if own == FOUR_BARS and state.told != STAYED else ""
    return replace(moved, told=moved.told or cut)


def put_over(state: LineDraft, over: Progression) -> LineDraft:
    """Return a line over other chords: its notes stay, with names for these chords.

    What stands after the last bar goes.

    >>> state = LineDraft(over_of("C", "short")).typed("half F4 B4 | whole C5")
    >>> put_over(state, typed_over("C7", state.progression.key)).told
    '1 note after the last bar left out'
    """
    line = state.read.line
    if line is None or not line.notes:
        return LineDraft(over)
    kept = tuple(
        replace(note, beats=min(note.beats, over.beats - note.start))
        for note in line.notes
        if note.start < over.beats
    )
    gone = len(line.notes) - len(kept)
    sounds = [note.pitch.midi for note in kept]
    pitches = spelled_pitches(sounds, [note.start for note in kept], over)
    kept = tuple(replace(note, pitch=pitch) for note, pitch in zip(kept, pitches, strict=True))
    told = f"{gone} note{'s' * (gone != 1)} after the last bar left out" if gone else STAYED
    return LineDraft(over).taken(Line(over, kept), told)
