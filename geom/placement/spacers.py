"""Spacer tubes on the bolts of double eyes through posts, where the bolt is thinner than its hole.

A bolt that is loose in both walls of a tube lets its eye work and the tube be crushed; a spacer fills the hole, or the
liner of it, and is as long as the tube is thick, or as a liner that stands out of it, so that the collars bear on it.
Source: common practice, no source; the bolt is that of data/parts/gate_eye.csv, as the boat file states none.
"""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import Boat
from geom.parts.catalogue import data_of, sizes
from geom.units import Mm

# A hole wider than its bolt by no more than this is a clearance hole [mm]; ISO 273 has 0.6 for a bolt of 6, medium.
CLEARANCE = 1.0


@dataclass(frozen=True)
class Spacer:
    """A spacer tube: outside as the hole or the bore of its liner, bore for the bolt, length of the way [mm]."""

    od: Mm
    bore: Mm
    length: Mm


def gate_eye_bolt() -> Mm:
    """Return the bolt of a double eye through a post [mm], where the boat file states none."""
    return data_of("gate_eye", sizes("gate_eye")[0])["bolt"].value


def spacer_tubes(boat: Boat) -> dict[str, Spacer]:
    """Return the spacer of each hole whose double eye has a thinner bolt, by the hole's id."""
    bolt, found = gate_eye_bolt(), {}
    for run in boat.runs:
        for end in (run.start, run.finish):
            if end.post is None or not end.eye_offset:
                continue
            post = boat.post(end.post)
            hole = post.holes.get(run.level)
            if hole is None:
                continue
            clear, long = hole.diameter, boat.tubes[post.tube].od
            if hole.liner is not None:
                clear, long = hole.liner.bore, max(long, hole.liner.length)
            if clear > bolt + CLEARANCE:
                found[f"{post.id}-{run.level}"] = Spacer(clear, bolt, long)
    return found
