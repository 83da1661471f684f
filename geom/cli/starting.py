"""Commands for starting a boat file: new, form, survey."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from geom.cli.app import app, guarded, tell
from geom.cli.targets import PAPER, TEXT, check_targets
from geom.errors import Fault, InputError

if TYPE_CHECKING:
    from geom.intake.survey.readings import Survey
    from geom.intake.survey.reliability import Doubt

Replace = Annotated[bool, typer.Option("--replace", help="Replace an existing file.")]
DEFAULT_STARTER = "first-try"
# Starter files other than boat files, by name.
OTHER_STARTERS = {
    "survey": "survey/saltwhin-31.yaml",
    "deck-plan": "survey/deck-plan-mapping.yaml",
    "rates": "rates-example.yaml",
}


@app.command()
@guarded
def new(
    starter: Annotated[
        str | None,
        typer.Argument(help="Starter boat to copy, `survey`, `deck-plan`, `rates`, or a boat file to change."),
    ] = None,
    to: Annotated[Path | None, typer.Option("--to", help="File to write; else <starter>.yaml here.")] = None,
    tables: Annotated[
        list[Path] | None, typer.Option("--from", help="CSV or XLSX tables of posts, eyes, deck edge, tapes.")
    ] = None,
    decimal: Annotated[
        str | None, typer.Option("--decimal", help="Decimal sign of the tables, `.` or `,`, where they leave it open.")
    ] = None,
    sheet: Annotated[
        list[str] | None, typer.Option("--sheet", help="Which sheet or file is which table: `posts=NAME`.")
    ] = None,
    plan: Annotated[Path | None, typer.Option("--plan", help="Deck plan (DXF) to read positions from.")] = None,
    mapping: Annotated[Path | None, typer.Option("--mapping", help="Mapping of the deck plan (YAML).")] = None,
    as_built: Annotated[bool, typer.Option("--as-built", help="Write a blank as-built record.")] = False,
    replace: Replace = False,
) -> None:
    """Write a boat file to edit, with its schema for editors: from a starter, or a new boat from tables or a plan.

    Tables and plans change a boat file that is named; otherwise they make a new boat, with a question for all that they
    do not contain, and nothing of a starter.
    """
    from geom import resources
    from geom.files import write_file

    if (plan is None) != (mapping is None):
        raise InputError("arguments", [Fault("a deck plan and its mapping are needed together", "--plan, --mapping")])
    if as_built:
        _write_as_built(starter or DEFAULT_STARTER, to, replace)
        return
    if starter in OTHER_STARTERS:
        target = to or Path(f"{starter}.yaml")
        check_targets(target, replace=replace, endings=TEXT)
        write_file(target, resources.template_bytes(OTHER_STARTERS[starter]), replace)
        tell(f"{target} written")
        return
    is_file = starter is not None and starter.endswith((".yaml", ".yml"))
    if (tables or plan is not None) and starter is not None and not is_file:
        fault = Fault("tables and plans make a new boat or change a boat file; a starter is another boat", read=starter,
                      valid="a boat file, or none for a new boat")  # fmt: skip
        raise InputError("arguments", [fault])
    name = starter or ("new-boat" if tables or plan is not None else DEFAULT_STARTER)
    target = to or Path(f"{Path(name).stem}.yaml")
    # A boat file that is named is changed: it may be the one that is written.
    stays = [*(tables or ()), *(path for path in (plan, mapping) if path is not None)]
    check_targets(target, replace=replace, endings=TEXT, inputs=stays)
    data, source = (None, name) if starter is None and name == "new-boat" else _start(name)
    if tables:
        data = _with_tables(data, source, tables, decimal, sheet or [])
    if plan is not None and mapping is not None:
        check = target.with_name(f"{target.stem}-plan-check.pdf")
        check_targets(check, replace=replace, endings=PAPER)
        data, sheets = _with_plan(data, source, plan, mapping)
        write_file(check, sheets, replace)
        tell(f"{check} written: what was read over what the plan shows, to be checked before anything else")
    assert data is not None
    write_file(target, data, replace)
    _write_schema(target)
    tell(f"{target} written, with boat.schema.json for editors; next: toerail check {target}")


def _write_schema(target: Path) -> None:
    """Write the schema beside a boat file, unless a file of that name is there that is not ours to change."""
    from geom import resources
    from geom.files import write_file

    schema, ours = target.with_name("boat.schema.json"), resources.template_bytes("boat.schema.json")
    if schema.exists() and schema.read_bytes() != ours:
        tell(f"{schema} is there and differs from this program's schema; it stays as it is")
        return
    write_file(schema, ours, replace=True)


def _start(starter: str) -> tuple[bytes, str]:
    """Return the contents to start from: an existing boat file, else the starter of that name."""
    from geom import resources

    if starter.endswith((".yaml", ".yml")):
        return read_bytes(Path(starter)), starter
    text = resources.starter_text(starter)
    return text.replace("$schema=../boat.schema.json", "$schema=boat.schema.json").encode(), f"{starter} (starter)"


def _with_tables(data: bytes | None, source: str, files: list[Path], decimal: str | None, sheets: list[str]) -> bytes:
    from geom.intake.bare_boat import of_tables
    from geom.intake.tables.files import into_boat_file
    from geom.intake.tables.headings import table_of
    from geom.intake.tables.read import boat_parts, read_tables

    if decimal not in (None, ".", ","):
        raise InputError("arguments", [Fault("not a decimal sign", "--decimal", read=decimal, valid=". or ,")])
    named = {}
    for pair in sheets:
        which, _, name = pair.partition("=")
        if table_of(which) is None or not name:
            raise InputError("arguments", [Fault("not a table and a name", "--sheet", read=pair, valid="posts=NAME")])
        named[name] = str(table_of(which))
    read = read_tables({str(path): read_bytes(path) for path in files}, {}, decimal, named)  # type: ignore[arg-type]
    _print_lines(read.echo())
    if data is None:
        return of_tables(boat_parts(read), tuple(path.name for path in files)).text().encode("utf-8")
    edited = into_boat_file(data, source, read)
    _print_lines(_contradictions(edited, source))
    return edited


def _with_plan(data: bytes | None, source: str, plan: Path, mapping: Path) -> tuple[bytes, bytes]:
    """Return the boat file with a deck plan's positions, and the check sheets of the plan (PDF)."""
    from geom.boat.file import read_boat
    from geom.intake.bare_boat import of_plan
    from geom.intake.deck_plan.drawing import read_drawing
    from geom.intake.deck_plan.mapping import read_mapping
    from geom.intake.deck_plan.reading import read_plan
    from geom.intake.deck_plan.write import write_plan
    from geom.render.pdf import pdf_bytes
    from geom.sheets.plan_check.sheet import plan_check

    stated, drawing = read_mapping(read_bytes(mapping), str(mapping)), read_drawing(read_bytes(plan), str(plan))
    reading = read_plan(drawing, stated)
    _print_lines(reading.head())
    _print_rows("READ FROM THE DECK PLAN", reading.echo())
    if data is None:
        boat, written = "", of_plan(reading).text().encode("utf-8")
    else:
        edited = write_plan(data, source, reading)
        boat, written = read_boat(edited.data, source).boat.boat.name, edited.data
        _print_lines((*edited.notes, *_contradictions(edited.data, source)))
    sheets = plan_check(drawing, reading, boat, "in" if stated.units.length in ("in", "ft") else "mm")
    return written, pdf_bytes(sheets, title="Deck plan as read")


def _contradictions(data: bytes, source: str) -> Iterator[str]:
    """Yield a line for each of a boat file's tapes that its new coordinates contradict, the worst first."""
    from geom.boat.file import read_boat
    from geom.intake.survey.closure import boat_closure, closure_limit

    loaded = read_boat(data, source)
    rows = [row for row in boat_closure(loaded.boat, closure_limit(), loaded.tapes_as_written) if row.flagged]
    if rows:
        yield f"{len(rows)} of {len(loaded.boat.tapes)} tapes of the file contradict the new coordinates:"
    for row in sorted(rows, key=lambda one: -abs(one.residual)):
        cause = f"; likely {row.causes[0].name}" if row.causes else ""
        yield f"  {row.start} to {row.end}: taped {row.taped:.1f} mm, now {row.computed:.1f} mm{cause}"


def _write_as_built(boat_file: str, to: Path | None, replace: bool) -> None:
    from geom.files import write_file
    from geom.intake.as_built import blank_as_built
    from geom.refit import read_refit

    target = to or Path(f"{Path(boat_file).stem}-as-built.yaml")
    check_targets(target, replace=replace, endings=TEXT)
    refit = read_refit(boat_file)
    finished = {run: work.lengths.finished for run, work in refit.work.runs.items()}
    unit = refit.boat.units.length or "mm"
    text = blank_as_built(refit.boat, finished, refit.loaded.data_sha256, unit)
    write_file(target, text.encode(), replace)
    tell(f"{target} written")


@app.command()
@guarded
def form(
    posts: Annotated[int, typer.Option("--posts", help="Number of stanchions on each side.")],
    lines: Annotated[int, typer.Option("--lines", help="Number of guard lines, one above the other.")],
    units: Annotated[str, typer.Option("--units", help="mm or in.")],
    to: Annotated[Path, typer.Option("--to", help="File to write.")] = Path("measuring-form.pdf"),
    replace: Replace = False,
) -> None:
    """Write a blank measuring form, with boxes for every reading, and a blank survey file to type it into."""
    from geom.files import write_file
    from geom.intake.survey.blank import blank_survey
    from geom.render.pdf import pdf_bytes
    from geom.sheets.measuring_form.sheet import measuring_form

    if units not in ("mm", "in"):
        raise InputError("arguments", [Fault("not a unit of the form", "--units", read=units, valid="mm, in")])
    unit: Literal["mm", "in"] = "mm" if units == "mm" else "in"
    file = to.with_suffix(".yaml")
    check_targets(to, replace=replace, endings=PAPER)
    check_targets(file, replace=replace)
    sheets = measuring_form(posts, lines, unit)
    write_file(to, pdf_bytes(sheets, title="Measuring form"), replace)
    write_file(file, blank_survey(posts, lines, unit).encode("utf-8"), replace)
    tell(f"{len(sheets)} pages written to {to}, and {file} to type them into; next: toerail survey {file}")


@app.command()
@guarded
def survey(
    file: Annotated[Path, typer.Argument(metavar="SURVEY", help="Survey file (YAML).")],
    boat: Annotated[Path | None, typer.Option("--boat", help="Boat file to update with the coordinates.")] = None,
    write: Annotated[bool, typer.Option("--write", help="Write the changes; without it they are only shown.")] = False,
    to: Annotated[Path | None, typer.Option("--to", help="Write a new boat file with the coordinates.")] = None,
    table: Annotated[
        Path | None, typer.Option("--readings", help="CSV or XLSX of more readings: a row for each post or rail.")
    ] = None,
    everything: Annotated[bool, typer.Option("--all", help="Show all residuals, not only the worst.")] = False,
    replace: Replace = False,
) -> None:
    """Solve a tape survey: coordinates with uncertainty, residuals, blunders; optionally update a boat file."""
    from geom.intake.boat_edit import write_survey
    from geom.intake.result_tables import attitude_rows, change_rows, coordinate_rows, residual_rows, survey_notes
    from geom.intake.survey.file import load_survey
    from geom.intake.survey.solve import solve_survey

    if write and boat is None:
        raise InputError("arguments", [Fault("no boat file to write to", "--write", valid="--boat FILE --write")])
    if to is not None:
        check_targets(to, replace=replace, endings=TEXT)
    read = load_survey(file, table)
    result = solve_survey(read)
    if boat is not None:
        _refuse_other_boat(read, boat)
    _print_lines(doubt.words() for doubt in result.doubts)
    _print_rows("COORDINATES", coordinate_rows(result))
    _print_rows("ATTITUDE OF THE POSTS", attitude_rows(result))
    _print_rows("RESIDUALS, WORST FIRST", residual_rows(result, None if everything else 12))
    _print_lines(survey_notes(result, everything))
    if to is not None:
        from geom.files import write_file
        from geom.intake.bare_boat import of_survey

        write_file(to, of_survey(result).text().encode("utf-8"), replace)
        _write_schema(to)
        tell(f"{to} written, a new boat with a question for all that was not surveyed; next: toerail check {to}")
    if boat is None:
        _end(result.doubts)
        return
    edited = write_survey(read_bytes(boat), str(boat), result)
    _print_rows(f"CHANGES TO {boat.name}", change_rows(edited.changes))
    _print_lines((*edited.notes, *_contradictions(edited.data, str(boat))))
    if write:
        from geom.files import write_file

        write_file(boat, edited.data, replace=True)
        tell(f"{len(edited.changes)} numbers written to {boat}")
    else:
        tell("nothing written: --write updates the file")
    _end(result.doubts)


def _refuse_other_boat(read: Survey, boat: Path) -> None:
    """Refuse to write one boat's survey into the file of another, such as a starter."""
    from geom.boat.file import read_boat

    name = read_boat(read_bytes(boat), str(boat)).boat.boat.name
    if name != read.boat:
        fault = Fault(f"the survey is of {read.boat}, the boat file of {name}", valid="--to FILE writes a new boat")
        raise InputError(read.source, [fault])


def _end(doubts: Sequence[Doubt]) -> None:
    """End with the exit code of a failed verdict where parts are withheld."""
    if doubts:
        held = dict.fromkeys(part.name for doubt in doubts for part in doubt.parts)
        tell(f"withheld, as nothing settles or checks them: {', '.join(held)}")
        raise typer.Exit(1)


def read_bytes(path: Path) -> bytes:
    """Return the bytes of a file.

    Raises:
        InputError: it cannot be read.
    """
    try:
        return path.read_bytes()
    except OSError as error:
        raise InputError(str(path), [Fault(f"cannot be read: {error.strerror}")]) from None


def _print_rows(title: str, rows: Sequence[Sequence[Any]]) -> None:
    """Print rows as a table; the first row holds the headings."""
    from rich import box
    from rich.console import Console
    from rich.table import Table

    table = Table(title=title, title_justify="left", box=box.SIMPLE_HEAD)
    for index, heading in enumerate(rows[0]):
        table.add_column(heading, justify="left" if index == 0 else "right", no_wrap=True)
    for row in rows[1:]:
        table.add_row(*row)
    Console(width=150, highlight=False, markup=False, emoji=False).print(table)


def _print_lines(lines: Iterable[str]) -> None:
    for line in lines:
        print(line)
