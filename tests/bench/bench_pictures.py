"""Staves and keyboards, as the explorer asks for them, and MusicXML against music21's own way."""

from dataclasses import replace
from fractions import Fraction
from itertools import count

from measure import Bench, at_least_times, median_at_most
from music21 import harmony, key, meter, note, stream
from music21.musicxml.m21ToXml import GeneralObjectExporter
from staves import staff

from theorykit.show.engraving import musicxml, staff_svg
from theorykit.show.pictures import picture_svg
from theorykit.views.keyboard import KeyboardView, LitKey

NOTES = "D4 F4 A4 C5 B4 D5 Ab4 F4 E4 Ab4 G4 E4".split()
LENGTHS = [Fraction(n, 2) for n in (1, 1, 1, 1, 2, 2, 1, 1, 1, 1, 4, 8)]
CHORDS = [(0, "Dm7"), (4, "G7b9"), (8, "Cmaj7")]
VIEW = staff(
    " ".join(f"{name}:{length}" for name, length in zip(NOTES, LENGTHS, strict=True)),
    chords=CHORDS,
    label="♭9",
)
# Each time another one: a short staff that was drawn is remembered.
VIEWS = (replace(VIEW, alt=f"three bars, {number}") for number in count())
KEYS = KeyboardView(
    53,
    76,
    tuple(LitKey(midi, "A♭", "♭9", "colour", True) for midi in (55, 59, 62, 65, 68, 71, 76)),
    "A keyboard.",
)


def music21_writes() -> bytes:
    """Build and write the same three bars with music21 alone."""
    part = stream.Part([meter.TimeSignature("4/4"), key.KeySignature(0)])
    for beat, symbol in CHORDS:
        part.insert(beat, harmony.ChordSymbol(symbol))
    here = Fraction(0)
    for name, length in zip(NOTES, LENGTHS, strict=True):
        one = note.Note(name.replace("b", "-"), quarterLength=length, lyric="♭9")
        part.insert(here, one)
        here += length
    written: bytes = GeneralObjectExporter(part).parse()
    return written


def same_notes() -> None:
    """Raise where the two files do not hold the same bars, notes and chord symbols."""
    ours, theirs = musicxml(VIEW), music21_writes().decode()
    for tag in ("<measure ", "<harmony", "<pitch>", "<lyric"):
        if ours.count(tag) != theirs.count(tag):
            raise ValueError(f"{ours.count(tag)} {tag} against {theirs.count(tag)}")


BENCHES = (
    Bench(
        name="three bars as MusicXML, against music21 alone",
        candidate=lambda: musicxml(VIEW),
        reference=music21_writes,
        goal=at_least_times(5),
        check=same_notes,
    ),
    Bench(
        name="three bars engraved",
        candidate=lambda: staff_svg(next(VIEWS)),
        reference=None,
        goal=median_at_most(0.030),
    ),
    Bench(
        name="a keyboard of two octaves as SVG",
        candidate=lambda: picture_svg(KEYS),
        reference=None,
        goal=median_at_most(0.002),
    ),
)
