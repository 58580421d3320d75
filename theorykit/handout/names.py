"""Names of notes and chords in a teacher's prose: found, and moved for each reader.

What looks like a name is taken for one, unless the words around it say otherwise: ``the B
section``, ``plan B``, ``for E flat instruments``, ``Mr. B. Adams``, a sentence that begins with
``A``. The last word is the teacher's.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache

from theorykit.errors import TheoryError, shown
from theorykit.handout.pieces import checked_line
from theorykit.notes.chord import Chord
from theorykit.notes.degree import spell_near
from theorykit.notes.key import Key
from theorykit.notes.note import Note

__all__ = ["checked_names", "checked_typed", "idle_words", "moved_names", "names_in"]

MOST_NAMES = 60
LONGEST_WORD = 40  # characters

# A letter with its sign, alone or with what makes it a chord, or with its sign in words.
_KIND = r"(?:m|maj|min|dim|aug|sus|add)?\d[\w♭♯#()]*"
# "E natural minor", "the E natural 3rd": there the letter alone is the name.
_OF_A_SHAPE = (
    r"(?:-|[^\S\n]*\n?[^\S\n]*)(?:\d|(?i:minor|harmonic|second|third|fourth|fifth|sixth|seventh|"
    r"ninth|eleventh|thirteenth)s?\b)"
)
_NAME = re.compile(
    r"(?<![\w♭♯#'’.-])"
    rf"(?:[A-G][ -](?:[Ff]lat|[Ss]harp)\b(?: ?{_KIND})?"
    rf"|[A-G][ -][Nn]atural\b(?!{_OF_A_SHAPE})"
    rf"|[A-G](?:[b♭]{{1,2}}|[#♯]{{1,2}})?(?:{_KIND}|maj7?|m|dim|aug|sus|ø7?|°7?|\+)?"
    r"(?:/[A-G][b#♭♯]?)?)"
    r"(?![\w♭♯#'’-]|\.\w)"
)
_IN_WORDS = re.compile(r"[ -]([Ff]lat|[Ss]harp|[Nn]atural)")
_SIGN_OF = {"flat": "b", "sharp": "#", "natural": ""}
_NATURAL = re.compile(r"[ -][Nn]atural")
_DOUBLE = re.compile(r"[A-G](?:bb|##|♭♭|♯♯)")  # a note on which no chord stands, the b9 of Ab7
_SECTION = re.compile(r"[A-G][1-4]")  # of a tune, or a note with its octave
# What stands behind a letter that names something else: a part of a tune, an instrument, its part.
_NO_NAME_BEFORE = re.compile(
    r"\s+(?:sections?|parts?|instruments?|readers?|players?|trumpets?|clarinets?|sax(?:ophones?)?|"
    r"tenors?|altos?|sopranos?|baritones?|horns?|tubas?|flutes?|strings?|edition|pages?|team|group|"
    r"[Ss]treet|[Rr]oad|[Aa]venue|[Hh]all)"
    r"\b"
)
# And what stands in front of one.
_NO_NAME_AFTER = re.compile(
    r"(?:\b(?:section|letter|part|plan|option|group|team|exercise|figure|bars?|page|take|version|"
    r"grade|side|step|line|room|vitamin|house|building|hall|studio|street|road|avenue|platform|"
    r"entrance|apartment)\s+"
    r"|\b(?:trumpet|clarinet|sax|saxophone|tenor|alto|soprano|baritone|horn|tuba|flute|instruments?)"
    r"s? in )$",
    re.IGNORECASE,
)
# The initial of a person: after a title, in a name, where a person is named; in "Adams, B.,".
_TITLE_BEFORE = re.compile(
    r"\b(?:Mr|Mrs|Ms|Miss|Mx|Dr|Prof|Professor|Sir|Rev|Herr|Frau|Hr|Fr)\.? (?:[A-Z]\. ?)*$"
)
_PERSON_BEFORE = re.compile(
    r"(?:\b(?:[Bb]y|[Aa]sk|[Tt]hank|[Cc]all|[Tt]ell|[Mm]eet|[Dd]ear|[Tt]eacher|[Cc]omposer)\s+|"
    r"(?<=[a-z,;] )(?P<name>[A-Z][a-z]{2,})(?: and)?\s+)(?:[A-Z]\. ?)*$"
)
_SURNAME_AFTER = re.compile(r"\. (?:[A-Z]\. ?)*(?P<name>[A-Z][a-z]+)\b")
_ABBREVIATED = re.compile(r"\.[,;]")
_SURNAME_BEFORE = re.compile(r"\b(?P<name>[A-Z][a-z]{2,}), $")
# "Am Markt 7", "Am Sonntag", "Am 3. Mai": an address with its number, a day.
_AM_WHERE = re.compile(
    r" (?:[A-Z][a-z]{2,} \d+[a-z]?(?=[,.;)\n]|$)|(?:(?:Mon|Diens|Donners|Frei|Sams|Sonn)tag|"
    r"Mittwoch)\b|\d+\. ?(?:Jan|Feb|M[aä]r|Apr|Mai|Jun|Jul|Aug|Sep|Okt|Nov|Dez))"
)
# Words with which a sentence begins, or a thing of music is named: no surname and no address.
_OPENERS = frozenset(
    "a about add after again all also altered always an and another any approach as at "
    "augmented back bar bars be because before begin bend both bring but by change chord chorus "
    "chromatic close come compare correct count diminished do does dominant dorian drop each "
    "eighth enclose end even every exactly fifth find finish first flat for from get give go "
    "good hear here hold how if in into is it its just keep land last lead learn leave let "
    "listen look lower lydian major make mark minor more move natural never next ninth no not "
    "nothing notice now octave of on once one only or our over pick play practice practise put "
    "raise read repeat resolve rest root say second see sharp she should sing skip slide so "
    "some start stay still stop sustain swing take tap that the their them then there these "
    "they think third this those three to together too transpose triad try turn two under use "
    "very wait walk watch we what when where which while why with without work write yes you "
    "your".split()
)
_GOES_ON = re.compile(r"[a-z♭♯0-9,;)][,;]? +$")  # a sentence that has begun
_ENDS = re.compile(r"\s*(?:[,;:!?)]|\.(?!\w)|$)")
_NATURAL_ENDS = re.compile(r"(?!,)(?:" + _ENDS.pattern + r")|, (?:and |or )?[A-G](?![a-z])")
_LISTED = re.compile(r"(?: [A-G][b#♭♯]?){2}(?![\w♭♯#])")  # two more notes
_ARTICLE = re.compile(r"\b([Aa])n? $")
# A letter alone is a note, and a root where the words around it name a shape or a key.
_NOTE = re.compile(r"[A-G][b#]?")
_SHAPE_AFTER = re.compile(
    r"[ -](?:major|minor|triads?|chords?|sevenths?|scales?|pentatonics?|blues|diminished|augmented|"
    r"suspended|dominant|half|whole|altered|lydian|mixolydian|dorian|phrygian|locrian|aeolian)\b",
    re.IGNORECASE,
)
_KEY_BEFORE = re.compile(r"\b(?:in|key of)(?: an?)? $", re.IGNORECASE)
# A degree with its sign; ``#4`` may number something as well.
_DEGREE = re.compile(r"(?<![\w♭♯#'’.-])(?:b(?:[235679]|13)|#(?:4|5|9|11))(?![\w♭♯#'’-]|\.\w)")
_COUNTED_BEFORE = re.compile(
    r"(?:^|[.:;!?]|\b(?:tune|song|number|no\.?|take|track|exercise|line|step|chorus|"
    r"question|lesson|page|chart|week|sheet|handout|example|figure|bar|part|verse|section|piece|"
    r"phrase|lick)s?(?: #\d+(?:,| and| or))*)\s*$",
    re.IGNORECASE,
)
_SIGNS = str.maketrans("b#", "♭♯")
_SAID_WITH_AN = "AEF"  # the letters whose names begin with a vowel


def names_in(text: str, as_typed: Sequence[str] = ()) -> tuple[str, ...]:
    """Return the words of a text that name notes and chords, in order; not those left as typed.

    >>> names_in("A triad on E. Go on to Am7, and bend the B flat 7!")
    ('E', 'Am7', 'B flat 7')
    >>> names_in("Plan B: the B section, for E flat instruments")
    ()
    >>> names_in("The C Club plays in C.", ["C Club"])
    ('C',)
    """
    return tuple(match[0] for match in _moving(text, as_typed))


def idle_words(texts: Sequence[str], as_typed: Sequence[str]) -> tuple[str, ...]:
    """Return the words ``as_typed`` that keep nothing in any of the texts from being moved.

    >>> idle_words(["Meet at C Club, its b9."], ["C Club", "b9", "D", "Meet"])
    ('D', 'Meet')
    """
    return tuple(word for word in as_typed if not any(_keeps(word, text) for text in texts))


def _keeps(word: str, text: str) -> bool:
    """Tell whether a word as typed has a name or a degree in it, where it stands in a text."""
    held = tuple(_listed(text, [word]))
    return any(_is_in(one, held) for one in (*_found(text), *_DEGREE.finditer(text)))


def _moving(text: str, as_typed: Sequence[str]) -> Iterator[re.Match[str]]:
    """Yield the places of the names in a text that stand in no words left as typed."""
    held = tuple(_listed(text, as_typed))
    return (match for match in _found(text) if not _is_in(match, held))


def _is_in(match: re.Match[str], held: Sequence[re.Match[str]]) -> bool:
    """Tell whether a place is inside one of others; of a natural in words, its letter."""
    end = match.start() + len(_NATURAL.sub("", match[0]))
    return any(one.start() <= match.start() and end <= one.end() for one in held)


def _found(text: str) -> Iterator[re.Match[str]]:
    """Yield the places of the names in a text."""
    for match in _NAME.finditer(text):
        if _is_name(match) and _is_music(match[0]):
            yield match


def _is_name(match: re.Match[str]) -> bool:
    """Tell whether the words around a letter let it be a name."""
    before, after = match.string[: match.start()], match.string[match.end() :]
    word = match[0]
    if _SECTION.fullmatch(word) or _NO_NAME_BEFORE.match(after):
        return False
    if len(word) == 1 and _is_initial(before, after):
        return False
    if len(word) == 1 and _NO_NAME_AFTER.search(before):
        return False
    if _IN_WORDS.search(word) and _NO_NAME_AFTER.search(before):
        return False
    if _NATURAL.sub("", word) == "A":  # a sentence that begins with it begins with an article
        ends = _ENDS if word == "A" else _NATURAL_ENDS
        return bool(_GOES_ON.search(before) or ends.match(after) or _LISTED.match(after))
    return not (word == "Am" and (after.startswith(" I ") or _is_where(after)))


def _is_initial(before: str, after: str) -> bool:
    """Tell whether a letter between two texts is the initial of a person.

    >>> _is_initial("Ask Mr. ", ". Adams."), _is_initial("From A to ", ". Then rest.")
    (True, False)
    """
    if _TITLE_BEFORE.search(before) and after.startswith("."):
        return True
    if _is_proper(_SURNAME_BEFORE.search(before)) and _ABBREVIATED.match(after):
        return True
    person = _PERSON_BEFORE.search(before)
    if person is None or (person["name"] and not _is_proper(person)):
        return False
    return _is_proper(_SURNAME_AFTER.match(after))


def _is_where(after: str) -> bool:
    """Tell whether the German "Am" stands before a text: at a place, on a day.

    >>> _is_where(" Markt 7"), _is_where(" Dorian"), _is_where(" 3. Mai"), _is_where(". Then G")
    (True, False, True, False)
    """
    return _AM_WHERE.match(after) is not None and _SHAPE_AFTER.match(after) is None


def _is_proper(match: re.Match[str] | None) -> bool:
    """Tell whether the word that was found is a name and not one of a sentence about music."""
    return match is not None and match["name"].casefold() not in _OPENERS


def _is_music(word: str) -> bool:
    """Tell whether a word names a chord or a note."""
    return _chord_of(word) is not None or _DOUBLE.fullmatch(word) is not None


@lru_cache(maxsize=512)
def _chord_of(word: str) -> Chord | None:
    """Return what a word names, a note alone as the chord on it; None for no name."""
    try:
        return Chord.parse(_written(word))
    except TheoryError:
        return None


def _written(word: str) -> str:
    """Return a name with its sign as a sign.

    >>> _written("B flat 7"), _written("C-sharp"), _written("A natural")
    ('Bb7', 'C#', 'A')
    """
    signed = _IN_WORDS.sub(lambda sign: _SIGN_OF[sign[1].lower()], word)
    return signed.replace(" ", "")


def checked_names(names: Sequence[str]) -> None:
    """Refuse names that name no note and no chord.

    >>> checked_names(["G7", "the"])
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no name of a note or chord: 'the' (want names such as 'E' or 'G7')
    """
    if len(names) > MOST_NAMES:
        raise TheoryError(f"too many names: {len(names)} (want at most {MOST_NAMES})")
    for name in names:
        if not _is_music(name):
            raise TheoryError(
                f"no name of a note or chord: {shown(name)} (want names such as 'E' or 'G7')"
            )


def checked_typed(words: Sequence[str]) -> None:
    """Refuse words to be left as typed that are too many, too long, or none."""
    if len(words) > MOST_NAMES:
        raise TheoryError(f"too many words as typed: {len(words)} (want at most {MOST_NAMES})")
    for word in words:
        if not checked_line(word, "a word as typed", longest=LONGEST_WORD).strip():
            raise TheoryError(
                f"no word to leave as typed: {shown(word)} (want one such as 'B' or 'Am')"
            )


def moved_names(
    text: str, names: Sequence[str], old: Key, new: Key, as_typed: Sequence[str] = ()
) -> str:
    """Return a text with the names in it moved from one key to another and set with ♭ and ♯.

    Those that were found are moved, and those that were listed in ``names``; not what stands in
    words ``as_typed``. A note stays the degree that it was, Cb the b9 of Bb7; a chord, a shape and
    a key get a plainer name where they need one. A name with its sign in words has one when it is
    moved; a natural is said where it still is one. Degrees are set with ♭ and ♯. Every other letter
    stays as it was typed, but for an article whose name has changed.

    >>> concert, trumpet = Key.parse("C"), Key.parse("D")
    >>> moved_names("Over G7 think an E triad. A good idea!", [], concert, trumpet)
    'Over A7 think an F♯ triad. A good idea!'
    >>> moved_names("Which note bends B flat 7? Play bar B.", [], concert, Key.parse("A"))
    'Which note bends G7? Play bar B.'
    >>> moved_names("Over Eb7, in C.", [], concert, trumpet, ["C"])
    'Over F7, in C.'
    >>> moved_names("Over Bb7 hear the Cb.", [], concert, concert)
    'Over B♭7 hear the C♭.'
    >>> moved_names("Its b9, Fb. An Fb triad.", [], concert, Key.parse("G"))
    'Its ♭9, C♭. A B triad.'
    >>> moved_names("An E natural, then a B natural.", [], concert, Key.parse("A"))
    'A C♯, then a G♯.'
    """
    found = {match.start(): match for match in _moving(text, as_typed)}
    listed = filter(None, map(_whole, _listed(text, names)))
    found |= {match.start(): match for match in listed}
    said, at = "", 0
    move = _mover(old, new)
    for start, match in sorted(found.items()):
        if start < at:
            continue
        said += text[at:start]
        new_word = move(match)
        if old != new:
            said = _ARTICLE.sub(lambda a, w=new_word: _article(a[1], w), said)  # type: ignore[misc]
        said, at = said + new_word, match.end()
    return _with_degrees(said + text[at:], as_typed)


def _with_degrees(text: str, as_typed: Sequence[str]) -> str:
    """Return a text whose degrees have their signs.

    >>> _with_degrees("Its b9 and #11 (b13). Tune #5, the b9.", ["b13"])
    'Its ♭9 and ♯11 (b13). Tune #5, the ♭9.'
    """

    held = tuple(_listed(text, as_typed))

    def signed(match: re.Match[str]) -> str:
        is_counted = match[0][0] == "#" and _COUNTED_BEFORE.search(text[: match.start()])
        return match[0] if is_counted or _is_in(match, held) else match[0].translate(_SIGNS)

    return _DEGREE.sub(signed, text)


def _listed(text: str, names: Sequence[str]) -> Iterator[re.Match[str]]:
    """Return the places of listed names in a text, whole words alone."""
    if not names:
        return iter(())
    words = "|".join(map(re.escape, sorted(names, key=len, reverse=True)))
    return re.finditer(rf"(?<![\w♭♯#])(?:{words})(?![\w♭♯#])", text)


def _whole(match: re.Match[str]) -> re.Match[str] | None:
    """Return the place of a listed name, or that of the longer name which begins with it.

    None where that one names something else, as in "E flat instruments".
    """
    longer = _NAME.match(match.string, match.start())
    if longer is None or longer.end() <= match.end() or not _is_music(longer[0]):
        return match
    return longer if _is_name(longer) else None


def _mover(old: Key, new: Key) -> Callable[[re.Match[str]], str]:
    """Return the function that moves a name; in the same key words stay words."""
    held = new.notes
    is_plainer = False  # the chord named last has another letter than its root would have moved to

    def move(match: re.Match[str]) -> str:
        nonlocal is_plainer
        word = match[0]
        if _DOUBLE.fullmatch(word):
            return _moved_double(Note.parse(word), old, new).pretty
        chord = _chord_of(word)
        if chord is None or (old == new and _IN_WORDS.search(word)):
            return word
        if old == new:  # as the teacher has spelled it
            return chord.pretty
        note, is_note = chord.root.moved(old.tonic, new.tonic), _is_note(match)
        if is_note and not is_plainer and abs(note.alteration) < 2:
            natural = _NATURAL.search(word)
            return note.pretty + (natural[0] if natural and not note.alteration else "")
        moved = chord.transposed(old.tonic, new.tonic, held)
        is_plainer = is_plainer if is_note else moved.root != note
        return moved.pretty

    return move


def _is_note(match: re.Match[str]) -> bool:
    """Tell whether a name is that of a note, and not of the root of a shape or of a key."""
    before, after = match.string[: match.start()], match.string[match.end() :]
    is_alone = _NOTE.fullmatch(_written(match[0]).translate(str.maketrans("♭♯", "b#"))) is not None
    return is_alone and not (_SHAPE_AFTER.match(after) or _KEY_BEFORE.search(before))


def _moved_double(note: Note, old: Key, new: Key) -> Note:
    """Return a note with a double sign where it goes, with a plainer name if it would need more.

    >>> concert, alto = Key.parse("C"), Key.parse("A")
    >>> str(_moved_double(Note.parse("Bbb"), concert, alto))
    'Gb'
    >>> str(_moved_double(Note.parse("B##"), concert, alto))
    'A#'
    """
    there = note.moved(old.tonic, new.tonic)
    return there if abs(there.alteration) <= 2 else spell_near(there.semitone, there)


def _article(letter: str, name: str) -> str:
    """Return the article for a name, with its capital or without.

    >>> _article("a", "E7"), _article("A", "G7")
    ('an ', 'A ')
    """
    return f"{letter}n " if name[0] in _SAID_WITH_AN else f"{letter} "
