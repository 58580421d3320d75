from theorykit.errors import TheoryError as TheoryError
from theorykit.harmony.colours import COLOURS as COLOURS, Colour as Colour, colour as colour
from theorykit.harmony.evidence import Evidence as Evidence, evidence as evidence
from theorykit.harmony.identify import Identification as Identification, identify as identify
from theorykit.harmony.resolution import Resolution as Resolution, resolve as resolve
from theorykit.harmony.shortcuts import Shortcut as Shortcut, shortcuts as shortcuts
from theorykit.harmony.subsets import Subset as Subset, subsets as subsets
from theorykit.harmony.substitutes import Substitute as Substitute, substitutes as substitutes
from theorykit.harmony.tensions import degrees_over as degrees_over
from theorykit.lines.demonstration import demonstration as demonstration
from theorykit.lines.guide_tones import guide_tone_lines as guide_tone_lines
from theorykit.lines.line import Line as Line, TimedNote as TimedNote
from theorykit.lines.reading import read_line as read_line
from theorykit.lines.wishes import Wishes as Wishes
from theorykit.lines.writer import write_lines as write_lines
from theorykit.notes.chord import Chord as Chord
from theorykit.notes.degree import Degree as Degree
from theorykit.notes.key import KEYS as KEYS, Key as Key
from theorykit.notes.note import Note as Note
from theorykit.notes.pitch import Pitch as Pitch
from theorykit.notes.scales import SCALES as SCALES, Scale as Scale
from theorykit.study.phrasebook import PhraseBook as PhraseBook
from theorykit.tunes.progression import FORMS as FORMS, Progression as Progression, two_five_one as two_five_one
