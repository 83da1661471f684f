"""A deck plan read by its mapping: posts, eyes and deck edge in boat axes, echoed as a table before any use."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import pairwise

from geom.boat.model import LEVELS, Side
from geom.errors import Fault, InputError
from geom.intake.deck_plan.chains import ON_CENTRELINE, SAME_PLACE, halves, joined, middle, size
from geom.intake.deck_plan.drawing import Chain, Drawing, Mark
from geom.intake.deck_plan.mapping import DrawingUnit, EntityPlace, Marks, Named, Pick, PlanMapping, Profile
from geom.intake.deck_plan.result import Frame, PlanEdge, PlanPoint, PlanReading
from geom.units import QuantityError, in_unit, read_quantity

# The units that a drawing may be in, the usual ones first.
_UNITS: tuple[DrawingUnit, ...] = ("mm", "m", "in", "cm", "ft")
# Sides with the sign of Y on them.
_SIGNS: tuple[tuple[Side, float], ...] = (("S", 1.0), ("P", -1.0))
# Before the unit is known: ends are joined within this share of the drawing's extent.
_SAME_SHARE = 1e-6
# Permitted difference of the stated from the drawn distance to the aft point, as a share.
_SCALE_TOLERANCE = 0.002
# Heights at one station that differ by more belong to different points [mm].
_SAME_HEIGHT = 1.0


def read_plan(drawing: Drawing, mapping: PlanMapping) -> PlanReading:
    """Read a deck plan.

    Args:
        drawing: the content of the DXF file.
        mapping: which layers and blocks hold what.

    Raises:
        InputError: no or contradicting units, no or several entities for the stem, layers or blocks that are
            not in the drawing, duplicate names, sides that contradict names.
    """
    return _Reader(drawing, mapping).read()


class _Reader:
    def __init__(self, drawing: Drawing, mapping: PlanMapping) -> None:
        self.drawing = drawing
        self.mapping = mapping
        self.faults: list[Fault] = []
        self.notes: list[str] = list(drawing.notes)

    def read(self) -> PlanReading:
        self._check_names()
        self._stop()
        unit, stated_by = self._units()
        self.unit = unit
        self.scale = 1.0 / in_unit(1.0, unit)
        frame = self._frame()
        points = [*self._points("post", self.mapping.posts, frame), *self._points("eye", self.mapping.eyes, frame)]
        self._check_ids(points)
        edges = self._edges(frame)
        self._stop()
        return PlanReading(
            source=self.drawing.source,
            units=unit,
            units_from=stated_by,
            bow=_towards((-frame.aft[0], -frame.aft[1])),
            starboard=_towards(frame.starboard),
            points=tuple(points),
            edges=tuple(edges),
            notes=tuple(self.notes),
            frame=frame,
            drawn_aft=frame.place((*self._picked("aft", self.mapping.axis.aft), 0.0))[0],
            aft_x=self.mapping.axis.aft_x,
            numbered=self.mapping.posts is not None and self.mapping.posts.name is None,
        )

    def _stop(self) -> None:
        if self.faults:
            raise InputError(self.drawing.source, self.faults)

    def _units(self) -> tuple[str, str]:
        """Return the unit that the measured distance proves, over a header that says otherwise, and what says so."""
        stated, header = self.mapping.drawing_units, self.drawing.units
        reach = math.dist(self._picked("stem", self.mapping.axis.stem), self._picked("aft", self.mapping.axis.aft))
        aft_x = self.mapping.axis.aft_x
        by = ((header, "by its header"), (stated, "as the mapping states"))
        said = [(unit, word) for unit, word in by if unit is not None]
        fits = [unit for unit in _UNITS if abs(reach / in_unit(1.0, unit) - aft_x) <= _SCALE_TOLERANCE * aft_x]
        found = next((pair for pair in said if pair[0] in fits), None)
        if found is None and fits:
            found = (fits[0], "proved by the distance to the aft point")
        if found is not None:
            wrong = {unit: word for unit, word in said if unit != found[0]}
            self.notes += [
                f"not {unit} {word}: the distance to the aft point proves {found[0]}" for unit, word in wrong.items()
            ]
            return found
        unit = said[0][0] if said else "mm"
        drawn = reach / in_unit(1.0, unit)
        fault = Fault(
            f"the aft point is drawn {drawn:.1f} mm from the stem and stated as {aft_x:.1f} mm: "
            f"the drawing is {drawn / aft_x:.4g} times the boat, if a drawing unit is 1 {unit}",
            key="axis.aft_x",
            valid="the drawing's units and scale checked, and the distance measured again",
        )
        raise InputError(self.drawing.source, [fault])

    def _check_names(self) -> None:
        parts: list[tuple[str, Named | None]] = [
            ("posts", self.mapping.posts),
            ("eyes", self.mapping.eyes),
            ("deck_edge", self.mapping.deck_edge),
            ("profile", self.mapping.profile.marks if self.mapping.profile else None),
        ]
        layers = {layer.lower() for layer in self.drawing.layers}
        blocks = {block.lower() for block in self.drawing.blocks}
        for key, named in parts:
            if named is None:
                continue
            if named.layer is None and named.block is None:
                self.faults.append(Fault("neither a layer nor a block", key=key))
            if named.layer is not None and named.layer.lower() not in layers:
                self._not_drawn(key, "layer", named.layer, self.drawing.layers)
            if named.block is not None and named.block.lower() not in blocks:
                self._not_drawn(key, "block", named.block, self.drawing.blocks)

    def _not_drawn(self, key: str, kind: str, name: str, drawn: tuple[str, ...]) -> None:
        shown = ", ".join(drawn[:20]) or "none"
        self.faults.append(Fault(f"no such {kind} in the drawing", key=key, read=name, valid=shown))

    def _chosen(self, named: Named) -> list[Mark]:
        """Return the marks of a kind, without entities that are parts of a chosen block's symbol."""
        matches = [mark for mark in self.drawing.marks if _is_of(named, mark.layer, mark.block)]
        serials = {mark.serial for mark in matches}
        chosen = [mark for mark in matches if not serials & set(mark.inside)]
        return chosen or self._outlines(named)

    def _outlines(self, named: Named) -> list[Mark]:
        """Return closed outlines on a layer as marks at their middle: some programs write circles as curves."""
        if named.block is not None or named.layer is None:
            return []
        chains = [chain for chain in self.drawing.chains if _is_of(named, chain.layer, "")]
        reach = max((abs(value) for chain in chains for point in chain.points for value in point), default=0.0)
        within = _SAME_SHARE * reach
        long = [chain for chain in chains if size(chain) > within]
        loops = [
            one for one in joined(long, within) if math.dist(one.points[0], one.points[-1]) <= within or one.closed
        ]
        return [
            Mark("outline", middle(one), one.layer, "", one.handle, serial=-number)
            for number, one in enumerate(loops, start=1)
        ]

    def _picked(self, key: str, where: Pick | EntityPlace) -> tuple[float, float]:
        if not isinstance(where, EntityPlace):
            return where
        matches = self._chosen(where)
        if len(matches) != 1:
            read = ", ".join(mark.place for mark in matches[:4])
            message = f"{len(matches)} entities for the {key}"
            self.faults.append(Fault(message, key=f"axis.{key}", read=read, valid="one"))
            self._stop()
        return matches[0].at[0], matches[0].at[1]

    def _frame(self) -> Frame:
        stem = self._picked("stem", self.mapping.axis.stem)
        aft = self._picked("aft", self.mapping.axis.aft)
        reach = math.dist(stem, aft)
        ux, uy = (aft[0] - stem[0]) / reach, (aft[1] - stem[1]) / reach
        # Seen from above, starboard is 90 degrees counter-clockwise from aft.
        starboard = (-uy, ux)
        if self.mapping.mirrored:
            starboard = (uy, -ux)
            self.notes.append("the plan is read as mirrored, as the mapping states")
        return Frame(stem, (ux, uy), starboard, self.scale)

    def _points(self, kind: str, marks: Marks | None, frame: Frame) -> list[PlanPoint]:
        if marks is None:
            return []
        found = []
        for mark in self._chosen(marks):
            x, y = frame.place(mark.at)
            if not math.isfinite(x + y):
                self.faults.append(Fault("a coordinate that is not a number", key=mark.place))
                continue
            name = self._attribute(mark, marks.name)
            z = self._length(mark, marks.z)
            if z is not None and not mark.attributes[str(marks.z).upper()].rstrip()[-1:].isalpha():
                # A bare number is in the units of the plan around it, and enlarged with it.
                z *= mark.scale
            if z is None and mark.at[2] != 0.0:
                z = mark.at[2] * self.scale
            lean, rake = self._angle(mark, marks.lean), self._angle(mark, marks.rake)
            found.append(PlanPoint(kind, name or "", x, y, z, lean, rake, mark.place))
        if not found:
            layer = f"layer {marks.layer}" if marks.layer else f"block {marks.block}"
            held = self.drawing.contents(marks.layer) if marks.layer else ""
            self.faults.append(
                Fault(f"no {kind}s on {layer}", key=f"{kind}s", read=held, valid="points, circles or blocks")
            )
        found = self._once(kind, found)
        named = [self._named(point, marks) for point in found]
        if marks.name is None:
            named = self._numbered(kind, named)
        return sorted((self._raised(point) for point in named), key=lambda point: (point.id[:1] != "S", point.x))

    def _once(self, kind: str, points: list[PlanPoint]) -> list[PlanPoint]:
        """Refuse unnamed points that are drawn twice at one place: each would count."""
        for index, point in enumerate(points):
            for other in points[:index]:
                if not (point.id or other.id) and math.hypot(point.x - other.x, point.y - other.y) < SAME_PLACE:
                    message = f"two {kind}s at one place, the other is {other.place}"
                    self.faults.append(Fault(message, key=point.place, valid="one of them taken out"))
        return points

    def _named(self, point: PlanPoint, marks: Marks) -> PlanPoint:
        if marks.name is None:
            return point
        name = point.id.upper()
        if not name:
            self.faults.append(Fault(f"the attribute {marks.name} is missing", key=point.place))
        if not name.startswith(("S-", "P-")) and abs(point.y) > ON_CENTRELINE:
            name = f"{'S' if point.y > 0.0 else 'P'}-{name}"
        return replace(point, id=name)

    def _numbered(self, kind: str, points: list[PlanPoint]) -> list[PlanPoint]:
        if kind != "post":
            self.faults.append(
                Fault("eyes without names", key="eyes", valid="`name`: the tag of the attribute with the id")
            )
            return points
        numbered = []
        for side, sign in _SIGNS:
            row = sorted((point for point in points if point.y * sign > ON_CENTRELINE), key=lambda point: point.x)
            numbered += [replace(point, id=f"{side}-S{number}") for number, point in enumerate(row, start=1)]
        self.notes.append("posts numbered from the bow on each side, since the mapping names no attribute")
        for point in points:
            if abs(point.y) <= ON_CENTRELINE:
                self.faults.append(Fault("a post on the centreline", key=point.place))
        return numbered

    def _raised(self, point: PlanPoint) -> PlanPoint:
        if point.id in self.mapping.heights:
            return replace(point, z=self.mapping.heights[point.id])
        profile = self.mapping.profile
        if point.z is None and profile is not None and point.kind == "post":
            return replace(point, z=self._from_profile(point, profile))
        return point

    def _from_profile(self, point: PlanPoint, profile: Profile) -> float | None:
        """Return a height from the side view [mm]: by name where its blocks carry names, else by station."""
        aft = 1.0 if profile.bow == "left" else -1.0
        seen = []
        for mark in self._chosen(profile.marks):
            x = profile.x + aft * (mark.at[0] - profile.at[0]) * self.scale
            z = profile.z + (mark.at[1] - profile.at[1]) * self.scale
            name = (self._attribute(mark, profile.marks.name) or "").upper()
            if name == point.id or (not name and abs(x - point.x) <= profile.within):
                seen.append((abs(x - point.x), z, mark))
        if not seen:
            self.faults.append(
                Fault(f"no height of {point.id} in the side view", key="profile", read=f"X {point.x:.0f} mm")
            )
            return None
        heights = [z for _, z, _ in seen]
        if max(heights) - min(heights) > _SAME_HEIGHT:
            read = ", ".join(f"{z:.0f} mm at {mark.place}" for _, z, mark in seen[:3])
            self.faults.append(Fault(f"several heights of {point.id} in the side view", key="profile", read=read))
        return min(seen, key=lambda match: match[0])[1]

    def _attribute(self, mark: Mark, tag: str | None) -> str | None:
        return None if tag is None else mark.attributes.get(tag.upper()) or None

    def _length(self, mark: Mark, tag: str | None) -> float | None:
        text = self._attribute(mark, tag)
        if text is None:
            return None
        try:
            return read_quantity(text, "length", self.unit)[0]
        except QuantityError as error:
            self.faults.append(Fault(str(error), key=f"{mark.place}, {tag}", read=text[:40], valid=error.valid))
            return None

    def _angle(self, mark: Mark, tag: str | None) -> float | None:
        text = self._attribute(mark, tag)
        if text is None:
            return None
        try:
            return read_quantity(text, "angle", "deg")[0]
        except QuantityError as error:
            self.faults.append(Fault(str(error), key=f"{mark.place}, {tag}", read=text[:40], valid=error.valid))
            return None

    def _check_ids(self, points: list[PlanPoint]) -> None:
        seen: dict[str, PlanPoint] = {}
        for point in points:
            if point.id in seen:
                message = f"duplicate {point.kind} name, also on {seen[point.id].place}"
                self.faults.append(Fault(message, key=point.place, read=point.id))
            seen[point.id] = point
            if point.id and not re.fullmatch(rf"[PS]-[A-Z][A-Z0-9]*(-({'|'.join(LEVELS)}))?", point.id):
                valid = "such as S-S2, S-PULPIT-U"
                self.faults.append(
                    Fault("not the name of a post or an eye", key=point.place, read=point.id, valid=valid)
                )
        sided = [point for point in points if point.id.startswith(("S-", "P-"))]
        wrong = [point for point in sided if (point.y > 0.0) != point.id.startswith("S-")]
        if wrong and len(wrong) == len(sided):
            valid = "`mirrored: true` for a plan seen from below, or stem and aft exchanged"
            self.faults.append(Fault("every name contradicts its side: the plan is mirrored", valid=valid))
        else:
            for point in wrong:
                side = "starboard" if point.y > 0.0 else "port"
                self.faults.append(Fault(f"{point.id} is drawn to {side}", key=point.place))

    def _edges(self, frame: Frame) -> list[PlanEdge]:
        named = self.mapping.deck_edge
        if named is None:
            return []
        drawn = [chain for chain in self.drawing.chains if _is_of(named, chain.layer, "")]
        chains = [half for chain in joined(drawn, SAME_PLACE / self.scale) for half in halves(chain, frame)]
        edges: list[PlanEdge] = []
        for side, sign in _SIGNS:
            own = [chain for chain in chains if self._is_on(chain, frame, sign)]
            if len(own) > 1:
                read = ", ".join(chain.place for chain in own[:4])
                message = f"several deck edges on side {side} that do not meet end to end"
                self.faults.append(Fault(message, key="deck_edge", read=read, valid="one line without gaps"))
            elif own:
                edges.append(self._edge(side, own[0], frame))
        if not edges and not self.faults:
            held = self.drawing.contents(named.layer) if named.layer else ""
            valid = "a line, polyline, arc or spline for each side"
            self.faults.append(Fault("no deck edge", key="deck_edge", read=held, valid=valid))
        return edges

    @staticmethod
    def _is_on(chain: Chain, frame: Frame, sign: float) -> bool:
        return math.fsum(frame.place(point)[1] for point in chain.points) * sign > 0.0

    def _edge(self, side: Side, chain: Chain, frame: Frame) -> PlanEdge:
        if chain.curved:
            self.notes.append(f"{chain.place} is curved, read as chords within 0.1 mm of it")
        points: list[tuple[float, float, float | None]] = []
        flat = all(point[2] == 0.0 for point in chain.points)
        for point in chain.points:
            x, y = frame.place(point)
            points.append((x, y, None if flat else point[2] * self.scale))
        if points[0][0] > points[-1][0]:
            points.reverse()
        if any(after[0] <= before[0] for before, after in pairwise(points)):
            self.faults.append(Fault("a deck edge that does not run from forward to aft", key=chain.place))
        return PlanEdge(side, tuple(points), chain.place)


def _is_of(named: Named, layer: str, block: str) -> bool:
    return (named.layer is None or named.layer.lower() == layer.lower()) and (
        named.block is None or named.block.lower() == block.lower()
    )


def _towards(direction: tuple[float, float]) -> str:
    """Return a direction on the sheet as a word."""
    if abs(direction[0]) >= abs(direction[1]):
        return "right" if direction[0] > 0.0 else "left"
    return "top" if direction[1] > 0.0 else "bottom"
