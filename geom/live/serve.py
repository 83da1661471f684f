"""Serve the page of a boat file on this machine alone until interrupted."""

from __future__ import annotations

import gc
import secrets
import socket
from collections.abc import AsyncIterator, Callable
from pathlib import Path

import uvicorn
from watchfiles import awatch

from geom.errors import Fault, InputError
from geom.live.app import application
from geom.live.guards import Door
from geom.live.state import State

LOOPBACK = "127.0.0.1"
_TOKEN_BYTES = 24
# Saves of an editor within this time are one [ms].
_TOGETHER = 30
# Interval at which the file is looked at in any case: it may have been saved before the watch began, or lie on a file
# system without events [ms].
_LOOK_AGAIN = 1000


def serve(path: Path, ready: Callable[[str], None], port: int = 0) -> None:
    """Serve a boat file until interrupted.

    Args:
        path: of the boat file.
        ready: called with the address once the page can be opened.
        port: 0 for a free one.

    Raises:
        InputError: the file cannot be used, or the port is not free.
    """
    state = State(path)
    try:
        listening = socket.create_server((LOOPBACK, port))
    except OSError as error:
        fault = Fault(f"this port cannot be used: {error.strerror}", "--port", read=str(port), valid="0 for a free one")
        raise InputError("arguments", [fault]) from None
    with listening:
        door = Door(listening.getsockname()[1], secrets.token_urlsafe(_TOKEN_BYTES))

        async def changed() -> AsyncIterator[None]:
            # The folder, as many editors move a new file into the place of the old one.
            watched = path.resolve().parent
            async for _ in awatch(
                watched,
                recursive=False,
                debounce=_TOGETHER,
                step=_TOGETHER // 3,
                rust_timeout=_LOOK_AGAIN,
                yield_on_timeout=True,
            ):
                yield

        server = uvicorn.Server(uvicorn.Config(
            application(state, door, changed), log_level="error", access_log=False, server_header=False,
            timeout_graceful_shutdown=1,
        ))  # fmt: skip
        # A command that ends soon collects no garbage; this one runs for hours. What is loaded by now stays.
        gc.freeze()
        gc.enable()
        ready(door.address)
        server.run(sockets=[listening])
