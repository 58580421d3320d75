"""A week for a class: questions out of a handout, and the notebook that asks them."""

from __future__ import annotations

import json
from itertools import zip_longest
from os import PathLike, fspath
from pathlib import Path
from typing import Any

from theorykit.errors import TheoryError
from theorykit.handout.files import write_whole
from theorykit.handout.handout import Handout
from theorykit.harmony.colours import COLOURS, colour
from theorykit.notes.key import Key
from theorykit.show.exports import file_stem
from theorykit.study.class_file import ClassQuestions
from theorykit.study.sitting import Task

__all__ = ["class_files", "class_questions"]

MOST = 12  # questions of a week
TITLE = "Questions for this week"
# What is asked of a colour in a key, and of a key alone; and what comes first, while there is room.
OF_COLOUR = ("shortcut over V", "colour of a shape", "colour by ear")
OF_KEY = ("guide tones", "ii of a V")
ORDER = ("shortcut over V", "guide tones", "colour of a shape", "ii of a V", "colour by ear")


def class_questions(handout: Handout) -> ClassQuestions:
    """Return the questions of a week out of a handout: its colours and keys, and its tune's.

    >>> text = 'title = "Thursday"\\n[[block]]\\nkind = "colour"\\ncolour = "b9 13"\\nkey = "F"\\n'
    >>> [(one.kind, one.key) for one in class_questions(Handout.parse(text)).tasks][:2]
    [('shortcut over V', 'F major'), ('guide tones', 'F major')]
    """
    pairs = [pair for block in handout.blocks for pair in block.asks_about()]
    made = {kind: _of_colours(kind, pairs) for kind in OF_COLOUR}
    made |= {kind: _of_keys(kind, pairs) for kind in OF_KEY}
    chosen = [task for kind in ORDER for task in made[kind]][:MOST]
    if chosen:
        rows = ([task for task in chosen if task.kind == kind] for kind in ORDER)
        mixed = (task for turn in zip_longest(*rows) for task in turn if task is not None)
        return ClassQuestions(handout.title or TITLE, tuple(mixed))
    raise TheoryError("nothing to ask about in the handout (want a colour, a key or a tune in it)")


def _of_colours(kind: str, pairs: list[tuple[str, Key]]) -> list[Task]:
    """Return a question of a kind on each colour that the house knows, in its key."""
    known = {row.name for row in COLOURS}
    fitting = ((name, key) for name, key in pairs if name in known and colour(name).suits(key.mode))
    return [Task(kind, name, 2, str(key)) for name, key in dict.fromkeys(fitting)]


def _of_keys(kind: str, pairs: list[tuple[str, Key]]) -> list[Task]:
    """Return a question of a kind in each key."""
    return [Task(kind, key.mode, 2, str(key)) for key in dict.fromkeys(key for _, key in pairs)]


def class_files(
    handout: Handout, folder: str | PathLike[str], *, overwrite: bool = False
) -> list[Path]:
    """Write the questions of a week and the notebook that asks them; return the two paths.

    The folder is made where there is none. Students put both files into the folder of the workbook
    and open the notebook.

    >>> from tempfile import TemporaryDirectory
    >>> text = 'title = "Thursday"\\n[[block]]\\nkind = "colour"\\ncolour = "b9 13"\\nkey = "F"\\n'
    >>> with TemporaryDirectory() as home:
    ...     [path.name for path in class_files(Handout.parse(text), home)]
    ['Thursday_questions.toml', 'Thursday_questions.ipynb']
    """
    place = Path(fspath(folder))
    week = class_questions(handout)
    stem = file_stem(week.title, "questions")
    contents = {f"{stem}.toml": str(week), f"{stem}.ipynb": _notebook(week, f"{stem}.toml")}
    taken = [name for name in contents if (place / name).exists()]
    if taken and not overwrite:
        raise TheoryError(f"there is a file {taken[0]} already (want overwrite=True)")
    for name, text in contents.items():
        write_whole(place / name, text.encode(), overwrite=overwrite)
    return [place / name for name in contents]


def _notebook(week: ClassQuestions, file: str) -> str:
    """Return the notebook of a week: what to do, and the drill."""
    count = len(week.tasks)
    first = (
        f"# {week.title}: can you answer {count} questions?\n\nRun the cell below: click on it and "
        "press Shift and Enter together. Answer by typing, with the buttons or with the keys. You "
        "may stop and go on later. At the end a file is made: give it to your teacher."
    )
    code = f"from theorykit.widgets import drill\n\ndrill(class_file={json.dumps(file)})"
    cells: list[dict[str, Any]] = [
        {"cell_type": "markdown", "id": "words", "metadata": {}, "source": first},
        {
            **{"cell_type": "code", "id": "drill", "metadata": {}, "source": code},
            **{"execution_count": None, "outputs": []},
        },
    ]
    kernel = {"display_name": "Python 3", "language": "python", "name": "python3"}
    whole = {
        **{"cells": cells, "metadata": {"kernelspec": kernel}},
        **{"nbformat": 4, "nbformat_minor": 5},
    }
    return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"
