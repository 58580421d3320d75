from theorykit.errors import TheoryError as TheoryError
from theorykit.harmony.colours import COLOURS as COLOURS
from theorykit.harmony.colours import Colour as Colour
from theorykit.harmony.colours import colour as colour
from theorykit.harmony.evidence import Evidence as Evidence
from theorykit.harmony.evidence import evidence as evidence
from theorykit.harmony.identify import Identification as Identification
from theorykit.harmony.identify import identify as identify
from theorykit.harmony.resolution import Resolution as Resolution
from theorykit.harmony.resolution import resolve as resolve
from theorykit.harmony.shortcuts import Shortcut as Shortcut
from theorykit.harmony.shortcuts import shortcuts as shortcuts
from theorykit.harmony.subsets import Subset as Subset
from theorykit.harmony.subsets import subsets as subsets
from theorykit.harmony.substitutes import Substitute as Substitute
from theorykit.harmony.substitutes import substitutes as substitutes
from theorykit.harmony.tensions import degrees_over as degrees_over
from theorykit.lines.chorus import Chorus as Chorus
from theorykit.lines.chorus import write_chorus as write_chorus
from theorykit.lines.demonstration import demonstration as demonstration
from theorykit.lines.guide_tones import guide_tone_lines as guide_tone_lines
from theorykit.lines.lead_sheet import LeadSheet as LeadSheet
from theorykit.lines.line import Line as Line
from theorykit.lines.line import TimedNote as TimedNote
from theorykit.lines.reading import read_line as read_line
from theorykit.lines.wishes import Wishes as Wishes
from theorykit.lines.writer import write_lines as write_lines
from theorykit.notes.chord import Chord as Chord
from theorykit.notes.degree import Degree as Degree
from theorykit.notes.key import KEYS as KEYS
from theorykit.notes.key import Key as Key
from theorykit.notes.note import Note as Note
from theorykit.notes.pitch import Pitch as Pitch
from theorykit.notes.scales import SCALES as SCALES
from theorykit.notes.scales import Scale as Scale
from theorykit.study.phrasebook import PhraseBook as PhraseBook
from theorykit.tunes.cadences import (
    Cadence as Cadence,
)
from theorykit.tunes.cadences import (
    cadences as cadences,
)
from theorykit.tunes.cadences import (
    key_regions as key_regions,
)
from theorykit.tunes.chart import Chart as Chart
from theorykit.tunes.chart import chart_problems as chart_problems
from theorykit.tunes.progression import (
    FORMS as FORMS,
)
from theorykit.tunes.progression import (
    Progression as Progression,
)
from theorykit.tunes.progression import (
    two_five_one as two_five_one,
)
from theorykit.tunes.treatment import Treatment as Treatment
