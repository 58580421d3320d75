"""A process that does jobs: they come in through its input, answers go out through its output."""

from __future__ import annotations

import os
import pickle
import sys
import traceback
from typing import Any

from theorykit.errors import TheoryError


def main() -> None:
    """Do one job after the other until the input ends.

    Whatever a library prints goes where errors go, so that it cannot be taken for an answer.
    """
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    jobs = sys.stdin.buffer
    while True:
        try:
            job = pickle.load(jobs)
        except EOFError:
            return
        pickle.dump(_answer(job), answers)
        answers.flush()


def _answer(job: Any) -> tuple[str, Any]:
    """Return what came of a job: done, refused in words, or failed with a trace."""
    try:
        return "done", job.run()
    except TheoryError as error:
        return "refused", str(error)
    except Exception:
        return "failed", traceback.format_exc()


if __name__ == "__main__":
    main()
