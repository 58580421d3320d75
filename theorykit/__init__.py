"""theorykit: jazz theory for the V chord, exactly spelled, without dependencies.

Ask for what a chord can carry, and for the shortest way to think of it:

>>> from theorykit import Chord, resolve, shortcuts
>>> best = shortcuts("G7", "b9 13")[0]
>>> best.shape, [str(degree) for degree in best.degrees]
('E', ['13', 'b9', '3'])
>>> resolve("G7", "b9", "C minor").moves[0].words
'1 stays: it is the 5th of i'

The way in (``help(theorykit.shortcuts)`` and so on tell the rest):

* Values: ``Note``, ``Pitch``, ``Degree``, ``Key``, ``Chord``, ``Scale``, ``Colour``,
  ``Progression`` and ``two_five_one``, ``Line``, ``Chart``, ``LeadSheet``. Most have ``parse``, and
  ``str`` is its reverse. Notes, chords, keys and colours may be given as text; a progression
  comes from ``two_five_one`` or ``Chart.parse(text).progression``.
* Over a chord: ``shortcuts``, ``resolve``, ``identify``, ``substitutes``, ``subsets``,
  ``degrees_over``, ``evidence``; ``colour`` reads a colour, also one of your own, such as
  ``"mine: b9 11 13"``.
* Over a tune: ``cadences``, ``functions``, ``key_regions``, ``Treatment``, ``write_chorus``.
* Lines: ``write_lines``, ``read_line``, ``guide_tone_lines``, ``demonstration``, ``one_idea``,
  ``lead_ins``.
* Played in: ``take_down`` writes a recording or played notes as a line.
* Practice: ``question``, ``Journal``, ``PhraseBook``.
* With any of them: ``see``, ``hear``, ``save`` and ``written_for`` a reader; ``table`` for rows,
  ``to_dict`` and ``from_dict``, ``to_mido``, ``to_music21`` and ``from_music21``.
* Tables to choose from: ``KEYS``, ``FORMS``, ``COLOURS``, ``SCALES``, ``KINDS_OF_QUESTION``.

>>> from theorykit import COLOURS, FORMS, KEYS, KINDS_OF_QUESTION, SCALES
>>> [key.pretty for key in KEYS if key.is_minor][:4], FORMS
(['A♭ minor', 'E♭ minor', 'B♭ minor', 'F minor'], ('long', 'short', 'split'))
>>> [str(one) for one in COLOURS if one.suits("minor")][:4]
['b9', 'b9 b13', 'b9 #11', '#9']
>>> [row.name for row in SCALES][:3], [str(kind) for kind in KINDS_OF_QUESTION][:2]
(['major', 'dorian', 'phrygian'], ['shortcut over V', 'shortcut to I'])

Only ``see``, ``hear``, ``save``, ``take_down`` and the ways to mido and music21 need more than
Python; they say how to install it. Handouts are in ``theorykit.handout``, controls for a notebook
in ``theorykit.widgets``; the command ``theorykit --help`` opens the workbook, whose page
``recipes.ipynb`` has twelve short programs. ``theorykit pages FOLDER`` writes chapters, recipes and
a reference of all this as web pages. Bad input raises ``TheoryError``: what was wanted, what came,
what is accepted.
"""

from importlib import import_module

__version__ = "0.2.0"

# Where each public name lives. It is imported when it is first asked for, so that ``import
# theorykit`` costs next to nothing; ``__init__.pyi`` says the same to type checkers and editors.
_HOMES = {
    "errors": "TheoryError",
    "harmony.agreement": "agreeing_colours agrees disagreements",
    "harmony.colours": "COLOURS Colour colour",
    "harmony.counts": "Evidence evidence",
    "harmony.identification": "Identification identify",
    "harmony.resolution": "Resolution resolve",
    "harmony.shortcuts": "Shortcut shortcuts",
    "harmony.subsets": "Subset subsets",
    "harmony.substitution": "Substitute substitutes",
    "harmony.tensions": "degrees_over",
    "lines.chorus": "Chorus write_chorus",
    "lines.demonstration": "demonstration",
    "lines.guide_tones": "guide_tone_lines",
    "lines.lead_sheet": "LeadSheet",
    "lines.reading": "read_line",
    "lines.text": "Line TimedNote",
    "lines.vocabulary": "lead_ins one_idea",
    "lines.writing": "Wishes write_lines",
    "notes.chord": "Chord",
    "notes.degree": "Degree",
    "notes.key": "KEYS Key",
    "notes.note": "Note Pitch",
    "notes.scales": "SCALES Scale",
    "study.journal": "Journal",
    "study.phrasebook": "PhraseBook",
    "study.questions": "KINDS_OF_QUESTION question",
    "tunes.cadences": "Cadence Function cadences functions key_regions",
    "tunes.charts": "Chart chart_problems",
    "tunes.progression": "FORMS Progression two_five_one",
    "tunes.treatments": "Treatment",
    "show.door": "from_music21 hear save see take_down to_mido to_music21",
    "views.things": "from_dict table to_dict written_for",
}
_HOME_OF = {name: home for home, names in _HOMES.items() for name in names.split()}

__all__ = sorted(_HOME_OF)


def __getattr__(name: str) -> object:
    """Return a public name, imported from where it lives."""
    if name not in _HOME_OF:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    found = getattr(import_module(f"{__name__}.{_HOME_OF[name]}"), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    """Return what the package offers."""
    return sorted({*globals(), *_HOME_OF})
