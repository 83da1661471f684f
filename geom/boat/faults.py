"""Faults of an input file: from a location and a failed check to the message that the user reads."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import islice, pairwise
from typing import Any, get_args

from geom.boat.examples import example_of
from geom.boat.forms import FORMS
from geom.boat.model import Boat, Model
from geom.boat.tree import Location, Tree, shown
from geom.errors import Fault
from geom.units import in_unit

# Limits of a report: faults in all, and faults with one message.
MAX_FAULTS = 200
MAX_SIMILAR = 5
# What stands before and after a decimal comma.
_WHOLE = re.compile(r"[+-]?\d+", re.ASCII)
_AFTER_COMMA = re.compile(r"\d+\s*(?:[A-Za-z]+|[\"'°″′%])?", re.ASCII)


@dataclass(frozen=True)
class LocatedFault:
    """A fault at a location of the file, not yet resolved to a dotted key and a line."""

    location: Location
    message: str
    read: str = ""
    valid: str = ""


def in_file_unit(value: float, boat: Boat) -> str:
    """Return a length as a limit in a message: inches for a file in inches or feet, else millimetres.

    Args:
        value: the length [mm].
        boat: of the file.
    """
    if boat.units.length in ("in", "ft"):
        return f"{round(in_unit(value, 'in'), 4):g} in"
    return f"{value:g} mm"


def to_fault(tree: Tree, fault: LocatedFault) -> Fault:
    """Return a fault with its dotted key and its line."""
    split = _split_by_comma(tree, fault.location)
    if split is not None:
        return split
    return Fault(
        message=fault.message,
        key=shown(tree.dotted(fault.location), 120),
        line=tree.line(fault.location),
        read=fault.read or _text_of(tree.at(fault.location)),
        valid=fault.valid,
    )


def _split_by_comma(tree: Tree, location: Location) -> Fault | None:
    """Return the fault of a number in braces that its decimal comma makes two entries, None for any other location.

    `{od: 25, wall: 1,5}` has a key `5` without a value, after a key whose value is a whole number.
    """
    node, last = tree.at(location[:-1]), location[-1] if location else None
    if not isinstance(node, dict) or not isinstance(last, str) or last not in node or node[last] is not None:
        return None
    keys = list(node)
    key = keys[keys.index(last) - 1] if keys[0] != last else ""
    whole, rest = node.get(key), _AFTER_COMMA.fullmatch(last)
    if rest is None or not isinstance(whole, str) or not _WHOLE.fullmatch(whole):
        return None
    place = (*location[:-1], key)
    return Fault(
        message="a comma is not read as decimal sign: in braces it ends the entry",
        key=shown(tree.dotted(place), 120),
        line=tree.line(place),
        read=f"{whole},{last}",
        valid=f"a point: {whole}.{last}",
    )


def to_faults(tree: Tree, located: Iterable[LocatedFault]) -> list[Fault]:
    """Return the faults in line order; of many with one message the first few, the last of them with a count."""
    faults = sorted((to_fault(tree, fault) for fault in islice(located, MAX_FAULTS)), key=lambda fault: fault.line or 0)
    same_message: dict[str, list[int]] = {}
    for index, fault in enumerate(faults):
        same_message.setdefault(fault.message, []).append(index)
    dropped: set[int] = set()
    for indexes in same_message.values():
        rest = indexes[MAX_SIMILAR:]
        if len(rest) > 1:
            last = indexes[MAX_SIMILAR - 1]
            message = f"{faults[last].message}; likewise in at least {len(rest)} more places"
            faults[last] = replace(faults[last], message=message)
            dropped.update(rest)
    return [fault for index, fault in enumerate(faults) if index not in dropped]


def model_faults(errors: Iterable[Any], of: type[Model] = Boat, place: Location = ()) -> list[LocatedFault]:
    """Return the validation library's errors as faults with messages of our own, without duplicates.

    Args:
        errors: of the validation library.
        of: the model of the file, whose keys are named as valid.
        place: of the part that was read, where it is not the whole file.
    """
    faults: dict[tuple[Location, str], LocatedFault] = {}
    for error in islice(errors, MAX_FAULTS):
        if error["type"] == "too_short" and len(error["input"]) >= error["ctx"]["min_length"]:
            continue  # a list in which every entry is faulty is reported as too short as well
        location = (*place, *(part for part in error["loc"] if not _is_branch(part)))
        fault = _located(error, location, of)
        faults.setdefault((fault.location, fault.message), fault)
    return list(faults.values())


def match_of(word: str, valid: Iterable[str]) -> str | None:
    """Return the valid word that a misspelt one comes closest to, None where none is similar."""
    matches = difflib.get_close_matches(word[:60], list(valid), n=1)
    return matches[0] if matches else None


def closest(word: str, valid: Iterable[str]) -> str:
    """Return the valid words as one text, the closest match first where there is one."""
    choices = list(dict.fromkeys(valid))
    match = match_of(word, choices)
    listed = f"one of {', '.join(choices)}" if len(choices) > 1 else "".join(choices) or "none is defined"
    return f"did you mean {match}; {listed}" if match is not None and len(choices) > 1 else listed


def _is_branch(part: str | int) -> bool:
    return isinstance(part, str) and (part == "[key]" or (part.startswith("<") and part.endswith(">")))


def _text_of(node: Any) -> str:
    return shown(node) if isinstance(node, str) else ""


def _located(error: Any, location: Location, of: type[Model]) -> LocatedFault:
    kind: str = error["type"]
    context: dict[str, Any] = error.get("ctx", {})
    last = location[-1] if location else ""
    read = shown(error["input"]) if isinstance(error["input"], str) else ""
    if kind == "extra_forbidden":
        return LocatedFault(location, "unknown key", shown(str(last)), closest(str(last), _keys_at(location[:-1], of)))
    if kind == "missing":
        if isinstance(last, int):
            return LocatedFault(location[:-1], "too few values", valid="X, Y and Z" if last < 3 else "")
        return LocatedFault(location[:-1], f"the key '{last}' is missing", valid=_for_example(location, of))
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        return LocatedFault(location, "expected keys with values", _read_of(error["input"]), _for_example(location, of))
    if kind == "value_error":
        message, _, valid = str(context["error"]).partition(" | ")
        return LocatedFault(location, message, "nothing" if error["input"] is None else "", valid)
    if kind == "literal_error":
        words = [word.strip().strip("'") for word in context["expected"].replace(" or ", ", ").split(",")]
        words = ["true" if word == "True" else word for word in words]
        return LocatedFault(location, "not a valid word here", read, closest(read, words))
    if kind == "string_pattern_mismatch":
        return LocatedFault(location, "not in the expected form", read, FORMS.get(context["pattern"], ""))
    return LocatedFault(location, *_message_read_valid(kind, context, error))


def _message_read_valid(kind: str, context: dict[str, Any], error: Any) -> tuple[str, str, str]:
    """Return message, text read and valid values for the remaining kinds of validation error."""
    read = _read_of(error["input"])
    if kind == "greater_than":
        return "too small", "", f"more than {context['gt']:g}"
    if kind == "greater_than_equal":
        return "too small", "", f"not less than {context['ge']:g}"
    if kind == "too_short":
        return "too few entries", read, f"at least {context['min_length']}"
    if kind == "too_long":
        return "too many entries", read, f"at most {context['max_length']}{_of_numbers(error['input'])}"
    if kind in ("tuple_type", "list_type"):
        return "expected a list", read, "entries in [ ] or on lines that begin with -"
    if kind == "string_type":
        return "expected text", read, ""
    if kind in ("float_type", "float_parsing"):
        return "expected a number", read, ""
    return str(error["msg"]), read, ""


def _of_numbers(node: Any) -> str:
    """Return what is said of a list that is too long where a decimal comma may have made two of one number."""
    entries = [one if isinstance(one, str) else "" for one in (node if isinstance(node, list) else ())]
    for whole, rest in pairwise(entries):
        if _WHOLE.fullmatch(whole) and _AFTER_COMMA.fullmatch(rest):
            return f"; a comma ends an entry, the decimal sign is a point: {whole}.{rest}"
    return ""


def _for_example(location: Location, of: type[Model]) -> str:
    own = of.EXAMPLES.get(".".join(map(str, location)))
    # A part of a boat is no example for a key of the same name in another kind of file.
    other = of is not Boat and location[0] in Boat.model_fields
    example = own or ("" if other else example_of(location))
    return f"for example {example}" if example else ""


def _read_of(node: Any) -> str:
    return shown(node) if isinstance(node, str) else _description(node)


def _description(node: Any) -> str:
    if node is None:
        return "nothing"
    if isinstance(node, dict):
        return f"keys {', '.join(shown(str(key), 20) for key in list(node)[:4])}" if node else "no keys"
    return f"a list of {len(node)}" if isinstance(node, (list, tuple)) else shown(str(node))


def _keys_at(location: Location, of: type[Model]) -> list[str]:
    """Return the keys that a model defines at a location."""
    models: list[type[Model]] = [of]
    for part in location:
        fields = [model.model_fields[part] for model in models if isinstance(part, str) and part in model.model_fields]
        if fields:
            models = [inner for field_info in fields for inner in _models_in(field_info.annotation)]
    return [key for model in models for key in model.model_fields]


def _models_in(annotation: Any) -> list[type[Model]]:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return [annotation]
    return [model for part in get_args(annotation) for model in _models_in(part)]
