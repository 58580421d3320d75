"""Works of the reader, typed or chosen: kept, listed, and brought back."""

from theorykit.widgets.works.keeper import Keeper, write_all
from theorykit.widgets.works.kept_work import (
    Hands,
    KeptWork,
    by_label,
    place_of,
    put_back,
    told_by,
)
from theorykit.widgets.works.my_work import MyWork
from theorykit.widgets.works.own_folder import (
    folder_of,
    phrase_folder,
    tell_works,
    works_changed,
)
from theorykit.widgets.works.sending import Sending

__all__ = [
    "Hands",
    "Keeper",
    "KeptWork",
    "MyWork",
    "Sending",
    "by_label",
    "folder_of",
    "phrase_folder",
    "place_of",
    "put_back",
    "tell_works",
    "told_by",
    "works_changed",
    "write_all",
]
