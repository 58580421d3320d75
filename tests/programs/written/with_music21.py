"""A line taken to music21, looked at there, and brought back."""

from theorykit import Chord, Note, demonstration, from_music21, to_music21

line = demonstration("Db", "short", "b9")
score = to_music21(line)
print([pitch.nameWithOctave for pitch in score.flatten().notes.stream().pitches][-1])
print(from_music21(score) == line)
print(to_music21(Note.parse("Ebb")).name, from_music21(to_music21(Chord.parse("Bbmaj7"))))
