"""New values merged into a boat file's document: unchanged values keep their spelling, place and comments."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from geom.units import QuantityError, in_unit, read_quantity

_SAME = {"length": 1e-6, "angle": 1e-9}
# Unit of a text made from a table -> its kind of quantity.
_KIND = {"mm": "length", "deg": "angle"}


@dataclass(frozen=True)
class Merge:
    """Merges plain trees, with quantities such as `12.5 mm` or `3 deg`, into a document that keeps comments.

    A key missing from the new tree stays unchanged; a key whose new value is None is removed. `bare` are the
    file's declared units by kind; new numbers are written in them, without a unit.
    """

    bare: dict[str, str]

    def merged(self, old: Any, new: Any) -> Any:
        """Return the old node updated in place with the new one, or the new node where their kinds differ."""
        if isinstance(new, dict) and isinstance(old, dict):
            for key, value in new.items():
                if value is None:
                    old.pop(key, None)
                else:
                    old[key] = self.merged(old[key], value) if key in old else self.fresh(value)
            return old
        if isinstance(new, list) and isinstance(old, list):
            return self._merged_list(old, new)
        if isinstance(old, (dict, list)) or isinstance(new, (dict, list)):
            return self.fresh(new)
        return old if self._same(str(old), str(new)) else self.fresh(new)

    def _merged_list(self, old: Any, new: list[Any]) -> Any:
        by_id = {entry["id"]: entry for entry in old if isinstance(entry, dict) and "id" in entry}
        if not by_id:
            for index, value in enumerate(new[: len(old)]):
                old[index] = self.merged(old[index], value)
            del old[len(new) :]
            for value in new[len(old) :]:
                old.append(self.fresh(value))
            return old
        kept = []
        for value in new:
            entry = by_id.get(value.get("id"))
            kept.append(self.fresh(value) if entry is None else self.merged(entry, value))
        if [id(entry) for entry in kept] != [id(entry) for entry in old]:
            old[:] = kept
        return old

    def _same(self, old: str, new: str) -> bool:
        if old == new:
            return True
        kind = _KIND.get(new.rpartition(" ")[2])
        if kind is None:
            return False
        try:
            before, _ = read_quantity(old, kind, self.bare.get(kind))
            after, _ = read_quantity(new, kind, None)
        except QuantityError:
            return False
        return abs(before - after) <= _SAME[kind]

    def fresh(self, value: Any) -> Any:
        """Return a new node: small mappings and points on one line, quantities in the file's declared units."""
        from ruamel.yaml.comments import CommentedMap, CommentedSeq

        if isinstance(value, dict):
            present = {key: inner for key, inner in value.items() if inner is not None}
            mapping = CommentedMap((key, self.fresh(inner)) for key, inner in present.items())
            if not any(isinstance(inner, dict) for inner in present.values()) and len(present) <= 4:
                mapping.fa.set_flow_style()
            return mapping
        if isinstance(value, list):
            sequence = CommentedSeq(self.fresh(inner) for inner in value)
            if not any(isinstance(inner, (dict, list)) for inner in value):
                sequence.fa.set_flow_style()
            return sequence
        return self._scalar(str(value))

    def _scalar(self, text: str) -> Any:
        kind = _KIND.get(text.rpartition(" ")[2])
        unit = self.bare.get(kind or "")
        if kind is None or unit is None:
            return text
        value, _ = read_quantity(text, kind, None)
        shown = round(in_unit(value, unit, kind), 9)
        return int(shown) if shown == int(shown) else shown
