"""The files of a handout: what is ordered, the jobs that make it, the folder that holds it."""

from theorykit.handout.files.disk import write_whole
from theorykit.handout.files.earlier import with_earlier
from theorykit.handout.files.making import Work, left_out, make_files, summary_of, too_long
from theorykit.handout.files.order import FILES, Order

__all__ = [
    "FILES",
    "Order",
    "Work",
    "left_out",
    "make_files",
    "summary_of",
    "too_long",
    "with_earlier",
    "write_whole",
]
