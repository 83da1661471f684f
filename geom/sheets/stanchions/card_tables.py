"""The tables of a post card: part and quantities, attitude, holes, fabrication tolerances, brace."""

from __future__ import annotations

import math

from geom.drafting import post_text as post_words
from geom.drafting import text as words
from geom.drafting.hole_text import bush_words, is_computed
from geom.drafting.post_text import angle, bracketed, height_words, hole_limits, length, offset, tilted
from geom.drafting.ruling import Ruled, cell, facts
from geom.drafting.sight import offset_height
from geom.figure import Cell, LengthFormat
from geom.placement.fabrication import shop_limits
from geom.placement.identical_posts import Build, alike_groups, mirror_images
from geom.placement.pads import foot_ellipse, tube_length
from geom.placement.place import PlacedHole, PlacedPost, PlateAngles, deck_normal, plate_angles, tube_axis
from geom.refit import Refit
from geom.sheets.stanchions.brace_figure import brace_of
from geom.sheets.stanchions.hole_figure import clocking_from_plate
from geom.tables import numbers
from geom.units import decimal, degrees


def part_table(refit: Refit, build: Build, ids: tuple[str, ...]) -> Ruled:
    """Return quantity by side, tube, grade, lengths, base.

    Args:
        refit: the boat as calculated.
        build: specification of the post.
        ids: the posts of this card, all of one side.
    """
    fmt, post = numbers(refit.boat), refit.placed.posts[ids[0]]
    spec = post.spec
    rows = [
        (f"POSTS, {words.SIDE[side]}", str(len(ids)) if side == post.side else "0", f"quantity:{ids[0]}:{side}")
        for side in ("S", "P")
    ]
    rows += [
        ("MIRROR IMAGE", mirror_words(refit, post.id), f"mirror:{ids[0]}"),
        ("ALIKE", alike_words(refit, ids), f"alike:{ids[0]}"),
        ("TUBE", f"Ø{length(post.tube_od, fmt, 1)} x {length(post.tube_wall, fmt, 1)}", f"tube:{ids[0]}"),
        ("GRADE", build.grade, f"grade:{ids[0]}"),
        ("LENGTH FROM DECK", length(post.top, fmt, 1), f"length:{ids[0]}"),
    ]
    if spec.base is None:
        rows += [
            ("CUT LENGTH ON AXIS", post_words.NOT_GIVEN, f"over-plate:{ids[0]}"),
            ("BASE", words.NOT_STATED, f"base:{ids[0]}"),
        ]
    else:
        base = refit.boat.bases[spec.base]
        rows.append(("CUT LENGTH ON AXIS", length(tube_length(post, base), fmt, 1), f"over-plate:{ids[0]}"))
        if base.tube == "square to the plate":
            rows.append(("FOOT CUT", "square", f"foot:{ids[0]}"))
        else:
            rows += _foot_rows(refit, post)
        rows.append(("BASE", spec.base, f"base:{ids[0]}"))
    return facts(f"{post_words.PART}, QUANTITY ({fmt.unit})", rows, f"table:part:{ids[0]}")


def _foot_rows(refit: Refit, post: PlacedPost) -> list[tuple[str, str, str]]:
    """Return the angle of the foot's cut off square, and the longer side of the tube."""
    fmt = numbers(refit.boat)
    across = length(post.tube_od * math.tan(post.plate.total), fmt, 1)
    rows = [("FOOT OFF SQUARE", f"{decimal(degrees(post.plate.total), 2)}°, {across} across", f"foot:{post.id}")]
    if float(decimal(degrees(post.plate.total), 2)):
        # The tube is longer on the side opposite to its lean.
        away = foot_ellipse(post).turned + math.pi
        ahead = math.cos(away) < -1e-9
        turn = math.atan2(math.sin(away), abs(math.cos(away)))
        label = f"LONG SIDE FROM {'FORWARD' if ahead else 'AFT'}"
        rows.append((label, angle(turn, "outboard", "inboard", 1), f"long-side:{post.id}"))
    return rows


def mirror_words(refit: Refit, name: str) -> str:
    """Return the posts of the other side that are a post's mirror image, exactly or within fabrication tolerances."""
    images = mirror_images(refit.placed, name)
    if not images:
        return "none"
    near = "" if all(images.values()) else ", within limits"
    return f"{', '.join(images)}{near}"


def alike_words(refit: Refit, ids: tuple[str, ...]) -> str:
    """Return the other posts of a side that are identical to the given ones within fabrication tolerances."""
    groups = alike_groups(refit.placed)
    others = [name for name, group in groups.items() if group == groups[ids[0]] and name not in ids]
    return f"{', '.join(others)}, within limits" if others else "none"


def attitude_table(refit: Refit, post: PlacedPost) -> Ruled:
    """Return lean, rake, slope of the deck, angles to the deck and offsets: as found, and as planned where given."""
    fmt, tag = numbers(refit.boat), f"table:attitude:{post.id}"
    falls, intended = post.spec.deck_falls, post.spec.intended
    found = _attitude(refit, post, post.lean, post.rake, post.plate)
    title = f"{{}} (offsets at {height_words(offset_height(refit), fmt)})"
    if intended is None:
        column = "planned" if refit.boat.survey == "as designed" else "found"
        rows = [(label, text, f"{column}:{post.id}:{key}") for label, key, text in found]
        return facts(title.format(f"AS {column.upper()}"), rows, tag)
    axis = tube_axis(post.side, intended.lean, intended.rake)
    plate = plate_angles(axis, deck_normal(post.side, falls.aft, falls.outboard), post.side)
    planned = _attitude(refit, post, intended.lean, intended.rake, plate)
    cells = tuple(
        (Cell(label), Cell(a, f"found:{post.id}:{key}"), Cell(b, f"planned:{post.id}:{key}"))
        for (label, key, a), (_, _, b) in zip(found, planned, strict=True)
    )
    return Ruled(title.format(post_words.ATTITUDE), ("", post_words.AS_FOUND, post_words.AS_PLANNED), cells, tag)


def _attitude(
    refit: Refit, post: PlacedPost, lean: float, rake: float, plate: PlateAngles
) -> list[tuple[str, str, str]]:
    fmt, height, falls = numbers(refit.boat), offset_height(refit), post.spec.deck_falls
    square = post.spec.base is not None and refit.boat.bases[post.spec.base].tube == "square to the plate"
    return [
        ("LEAN, FROM PLUMB", "lean", angle(lean, "outboard", "inboard")),
        ("RAKE, FROM PLUMB", "rake", angle(rake, "aft", "forward")),
        ("DECK FALLS", "falls-aft", angle(falls.aft, "aft", "forward")),
        ("DECK FALLS", "falls-out", angle(falls.outboard, "outboard", "inboard")),
        ("TO DECK, ACROSS", "plate-out", angle(plate.out, "outboard", "inboard")),
        ("TO DECK, F-AND-A", "plate-aft", angle(plate.aft, "aft", "forward")),
        ("RESULTANT", "plate-total", f"{decimal(degrees(plate.total), 2)}°"),
        *((("TO PLATE", "to-plate", "square"),) if square else ()),
        ("OFFSET, ACROSS", "offset-out", offset(height * math.tan(plate.out), "outboard", "inboard", fmt)),
        ("OFFSET, F-AND-A", "offset-aft", offset(height * math.tan(plate.aft), "aft", "forward", fmt)),
    ]


def holes_table(refit: Refit, post: PlacedPost) -> Ruled:
    """Return each hole with its positions on both faces of the tube, sizes, clocking, tilt, bush."""
    planned = any(hole.spec.planned is not None for hole in post.holes)
    head = (
        "HOLE", "ALONG", "FWD FACE", "AFT FACE", "Ø", *(("LIMITS",) if planned else ()), "CLOCKING", "ARC", "TILT",
        "BUSH",
    )  # fmt: skip
    rows = tuple(_hole_row(refit, post, hole, planned) for hole in post.holes)
    return Ruled(f"{post_words.HOLES} ({numbers(refit.boat).unit})", head, rows, f"table:holes:{post.id}")


def _hole_row(refit: Refit, post: PlacedPost, hole: PlacedHole, with_planned: bool) -> tuple[Cell, ...]:
    fmt = numbers(refit.boat)
    drilling, computed = refit.placed.drillings[hole.id], is_computed(hole)
    turn = clocking_from_plate(post, drilling)
    rise = 0.5 * post.tube_od * math.tan(drilling.tilt)
    planned = hole.spec.planned
    arc = length(0.5 * post.tube_od * abs(turn), fmt, 1)
    values = {
        "hole": hole.level,
        "along": length(hole.along, fmt, 1),
        "fwd": bracketed(length(hole.along - rise, fmt, 1), computed),
        "aft": bracketed(length(hole.along + rise, fmt, 1), computed),
        "size": _size(hole, fmt),
    }
    if with_planned:
        values["limits"] = "unchanged" if planned is None else hole_limits(planned.diameter, fmt)
    values |= {
        "clock": bracketed(angle(turn, "outboard", "inboard", 1), computed),
        "arc": bracketed(arc, computed),
        "tilt": bracketed(tilted(drilling.tilt), computed),
        "bush": bush_words(refit, hole),
    }
    return tuple(
        cell(text, f"card:{hole.id}:{key}", "left" if key == "hole" else "right") for key, text in values.items()
    )


def _size(hole: PlacedHole, fmt: LengthFormat) -> str:
    """Return a hole's diameter, as found or planned, or both where it is to be enlarged."""
    found, planned = hole.spec.as_found, hole.spec.planned
    if planned is None:
        return f"{length(hole.diameter, fmt, 1)} found"
    was = "planned" if found is None else f"planned, was {length(found.diameter, fmt, 1)}"
    return f"{length(planned.diameter, fmt, 1)} {was}"


def limits_table(refit: Refit) -> Ruled:
    """Return the fabrication tolerances of a new post."""
    fmt, limits = numbers(refit.boat), shop_limits()
    rows = (
        ("LENGTH", f"±{length(limits.tube_length, fmt, 1)}", "limit:tube-length"),
        ("HOLE ALONG", f"±{length(limits.hole_position, fmt, 1)}", "limit:hole-position"),
        ("CLOCKING", f"±{degrees(limits.clocking):g}°", "limit:clocking"),
        ("TO PLATE", f"±{degrees(limits.tube_to_plate):g}°", "limit:tube-to-plate"),
    )
    return facts(f"{post_words.SHOP_LIMITS} ({fmt.unit})", rows, "table:limits")


def brace_table(refit: Refit, post: PlacedPost) -> Ruled | None:
    """Return position and length of a post's brace on its axis, None for a post without one."""
    brace = brace_of(post)
    if brace is None:
        return None
    fmt = numbers(refit.boat)
    up = offset(brace.up, "above", "below", fmt)
    rows = (
        ("FOOT, F-AND-A", offset(brace.aft, "aft", "forward", fmt), f"brace:{post.id}:aft"),
        ("FOOT, ACROSS", offset(brace.out, "outboard", "inboard", fmt), f"brace:{post.id}:out"),
        ("FOOT, HEIGHT", up if " " in up else f"{up} level", f"brace:{post.id}:up"),
        ("ALONG TUBE", length(brace.along, fmt, 1), f"brace:{post.id}:along"),
        ("SLANT", length(brace.slant, fmt), f"brace:{post.id}:slant"),
        ("ANGLE TO TUBE", f"{decimal(degrees(brace.angle), 1)}°", f"brace:{post.id}:angle"),
    )
    return facts(f"BRACE, tube not given ({fmt.unit})", rows, f"table:brace:{post.id}")
