"""Commands for starting a boat file: new, form, survey."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from geom.cli.app import app, guarded, tell
from geom.errors import Fault, InputError

if TYPE_CHECKING:
    from geom.intake.survey.reliability import Doubt

Replace = Annotated[bool, typer.Option("--replace", help="Replace an existing file.")]
# Starter files other than boat files, by name.
OTHER_STARTERS = {"survey": "survey/saltwhin-31.yaml", "deck-plan": "survey/deck-plan-mapping.yaml"}


@app.command()
@guarded
def new(
    starter: Annotated[
        str, typer.Argument(help="Starter boat to copy, `survey`, `deck-plan`, or a boat file to start from.")
    ] = "first-try",
    to: Annotated[Path | None, typer.Option("--to", help="File to write; else <starter>.yaml here.")] = None,
    tables: Annotated[
        list[Path] | None, typer.Option("--from", help="CSV or XLSX tables of posts, eyes, deck edge, tapes.")
    ] = None,
    plan: Annotated[Path | None, typer.Option("--plan", help="Deck plan (DXF) to read positions from.")] = None,
    mapping: Annotated[Path | None, typer.Option("--mapping", help="Mapping of the deck plan (YAML).")] = None,
    as_built: Annotated[bool, typer.Option("--as-built", help="Write a blank as-built record.")] = False,
    replace: Replace = False,
) -> None:
    """Write a boat file to edit, from a starter, tables or a deck plan, with its schema for editors."""
    from geom import resources
    from geom.files import write_file

    if (plan is None) != (mapping is None):
        raise InputError("arguments", [Fault("a deck plan and its mapping are needed together", "--plan, --mapping")])
    if as_built:
        _write_as_built(starter, to, replace)
        return
    if starter in OTHER_STARTERS:
        target = to or Path(f"{starter}.yaml")
        write_file(target, resources.template_bytes(OTHER_STARTERS[starter]), replace)
        tell(f"{target} written")
        return
    data, source = _start(starter)
    if tables:
        from geom.intake.tables.files import into_boat_file
        from geom.intake.tables.read import read_tables

        read = read_tables({str(path): _bytes(path) for path in tables}, {})
        _print_lines(read.echo())
        data = into_boat_file(data, source, read)
    if plan is not None and mapping is not None:
        data = _with_plan(data, source, plan, mapping)
    target = to or Path(f"{Path(starter).stem}.yaml")
    write_file(target, data, replace)
    schema = target.with_name("boat.schema.json")
    write_file(schema, resources.template_bytes("boat.schema.json"), replace=True)
    tell(f"{target} written, with {schema.name} for editors; next: toerail check {target}")


def _start(starter: str) -> tuple[bytes, str]:
    """Return the contents to start from: an existing boat file, else the starter of that name."""
    from geom import resources

    if starter.endswith((".yaml", ".yml")):
        return _bytes(Path(starter)), starter
    text = resources.starter_text(starter)
    return text.replace("$schema=../boat.schema.json", "$schema=boat.schema.json").encode(), f"{starter} (starter)"


def _with_plan(data: bytes, source: str, plan: Path, mapping: Path) -> bytes:
    from geom.intake.deck_plan.drawing import read_drawing
    from geom.intake.deck_plan.mapping import read_mapping
    from geom.intake.deck_plan.reading import read_plan
    from geom.intake.deck_plan.write import write_plan

    reading = read_plan(read_drawing(_bytes(plan), str(plan)), read_mapping(_bytes(mapping), str(mapping)))
    _print_lines(reading.head())
    _print_rows("READ FROM THE DECK PLAN", reading.echo())
    edited = write_plan(data, source, reading)
    _print_lines(edited.notes)
    return edited.data


def _write_as_built(boat_file: str, to: Path | None, replace: bool) -> None:
    from geom.files import write_file
    from geom.intake.as_built import blank_as_built
    from geom.refit import read_refit

    refit = read_refit(boat_file)
    finished = {run: work.lengths.finished for run, work in refit.work.runs.items()}
    unit = refit.boat.units.length or "mm"
    target = to or Path(f"{Path(boat_file).stem}-as-built.yaml")
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
    """Write a blank measuring form: points, tape measurements, and boxes to fill in."""
    from geom.files import write_file
    from geom.render.pdf import pdf_bytes
    from geom.sheets.measuring_form.sheet import measuring_form

    if units not in ("mm", "in"):
        raise InputError("arguments", [Fault("not a unit of the form", "--units", read=units, valid="mm, in")])
    sheets = measuring_form(posts, lines, "mm" if units == "mm" else "in")
    write_file(to, pdf_bytes(sheets, title="Measuring form"), replace)
    tell(f"{len(sheets)} pages written to {to}")


@app.command()
@guarded
def survey(
    file: Annotated[Path, typer.Argument(metavar="SURVEY", help="Survey file (YAML).")],
    boat: Annotated[Path | None, typer.Option("--boat", help="Boat file to update with the coordinates.")] = None,
    write: Annotated[bool, typer.Option("--write", help="Write the changes; without it they are only shown.")] = False,
    everything: Annotated[bool, typer.Option("--all", help="Show all residuals, not only the worst.")] = False,
) -> None:
    """Solve a tape survey: coordinates with uncertainty, residuals, blunders; optionally update a boat file."""
    from geom.intake.boat_edit import write_survey
    from geom.intake.result_tables import attitude_rows, change_rows, coordinate_rows, residual_rows, survey_notes
    from geom.intake.survey.file import load_survey
    from geom.intake.survey.solve import solve_survey

    if write and boat is None:
        raise InputError("arguments", [Fault("no boat file to write to", "--write", valid="--boat FILE --write")])
    result = solve_survey(load_survey(file))
    _print_lines(doubt.words() for doubt in result.doubts)
    _print_rows("COORDINATES", coordinate_rows(result))
    _print_rows("ATTITUDE OF THE POSTS", attitude_rows(result))
    _print_rows("RESIDUALS, WORST FIRST", residual_rows(result, None if everything else 12))
    _print_lines(survey_notes(result, everything))
    if boat is None:
        _end(result.doubts)
        return
    edited = write_survey(_bytes(boat), str(boat), result)
    _print_rows(f"CHANGES TO {boat.name}", change_rows(edited.changes))
    _print_lines(edited.notes)
    if write:
        from geom.files import write_file

        write_file(boat, edited.data, replace=True)
        tell(f"{len(edited.changes)} numbers written to {boat}")
    else:
        tell("nothing written: --write updates the file")
    _end(result.doubts)


def _end(doubts: Sequence[Doubt]) -> None:
    """End with the exit code of a failed verdict where parts are held back."""
    if doubts:
        held = dict.fromkeys(part.name for doubt in doubts for part in doubt.parts)
        tell(f"held back, as nothing settles or checks them: {', '.join(held)}")
        raise typer.Exit(1)


def _bytes(path: Path) -> bytes:
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
