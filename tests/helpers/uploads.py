"""What a browser sends when a reader opens a file, for tests that have no browser."""

from __future__ import annotations

from datetime import UTC, datetime


def uploaded(name: str, content: bytes) -> tuple[dict[str, object], ...]:
    """Return the value of a FileUpload that holds one file."""
    when = datetime(2025, 1, 2, tzinfo=UTC)
    one = {"name": name, "type": "", "size": len(content), "last_modified": when}
    return ({**one, "content": memoryview(content)},)
