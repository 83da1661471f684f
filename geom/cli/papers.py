"""Commands for the papers around the work: quote, made, inspect."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from geom.cli.app import app, guarded, progress, tell, version
from geom.cli.boats import BoatFile, Replace, write_folder
from geom.cli.starting import read_bytes
from geom.cli.targets import PAPER, TEXT, check_targets
from geom.errors import Fault, InputError

if TYPE_CHECKING:
    from geom.paperwork.quote.costs import Quotation
    from geom.paperwork.rates import Rates


@app.command()
@guarded
def quote(
    boat: Annotated[str, typer.Argument(metavar="BOAT", help="Boat file (YAML), or five readings a stanchion (CSV).")],
    rates: Annotated[Path, typer.Option("--rates", help="Rate file of the yard (YAML or XLSX).")],
    line: Annotated[
        str | None, typer.Option("--line", help="Of readings: the line, by its word among the materials of the rates.")
    ] = None,
    units: Annotated[str, typer.Option("--units", help="Of readings: mm or in, for bare numbers.")] = "mm",
    to: Annotated[Path | None, typer.Option("--to", help="Folder to write; else <boat>-quotation here.")] = None,
    replace: Replace = False,
) -> None:
    """Price the work: a quotation for the owner (PDF), a costed bill for the yard (CSV, XLSX).

    Lines without a rate are counted and named, never guessed; `toerail new rates` writes a rate file to fill in. From
    five readings a stanchion (POST, AFT, OUT, DECK, UPPER, LOWER) there is a quick quote, stamped ESTIMATE.
    """
    from geom import package
    from geom.files import check_place
    from geom.paperwork.quote.costs import quotation
    from geom.paperwork.quote.files import quotation_files
    from geom.paperwork.rates import read_rates
    from geom.refit import read_refit

    read = read_rates(read_bytes(rates), str(rates))
    if boat.lower().endswith(".csv"):
        _estimate(Path(boat), read, str(rates), line, units, to, replace)
        return
    refit = read_refit(boat)
    target = to or Path(f"{package.slug(refit.boat.boat.name)}-quotation")
    check_place(target, "a quotation", replace)
    progress("quotation")
    quoted = quotation(refit, read, str(rates))
    files = package.with_manifest(refit, quotation_files(refit, quoted), version(), False)
    write_folder(target, files, replace)
    _print_totals(quoted)


def _print_totals(quoted: Quotation) -> None:
    from geom.paperwork.quote.costs import in_step

    low, likely, high = (in_step(value, quoted.rounding) for value in quoted.gross.parts)
    print(f"{likely} {quoted.currency} likely, {low} low, {high} high, with tax")
    for line in quoted.without_rate:
        print(f"no rate: {line.section}: {line.item}")
    tell(f"{len(quoted.without_rate)} of {len(quoted.lines)} lines are not priced")


def _estimate(
    file: Path, rates: Rates, source: str, line: str | None, units: str, to: Path | None, replace: bool
) -> None:
    """Write a quick quote from readings."""
    from geom.files import write_file
    from geom.paperwork.quote.estimate import estimate, read_supports
    from geom.paperwork.quote.estimate_sheet import estimate_sheets
    from geom.render.pdf import pdf_bytes
    from geom.units import LengthFormat

    if units not in ("mm", "in"):
        raise InputError("arguments", [Fault("not a unit of readings", "--units", read=units, valid="mm, in")])
    if line is None or line not in rates.materials:
        fault = Fault("no such line in the rates", "--line", read=line or "", valid=", ".join(rates.materials))
        raise InputError("arguments", [fault])
    target = to or Path(f"{file.stem}-estimate.pdf")
    check_targets(target, replace=replace, endings=PAPER)
    supports = read_supports(read_bytes(file), str(file), units)
    quoted = estimate(supports, line, rates, source)
    fmt = LengthFormat() if units == "mm" else LengthFormat("in", 25.4, 2)
    sheets = estimate_sheets(file.stem.upper()[:30], supports, quoted, fmt)
    write_file(target, pdf_bytes(sheets, title=f"{file.stem}: estimate"), replace)
    _print_totals(quoted)
    tell(f"{target} written, an estimate: it releases nothing")


@app.command()
@guarded
def made(
    boat: BoatFile,
    log: Annotated[Path, typer.Argument(metavar="LOG", help="Log of the page (YAML) or readings (CSV).")],
    record: Annotated[
        Path | None, typer.Option("--record", help="As-built record to take the log into; begun where there is none.")
    ] = None,
    to: Annotated[Path | None, typer.Option("--to", help="Folder to write the papers to: as made, handover.")] = None,
    write: Annotated[bool, typer.Option("--write", help="Write the measured take-up into the boat file.")] = False,
    replace: Annotated[
        bool, typer.Option("--replace", help="Replace readings of the record, and an older folder of papers.")
    ] = False,
) -> None:
    """Take in what was made: compare it with the error budget, calibrate the take-up, keep the as-built record.

    Two first eyes or more give the take-up of the rope; with --write it corrects the next lines, and their sheets say
    so. Exit code 1 where the fittings of a line cannot take up the difference.
    """
    from geom import package
    from geom.files import check_place, write_file
    from geom.intake.take_up_edit import write_take_ups
    from geom.paperwork.made.files import made_files, made_text, what_was_made
    from geom.paperwork.made.log import read_log, taken_in
    from geom.refit import read_refit

    refit = read_refit(boat)
    if record is not None:
        check_targets(record, replace=True, endings=TEXT, inputs=(Path(boat), log))
    read = read_log(read_bytes(log), str(log), refit)
    if to is not None:
        check_place(to, "papers of what was made", replace)
    old = read_bytes(record).decode("utf-8") if record is not None and record.exists() else None
    text, built = taken_in(old, str(record or log), refit, read, replace)
    found = what_was_made(refit, built)
    data = write_take_ups(read_bytes(Path(boat)), boat, found.take_ups) if write and found.take_ups else None
    for line in made_text(refit, found):
        print(line)
    if record is not None:
        write_file(record, text.encode("utf-8"), replace=True)
        tell(f"{record} written")
    if to is not None:
        progress("papers")
        files = package.with_manifest(refit, made_files(refit, built, found), version(), False)
        write_folder(to, files, replace)
    if data is not None:
        write_file(Path(boat), data, replace=True)
        tell(f"take-up of {', '.join(found.take_ups)} written to {boat}")
    elif found.take_ups:
        tell("the boat file stays as it is: --write corrects the next lines")
    if any(line.covered is False for line in found.lines):
        raise typer.Exit(1)


@app.command()
@guarded
def inspect(
    boat: BoatFile,
    record: Annotated[Path | None, typer.Option("--record", help="As-built record with the figures so far.")] = None,
    readings: Annotated[
        Path | None, typer.Option("--readings", help="Readings of this season (CSV or YAML) to take into the record.")
    ] = None,
    to: Annotated[Path | None, typer.Option("--to", help="File to write; else <boat>-inspection.pdf here.")] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Replace an existing sheet.")] = False,
) -> None:
    """Write next season's sheet: last figures beside blanks, what is due, places to look at, trends over the years.

    With --readings a season's readings come back into the record first; its comments stay, and nothing is lost.
    """
    from geom import package
    from geom.files import write_file
    from geom.intake.as_built import read_as_built
    from geom.paperwork.inspection.history import trends
    from geom.paperwork.inspection.plots import trend_words
    from geom.paperwork.inspection.readings import read_season, with_season
    from geom.paperwork.inspection.sheet import INSPECTION, inspection_sheets
    from geom.paperwork.paper import paper_bytes
    from geom.refit import read_refit
    from geom.tables import numbers

    if readings is not None and record is None:
        raise InputError("arguments", [Fault("no record to take them into", "--readings", valid="--record FILE")])
    refit = read_refit(boat)
    target = to or Path(f"{package.slug(refit.boat.boat.name)}-inspection.pdf")
    check_targets(target, replace=replace, endings=PAPER)
    if record is not None and readings is not None:
        check_targets(record, replace=True, inputs=(Path(boat), readings))
    built, text = None, None
    if record is not None:
        data = read_bytes(record)
        built = read_as_built(data, str(record), refit.boat)
        if readings is not None:
            season = read_season(read_bytes(readings), str(readings), refit)
            text, built = with_season(data.decode("utf-8-sig"), str(record), refit, season)
    progress("inspection")
    sheets = inspection_sheets(refit, built)
    write_file(target, paper_bytes(refit, INSPECTION, sheets), replace)
    if text is not None and record is not None:
        write_file(record, text.encode("utf-8"), replace=True)
        tell(f"the readings are in {record}")
    for trend in trends(refit, built):
        print(trend_words(trend, numbers(refit.boat)))
    tell(f"{len(sheets)} pages written to {target}")
