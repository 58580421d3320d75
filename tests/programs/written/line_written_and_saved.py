"""A line written to wishes over a ii-V-I, looked at, heard, and saved for a trumpet."""

from theorykit import Wishes, hear, save, see, two_five_one, write_lines

over = two_five_one("Eb", "short")
line = write_lines(over, "b9 13", wishes=Wishes.within("trumpet", landing="9"), seed=3)[0]
print(line)
print(see(line, written_for="trumpet"))
print(hear(line, over_v="b9 13", tempo=132))
for ending in (".musicxml", ".mid", ".png"):
    print(save(line, f"line{ending}", written_for="trumpet", title="My first line"))
for note in line:
    print(f"{note.pitch!s:>4} on beat {note.start!s:<5} for {note.beats}")
