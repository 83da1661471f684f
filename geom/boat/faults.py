"""What is wrong with a boat file, in plain words: from places and checks to the faults that a reader sees."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import islice
from typing import Any, get_args

from geom.boat.forms import FORMS
from geom.boat.model import Boat, Model
from geom.boat.tree import Location, Tree, shown
from geom.errors import Fault

# More than these help nobody: the rest of a file that is all wrong goes unread.
MOST_FAULTS = 200
MOST_ALIKE = 5


@dataclass(frozen=True)
class LocatedFault:
    """Something unusable at a place of the file, before the place is turned to a key and a line."""

    location: Location
    message: str
    read: str = ""
    valid: str = ""


def to_fault(tree: Tree, fault: LocatedFault) -> Fault:
    """Return a trouble with its key in dotted form and its line."""
    return Fault(
        message=fault.message,
        key=shown(tree.dotted(fault.location), 120),
        line=tree.line(fault.location),
        read=fault.read or _what_stands(tree.at(fault.location)),
        valid=fault.valid,
    )


def to_faults(tree: Tree, found: Iterable[LocatedFault]) -> list[Fault]:
    """Return the faults in the order of their lines; of many alike the first few, the last with a count."""
    faults = sorted((to_fault(tree, one) for one in islice(found, MOST_FAULTS)), key=lambda fault: fault.line or 0)
    alike: dict[str, list[int]] = {}
    for index, fault in enumerate(faults):
        alike.setdefault(fault.message, []).append(index)
    dropped: set[int] = set()
    for indexes in alike.values():
        rest = indexes[MOST_ALIKE:]
        if len(rest) > 1:
            last = indexes[MOST_ALIKE - 1]
            message = f"{faults[last].message}, and so in at least {len(rest)} more places"
            faults[last] = replace(faults[last], message=message)
            dropped.update(rest)
    return [fault for index, fault in enumerate(faults) if index not in dropped]


def model_faults(errors: Iterable[Any]) -> list[LocatedFault]:
    """Turn the validation library's errors to troubles in our own words, each once."""
    found: dict[tuple[Location, str], LocatedFault] = {}
    for error in islice(errors, MOST_FAULTS):
        if error["type"] == "too_short" and len(error["input"]) >= error["ctx"]["min_length"]:
            continue  # a list of which every entry is faulty is told as too short as well
        location = tuple(part for part in error["loc"] if not _is_branch(part))
        fault = _located(error, location)
        found.setdefault((fault.location, fault.message), fault)
    return list(found.values())


def closest(word: str, valid: Iterable[str]) -> str:
    """Return the valid words as a list, led by a suggestion where one is near."""
    words = list(dict.fromkeys(valid))
    near = difflib.get_close_matches(word[:60], words, n=1)
    listed = f"one of {', '.join(words)}" if len(words) > 1 else "".join(words) or "none is defined"
    return f"perhaps {near[0]}; {listed}" if near and len(words) > 1 else listed


def _is_branch(part: str | int) -> bool:
    return isinstance(part, str) and (part == "[key]" or (part.startswith("<") and part.endswith(">")))


def _what_stands(node: Any) -> str:
    return shown(node) if isinstance(node, str) else ""


def _located(error: Any, location: Location) -> LocatedFault:
    kind: str = error["type"]
    context: dict[str, Any] = error.get("ctx", {})
    last = location[-1] if location else ""
    read = shown(error["input"]) if isinstance(error["input"], str) else ""
    if kind == "extra_forbidden":
        return LocatedFault(location, "unknown key", shown(str(last)), closest(str(last), _keys_at(location[:-1])))
    if kind == "missing":
        if isinstance(last, int):
            return LocatedFault(location[:-1], "too few values", valid="X, Y and Z" if last < 3 else "")
        return LocatedFault(location[:-1], f"the key '{last}' is missing")
    if kind == "value_error":
        message, _, valid = str(context["error"]).partition(" | ")
        return LocatedFault(location, message, valid=valid)
    if kind == "literal_error":
        words = [word.strip().strip("'") for word in context["expected"].replace(" or ", ", ").split(",")]
        words = ["true" if word == "True" else word for word in words]
        return LocatedFault(location, "not a valid word here", read, closest(read, words))
    if kind == "string_pattern_mismatch":
        return LocatedFault(location, "not in the wanted form", read, FORMS.get(context["pattern"], ""))
    return LocatedFault(location, *_plain_words(kind, context, error))


def _plain_words(kind: str, context: dict[str, Any], error: Any) -> tuple[str, str, str]:
    """Return message, what was read, what is valid for the remaining kinds of validation error."""
    given = "" if isinstance(error["input"], str) else _noun(error["input"])
    if kind == "greater_than":
        return "too small", "", f"more than {context['gt']:g}"
    if kind == "greater_than_equal":
        return "too small", "", f"not less than {context['ge']:g}"
    if kind == "too_short":
        return "too few entries", given, f"at least {context['min_length']}"
    if kind == "too_long":
        return "too many entries", given, f"at most {context['max_length']}"
    if kind in ("tuple_type", "list_type"):
        return "a list is wanted here", given, "entries in [ ] or on lines that begin with -"
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        return "keys with values are wanted here", given, ""
    if kind == "string_type":
        return "a text is wanted here", given, ""
    if kind in ("float_type", "float_parsing"):
        return "a number is wanted here", given, ""
    return str(error["msg"]), given, ""


def _noun(node: Any) -> str:
    if node is None:
        return "nothing"
    if isinstance(node, dict):
        return f"keys {', '.join(shown(str(key), 20) for key in list(node)[:4])}" if node else "no keys"
    return f"a list of {len(node)}" if isinstance(node, (list, tuple)) else shown(str(node))


def _keys_at(location: Location) -> list[str]:
    """Return the keys that the model knows at a place."""
    models: list[type[Model]] = [Boat]
    for part in location:
        steps = [model.model_fields[part] for model in models if isinstance(part, str) and part in model.model_fields]
        if steps:
            models = [inner for step in steps for inner in _models_in(step.annotation)]
    return [key for model in models for key in model.model_fields]


def _models_in(annotation: Any) -> list[type[Model]]:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return [annotation]
    return [model for part in get_args(annotation) for model in _models_in(part)]
