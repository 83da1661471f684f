"""A spreadsheet table as plain cells with their references, from CSV or XLSX; ambiguous content is refused."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from dataclasses import dataclass

from geom.errors import Fault, InputError

MAX_BYTES = 4_000_000
# A workbook unpacks to about ten times its size; far more is an attack or a mistake.
MAX_UNPACKED = 40_000_000
MAX_RATIO = 200
MAX_PARTS = 500
MAX_ROWS = 5_000
MAX_COLUMNS = 200
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
# What a number format shows behind the number: quoted text, or letters after an escape.
_FORMAT_TEXT = re.compile(r'"([^"]*)"|\\(.)')


@dataclass(frozen=True)
class Cell:
    """One cell's text and its row and column, from 1.

    `number` where a workbook holds it as a number, so that its text has a decimal point; `unit` is what the workbook
    shows behind the number.
    """

    text: str
    row: int
    column: int
    number: bool = False
    unit: str = ""

    @property
    def place(self) -> str:
        """The cell's reference as in a spreadsheet: `cell B4`."""
        return f"cell {column_letters(self.column)}{self.row}"


@dataclass(frozen=True)
class Grid:
    """A table's rows from top to bottom, without empty rows; empty cells are kept. Notes on how it was read."""

    source: str
    name: str
    rows: tuple[tuple[Cell, ...], ...]
    notes: tuple[str, ...] = ()
    commas: bool = False


def column_letters(column: int) -> str:
    """Return a column's letters: 1 is A, 27 is AA."""
    letters = ""
    while column > 0:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def _refuse(source: str, message: str, key: str = "", read: str = "", valid: str = "", line: int | None = None) -> None:
    raise InputError(source, [Fault(message, key=key, read=read, valid=valid, line=line)])


def read_csv(data: bytes, source: str, name: str) -> Grid:
    """Read a CSV table: comma, semicolon or tab between cells, with or without a byte order mark.

    Text that is not UTF-8 is read as Windows-1252, which a note says.

    Args:
        data: the file's bytes.
        source: the file's name, for messages.
        name: the name of the table.

    Raises:
        InputError: too large, not text, unreadable as CSV, a formula, an ambiguous comma.
    """
    if len(data) > MAX_BYTES:
        _refuse(source, "the file is too large", valid=f"at most {MAX_BYTES // 1_000_000} MB")
    text, notes = _decoded(data, source)
    delimiter = _delimiter(text)
    rows = []
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
        for number, row in enumerate(reader, start=1):
            if number > MAX_ROWS or len(row) > MAX_COLUMNS:
                _refuse(source, "the table is too large", valid=f"at most {MAX_ROWS} rows and {MAX_COLUMNS} columns")
            cells = tuple(Cell(value.strip(), number, column) for column, value in enumerate(row, start=1))
            if any(cell.text for cell in cells):
                rows.append(cells)
    except csv.Error as error:
        _refuse(source, f"not readable as CSV: {error}")
    grid = Grid(source, name, tuple(rows), notes, commas=delimiter == ",")
    _refuse_formulas(grid)
    return grid


def _decoded(data: bytes, source: str) -> tuple[str, tuple[str, ...]]:
    notes: tuple[str, ...] = ()
    try:
        text = data.decode("utf-16") if data[:2] in (b"\xff\xfe", b"\xfe\xff") else data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        try:
            text = data.decode("cp1252")
        except UnicodeDecodeError:
            _refuse(source, "the file is neither UTF-8 nor Windows-1252 text", line=line)
            raise AssertionError from None
        notes = (f"{source}: read as Windows-1252 text, as line {line} is not UTF-8",)
    control = _CONTROL.search(text)
    if control is not None:
        line = text[: control.start()].count("\n") + 1
        _refuse(source, "a control character, so the file is not text", read=repr(control.group()), line=line)
    return text, notes


def _delimiter(text: str) -> str:
    """Return the delimiter of cells: semicolon or tab where the first lines contain any outside quotes, else comma."""
    counts = {";": 0, "\t": 0, ",": 0}
    for line in text.splitlines()[:20]:
        unquoted = re.sub(r'"[^"]*"', "", line)
        for delimiter in counts:
            counts[delimiter] = max(counts[delimiter], unquoted.count(delimiter))
    if counts[";"] or counts["\t"]:
        return ";" if counts[";"] >= counts["\t"] else "\t"
    return ","


def _refuse_formulas(grid: Grid) -> None:
    faults = [
        Fault("a formula, and only values are read", key=cell.place, read=cell.text[:40], valid="the value itself")
        for row in grid.rows
        for cell in row
        if cell.text.startswith(("=", "@")) or re.match(r"[+-]\s*[A-Za-z$(]", cell.text)
    ]
    if faults:
        raise InputError(grid.source, faults)


def read_xlsx(data: bytes, source: str) -> tuple[Grid, ...]:
    """Read a workbook's sheets, values only.

    Raises:
        InputError: too large packed or unpacked, not a workbook, macros or external links, formulas, errors in
            cells, merged cells below the title, dates.
    """
    _check_package(data, source)
    from openpyxl import load_workbook

    try:
        book = load_workbook(io.BytesIO(data), data_only=False, keep_links=False)
    except Exception as error:
        # On damaged files the workbook reader raises many kinds of error.
        raise InputError(source, [Fault(f"not readable as a workbook ({type(error).__name__})")]) from None
    grids = []
    for sheet in book.worksheets:
        if sheet.max_row > MAX_ROWS or sheet.max_column > MAX_COLUMNS:
            _refuse(source, "the table is too large", sheet.title, valid=f"at most {MAX_ROWS} rows")
        grids.append(_sheet_grid(sheet, source))
    return tuple(grids)


def _check_package(data: bytes, source: str) -> None:
    """Refuse a file that is not a plain workbook, before it is unpacked."""
    if len(data) > MAX_BYTES:
        _refuse(source, "the file is too large", valid=f"at most {MAX_BYTES // 1_000_000} MB")
    try:
        package = zipfile.ZipFile(io.BytesIO(data))
    except (zipfile.BadZipFile, ValueError, NotImplementedError):
        _refuse(source, "not a workbook", valid="XLSX, not XLS or ODS")
    with package:
        parts = package.infolist()
        unpacked = sum(part.file_size for part in parts)
        packed = max(sum(part.compress_size for part in parts), 1)
        if len(parts) > MAX_PARTS or unpacked > MAX_UNPACKED or (unpacked > 1e6 and unpacked / packed > MAX_RATIO):
            _refuse(
                source,
                "the workbook unpacks to an implausible size",
                read=f"{unpacked / 1e6:.0f} MB from {packed / 1e6:.2f} MB",
                valid=f"at most {MAX_UNPACKED // 1_000_000} MB",
            )
        names = {part.filename for part in parts}
        if "xl/workbook.xml" not in names:
            _refuse(source, "not a workbook", valid="XLSX, not XLS or ODS")
        for part in parts:
            if "vbaProject" in part.filename or part.filename.startswith("xl/externalLinks/"):
                _refuse(source, "a workbook with macros or links to other files", read=part.filename)
            if part.flag_bits & 0x1:
                _refuse(source, "a workbook protected by a password")
            if part.filename.endswith((".xml", ".rels")):
                try:
                    head = package.read(part)
                except (zipfile.BadZipFile, OSError, NotImplementedError, EOFError):
                    _refuse(source, "a damaged workbook", read=part.filename)
                if b"<!DOCTYPE" in head or b"<!ENTITY" in head:
                    _refuse(source, "a workbook with a document type declaration", read=part.filename)


def _sheet_grid(sheet: object, source: str) -> Grid:
    faults = []
    rows = []
    name = str(sheet.title)  # type: ignore[attr-defined]
    for sheet_row in sheet.iter_rows():  # type: ignore[attr-defined]
        cells = []
        for entry in sheet_row:
            value, kind = entry.value, entry.data_type
            place = Cell("", entry.row, entry.column)
            key = f"{name} {place.place}"
            if kind == "f" or (isinstance(value, str) and value.startswith("=")):
                faults.append(Fault("a formula, and only values are read", key=key, valid="the value itself"))
            elif kind == "e":
                faults.append(Fault("an error value", key=key, read=str(value)))
            elif kind == "d":
                faults.append(Fault("a date instead of text or a number", key=key, read=str(value)))
            elif kind == "b":
                faults.append(Fault("a true or false instead of text or a number", key=key, read=str(value)))
            text = _text(value)
            control = _CONTROL.search(text)
            if control is not None:
                faults.append(Fault("a control character", key=key, read=repr(control.group())))
            number = isinstance(value, int | float)
            cells.append(Cell(text, entry.row, entry.column, number, _shown_unit(entry) if number else ""))
        if any(cell.text for cell in cells):
            rows.append(tuple(cells))
    for merged in sheet.merged_cells.ranges:  # type: ignore[attr-defined]
        # A title above the table may be merged; from the row of headings down nothing may be.
        first_with_two = next((row for row in rows if sum(bool(cell.text) for cell in row) > 1), None)
        if first_with_two is not None and merged.max_row >= first_with_two[0].row:
            faults.append(Fault("merged cells in the table", key=f"{name} {merged.coord}", valid="one cell each"))
    if faults:
        raise InputError(source, faults)
    return Grid(source, name, tuple(rows), tuple(_hidden(sheet, source, name, rows)))


def _hidden(sheet: object, source: str, name: str, rows: list[tuple[Cell, ...]]) -> list[str]:
    """Return notes on hidden rows and columns, which are read like the others."""
    held = {row[0].row for row in rows}
    lines = [
        number
        for number, one in sheet.row_dimensions.items()  # type: ignore[attr-defined]
        if one.hidden and number in held
    ]
    columns = [
        letters
        for letters, one in sheet.column_dimensions.items()  # type: ignore[attr-defined]
        if one.hidden
    ]
    notes = []
    if lines:
        listed = ", ".join(map(str, lines[:10]))
        notes.append(f"{source} {name}: hidden rows were read as well: {listed}")
    if columns:
        notes.append(f"{source} {name}: hidden columns were read as well: {', '.join(columns[:10])}")
    return notes


def _shown_unit(entry: object) -> str:
    """Return what a workbook's number format shows behind a number: `ft` of `0" ft"`, `%`; empty for none."""
    text = str(entry.number_format).split(";")[0]  # type: ignore[attr-defined]
    shown = "".join(quoted or escaped for quoted, escaped in _FORMAT_TEXT.findall(text)).strip()
    return shown or ("%" if "%" in text else "")


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{value:.12g}" if abs(value) < 1e12 else repr(value)
    return str(value).strip()
