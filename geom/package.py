"""Refit -> the files of a package: drawings, full-size aids, solids, tables, check report, page and manifest."""

from __future__ import annotations

import hashlib
import json
import re
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from geom.cache import cache_folder
from geom.drafting.title_block import TRADES as TRADES
from geom.drafting.title_block import is_for
from geom.errors import Attempts, Fault, InputError
from geom.export import check_report, json_bytes
from geom.figure import Sheet
from geom.files import MANIFEST, SUMS, sums
from geom.refit import Refit
from geom.sheets import drawing_set
from geom.tables import csv_bytes, every_table

if TYPE_CHECKING:
    from geom.render.dxf_frame import YardFrame
    from geom.solids.step import Schema

MANIFEST_FORMAT = 1
PAGE = "refit.html"
Progress = Callable[[str], None]


# Folders beside drawings and tables that a trade gets.
FOLDERS: dict[str | None, tuple[str, ...]] = {
    None: ("cut", "solids", "papers"),
    "designer": ("cut", "solids", "papers"),
    "fabricator": ("cut", "solids"),
    "rigger": ("cut", "papers"),
}


def slug(name: str) -> str:
    """Return the name of a boat as a file name: lower-case letters, digits and dashes.

    Raises:
        InputError: no character of the name can be used in a file name.
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode("ascii").lower()
    text = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")
    if not text:
        fault = Fault("no file name can be made of it", read=name, valid="Latin letters or digits")
        raise InputError("boat.name", [fault])
    return text


def drawing_sheets(
    refit: Refit, attempts: Attempts | None = None, trade: str | None = None, against: Refit | None = None
) -> tuple[Sheet, ...]:
    """Return the sheets of a boat in order.

    Args:
        refit: the calculated boat.
        attempts: whether a sheet that cannot be made is left out, and which were.
        trade: a key of TRADES whose sheets alone are drawn, None for all.
        against: the revision before, where the set says what changed since.

    Raises:
        CannotFinishError: a sheet cannot be made.
        InputError: the revision before has the same mark.
    """
    sheets = drawing_set(refit, attempts, against)
    return sheets if trade is None else tuple(one for one in sheets if is_for(trade, one.name.partition("-")[0]))


def drawing_files(
    refit: Refit,
    progress: Progress,
    formats: Sequence[str],
    yard: YardFrame | None = None,
    attempts: Attempts | None = None,
    trade: str | None = None,
    sheets: Sequence[Sheet] | None = None,
) -> dict[str, bytes]:
    """Return the drawing set in the given formats.

    Args:
        refit: the calculated boat.
        progress: called with each file.
        formats: names of `render.formats.FORMATS`.
        yard: frame drawing for the DXF files; the other formats keep the standard frame.
        attempts: whether a sheet that cannot be made is left out, and which were.
        trade: a key of TRADES whose sheets alone are written, None for all.
        sheets: these where they are drawn already.

    Raises:
        CannotFinishError: a sheet cannot be made.
        InputError: the frame drawing does not fit a sheet.
    """
    from geom.render.formats import Setting, written

    drawn = drawing_sheets(refit, attempts, trade) if sheets is None else sheets
    name = refit.boat.boat.name
    setting = Setting(f"{name}: guard lines", refit.boat.drawing.layer_names(), yard, refit.boat.revision.date)
    files: dict[str, bytes] = {}
    for file, data in written(drawn, formats, slug(name), setting):
        progress(f"drawing {file}")
        files[file] = data
    return files


def solid_files(
    refit: Refit, progress: Progress, cached: bool = True, schema: Schema = "AP242", aft_mark: bool = False
) -> dict[str, bytes]:
    """Return a STEP file of each distinct post, weldment and fitting, and the whole boat as STEP and GLB.

    Args:
        refit: the calculated boat.
        progress: called with each part.
        cached: whether parts are kept in the user's cache folder.
        schema: STEP application protocol.
        aft_mark: whether the AFT mark is cut into the tubes as a groove.
    """
    from geom.solids import files

    def stated(done: int, of: int, what: str) -> None:
        progress(f"solid {done} of {of}: {what}")

    return files.solid_files(refit, cache_folder("solids") if cached else None, schema, stated, aft_mark)


def picture_files(refit: Refit, progress: Progress, cached: bool = True) -> dict[str, bytes]:
    """Return pictures of the whole boat and of each fitting, as one PDF.

    Args:
        refit: the calculated boat.
        progress: called with the step.
        cached: whether parts are kept in the user's cache folder.
    """
    from geom.render.pdf import pdf_bytes
    from geom.sheets.fittings.pictorial import pictorial_sheets
    from geom.solids.cache import PartCache

    progress("pictures")
    sheets = pictorial_sheets(refit, PartCache(cache_folder("solids") if cached else None).shape)
    title = f"{refit.boat.boat.name}: pictures"
    return {"pictorial.pdf": pdf_bytes(sheets, title=title, dated=refit.boat.revision.date)}


def solid_proof(refit: Refit, progress: Progress, cached: bool = True) -> tuple[bytes, tuple[str, ...], bool]:
    """Return the 3D checks as JSON, as lines of text, and whether all of them hold.

    Args:
        refit: the calculated boat.
        progress: called with the step.
        cached: whether parts are kept in the user's cache folder.
    """
    from geom.solids import proving

    progress("3D checks")
    checks = proving.prove(refit, cache_folder("solids") if cached else None)
    lines = tuple(proving.proof_lines(refit, checks))
    return proving.proof_json(refit, checks), lines, all(check.holds for check in checks)


def full_size_files(refit: Refit, progress: Progress) -> dict[str, bytes]:
    """Return the full-size aids: PDF pages on A4 and Letter, to be printed unscaled, and cut files as DXF."""
    from geom.render.pdf import pdf_bytes
    from geom.sheets.aids import cut_files, full_size_sets

    progress("full-size aids")
    name = refit.boat.boat.name
    pages = {
        f"{word}.pdf": pdf_bytes(sheets, title=f"{name}: {word.replace('-', ' ')}", dated=refit.boat.revision.date)
        for word, sheets in full_size_sets(refit).items()
    }
    return pages | {f"{word}.dxf" if "." not in word else word: data for word, data in cut_files(refit).items()}


def paper_files(refit: Refit, progress: Progress) -> dict[str, bytes]:
    """Return the papers that need no rates and no record: orders, labels, handover."""
    from geom.paperwork.papers import papers

    progress("papers")
    return papers(refit)


def schedule_files(refit: Refit) -> dict[str, bytes]:
    """Return all tables that have rows as CSV."""
    return {f"{table.name}.csv": csv_bytes(table) for table in every_table(refit)}


def page_file(
    refit: Refit,
    sheets: Sequence[Sheet],
    written: Mapping[str, bytes] | None = None,
    report: Mapping[str, Any] | None = None,
) -> bytes:
    """Return the page of a refit.

    Args:
        refit: the calculated boat.
        sheets: the sheets on it.
        written: files of the sheets by name, where they are written already.
        report: the contents of check.json, where they are made already.
    """
    from geom.page import drawings_of, page_bytes

    svg = {name.removesuffix(".svg"): data for name, data in (written or {}).items() if name.endswith(".svg")}
    return page_bytes(refit, drawings_of(sheets, svg), report)


def package_files(
    refit: Refit,
    solids: bool,
    version: str,
    progress: Progress,
    cached: bool = True,
    yard: YardFrame | None = None,
    attempts: Attempts | None = None,
    trade: str | None = None,
    against: Refit | None = None,
) -> dict[str, bytes]:
    """Return all files of a package by their names relative to its folder, manifest and hashes last.

    Args:
        refit: the calculated boat.
        solids: whether solids are made; the manifest records it.
        version: of this program, for the manifest.
        progress: called with each step.
        cached: whether parts are kept in the user's cache folder.
        yard: frame drawing for the DXF files, in place of the standard frame.
        attempts: whether what cannot be made is left out, and what was.
        trade: a key of TRADES whose files alone are written, None for all.
        against: the revision before, where the drawings say what changed since.

    Raises:
        CannotFinishError: a part of the package cannot be made; the message names it and the cause.
        InputError: the frame drawing does not fit a sheet.
    """
    from geom.render.formats import usual

    trying = attempts or Attempts()

    def made(what: str, maker: Callable[[], dict[str, bytes]]) -> dict[str, bytes]:
        return trying.make(what, maker, {})

    sheets = drawing_sheets(refit, trying, trade, against)
    drawings = drawing_files(refit, progress, usual(), yard, trying, trade, sheets)
    files = {f"drawings/{name}": data for name, data in drawings.items()}
    folders = FOLDERS[trade]
    if "cut" in folders:
        aids = made("full-size aids", lambda: full_size_files(refit, progress))
        files |= {f"cut/{name}": data for name, data in aids.items()}
    if solids and "solids" in folders:
        models = made("solids", lambda: solid_files(refit, progress, cached))
        models |= made("pictures", lambda: picture_files(refit, progress, cached))
        files |= {f"solids/{name}": data for name, data in models.items()}
    files |= {f"schedules/{name}": data for name, data in made("schedules", lambda: schedule_files(refit)).items()}
    if "papers" in folders:
        files |= {f"papers/{name}": data for name, data in made("papers", lambda: paper_files(refit, progress)).items()}
    report = check_report(refit)
    files["check.json"] = json_bytes(report)
    files |= made("page", lambda: {PAGE: page_file(refit, sheets, drawings, report)})
    return with_manifest(refit, files, version, solids, yard, trying.missing)


def _solids_word(solids: bool, missing: Mapping[str, str]) -> str:
    if "solids" in missing:
        return "could not be made"
    return "written" if solids else "left out on request"


def with_manifest(
    refit: Refit,
    files: dict[str, bytes],
    version: str,
    solids: bool,
    yard: YardFrame | None = None,
    missing: Mapping[str, str] | None = None,
) -> dict[str, bytes]:
    """Return files in the order of their names, then a manifest of sizes and hashes, and SHA256SUMS.

    Args:
        refit: the calculated boat.
        files: contents by name relative to the folder.
        version: of this program.
        solids: whether solids are among the files.
        yard: frame drawing of the DXF files, None for the standard frame.
        missing: what could not be made, with its cause.
    """
    ordered = dict(sorted(files.items()))
    boat = refit.loaded.identity
    manifest = {
        "format": MANIFEST_FORMAT,
        "tool": "toerail",
        "tool_version": version,
        "boat": boat.name,
        "revision": boat.revision,
        "boat_file": boat.file,
        "boat_file_sha256": boat.file_sha256,
        "data_sha256": boat.data_sha256,
        "solids": _solids_word(solids, missing or {}),
        "files": [
            {"file": name, "size": len(data), "sha256": hashlib.sha256(data).hexdigest()}
            for name, data in ordered.items()
        ],
    }
    if missing:
        manifest["missing"] = [{"what": what, "cause": cause} for what, cause in missing.items()]
    if yard is not None:
        manifest |= {"frame_file": yard.source, "frame_sha256": hashlib.sha256(yard.data).hexdigest()}
    listed = ordered | {MANIFEST: (json.dumps(manifest, indent=1, ensure_ascii=False) + "\n").encode("utf-8")}
    return listed | {SUMS: sums({name: hashlib.sha256(data).hexdigest() for name, data in listed.items()})}
