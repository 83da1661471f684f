"""A boat file served for the tests, and requests to it as a foreign program would make them."""

from __future__ import annotations

import asyncio
import http.client
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import uvicorn

from geom.live.app import application
from geom.live.guards import TOKEN_HEADER, Door
from geom.live.state import State


@dataclass
class Served:
    """A boat file served, in this process where its state is there."""

    state: State | None
    door: Door

    def get(self, path: str, **headers: str) -> tuple[int, dict[str, str], bytes]:
        """Ask for a path with the token and a right host, unless these are given otherwise."""
        return self.ask("GET", f"{path}{'&' if '?' in path else '?'}token={self.door.token}", None, headers)

    def post(self, data: bytes, without: tuple[str, ...] = (), **headers: str) -> tuple[int, dict[str, str], bytes]:
        """Save as the page does, some headers left out or otherwise."""
        usual = {
            "origin": f"http://{self.door.hosts[0]}", "sec-fetch-site": "same-origin",
            "content-type": "text/plain; charset=utf-8", TOKEN_HEADER: self.door.token,
        }  # fmt: skip
        if self.state is not None:
            usual["if-match"] = f'"{self.state.now.digest}"'
        made = usual | {key.replace("_", "-"): value for key, value in headers.items()}
        return self.ask("POST", "/save", data, {key: one for key, one in made.items() if key not in without})

    def ask(self, method: str, path: str, data: bytes | None, headers: dict[str, str]):
        """Make a request; `host` is added unless it is among the headers."""
        line = http.client.HTTPConnection("127.0.0.1", self.door.port, timeout=60)
        line.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
        sent = {"host": self.door.hosts[0]} | {key.replace("_", "-"): value for key, value in headers.items()}
        if data is not None and "content-length" not in sent and "transfer-encoding" not in sent:
            sent["content-length"] = str(len(data))
        for key, value in sent.items():
            for one in value.split("|") if key == "host" else [value]:
                if one:
                    line.putheader(key, one)
        line.endheaders(data)
        answer = line.getresponse()
        found = answer.status, {key.lower(): value for key, value in answer.getheaders()}, answer.read()
        line.close()
        return found


@contextmanager
def served(path: Path) -> Iterator[Served]:
    """Serve a boat file; the watcher of the folder is left out."""

    async def never():
        await asyncio.Event().wait()
        yield

    with socket.create_server(("127.0.0.1", 0)) as listening:
        door = Door(listening.getsockname()[1], "t" * 32)
        state = State(path)
        server = uvicorn.Server(uvicorn.Config(application(state, door, never), log_level="error", access_log=False))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
        thread.start()
        while not server.started:
            time.sleep(0.01)
        try:
            yield Served(state, door)
        finally:
            server.should_exit = True
            thread.join(20)
