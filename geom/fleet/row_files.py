"""Rows to a file as they come, CSV or Parquet by the ending of its name; pyarrow is loaded for Parquet alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from pathlib import Path
from typing import IO, Any

from geom.errors import Fault, InputError
from geom.files import written_whole
from geom.fleet.columns import TypedColumn
from geom.tables.table import csv_lines

ENDINGS = (".csv", ".parquet")
# Rows of one group of a Parquet file.
_GROUP = 10_000


def check_rows_file(target: Path) -> None:
    """Refuse a file that rows cannot be written to, before they are worked out.

    Args:
        target: the file.

    Raises:
        InputError: its ending names no format, or the package that writes the format is not installed.
    """
    if target.suffix not in ENDINGS:
        raise InputError(str(target), [Fault("no such kind of file for rows", valid=" or ".join(ENDINGS))])
    if target.suffix == ".parquet":
        _pyarrow()


def write_rows(target: Path, columns: Sequence[TypedColumn], results: Iterable[Any], replace: bool = False) -> None:
    """Write a table row by row, none of them held.

    Args:
        target: the file, `.csv` or `.parquet`.
        columns: of the table.
        results: one for each row, in order.
        replace: whether an existing file may be replaced.

    Raises:
        InputError: see `check_rows_file`, or the file exists and may not be replaced.
        CannotFinishError: the file system refused; an existing file is unchanged.
    """
    check_rows_file(target)
    rows = ([one.column.read(result) for one in columns] for result in results)
    with written_whole(target, replace) as stream:
        if target.suffix == ".csv":
            stream.writelines(csv_lines([one.column for one in columns], rows))
        else:
            _write_parquet(stream, columns, rows)


def _write_parquet(stream: IO[bytes], columns: Sequence[TypedColumn], rows: Iterator[list[Any]]) -> None:
    arrow, parquet = _pyarrow()
    kinds = {str: arrow.string(), int: arrow.int64(), float: arrow.float64()}
    schema = arrow.schema([(one.column.key, kinds[one.kind]) for one in columns])
    with parquet.ParquetWriter(stream, schema) as writer:
        while group := list(islice(rows, _GROUP)):
            values = [
                arrow.array(list(cells), type=one.type)
                for cells, one in zip(zip(*group, strict=True), schema, strict=True)
            ]
            writer.write_table(arrow.Table.from_arrays(values, schema=schema))


def _pyarrow() -> tuple[Any, Any]:
    """Return pyarrow and its Parquet writer.

    Raises:
        InputError: it is not installed.
    """
    try:
        import pyarrow
        import pyarrow.parquet
    except ModuleNotFoundError:
        fault = Fault("the package 'pyarrow' is not installed", valid='pip install "toerail[fleet]", or a .csv file')
        raise InputError("parquet", [fault]) from None
    return pyarrow, pyarrow.parquet
