"""What the fabricator makes or fits: tubes by cut length, plates, pads, braces, bushes, bolts, with masses."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace
from typing import Literal

from geom.boat.model import BasePlate
from geom.data import table
from geom.errors import OutsideTableError
from geom.placement.brace import brace_of
from geom.placement.identical_posts import post_spec
from geom.placement.placed import Placed
from geom.placement.spacers import spacer_tubes
from geom.placement.tube_cut import tube_cut
from geom.units import Gram, Mm

PartKind = Literal["tube", "brace tube", "plate", "pad", "bush", "spacer", "bolt", "cap"]
# Lengths alike to this are cut together [mm].
_ALIKE = 0.05


@dataclass(frozen=True)
class FabricatedPart:
    """Parts made alike: kind, count, sizes by name [mm], length to cut, material, mass of one, the posts they are for.

    `name` is the word of the boat file. `cut` is the length over the long point of a tube [mm], None where it is not
    known or the part has none; `material` and `mass` are None where the boat file or the data do not have them. `each`
    is how many each of the posts has, empty where that is one.
    """

    kind: PartKind
    name: str
    count: int
    sizes: tuple[tuple[str, Mm], ...]
    cut: Mm | None
    material: str | None
    mass: Gram | None
    posts: tuple[str, ...]
    each: tuple[int, ...] = ()

    def on(self, post: str) -> int:
        """Return how many of them a post has."""
        return dict(zip(self.posts, self.each or (1,) * len(self.posts), strict=True)).get(post, 0)

    @property
    def mass_of_all(self) -> Gram | None:
        """The mass of all of them [g]; None where that of one is not known."""
        return None if self.mass is None else self.count * self.mass


def density(grade: str) -> float | None:
    """Return the density of a grade of steel [g/mm3], None where the data have none.

    Source: EN 10088-1:2014 annex E, from memory; data/tube_grades.csv.

    Args:
        grade: as the boat file states it.
    """
    try:
        return table.datum("tube_grades", grade=grade, quantity="density").value * 1e-3
    except OutsideTableError:
        return None


def fabricated_parts(placed: Placed) -> tuple[FabricatedPart, ...]:
    """Return the fabricated parts of a boat: tubes from the longest down, then what goes with them."""
    return (
        *_tubes(placed),
        *_braces(placed),
        *_plates(placed),
        *_bushes(placed),
        *_spacers(placed),
        *_bolts(placed),
        *_caps(placed),
    )


def plate_volume(base: BasePlate) -> float:
    """Return the volume of a plate with its rounded corners, less its bolt holes [mm3].

    Source: geometry.

    Args:
        base: the plate.
    """
    corners = (4.0 - math.pi) * base.corner_radius**2
    holes = len(base.bolts) * 0.25 * math.pi * base.bolt_hole**2
    return base.thickness * (base.length * base.width - corners - holes)


def _tubes(placed: Placed) -> list[FabricatedPart]:
    found: list[FabricatedPart] = []
    for post in placed.posts.values():
        stated = placed.boat.tubes[post.spec.tube]
        base = None if post.spec.base is None else placed.boat.bases[post.spec.base]
        cut = tube_cut(post, base)
        length = None if base is None else cut.over_long_point
        per = density(stated.grade)
        solid = replace(post_spec(post, placed.drillings), start=cut.start)
        mass = None if per is None or base is None else per * solid.volume()
        sizes = (("od", stated.od), ("wall", stated.wall))
        one = FabricatedPart("tube", post.spec.tube, 1, sizes, length, stated.grade, mass, (post.id,))
        at = next((k for k, other in enumerate(found) if _alike(one, other)), None)
        if at is None:
            found.append(one)
        else:
            found[at] = replace(found[at], count=found[at].count + 1, posts=(*found[at].posts, post.id))
    return sorted(found, key=lambda part: -(part.cut or 0.0))


def _alike(one: FabricatedPart, other: FabricatedPart) -> bool:
    if (one.name, one.cut is None) != (other.name, other.cut is None):
        return False
    return one.cut is None or other.cut is None or abs(one.cut - other.cut) <= _ALIKE


def _braces(placed: Placed) -> list[FabricatedPart]:
    """Return the braces by their slant; the boat file has no tube for them."""
    found: dict[float, FabricatedPart] = {}
    for post in placed.posts.values():
        brace = brace_of(post)
        if brace is None:
            continue
        key = round(brace.slant, 1)
        before = found.get(key)
        ids = (post.id,) if before is None else (*before.posts, post.id)
        found[key] = FabricatedPart("brace tube", "brace", len(ids), (("slant", brace.slant),), None, None, None, ids)
    return list(found.values())


def _plates(placed: Placed) -> list[FabricatedPart]:
    found: list[FabricatedPart] = []
    for word, base in placed.boat.bases.items():
        ids = tuple(post.id for post in placed.posts.values() if post.spec.base == word)
        if not ids:
            continue
        per = None if base.material is None else density(base.material)
        mass = None if per is None else per * plate_volume(base)
        sizes = (("length", base.length), ("width", base.width), ("thickness", base.thickness))
        found.append(FabricatedPart("plate", word, len(ids), sizes, None, base.material, mass, ids))
        if base.tube == "square to the plate":
            outline = sizes[:2]
            found += [FabricatedPart("pad", f"pad of {name}", 1, outline, None, None, None, (name,)) for name in ids]
    return found


def _bushes(placed: Placed) -> list[FabricatedPart]:
    found: dict[tuple[float, float, float], list[str]] = {}
    for post, hole in placed.holes():
        bush = hole.edge.bush
        if bush is not None:
            found.setdefault((hole.diameter, bush.bore, bush.length), []).append(post.id)
    return [
        FabricatedPart("bush", "bush", len(ids), (("od", od), ("bore", bore), ("length", long)), None, None, None,
                       *_counted(ids))
        for (od, bore, long), ids in found.items()
    ]  # fmt: skip


def _spacers(placed: Placed) -> list[FabricatedPart]:
    """Return the spacer tubes of the double eyes through posts, one for each hole; their bore waits for the bolt."""
    found: dict[tuple[float, float], list[str]] = {}
    of_holes = {hole.id: post.id for post, hole in placed.holes()}
    for hole_id, spacer in spacer_tubes(placed.boat).items():
        found.setdefault((spacer.od, spacer.length), []).append(of_holes[hole_id])
    return [
        FabricatedPart("spacer", "spacer", len(ids), (("od", od), ("length", long)), None, None, None, *_counted(ids))
        for (od, long), ids in found.items()
    ]  # fmt: skip


def _bolts(placed: Placed) -> list[FabricatedPart]:
    found: dict[float, list[str]] = {}
    for post in placed.posts.values():
        if post.spec.base is not None:
            base = placed.boat.bases[post.spec.base]
            found.setdefault(base.bolt, []).extend([post.id] * len(base.bolts))
    return [
        FabricatedPart(
            "bolt", "base bolt with nut and washer", len(ids), (("diameter", bolt),), None, None, None, *_counted(ids)
        )
        for bolt, ids in found.items()
    ]


def _counted(ids: list[str]) -> tuple[tuple[str, ...], tuple[int, ...]]:
    """Return the posts of parts, each once, and how many each has."""
    counts = Counter(ids)
    return tuple(counts), tuple(counts.values())


def _caps(placed: Placed) -> list[FabricatedPart]:
    ids = tuple(post.id for post in placed.posts.values() if post.spec.cap is not None)
    return [FabricatedPart("cap", "cap", len(ids), (), None, None, None, ids)] if ids else []
