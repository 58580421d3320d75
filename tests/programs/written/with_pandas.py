"""The notes of a line and the counts of tensions as data frames."""

import pandas as pd

from theorykit import demonstration, evidence, table

notes = pd.DataFrame(table(demonstration("F", "long", "b9 13")))
print(notes.groupby("chord", sort=False)["degree"].agg(" ".join).to_string())

counts = pd.DataFrame(table([evidence(degree) for degree in ("b9", "9", "13", "b13")]))
print(counts.sort_values("share", ascending=False)[["degree", "count"]].to_string(index=False))
