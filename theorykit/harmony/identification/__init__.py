"""Identification: what any notes are over any chord."""

from theorykit.harmony.identification.any_notes import Identification, identify

__all__ = ["Identification", "identify"]
