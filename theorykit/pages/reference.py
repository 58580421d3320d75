"""Reference: what a reader of the library may use, with its examples, as pages made by pdoc."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from warnings import catch_warnings, simplefilter

from theorykit.errors import needs_workbook

__all__ = ["FRONTS", "reference_pages"]

FRONTS = ("theorykit", "theorykit.handout", "theorykit.widgets")
FRAME = Path(__file__).parent / "reference_frame"  # how our pages differ from pdoc's own


def reference_pages(folder: Path) -> Iterator[Path]:
    """Yield the pages of the reference, written into a folder: one for each of ``FRONTS``.

    They need no network and hold no scripts; ``index.html`` leads to the first.
    """
    try:
        import pdoc
    except ModuleNotFoundError as missing:
        raise needs_workbook(missing) from missing
    pdoc.render.configure(
        docformat="markdown", search=False, show_source=False, template_directory=FRAME
    )
    with catch_warnings():
        simplefilter("ignore", UserWarning)  # it tells of annotations that it prints as they stand
        pdoc.pdoc(*FRONTS, output_directory=folder)
    for page in ("index.html", *(f"{front.replace('.', '/')}.html" for front in FRONTS)):
        yield folder / page
