"""A week for a class: questions out of a handout, and the notebook that asks them."""

from __future__ import annotations

import json
from collections.abc import Container
from os import PathLike, fspath
from pathlib import Path
from typing import Any

from theorykit.errors import TheoryError
from theorykit.handout.blocks import keyed
from theorykit.handout.files import write_whole
from theorykit.handout.handout import Handout
from theorykit.handout.week_questions import week_tasks
from theorykit.show.exports import file_stem
from theorykit.study.class_file import ClassQuestions

__all__ = ["class_files", "class_questions"]

TITLE = "Questions for this week"


def class_questions(handout: Handout) -> ClassQuestions:
    """Return the questions of a week out of a handout: its colours and keys, and its tune's.

    >>> text = 'title = "Thursday"\\n[[block]]\\nkind = "colour"\\ncolour = "b9 13"\\nkey = "F"\\n'
    >>> [(one.kind, one.key) for one in class_questions(Handout.parse(text)).tasks][:2]
    [('shortcut over V', 'F major'), ('guide tones', 'F major')]
    """
    tasks = week_tasks(keyed(handout.blocks))
    if tasks:
        return ClassQuestions(handout.title or TITLE, tasks)
    raise TheoryError("nothing to ask about in the handout (want a colour, a key or a tune in it)")


def class_files(
    handout: Handout,
    folder: str | PathLike[str],
    *,
    overwrite: bool = False,
    own: Container[str] = (),
) -> list[Path]:
    """Write the questions of a week and the notebook that asks them; return the two paths.

    The folder is made where there is none. Students put both files into the folder of the workbook
    and open the notebook. ``own`` are names of files that may be replaced in any case.

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
    taken = [name for name in contents if (place / name).exists() and name not in own]
    if taken and not overwrite:
        raise TheoryError(f"there is a file {taken[0]} already (want overwrite=True)")
    for name, text in contents.items():
        write_whole(place / name, text.encode(), overwrite=overwrite or name in own)
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
    last = (
        "On a class server, or with a folder that the class shares, this hands in how much you "
        "were asked and how much was right, and no answer. A phrase of your book goes with it: "
        '`hand_in("Ida\'s turn")`. Elsewhere pass the cell over.'
    )
    handing = "from theorykit.command import hand_in\n\nhand_in()"
    cells: list[dict[str, Any]] = [
        {"cell_type": "markdown", "id": "words", "metadata": {}, "source": first},
        {
            **{"cell_type": "code", "id": "drill", "metadata": {}, "source": code},
            **{"execution_count": None, "outputs": []},
        },
        {"cell_type": "markdown", "id": "back", "metadata": {}, "source": last},
        {
            **{"cell_type": "code", "id": "hand_in", "metadata": {}, "source": handing},
            **{"execution_count": None, "outputs": []},
        },
    ]
    kernel = {"display_name": "Python 3", "language": "python", "name": "python3"}
    whole = {
        **{"cells": cells, "metadata": {"kernelspec": kernel}},
        **{"nbformat": 4, "nbformat_minor": 5},
    }
    return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"
