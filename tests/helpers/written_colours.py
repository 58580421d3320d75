"""Every colour written out by hand over the V of C, D flat, F sharp and B flat minor.

By function: the notes as degrees over V (letters counted from the root of V, common practice). As a
shape: what a teacher says and writes for the shortest way, spelled as itself. Nothing is computed.
"""

DOMINANTS = ("G7", "Ab7", "C#7", "F7")

BY_FUNCTION = {
    "b9": ("B D F Ab", "C Eb Gb Bbb", "E# G# B D", "A C Eb Gb"),
    "b9 13": ("E Ab B", "F Bbb C", "A# D E#", "D Gb A"),
    "b9 b13": ("Ab B Eb", "Bbb C Fb", "D E# A", "Gb A Db"),
    "b9 #11": ("C# F Ab", "D Gb Bbb", "F## B D", "B Eb Gb"),
    "b9 #11 13": ("C# E Ab", "D F Bbb", "F## A# D", "B D Gb"),
    "9 #11 13": ("A C# E", "Bb D F", "D# F## A#", "G B D"),
    "#9": ("A# D F", "B Eb Gb", "D## G# B", "G# C Eb"),
    "#9 b13": ("Eb G A#", "Fb Ab B", "A C# D##", "Db F G#"),
    "#9 #11": ("A# C# F", "B D Gb", "D## F## B", "G# B Eb"),
    "half-whole diminished": (
        "G Ab A# B C# D E F",
        "Ab Bbb B C D Eb F Gb",
        "C# D D## E# F## G# A# B",
        "F Gb G# A B C D Eb",
    ),
    "altered": (
        "G Ab A# B C# Eb F",
        "Ab Bbb B C D Fb Gb",
        "C# D D## E# F## A B",
        "F Gb G# A B Db Eb",
    ),
    "whole tone": ("G A B C# Eb F", "Ab Bb C D Fb Gb", "C# D# E# F## A B", "F G A B Db Eb"),
    "lydian dominant": (
        "G A B C# D E F",
        "Ab Bb C D Eb F Gb",
        "C# D# E# F## G# A# B",
        "F G A B C D Eb",
    ),
    "minor's own": ("G Ab B D Eb F", "Ab Bbb C Eb Fb Gb", "C# D E# G# A B", "F Gb A C Db Eb"),
    "suspended": ("F A C", "Gb Bb Db", "B D# F#", "Eb G Bb"),
    "suspended b9": ("D F Ab C", "Eb Gb Bbb Db", "G# B D F#", "C Eb Gb Bb"),
    "tritone substitute": ("C# F Ab B", "D Gb Bbb C", "F## B D E#", "B Eb Gb A"),
    "its related ii": ("B Eb F# A#", "C Fb G B", "E# A B# D##", "A Db E G#"),
}

AS_SHAPE = {
    "b9": (
        ("Bdim7", "B D F Ab"),
        ("Cdim7", "C Eb Gb Bbb"),
        ("E#dim7", "E# G# B D"),
        ("Adim7", "A C Eb Gb"),
    ),
    "b9 13": (("E", "E G# B"), ("F", "F A C"), ("Bb", "Bb D F"), ("D", "D F# A")),
    "b9 b13": (("Abm", "Ab Cb Eb"), ("Am", "A C E"), ("Dm", "D F A"), ("F#m", "F# A C#")),
    "b9 #11": (("Db", "Db F Ab"), ("D", "D F# A"), ("G", "G B D"), ("B", "B D# F#")),
    "b9 #11 13": (("C#m", "C# E G#"), ("Dm", "D F A"), ("Gm", "G Bb D"), ("Bm", "B D F#")),
    "9 #11 13": (("A", "A C# E"), ("Bb", "Bb D F"), ("Eb", "Eb G Bb"), ("G", "G B D")),
    "#9": (("Bb", "Bb D F"), ("B", "B D# F#"), ("E", "E G# B"), ("Ab", "Ab C Eb")),
    "#9 b13": (("Eb", "Eb G Bb"), ("E", "E G# B"), ("A", "A C# E"), ("Db", "Db F Ab")),
    "#9 #11": (("Bbm", "Bb Db F"), ("Bm", "B D F#"), ("Em", "E G B"), ("Abm", "Ab Cb Eb")),
    "half-whole diminished": (
        ("Ab whole-half diminished", "Ab Bb B Db D E F G"),
        ("A whole-half diminished", "A B C D Eb F F# G#"),
        ("D whole-half diminished", "D E F G Ab Bb B C#"),
        ("Gb whole-half diminished", "Gb Ab A B C D Eb F"),
    ),
    "altered": (
        ("Ab melodic minor", "Ab Bb Cb Db Eb F G"),
        ("A melodic minor", "A B C D E F# G#"),
        ("D melodic minor", "D E F G A B C#"),
        ("F# melodic minor", "F# G# A B C# D# E#"),
    ),
    "whole tone": (
        ("Gaug and Aaug", "G B D# A C# F"),
        ("Abaug and Bbaug", "Ab C E Bb D F#"),
        ("C#aug and D#aug", "C# F A D# G B"),
        ("Faug and Gaug", "F A C# G B D#"),
    ),
    "lydian dominant": (
        ("D melodic minor", "D E F G A B C#"),
        ("Eb melodic minor", "Eb F Gb Ab Bb C D"),
        ("G# melodic minor", "G# A# B C# D# E# F##"),
        ("C melodic minor", "C D Eb F G A B"),
    ),
    "minor's own": (
        ("C harmonic minor", "C D Eb F G Ab B"),
        ("C# harmonic minor", "C# D# E F# G# A B#"),  # D flat minor has no signature
        ("F# harmonic minor", "F# G# A B C# D E#"),
        ("Bb harmonic minor", "Bb C Db Eb F Gb A"),
    ),
    "suspended": (("F", "F A C"), ("Gb", "Gb Bb Db"), ("B", "B D# F#"), ("Eb", "Eb G Bb")),
    "suspended b9": (
        ("Dm7b5", "D F Ab C"),
        ("Ebm7b5", "Eb Gb Bbb Db"),
        ("G#m7b5", "G# B D F#"),
        ("Cm7b5", "C Eb Gb Bb"),
    ),
    "tritone substitute": (
        ("Db7", "Db F Ab Cb"),
        ("D7", "D F# A C"),
        ("G7", "G B D F"),
        ("B7", "B D# F# A"),
    ),
    "its related ii": (
        ("Bmaj7", "B D# F# A#"),
        ("Cmaj7", "C E G B"),
        ("Fmaj7", "F A C E"),
        ("Amaj7", "A C# E G#"),
    ),
}
