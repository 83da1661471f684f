"""Commands on a boat file and its package: check, draw, solids, package, verify, schema."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from geom.cli.app import app, guarded, progress, tell, version
from geom.errors import Attempts, CannotFinishError, Fault, InputError

if TYPE_CHECKING:
    from geom.refit import Refit
    from geom.rules.finding import Finding

BoatFile = Annotated[str, typer.Argument(metavar="BOAT", help="Boat file (YAML), or - for standard input.")]
NoCache = Annotated[bool, typer.Option("--no-cache", help="Make every part again, and cache none.")]
Formats = Annotated[
    list[str] | None, typer.Option("--format", help="Write this format only (may be repeated); else the usual ones.")
]
Replace = Annotated[
    bool, typer.Option("--replace", help="Replace a package with changed files; these are kept beside it.")
]
Trade = Annotated[
    str | None,
    typer.Option("--for", metavar="TRADE", help="Write what one trade needs only: designer, fabricator or rigger."),
]
KeepGoing = Annotated[
    bool,
    typer.Option(
        "--keep-going", help="Leave out what cannot be made and write the rest; the manifest lists it, exit 3."
    ),
]
Against = Annotated[
    str | None,
    typer.Option(
        "--against",
        metavar="OLD",
        help="Boat file of the revision before: a change sheet, and a triangle beside each figure that changed.",
    ),
]
FrameFile = Annotated[
    Path | None,
    typer.Option("--frame", help="Frame drawing of the yard (DXF) for the DXF sheets, in place of the standard frame."),
]


@app.command()
@guarded
def check(
    boat: BoatFile,
    as_json: Annotated[bool, typer.Option("--json", help="Write the whole report as JSON.")] = False,
    items: Annotated[bool, typer.Option("--items", help="Open items in full: why, choices, entries.")] = False,
    remedies: Annotated[bool, typer.Option("--remedies", help="The smallest changes that close each item.")] = False,
    runs: Annotated[bool, typer.Option("--runs", help="Lines: lengths, spans.")] = False,
    holes: Annotated[bool, typer.Option("--holes", help="Holes: turn, direction, free angle, finished end.")] = False,
    posts: Annotated[bool, typer.Option("--posts", help="Stanchions: heights, angles to the deck, offsets.")] = False,
    gates: Annotated[bool, typer.Option("--gates", help="Gates: widths.")] = False,
    nets: Annotated[bool, typer.Option("--nets", help="Netting: bays, areas, edges, lacing.")] = False,
    loads: Annotated[bool, typer.Option("--loads", help="Tensions, push tests and post loads.")] = False,
    cards: Annotated[bool, typer.Option("--cards", help="Each run: lengths, marks, steps.")] = False,
    findings: Annotated[bool, typer.Option("--findings", help="Findings of the rules, the worst first.")] = False,
    cautions: Annotated[bool, typer.Option("--cautions", help="All cautions.")] = False,
    everything: Annotated[bool, typer.Option("--all", help="All of these, and findings that pass.")] = False,
    strict: Annotated[bool, typer.Option("--strict", help="Count `trial` and `cannot tell` as failing.")] = False,
) -> None:
    """List what is open on a boat: check its runs, holes and posts against the rules.

    Without an option the open items are listed in rank; the options show tables.
    """
    from geom.refit import read_refit

    refit = read_refit(boat)
    if as_json:
        from geom.export import check_report, json_bytes

        sys.stdout.write(json_bytes(check_report(refit, with_remedies=remedies)).decode("utf-8"))
    else:
        from geom.cli.layout import width
        from geom.cli.terminal import Screen

        wanted = {
            "items": items, "remedies": remedies, "runs": runs, "holes": holes, "posts": posts, "gates": gates,
            "nets": nets, "loads": loads, "cards": cards, "findings": findings, "cautions": cautions, "all": everything,
        }  # fmt: skip
        screen = Screen(refit, width(), frozenset(name for name, shown in wanted.items() if shown))
        sys.stdout.writelines(f"{line}\n" for line in screen.lines())
    if fails(refit.findings, strict):
        raise typer.Exit(1)


def read_before(source: str, after: Refit) -> Refit:
    """Read the boat file of the revision before, and calculate its refit.

    Args:
        source: path of the boat file.
        after: the refit that it is compared with.

    Raises:
        InputError: the file is unusable, or of another boat.
    """
    from geom.refit import read_refit

    before = read_refit(source)
    old, new = before.boat.boat.name, after.boat.boat.name
    if old != new:
        fault = Fault(f"this file is of {old}, the one that it is compared with of {new}", "boat.name", read=old,
                      valid=f"an earlier or later file of {new}")  # fmt: skip
        raise InputError(source, [fault])
    return before


def fails(findings: Iterable[Finding], strict: bool) -> bool:
    """Return whether any finding fails.

    Args:
        findings: of a boat.
        strict: whether `trial` and `cannot tell` count as failing.
    """
    failing = {"fail", "cannot tell"} if strict else {"fail"}
    for finding in findings:
        trial = strict and any(note.code == "eye.trial" for note in finding.notes)
        if trial or finding.verdict in failing:
            return True
    return False


@app.command()
@guarded
def draw(
    boat: BoatFile,
    to: Annotated[Path | None, typer.Option("--to", help="Folder to write; else <boat>-drawings here.")] = None,
    formats: Formats = None,
    frame: FrameFile = None,
    against: Against = None,
    replace: Replace = False,
    keep_going: KeepGoing = False,
) -> None:
    """Write the drawing set: SVG and DXF for each sheet, one PDF, and one for each group of sheets.

    A folder with a whole package or solids is refused: drawings need a folder of their own.
    """
    from geom import package
    from geom.files import check_place
    from geom.refit import read_refit

    wanted = _formats(formats)
    refit = read_refit(boat)
    target = to or Path(f"{package.slug(refit.boat.boat.name)}-drawings")
    check_place(target, "drawings", replace)
    yard = _yard_frame(frame)
    attempts = Attempts(keep_going)
    before = None if against is None else read_before(against, refit)
    sheets = package.drawing_sheets(refit, attempts, against=before)
    files = package.drawing_files(refit, progress, wanted, yard, attempts, sheets=sheets)
    listed = package.with_manifest(refit, files, version(), False, yard, attempts.missing)
    write_folder(target, listed, replace)
    _tell_missing(attempts)


@app.command()
@guarded
def solids(
    boat: BoatFile,
    to: Annotated[Path | None, typer.Option("--to", help="Folder to write; else <boat>-solids here.")] = None,
    no_cache: NoCache = False,
    ap214: Annotated[bool, typer.Option("--ap214", help="Write STEP AP214 instead of AP242.")] = False,
    aft_mark: Annotated[
        bool, typer.Option("--aft-mark", help="Cut the AFT mark into each tube as a thin groove.")
    ] = False,
    pictures: Annotated[bool, typer.Option("--pictures", help="Also draw boat and fittings (PDF).")] = False,
    prove: Annotated[bool, typer.Option("--prove", help="Check clearances of the solids; writes proof.json.")] = False,
    replace: Replace = False,
) -> None:
    """Write the solids: each different post, weldment and fitting as STEP, the whole boat as STEP and GLB.

    A folder with a whole package or drawings is refused: solids need a folder of their own.
    """
    from geom import package
    from geom.files import check_place
    from geom.refit import read_refit

    refit = read_refit(boat)
    target = to or Path(f"{package.slug(refit.boat.boat.name)}-solids")
    check_place(target, "solids", replace)
    files = package.solid_files(refit, progress, not no_cache, "AP214" if ap214 else "AP242", aft_mark)
    if pictures:
        files |= package.picture_files(refit, progress, not no_cache)
    holds = True
    if prove:
        proof, lines, holds = package.solid_proof(refit, progress, not no_cache)
        files["proof.json"] = proof
        sys.stdout.write("".join(f"{line}\n" for line in lines))
    write_folder(target, package.with_manifest(refit, files, version(), True), replace)
    if not holds:
        raise typer.Exit(1)


def _formats(wanted: list[str] | None) -> tuple[str, ...]:
    """Return the formats to write: those given, else the usual ones.

    Raises:
        InputError: no such format.
    """
    from geom.render.formats import FORMATS, usual

    for name in wanted or ():
        if name not in FORMATS:
            valid = "; ".join(f"{one.name} ({one.description})" for one in FORMATS.values())
            raise InputError("arguments", [Fault("no such format", "--format", read=name, valid=valid)])
    return tuple(wanted or usual())


def _trade(name: str | None) -> str | None:
    """Return a trade that a package is written for, None for everybody.

    Raises:
        InputError: no such trade.
    """
    from geom.package import TRADES

    if name is not None and name not in TRADES:
        raise InputError("arguments", [Fault("no such trade", "--for", read=name, valid=", ".join(TRADES))])
    return name


def _yard_frame(path: Path | None) -> Any:
    """Return the frame drawing of a yard; None without one."""
    if path is None:
        return None
    from geom.render.dxf import check_frame
    from geom.render.dxf_frame import MAX_BYTES, YardFrame

    try:
        with path.open("rb") as file:
            yard = YardFrame(path.name, file.read(MAX_BYTES + 1))
    except OSError as error:
        raise InputError(str(path), [Fault(f"cannot be read: {error.strerror}", "--frame")]) from None
    check_frame(yard)
    return yard


def write_folder(target: Path, files: dict[str, bytes], replace: bool) -> None:
    """Write a folder whole or not at all, and say what was written.

    Args:
        target: the folder.
        files: bytes by name relative to the folder.
        replace: whether files changed or added since are kept beside the folder.
    """
    from geom.files import write_package

    kept = write_package(target, files, replace)
    size = sum(len(data) for data in files.values()) / 1e6
    tell(f"{len(files)} files, {size:.2f} MB, written to {target}")
    for folder in kept:
        tell(f"files changed or added in the old package are kept in {folder}")


def _tell_missing(attempts: Attempts) -> None:
    """Name what was left out and end with the code for unfinished work, if anything was."""
    for what, cause in attempts.missing.items():
        print(f"toerail: left out: {what}: {cause}", file=sys.stderr)
    if attempts.missing:
        raise typer.Exit(CannotFinishError.exit_code)


@app.command("package")
@guarded
def package_(
    boat: BoatFile,
    to: Annotated[Path | None, typer.Option("--to", help="Folder to write; else out/<boat> here.")] = None,
    no_solids: Annotated[bool, typer.Option("--no-solids", help="Write no solids.")] = False,
    trade: Trade = None,
    no_cache: NoCache = False,
    frame: FrameFile = None,
    against: Against = None,
    replace: Replace = False,
    keep_going: KeepGoing = False,
) -> None:
    """Write everything: drawings, solids, schedules, papers, the check, a manifest, and SHA256SUMS.

    An old package is replaced whole or not at all. The command stops if files in it were changed or added; with
    --replace these are kept beside it.
    """
    from geom import package
    from geom.files import check_place
    from geom.refit import read_refit

    refit = read_refit(boat)
    target = to or Path("out") / package.slug(refit.boat.boat.name)
    check_place(target, "a whole package", replace)
    yard = _yard_frame(frame)
    attempts = Attempts(keep_going)
    whom = _trade(trade)
    before = None if against is None else read_before(against, refit)
    files = package.package_files(refit, not no_solids, version(), progress, not no_cache, yard, attempts, whom, before)
    write_folder(target, files, replace)
    _tell_missing(attempts)


@app.command()
@guarded
def verify(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Folder written by draw, solids or package.")],
) -> None:
    """Compare a package with its manifest: list every missing, changed and foreign file."""
    from geom.files import compare_with_manifest

    try:
        found = compare_with_manifest(folder)
    except OSError as error:
        raise CannotFinishError(f"cannot read {folder}: {error.strerror}") from error
    if found is None:
        raise InputError(str(folder), [Fault("no package of this program", valid="a folder with its manifest.json")])
    for name in found.missing:
        print(f"missing: {name}")
    for line in found.not_ours():
        print(line)
    print(
        f"{len(found.whole)} files as listed, {len(found.missing)} missing, {len(found.changed)} changed, "
        f"{len(found.foreign)} foreign"
    )
    if found.missing or found.not_ours():
        raise typer.Exit(1)


@app.command()
@guarded
def schema(
    of: Annotated[str, typer.Argument(help="boat (boat files) or check (the JSON report).")] = "boat",
) -> None:
    """Print the JSON Schema of boat files or of the check report."""
    import json

    if of == "boat":
        from geom.boat.schema import schema_text

        sys.stdout.write(schema_text())
    elif of == "check":
        from geom.export import json_schema

        sys.stdout.write(json.dumps(json_schema(), indent=1, ensure_ascii=False) + "\n")
    else:
        raise InputError("arguments", [Fault("no such schema", "OF", read=of, valid="boat, check")])
