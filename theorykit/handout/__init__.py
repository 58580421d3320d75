"""Handouts: pages, music files, sound and one page for the browser, for everyone in the room."""

from theorykit.errors import needs_workbook

try:
    from theorykit.handout.class_week import class_files, class_questions
    from theorykit.handout.files import summary_of
    from theorykit.handout.front import EVERYONE, Edition
    from theorykit.handout.handout import Handout
except ModuleNotFoundError as missing:
    raise needs_workbook(missing) from missing

__all__ = ["EVERYONE", "Edition", "Handout", "class_files", "class_questions", "summary_of"]
