"""Alone: a student's server in a container of its own, where nobody else's memory can be shared."""

from __future__ import annotations

import os
import sys
from importlib import import_module

from theorykit.server.readying import make_ready


def main() -> int:
    """Make the folder ready, then run the server: ``python -m theorykit.server.alone``."""
    os.umask(0o077)
    make_ready()
    import_module("jupyterhub.singleuser").main()
    return 0


if __name__ == "__main__":
    sys.exit(main())
