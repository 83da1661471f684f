"""The dimensions of a gate's chain of eyes, fittings and line."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from geom import vec
from geom.figure import Dimension, Point
from geom.lettering import width as text_width
from geom.rigging.gate_chain import GateChain, GateTerm
from geom.sheets.gate import text as words
from geom.vec import Vec

# Rows of dimensions over the upper line [paper mm].
ROWS = (24.0, 17.0, 9.5)
# A fitting shorter than this on paper has its number beside it [paper mm].
_NUMBER = 10.0


def chain_dimensions(
    chain: GateChain, ends: tuple[Vec, ...], flat: Callable[[Vec], Point], upper: bool, room: bool, mm: float
) -> list[Dimension]:
    """Return the chain over the upper line and its clear opening under it, the pins alone under a lower line.

    Args:
        chain: of one level.
        ends: where it begins and ends, in boat axes [mm].
        flat: from boat axes to the view.
        upper: whether it is the highest.
        room: whether a dimension fits under the line.
        mm: view millimetres to a paper millimetre.
    """
    hand = 1.0 if flat(ends[1])[0] > flat(ends[0])[0] else -1.0
    a, b = ends

    def between(start: float, end: float, offset: float, text: str, key: str, strong: bool = False) -> Dimension:
        p, q = (vec.along(a, vec.unit(vec.sub(b, a)), at) for at in (start, end))
        first, last = (p, q) if hand > 0.0 else (q, p)
        # Out of the view's plane by what the flat picture does not show.
        flat_length, true = math.dist(flat(first), flat(last)), vec.distance(first, last)
        level = math.sqrt(max(0.0, true * true - flat_length * flat_length))
        return Dimension(flat(first), flat(last), offset, text=text, levels=(0.0, level),
                         tag=f"gate:{chain.gate}:{chain.level}:{key}", height=3.5 if strong else None,
                         weight="semibold" if strong else "regular")  # fmt: skip

    whole = chain.hole_to_hole
    if not upper and not room:
        return []
    first, last = (
        (term.length if term.kind == "eye" else 0.0 for term in (chain.terms[0], chain.terms[-1]))
        if chain.terms
        else (0.0, 0.0)
    )
    # A line through a removable post is longer than its pins are apart: the table has its length.
    straight = chain.pin_to_pin is None or abs(chain.pin_to_pin - (whole - first - last)) < 1e-6
    if not upper:
        if not straight:
            return []
        if not chain.terms:
            return [between(0.0, whole, -9.0, words.across(chain.faces), "hole-to-hole")]
        return [between(first, whole - last, -9.0, words.PIN_TO_PIN, "pin-to-pin")]
    items = [between(0.0, whole, ROWS[0], words.across(chain.faces), "hole-to-hole", True)]
    if room:
        items.append(between(chain.faces[0], whole - chain.faces[1], -11.0, words.CLEAR, "clear", True))
    if not chain.terms:
        return items
    if (first or last) and straight:
        items.append(between(first, whole - last, ROWS[1], words.PIN_TO_PIN, "pin-to-pin"))
    done = 0.0
    shown = tuple(_dimensioned(chain.terms, mm))
    for number, term in shown:
        text = words.FINISHED if term.kind == "line" and _named(shown, number, mm) else "<>"
        one = between(done, done + term.length, ROWS[2], text, f"{term.kind}:{number}")
        if term.kind == "eye":
            outward = (-1.0 if number == 0 else 1.0) * hand
            shift = outward * (0.5 * term.length / mm + 9.0)
            one = replace(one, shift=shift)
        elif term.kind == "fitting" and term.length / mm < _NUMBER:
            # Towards the line, as the eye beside it has its number on the other side; outward where there is no eye.
            inward = (1.0 if number < len(chain.terms) / 2.0 else -1.0) * hand
            way = -inward if number in (0, len(chain.terms) - 1) else inward
            one = replace(one, shift=way * (0.5 * term.length / mm + 5.2))
        items.append(one)
        done += term.length
    return items


def _named(shown: Sequence[tuple[int, GateTerm]], line: int, mm: float) -> bool:
    """Return whether the line of a chain has room for its name beside its number, and for numbers moved towards it."""
    place = next(at for at, (number, _) in enumerate(shown) if number == line)
    moved = [
        0 < at < len(shown) - 1 and shown[at][1].kind == "fitting" and shown[at][1].length / mm < _NUMBER
        for at in (place - 1, place + 1)
    ]
    room = shown[place][1].length / mm - moved.count(True) * _NUMBER
    return room > text_width(words.FINISHED.replace("<>", "0000.0"), 2.5) + 2.0


def _dimensioned(terms: Sequence[GateTerm], mm: float) -> Iterator[tuple[int, GateTerm]]:
    """Yield the terms of a chain that are dimensioned, each with its place in the chain.

    The fittings of one end have one dimension where one of them is too short on paper for its number.
    """
    done = 0
    for kind, group in groupby(terms, key=lambda term: term.kind):
        alike = tuple(group)
        if kind == "fitting" and len(alike) > 1 and min(term.length for term in alike) / mm < _NUMBER:
            # The first of an end at a rail, the last of one at its other end.
            at = done if done == 0 else done + len(alike) - 1
            whole = math.fsum(term.length for term in alike)
            yield at, GateTerm("fitting", " and ".join(term.name for term in alike), whole)
        else:
            yield from ((done + place, term) for place, term in enumerate(alike))
        done += len(alike)
