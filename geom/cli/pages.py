"""Commands that show a refit: page, view."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from geom.cli.app import app, guarded, progress, tell
from geom.cli.boats import BoatFile
from geom.cli.starting import read_bytes
from geom.cli.targets import PAGE, check_targets
from geom.errors import Fault, InputError


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
    check_targets(target, replace=replace, endings=PAGE)
    progress("page")
    data = package.page_file(refit, () if no_sheets else package.drawing_sheets(refit))
    write_file(target, data, replace)
    tell(f"{target} written, {len(data) / 1e6:.2f} MB")


@app.command()
@guarded
def view(
    boat: Annotated[Path, typer.Argument(metavar="BOAT", help="Boat file (YAML).")],
    no_open: Annotated[bool, typer.Option("--no-open", help="Do not open the browser.")] = False,
    port: Annotated[int, typer.Option("--port", min=0, max=65535, help="Port; 0 for a free one.")] = 0,
) -> None:
    """Show the page beside an editor of the boat file, worked out afresh at each save; on this machine alone."""
    try:
        from geom.live import serve
    except ModuleNotFoundError as error:
        fault = Fault(f"the package '{error.name}' is not installed", valid='pip install "toerail[view]"')
        raise InputError("view", [fault]) from None

    def ready(address: str) -> None:
        print(address, flush=True)
        if not no_open:
            import webbrowser

            webbrowser.open(address)

    # A file that cannot be read is said before anything is served.
    read_bytes(boat)
    serve(boat, ready, port)
