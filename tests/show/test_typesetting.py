"""The door to the typesetter: a program, data and fonts in, pages out."""

import io

import pypdf
import pytest

from theorykit.errors import TheoryError
from theorykit.show.typesetting import page_fonts, typeset_pdf, typeset_pngs

PROGRAM = (
    b"#let page-data = json(bytes(sys.inputs.page))\n"
    b'#set document(title: "A page")\n#set text(font: "DejaVu Sans", lang: "en")\n'
    b"#for words in page-data.sheets [#words #pagebreak(weak: true)]"
)


def texts(pdf: bytes) -> list[str]:
    """The text of each page."""
    return [page.extract_text().strip() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


def test_data_is_printed_and_never_read_as_markup():
    sheets = ["Over G\u266d7", "#emph[sing] *first* $x$"]
    assert texts(typeset_pdf(PROGRAM, {"sheets": sheets}, page_fonts())) == sheets


def test_the_pages_are_pictures_too():
    small, large = (
        typeset_pngs(PROGRAM, {"sheets": ["one", "two"]}, page_fonts(), dpi=dpi) for dpi in (40, 80)
    )
    assert [page[1:4] for page in [*small, *large]] == [b"PNG"] * 4
    widths = [int.from_bytes(page[16:20]) for page in (small[0], large[0])]  # ISO/IEC 15948, IHDR
    assert widths[1] == pytest.approx(2 * widths[0], abs=1)


def test_a_letter_that_the_fonts_lack_is_named():
    with pytest.raises(TheoryError, match="cjk unified ideograph-97f3"):
        typeset_pdf(PROGRAM, {"sheets": ["\u97f3"]}, page_fonts())


def test_a_program_that_fails_is_told_in_a_line():
    with pytest.raises(TheoryError, match="could not be set") as wrong:
        typeset_pdf(b"#nothing-of-that-name", {}, page_fonts())
    assert "\n" not in str(wrong.value)
