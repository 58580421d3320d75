"""What pytest looks at here: the tests, and not the parts of the proof, which take long to load."""

collect_ignore_glob = ["[!t]*.py", "texts_*.py"]
