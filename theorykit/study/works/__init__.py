"""Works of the reader as values and as plain text."""

from theorykit.study.works.kept_state import (
    LARGEST,
    Data,
    Opened,
    State,
    Work,
    data_in,
    state_in,
    text_of,
)
from theorykit.study.works.paper import Deed, PaperKind, Side, deeds, fingerprint, free_name

__all__ = [
    "LARGEST",
    "Data",
    "Deed",
    "Opened",
    "PaperKind",
    "Side",
    "State",
    "Work",
    "data_in",
    "deeds",
    "fingerprint",
    "free_name",
    "state_in",
    "text_of",
]
