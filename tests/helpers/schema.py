"""The MusicXML 4.0 schema (W3C Music Notation Community Group), out of the musicxml wheel."""

from __future__ import annotations

import functools
import re
from pathlib import Path

import musicxml
import xmlschema

FOLDER = Path(musicxml.__file__).parent / "generate_classes"
# The musicxml wheel lacks these two, xmlschema has them.
OTHERS = Path(xmlschema.__file__).parent / "schemas"
LOCATIONS = {
    "http://www.w3.org/XML/1998/namespace": str(OTHERS / "XML" / "xml.xsd"),
    "http://www.w3.org/1999/xlink": str(OTHERS / "XLINK" / "xlink.xsd"),
}


@functools.cache
def schema() -> xmlschema.XMLSchema:
    """Return the schema, built once."""
    text = (FOLDER / "musicxml_4_0.xsd").read_text(encoding="utf-8")
    return xmlschema.XMLSchema(text, locations=LOCATIONS, base_url=str(OTHERS))


def body(text: str) -> str:
    """Return a file without its XML declaration and document type."""
    return re.sub(r"<\?xml[^>]*\?>|<!DOCTYPE[^>]*>", "", text).strip()


def complaints(text: str) -> list[str]:
    """Return what the schema has against a MusicXML file."""
    return [str(error.reason) for error in schema().iter_errors(body(text))]
