"""What a teacher has typed at the desk for handouts, kept from one kernel to the next."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import platformdirs

from theorykit.errors import TheoryError, shown
from theorykit.handout.disk import write_whole
from theorykit.widgets.own_files import APPLICATION

__all__ = ["load_draft", "own_draft", "save_draft"]

FILE = "handout-desk.json"


def own_draft() -> Path:
    """Return the path of the reader's own draft, in the user's data directory."""
    return Path(platformdirs.user_data_dir(APPLICATION, appauthor=False)) / FILE


def load_draft(file: Path) -> dict[str, Any]:
    """Return what was kept, or nothing where nothing was.

    >>> load_draft(Path("nowhere.json"))
    {}
    """
    try:
        found = json.loads(file.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, ValueError) as error:
        raise TheoryError(f"cannot read {shown(str(file))}: {error} (want a kept draft)") from None
    if not isinstance(found, dict) or not isinstance(found.get("text"), str):
        raise TheoryError(f"{shown(str(file))} is no kept draft (want the path of another file)")
    return found


def save_draft(file: Path, draft: dict[str, Any]) -> None:
    """Keep a draft: the file is the old one or the new one, whatever happens meanwhile."""
    data = json.dumps(draft, ensure_ascii=False, indent=1)
    write_whole(file, data.encode("utf-8", "replace"), overwrite=True)
