"""The command line: ``theorykit workbook`` opens the chapters; ``--help`` tells the rest."""

from theorykit.command import main

if __name__ == "__main__":
    raise SystemExit(main())
