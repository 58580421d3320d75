"""The programs are run by their tests, not looked through for examples."""

collect_ignore = ["written", "taken"]
