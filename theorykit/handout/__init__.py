"""Handouts: pages, music files, sound and one page for the browser, for everyone in the room.

A handout is a text with a block for each thing on it; its files are made for some editions, each
for a reader, student or teacher, on A4 or Letter, in normal or large print.

>>> from theorykit.handout import EVERYONE, Edition, Handout
>>> block = '[[block]]\\nkind = "colour"\\ncolour = "b9"\\nkey = "Db"'
>>> [one.kind for one in Handout.parse(f'title = "One colour"\\n\\n{block}').blocks]
['colour']
>>> len(EVERYONE), Edition.parse("tenor saxophone, teacher") in EVERYONE
(48, True)
"""

from theorykit.errors import needs_workbook

try:
    from theorykit.handout.class_week import class_files, class_questions
    from theorykit.handout.files import summary_of
    from theorykit.handout.front import EVERYONE, Edition
    from theorykit.handout.handout import Handout
except ModuleNotFoundError as missing:
    raise needs_workbook(missing) from missing

__all__ = [
    "EVERYONE",
    "Edition",
    "Handout",
    "class_files",
    "class_questions",
    "summary_of",
]
