"""A table as a workbook (XLSX) with the same bytes for the same rows."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

# The first day that the package format can hold.
_STAMP = (1980, 1, 1, 0, 0, 0)
_MODIFIED = b"dcterms:modified"


def workbook_bytes(name: str, rows: Sequence[Sequence[str | Decimal | None]], dated: str) -> bytes:
    """Return rows as a workbook of one sheet; texts stay texts, whatever they begin with.

    Args:
        name: of the sheet.
        rows: the headings first.
        dated: day that the workbook is dated, year-month-day.
    """
    from openpyxl import Workbook
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    book = Workbook()
    sheet = book.active
    sheet.title = name
    for number, row in enumerate(rows, start=1):
        for column, value in enumerate(row, start=1):
            if value is None:
                continue
            cell = sheet.cell(number, column, value)
            if isinstance(value, str):
                cell.data_type = "s"
            if number == 1:
                cell.font = Font(bold=True)
    for column in range(1, len(rows[0]) + 1):
        longest = max(len(str(row[column - 1] or "")) for row in rows)
        sheet.column_dimensions[get_column_letter(column)].width = min(longest, 40) + 2
    sheet.freeze_panes = "A2"
    book.properties.created = datetime.fromisoformat(dated)
    stream = io.BytesIO()
    book.save(stream)
    return _dated(stream.getvalue(), dated)


def _dated(data: bytes, dated: str) -> bytes:
    """Return a workbook without the time of its saving."""
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.infolist():
            content = old.read(part)
            if part.filename == "docProps/core.xml":
                head, _, rest = content.partition(b"<" + _MODIFIED)
                attributes, _, rest = rest.partition(b">")
                rest = rest.partition(b"</")[2]
                stamp = f"{dated}T00:00:00Z".encode()
                content = head + b"<" + _MODIFIED + attributes + b">" + stamp + b"</" + rest
            info = zipfile.ZipInfo(part.filename, _STAMP)
            info.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(info, content)
    return stream.getvalue()
