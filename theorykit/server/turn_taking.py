"""Turn taking: a kernel that waits for its turn before it answers what is pressed on a page."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ipykernel.ipkernel import IPythonKernel

from theorykit.server.turns import Turns


class KernelInTurns(IPythonKernel):
    """A kernel that answers what is pressed on a page in its turn; cells run as they come."""

    turns: Turns | None = None

    def __init__(self, **wishes: Any) -> None:
        super().__init__(**wishes)
        self.shell_handlers["comm_msg"] = self._in_turn(self.shell_handlers["comm_msg"])

    def _in_turn(self, handler: Callable[..., Any]) -> Callable[..., Any]:
        def answer(*message: Any) -> Any:
            if self.turns is None:
                return handler(*message)
            with self.turns.taken():
                return handler(*message)

        return answer
