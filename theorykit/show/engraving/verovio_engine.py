"""The engraver: MusicXML to a picture of the music. It is verovio, and nothing else imports it.

Another engraver, or the same one in a browser, takes its place here, behind the one function.
"""

from __future__ import annotations

import threading
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import verovio

from theorykit.errors import TheoryError

_ONE_AT_A_TIME = threading.Lock()  # the toolkit serves one thread at a time


def engraved(musicxml: str, options: Mapping[str, Any]) -> str:
    """Return a score, the text of a MusicXML file, as the text of one SVG picture.

    ``options`` are verovio's, by the names that its handbook gives them; what is not named is as
    the handbook says.

    >>> from theorykit.show.engraving.staff_xml import musicxml
    >>> from theorykit.views.explorer_view import explore
    >>> picture = engraved(musicxml(explore("C").staff), {"breaks": "none", "svgFormatRaw": True})
    >>> picture[:4], picture.count('class="measure"')
    ('<svg', 3)
    """
    with _ONE_AT_A_TIME:
        toolkit = _toolkit()
        toolkit.resetOptions()  # what the score before was engraved with, but for its scale
        toolkit.setOptions({"scale": 100, **options})
        if not toolkit.loadData(musicxml):
            raise TheoryError("the staff could not be engraved (want notes that a staff can hold)")
        pages = toolkit.getPageCount()
        if pages != 1:
            raise TheoryError(f"too long for one picture: {pages} pages (want fewer bars)")
        return str(toolkit.renderToSVG(1))


@cache
def _toolkit() -> Any:
    """Return the one toolkit of this process.

    It is told where its fonts are: by itself it finds them only in the thread that imported
    verovio, and a notebook's controls answer in another thread than its cells.
    """
    toolkit = verovio.toolkit(False)
    toolkit.setResourcePath(str(Path(verovio.__file__).parent / "data"))
    return toolkit
