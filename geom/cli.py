"""Commands; the only file that prints and sets exit codes.

0 done; 1 a verdict fails; 2 unusable input or usage; 3 could not finish; 130 broken off.
"""

from __future__ import annotations

import functools
import gc
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any, TypeVar

import typer

from geom.errors import Fault, InputError, ToerailError

app = typer.Typer(
    name="toerail",
    help="Guard line runs of sailing boats: hole checks, shop drawings, solids and schedules.",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
_verbose = False
_quiet = False
Command = TypeVar("Command", bound=Callable[..., Any])

BoatFile = Annotated[str, typer.Argument(metavar="BOAT", help="Boat file (YAML), or - for standard input.")]
Replace = Annotated[bool, typer.Option("--replace", help="Replace a file that stands there.")]


def _version(wanted: bool) -> None:
    if wanted:
        print(f"toerail {version()}")
        raise typer.Exit


def version() -> str:
    """Return the installed version."""
    from importlib.metadata import version as installed

    return installed("toerail")


def _tell(text: str) -> None:
    """Say a line on the standard error stream, unless told to be quiet."""
    if not _quiet:
        print(text, file=sys.stderr)


def guarded(command: Command) -> Command:
    """Turn errors raised on purpose, and faults of our own, into one line and an exit code."""

    @functools.wraps(command)
    def run(*args: Any, **kwargs: Any) -> Any:
        try:
            return command(*args, **kwargs)
        except ToerailError as error:
            for line in str(error).splitlines():
                print(f"toerail: {line}", file=sys.stderr)
            code = error.exit_code
        except KeyboardInterrupt:
            print("toerail: broken off; what stood before still stands", file=sys.stderr)
            code = 130
        except BrokenPipeError:
            sys.stderr.close()
            code = 0
        except (typer.Exit, typer.Abort):
            raise
        except Exception as error:
            if _verbose:
                raise
            fault = f"{type(error).__name__}: {error}"
            print(f"toerail: a fault of our own: {fault} (--verbose tells more)", file=sys.stderr)
            code = 3
        raise typer.Exit(code)

    return run  # type: ignore[return-value]


@app.callback()
def options(
    show_version: Annotated[  # noqa: ARG001 - its callback has done its work
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version and stop.")
    ] = False,
    quiet: Annotated[bool, typer.Option("--quiet", "-q", help="Say nothing but results and errors.")] = False,
    verbose: Annotated[bool, typer.Option("--verbose", help="Show the trace of a fault of our own.")] = False,
) -> None:
    """Guard line runs of sailing boats: hole checks, shop drawings, solids and schedules."""
    global _quiet, _verbose
    _quiet, _verbose = quiet, verbose


@app.command()
@guarded
def new(
    starter: Annotated[str, typer.Argument(help="Which starter boat to copy.")] = "first-try",
    to: Annotated[Path | None, typer.Option("--to", help="File to write; else <starter>.yaml here.")] = None,
    replace: Replace = False,
) -> None:
    """Write a starter boat file to edit, and the schema that editors check it by."""
    from geom import resources
    from geom.files import write_file

    text = resources.starter_text(starter)
    target = to or Path(f"{starter}.yaml")
    schema = target.with_name("boat.schema.json")
    write_file(target, text.replace("$schema=../boat.schema.json", "$schema=boat.schema.json").encode(), replace)
    write_file(schema, resources.template_bytes("boat.schema.json"), replace=True)
    _tell(f"{target} written, with {schema.name} for editors; next: toerail check {target}")


@app.command()
@guarded
def check(
    boat: BoatFile,
    as_json: Annotated[bool, typer.Option("--json", help="Write the whole report as JSON.")] = False,
    everything: Annotated[bool, typer.Option("--all", help="List findings that pass, too.")] = False,
    strict: Annotated[bool, typer.Option("--strict", help="Count `trial` and `cannot tell` as failing.")] = False,
) -> None:
    """Work out the runs and say what holds and what does not."""
    from geom.refit import read_refit

    refit = read_refit(boat)
    if as_json:
        from geom.report import check_report, json_bytes

        sys.stdout.write(json_bytes(check_report(refit)).decode("utf-8"))
    else:
        from rich.console import Console

        from geom.screen import screen

        console = Console(width=None if sys.stdout.isatty() else 150, highlight=False)
        for part in screen(refit, everything):
            console.print(part, markup=False) if isinstance(part, str) else console.print(part)
    failing = {"fail", "cannot tell"} if strict else {"fail"}
    trials = strict and any("trial" in finding.note for finding in refit.findings if finding.clause == "eye")
    if trials or any(finding.verdict in failing for finding in refit.findings):
        raise typer.Exit(1)


@app.command()
@guarded
def draw(
    boat: BoatFile,
    to: Annotated[Path | None, typer.Option("--to", help="Folder to write; else <boat>-drawings here.")] = None,
) -> None:
    """Write the drawing set: SVG and DXF for each sheet, one PDF."""
    from geom import package
    from geom.refit import read_refit

    refit = read_refit(boat)
    files = package.drawing_files(refit, _tell)
    _write_folder(refit, to or Path(f"{package.slug(refit.boat.boat.name)}-drawings"), files)


@app.command()
@guarded
def solids(
    boat: BoatFile,
    to: Annotated[Path | None, typer.Option("--to", help="Folder to write; else <boat>-solids here.")] = None,
) -> None:
    """Write the solids: one STEP file for each different post."""
    from geom import package
    from geom.refit import read_refit

    refit = read_refit(boat)
    files = package.solid_files(refit, _tell)
    _write_folder(refit, to or Path(f"{package.slug(refit.boat.boat.name)}-solids"), files)


def _write_folder(refit: Any, target: Path, files: dict[str, bytes]) -> None:
    from geom.files import write_package
    from geom.package import with_manifest

    whole = with_manifest(refit, files, version(), solids=any(name.endswith(".step") for name in files))
    write_package(target, whole)
    _tell(f"{len(files)} files written to {target}")


@app.command("package")
@guarded
def package_(
    boat: BoatFile,
    to: Annotated[Path | None, typer.Option("--to", help="Folder to write; else out/<boat> here.")] = None,
    no_solids: Annotated[bool, typer.Option("--no-solids", help="Leave the solids out.")] = False,
) -> None:
    """Write everything: drawings, solids, schedules, the check, and a manifest."""
    from geom import package
    from geom.files import write_package
    from geom.refit import read_refit

    refit = read_refit(boat)
    target = to or Path("out") / package.slug(refit.boat.boat.name)
    files = package.package_files(refit, not no_solids, version(), _tell)
    write_package(target, files)
    size = sum(len(data) for data in files.values()) / 1e6
    _tell(f"{len(files)} files, {size:.2f} MB, written to {target}")


@app.command()
@guarded
def eye(
    line: Annotated[str, typer.Option("--line", help='Diameter of the rope or wire, such as "1/4 in".')],
    hole: Annotated[str, typer.Option("--hole", help='Smallest bore on the way, such as "1/2 in".')],
    width: Annotated[
        str | None, typer.Option("--width", help="Own width of a hard end: thimble, stud, terminal, sleeve.")
    ] = None,
    strict: Annotated[bool, typer.Option("--strict", help="Count `trial` as failing.")] = False,
) -> None:
    """Answer one question: does the made-up end go through the hole?"""
    from geom.runs.eye import bare_eye, by_width, limits

    diameter, bore = _length("--line", line), _length("--hole", hole)
    rule = limits(None)
    if width is None:
        answer = bare_eye(bore, diameter, rule)
    else:
        answer = by_width(bore, diameter, _length("--width", width), rule)
    print(f"{answer.verdict}: {_EYE_ADVICE[answer.verdict]}")
    print(f"hole {bore:.2f} mm, wanted {answer.needs:.2f} mm ({answer.factor}; {answer.source})")
    if answer.verdict in ("in place", "line does not pass") or (strict and answer.verdict == "trial"):
        raise typer.Exit(1)


_EYE_ADVICE = {
    "passes": "make the end on the bench and draw it through",
    "squeeze": "make the end on the bench; it is squeezed hard and drawn by a messenger",
    "trial": "the eye is made in place, unless a test piece has gone through",
    "in place": "thread the line first and make the end in place",
    "line does not pass": "the line itself is thicker than the hole",
}


def _length(option: str, text: str) -> float:
    from geom.units import QuantityError, read_quantity

    try:
        value = read_quantity(text, "length", None)[0]
    except QuantityError as error:
        raise InputError("arguments", [Fault(str(error), option, read=text, valid=error.valid)]) from None
    if value <= 0.0:
        raise InputError("arguments", [Fault("must be more than nothing", option, read=text, valid="such as 12.7 mm")])
    return value


@app.command()
@guarded
def schema(
    of: Annotated[str, typer.Argument(help="boat (the file's grammar) or check (the JSON report).")] = "boat",
) -> None:
    """Print the JSON Schema of boat files or of the check report."""
    import json

    if of == "boat":
        from geom.boat.schema import schema_text

        sys.stdout.write(schema_text())
    elif of == "check":
        from geom.report import json_schema

        sys.stdout.write(json.dumps(json_schema(), indent=2, ensure_ascii=False) + "\n")
    else:
        raise InputError("arguments", [Fault("no such schema", "OF", read=of, valid="boat, check")])


def main() -> None:
    """Run the command line."""
    # A short-lived process: looking for garbage while modules load costs a twentieth of a check.
    gc.disable()
    app()
