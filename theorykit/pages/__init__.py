"""Pages: the chapters as a published edition that needs no kernel and no network."""

from theorykit.pages.publishing import publish
from theorykit.pages.stored_pictures import stored_chapter

__all__ = ["publish", "stored_chapter"]
