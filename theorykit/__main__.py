"""The command line: ``theorykit pages FOLDER`` publishes the workbook as web pages."""

import sys
from collections.abc import Sequence

NEEDED = 'theorykit pages needs what the workbook needs: install "theorykit[workbook]"'


def main(arguments: Sequence[str] | None = None) -> int:
    """Do what the command line asks and return its exit code."""
    try:
        from theorykit.pages import main as publish
    except ModuleNotFoundError as missing:
        print(f"{NEEDED} ({missing})", file=sys.stderr)
        return 1
    return publish(arguments)


if __name__ == "__main__":
    raise SystemExit(main())
