"""A student at work: a kernel behind the hub, spoken to as a page speaks to it."""

from __future__ import annotations

import asyncio
import json
import uuid
from typing import Any

from classroom import Classroom
from tornado.httpclient import HTTPRequest
from tornado.websocket import WebSocketClientConnection, websocket_connect

WAITS = 240  # seconds for what a slow machine does at last


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
    return await websocket_connect(asked, max_message_size=2**28)


async def said(
    line: WebSocketClientConnection,
    kind: str,
    content: dict[str, Any],
    sizes: list[int] | None = None,
) -> list[dict[str, Any]]:
    """Send a message and return all that is told meanwhile, until the kernel is done with it."""
    mine = uuid.uuid4().hex
    header = {"msg_id": mine, "msg_type": kind, "session": mine, "username": "", "version": "5.3"}
    whole = {"header": {**header, "date": ""}, "parent_header": {}, "metadata": {}}
    await line.write_message(
        json.dumps({**whole, "content": content, "channel": "shell", "buffers": []})
    )
    told: list[dict[str, Any]] = []
    while True:
        raw = await asyncio.wait_for(line.read_message(), WAITS)
        assert raw is not None, "the line was cut"
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


def message(raw: str | bytes) -> dict[str, Any]:
    """Read a message, with or without buffers."""
    if isinstance(raw, bytes):
        count = int.from_bytes(raw[:4])
        places = [int.from_bytes(raw[4 * n : 4 * n + 4]) for n in range(1, count + 1)]
        raw = raw[places[0] : places[1] if count > 1 else None].decode()
    found: dict[str, Any] = json.loads(raw)
    return found
