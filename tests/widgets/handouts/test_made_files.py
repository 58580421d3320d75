"""Links to made files: in which order, how each is sent, and what comes of one that is gone."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from theorykit.widgets.handouts.made_files import MadeFiles

NAMES = (
    "a - contents - student.html",
    "a - for students.zip",
    "a - student.html",
    "a.musicxml",
    "a.pdf",
    "a.toml",
)


class Told(MadeFiles):
    """Links whose messages to the page are kept."""

    def __init__(self) -> None:
        self.sent: list[tuple[dict[str, Any], list[bytes]]] = []
        super().__init__()

    def send(self, content: Any, buffers: Any = None) -> None:
        """Keep a message."""
        self.sent.append((content, list(buffers or ())))

    def press(self, name: str) -> tuple[dict[str, Any], list[bytes]]:
        """Ask for a file as the page does; return what comes."""
        place = [told[0] for told in self.files].index(name)
        self._asked(self, {"file": place, "number": "0.5 1"}, [])
        return self.sent[-1]


@pytest.fixture
def links(tmp_path: Path) -> Told:
    for name in NAMES:
        (tmp_path / name).write_text(f"<{name[0]}/>")
    found = Told()
    found.show(tmp_path / name for name in NAMES)
    return found


def test_zips_come_first_and_only_a_page_that_stands_alone_is_opened(links: Told):
    assert next(name for name, _, _ in links.files) == "a - for students.zip"
    assert {name for name, _, _ in links.files} == set(NAMES)
    assert [name for name, _, is_page in links.files if is_page] == ["a - student.html"]
    assert "contents" in links.says


def test_a_file_is_sent_whole_with_its_name_and_type(links: Told):
    told, (data,) = links.press("a.musicxml")
    assert ElementTree.fromstring(data).tag == "a"
    assert told["name"] == "a.musicxml"
    assert told["number"] == "0.5 1"
    assert told["type"] == "application/vnd.recordare.musicxml+xml"  # W3C, MusicXML 4.0, 2021
    assert links.press("a.pdf")[0]["type"] == "application/pdf"  # RFC 8118, 2017


def test_a_file_that_is_gone_is_said_to_be_gone(links: Told, tmp_path: Path):
    (tmp_path / "a.pdf").unlink()
    told, data = links.press("a.pdf")
    assert ("not there any more" in told["problem"], data) == (True, [])
    links.show([])
    links._asked(links, {"file": 4, "number": "x"}, [])
    assert "not there any more" in links.sent[-1][0]["problem"]
    links.show([tmp_path / "a.pdf"])
    assert links.files == []
