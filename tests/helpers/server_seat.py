"""A student at work: a kernel behind the hub, spoken to as a page speaks to it."""

from __future__ import annotations

import asyncio
import json
import uuid
from collections.abc import Sequence
from itertools import accumulate, pairwise
from typing import Any

from classroom import Classroom
from tornado.httpclient import HTTPRequest
from tornado.websocket import WebSocketClientConnection, websocket_connect

WAITS = 240  # seconds for what a slow machine does at last
# What JupyterLab 4 speaks: messages as the kernel has packed them, which the server hands on.
PROTOCOL = "v1.kernel.websocket.jupyter.org"
PARTS = ("header", "parent_header", "metadata", "content")  # what each message has, in this order


class Seat:
    """One kernel of a student; ``printed`` is what the last cell printed."""

    def __init__(self, room: Classroom, name: str) -> None:
        self.room, self.name, self.printed = room, name, ""
        self._loop = asyncio.new_event_loop()

    def __enter__(self) -> Seat:
        status, made = self.room.ask("POST", f"/user/{self.name}/api/kernels", {"name": "python3"})
        assert status == 201, (status, self.room.log)
        self.kernel = str(made["id"])
        self._line = self._loop.run_until_complete(line_to(self.room, self.name, self.kernel))
        return self

    def __exit__(self, *_: object) -> None:
        self._line.close()
        self.room.ask("DELETE", f"/user/{self.name}/api/kernels/{self.kernel}")
        self._loop.close()

    def run(self, cell: str, before: str = "") -> str:
        """Run a cell and return its value as Python writes it."""
        content = {"code": f"{before}\n{cell}", "silent": False, "store_history": True}
        found, self.printed = "", ""
        for one in self._loop.run_until_complete(said(self._line, "execute_request", content)):
            kind, content = one["header"]["msg_type"], one["content"]
            assert kind != "error", content
            if kind == "execute_result":
                found = content["data"]["text/plain"]
            elif kind == "stream":
                self.printed += content["text"]
        return found


async def line_to(room: Classroom, name: str, kernel: str) -> WebSocketClientConnection:
    """Return a line to a kernel."""
    address = f"ws://127.0.0.1:{room.port}/user/{name}/api/kernels/{kernel}/channels"
    headers = {"Authorization": f"token {room.token}"}
    asked = HTTPRequest(address, headers=headers, request_timeout=WAITS)
    line = await websocket_connect(asked, max_message_size=2**28, subprotocols=[PROTOCOL])
    assert line.selected_subprotocol == PROTOCOL
    return line


async def said(
    line: WebSocketClientConnection,
    kind: str,
    content: dict[str, Any],
    sizes: list[int] | None = None,
) -> list[dict[str, Any]]:
    """Send a message and return all that is told meanwhile, until the kernel is done with it."""
    mine = uuid.uuid4().hex
    header = {"msg_id": mine, "msg_type": kind, "session": mine, "username": "", "version": "5.3"}
    parts = ({**header, "date": ""}, {}, {}, content)
    await line.write_message(packed(parts), binary=True)
    told: list[dict[str, Any]] = []
    while True:
        raw = await asyncio.wait_for(line.read_message(), WAITS)
        assert isinstance(raw, bytes), "the line was cut"
        if sizes is not None:
            sizes[-1] += len(raw)
        told.append(message(raw))
        if is_done(told[-1], mine):
            return told


def is_done(one: dict[str, Any], mine: str) -> bool:
    """Tell whether a message says that the kernel has done what it was asked."""
    if one.get("parent_header", {}).get("msg_id") != mine:
        return False
    return one["header"]["msg_type"] == "status" and one["content"]["execution_state"] == "idle"


def packed(parts: Sequence[dict[str, Any]]) -> bytes:
    """Return a message for the kernel's shell: where each part begins and ends, then the parts."""
    texts = [b"shell", *(json.dumps(part).encode() for part in parts)]
    ends = accumulate(map(len, texts), initial=8 * (len(texts) + 2))
    numbers = (number.to_bytes(8, "little") for number in (len(texts) + 1, *ends))
    return b"".join((*numbers, *texts))


def message(raw: bytes) -> dict[str, Any]:
    """Read a message; files that go with it are left aside."""
    count = int.from_bytes(raw[:8], "little")
    ends = [int.from_bytes(raw[8 * n : 8 * n + 8], "little") for n in range(2, count + 1)]
    texts = (raw[one:other] for one, other in pairwise(ends))
    return dict(zip(PARTS, map(json.loads, texts), strict=False))
