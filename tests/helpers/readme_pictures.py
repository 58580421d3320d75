"""The pictures of the README, made anew: ``python tests/helpers/readme_pictures.py``.

The explorer is photographed in JupyterLab under headless Chromium, the handouts are drawn as they
print, and the first picture is cut out of both. Look at them afterwards.
"""

from __future__ import annotations

import io
from pathlib import Path
from tempfile import TemporaryDirectory

from house import ROOT
from lab import Lab, chromium, find_chromium, server
from PIL import Image
from three_steps import IMAGES, three_steps

from theorykit.handout import Edition, Handout
from theorykit.handout.fitting import fitted
from theorykit.handout.page import page_pngs

EXPLORER = "from theorykit.widgets import explorer\n\nexplorer()"
# By the picture: a ready handout and who it is for. The first page of each is shown.
HANDOUTS = {
    "handout_one_colour": ("one_colour", "concert"),
    "handout_six_colours_teacher": ("six_colours", "concert, teacher"),
    "handout_tune": ("a_tune_with_its_lines", "concert"),
}
DPI, SMALLER = 360, 4  # drawn large, so that thin lines stay even when made smaller


def explorer_picture(file: Path) -> None:
    """Photograph the explorer as it opens."""
    found = find_chromium()
    if found is None:
        raise SystemExit("no Chromium or Chrome was found (the variable CHROMIUM may name one)")
    with TemporaryDirectory() as home, server(Path(home)) as running, chromium(found) as browser:
        lab = Lab(running, browser)
        page = lab.open_notebook(lab.write_notebook("picture.ipynb", EXPLORER), height=1500)
        page.run_all()
        page.screenshot(file, page.output(0))
        lab.close()


def handout_picture(name: str, edition: Edition) -> Image.Image:
    """Return the first page of a ready handout."""
    handout = Handout.read(ROOT / "workbook" / "handouts" / f"{name}.toml")
    one = fitted(handout, handout.blocks, edition)
    first, *_ = page_pngs(handout, one.sections, edition, one.setting, told=one.told, dpi=DPI)
    large = Image.open(io.BytesIO(first)).convert("RGB")
    size = round(large.width / SMALLER), round(large.height / SMALLER)
    return large.resize(size, Image.Resampling.LANCZOS)


if __name__ == "__main__":
    explorer_picture(IMAGES / "explorer.png")
    for picture, (handout, edition) in HANDOUTS.items():
        small = handout_picture(handout, Edition.parse(edition))
        small.save(IMAGES / f"{picture}.png", optimize=True)
    three_steps().save(IMAGES / "three_steps.png", optimize=True)
