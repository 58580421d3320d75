"""Pages: the chapters as a published edition that needs no kernel and no network."""

from theorykit.pages.publishing import publish

__all__ = ["publish"]
