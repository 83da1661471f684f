"""Short text of many places: runs with the same end or span are grouped, so that they can be counted."""

from __future__ import annotations

from collections.abc import Sequence

from geom.sheets.compliance import text as words

_ENDS = ("forward end", "after end")
_BOTH = " ".join(_ENDS)


def places_words(places: Sequence[str]) -> str:
    """Return places grouped by part: `S-S1; forward end of S-A-U; both ends of S-F-L, P-F-L`.

    Args:
        places: as in findings: `S-S1`, `S-F-L, after end` or `S-F-L, span 2: S-S1-L to S-S2-L`.
    """
    parts = [place.partition(": ")[0].partition(", ")[::2] for place in places]
    ends: dict[str, set[str]] = {}
    for name, part in parts:
        ends.setdefault(name, set()).update({part} & set(_ENDS))
    names_of: dict[str, list[str]] = {}
    for name, part in parts:
        both = part in _ENDS and len(ends[name]) == len(_ENDS)
        names_of.setdefault(_BOTH if both else part, []).append(name)
    groups = []
    for part, names in names_of.items():
        runs = ", ".join(dict.fromkeys(names))
        if part == _BOTH:
            groups.append(words.ALSO_BOTH.format(runs=runs))
        else:
            groups.append(words.ALSO_PART.format(part=part, runs=runs) if part else runs)
    return "; ".join(groups)
