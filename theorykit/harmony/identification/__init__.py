"""Identification: what any notes are over any chord."""

from theorykit.harmony.identification.identify import Identification, identify

__all__ = ["Identification", "identify"]
