"""The phrase book on a page."""

from theorykit.widgets.phrases.browsing import PhraseShelf, phrase_book

__all__ = ["PhraseShelf", "phrase_book"]
