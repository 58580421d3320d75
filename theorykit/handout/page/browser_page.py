"""One page for the browser that holds everything: pictures and sounds inside, no request leaves.

Its policy (Content Security Policy, W3C) forbids every address but data inside the page, and every
script but the page's own. Readers of several instruments share it: buttons at the top choose whose
pages are shown. They work without the script too, which remembers what was chosen and ticked on
this device, and opens the page for the reader that its address ends in.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from html import escape
from importlib.resources import files

from theorykit.handout.front import Front
from theorykit.handout.page.browser_pieces import Drawn, section_html, tag
from theorykit.handout.page.octave_words import octaves_said, said_of
from theorykit.handout.pieces import Section, day_in_words, paragraphs, said_once
from theorykit.handout.web_address import reader_mark
from theorykit.notes.reader import READERS, Reader
from theorykit.show.player import PageBand, player_policy
from theorykit.show.sound import CAUTION, FORMATS
from theorykit.views.sounding import Take

LISTENING = "Every player sounds at concert pitch."
POLICY = "default-src 'none'; img-src data:; media-src data:; style-src 'unsafe-inline'"


@dataclass(frozen=True, slots=True)
class Heard:
    """One example as sound: the place of its block, what it is called, format and data.

    ``told`` says how long it is, how fast, and how it is counted in; ``take`` is the same for the
    player of the page.
    """

    place: int
    label: str
    form: str
    data: bytes
    told: str = ""
    take: Take | None = None


@dataclass(frozen=True, slots=True)
class Article:
    """What one reader is shown on the web page: what stands above, and each section."""

    head: str
    sections: tuple[str, ...]

    @staticmethod
    def readers(page: str) -> list[str]:
        """Return the names of the readers who have an article on a page that was made.

        >>> Article.readers(_for_each(["concert", "bass clef"], ["One", "Two"]))
        ['concert', 'bass clef']
        """
        return [one.name for one in READERS if f'<div class="reader {_slug(one.name)}">' in page]


def article(
    front: Front,
    sections: Sequence[Section],
    who: Reader,
    audience: str,
    narrow: Sequence[Section] = (),
) -> Article:
    """Return everything that one reader is shown, without the players.

    ``narrow`` are the same sections as they are drawn for a phone.

    >>> from theorykit.handout.handout import Handout
    >>> "<h1>A &lt;b&gt;</h1>" in article(Handout("A <b>"), (), READERS[0], "student").head
    True
    """
    wide = octaves_said(who, said_once(sections))
    small = (
        octaves_said(who, said_once(narrow)) if len(narrow) == len(wide) else (None,) * len(wide)
    )
    title, note = front.said_to(who)
    head = [f'<p class="who">{escape(said_of(who, wide))}</p>', tag("h1", title)]
    head += [tag("p", text, ' class="note"') for text in paragraphs(note)]
    drawn = (
        Drawn(section, place, audience == "teacher", other)
        for place, (section, other) in enumerate(zip(wide, small, strict=True))
    )
    return Article("\n".join(head), tuple(map(section_html, drawn)))


class Players:
    """The players of a page, one for each block that is heard; several pages may share them.

    To make them takes longer than all the rest of a page.

    >>> Players((), "flute").at(0), Players((), "flute").tail
    ('', '')
    """

    def __init__(self, heard: Sequence[Heard], melody: str) -> None:
        band = PageBand()
        places = dict.fromkeys(sorted(one.place for one in heard))
        self._html = {
            place: _player([one for one in heard if one.place == place], band, melody)
            for place in places
        }
        self.tail, self.style = band.tail(), band.style

    def at(self, place: int) -> str:
        """Return the player of one block; nothing where none is heard."""
        return self._html.get(place, "")

    def __bool__(self) -> bool:
        return bool(self._html)


def _player(heard: Sequence[Heard], band: PageBand, melody: str) -> str:
    """Return the player of one block: its takes, and plain players where no script runs."""
    plain = f'<div class="players">{"".join(map(_figure, heard))}</div>\n'
    takes = [one.take for one in heard if one.take is not None]
    told = "".join(f"<li>{escape(one.label)}: {escape(one.told)}</li>" for one in heard if one.told)
    listed = f'<ul class="small told">{told}</ul>\n' if told else ""
    return f"{band.html(takes, plain, melody)}\n{listed}" if takes else plain


def web_page(
    front: Front, articles: dict[str, Article], heard: Sequence[Heard] | Players, audience: str
) -> str:
    """Return the page: the articles by the names of their readers, and players for what is heard.

    Each section stands there once for every reader, with one set of players for all.
    """
    players = heard if isinstance(heard, Players) else Players(heard, front.melody)
    readers = [one.name for one in READERS if one.name in articles]
    found = [articles[name] for name in readers]
    body = [_for_each(readers, [one.head for one in found])]
    body += [f'<p class="small sounding">{LISTENING} {CAUTION}</p>\n'] if players else []
    for place in range(len(found[0].sections)):
        shown = _for_each(readers, [one.sections[place] for one in found])
        sound = players.at(place)
        body.append(f"<section>\n{shown}{sound}</section>" if shown or sound else "")
    foot = [front.teacher, day_in_words(front.date), front.licence]
    said = "".join(tag("p", text) for text in foot if text.strip())
    whose = " (for the teacher)" if audience == "teacher" else ""
    kept, tail = _kept_as(front, audience), players.tail
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}; {_allowed(tail)}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<link rel="icon" href="data:,">\n'
        f"<title>{escape(front.title, quote=False)}{whose}</title>\n"
        f"<style>\n{players.style}{_style(readers)}</style>\n</head>\n"
        f'<body data-kept="{kept}">\n<main>\n'
        f"{_chooser(readers)}{''.join(body)}\n</main>\n<footer>{said}</footer>\n"
        f"<script>{_script()}</script>\n{tail}</body>\n</html>\n"
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
    return f"for-{reader_mark(name)}"


def _kept_as(front: Front, audience: str) -> str:
    """Return the name under which a device keeps what is ticked on the page."""
    whole = f"{front.title}, {day_in_words(front.date)}, {audience}"
    return hashlib.sha256(whole.encode()).hexdigest()[:16]


@cache
def _script() -> str:
    """Return the page's script."""
    return files("theorykit.handout").joinpath("web.js").read_text(encoding="utf-8")


def _allowed(tail: str) -> str:
    """Return the part of the policy that lets the page's own scripts run, and no other."""
    told = base64.b64encode(hashlib.sha256(_script().encode()).digest()).decode("ascii")
    return f"{player_policy() if tail else 'script-src'} 'sha256-{told}'"


def _chooser(readers: Sequence[str]) -> str:
    """Return the buttons that choose a reader; for one alone there is nothing to choose."""
    if len(readers) < 2:
        return ""
    buttons = "".join(
        f'<label><input type="radio" name="reader" id="show-{_slug(name)}" '
        f'value="{reader_mark(name)}"{checked}> '
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


def _figure(one: Heard) -> str:
    """Return a plain player."""
    data = base64.b64encode(one.data).decode("ascii")
    return (
        f"<figure><figcaption>{escape(one.label)}</figcaption><audio controls "
        f'preload="metadata" aria-label="{escape(one.label)}" '
        f'src="data:{FORMATS[one.form]};base64,{data}"></audio></figure>'
    )
