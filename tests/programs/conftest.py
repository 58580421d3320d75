"""These programs are run by their test, not looked through for examples."""

collect_ignore = ["taken"]
