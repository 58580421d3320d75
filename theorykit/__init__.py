"""theorykit: jazz theory for the V chord, exactly spelled, without dependencies.

>>> from theorykit import shortcuts
>>> best = shortcuts("G7", "b9 13")[0]
>>> best.shape, [str(degree) for degree in best.degrees]
('E', ['13', 'b9', '3'])

Everything named here belongs to the theory rooms and needs the standard library alone. Pictures and
sound are in ``theorykit.show``, controls for a notebook in ``theorykit.widgets``.
"""

from theorykit.errors import TheoryError
from theorykit.harmony.colours import COLOURS, Colour, colour
from theorykit.harmony.evidence import Evidence, evidence
from theorykit.harmony.identify import Identification, identify
from theorykit.harmony.resolution import Resolution, resolve
from theorykit.harmony.shortcuts import Shortcut, shortcuts
from theorykit.harmony.subsets import Subset, subsets
from theorykit.harmony.substitutes import Substitute, substitutes
from theorykit.harmony.tensions import degrees_over
from theorykit.lines.demonstration import demonstration
from theorykit.lines.guide_tones import guide_tone_lines
from theorykit.lines.line import Line, TimedNote
from theorykit.lines.reading import read_line
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import KEYS, Key
from theorykit.notes.note import Note
from theorykit.notes.pitch import Pitch
from theorykit.notes.scales import SCALES, Scale
from theorykit.tunes.progression import FORMS, Progression, two_five_one

__all__ = [
    "COLOURS",
    "FORMS",
    "KEYS",
    "SCALES",
    "Chord",
    "Colour",
    "Degree",
    "Evidence",
    "Identification",
    "Key",
    "Line",
    "Note",
    "Pitch",
    "Progression",
    "Resolution",
    "Scale",
    "Shortcut",
    "Subset",
    "Substitute",
    "TheoryError",
    "TimedNote",
    "colour",
    "degrees_over",
    "demonstration",
    "guide_tone_lines",
    "evidence",
    "identify",
    "read_line",
    "resolve",
    "shortcuts",
    "subsets",
    "substitutes",
    "two_five_one",
]
