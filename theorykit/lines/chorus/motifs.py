"""Motifs: short figures around a guide tone, taken up between the phrases of a chorus.

A chorus has one motif and another for its contrasting quarter. A motif comes back over each chord
between two phrases, moved to the guide tone that lies nearest, and varied as players vary it: shown
again, turned upside down, put off by an eighth, cut short (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from random import Random

from theorykit.lines.chord_scale import chord_scale
from theorykit.lines.text import TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.degree import above, spell_near
from theorykit.notes.key import Key
from theorykit.notes.note import Note, Pitch
from theorykit.tunes.progression import PlacedChord

HALF = Fraction(1, 2)
BREATH = Fraction(1)  # beats: the least rest after a motif
SHORTEST_ROOM = Fraction(3)  # beats from which a chord has room for a motif
LONGEST = Fraction(2)  # beats: how long a guide tone alone is held


@dataclass(frozen=True, slots=True)
class Motif:
    """A figure: start and length of each note in beats, and its steps in the scale from the guide
    tone, which is step 0.
    """

    notes: tuple[tuple[Fraction, Fraction, int], ...]

    @property
    def beats(self) -> Fraction:
        """The beat on which it ends."""
        start, beats, _ = self.notes[-1]
        return start + beats

    def mirrored(self) -> Motif:
        """Return it upside down."""
        return Motif(tuple((start, beats, -step) for start, beats, step in self.notes))

    def put_off(self) -> Motif:
        """Return it half a beat later."""
        return Motif(tuple((start + HALF, beats, step) for start, beats, step in self.notes))

    def cut(self) -> Motif:
        """Return it from its second note on, where the guide tone stays in it."""
        kept = self.notes[1:]
        return Motif(kept) if any(step == 0 for _, _, step in kept) else self


def _motif(text: str) -> Motif:
    """Read ``start:length:step`` of each note."""
    rows = (word.split(":") for word in text.split())
    return Motif(tuple((Fraction(a), Fraction(b), int(step)) for a, b, step in rows))


MOTIFS = tuple(
    map(
        _motif,
        (
            "1/2:1/2:-2 1:1/2:-1 3/2:1:0",
            "0:3/2:0 3/2:1:1 5/2:1/2:-1 3:1/2:0",
            "1/2:1/2:0 1:1/2:1 3/2:1/2:2 2:1:0",
            "1/2:1/2:2 1:1:1 2:3/2:0",
            "1:1/2:-2 3/2:1/2:-1 2:1/2:1 5/2:1/2:0",
            "3/2:1/2:0 2:1/2:2 5/2:1:1",
            "1/2:1:0 3/2:1/2:-1 2:1:-2",
            "0:1/3:-1 1/3:1/3:0 2/3:1/3:1 1:3/2:0",
            "1/2:1/2:2 1:1/2:1 3/2:1:0 5/2:1/2:-1",
        ),
    )
)
VARIED = ("again", "mirrored", "again", "put off", "again", "cut")


@dataclass(frozen=True, slots=True)
class MotifPair:
    """The motif of a chorus and the one of its contrasting quarter."""

    first: Motif
    other: Motif
    bridge: tuple[Fraction, Fraction]  # from which beat to which the other one is played

    @classmethod
    def drawn(cls, seed: str, bridge: tuple[Fraction, Fraction]) -> MotifPair:
        """Return two motifs for a seed."""
        first, other = Random(f"motif {seed}").sample(MOTIFS, 2)
        return cls(first, other, bridge)

    def at(self, beat: Fraction, number: int) -> Motif:
        """Return the motif for a beat; ``number`` counts how often one was played before."""
        low, high = self.bridge
        motif = self.other if low <= beat < high else self.first
        way = VARIED[number % len(VARIED)]
        varied = {"mirrored": motif.mirrored, "put off": motif.put_off, "cut": motif.cut}
        return varied[way]() if way in varied else motif


def stated(
    pieces: Sequence[PlacedChord],
    guides: Sequence[Pitch],
    motifs: MotifPair,
    key: Key,
    compass: tuple[int, int],
) -> Iterator[TimedNote]:
    """Run through the notes of the motif over each chord; ``guides`` are its guide tones.

    A chord without room for it has its guide tone alone, and of two such that are one note the
    second rests.
    """
    number, before = 0, -1
    for piece, named in zip(pieces, guides, strict=True):
        guide = Pitch.numbered(_plain(named.note), named.midi)
        motif = motifs.at(piece.start, number)
        if motif.beats + BREATH > max(piece.beats, SHORTEST_ROOM + BREATH):
            motif = motifs.at(piece.start, 0)
        notes = _moved(motif, piece, guide, key, compass)
        if piece.beats < SHORTEST_ROOM or not notes:
            held = min(piece.beats - HALF if piece.beats > 1 else piece.beats, LONGEST)
            notes = [TimedNote(guide, piece.start, held)]
        else:
            number += 1
        if len(notes) == 1 and notes[0].pitch.midi == before:
            notes = []
        yield from notes
        before = notes[-1].pitch.midi if notes else -1


def _moved(
    motif: Motif, piece: PlacedChord, guide: Pitch, key: Key, compass: tuple[int, int]
) -> list[TimedNote]:
    """Return a motif over a chord, upside down where it would leave the range, or nothing."""
    room = piece.beats - HALF
    for one in (motif, motif.mirrored()):
        pitches = [_stepped(guide, step, piece.chord, key) for _, _, step in one.notes]
        if all(compass[0] <= pitch.midi <= compass[1] for pitch in pitches):
            notes = [
                TimedNote(pitch, piece.start + start, min(beats, room - start))
                for pitch, (start, beats, _) in zip(pitches, one.notes, strict=True)
                if start < room
            ]
            return notes if len(notes) > 2 and any(n.pitch == guide for n in notes) else []
    return []


def _stepped(guide: Pitch, steps: int, chord: Chord, key: Key) -> Pitch:
    """Return the note of a chord's scale so many steps from its guide tone."""
    names = {note.semitone: note for note in _scale(chord, key)}
    way, midi, left = (1 if steps > 0 else -1), guide.midi, abs(steps)
    while left:
        midi += way
        left -= midi % 12 in names
    return guide if not steps else Pitch.numbered(_plain(names[midi % 12]), midi)


def _scale(chord: Chord, key: Key) -> Sequence[Note]:
    """Return the notes of the scale over a chord."""
    return [above(chord.root, degree) for degree in chord_scale(chord, key)]


def _plain(name: Note) -> Note:
    """Return a name that is no double accidental."""
    return name if abs(name.alteration) < 2 else spell_near(name.semitone, name)
