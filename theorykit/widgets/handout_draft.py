"""What a teacher has typed at the desk for handouts, kept from one kernel to the next.

Beside the file of the draft lies another one with the handouts that were on the desk before.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import platformdirs

from theorykit.errors import TheoryError, shown
from theorykit.handout.disk import write_whole
from theorykit.handout.handout import Handout
from theorykit.widgets.own_files import APPLICATION

__all__ = ["earlier_texts", "load_draft", "own_draft", "put_aside", "readable", "save_draft"]

FILE = "handout-desk.json"
BEFORE = ".before.json"
MOST_KEPT = 50  # handouts of before


def own_draft() -> Path:
    """Return the path of the reader's own draft, in the user's data directory."""
    return Path(platformdirs.user_data_dir(APPLICATION, appauthor=False)) / FILE


def load_draft(file: Path) -> dict[str, Any]:
    """Return what was kept, or nothing where nothing was.

    >>> load_draft(Path("nowhere.json"))
    {}
    """
    found = _read(file)
    if found is None:
        return {}
    if not isinstance(found, dict) or not isinstance(found.get("text"), str):
        raise TheoryError(f"{shown(str(file))} is no kept draft (want the path of another file)")
    return found


def save_draft(file: Path, draft: dict[str, Any]) -> None:
    """Keep a draft: the file is the old one or the new one, whatever happens meanwhile."""
    _write(file, draft)


def earlier_texts(file: Path) -> tuple[str, ...]:
    """Return the handouts that were put aside for others, the last one first.

    >>> earlier_texts(Path("nowhere.json"))
    ()
    """
    found = _read(file.with_suffix(BEFORE))
    if found is None:
        return ()
    if isinstance(found, dict):  # as the first version kept it: one draft, not a list of texts
        found = [found.get("text")]
    if not isinstance(found, list) or not all(isinstance(text, str) for text in found):
        raise TheoryError(
            f"{shown(str(file.with_suffix(BEFORE)))} holds no handouts of before (want the "
            "path of another draft)"
        )
    return tuple(found)


def put_aside(file: Path, text: str) -> None:
    """Keep a handout that another one takes the place of, each text once."""
    others = [one for one in earlier_texts(file) if one != text]
    _write(file.with_suffix(BEFORE), [text, *others][:MOST_KEPT])


def readable(*texts: str) -> Handout:
    """Return the handout in the first of some texts that can be read; the last can be.

    >>> readable("", 'title = "half', 'title = "Whole"').title
    'Whole'
    """
    for text in texts[:-1]:
        try:
            return Handout.parse(text)
        except TheoryError:
            continue
    return Handout.parse(texts[-1])


def _read(file: Path) -> Any:
    """Return what a file holds, None where there is none."""
    try:
        return json.loads(file.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return None
    except (OSError, ValueError) as error:
        raise TheoryError(f"cannot read {shown(str(file))}: {error} (want a kept draft)") from None


def _write(file: Path, value: Any) -> None:
    """Write a file, whole or not at all."""
    data = json.dumps(value, ensure_ascii=False, indent=1)
    write_whole(file, data.encode("utf-8", "replace"), overwrite=True)
