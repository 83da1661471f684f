"""The text forms of a boat file: ids, names, words and dates, each with its description for messages."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, StringConstraints, WithJsonSchema

from geom.boat.base import LEVELS

# Pattern of a text form -> its description, for messages.
FORMS: dict[str, str] = {}


def _form(pattern: str, description: str) -> StringConstraints:
    FORMS[pattern] = description
    return StringConstraints(pattern=pattern)


def _real_date(text: str) -> str:
    try:
        date.fromisoformat(text)
    except ValueError:
        raise ValueError("no such day in the calendar | year-month-day such as 2026-03-01") from None
    return text


def _layer_name(text: str) -> str:
    if text.strip() != text:
        raise ValueError("a layer's name neither begins nor ends with a blank | A-DECK-EDGE")
    if not text.isprintable():
        raise ValueError("a layer's name holds a non-printing character | A-DECK-EDGE")
    if text.upper() in ("0", "DEFPOINTS"):
        raise ValueError("a layer that DXF reserves | any other name: A-DECK-EDGE")
    return text


def _whole_number(value: Any) -> Any:
    return int(value) if isinstance(value, str) and value.isascii() and value.isdigit() else value


def _yes(value: Any) -> Any:
    return True if value == "true" else value


def _text_or_number(pattern: str) -> WithJsonSchema:
    return WithJsonSchema({"anyOf": [{"type": "string", "pattern": pattern}, {"type": "integer"}]})


_MARK = "^[A-Z0-9]{1,2}$"
# The characters of the sheets' lettering font: Latin-1 and a few letters more.
_LETTERS = (
    "[ -~\u00a1-\u00ac\u00ae-\u00ff\u0106\u0107\u010c\u010d\u011e\u011f\u0130\u0131\u0141\u0142\u0152\u0153"
    "\u015e-\u0161\u0178\u017d\u017e\u2013\u2014\u2018\u2019\u201c\u201d]"
)


def _lettered(maximum: int) -> StringConstraints:
    return _form(
        f"^{_LETTERS}{{1,{maximum}}}$", f"1 to {maximum} characters of the lettering font, without line breaks"
    )


# P, S: a side of the boat; PI, SI: the inboard edge of that hull; C: across the boat.
_HULL_SIDE, _ANY_SIDE = "[PS]I?", "(?:[PS]I?|C)"
_LEVEL = f"(?:{'|'.join(LEVELS)})"
PostId = Annotated[str, _form(f"^{_HULL_SIDE}-[A-Z][A-Z0-9]{{0,5}}$", "side and name in capitals: S-S2")]
SupportId = Annotated[
    str,
    _form(
        f"^{_ANY_SIDE}-[A-Z][A-Z0-9]{{0,8}}$", "a post, or the eyes of one name without their level: S-S3, S-PUSHPIT"
    ),
]
GateId = Annotated[str, _form(f"^{_ANY_SIDE}-[A-Z][A-Z0-9]{{0,7}}$", "side and name in capitals: S-GATE")]
EyeId = Annotated[
    str, _form(f"^{_ANY_SIDE}-[A-Z][A-Z0-9]{{0,7}}-{_LEVEL}$", "side, name in capitals and level: S-PULPIT-U")
]
RunId = Annotated[str, _form(f"^{_ANY_SIDE}-[A-Z][A-Z0-9]{{0,3}}-{_LEVEL}$", "side, name in capitals and level: S-F-U")]
NetId = Annotated[str, _form(f"^{_ANY_SIDE}-[A-Z][A-Z0-9]{{0,7}}$", "side and name in capitals: S-NET")]
Name = Annotated[str, _lettered(60)]
OwnerName = Annotated[str, _lettered(40)]
ShortName = Annotated[str, _lettered(20)]
DrawingNumber = Annotated[
    str, _form("^[A-Z0-9][A-Z0-9-]{0,11}$", "1 to 12 capitals, digits or hyphens, no hyphen first: SW31-100")
]
Word = Annotated[str, _form("^[A-Za-z0-9][A-Za-z0-9 .+/-]{0,39}$", "1 to 40 letters, digits, blanks or any of . + / -")]
Mark = Annotated[str, _form(_MARK, "one or two capitals or digits"), _text_or_number(_MARK)]
Date = Annotated[str, _form("^[0-9]{4}-[0-9]{2}-[0-9]{2}$", "year-month-day: 2026-03-01"), AfterValidator(_real_date)]
Category = Annotated[
    Literal["0", "1", "2", "3", "4", "A", "B", "C", "D"],
    WithJsonSchema({"enum": ["0", "1", "2", "3", "4", 0, 1, 2, 3, 4, "A", "B", "C", "D"]}),
]
# The words of data/rules/documents.csv.
DocumentWord = Literal[
    "osr",
    "iso-15085",
    "abyc-h-41",
    "cfr-169.327",
    "cfr-177.900",
    "cfr-45.115",
    "uk-1993",
    "uk-harmonised",
    "division-240",
]
# The names of the drawing's layers, and of the layer of viewports (figure.py).
LayerWord = Literal[
    "SHADE",
    "UNDERLAY",
    "WITNESS",
    "OUTLINE",
    "DECK-EDGE",
    "POST",
    "RAIL",
    "FAR",
    "GUARD-LINE-U",
    "GUARD-LINE-M",
    "GUARD-LINE-LM",
    "GUARD-LINE-L",
    "ROPE",
    "ROPE-FILL",
    "FITTING",
    "SYMBOL",
    "THIN",
    "EDGE",
    "HIDDEN",
    "CENTRE",
    "ADJACENT",
    "HATCH",
    "DIM",
    "HOLD",
    "OPEN-ITEM",
    "TEXT",
    "NOTE",
    "SECOND",
    "RULE",
    "TABLE",
    "HEAD-RULE",
    "FRAME",
    "GRID",
    "TITLE",
    "CUT",
    "MARK",
    "VIEWPORT",
]
YardLayer = Annotated[
    str,
    _form(
        r"""^[^<>/\\":;?*|=,`\x00-\x1f\x7f]{1,120}$""",
        '1 to 120 characters, none of < > / \\ " : ; ? * | = , ` and no line break',
    ),
    AfterValidator(_layer_name),
]
_EDITION = "^[A-Za-z0-9][A-Za-z0-9.+-]{0,19}$"
EditionWord = Annotated[str, _form(_EDITION, "the edition's year or word: 2014"), _text_or_number(_EDITION)]
BoatFormat = Annotated[Literal[2], BeforeValidator(_whole_number)]
# Survey files, deck plan mappings and as-built records are in their first format.
FirstFormat = Annotated[Literal[1], BeforeValidator(_whole_number)]
Yes = Annotated[Literal[True], BeforeValidator(_yes)]
