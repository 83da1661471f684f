"""Tables as columns over results: one definition for sheets, CSV and terminal.

Names are loaded on first use, so that a check imports only the tables it shows.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from geom.tables.every import every_table
    from geom.tables.table import Column, Table, cells, csv_bytes, numbers, written

_HOME_OF = {
    "every_table": "every", "Column": "table", "Table": "table", "cells": "table", "csv_bytes": "table",
    "numbers": "table", "written": "table",
}  # fmt: skip
__all__ = ["Column", "Table", "cells", "csv_bytes", "every_table", "numbers", "written"]


def __getattr__(name: str) -> Any:
    if name not in _HOME_OF:
        raise AttributeError(f"module 'geom.tables' has no attribute '{name}'")
    from importlib import import_module

    return getattr(import_module(f"geom.tables.{_HOME_OF[name]}"), name)
