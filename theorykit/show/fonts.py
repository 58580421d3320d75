"""The fonts of printed pages that come inside a package, gathered where no others are found.

matplotlib, which carries them, is imported when they are gathered.
"""

from __future__ import annotations

import atexit
import shutil
import tempfile
from functools import cache
from pathlib import Path

__all__ = ["page_fonts"]

# For pictures, and for signs and letters that the page's own font lacks.
NAMES = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "DejaVuSans-BoldOblique.ttf")


@cache
def page_fonts() -> Path:
    """Return a folder that holds the fonts named here and nothing else.

    It is made once in a process and goes with it. matplotlib's own folder holds a font of last
    resort besides, whose boxes would hide that a letter is missing.

    >>> sorted(file.stem for file in page_fonts().iterdir())
    ['DejaVuSans', 'DejaVuSans-Bold', 'DejaVuSans-BoldOblique']
    """
    from matplotlib import get_data_path

    folder = Path(tempfile.mkdtemp(prefix="theorykit-fonts-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    for name in NAMES:
        shutil.copy(Path(get_data_path(), "fonts", "ttf", name), folder / name)
    return folder
