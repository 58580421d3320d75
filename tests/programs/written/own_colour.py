"""A colour that no table has: over a chord, as a shape, in a line, kept in a file and read back."""

import tomllib
from pathlib import Path

from theorykit import Line, colour, from_dict, resolve, save, see, shortcuts, two_five_one

mine = colour("hearth: b9 11 13 to minor")
print([str(note) for note in mine.notes("Db7")], mine.targets)
print(shortcuts("G7", mine)[0])
print(resolve("G7", "hearth: b9 11 13", "C minor").moves[0].words)
print(see(mine).words[:40])

line = Line.parse("quarter D5 C5 8th Ab4 C5 E5 Ab5 | whole G5", two_five_one("C minor", "short"))
print(line)
file = save(mine, "hearth.toml")
print(from_dict(tomllib.loads(Path(file).read_text(encoding="utf-8"))) == mine)
