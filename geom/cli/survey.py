"""Commands before there is a boat file: the blank measuring form."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from geom.cli.app import app, guarded, tell
from geom.errors import Fault, InputError


@app.command()
@guarded
def form(
    posts: Annotated[int, typer.Option("--posts", help="Stanchions on each side.")],
    lines: Annotated[int, typer.Option("--lines", help="Guard lines above each other.")],
    units: Annotated[str, typer.Option("--units", help="mm or in.")],
    to: Annotated[Path, typer.Option("--to", help="File to write.")] = Path("measuring-form.pdf"),
    replace: Annotated[bool, typer.Option("--replace", help="Replace a file that stands there.")] = False,
) -> None:
    """Write a blank measuring form: which points to touch, which tapes to take, boxes to fill in."""
    from geom.files import write_file
    from geom.render.pdf import pdf_bytes
    from geom.sheets.measuring_form import measuring_form

    if units not in ("mm", "in"):
        raise InputError("arguments", [Fault("not a unit of the form", "--units", read=units, valid="mm, in")])
    sheets = measuring_form(posts, lines, "mm" if units == "mm" else "in")
    write_file(to, pdf_bytes(sheets, title="Measuring form"), replace)
    tell(f"{len(sheets)} pages written to {to}")
