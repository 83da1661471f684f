"""Commands on states of one boat: respace, compare."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, cast

import typer

from geom.cli.app import app, guarded, tell
from geom.cli.boats import BoatFile, read_before
from geom.cli.starting import read_bytes
from geom.cli.targets import check_targets
from geom.errors import Fault, InputError

if TYPE_CHECKING:
    from geom.boat.base import Side
    from geom.fleet.comparison import Comparison
    from geom.fleet.respacing import Respacing


@app.command()
@guarded
def respace(
    boat: BoatFile,
    side: Annotated[str | None, typer.Option("--side", help="One side only: S, P, SI or PI.")] = None,
    alike: Annotated[bool, typer.Option("--alike", help="Port and starboard stanchions at the same stations.")] = False,
    grade: Annotated[
        float, typer.Option("--grade", help="Ratio of each span to the one forward of it; 1 for equal spans.")
    ] = 1.0,
    fixed: Annotated[
        list[str] | None, typer.Option("--fixed", metavar="POST", help="A stanchion that stays (may be repeated).")
    ] = None,
    like: Annotated[
        str | None, typer.Option("--like", metavar="POST", help="Stanchion that new ones are made like.")
    ] = None,
    to: Annotated[
        Path | None, typer.Option("--to", help="Folder for the boat files; else <boat>-layouts here.")
    ] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Replace layouts written before.")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print the layouts as JSON.")] = False,
) -> None:
    """Find places for the stanchions between pulpit, gates and pushpit, clear of what is barred.

    Up to three layouts, each written as a boat file: fewest stanchions with the evenest spans, with the least turn in
    the holes, and one stanchion more. Distances keep the limits of the rules; `spacing:` in the boat file has what
    stays: fixed stanchions, and barred stretches of the deck edge such as chainplates.
    """
    from geom import package
    from geom.export import json_bytes
    from geom.files import make_folder, write_file
    from geom.fleet.respacing import Request, respace
    from geom.fleet.respacing.report import plain
    from geom.refit import read_refit

    if not 0.5 <= grade <= 2.0:
        raise InputError(
            "arguments", [Fault("no usable ratio of spans", "--grade", read=f"{grade:g}", valid="0.5 to 2")]
        )
    before = read_refit(boat)
    if boat == "-":
        raise InputError("arguments", [Fault("layouts are written beside a file", "BOAT", read="-", valid="a file")])
    request = Request(cast("Side | None", side), alike, grade, tuple(fixed or ()), like)
    found = respace(before, read_bytes(Path(boat)), request)
    folder = to or Path(f"{package.slug(before.boat.boat.name)}-layouts")
    names = [folder / f"{Path(boat).stem}-layout-{number}.yaml" for number in range(1, len(found.layouts) + 1)]
    check_targets(*names, replace=replace)
    make_folder(folder)
    for name, layout in zip(names, found.layouts, strict=True):
        write_file(name, layout.data, replace)
    if as_json:
        sys.stdout.write(json_bytes(plain(found, names)).decode("utf-8"))
    else:
        sys.stdout.writelines(f"{line}\n" for line in _respaced_lines(found, names))
    tell(f"{len(names)} boat files written to {folder}")


def _respaced_lines(found: Respacing, names: list[Path]) -> Iterator[str]:
    from geom.cli.layout import table_lines, width, wrapped
    from geom.fleet.respacing.report import figures_of, posts_table, rests_on, spans_table
    from geom.rules.cautions import SHEET_CAUTION
    from geom.tables import numbers
    from geom.words import Units, worded
    from geom.words.english_respacing import RESTS_ON

    fmt, columns = numbers(found.refit.boat), width()
    units = Units(fmt, millimetres=True, pounds=True)
    for number, (name, layout) in enumerate(zip(names, found.layouts, strict=True), start=1):
        yield from wrapped(f"LAYOUT {number}  {worded(layout.best, units)}: {name}", columns, later="  ")
        for remark in figures_of(found, layout):
            yield from wrapped(worded(remark, units), columns, "  ", "    ")
        for table in (posts_table(layout), spans_table(layout)):
            if table.rows:
                yield from table_lines(table, fmt, columns)
        yield ""
    yield RESTS_ON
    for remark in rests_on(found):
        yield from wrapped(worded(remark, units), columns, "- ")
    yield ""
    yield from wrapped(worded(SHEET_CAUTION), columns)


@app.command()
@guarded
def compare(
    old: Annotated[str, typer.Argument(metavar="OLD", help="Boat file (YAML) of the revision before.")],
    new: Annotated[str, typer.Argument(metavar="NEW", help="Boat file (YAML) of the later one.")],
    record: Annotated[
        Path | None, typer.Option("--record", help="As-built record of OLD: names what is made already and lost.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print what changed as JSON.")] = False,
) -> None:
    """Say what a revision changes: figures, sheets to be issued again and those that stay valid, what becomes scrap.

    A change sheet in the set, and a mark beside each changed figure: `toerail draw NEW --against OLD`.
    """
    from geom.export import json_bytes
    from geom.fleet.comparison import compare
    from geom.fleet.comparison.report import plain
    from geom.intake.as_built import read_as_built
    from geom.refit import read_refit

    after = read_refit(new)
    before = read_before(old, after)
    built = None if record is None else read_as_built(read_bytes(record), str(record), before.boat)
    found = compare(before, after, built)
    if as_json:
        sys.stdout.write(json_bytes(plain(found)).decode("utf-8"))
    else:
        sys.stdout.writelines(f"{line}\n" for line in _compared_lines(found))


def _compared_lines(found: Comparison) -> Iterator[str]:
    from geom.cli.layout import table_lines, width, wrapped
    from geom.fleet.comparison.report import summary, tables
    from geom.tables import numbers
    from geom.words import Units, worded

    fmt, columns = numbers(found.after.boat), width()
    units = Units(fmt, millimetres=True, pounds=True)
    for remark in summary(found):
        yield from wrapped(worded(remark, units), columns, "- ")
    yield ""
    for table in tables(found):
        # Where the data are the same there is nothing to list.
        if table.rows and not found.same_data:
            yield from table_lines(table, fmt, columns)
