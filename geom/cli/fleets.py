"""Commands on many boats: vary, fleet."""

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
from geom.cli.targets import check_targets
from geom.errors import Fault, InputError

if TYPE_CHECKING:
    from geom.fleet.pool import Pool
    from geom.fleet.settings import Variants
    from geom.fleet.summary import Summary
    from geom.fleet.varied import VariedBoat
    from geom.fleet.varying import RateFile

# Rows of variants on a terminal.
_ROWS = 40
RatesFile = Annotated[Path | None, typer.Option("--rates", help="Rate file of the yard (YAML or XLSX): adds the cost.")]
Scheduler = Annotated[
    str | None, typer.Option("--scheduler", metavar="ADDRESS", help="Scheduler of a cluster, such as tcp://host:8786.")
]
Workers = Annotated[int | None, typer.Option("--workers", min=1, help="Workers of a cluster on this machine.")]
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
    keep: Annotated[
        int | None, typer.Option("--keep", metavar="N", help="Write the boat file of variant N here, and no rows.")
    ] = None,
    mark: Annotated[str | None, typer.Option("--mark", help="Of the kept file: mark of its revision.")] = None,
    date: Annotated[str | None, typer.Option("--date", help="Of the kept file: date of its revision.")] = None,
    scheduler: Scheduler = None,
    workers: Workers = None,
    replace: ReplaceFiles = False,
) -> None:
    """Work out every combination of some values of a boat, and mark those that no other beats.

    `toerail vary our-boat.yaml --set "tubes.stanchion.wall=1.5 mm,2 mm"`; up to 100,000 combinations. The boat file
    stays as it is; `--keep N --mark B --date 2026-03-01` writes variant N as a file of its own, comments intact.
    """
    from geom.fleet.settings import read_setting, read_settings, variants_of

    gc.enable()
    if keep is not None and (to is not None or plot is not None):
        other = "--to" if to is not None else "--plot"
        message, valid = "writes one boat file here, and no rows", f"first {other}, then --keep alone"
        fault = Fault(message, "--keep", read=f"{other} as well", valid=valid)
        raise InputError("arguments", [fault])
    wanted = [read_setting(text) for text in settings or ()]
    wanted += read_settings(read_bytes(values), str(values)) if values is not None else []
    if not wanted:
        raise InputError("arguments", [Fault("nothing to vary", "--set", valid="--set KEY=V1,V2 or --values FILE")])
    variants = variants_of(read_bytes(boat), str(boat), wanted)
    read = _rate_file(rates)
    if keep is not None:
        _keep(variants, keep, mark, date, boat, replace)
    else:
        _vary(variants, read, boat, to, plot, replace, scheduler, workers)


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
    from geom.fleet.varying import variant_file

    if mark is None or date is None:
        fault = Fault("a kept file has a revision of its own", "--keep", valid="--mark B --date 2026-03-01")
        raise InputError("arguments", [fault])
    target = Path(f"{boat.stem}-variant-{number}.yaml")
    check_targets(target, replace=replace)
    write_file(target, variant_file(variants, number, mark, date), replace)
    for setting, value in zip(variants.settings, variants.values(number), strict=True):
        print(f"{setting.key}: {value}")
    tell(f"{target} written, revision {mark} of {date}")


def _vary(
    variants: Variants,
    rates: RateFile | None,
    boat: Path,
    to: Path | None,
    plot: str | None,
    replace: bool,
    scheduler: str | None,
    workers: int | None,
) -> None:
    """Work out all variants, write their files and print the table."""
    from geom.files import write_file
    from geom.fleet.columns import variant_columns
    from geom.fleet.plot import plot_columns, plot_sheet
    from geom.fleet.row_files import check_rows_file, write_rows
    from geom.fleet.varied import varied_boat
    from geom.render.svg import svg_bytes

    columns = variant_columns(variants)
    drawn = None if plot is None else plot_columns(columns, [name.strip() for name in plot.split(",")])
    if drawn is not None and rates is None and any(one.column.key in ("cost", "without_rate") for one in drawn):
        raise InputError("arguments", [Fault("there is no cost without rates", "--plot", valid="--rates FILE")])
    picture = Path(f"{boat.stem}-variants.svg")
    if to is not None:
        check_rows_file(to)
    check_targets(*([to] if to is not None else []), *([picture] if drawn is not None else []), replace=replace)
    with (
        _pool(scheduler, workers) as pool,
        bar("variants", len(variants) + 1) as step,
        varied_boat(variants, rates, step, pool) as found,
    ):
        found.refuse_unusable()
        if to is not None:
            write_rows(to, columns, found.rows(), replace)
        if drawn is not None:
            write_file(picture, svg_bytes(plot_sheet(found.boat.boat.name, *drawn, found.rows())), replace)
        _print_variants(found)
    for target in ([to] if to is not None else []) + ([picture] if drawn is not None else []):
        tell(f"{target} written")


@contextmanager
def _pool(scheduler: str | None, workers: int | None) -> Iterator[Pool]:
    """Open a cluster where one is wanted, else the work is done in this process."""
    from geom.fleet.pool import here

    if scheduler is None and workers is None:
        yield here
        return
    from geom.fleet.cluster import cluster_pool

    with cluster_pool(scheduler, workers) as pool:
        yield pool


def _print_variants(found: VariedBoat) -> None:
    """Print the table: every variant where they are few, else those that no other beats."""
    from geom.cli.layout import table_lines, width, wrapped
    from geom.rules.cautions import SHEET_CAUTION, main_cautions
    from geom.words import worded

    columns = width()
    lines = [*table_lines(found.table(_ROWS), found.length_format, columns), worded(SHEET_CAUTION)]
    lines += wrapped(" ".join(map(worded, main_cautions(found.boat))), columns)
    sys.stdout.writelines(f"{line}\n" for line in lines)


@app.command()
@guarded
def fleet(
    source: Annotated[Path, typer.Argument(metavar="BOATS", help="Folder of boat files, or a list of their names.")],
    to: Annotated[Path | None, typer.Option("--to", help="Folder to write; else <name>-fleet here.")] = None,
    form: Annotated[str, typer.Option("--format", help="Files of rows: csv or parquet.")] = "csv",
    rates: RatesFile = None,
    packages: Annotated[bool, typer.Option("--packages", help="Write the package of each boat too.")] = False,
    no_solids: Annotated[bool, typer.Option("--no-solids", help="Packages without solids.")] = False,
    scheduler: Scheduler = None,
    workers: Workers = None,
    replace: Annotated[
        bool, typer.Option("--replace", help="Begin again where rates, packages or version differ.")
    ] = False,
) -> None:
    """Work out thousands of boat files on a cluster: one row a boat, one an open item, and a summary page.

    By default the cluster is this machine, one worker a core. A file that cannot be used is a row with its error. An
    interrupted run goes on where it stopped; boats whose data did not change are not worked out again.
    """
    from geom.fleet.boats import fleet_files
    from geom.fleet.cluster import check_installed, cluster_pool
    from geom.fleet.fleet import Fleet, check_fleet, work_fleet

    gc.enable()
    check_installed()
    name = source.resolve().stem
    wanted = Fleet(
        name=name,
        files=fleet_files(source),
        folder=to or Path(f"{name}-fleet"),
        ending=f".{form}",
        version=frame.version(),
        rates=_rate_file(rates),
        solids=not no_solids if packages else None,
    )
    check_fleet(wanted)
    check_targets(*wanted.written, replace=True)
    with bar("boats", len(wanted.files)) as step:
        summary, worked = work_fleet(wanted, lambda: cluster_pool(scheduler, workers), step, replace)
    _print_fleet(summary)
    tell(f"{worked} boats worked out, {summary.boats - worked} were done already; written to {wanted.folder}")


def _print_fleet(summary: Summary) -> None:
    """Print the summary: counts, causes by kind, the first files that cannot be worked out."""
    from geom.cli.layout import coloured, width, wrapped
    from geom.rules.cautions import SHEET_CAUTION
    from geom.words import english_fleet, worded

    columns = width()
    lines = [*wrapped(summary.line, columns), ""]
    lines += [english_fleet.FLEET_CAUSE_HEAD] if summary.causes else []
    for one in summary.causes:
        head = english_fleet.FLEET_CAUSE.format(kind=one.kind, boats=one.boats, items=one.items)
        first, *more = wrapped(f"{one.cause}, such as {one.example}", columns, head)
        lines += [first.replace(one.kind, coloured(one.kind, one.kind), 1), *more]
    lines += [""]
    for file, error in summary.refused:
        lines += wrapped(f"{file}: {error}", columns, later="  ")
    lines += [worded(SHEET_CAUTION), *wrapped(english_fleet.FLEET_CAUTION, columns)]
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
