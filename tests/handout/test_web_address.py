"""Where the web page lies: addresses, and the codes on the sheets read back by a decoder.

The decoder is zxing-cpp, which shares nothing with what makes the codes.
"""

import io

import pypdf
import pytest
import zxingcpp
from PIL import Image
from sheets import read, text_of
from sweeps import swept
from together import together

from theorykit.errors import TheoryError
from theorykit.handout import Edition, Handout
from theorykit.handout.blocks import TextBlock
from theorykit.handout.fitting import fitted
from theorykit.handout.front import AUDIENCES
from theorykit.handout.page import page_pdf, page_pngs
from theorykit.handout.web_address import LONGEST, checked_address
from theorykit.notes.reader import READERS

FOLDER = "https://example.org/thursday/"
SHEET = Handout("Über G7: was nun?", note="Sing first.", blocks=(TextBlock(text="Sing."),))
ENDS = {"concert": "concert", "B flat": "B-flat", "E flat": "E-flat", "F": "F"}
ENDS |= {"bass clef": "bass-clef", "guitar": "guitar"}


def sheet(address: str, **changes) -> Handout:
    return Handout(
        **{"title": SHEET.title, "note": SHEET.note, "blocks": SHEET.blocks} | changes,
        web_address=address,
    )


def codes(handout: Handout, edition: Edition, dpi: float = 120) -> list[str]:
    """Return what a decoder reads on the first page of an edition."""
    one = fitted(handout, handout.blocks, edition)
    pages = page_pngs(handout, one.sections, edition, one.setting, dpi=dpi)
    with Image.open(io.BytesIO(pages[0])) as picture:
        return [found.text for found in zxingcpp.read_barcodes(picture.convert("L"))]


TRIED = [
    Edition("B flat"),
    Edition("guitar", "teacher", "Letter"),
    Edition("F", size="large print"),
]
EDITIONS = [
    *TRIED,
    *swept([Edition(who.name, one) for who in READERS for one in AUDIENCES], [].count),
]


@pytest.mark.parametrize("edition", EDITIONS, ids=str)
def test_a_decoder_reads_the_address_of_each_instrument_from_its_sheet(edition):
    name = "%C3%9Cber%20G7%20was%20nun%20-%20student.html"  # RFC 3986, by hand
    assert codes(sheet(FOLDER), edition) == [f"{FOLDER}{name}#{ENDS[edition.reader]}"]


def test_the_address_of_a_page_is_taken_as_it_is():
    assert codes(sheet("https://example.org/g7?week=3"), Edition("F")) == [
        "https://example.org/g7?week=3#F"
    ]


def test_the_longest_address_can_still_be_read():
    longest = f"https://example.org/{'week/' * 60}"[: LONGEST - 1] + "x"
    assert codes(sheet(longest), Edition("bass clef"), dpi=200) == [f"{longest}#bass-clef"]


def test_the_address_can_be_clicked_and_read_and_nothing_is_there_without_one():
    edition = Edition("E flat")
    data = page_pdf(sheet(FOLDER), (), edition)
    (page,) = read(data).pages
    links = [one.get_object() for one in page.get("/Annots", [])]
    actions = {one["/A"].get_object()["/URI"] for one in links}
    assert actions == {sheet(FOLDER).link(edition.who)}
    assert sheet(FOLDER).link(edition.who) in text_of(data).replace(" ", "")
    bare = page_pdf(SHEET, (), edition)
    assert "/Annots" not in pypdf.PdfReader(io.BytesIO(bare)).pages[0]
    assert codes(SHEET, edition) == []
    for made in (data, bare):  # the words above the title come first, and nothing of the program
        assert text_of(made).startswith("For E♭ instruments: alto saxophone.")


@together(
    "text",
    [
        "example.org", "ftp://example.org/", "javascript:alert(1)", "https://", "https:///x",
        "https://example.org/a b", "https://example.org/#F", "https://[band/", "file:///x.html",
        "https://example.org/ä", "https://example.org/\n", 7, None,
    ],
)  # fmt: skip
def test_what_no_browser_could_open_is_refused(text):
    with pytest.raises(TheoryError, match="no web address"):
        checked_address(text)


def test_an_address_is_part_of_the_text_of_a_handout():
    handout = sheet(FOLDER)
    assert f'web_address = "{FOLDER}"' in str(handout)
    assert Handout.parse(str(handout)) == handout
    with pytest.raises(TheoryError, match="line 2: no web address"):
        Handout.parse('title = "x"\nweb_address = "thursday"\n')
    with pytest.raises(TheoryError, match="want at most 300"):
        checked_address(FOLDER + "x" * LONGEST)
