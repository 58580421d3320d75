"""Widgets: controls for a notebook, one view and one assignment to each picture."""

from importlib import import_module

from theorykit.errors import needs_workbook

# Where each public name lives. It is imported when it is first asked for, so that a chapter starts
# with its own controls and no others; ``__init__.pyi`` says the same to type checkers and editors.
_HOMES = {
    "drills": "ClassAnswersPage Drill EarTraining JournalDesk class_answers drill ear_training "
    "journal",
    "exploring": "Explorer explorer",
    "handouts": "HandoutDesk handout_desk",
    "identifying": "IdentifyNotes identify_notes",
    "lines": "LineDesk line_desk",
    "phrases": "PhraseShelf phrase_book",
    "playing": "IPlay i_play",
    "shelves": "Shelf WorkFile shelf work_file",
    "substituting": "Substitutions substitutions",
    "tabling": "SubsetTable subset_table",
    "takes": "PlayIn play_in",
    "tunes": "TuneDesk tune_desk",
}
_HOME_OF = {name: home for home, names in _HOMES.items() for name in names.split()}

__all__ = sorted(_HOME_OF)


def __getattr__(name: str) -> object:
    """Return a public name, imported from where it lives."""
    if name not in _HOME_OF:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    try:
        home = import_module(f"{__name__}.{_HOME_OF[name]}")
    except ModuleNotFoundError as missing:
        raise needs_workbook(missing) from missing
    found = getattr(home, name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    """Return what the package offers."""
    return sorted({*globals(), *_HOME_OF})
