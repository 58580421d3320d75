"""One page for the browser that holds everything: pictures and players inside, no request leaves.

Its policy (Content Security Policy, W3C) forbids every address but data inside the page. Readers of
several instruments share it: buttons at the top choose whose pages are shown, without a script.
"""

from __future__ import annotations

import base64
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from html import escape
from importlib.resources import files

from theorykit.handout.front import Front
from theorykit.handout.page.printed_page import said_of
from theorykit.handout.pieces import (
    Ask,
    Beside,
    Lead,
    Para,
    Picture,
    Piece,
    Section,
    StaffLabel,
    Table,
    day_in_words,
    direction,
    paragraphs,
    said_once,
)
from theorykit.notes.reader import READERS, Reader
from theorykit.show.sound import CAUTION, FORMATS

LISTENING = "Every player sounds at concert pitch."
POLICY = "default-src 'none'; img-src data:; media-src data:; style-src 'unsafe-inline'"


@dataclass(frozen=True, slots=True)
class Heard:
    """One example as sound: the place of its block, what it is called, format and data."""

    place: int
    label: str
    form: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Article:
    """What one reader is shown on the web page: what stands above, each section, the answers."""

    head: str
    sections: tuple[str, ...]
    answers: str


def article(front: Front, sections: Sequence[Section], who: Reader, audience: str) -> Article:
    """Return everything that one reader is shown, without the players.

    >>> from theorykit.handout.handout import Handout
    >>> "<h1>A &lt;b&gt;</h1>" in article(Handout("A <b>"), (), READERS[0], "student").head
    True
    """
    sections = said_once(sections)
    title, note = front.said_to(who)
    head = [f'<p class="who">{escape(said_of(who, sections))}</p>', _tag("h1", title)]
    head += [_tag("p", text, ' class="note"') for text in paragraphs(note)]
    return Article(
        "\n".join(head),
        tuple("\n".join(_section(section, audience == "teacher")) for section in sections),
        "\n".join(_answers([pair for section in sections for pair in section.answers])),
    )


def _tag(name: str, text: str, attributes: str = "") -> str:
    """Return a text in its element, with its direction and its line breaks."""
    way = ' dir="rtl"' if direction(text) == "rtl" else ""
    said = escape(text, quote=False).replace("\n", "<br>")
    return f"<{name}{attributes}{way}>{said}</{name}>"


def _section(section: Section, teacher: bool) -> Iterator[str]:
    """Yield what a section says and shows."""
    if section.heading:
        yield _tag("h2", section.heading)
    if teacher and section.margin:
        yield '<aside aria-label="For the teacher">'
        yield from (_tag("p", text) for text in section.margin)
        yield "</aside>"
    yield from _pieces(section.pieces, teacher)


def _pieces(pieces: Iterable[Piece], teacher: bool, *, column: bool = False) -> Iterator[str]:
    """Yield pieces one after the other; in a ``column`` pictures are as wide as that."""
    for piece in pieces:
        if isinstance(piece, Beside):
            yield '<div class="beside"><div>'
            yield from _pieces(piece.left, teacher, column=True)
            yield "</div><div>"
            yield from _pieces(piece.right, teacher, column=True)
            yield "</div></div>"
        elif isinstance(piece, Lead):
            yield _tag("p", piece.text, ' class="lead"')
        elif isinstance(piece, Para):
            yield _tag("p", piece.text, ' class="small"' if piece.small else "")
        elif isinstance(piece, StaffLabel):
            yield _tag("p", piece.text, ' class="label"')
        elif isinstance(piece, Picture):
            yield _picture(piece, column=column)
        elif isinstance(piece, Table):
            yield from _table(piece)
        elif isinstance(piece, Ask):
            yield from _ask(piece, teacher)


def _picture(picture: Picture, *, column: bool) -> str:
    """Return a picture in its width; the numbers of bars hang out to the left."""
    full = 1 / (1 - picture.hang)
    width = full if column else min(picture.width, full)
    style = f"width:{width:.2%};margin-left:{-picture.hang * width:.2%}"
    return f'<div class="picture" style="{style}">{picture.svg}</div>'


def _table(table: Table) -> Iterator[str]:
    """Yield a table; one without heads says what its rows are in their first cells."""
    yield f'<table aria-label="{escape(table.what)}">'
    if table.heads:
        heads = "".join(_tag("th", head, ' scope="col"') for head in table.heads)
        yield f"<thead><tr>{heads}</tr></thead>"
    yield "<tbody>"
    for row in table.rows:
        cells = (
            _tag("th", cell, ' scope="row"')
            if place == 0 and 0 in table.marks
            else _tag("td", cell, ' class="mark"' if place in table.marks else "")
            for place, cell in enumerate(row)
        )
        yield f"<tr>{''.join(cells)}</tr>"
    yield "</tbody></table>"


def _ask(ask: Ask, teacher: bool) -> Iterator[str]:
    """Yield a question; the teacher can open its answer."""
    yield f'<div class="ask"><p><b>{ask.number}</b></p><div>{_tag("p", ask.question)}'
    if teacher and ask.answer:
        yield f"<details><summary>Answer</summary>{_tag('p', ask.answer)}</details>"
    yield "</div></div>"


def _answers(answers: Sequence[tuple[int, str]]) -> Iterator[str]:
    """Yield the answers for everybody, closed until they are wanted."""
    if answers:
        yield "<h2>Answers</h2><details><summary>Show the answers</summary>"
        for number, text in answers:
            yield f'<div class="ask"><p><b>{number}</b></p><div>{_tag("p", text)}</div></div>'
        yield "</details>"


def web_page(
    front: Front, articles: dict[str, Article], heard: Sequence[Heard], audience: str
) -> str:
    """Return the page: the articles by the names of their readers, and players for what is heard.

    Each section stands there once for every reader, with one set of players for all.
    """
    readers = [one.name for one in READERS if one.name in articles]
    found = [articles[name] for name in readers]
    body = [_for_each(readers, [one.head for one in found])]
    body += [f'<p class="small">{LISTENING} {CAUTION}</p>\n'] if heard else []
    for place in range(len(found[0].sections)):
        shown = _for_each(readers, [one.sections[place] for one in found])
        players = "\n".join(_players(heard, place))
        body.append(f"<section>\n{shown}{players}</section>" if shown or players else "")
    answers = _for_each(readers, [one.answers for one in found])
    body.append(f"<section>\n{answers}</section>" if answers else "")
    foot = [front.teacher, day_in_words(front.date), front.licence]
    said = "".join(_tag("p", text) for text in foot if text.strip())
    whose = " (for the teacher)" if audience == "teacher" else ""
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<link rel="icon" href="data:,">\n'
        f"<title>{escape(front.title, quote=False)}{whose}</title>\n"
        f"<style>\n{_style(readers)}</style>\n</head>\n<body>\n<main>\n"
        f"{_chooser(readers)}{''.join(body)}\n</main>\n<footer>{said}</footer>\n</body>\n</html>\n"
    )


def _for_each(readers: Sequence[str], texts: Sequence[str]) -> str:
    """Return what each reader is shown in one place, nothing if it is nothing for all."""
    if not any(texts):
        return ""
    return "".join(
        f'<div class="reader {_slug(name)}">\n{text}\n</div>\n'
        for name, text in zip(readers, texts, strict=True)
    )


def _slug(name: str) -> str:
    """Return a reader's name as one word."""
    return "for-" + name.replace(" ", "-")


def _chooser(readers: Sequence[str]) -> str:
    """Return the buttons that choose a reader; for one alone there is nothing to choose."""
    if len(readers) < 2:
        return ""
    buttons = "".join(
        f'<label><input type="radio" name="reader" id="show-{_slug(name)}"{checked}> '
        f"{escape(name.replace(' flat', '♭'))}</label>\n"
        for name, checked in zip(readers, (" checked", *("",) * len(readers)), strict=False)
    )
    return f"<fieldset><legend>Pages for</legend>\n{buttons}</fieldset>\n"


def _style(readers: Sequence[str]) -> str:
    """Return the style sheet, with a rule for each reader that can be chosen."""
    sheet = files("theorykit.handout").joinpath("web.css").read_text(encoding="utf-8")
    if len(readers) < 2:
        return sheet
    rules = "".join(
        f"main:has(#show-{_slug(name)}:checked) .reader:not(.{_slug(name)}) {{ display: none }}\n"
        for name in readers
    )
    return sheet + rules


def _players(heard: Sequence[Heard], place: int) -> Iterator[str]:
    """Yield the players of one block."""
    mine = [one for one in heard if one.place == place]
    if not mine:
        return
    yield '<div class="players">'
    for one in mine:
        data = base64.b64encode(one.data).decode("ascii")
        yield (
            f"<figure><figcaption>{escape(one.label)}</figcaption><audio controls "
            f'preload="metadata" aria-label="{escape(one.label)}" '
            f'src="data:{FORMATS[one.form]};base64,{data}"></audio></figure>'
        )
    yield "</div>\n"
