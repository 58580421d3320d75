from theorykit.errors import TheoryError as TheoryError
from theorykit.harmony.agreement import (
    agreeing_colours as agreeing_colours,
    agrees as agrees,
    disagreements as disagreements,
)
from theorykit.harmony.colours import COLOURS as COLOURS, Colour as Colour, colour as colour
from theorykit.harmony.counts import Evidence as Evidence, evidence as evidence
from theorykit.harmony.identification import Identification as Identification, identify as identify
from theorykit.harmony.resolution import Resolution as Resolution, resolve as resolve
from theorykit.harmony.shortcuts import Shortcut as Shortcut, shortcuts as shortcuts
from theorykit.harmony.subsets import Subset as Subset, subsets as subsets
from theorykit.harmony.substitution import Substitute as Substitute, substitutes as substitutes
from theorykit.harmony.tensions import degrees_over as degrees_over
from theorykit.lines.chorus import Chorus as Chorus, write_chorus as write_chorus
from theorykit.lines.demonstration import demonstration as demonstration
from theorykit.lines.guide_tones import guide_tone_lines as guide_tone_lines
from theorykit.lines.lead_sheet import LeadSheet as LeadSheet
from theorykit.lines.reading import read_line as read_line
from theorykit.lines.text import Line as Line, TimedNote as TimedNote
from theorykit.lines.vocabulary import lead_ins as lead_ins, one_idea as one_idea
from theorykit.lines.writing import Wishes as Wishes, write_lines as write_lines
from theorykit.notes.chord import Chord as Chord
from theorykit.notes.degree import Degree as Degree
from theorykit.notes.key import KEYS as KEYS, Key as Key
from theorykit.notes.note import Note as Note, Pitch as Pitch
from theorykit.notes.scales import SCALES as SCALES, Scale as Scale
from theorykit.show.door import (
    from_music21 as from_music21,
    hear as hear,
    save as save,
    see as see,
    take_down as take_down,
    to_mido as to_mido,
    to_music21 as to_music21,
)
from theorykit.study.journal import Journal as Journal
from theorykit.study.phrasebook import PhraseBook as PhraseBook
from theorykit.study.questions import KINDS_OF_QUESTION as KINDS_OF_QUESTION, question as question
from theorykit.tunes.cadences import (
    Cadence as Cadence,
    Function as Function,
    cadences as cadences,
    functions as functions,
    key_regions as key_regions,
)
from theorykit.tunes.charts import Chart as Chart, chart_problems as chart_problems
from theorykit.tunes.progression import (
    FORMS as FORMS,
    Progression as Progression,
    two_five_one as two_five_one,
)
from theorykit.tunes.treatments import Treatment as Treatment
from theorykit.views.things import (
    from_dict as from_dict,
    table as table,
    to_dict as to_dict,
    written_for as written_for,
)

__version__: str
