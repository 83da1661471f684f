"""The readings of a season, a table or YAML, taken into the as-built record."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from geom.boat.faults import model_faults, to_faults
from geom.boat.quantity import Reading
from geom.boat.tree import Tree, read_tree
from geom.errors import Fault, InputError
from geom.intake.as_built import AsBuilt, Season
from geom.intake.readings_table import lines_of, read_readings
from geom.intake.record_edit import with_readings
from geom.refit import Refit


def read_season(data: bytes, source: str, refit: Refit) -> dict[str, Any]:
    """Return the readings of one season as a part of a record.

    Args:
        data: the bytes of the file, YAML with the keys of a season, or CSV where the name ends so.
        source: its name, for messages.
        refit: the calculated boat.

    Raises:
        InputError: the file cannot be used, or states no date or nobody who read.
    """
    if source.lower().endswith(".csv"):
        found = read_readings(data, source, refit.boat, season=True)
        root = {**found.pop("record"), **{key: value for key, value in found.items() if value}}
        tree = Tree(root, lines_of(root))
        bare = {"angle": "deg", "length": refit.boat.units.length or "mm"}
    else:
        tree = read_tree(data, source)
        # Bare lengths are refused: the record may declare another unit than whoever reads has in mind.
        bare = {"angle": "deg"}
    try:
        Season.model_validate(tree.root, context=Reading(bare))
    except ValidationError as error:
        faults = to_faults(tree, model_faults(error.errors(include_url=False), Season))
        raise InputError(source, faults) from None
    return _as_plain(tree.root)  # type: ignore[no-any-return]


def _as_plain(node: Any) -> Any:
    if isinstance(node, dict):
        return {str(key): _as_plain(value) for key, value in node.items()}
    return None if node is None else str(node)


def with_season(text: str, source: str, refit: Refit, season: dict[str, Any]) -> tuple[str, AsBuilt]:
    """Return a record with the readings of a season added, and what it then holds.

    Args:
        text: of the record.
        source: its name, for messages.
        refit: the calculated boat.
        season: as `read_season` returns it.

    Raises:
        InputError: the readings name what the boat has not, or the record holds other readings of that day.
    """
    _, held = with_readings(text, source, refit.boat, {})
    new, built = with_readings(text, source, refit.boat, {"seasons": [season]})
    days = [one.date for one in held.seasons]
    if len(built.seasons) > len(held.seasons) and season["date"] in days:
        fault = Fault(
            "the record holds other readings of that day", "seasons", read=season["date"], valid="another day"
        )
        raise InputError(source, [fault])
    return new, built
