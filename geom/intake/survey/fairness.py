"""Fair line and as-found check: feet off a fair curve, leans out of family, likely bent posts, spacing, pairs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from statistics import median

from geom import vec
from geom.boat.model import Boat, Post, Side
from geom.data import table
from geom.frozen import cached_property, frozen
from geom.intake.survey.closure import named_points
from geom.units import Mm, Rad
from geom.vec import Vec


@frozen
class FairRow:
    """Position of one foot [mm]: off the curve through its neighbours (outboard +), and inboard of the deck edge.

    `off_curve` is None with too few neighbours; `inboard` and `off_family` are None where the deck edge was not
    measured. `off_family` is inboard less the median of this boat. `out` is whether the foot is over the limit:
    by the edge where the edge is known, else by the curve.
    """

    post: str
    off_curve: Mm | None
    inboard: Mm | None
    off_family: Mm | None
    out: bool


@frozen
class LeanRow:
    """Attitude of one tube against its family [rad], and the deviation of its highest hole [mm].

    `outboard` and `aft` are the hole's distances from its position on a tube of usual lean and rake, outboard +
    and aft +. `bent` is whether lean or rake is over the limit and the twin
    on the other side does not stand the same.
    """

    post: str
    lean: Rad
    usual_lean: Rad
    rake: Rad
    usual_rake: Rad
    outboard: Mm
    aft: Mm
    bent: bool

    def words(self) -> str:
        """Return the post's condition in one sentence."""
        if not self.bent:
            return f"{self.post}: as the others"
        offsets = []
        for distance, ahead, behind in ((self.outboard, "outboard", "inboard"), (self.aft, "aft", "forward")):
            if abs(distance) >= 1.0:
                offsets.append(f"{abs(distance):.0f} mm {ahead if distance > 0.0 else behind}")
        angle = math.degrees(math.hypot(self.lean - self.usual_lean, self.rake - self.usual_rake))
        return f"{self.post}: probably bent, {angle:.1f} deg off the usual, upper hole {' and '.join(offsets)} of it"


@frozen
class SpacingRow:
    """Distance between neighbouring posts at their highest holes [mm], and its ratio to the boat's median."""

    start: str
    end: str
    distance: Mm
    over_usual: float


@dataclass(frozen=True)
class TwinRow:
    """Difference of a starboard post from its port twin [mm, rad], positive outboard, aft and up."""

    name: str
    station: Mm
    out: Mm
    height: Mm
    lean: Rad
    rake: Rad
    upper_out: Mm
    alike: bool


@frozen
class AsFound:
    """The whole as-found check: feet off the fair line, tubes off the usual attitude, distances, twins.

    `pair_limit` is the largest difference within a pair of twins [mm].
    """

    boat: Boat = field(repr=False)
    pair_limit: Mm
    fair: tuple[FairRow, ...]
    leans: tuple[LeanRow, ...]

    @cached_property
    def spacing(self) -> tuple[SpacingRow, ...]:
        """The distance between neighbouring posts."""
        return spacing_rows(self.boat)

    @cached_property
    def twins(self) -> tuple[TwinRow, ...]:
        """The difference of each starboard post from its port twin."""
        return twin_rows(self.boat, self.pair_limit)


def as_found(boat: Boat, fair_limit: Mm, lean_limit: Rad, pair_limit: Mm) -> AsFound:
    """Return the as-found check of a boat.

    Args:
        boat: the boat.
        fair_limit: largest distance of a foot off the fair line [mm].
        lean_limit: largest deviation of lean or rake from its family [rad].
        pair_limit: largest difference within a pair of twins [mm].
    """
    return AsFound(boat, pair_limit, fair_rows(boat, fair_limit), lean_rows(boat, lean_limit))


def customary_limits() -> tuple[Mm, Rad, Mm]:
    """Return the default fair-line [mm], lean [rad] and pair [mm] limits; common practice, no source."""
    return (
        table.datum("survey_limits", key="fair line").value,
        math.radians(table.datum("survey_limits", key="lean out of family").value),
        table.datum("survey_limits", key="pairs").value,
    )


def _row_of(boat: Boat, side: Side) -> list[Post]:
    return sorted((post for post in boat.posts if post.side == side), key=lambda post: post.foot[0])


def fair_rows(boat: Boat, limit: Mm) -> tuple[FairRow, ...]:
    """Return each foot against the fair curve through its neighbours and against the deck edge."""
    inboard = {post.id: _inboard(boat.edge(post.side), post.foot) for post in boat.posts}
    known = [value for value in inboard.values() if value is not None]
    # Two feet are no family: either may be the one out of line.
    usual = median(known) if len(known) >= 3 else None
    rows = []
    for side in ("S", "P"):
        row = _row_of(boat, "S" if side == "S" else "P")
        feet = [(post.foot[0], abs(post.foot[1])) for post in row]
        for index, post in enumerate(row):
            off_curve = off_fair_curve(feet, index)
            own = inboard[post.id]
            off_family = None if own is None or usual is None else own - usual
            # The edge is independent evidence; a curve through neighbours also bends where a neighbour is out of line.
            deviation = off_curve if off_family is None else off_family
            out = deviation is not None and abs(deviation) > limit
            rows.append(FairRow(post.id, off_curve, own, off_family, out))
    return tuple(rows)


def off_fair_curve(points: Sequence[tuple[float, float]], index: int) -> float | None:
    """Return a point's distance off the polynomial through its nearest neighbours [mm], up to two on each side.

    Lagrange's polynomial of degree at most 3; None for an end point and with fewer than three neighbours,
    since a straight line through two says nothing about a curved side.

    Args:
        points: station and half-breadth [mm], from forward to aft.
        index: the point to check.
    """
    if index in (0, len(points) - 1):
        return None
    near = [*range(max(index - 2, 0), index), *range(index + 1, min(index + 3, len(points)))]
    others = [points[other] for other in near]
    if len(others) < 3 or len({x for x, _ in others}) < len(others):
        return None
    x, y = points[index]
    fair = 0.0
    for own, (own_x, own_y) in enumerate(others):
        weight = 1.0
        for other, (other_x, _) in enumerate(others):
            if other != own:
                weight *= (x - other_x) / (own_x - other_x)
        fair += weight * own_y
    return y - fair


def _inboard(edge: Sequence[Vec], foot: Vec) -> float | None:
    """Return a foot's distance inboard of the deck edge at its station [mm]; None beyond the edge's points."""
    for (x0, y0, _), (x1, y1, _) in pairwise(edge):
        if x0 <= foot[0] <= x1 and x1 > x0:
            return abs(y0 + (y1 - y0) * (foot[0] - x0) / (x1 - x0)) - abs(foot[1])
    return None


def lean_rows(boat: Boat, limit: Rad) -> tuple[LeanRow, ...]:
    """Return each tube against the boat's usual lean and rake, the medians over both sides.

    Posts with an `intended` attitude are compared with that. A post out of its family is not called bent where its
    twin on the other side was measured to stand the same: posts are bent one by one, but built in pairs.
    """
    plain = [post for post in boat.posts if post.intended is None]
    alike = math.radians(table.datum("survey_limits", key="twins alike in lean").value)
    leans = [post.lean for post in plain]
    rakes = [post.rake for post in plain]
    rows = []
    for post in boat.posts:
        if post.intended is not None:
            usual_lean, usual_rake = post.intended.lean, post.intended.rake
        elif len(plain) >= 3:
            usual_lean, usual_rake = median(leans), median(rakes)
        else:
            usual_lean, usual_rake = post.lean, post.rake
        reach = max(hole.along for hole in post.holes.values())
        out = max(abs(post.lean - usual_lean), abs(post.rake - usual_rake)) > limit
        built_so = post.intended is None and _twin_stands_the_same(boat, post, alike)
        rows.append(
            LeanRow(
                post=post.id,
                lean=post.lean,
                usual_lean=usual_lean,
                rake=post.rake,
                usual_rake=usual_rake,
                outboard=reach * (math.sin(post.lean) - math.sin(usual_lean)),
                aft=reach * (math.sin(post.rake) - math.sin(usual_rake)),
                bent=out and not built_so,
            )
        )
    return tuple(rows)


def _twin_stands_the_same(boat: Boat, post: Post, alike: Rad) -> bool:
    """Return whether the post's twin stands at the same angles; a mirrored side is no evidence of its own."""
    twin = next((one for one in boat.posts if one.side != post.side and one.id[2:] == post.id[2:]), None)
    if twin is None or boat.mirror:
        return False
    return max(abs(post.lean - twin.lean), abs(post.rake - twin.rake)) <= alike


def _highest(post: Post, points: dict[str, Vec]) -> Vec:
    level = max(post.holes, key=lambda level: post.holes[level].along)
    return points[f"{post.id}-{level}"]


def spacing_rows(boat: Boat) -> tuple[SpacingRow, ...]:
    """Return the spacing of neighbouring posts, and its ratio to the boat's median spacing."""
    points = named_points(boat)
    pairs = []
    for side in ("S", "P"):
        row = _row_of(boat, "S" if side == "S" else "P")
        pairs += list(pairwise(row))
    distances = [vec.distance(_highest(a, points), _highest(b, points)) for a, b in pairs]
    usual = median(distances) if distances else 1.0
    return tuple(
        SpacingRow(a.id, b.id, distance, distance / usual) for (a, b), distance in zip(pairs, distances, strict=True)
    )


def twin_rows(boat: Boat, limit: Mm) -> tuple[TwinRow, ...]:
    """Return starboard less port for every post with a twin of the same name on the other side."""
    points = named_points(boat)
    port = {post.id[2:]: post for post in boat.posts if post.side == "P"}
    rows = []
    for post in boat.posts:
        twin = port.get(post.id[2:])
        if post.side != "S" or twin is None:
            continue
        station = post.foot[0] - twin.foot[0]
        out = abs(post.foot[1]) - abs(twin.foot[1])
        height = post.foot[2] - twin.foot[2]
        upper = abs(_highest(post, points)[1]) - abs(_highest(twin, points)[1])
        rows.append(
            TwinRow(
                name=post.id[2:],
                station=station,
                out=out,
                height=height,
                lean=post.lean - twin.lean,
                rake=post.rake - twin.rake,
                upper_out=upper,
                alike=max(abs(station), abs(out), abs(height), abs(upper)) <= limit,
            )
        )
    return tuple(rows)
