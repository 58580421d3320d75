"""Plain words: a text in ASCII, for a console or a file that has no music signs."""

from __future__ import annotations

from unicodedata import combining, normalize

__all__ = ["words_ascii"]

_SIGNS = str.maketrans(
    {
        "♭": "b", "♯": "#", "♮": " natural ", "𝄫": "bb", "𝄪": "##", "ø": "m7b5", "Ø": "m7b5",
        "°": "dim", "Δ": "maj", "△": "maj", "–": "-", "—": "-", "−": "-", "·": "-", "•": "*",
        "→": "->", "←": "<-", "…": "...", "‘": "'", "’": "'", "“": '"', "”": '"', "«": '"',
        "»": '"', "×": "x", "½": "1/2", "\u00a0": " ", "ß": "ss", "æ": "ae", "œ": "oe", "ł": "l",
        "✓": "x", "✔": "x",
    }
)  # fmt: skip


def words_ascii(text: str) -> str:
    """Return a text in plain ASCII: signs as they are typed, letters without their accents.

    >>> words_ascii("From G7 with ♭9 to C: A♭ falls – “a half step” …")
    'From G7 with b9 to C: Ab falls - "a half step" ...'
    >>> words_ascii("Café, 曲")
    'Cafe, ?'
    """
    plain = normalize("NFKD", text.translate(_SIGNS))
    bare = "".join(letter for letter in plain if not combining(letter))
    return bare.encode("ascii", "replace").decode("ascii")
