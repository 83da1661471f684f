"""Many places in few words: runs that the same end or span is spoken of stand together, so that they can be counted."""

from __future__ import annotations

from collections.abc import Sequence

from geom.sheets.compliance import text as words

_ENDS = ("forward end", "after end")
_BOTH = " ".join(_ENDS)


def places_words(places: Sequence[str]) -> str:
    """Return places with what is spoken of at each: `S-S1; forward end of S-A-U; both ends of S-F-L, P-F-L`.

    Args:
        places: as findings name them: `S-S1`, `S-F-L, after end` or `S-F-L, span 2: S-S1-L to S-S2-L`.
    """
    parts = [place.partition(": ")[0].partition(", ")[::2] for place in places]
    ends: dict[str, set[str]] = {}
    for name, part in parts:
        ends.setdefault(name, set()).update({part} & set(_ENDS))
    named: dict[str, list[str]] = {}
    for name, part in parts:
        both = part in _ENDS and len(ends[name]) == len(_ENDS)
        named.setdefault(_BOTH if both else part, []).append(name)
    said = []
    for part, names in named.items():
        runs = ", ".join(dict.fromkeys(names))
        if part == _BOTH:
            said.append(words.ALSO_BOTH.format(runs=runs))
        else:
            said.append(words.ALSO_PART.format(part=part, runs=runs) if part else runs)
    return "; ".join(said)
