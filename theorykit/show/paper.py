"""Pictures for printed pages: no card around them, and the letters of a well-set page.

Chord symbols and the numbers of bars are set in a book face like the text around the picture, all
that explains in a plain one without serifs, so that the eye keeps music and analysis apart. The
plain face also has ♭ and ♯ in bold, which the book face lacks; and its signs are narrower, so chord
symbols borrow them.
"""

from __future__ import annotations

import re

from theorykit.show.svg import PADDING, TEXT_FONT

__all__ = ["BOOK_FACE", "PLAIN_FACE", "for_paper"]

BOOK_FACE = "Libertinus Serif, Georgia, 'Times New Roman', serif"
PLAIN_FACE = "DejaVu Sans, Arial, Helvetica, sans-serif"
SIGN_FACTOR = 0.86  # the signs of the plain face stand high beside the book face

_CARD = re.compile(
    r'<svg xmlns="http://www.w3.org/2000/svg" width="([\d.]+)" height="([\d.]+)" '
    r'viewBox="[\d. ]+" style="[^"]*"'
)
_TEXT = re.compile(r'(<g class="(?:harm|mNum)"[^>]*>\s*)?<text ([^>]*)>([^<]*)</text>')
_SIZE = re.compile(r'font-size="([\d.]+)"')


def for_paper(picture: str, *, hang: float = 0, factor: float = 1.0) -> tuple[str, float, float]:
    """Return a card as a picture for a printed page, and its width and height in pixels.

    The card's margin is cut away, so that what is drawn stands flush with the text, except for
    ``hang`` pixels at the left, where the numbers of bars hang out. ``factor`` is how large the
    plain letters become.

    >>> from theorykit.show.svg import card
    >>> cut, width, height = for_paper(card("<g/>", 100, 50, "Empty", paper="none"))
    >>> width, height, 'viewBox="14 14 100 50"' in cut
    (100.0, 50.0, True)
    """
    found = _CARD.match(picture)
    if found is None:
        raise ValueError("not a card of ours")
    width = float(found[1]) - 2 * PADDING + hang
    height = float(found[2]) - 2 * PADDING
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}" height="{height:g}" '
        f'viewBox="{PADDING - hang:g} {PADDING} {width:g} {height:g}"'
    )
    body = picture[found.end() :].replace(f'"{TEXT_FONT}"', f'"{PLAIN_FACE}"', 1)
    return head + _TEXT.sub(lambda match: _set(match, factor), body), width, height


def _set(match: re.Match[str], factor: float) -> str:
    """Set one text in its face."""
    group, attributes, text = match[1] or "", match[2], match[3]
    size = _SIZE.search(attributes)
    if size is None:
        return match[0]
    if not group:
        return f"<text {_resized(attributes, size, factor)}>{text}</text>"
    sign = (
        f'<tspan font-family="{PLAIN_FACE}" font-size="{float(size[1]) * SIGN_FACTOR:.4g}">'
        r"\g<0></tspan>"
    )
    signs = re.sub("[♭♯]+", sign, text)
    return f'{group}<text font-family="{BOOK_FACE}" {attributes}>{signs}</text>'


def _resized(attributes: str, size: re.Match[str], factor: float) -> str:
    """Return the attributes of a text with another size of font."""
    return attributes.replace(size[0], f'font-size="{float(size[1]) * factor:.4g}"')
