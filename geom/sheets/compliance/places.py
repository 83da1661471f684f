"""Short text of many places: runs with the same end or span are grouped, so that they can be counted."""

from __future__ import annotations

from collections.abc import Sequence

from geom.placement.line_ends import BOTH
from geom.remark import Remark
from geom.sheets.compliance import text as words
from geom.words import worded


def places_words(places: Sequence[Remark]) -> str:
    """Return places with what is spoken of at each: `S-S1; forward end of S-A-U; both ends of S-F-L, P-F-L`.

    Args:
        places: as findings name them: a hole, an end or a span of a run, a line of a side.
    """
    parts = [_apart(place) for place in places]
    ends: dict[str, set[str]] = {}
    for name, part in parts:
        ends.setdefault(name, set()).update({part} & set(words.PART_ENDS.values()))
    named: dict[str, list[str]] = {}
    for name, part in parts:
        both = part in words.PART_ENDS.values() and len(ends[name]) == len(BOTH)
        named.setdefault(words.ALSO_BOTH if both else part, []).append(name)
    said = []
    for part, names in named.items():
        runs = ", ".join(dict.fromkeys(names))
        if part == words.ALSO_BOTH:
            said.append(words.ALSO_BOTH.format(runs=runs))
        else:
            said.append(words.ALSO_PART.format(part=part, runs=runs) if part else runs)
    return "; ".join(said)


def _apart(place: Remark) -> tuple[str, str]:
    """Return what a place belongs to, and the part of it that is spoken of, empty for all of it."""
    if place.code == "place.run_end":
        return str(place["run"]), words.PART_ENDS[str(place["end"])]
    if place.code == "place.span":
        return str(place["run"]), words.PART_SPAN.format(number=place["span"])
    if place.code == "place.single_line":
        return worded(Remark("place.side", side=place["side"])), words.PART_SINGLE_LINE
    return worded(place), ""
