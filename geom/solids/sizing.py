"""Parts of the size tables fitted to what the boat file states, each size with where it comes from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar, cast

from geom.data.table import Datum
from geom.errors import GeometryError
from geom.parts.catalogue import FAMILIES, data_of, part, sizes, to_mm
from geom.parts.part import Part
from geom.solids.sources import Sources, sources

P = TypeVar("P", bound=Part)
Stated = Mapping[str, tuple[float, str]]


def nearest(table: str, dimension: str, value: float) -> str:
    """Return the listed size whose dimension is nearest to a value.

    Args:
        table: of the size rows.
        dimension: name of the dimension.
        value: to match [mm].
    """
    return min(sizes(table), key=lambda size: abs(listed(table, size, dimension) - value))


def smallest_over(table: str, dimension: str, value: float, spare: float) -> str:
    """Return the smallest listed size whose dimension takes a value.

    Args:
        table: of the size rows.
        dimension: as the rows call it.
        value: what it has to take [mm].
        spare: how much wider it may be [mm].

    Raises:
        GeometryError: no listed size does.
    """
    fitting = [size for size in sizes(table) if -1e-6 <= listed(table, size, dimension) - value <= spare]
    if not fitting:
        raise GeometryError(f"no size of the table {table} takes {value:g} mm as its {dimension}")
    return min(fitting, key=lambda size: listed(table, size, dimension))


def listed(table: str, size: str, dimension: str) -> float:
    """Return a dimension of a listed size [mm].

    Args:
        table: of the size rows.
        size: the listed size.
        dimension: name of the dimension.
    """
    found: Datum = data_of(table, size)[dimension]
    return to_mm(found)


def sized(kind: type[P], table: str, size: str, stated: Stated) -> tuple[P, Sources]:
    """Return a listed part with what is stated put in its place, and where each size comes from.

    Args:
        kind: the part's type.
        table: of the size rows.
        size: its name in the table.
        stated: dimension -> value [mm] and the words for where it comes from.

    Raises:
        GeometryError: the sizes contradict each other.
    """
    assert FAMILIES[table] is kind
    made = part(table, size, **{name.replace(" ", "_"): value for name, (value, _) in stated.items()})
    return cast(P, made), sources({name: words for name, (_, words) in stated.items()}, table, size)
