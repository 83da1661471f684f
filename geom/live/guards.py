"""Guards of the page: each looks at a request and returns the status that refuses it, None where it may pass."""

from __future__ import annotations

import hmac
from collections.abc import Callable
from dataclasses import dataclass

from starlette.requests import Request

from geom.boat.tree import MAX_BYTES

TOKEN_HEADER = "x-toerail-token"
_WRITES = "POST"


@dataclass(frozen=True)
class Door:
    """Where the page is served: its port, and the token that its address carries."""

    port: int
    token: str

    @property
    def hosts(self) -> tuple[str, str]:
        """The host names by which it is addressed."""
        return (f"127.0.0.1:{self.port}", f"localhost:{self.port}")

    @property
    def address(self) -> str:
        """The address to open."""
        return f"http://{self.hosts[0]}/?token={self.token}"


Guard = Callable[[Request, Door], int | None]


def one_host(request: Request, door: Door) -> int | None:
    """Refuse a request that names another host: a name elsewhere that leads here (DNS rebinding)."""
    return None if request.headers.getlist("host") in [[host] for host in door.hosts] else 421


def token(request: Request, door: Door) -> int | None:
    """Refuse a request without the token: in the address for reading, in a header for writing."""
    writes = request.method == _WRITES
    given = request.headers.get(TOKEN_HEADER, "") if writes else request.query_params.get("token", "")
    return None if hmac.compare_digest(given.encode("utf-8"), door.token.encode("utf-8")) else 403


def same_site(request: Request, door: Door) -> int | None:  # noqa: ARG001 - guards have one signature
    """Refuse a request that another site made the browser send."""
    allowed = ("same-origin",) if request.method == _WRITES else ("same-origin", "none")
    return None if request.headers.get("sec-fetch-site", allowed[0]) in allowed else 403


def own_origin(request: Request, door: Door) -> int | None:
    """Refuse writing from a page of another origin, or of none."""
    if request.method != _WRITES:
        return None
    return None if request.headers.getlist("origin") in [[f"http://{host}"] for host in door.hosts] else 403


def plain_text(request: Request, door: Door) -> int | None:  # noqa: ARG001
    """Refuse to take anything but text."""
    if request.method != _WRITES:
        return None
    return None if request.headers.get("content-type", "").partition(";")[0] == "text/plain" else 415


def stated_size(request: Request, door: Door) -> int | None:  # noqa: ARG001
    """Refuse what does not state its length, and what is larger than a boat file may be."""
    if request.method != _WRITES:
        return None
    stated = request.headers.get("content-length")
    if stated is None:
        return 411
    return None if stated.isdigit() and len(stated) < 12 and int(stated) <= MAX_BYTES else 413


GUARDS: tuple[Guard, ...] = (one_host, same_site, token, own_origin, plain_text, stated_size)
