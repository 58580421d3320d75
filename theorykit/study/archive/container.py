"""The container of an archive: a zip of a few JSON texts, looked over before it is believed."""

from __future__ import annotations

import json
import zipfile
import zlib
from collections.abc import Mapping
from io import BytesIO
from math import isfinite
from typing import Any

from theorykit.errors import TheoryError, shown

ABOUT, PHRASES, JOURNAL, DRAFTS = PARTS = ("about", "phrases", "journal", "drafts")
FORMAT, VERSION = "theorykit work", 1
LARGEST, LARGEST_PART = 40_000_000, 80_000_000  # bytes of the file, and of a part unpacked
STAMP = (1980, 1, 1, 0, 0, 0)  # the same work gives the same bytes
WANT = "want a file that was made of your work"
_FAULTS = (
    zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, ValueError, KeyError,
)  # fmt: skip


def refusal(why: object) -> TheoryError:
    """Word the refusal of a file."""
    return TheoryError(f"this is no work that can be brought in: {why} ({WANT})")


def packed(parts: Mapping[str, object], player: str) -> bytes:
    """Return parts as one file; ``player`` names what the reader plays.

    >>> data = packed({"phrases": {}}, "trumpet")
    >>> data[:2], unpacked(data)
    (b'PK', ({'phrases': {}}, 'trumpet'))
    """
    about = {"format": FORMAT, "version": VERSION, "player": player}
    box = BytesIO()
    with zipfile.ZipFile(box, "w", zipfile.ZIP_DEFLATED) as opened:
        for name, part in {ABOUT: about, **parts}.items():
            text = json.dumps(part, ensure_ascii=False, separators=(",", ":")).encode()
            if len(text) > LARGEST_PART:
                raise _too_large(f"your {name} are", len(text), LARGEST_PART)
            entry = zipfile.ZipInfo(f"{name}.json", STAMP)
            opened.writestr(entry, text, zipfile.ZIP_DEFLATED)
    if len(box.getvalue()) > LARGEST:
        raise _too_large("your work is", len(box.getvalue()), LARGEST)
    return box.getvalue()


def _too_large(what: str, size: int, most: int) -> TheoryError:
    """Word the refusal of work that no file could bring in again."""
    return TheoryError(f"{what} {size:,} bytes, too many for one file (want at most {most:,})")


def unpacked(data: bytes) -> tuple[dict[str, Any], str]:
    """Return the parts of a file, and what the reader plays; or refuse it."""
    if len(data) > LARGEST:
        raise refusal(f"{len(data):,} bytes are too many, at most {LARGEST:,}")
    try:
        with zipfile.ZipFile(BytesIO(data)) as box:
            parts = {name: _part(box, name) for name in _names(box)}
    except TheoryError:
        raise
    except (*_FAULTS, RecursionError) as wrong:
        raise refusal(f"it cannot be unpacked, {wrong}") from None
    return parts, _player(parts.pop(ABOUT))


def _names(box: zipfile.ZipFile) -> list[str]:
    """Return the names of the parts, each once, the first of them the one that tells of all."""
    found = [one.filename.removesuffix(".json") for one in box.infolist()[: len(PARTS) + 1]]
    odd = next((name for name in found if name not in PARTS), "")
    if odd or len(set(found)) < len(found) or ABOUT not in found:
        raise refusal(f"{shown(odd)} is no part of it" if odd else "its parts are not those of one")
    plain = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
    if any(one.compress_type not in plain for one in box.infolist()):
        raise refusal("it is packed in another way")
    return found


def _part(box: zipfile.ZipFile, name: str) -> Any:
    """Unpack and read one part, as long as it does not swell."""
    with box.open(f"{name}.json") as member:
        text = member.read(LARGEST_PART + 1)
    if len(text) > LARGEST_PART:
        raise refusal(f"it unfolds into more than {LARGEST_PART:,} bytes")
    found = json.loads(text.decode("utf-8"), parse_float=_number, parse_constant=_number)
    if not isinstance(found, dict):
        raise refusal(f"its {name} are {shown(found)}")
    return found


def _number(text: str) -> float:
    """Return a number, or refuse one without end."""
    found = float(text)
    if not isfinite(found):
        raise refusal(f"{shown(text)} is no number")
    return found


def _player(about: Mapping[str, Any]) -> str:
    """Return what the reader plays, if the file says that it is one of ours that can be read."""
    if about.get("format") != FORMAT:
        raise refusal(f"it is {shown(about.get('format'))}")
    if about.get("version") != VERSION:
        raise refusal(f"its version is {shown(about.get('version'))}, not {VERSION}")
    found = about.get("player", "")
    if not isinstance(found, str):
        raise refusal(f"{shown(found)} is no instrument")
    return found
