"""Jobs that go wrong or take long, in a module that other processes can import."""

import os
import time
from dataclasses import dataclass

from theorykit.errors import TheoryError


@dataclass(frozen=True)
class Failing:
    """A job that prints, refuses, breaks or dies, or does its work."""

    how: str

    def run(self, *, between: object = None) -> int:
        """Do as told; return 1."""
        if self.how == "refuses":
            raise TheoryError("no such tune (want one)")
        if self.how == "dies":
            os._exit(3)
        if self.how == "prints":
            print("noise on the channel")
        return 1 // (self.how != "breaks")


@dataclass(frozen=True)
class Slow:
    """A job that takes so many seconds."""

    seconds: float = 0.0

    def run(self, *, between: object = None) -> int:
        """Wait; return the number of the process that did."""
        time.sleep(self.seconds)
        return os.getpid()
