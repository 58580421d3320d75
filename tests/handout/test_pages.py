"""Pages read back: size, fonts, tags, every text, and where the ink lies."""

import ctypes
import re
from dataclasses import replace
from itertools import combinations, product

import numpy as np
import pypdf
import pypdfium2 as pdfium
import pytest
from boxes import systems
from pypdfium2 import raw
from sheets import (
    MILLIMETRE,
    READY,
    fonts,
    ink_of,
    needs_poppler,
    overlap,
    pdf,
    read,
    ready,
    sections,
    tags,
    text_of,
    words_of,
)
from sweeps import swept

from theorykit.errors import TheoryError
from theorykit.handout import EVERYONE, Edition, Handout
from theorykit.handout.blocks import TextBlock, sections_of
from theorykit.handout.blocks.line_keys_block import LineInKeysBlock
from theorykit.handout.blocks.new_page_block import NewPageBlock
from theorykit.handout.blocks.question_block import Question, QuestionBlock
from theorykit.handout.front import PAPERS, SIZES
from theorykit.handout.page import Engraver, page_pdf, page_pngs
from theorykit.handout.page.printed_page import page_data
from theorykit.handout.pieces import Ask, Beside, Lead, Para, Picture, Table
from theorykit.notes.reader import READERS

# Points; sources as in theorykit.handout.front: A4 of ISO 216, Letter of ANSI/ASME Y14.1.
SHEETS = {"A4": (595.28, 841.89), "Letter": (612.0, 792.0)}
CONCERT = Edition()
SOME = (
    CONCERT,
    Edition("B flat", "teacher", "Letter"),
    Edition("bass clef", "student", "A4", "large print"),
    Edition("E flat", "teacher", "Letter", "large print"),
    Edition("guitar", "teacher", "A4"),
    Edition("F", "student", "Letter"),
)
each_ready = pytest.mark.parametrize("name", READY)
some_editions = pytest.mark.parametrize("edition", SOME, ids=str)


def small(text: str = "Sing first.") -> Handout:
    return Handout("Warm-up", blocks=(TextBlock(text=text),))


def made(handout: Handout, edition: Edition = CONCERT) -> bytes:
    return page_pdf(
        handout, sections_of(handout.blocks, Engraver(edition.who, edition.size)), edition
    )


@each_ready
@pytest.mark.parametrize("edition", swept(EVERYONE, SOME.__contains__), ids=str)
def test_every_edition_has_its_paper_and_as_many_pages_as_promised(name: str, edition: Edition):
    document = read(pdf(ready(name), edition))
    for page in document.pages:
        size = tuple(map(float, page.mediabox[2:]))
        assert size == pytest.approx(SHEETS[edition.paper], abs=0.1)
    if edition.size == "normal":
        assert len(document.pages) in {"one_colour": (1,), "six_colours": (2,)}.get(name, (3,))


@each_ready
@some_editions
def test_fonts_are_inside_and_there_is_none_of_last_resort(name: str, edition: Edition):
    found = fonts(pdf(ready(name), edition))
    assert len(found) >= 3
    assert all(found.values())
    assert all(re.search("Libertinus|DejaVu", font) for font in found)


@each_ready
@some_editions
def test_the_document_says_what_it_is_to_a_screen_reader(name: str, edition: Edition):
    data = pdf(ready(name), edition)
    root = read(data).trailer["/Root"]
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert read(data).metadata.title
    found = tags(data)
    kinds = [kind for kind, _ in found]
    headings = [one.heading for one in sections(ready(name), edition.reader, edition.size)]
    assert kinds.count("/Title") == 1
    assert kinds.count("/H1") == sum(map(bool, headings))
    assert "/P" in kinds
    figures = [alt for kind, alt in found if kind == "/Figure"]
    pieces = [p for s in sections(ready(name), edition.reader, edition.size) for p in s.pieces]
    assert figures == [picture.alt for picture in pictures(pieces)]
    assert all(len(alt) > 20 for alt in figures)


def pictures(pieces):
    """Run through the pictures among pieces."""
    for piece in pieces:
        if isinstance(piece, Picture):
            yield piece
        elif isinstance(piece, Beside):
            yield from pictures((*piece.left, *piece.right))


def texts(piece):
    """Run through the texts of a piece that every edition prints."""
    if isinstance(piece, Beside):
        for one in (*piece.left, *piece.right):
            yield from texts(one)
    elif isinstance(piece, Lead | Para):
        yield piece.text
    elif isinstance(piece, Table):
        yield from (cell for row in piece.rows for cell in row)
    elif isinstance(piece, Ask):
        yield piece.question


def plain(text: str) -> str:
    """Leave out what the setting of lines may change: spaces, breaks."""
    return "".join(text.replace("\u200b", "").split())


@each_ready
@some_editions
def test_every_text_is_on_the_page(name: str, edition: Edition):
    found = plain(text_of(pdf(ready(name), edition)))
    mine = sections(ready(name), edition.reader, edition.size)
    wanted = [text for section in mine for piece in section.pieces for text in texts(piece)]
    wanted += [section.heading for section in mine]
    margin = [text for section in mine for text in section.margin]
    wanted += margin if edition.audience == "teacher" else []
    assert [text for text in wanted if plain(text) not in found] == []
    if edition.audience == "student":
        assert [text for text in margin if plain(text) in found] == []


@each_ready
def test_running_head_page_numbers_and_foot_stand_on_every_page(name: str):
    handout = ready(name)
    document = read(pdf(handout, Edition()))
    count = len(document.pages)
    for number, page in enumerate(document.pages, 1):
        text = " ".join(page.extract_text().split())
        assert f"{number} of {count}" in text
        assert handout.teacher in text
        assert handout.licence in text
        assert "March 2026" in text
        assert handout.title in text


def test_what_is_not_given_leaves_no_trace_at_the_foot():
    assert text_of(made(small())) == (
        "For instruments in concert pitch: flute, violin, voice, vibraphone, piano. "
        "Warm-up Sing first. 1 of 1"
    )


# Where the ink lies.


@needs_poppler
@each_ready
@some_editions
def test_no_page_is_empty_and_no_ink_comes_near_the_edge(name: str, edition: Edition, tmp_path):
    dots = 50 / 25.4  # a millimetre
    for page in ink_of(pdf(ready(name), edition), tmp_path):
        assert page.mean() > 0.003
        rows, columns = np.nonzero(page)
        assert rows.min() > 8 * dots
        assert columns.min() > 8 * dots
        assert page.shape[0] - rows.max() > 8 * dots
        assert page.shape[1] - columns.max() > 8 * dots


@needs_poppler
@some_editions
def test_a_licence_of_several_lines_stays_off_the_edge(edition: Edition, tmp_path):
    """Pages of the trade keep 8 mm free for printers (common practice)."""
    licence = ("Copy this page for the band, and not the recordings. " * 6)[:300].strip()
    handout = replace(ready("one_colour"), licence=licence)
    made = pdf(handout, edition)
    for page, drawn in zip(read(made).pages, ink_of(made, tmp_path), strict=True):
        assert licence in " ".join(page.extract_text().split())
        assert drawn.shape[0] - np.nonzero(drawn)[0].max() > 8 * 50 / 25.4


@needs_poppler
@each_ready
@some_editions
def test_no_word_lies_on_another(name: str, edition: Edition, tmp_path):
    """The boxes reach from the highest to the lowest letter of a font, so they may touch."""
    for page in words_of(pdf(ready(name), edition), tmp_path):
        crossed = [
            (one.text, other.text)
            for one, other in combinations(page, 2)
            if abs(one.top - other.top) < 40 and overlap(one, other) > 0.45
        ]
        assert crossed == []


@needs_poppler
@each_ready
@some_editions
def test_no_heading_stands_alone_at_the_foot(name: str, edition: Edition, tmp_path):
    """Below the last heading of a page something follows before the foot."""
    mine = sections(ready(name), edition.reader, edition.size)
    headings = {plain(section.heading) for section in mine if section.heading}
    for page in words_of(pdf(ready(name), edition), tmp_path):
        lines: dict[int, str] = {}
        for word in page:
            row = round(word.bottom)
            lines[row] = lines.get(row, "") + word.text
        rows = sorted(lines)
        for place, row in enumerate(rows):
            if lines[row] in headings:
                assert rows[place + 1] - row < 60 * (1.5 if edition.size != "normal" else 1)


LARGE = [edition for edition in EVERYONE if edition.size != "normal"]


@needs_poppler
@each_ready
@pytest.mark.parametrize("edition", swept(LARGE, SOME.__contains__), ids=str)
def test_no_title_stands_alone_on_its_page_in_large_print(name: str, edition: Edition, tmp_path):
    """More than half of the first page is used."""
    first = words_of(pdf(ready(name), edition), tmp_path)[0]
    foot = max(word.top for word in first if word.text == "of")
    lowest = max(word.bottom for word in first if word.bottom < foot - 5)
    assert lowest > 0.52 * foot


@needs_poppler
@pytest.mark.parametrize("edition", swept(LARGE, SOME.__contains__), ids=str)
def test_the_legend_of_a_keyboard_stands_below_it(edition: Edition, tmp_path):
    """On the page on which the keys have their numbers, and the strings their frets."""
    for page in words_of(pdf(ready("one_colour"), edition), tmp_path):
        found = {word.text for word in page}
        assert ("ringed:" in found) == bool(found & {"C4", "C5", "frets"})


HEAD = "chorus,"  # of its heading, after which no other sentence has it


@needs_poppler
@some_editions
def test_the_last_line_of_a_chorus_is_not_alone_on_a_page(edition: Edition, tmp_path):
    """Lines are told by the numbers of their bars, which rise at the left edge; one has none.

    The table before the chorus has numbers of bars there too.
    """
    within = 1 if edition.size == "normal" else 3  # millimetres; large numbers hang out less
    left = (page_data(Handout("x"), (), edition)["left"] + within) * MILLIMETRE
    pages = words_of(pdf(ready("a_tune_with_its_lines"), edition), tmp_path)
    heads = [(n, m) for n, page in enumerate(pages) for m, w in enumerate(page) if w.text == HEAD]
    lines, last = [], 0
    for place, page in enumerate(pages):
        lines.append(0)
        below = page[heads[-1][1] if place == heads[-1][0] else 0 :] * (place >= heads[-1][0])
        for number in (int(w.text) for w in below if w.text.isdigit() and w.left < left):
            lines[-1] += number > last
            last = max(last, number)
    assert 1 + sum(lines) >= 32 / 4  # four bars a line where they fit
    assert next(count for count in reversed(lines) if count) >= 2


SMALLEST, TEXT = 12.5, 16.0  # points; guides to large print ask for 16 to 18 (common practice)
SIGNS = "♭♯♮"  # set smaller in the text, as high as the letters beside them


@each_ready
@pytest.mark.parametrize("who", swept([one.name for one in READERS], {"guitar"}.__contains__))
def test_no_letter_of_large_print_is_small(name: str, who: str):
    """Numbers of bars and words on keys had 7 to 11 points: just what its readers need large."""
    sizes = letter_sizes(pdf(ready(name), Edition(who, size="large print")))
    assert min(size for text, size in sizes if text not in SIGNS) > SMALLEST
    assert min(size for text, size in sizes) > 0.9 * SMALLEST
    assert sum(size > TEXT - 0.1 for _, size in sizes) > 0.1 * len(sizes)


@each_ready
def test_letters_of_normal_print_have_their_least_size(name: str):
    assert min(size for _, size in letter_sizes(pdf(ready(name), Edition()))) >= 4.5


@needs_poppler
@each_ready
@pytest.mark.parametrize("edition", swept(LARGE, SOME.__contains__), ids=str)
def test_a_heading_of_large_print_has_its_first_block_below_it(name: str, edition: Edition):
    """For the bass clef a heading stood on one page and its staff overleaf."""
    data = pdf(ready(name), edition)
    music = systems(data)
    mine = sections(ready(name), edition.reader, edition.size)
    with_staff = {
        plain(one.heading)
        for one in mine
        if one.heading and any('class="system"' in p.svg for p in pictures(one.pieces[:3]))
    }
    found = set()
    for number, page in enumerate(read(data).pages):
        text = plain(page.extract_text())
        there = {heading for heading in with_staff if heading in text}
        found |= there
        assert not there or any(box.page == number for box in music)
    assert found == with_staff


def letter_sizes(data: bytes) -> list[tuple[str, float]]:
    """Return the letters of a document with their sizes in points."""
    found: list[tuple[str, float]] = []
    with pdfium.PdfDocument(data) as document:
        for page in document:
            text = page.get_textpage()
            for place in range(text.count_chars()):
                matrix = raw.FS_MATRIX()
                raw.FPDFText_GetMatrix(text, place, ctypes.byref(matrix))
                letter = chr(raw.FPDFText_GetUnicode(text, place))
                if not letter.isspace():
                    found.append((letter, raw.FPDFText_GetFontSize(text, place) * abs(matrix.d)))
    return found


def test_staves_in_large_print_are_one_and_a_half_times_as_high():
    heights = {}
    for size, factor in (("normal", 1.0), ("large print", 1.5)):
        view = sections(ready("one_colour"), "concert", size)
        picture = next(pictures(view[0].pieces))
        wide = float(re.search(r'<svg[^>]* width="([\d.]+)"', picture.svg)[1])
        measure = {"normal": 150.0, "large print": 180.0}[size]
        heights[size] = picture.width * measure / wide  # millimetres of a pixel of engraving
        assert heights[size] == pytest.approx(25.4 / 96 * factor, rel=0.01)


# The same in black and white.


def test_what_colour_says_is_said_by_shape_or_style_too():
    """Labels of the colour are bold and underlined, of landings bold and slanted; what rubs has a
    line above."""
    styles = {
        "#b24f00": 'text-decoration="underline" font-weight="bold"',
        "#006147": 'font-style="italic" font-weight="bold"',
        "#a95182": 'text-decoration="overline"',
    }
    seen = set()
    verse = re.compile(r'<g class="verse" color="(#\w+)".*?<text ([^>]*)>')
    for reader, name in product(READERS, ("six_colours", "a_tune_with_its_lines")):
        for section in sections(ready(name), reader.name, "normal"):
            for picture in pictures(section.pieces):
                for colour, attributes in verse.findall(picture.svg):
                    seen.add(colour.lower())
                    assert all(one in attributes for one in styles[colour.lower()].split())
    assert seen == set(styles)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    "who", swept([one.name for one in READERS], ("concert", "E flat").__contains__)
)
def test_a_line_through_twelve_keys_stands_on_two_pages(paper: str, who: str):
    line = "8th D5 F5 A5 C6 B5 Ab5 E5 Ab5 | whole G5"
    handout = Handout("Twelve keys", blocks=(LineInKeysBlock(line=line, form="short"),))
    assert len(read(pdf(handout, Edition(who, paper=paper))).pages) == 2


def test_a_transposed_keyboard_says_whose_names_it_has():
    words = "names as you read them, not as they sound"
    for who in READERS:
        found = text_of(pdf(ready("one_colour"), Edition(who.name)))
        assert (words in found) == (who.name in ("B flat", "E flat", "F"))


@pytest.mark.parametrize("size", SIZES)
def test_each_empty_staff_says_in_which_key_it_is(size: str):
    text = text_of(pdf(ready("six_colours"), Edition(size=size)))
    for key in ("F major", "B♭ major", "E♭ major", "F minor", "B♭ minor", "D minor"):
        assert key in text


@pytest.mark.parametrize("who", [one.name for one in READERS])
def test_the_ready_handouts_need_no_double_accidentals(who: str):
    for name in READY:
        for section in sections(ready(name), who, "normal"):
            for _, view in section.scores:
                assert max(abs(note.pitch.note.alteration) for note in view.notes) <= 1


def test_notes_are_named_as_the_staff_writes_them():
    """By shape there is nothing to add; by function the shape's own names come first."""
    found = sections(ready("six_colours"), "E flat", "large print")
    assert "Its notes are C, E and G. Over E7 they are ♭13, 1 and ♯9." in set(texts_of(found))


def texts_of(found):
    """Run through the texts of some sections."""
    for section in found:
        for piece in section.pieces:
            yield from texts(piece)


# Answers and margins.


QUIZ = Handout(
    "Quiz",
    blocks=(
        QuestionBlock(
            questions=(Question(question="What is the 3rd of G7?", answer="It is a B."),),
            names=("G7", "B"),
            colours=("b9 13",),
            keys=("F",),
        ),
    ),
)


def test_answers_stand_at_the_foot_for_students_and_below_the_questions_for_the_teacher():
    """A question and its answer need no page of their own."""
    student, teacher = (read(made(QUIZ, Edition(audience=who))) for who in ("student", "teacher"))
    last = " ".join(student.pages[-1].extract_text().split())
    assert "Answers" in last
    for answer in ("It is a B.", "A major triad on the 6th of V"):
        assert answer in last
        assert last.index(answer) > last.index("Answers")
        whole = " ".join(" ".join(page.extract_text().split()) for page in teacher.pages)
        assert whole.count(answer) == 1
    assert len(teacher.pages) == len(student.pages) == 1


def test_answers_that_are_for_the_teacher_only_stay_there():
    block = QuestionBlock(
        questions=(Question(question="Why?", answer="Because."),), answers="teacher only"
    )
    handout = Handout("Quiz", blocks=(block,))
    assert "Because." not in text_of(made(handout))
    assert "Because." in text_of(made(handout, Edition(audience="teacher")))


def test_names_in_typed_questions_move_with_the_reader():
    text = text_of(made(QUIZ, Edition("E flat", "teacher")))
    assert "What is the 3rd of E7?" in text
    assert "It is a G♯." in text


# What a teacher types is data.


HOSTILE = (
    '#import "x.typ"',
    "= heading? *bold* _it_ $a^2$ `code` @ref <label> #[x] // no comment /* none */",
    "<script>alert(1)</script> & &amp; </section>",
    "../../etc/passwd and C:\\\\nul",
    "\"quotes\" 'single' -- --- ... ~ 1. - + \\n \\ ",
    "שלום עולם (12)",
    "مرحبا",
    "😀 ♭ ♯ é ñ ß Ж ω",
    "x" * 150,
)


@pytest.mark.parametrize("text", HOSTILE)
def test_titles_and_texts_come_out_as_typed(text: str):
    handout = Handout(text, teacher=text[:100], blocks=(TextBlock(text=text, heading=text),))
    document = read(made(handout))
    assert document.metadata.title == text
    found = "".join(page.extract_text() for page in document.pages)
    letters = sorted(c for c in text if not c.isspace())
    for letter in set(letters):  # right to left, pypdf gives letters in the order of the page
        assert found.count(letter) >= 2 * letters.count(letter)
    if text.isascii():
        assert plain(found).count(plain(text)) >= 3


@pytest.mark.parametrize("text", ["日曜", "👍🏽", "\U0001d12b"])
def test_letters_without_a_glyph_are_refused_by_their_names(text: str):
    with pytest.raises(TheoryError, match=r"the fonts of the page cannot print .* \(.+\)"):
        made(small(text))


def test_line_breaks_and_paragraphs_are_kept():
    document = read(made(small("one\ntwo\n\nthree")))
    lines = document.pages[0].extract_text().splitlines()
    assert [line.strip() for line in lines if line.strip() in ("one", "two", "three")] == [
        "one",
        "two",
        "three",
    ]


@needs_poppler
def test_a_long_word_breaks_and_stays_on_the_page(tmp_path):
    words = words_of(made(Handout("W" * 150, blocks=(TextBlock(text="x" * 400),))), tmp_path)
    right = max(word.right for page in words for word in page)
    assert right < (30 + 150 + 1) * MILLIMETRE


@needs_poppler
def test_text_from_right_to_left_begins_at_the_right(tmp_path):
    words = words_of(made(small("שלום")), tmp_path)[0]
    hebrew = next(word for word in words if "ש" in word.text or "ם" in word.text)
    assert hebrew.right == pytest.approx((30 + 150) * MILLIMETRE, abs=3)


def test_the_same_handout_gives_the_same_bytes():
    def kept(data: bytes) -> bytes:
        return re.sub(rb"/ID \[[^\]]*\]|<xmpMM:\w+>[^<]*", b"", data)

    assert kept(made(QUIZ)) == kept(made(QUIZ))


def test_a_page_can_be_looked_at_before_it_is_made():
    two = QUIZ.with_blocks((*QUIZ.blocks, NewPageBlock(), *small().blocks))
    found = page_pngs(two, sections_of(two.blocks, Engraver()), Edition(), dpi=40)
    assert len(found) == len(read(made(two)).pages) == 2
    assert all(page.startswith(b"\x89PNG") for page in found)


def test_a_new_page_begins_where_it_is_wanted():
    text = '[[block]]\nkind = "text"\ntext = "one"\n'
    broken = Handout.parse(f'title = "x"\n{text}[[block]]\nkind = "new page"\n{text}')
    assert len(read(made(broken)).pages) == 2
    assert isinstance(read(made(broken)), pypdf.PdfReader)
