"""Archive: all of a reader's work in one file, and what such a file brings into a folder."""

from theorykit.study.archive.own_work import OwnWork

__all__ = ["OwnWork"]
