"""The rates of a yard: currency, tax, materials, outside work, hours by operation, provisional sums.

A rate file is YAML, or a workbook (XLSX) with a row for each rate under the headings KIND, ITEM, PER, RATE, LOW, HIGH,
WASTE. A rate that it does not state is a gap in the quotation, never a guess.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationError

from geom.boat.base import Model
from geom.boat.faults import LocatedFault, closest, model_faults, to_faults
from geom.boat.forms import FirstFormat, Name, ShortName
from geom.boat.tree import Tree, read_tree, shown
from geom.errors import Fault, InputError
from geom.intake.tables.grid import Cell, Grid, read_xlsx
from geom.open_items.rank import RANKS
from geom.paperwork.money import Spread, exactly, read_amount

Operation = Literal["splice", "swage", "terminal", "hole", "base", "plate", "fitting", "survey", "tensioning", "travel"]
_PARTS = ("low", "likely", "high")
_HEADINGS = ("KIND", "ITEM", "PER", "RATE", "LOW", "HIGH", "WASTE")
_SINGLE = {"currency", "rounding", "rates from", "visits", "hour", "tax"}
_MANY = {"material": "materials", "outside": "outside", "hours": "hours", "provisional": "provisional"}
_HUNDRED = Decimal(100)


def _spread(value: Any) -> Spread:
    """Read one figure, or low, likely and high."""
    if not isinstance(value, dict):
        return exactly(read_amount(value))
    if tuple(sorted(value)) != tuple(sorted(_PARTS)):
        raise ValueError("expected one figure, or low, likely and high | {low: 0.5, likely: 0.75, high: 1}")
    found = Spread(*(read_amount(value[part]) for part in _PARTS))
    if not found.low <= found.likely <= found.high:
        raise ValueError("low, likely and high are not in their order | {low: 0.5, likely: 0.75, high: 1}")
    return found


def _percent(value: Any) -> Spread:
    """Read a percentage, with or without its sign, as a ratio."""
    plain = {key: _bare(part) for key, part in value.items()} if isinstance(value, dict) else _bare(value)
    found = _spread(plain)
    return Spread(found.low / _HUNDRED, found.likely / _HUNDRED, found.high / _HUNDRED)


def _bare(value: Any) -> Any:
    return re.sub(r"\s*%$", "", value) if isinstance(value, str) else value


def _step(value: Any) -> Decimal:
    amount = read_amount(value)
    if amount <= 0:
        raise ValueError("expected the smallest amount of the currency | 0.01")
    return amount


Figure = Annotated[Spread, BeforeValidator(_spread)]
Percent = Annotated[Spread, BeforeValidator(_percent)]
Amount = Annotated[Decimal, BeforeValidator(read_amount)]


class Tax(Model):
    """A tax on the total: its name and per cent."""

    name: ShortName
    percent: Annotated[Decimal, BeforeValidator(lambda value: read_amount(_bare(value)))]


class Rate(Model):
    """The rate of one material or part: by length, by area or each, with the waste of what is cut."""

    per: Literal["m", "ft", "m2", "ft2", "each"]
    rate: Amount
    waste: Percent | None = None


class Rates(Model):
    """A rate file.

    `materials` go by the words of the boat file and of the order list, `outside` by the words of the parts list of the
    fabricator, `provisional` by the names of open items. `hours` are of one operation; `hour` is the rate of one hour,
    `visits` how often the yard travels to the boat, `rounding` the smallest amount of the currency.
    """

    format: FirstFormat
    currency: ShortName
    rounding: Annotated[Decimal, BeforeValidator(_step)]
    rates_from: Name
    tax: Tax | None = None
    hour: Amount | None = None
    visits: Amount | None = None
    materials: dict[Name, Rate] = Field(default={}, max_length=500)
    outside: dict[Name, Rate] = Field(default={}, max_length=500)
    hours: dict[Operation, Figure] = Field(default={})
    provisional: dict[Name, Figure] = Field(default={}, max_length=500)


def read_rates(data: bytes, source: str) -> Rates:
    """Read a rate file.

    Args:
        data: the file's bytes, YAML or XLSX.
        source: its name, for messages.

    Raises:
        InputError: the file cannot be used; every fault is listed with its line or cell.
    """
    if data[:2] == b"PK":
        return _read_workbook(data, source)
    tree = read_tree(data, source)
    try:
        rates = Rates.model_validate(tree.root)
    except ValidationError as error:
        raise InputError(source, to_faults(tree, model_faults(error.errors(include_url=False), Rates))) from None
    faults = list(_unknown_items(rates))
    if faults:
        raise InputError(source, to_faults(tree, faults))
    return rates


def _unknown_items(rates: Rates) -> Iterator[LocatedFault]:
    for name in rates.provisional:
        if name not in RANKS:
            yield LocatedFault(("provisional", name), "no open item of that name", name, closest(name, list(RANKS)))


def _read_workbook(data: bytes, source: str) -> Rates:
    grids = [grid for grid in read_xlsx(data, source) if _heading(grid) is not None]
    if len(grids) != 1:
        valid = f"one sheet with the headings {', '.join(_HEADINGS)}"
        raise InputError(source, [Fault("no one sheet of rates", read=f"{len(grids)} of them", valid=valid)])
    root, places = _as_tree(grids[0], source)
    try:
        rates = Rates.model_validate(root)
    except ValidationError as error:
        faults = model_faults(error.errors(include_url=False), Rates)
    else:
        faults = list(_unknown_items(rates))
        if not faults:
            return rates
    named = Tree(root)
    raise InputError(source, [_placed(named, fault, places) for fault in faults])


def _placed(named: Tree, fault: LocatedFault, places: dict[tuple[str, ...], str]) -> Fault:
    """Return a fault with the cell of its nearest part."""
    location = tuple(str(part) for part in fault.location)
    cell = next((places[location[:n]] for n in range(len(location), 0, -1) if location[:n] in places), "")
    key = f"{cell} {named.dotted(fault.location)}".strip()
    node = named.at(fault.location)
    return Fault(fault.message, key, None, fault.read or (shown(node) if isinstance(node, str) else ""), fault.valid)


def _heading(grid: Grid) -> int | None:
    """Return the index of the row of headings, None where there is none."""
    for index, row in enumerate(grid.rows):
        if [cell.text.strip().upper() for cell in row][: len(_HEADINGS)] == list(_HEADINGS):
            return index
    return None


def _as_tree(grid: Grid, source: str) -> tuple[dict[str, Any], dict[tuple[str, ...], str]]:
    """Return the rows of a sheet of rates as the tree of a rate file, and the cell of each part."""
    head = _heading(grid)
    assert head is not None
    root: dict[str, Any] = {"format": "1"}
    places: dict[tuple[str, ...], str] = {}
    faults = []
    for row in grid.rows[head + 1 :]:
        cells = dict(zip(_HEADINGS, row, strict=False))
        kind, item = cells["KIND"].text.strip().lower(), cells["ITEM"].text.strip()
        if kind not in _SINGLE and kind not in _MANY:
            valid = ", ".join(sorted(_SINGLE | set(_MANY)))
            faults.append(Fault("no such kind of rate", cells["KIND"].place, read=cells["KIND"].text, valid=valid))
            continue
        location, value = _value(kind, item, cells)
        if location in places:
            faults.append(Fault("this rate is given twice", cells["ITEM"].place, read=item, valid="one row for it"))
            continue
        places[location] = cells["ITEM"].place if len(location) > 1 else cells["KIND"].place
        node = root
        for part in location[:-1]:
            node = node.setdefault(part, {})
        node[location[-1]] = value
    if faults:
        raise InputError(source, faults)
    return root, places


def _value(kind: str, item: str, cells: dict[str, Cell]) -> tuple[tuple[str, ...], Any]:
    """Return the location of a row in the tree of a rate file, and its value."""
    text = {name: cell.text.strip() for name, cell in cells.items()}
    figure: Any = text.get("RATE", "")
    if text.get("LOW") or text.get("HIGH"):
        figure = {"low": text.get("LOW", ""), "likely": figure, "high": text.get("HIGH", "")}
    if kind in ("currency", "rates from"):
        return (kind.replace(" ", "_"),), item
    if kind == "tax":
        return (kind,), {"name": item, "percent": figure}
    if kind in _SINGLE:
        return (kind,), figure
    if kind in ("hours", "provisional"):
        return (kind, item), figure
    rate = {"per": text.get("PER", ""), "rate": figure}
    if text.get("WASTE"):
        rate["waste"] = text["WASTE"]
    return (_MANY[kind], item), rate
