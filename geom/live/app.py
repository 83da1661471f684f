"""The answers: the editor with the page beside it, the page itself, the file as it stands, its changes as they come."""

from __future__ import annotations

import asyncio
import base64
import json
import re
import secrets
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.types import ASGIApp, Receive, Scope, Send

from geom.live.guards import GUARDS, Door
from geom.live.state import Reading, StaleError, State
from geom.page import data_of
from geom.page.document import editor_page
from geom.words import worded

_ALWAYS = {
    "cache-control": "no-store",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "referrer-policy": "no-referrer",
    "x-content-type-options": "nosniff",
}
_ALIVE = 15.0


class GuardedApp:
    """Every request goes past the guards before anything answers it."""

    def __init__(self, app: ASGIApp, door: Door) -> None:
        """Guard an application.

        Args:
            app: the application.
            door: where it is served.
        """
        self.app = app
        self.door = door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or refuse it."""
        if scope["type"] == "http":
            request = Request(scope)
            for guard in GUARDS:
                status = guard(request, self.door)
                if status is not None:
                    await Response("", status, headers=_ALWAYS)(scope, receive, send)
                    return
        await self.app(scope, receive, send)


def _policy(nonce: str) -> str:
    return "; ".join((
        "default-src 'none'", f"script-src 'nonce-{nonce}'", f"style-src 'nonce-{nonce}'", "connect-src 'self'",
        "frame-src 'self'", "font-src data:", "img-src data:", "frame-ancestors 'none'", "base-uri 'none'",
        "form-action 'none'",
    ))  # fmt: skip


def as_data(reading: Reading) -> dict[str, Any]:
    """Return the file as it stands for the editor."""
    return {
        "number": reading.number,
        "good": reading.good.number,
        "digest": reading.digest,
        "text": reading.data.decode("utf-8", "replace"),
        "faults": [{"line": fault.line, "says": str(fault)} for fault in reading.faults],
        "changed": [
            {"place": one.place, "label": one.label, "before": one.before, "after": one.after, "scrap": one.scrap}
            for one in reading.changed
        ],
        "places": list(reading.places),
    }


def application(state: State, door: Door, changed: Callable[[], AsyncIterator[None]]) -> ASGIApp:
    """Return the application.

    Args:
        state: the boat file.
        door: where it is served.
        changed: yields each time the file on disk may have changed.
    """
    waiting: set[asyncio.Queue[int]] = set()
    preparing: set[asyncio.Task[str]] = set()
    with_sheets = False

    def tell(reading: Reading) -> None:
        for queue in waiting:
            queue.put_nowait(reading.number)
        if waiting:
            # Each page notified requests the file first, then the sections: they are prepared meanwhile.
            task = asyncio.create_task(run_in_threadpool(reading.good.body, with_sheets))
            preparing.add(task)
            task.add_done_callback(preparing.discard)

    async def watch() -> None:
        async for _ in changed():
            before = state.now.number
            reading = await run_in_threadpool(state.refresh)
            if reading.number != before:
                tell(reading)

    @asynccontextmanager
    async def running(_: Starlette) -> AsyncIterator[None]:
        task = asyncio.create_task(watch())
        yield
        task.cancel()

    async def editor(_: Request) -> Response:
        nonce = base64.b64encode(secrets.token_bytes(18)).decode("ascii")
        html = editor_page(state.now.good.refit.boat.boat.name, door.token, nonce)
        headers = {**_ALWAYS, "content-security-policy": _policy(nonce)}
        return Response(html, media_type="text/html", headers=headers)

    async def page(_: Request) -> Response:
        good = state.now.good
        data = await run_in_threadpool(lambda: good.page)
        headers = {**_ALWAYS, "content-security-policy": "frame-ancestors 'self'"}
        return Response(data, media_type="text/html", headers=headers)

    async def body(request: Request) -> Response:
        nonlocal with_sheets
        good = state.now.good
        with_sheets = request.query_params.get("sheets") == "1"
        html = await run_in_threadpool(good.body, with_sheets)
        return JSONResponse({"good": good.number, "body": html, "data": data_of(good.refit)}, headers=_ALWAYS)

    async def sheet(request: Request) -> Response:
        good = state.now.good
        svg = await run_in_threadpool(good.sheet, request.query_params.get("name", ""))
        return JSONResponse({"good": good.number, "svg": svg}, headers=_ALWAYS)

    async def file(_: Request) -> Response:
        return JSONResponse(as_data(state.now), headers=_ALWAYS)

    async def remedies(_: Request) -> Response:
        good = state.now.good
        found = await run_in_threadpool(lambda: good.remedies)
        listed = [
            {"item": one.item, "what": worded(one.what), "cut_anew": list(one.cut_anew),
             "changes": [f"{change.key}: {change.to}" for change in one.changes]}
            for one in found
        ]  # fmt: skip
        return JSONResponse({"good": good.number, "remedies": listed}, headers=_ALWAYS)

    async def remedied(request: Request) -> Response:
        stated = request.query_params.get("remedy", "")
        if request.query_params.get("good") != str(state.now.good.number) or not re.fullmatch(r"\d{1,3}", stated):
            raise HTTPException(409)
        text = await run_in_threadpool(state.apply_remedy, int(stated))
        return JSONResponse({"text": text}, headers=_ALWAYS)

    async def save(request: Request) -> Response:
        data = await request.body()
        expected = request.headers.get("if-match", "").strip('"')
        try:
            reading = await run_in_threadpool(state.save, data, expected)
        except StaleError:
            raise HTTPException(409) from None
        tell(reading)
        return JSONResponse(as_data(reading), headers=_ALWAYS)

    async def events(_: Request) -> Response:
        queue: asyncio.Queue[int] = asyncio.Queue()

        async def stream() -> AsyncIterator[str]:
            waiting.add(queue)
            try:
                yield f"data: {state.now.number}\n\n"
                while True:
                    try:
                        yield f"data: {json.dumps(await asyncio.wait_for(queue.get(), _ALIVE))}\n\n"
                    except TimeoutError:
                        yield ": alive\n\n"
            finally:
                waiting.discard(queue)

        return StreamingResponse(stream(), media_type="text/event-stream", headers=_ALWAYS)

    routes = [
        Route("/", editor), Route("/page", page), Route("/body", body), Route("/sheet", sheet), Route("/file", file),
        Route("/events", events),
        Route("/remedies", remedies), Route("/remedied", remedied), Route("/save", save, methods=["POST"]),
    ]  # fmt: skip
    return GuardedApp(Starlette(routes=routes, lifespan=running), door)
