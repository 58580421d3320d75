"""The first picture of the README: three steps, cut out of two other pictures of it.

It is ``images/three_steps.png``, and ``readme_pictures.py`` makes it anew with the others. The
boxes below are places in ``images/explorer.png``, in pixels: look at them again when that one has
changed.
"""

from __future__ import annotations

from pathlib import Path

from matplotlib import get_data_path
from PIL import Image, ImageDraw, ImageFont

IMAGES = Path(__file__).resolve().parents[2] / "images"
FONT = Path(get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf"
PAPER, INK, RULE = "#ffffff", "#1a1a1a", "#c8c8c8"
WIDE, HIGH, EDGE, HEAD = 1500, 690, 24, 64
KEY, COLOUR = (64, 1, 338, 33), (348, 1, 622, 33)
SHAPE, WAY_HOME = (62, 145, 600, 211), (596, 375, 958, 501)
PLAYER, STAFF, KEYS = (70, 262, 362, 296), (66, 329, 582, 457), (66, 481, 494, 662)
MARGINS = (88, 56, 658, 1030)  # of the page
STEPS = (
    (430, "1  Choose a key and a colour"),
    (560, "2  Hear it and see it"),
    (390, "3  Hand it out on Thursday"),
)


def fitted(picture: Image.Image, wide: int, high: int) -> Image.Image:
    """Return a picture as large as it can be within a width and a height."""
    share = min(wide / picture.width, high / picture.height)
    size = round(picture.width * share), round(picture.height * share)
    return picture.resize(size, Image.Resampling.LANCZOS)


def stacked(pieces: list[Image.Image], wide: int) -> Image.Image:
    """Return pictures one under the other, each as wide as the step."""
    each = [fitted(piece, wide, HIGH) for piece in pieces]
    whole = Image.new("RGB", (wide, sum(one.height + EDGE for one in each)), PAPER)
    top = 0
    for one in each:
        whole.paste(one, (0, top))
        top += one.height + EDGE
    return whole


def three_steps() -> Image.Image:
    """Return the picture."""
    explorer = Image.open(IMAGES / "explorer.png").convert("RGB")
    page = Image.open(IMAGES / "handout_one_colour.png").convert("RGB")
    chosen = [explorer.crop(box) for box in (KEY, COLOUR, SHAPE, WAY_HOME)]
    heard = [explorer.crop(box) for box in (PLAYER, STAFF, KEYS)]
    whole = Image.new("RGB", (WIDE, HIGH), PAPER)
    pen, font, left = ImageDraw.Draw(whole), ImageFont.truetype(str(FONT), 22), EDGE
    for (wide, words), pieces in zip(STEPS, (chosen, heard, [page.crop(MARGINS)]), strict=True):
        pen.text((left, EDGE), words, fill=INK, font=font)
        step = fitted(stacked(pieces, wide), wide, HIGH - HEAD - EDGE)
        whole.paste(step, (left, HEAD))
        left += wide + 2 * EDGE
        if words != STEPS[-1][1]:
            pen.line([(left - EDGE, EDGE), (left - EDGE, HIGH - EDGE)], fill=RULE, width=2)
    return whole
