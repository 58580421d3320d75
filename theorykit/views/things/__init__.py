"""Things: values that are seen, heard and saved, given as values or as text."""

from theorykit.views.things.given import Thing, kind_of, thing, written_for
from theorykit.views.things.performances import number, performed
from theorykit.views.things.pictured import found_keys, scale_keys
from theorykit.views.things.records import from_dict, to_dict
from theorykit.views.things.rows import table

__all__ = [
    "Thing",
    "found_keys",
    "from_dict",
    "kind_of",
    "number",
    "performed",
    "scale_keys",
    "table",
    "thing",
    "to_dict",
    "written_for",
]
