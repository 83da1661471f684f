"""Commands that show a refit: page."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from geom.cli.app import app, guarded, progress, tell
from geom.cli.boats import BoatFile


@app.command()
@guarded
def page(
    boat: BoatFile,
    to: Annotated[Path | None, typer.Option("--to", help="File to write; else <boat>.html here.")] = None,
    no_sheets: Annotated[bool, typer.Option("--no-sheets", help="Leave the sheets out.")] = False,
    replace: Annotated[bool, typer.Option("--replace", help="Replace an existing file.")] = False,
) -> None:
    """Write the whole refit as one page (HTML) that needs no network: for a phone on board, or by mail."""
    from geom import package
    from geom.files import write_file
    from geom.refit import read_refit

    refit = read_refit(boat)
    target = to or Path(f"{package.slug(refit.boat.boat.name)}.html")
    progress("page")
    data = package.page_file(refit, () if no_sheets else package.drawing_sheets(refit))
    write_file(target, data, replace)
    tell(f"{target} written, {len(data) / 1e6:.2f} MB")
