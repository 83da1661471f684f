"""Commands for the papers around the work: quote."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from geom.cli.app import app, guarded, progress, tell, version
from geom.cli.boats import BoatFile, Replace, write_folder
from geom.cli.starting import read_bytes


@app.command()
@guarded
def quote(
    boat: BoatFile,
    rates: Annotated[Path, typer.Option("--rates", help="Rate file of the yard (YAML or XLSX).")],
    to: Annotated[Path | None, typer.Option("--to", help="Folder to write; else <boat>-quotation here.")] = None,
    replace: Replace = False,
) -> None:
    """Price the work: a quotation for the owner (PDF), a costed bill for the yard (CSV, XLSX).

    Lines without a rate are counted and named, never guessed; `toerail new rates` writes a rate file to fill in.
    """
    from geom import package
    from geom.files import check_place
    from geom.paperwork.quote.costs import in_step, quotation
    from geom.paperwork.quote.files import quotation_files
    from geom.paperwork.rates import read_rates
    from geom.refit import read_refit

    read = read_rates(read_bytes(rates), str(rates))
    refit = read_refit(boat)
    target = to or Path(f"{package.slug(refit.boat.boat.name)}-quotation")
    check_place(target, "a quotation", replace)
    progress("quotation")
    quoted = quotation(refit, read, str(rates))
    files = package.with_manifest(refit, quotation_files(refit, quoted), version(), False)
    write_folder(target, files, replace)
    low, likely, high = (in_step(value, quoted.rounding) for value in quoted.gross.parts)
    print(f"{likely} {quoted.currency} likely, {low} low, {high} high, with tax")
    for line in quoted.without_rate:
        print(f"no rate: {line.section}: {line.item}")
    tell(f"{len(quoted.without_rate)} of {len(quoted.lines)} lines are not priced")
