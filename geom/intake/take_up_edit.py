"""Measured take-ups written into a boat file's text: its comments stay, only `take_up` of the ropes changes."""

from __future__ import annotations

import io
from collections.abc import Mapping

from geom.boat.file import read_boat
from geom.boat.line_model import TakeUp
from geom.boat.model import Units
from geom.boat.tree import read_tree
from geom.intake.merge import Merge


def write_take_ups(data: bytes, source: str, found: Mapping[str, TakeUp]) -> bytes:
    """Return a boat file with other take-ups, lengths to a tenth of a millimetre.

    Args:
        data: the boat file's bytes.
        source: its name, for messages.
        found: take-up by the word of the rope.

    Raises:
        InputError: the edited file fails the boat file's own checks.
    """
    from ruamel.yaml import YAML

    yaml = YAML(typ="rt")
    yaml.preserve_quotes = True
    yaml.width = 4096
    yaml.indent(mapping=2, sequence=4, offset=2)
    document = yaml.load(data.decode("utf-8-sig"))
    units = Units.model_validate(read_tree(data, source).root.get("units") or {})
    merge = Merge({"length": units.length} if units.length is not None else {})
    for name, take_up in found.items():
        document["lines"][name]["take_up"] = merge.fresh(
            {
                "each": _length(take_up.each),
                "source": take_up.source,
                "bury": _length(take_up.bury),
                "spread": _length(take_up.spread),
                "measured_on": None if take_up.measured_on is None else list(take_up.measured_on),
            }
        )
    stream = io.StringIO()
    yaml.dump(document, stream)
    edited = stream.getvalue().encode("utf-8")
    read_boat(edited, source)
    return edited


def _length(value: float | None) -> str | None:
    return None if value is None else f"{value:.1f} mm"
