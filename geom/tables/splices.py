"""Table of the marks of a splice in the order of work: distance, where it is measured from, and a note."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from geom.rigging.splice import Recipe
from geom.tables.table import Table, column
from geom.units import Mm, decimal, inch_fraction
from geom.words import worded


@dataclass(frozen=True)
class SpliceMark:
    """One mark of a splice: its name, where it is measured from, the distance [mm], and a note."""

    mark: str
    measured_from: str
    distance: Mm
    note: str

    @property
    def inches(self) -> str:
        """The distance in inches and sixteenths."""
        return inch_fraction(self.distance, 16)


def splice_marks(recipe: Recipe) -> Iterator[SpliceMark]:
    """Yield the marks of a splice in the order of work."""
    note = f"bury {recipe.bury_in_d:g} d"
    if recipe.buried < recipe.bury:
        note = f"{recipe.bury_in_d:g} d tail, about {math.floor(recipe.buried / recipe.diameter):.0f} d bury"
    if recipe.lock_allowance:
        note += f" and {decimal(recipe.lock_allowance, 1)} mm for the lock"
    yield SpliceMark("tail", "rope end", recipe.tail_mark, note)
    yield SpliceMark("eye", "rope end", recipe.eye_mark, f"rope round the fitting {decimal(recipe.girth, 1)} mm")
    if recipe.second_tuck is not None:
        yield SpliceMark("second tuck", "first tuck", recipe.second_tuck, recipe.lock)
    fid_out = "where the fid comes out; the end of the tail stays inside, short of it"
    yield SpliceMark("exit", "throat, along the standing part", recipe.exit_mark, fid_out)
    for number, mark in enumerate(recipe.taper_marks, start=1):
        yield SpliceMark(f"taper cut {number}", "rope end", mark.from_end, f"one strand, {mark.side}")
    taper = f"taper {decimal(recipe.taper_length, 1)} mm"
    yield SpliceMark("full section", "length of it", recipe.full_section, taper)
    for word, place in zip(("from", "to"), recipe.stitching, strict=True):
        yield SpliceMark(f"stitching {word}", "throat", place, "second row square to the first")
    take_up = recipe.take_up
    bounds = f"{decimal(take_up.minimum, 1)} to {decimal(take_up.maximum, 1)} mm; {worded(take_up.source)}"
    yield SpliceMark("take-up", "of the standing part", take_up.expected, bounds)
    yield SpliceMark("fid", "length of it", recipe.fid, "")


def splice(recipe: Recipe) -> Table:
    """Return the marks of one splice."""
    columns = (
        column(SpliceMark, "mark", "mark"),
        column(SpliceMark, "measured_from", "measured from"),
        column(SpliceMark, "distance", "mm"),
        column(SpliceMark, "distance_in=inches", "in"),
        column(SpliceMark, "note", "note"),
    )
    marks = tuple(splice_marks(recipe))
    return Table("splice", "SPLICE", columns, marks, tuple(mark.mark for mark in marks))
