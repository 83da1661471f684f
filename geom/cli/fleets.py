"""Commands on many boats: vary."""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from geom.cli import app as frame
from geom.cli.app import app, guarded, tell
from geom.cli.starting import read_bytes
from geom.errors import Fault, InputError

if TYPE_CHECKING:
    from geom.fleet.settings import Variants
    from geom.fleet.varied import VariedBoat
    from geom.fleet.varying import RateFile

# Rows of variants on a terminal.
_ROWS = 40
RatesFile = Annotated[Path | None, typer.Option("--rates", help="Rate file of the yard (YAML or XLSX): adds the cost.")]
ReplaceFiles = Annotated[bool, typer.Option("--replace", help="Replace existing files.")]


@app.command()
@guarded
def vary(
    boat: Annotated[Path, typer.Argument(metavar="BOAT", help="Boat file (YAML).")],
    settings: Annotated[
        list[str] | None,
        typer.Option("--set", metavar="KEY=V1,V2", help="Key of the boat file, parts may be *, and its values."),
    ] = None,
    values: Annotated[Path | None, typer.Option("--values", help="The same as YAML: a list of values a key.")] = None,
    rates: RatesFile = None,
    to: Annotated[Path | None, typer.Option("--to", help="File for all rows: .csv or .parquet.")] = None,
    plot: Annotated[
        str | None, typer.Option("--plot", metavar="X,Y", help="Plot two columns, by their names in CSV (SVG).")
    ] = None,
    keep: Annotated[int | None, typer.Option("--keep", metavar="N", help="Write the boat file of variant N.")] = None,
    mark: Annotated[str | None, typer.Option("--mark", help="Of the kept file: mark of its revision.")] = None,
    date: Annotated[str | None, typer.Option("--date", help="Of the kept file: date of its revision.")] = None,
    replace: ReplaceFiles = False,
) -> None:
    """Work out every combination of some values of a boat, and mark those that no other beats.

    `toerail vary our-boat.yaml --set "tubes.stanchion.wall=1.5 mm,2 mm"`; up to 100,000 combinations. The boat file
    stays as it is; `--keep N --mark B --date 2026-03-01` writes variant N as a file of its own, comments intact.
    """
    from geom.fleet.settings import read_setting, read_settings, variants_of

    gc.enable()
    wanted = [read_setting(text) for text in settings or ()]
    wanted += read_settings(read_bytes(values), str(values)) if values is not None else []
    if not wanted:
        raise InputError("arguments", [Fault("nothing to vary", "--set", valid="--set KEY=V1,V2 or --values FILE")])
    variants = variants_of(read_bytes(boat), str(boat), wanted)
    read = _rate_file(rates)
    if keep is not None:
        _keep(variants, keep, mark, date, boat, replace)
    else:
        _vary(variants, read, boat, to, plot, replace)


def _rate_file(rates: Path | None) -> RateFile | None:
    """Return a rate file, None where there is none.

    Raises:
        InputError: it cannot be used.
    """
    from geom.fleet.varying import RateFile, rates_of

    if rates is None:
        return None
    found = RateFile(str(rates), read_bytes(rates))
    rates_of(found)
    return found


def _keep(variants: Variants, number: int, mark: str | None, date: str | None, boat: Path, replace: bool) -> None:
    """Write the boat file of one variant."""
    from geom.files import write_file
    from geom.fleet.varying import kept

    if mark is None or date is None:
        fault = Fault("a kept file has a revision of its own", "--keep", valid="--mark B --date 2026-03-01")
        raise InputError("arguments", [fault])
    target = Path(f"{boat.stem}-variant-{number}.yaml")
    write_file(target, kept(variants, number, mark, date), replace)
    for setting, value in zip(variants.settings, variants.values(number), strict=True):
        print(f"{setting.key}: {value}")
    tell(f"{target} written, revision {mark} of {date}")


def _vary(
    variants: Variants, rates: RateFile | None, boat: Path, to: Path | None, plot: str | None, replace: bool
) -> None:
    """Work out all variants, write their files and print the table."""
    from geom.files import refuse_existing, write_file
    from geom.fleet.columns import variant_columns
    from geom.fleet.plot import plot_sheet, plotted
    from geom.fleet.row_files import check_rows_file, write_rows
    from geom.fleet.varied import varied_boat
    from geom.render.svg import svg_bytes

    columns = variant_columns(variants)
    drawn = None if plot is None else plotted(columns, [name.strip() for name in plot.split(",")])
    picture = Path(f"{boat.stem}-variants.svg")
    if to is not None:
        check_rows_file(to)
    if not replace:
        refuse_existing(*([to] if to is not None else []), *([picture] if drawn is not None else []))
    with bar("variants", len(variants) + 1) as step, varied_boat(variants, rates, step) as found:
        if to is not None:
            write_rows(to, columns, found.rows(), replace)
        if drawn is not None:
            write_file(picture, svg_bytes(plot_sheet(found.boat.boat.name, *drawn, found.rows())), replace)
        _print_variants(found)
    for target in ([to] if to is not None else []) + ([picture] if drawn is not None else []):
        tell(f"{target} written")


def _print_variants(found: VariedBoat) -> None:
    """Print the table: every variant where they are few, else those that no other beats."""
    from geom.cli.layout import table_lines, width, wrapped
    from geom.rules.cautions import SHEET_CAUTION, main_cautions
    from geom.words import worded

    columns = width()
    lines = [*table_lines(found.table(_ROWS), found.length_format, columns), worded(SHEET_CAUTION)]
    lines += wrapped(" ".join(map(worded, main_cautions(found.boat))), columns)
    sys.stdout.writelines(f"{line}\n" for line in lines)


@contextmanager
def bar(what: str, count: int) -> Iterator[Callable[[int], None]]:
    """Show a progress bar on a terminal; the function that it gives is called with the number done since.

    Args:
        what: is counted.
        count: of all.
    """
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    shown = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    quiet = frame.is_quiet() or not sys.stderr.isatty()
    with Progress(*shown, console=Console(stderr=True), transient=True, disable=quiet) as progress:
        task = progress.add_task(what, total=count)

        def step(done: int) -> None:
            progress.update(task, advance=done)

        yield step
