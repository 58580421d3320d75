"""One colour in all twelve keys: what to think of over each V, printed as a table."""

from theorykit import KEYS, shortcuts, table, two_five_one

best = []
for key in KEYS:
    if key.mode == "major":
        v, i = two_five_one(key)[1].chords[0], two_five_one(key)[2].chords[0]
        best.append(shortcuts(v, "b9 13", i)[0])

for row in table(best):
    print(f"{row['chord']:<6}{row['shape']:<6}{row['notes']}")
