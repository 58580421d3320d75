"""Works of the reader, typed or chosen: kept, listed, and brought back."""

from theorykit.widgets.works.kept_work import (
    Hands,
    KeptWork,
    by_label,
    place_of,
    put_back,
    told_by,
)
from theorykit.widgets.works.my_work import MyWork

__all__ = ["Hands", "KeptWork", "MyWork", "by_label", "place_of", "put_back", "told_by"]
