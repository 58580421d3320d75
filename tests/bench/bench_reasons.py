"""Explaining: one colour, all substitutes of a dominant, the whole table of tensions, pictures."""

from itertools import cycle

from measure import Bench, median_at_most

from theorykit import COLOURS, resolve, subsets, substitutes
from theorykit.notes.key import KEYS
from theorykit.show.pictures import picture_svg
from theorykit.tunes.progression import cadence_chords
from theorykit.views.clock import clock_of
from theorykit.views.motion import motion_of

# A different key each time, so that nothing that was worked out before is of use.
CADENCES = cycle([cadence_chords(key)[1:] for key in KEYS])
NAMES = cycle(COLOURS)


def one_colour() -> object:
    """Explain one colour over the V of the next key."""
    dominant, target = next(CADENCES)
    return resolve(dominant, next(NAMES), target).words


def all_substitutes() -> object:
    """Explain every substitute of the V of the next key."""
    return [found.words for found in substitutes(*next(CADENCES))]


def whole_table() -> object:
    """Search all 64 subsets of the tensions in the next key, with their words and cells."""
    return [(row.words, row.cells) for row in subsets(*next(CADENCES))]


def two_pictures() -> object:
    """Draw the motion picture and the clock of one substitute, as a widget does."""
    dominant, target = next(CADENCES)
    chord = substitutes(dominant, target)[0].chords[0]
    motion = picture_svg(motion_of(resolve(chord, None, target)))
    return motion, picture_svg(clock_of(dominant, "b9", chord))


BENCHES = (
    Bench("explain one colour", one_colour, None, median_at_most(0.005), rounds=60),
    Bench("explain all substitutes of a dominant", all_substitutes, None, median_at_most(0.020)),
    Bench("the whole table of tensions in one key", whole_table, None, median_at_most(0.100)),
    Bench("motion picture and clock as SVG", two_pictures, None, median_at_most(0.020)),
)
