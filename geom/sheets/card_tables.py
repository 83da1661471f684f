"""The tables of a post card: part and quantities, attitude, holes, the shop's limits."""

from __future__ import annotations

import math

from geom.figure import Cell
from geom.refit import Refit
from geom.runs.alike import Build, alike_groups
from geom.runs.base_fit import length_above_plate
from geom.runs.place import PlacedHole, PlacedPost, PlateAngles, deck_normal, plate_angles, tube_axis
from geom.runs.shop import shop_limits
from geom.schedules import numbers
from geom.schedules.placing import PLATE_RULE_LENGTH
from geom.sheets import post_words, words
from geom.sheets.hole_figure import clocking_from_plate
from geom.sheets.post_words import angle, hole_limits, length, offset, rule_words, tilted
from geom.sheets.ruled import Ruled, cell, facts
from geom.units import decimal, degrees


def part_table(refit: Refit, one: Build, ids: tuple[str, ...], mirror: tuple[str, ...]) -> Ruled:
    """Return quantity by side, tube, grade, lengths, base.

    Args:
        refit: the boat worked out.
        one: what the post is made by.
        ids: the posts made by this card, all of one side.
        mirror: the posts of the other side that are its mirror image.
    """
    how, post = numbers(refit.boat), refit.placed.posts[ids[0]]
    told = post.told
    rows = [
        (words.SIDE[side], str(len(ids)) if side == post.side else "0", f"quantity:{ids[0]}:{side}")
        for side in ("S", "P")
    ]
    rows += [
        ("MIRROR IMAGE", ", ".join(mirror) or "none", f"mirror:{ids[0]}"),
        ("ALIKE, GROUP", alike_groups(refit.placed)[ids[0]], f"alike:{ids[0]}"),
        ("TUBE", f"Ø{length(post.tube_od, how, 1)} x {length(post.tube_wall, how, 1)}", f"tube:{ids[0]}"),
        ("GRADE", one.grade, f"grade:{ids[0]}"),
        ("LENGTH FROM DECK", length(post.top, how, 1), f"length:{ids[0]}"),
    ]
    if told.base is None:
        rows.append(("BASE", post_words.NOT_TOLD, f"base:{ids[0]}"))
    else:
        base = refit.boat.bases[told.base]
        rows.append(("BASE", told.base, f"base:{ids[0]}"))
        rows.append(("TUBE OVER PLATE", length(length_above_plate(post, base), how, 1), f"over-plate:{ids[0]}"))
    return facts(f"{post_words.PART}, QUANTITY", rows, f"table:part:{ids[0]}")


def attitude_table(refit: Refit, post: PlacedPost) -> Ruled:
    """Return lean, rake, angles against the deck and offsets, as found and as planned."""
    found = _attitude(refit, post.lean, post.rake, post.plate)
    intended = post.told.intended
    planned = [post_words.NOT_TOLD] + ["-"] * (len(found) - 1)
    if refit.boat.survey == "as designed" and intended is None:
        found, planned = ["-"] * len(found), found
    elif intended is not None:
        axis = tube_axis(post.side, intended.lean, intended.rake)
        falls = post.told.deck_falls
        plate = plate_angles(axis, deck_normal(post.side, falls.aft, falls.outboard), post.side)
        planned = _attitude(refit, intended.lean, intended.rake, plate)
    at = f"AT {rule_words(numbers(refit.boat))}"
    labels = ("LEAN", "RAKE", "TO DECK, ATHWART", "TO DECK, F-AND-A", "TO DECK, WHOLE", f"OFFSET {at}", f"OFFSET {at}")
    keys = ("lean", "rake", "plate-out", "plate-aft", "plate-total", "offset-out", "offset-aft")
    rows = tuple(
        (Cell(label), Cell(a, f"found:{post.id}:{key}"), Cell(b, f"planned:{post.id}:{key}"))
        for label, key, a, b in zip(labels, keys, found, planned, strict=True)
    )
    head = ("", post_words.AS_FOUND, post_words.AS_PLANNED)
    return Ruled(post_words.ATTITUDE, head, rows, f"table:attitude:{post.id}")


def _attitude(refit: Refit, lean: float, rake: float, plate: PlateAngles) -> list[str]:
    how = numbers(refit.boat)
    return [
        angle(lean, "outboard", "inboard"),
        angle(rake, "aft", "forward"),
        angle(plate.out, "outboard", "inboard"),
        angle(plate.aft, "aft", "forward"),
        f"{decimal(degrees(plate.total), 2)}°",
        offset(PLATE_RULE_LENGTH * math.tan(plate.out), "outboard", "inboard", how),
        offset(PLATE_RULE_LENGTH * math.tan(plate.aft), "aft", "forward", how),
    ]


def holes_table(refit: Refit, post: PlacedPost) -> Ruled:
    """Return each hole with its place on both faces of the tube, sizes, clocking, tilt, bush and edges."""
    head = (
        "HOLE", "ALONG", "FWD FACE", "AFT FACE", "Ø FOUND", "Ø PLAN", "LIMITS", "CLOCK", "ARC", "TILT",
        "BUSH",
    )  # fmt: skip
    rows = tuple(_hole_row(refit, post, hole) for hole in post.holes)
    return Ruled(post_words.HOLES, head, rows, f"table:holes:{post.id}")


def _hole_row(refit: Refit, post: PlacedPost, hole: PlacedHole) -> tuple[Cell, ...]:
    how = numbers(refit.boat)
    drilling = refit.placed.drillings[hole.id]
    turn = clocking_from_plate(post, drilling)
    rise = 0.5 * post.tube_od * math.tan(drilling.tilt)
    found, planned = hole.told.as_found, hole.told.planned
    side = "out" if turn > 0.0 else "in"
    clock, arc = decimal(abs(degrees(turn)), 1), length(0.5 * post.tube_od * abs(turn), how, 1)
    values = {
        "hole": hole.level,
        "along": length(hole.along, how, 1),
        "fwd": length(hole.along - rise, how, 1),
        "aft": length(hole.along + rise, how, 1),
        "found": "-" if found is None else length(found.diameter, how, 1),
        "planned": "-" if planned is None else length(planned.diameter, how, 1),
        "limits": "as it is" if planned is None else hole_limits(planned.diameter, how),
        "clock": f"{clock}° {side}" if float(clock) else f"{clock}°",
        "arc": f"{arc} {side}" if float(arc) else arc,
        "tilt": tilted(drilling.tilt),
        "bush": _bush(hole, refit),
    }
    return tuple(
        cell(text, f"card:{hole.id}:{key}", "left" if key == "hole" else "right") for key, text in values.items()
    )


def _bush(hole: PlacedHole, refit: Refit) -> str:
    how, liner = numbers(refit.boat), hole.told.liner
    return "none" if liner is None else f"Ø{length(liner.bore, how, 1)} x {length(liner.length, how)}"


def limits_table(refit: Refit) -> Ruled:
    """Return the limits of the shop: what a made post may stand off this card."""
    how, limits = numbers(refit.boat), shop_limits()
    rows = (
        ("LENGTH", f"±{length(limits.tube_length, how, 1)}", "limit:tube-length"),
        ("HOLE ALONG", f"±{length(limits.hole_position, how, 1)}", "limit:hole-position"),
        ("CLOCK", f"±{degrees(limits.clocking):g}°", "limit:clocking"),
        ("TO PLATE", f"±{degrees(limits.tube_to_plate):g}°", "limit:tube-to-plate"),
    )
    return facts(post_words.SHOP_LIMITS, rows, "table:limits")


def edge_notes(post: PlacedPost, hole: PlacedHole, refit: Refit) -> tuple[str, ...]:
    """Return the finished size of a hole and what is asked of its edges, line by line."""
    how, limits = numbers(refit.boat), shop_limits()
    planned = hole.told.planned
    told = planned or hole.told.as_found
    size = f"Ø{length(hole.diameter, how, 1)}"
    first = (f"{size} AS FOUND",) if planned is None else (f"{size} H13", hole_limits(hole.diameter, how))
    polish = f"POLISH {limits.polish:g} GRIT"
    liner = hole.told.liner
    if liner is not None:
        mouths = f"MOUTHS R {length(liner.mouth_radius, how, 1)}"
        return (*first, f"BUSH BORE Ø{length(liner.bore, how, 1)}", mouths, polish)
    if told is not None and told.lip_radius is not None:
        return (*first, f"EDGE R {length(told.lip_radius, how, 1)}", polish)
    least = f"EDGE R {length(limits.edge_radius, how, 1)} MIN"
    if post.tube_wall < limits.edge_radius:
        return (*first, least, "BY ROLLED LINER", polish)
    return (*first, least, "OR ROLLED LINER", polish)
