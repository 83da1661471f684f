"""The cause of a finding that fails, is not determined, or is within its uncertainty.

Two tables: the fact that is missing, by the code of the remark that says so, and the fault, by the quantity that fails.
Each finding has one cause; there is none for whatever is left, and a finding without a cause is an error.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from geom.boat.model import LEVELS
from geom.frozen import frozen
from geom.placement.gate_lines import is_own_line
from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.finding import Finding
from geom.rules.line_practice import DOCUMENT as LINE_WORK


@frozen
class Cause:
    """What findings have in common: the name of the cause, and the place that sets it apart from others of its name."""

    name: str
    at: str = ""


class UnclaimedError(LookupError):
    """A finding has no cause in the tables."""


Placing = Callable[[Placed, Finding], str]

# Code of a remark -> the cause of a finding that is not determined, the first one present in this order.
NOT_DETERMINED: dict[str, str] = {
    "single_line.no_category": "fact.category",
    "low_line.no_category": "fact.design_category",
    "category.no_design": "fact.design_category",
    "low_line.category_d_not_read": "admission.low_line",
    "launch.not_stated": "fact.first_launch",
    "service.not_stated": "admission.service",
    "hull.which_length": "admission.length",
    "measure.by_hand": "measure.by_hand",
    "edge.not_taken": "measure.deck_edge",
    "push.no_mast": "fact.mast",
    "push.no_stiffness": "fact.stiffness",
    "push.limit_between_bounds": "tension.to_be_tested",
    "push.span_may_not_count": "tension.to_be_tested",
    "strength.no_breaking_load": "fact.breaking_load",
    "strength.not_stated": "fact.strength",
    "links.no_strength": "fact.strength",
    "lips.direction_not_measured": "hole.direction",
    "anchorage.not_given": "fact.pins",
    "eye_shape.no_pin": "fact.pins",
    "eye_shape.no_length": "fact.cut",
    "hand.not_given": "fact.hand",
    "stud.engaged_not_stated": "fact.thread_engaged",
    "budget.range_not_given": "fact.range",
    "deduction.opening_not_given": "fact.range",
    "cut.missing": "fact.cut",
    "bury.no_throat": "fact.cut",
    "stop.no_width": "fact.stop",
    "stop.no_hole": "fact.stop",
    "thimble.when": "fact.thimble",
    "wire.stainless_not_stated": "fact.stainless",
    "hmpe.diameter_over_cover": "fact.core",
    "wire.over_coating_not_stated": "fact.over_coating",
    "continuity.near_end_not_stated": "layout.near_end",
    "continuity.across": "layout.across",
    "gates.across": "layout.across",
    "retention.not_stated": "fact.retention",
    "brace.between_bounds": "strength.posts",
    "proof_stress.no_grade": "fact.proof_stress",
    "strength.top_load_not_shown": "strength.posts",
    "strength.not_shown": "strength.gate_open",
    "strength.as_set_not_shown": "strength.as_set",
    "posts.give_less_tension": "strength.chain",
}

# Quantity of a finding that fails -> its cause. A height or an opening takes `low`, `high` or `open` with it.
FAILS: dict[str, str] = {
    "quantity.height_at_post": "post",
    "quantity.top_height": "post",
    "quantity.opening_at_post": "post.open",
    "quantity.opening_between_holes": "post.open",
    "quantity.height_at_eye": "eye",
    "quantity.opening_at_eye": "eye.open",
    "quantity.opening_between_eyes": "eye.open",
    "quantity.lowest_at_stations": "span",
    "quantity.largest_opening_at_stations": "span.open",
    "quantity.widest_span": "span.wide",
    "quantity.tilt": "post.tilt",
    "quantity.displacement": "post.tilt",
    "quantity.inboard_of_edge": "post.base",
    "quantity.upper_less_lower": "hole.order",
    "quantity.bore": "hole.bore",
    "quantity.bore_against": "hole.bore",
    "quantity.bore_against_times": "hole.bore",
    "quantity.bore_against_line": "hole.bore",
    "quantity.clear_diameter": "hole.lips",
    "quantity.single_line": "admission.single_line",
    "quantity.deflection": "tension.low",
    "quantity.deflection_ends_giving": "tension.low",
    "quantity.gates": "layout.gates",
    "quantity.courses": "layout.courses",
    "quantity.made_fast": "layout.ends",
    "quantity.pulpit_opening": "measure.over",
    "quantity.cockpit_opening": "measure.over",
    "quantity.toe_rail_height": "measure.over",
    "quantity.toe_rail_gap": "measure.over",
    "quantity.material": "line.material",
    "quantity.coating": "line.material",
    "quantity.wire_diameter": "line.thin",
    "quantity.hmpe_diameter": "line.thin",
    "quantity.line_diameter": "line.thin",
    "quantity.breaking_load": "strength.line",
    "quantity.strength_of_end": "strength.part",
    "quantity.strength_of_fitting": "strength.part",
    "quantity.end_over_wire": "strength.part",
    "quantity.weakest_link": "strength.chain",
    "quantity.tension_in_weakest": "strength.chain",
    "quantity.stress_under_top_load": "strength.posts",
    "quantity.stress_gate_open": "strength.weak_gate_open",
    "quantity.stress_as_set": "strength.weak_as_set",
    "quantity.lashing_gap": "fitting.gap",
}

# Clause of the line work that fails -> its cause.
LINE_FAILS: dict[str, str] = {
    "buries": "line.buries",
    "nothing-left": "fitting.nothing_left",
    "threading": "hole.bore",
    "thimble": "fitting.thimble",
    "deduction": "fitting.opening",
    "budget": "fitting.range",
    "lashing-gap": "fitting.gap",
    "pin": "fitting.pin",
    "jaw": "fitting.jaw",
    "eye-shape": "fitting.eye",
    "girth": "fitting.eye",
    "stitching": "fitting.stitching",
    "swage": "fitting.swage",
    "hand-splice": "fitting.hand_splice",
    "hand": "fitting.hand",
    "stop": "fitting.stop",
}

# Causes that take a direction from the finding.
_BOTH_WAYS = ("post", "eye", "span")
# Fault of a span -> the fault of a post beside it that explains it.
_OF_POST = {"span.low": "post.low", "span.high": "post.high", "span.open": "post.open"}


def is_open(finding: Finding) -> bool:
    """Return whether a finding belongs to an open item: it fails, is not determined, or is marginal."""
    return finding.verdict in ("fail", "cannot tell") or (finding.marginal and passes_within(finding))


def passes_within(finding: Finding) -> bool:
    """Return whether a finding of a binding document passes by less than the uncertainty of its measure."""
    return finding.verdict == "pass" and finding.marginal and finding.binding


def causes_of(placed: Placed, findings: Iterable[Finding]) -> Iterator[tuple[Finding, Cause]]:
    """Yield each open finding with its cause.

    A line that is lowest in a span beside a post that is too low itself has that post for its cause; so have openings.

    Args:
        placed: the boat in space.
        findings: of the boat; those that are not open are left out.

    Raises:
        UnclaimedError: the tables have no cause for one of them.
    """
    found = [(finding, _name(placed, finding)) for finding in findings if is_open(finding)]
    posts: dict[str, dict[str, float]] = {}
    for finding, name in found:
        if name.startswith("post.") and finding.post is not None and finding.margin is not None:
            margins = posts.setdefault(name, {})
            margins[finding.post] = min(finding.margin, margins.get(finding.post, finding.margin))
    for finding, name in found:
        of_post = _OF_POST.get(name)
        post = None if of_post is None else _post_beside(placed, finding, posts.get(of_post, {}))
        if post is not None and of_post is not None:
            yield finding, Cause(of_post, post)
        else:
            yield finding, Cause(name, PLACES.get(name, _anywhere)(placed, finding))


def _name(placed: Placed, finding: Finding) -> str:
    if passes_within(finding):
        return "survey.within"
    if finding.verdict == "cannot tell":
        codes = {code for note in finding.notes for code in note.codes()}
        for code, cause in NOT_DETERMINED.items():
            if code in codes:
                return cause
        raise UnclaimedError(f"{finding.id}: not determined, for none of the known reasons ({sorted(codes)})")
    found = LINE_FAILS.get(finding.clause) if finding.document == LINE_WORK else FAILS.get(finding.quantity.code)
    if found is None:
        raise UnclaimedError(f"{finding.id}: {finding.quantity.code} fails, and has no cause")
    if found == "line.buries":
        return "line.gate" if finding.run is not None and _is_gate_line(placed, finding.run) else "line.short"
    if found in _BOTH_WAYS:
        return f"{found}.{'low' if _is_low(finding) else 'high'}"
    return found


def _is_gate_line(placed: Placed, run: str) -> bool:
    return any(is_own_line(gate, placed.runs[run]) for gate in placed.boat.gates)


def _is_low(finding: Finding) -> bool:
    return finding.limit is None or finding.measured is None or finding.measured < finding.limit


def _anywhere(placed: Placed, finding: Finding) -> str:
    return ""


def _post(placed: Placed, finding: Finding) -> str:
    return finding.post or ""


def _run(placed: Placed, finding: Finding) -> str:
    return finding.run or ""


def _named(placed: Placed, finding: Finding) -> str:
    """Return the place that a finding names, the first of several."""
    where = finding.where
    if where is None:
        return ""
    if where.code == "place.between":
        places = where["places"]
        return str(places[0]) if isinstance(places, tuple) else ""
    if where.code == "place.end_on_line":
        inner = where["place"]
        return str(inner["name"]) if isinstance(inner, Remark) else str(inner)
    return str(where["name"]) if where.code == "place.named" else ""


def _line(placed: Placed, finding: Finding) -> str:
    """Return the rope or wire of a finding's run, or the one that it names."""
    return _named(placed, finding) if finding.run is None else placed.runs[finding.run].spec.line


def _tube(placed: Placed, finding: Finding) -> str:
    return "" if finding.post is None else placed.posts[finding.post].spec.tube


def _quantity(placed: Placed, finding: Finding) -> str:
    return finding.quantity.code.partition(".")[2]


def _side(placed: Placed, finding: Finding) -> str:
    """Return the side of a finding's run with a hyphen, as ids begin."""
    return (finding.run or "")[:2]


# Name of a cause -> the function that tells its places apart; where there is none, one item holds them all.
PLACES: dict[str, Placing] = {
    "post.low": _post,
    "post.high": _post,
    "post.open": _post,
    "post.tilt": _post,
    "post.base": _post,
    "hole.order": _post,
    "eye.low": _named,
    "eye.high": _named,
    "eye.open": _named,
    "span.low": _run,
    "span.high": _run,
    "span.open": _run,
    "span.wide": _side,
    "line.short": _run,
    "line.thin": _line,
    "line.material": _line,
    "hole.bore": _line,
    "strength.line": _line,
    "strength.part": _named,
    "strength.posts": _tube,
    "measure.over": _quantity,
}


def support(name: str) -> str:
    """Return the post of a hole, or the rail eye without its level."""
    post, _, level = name.rpartition("-")
    return post if level in LEVELS else name


def _post_beside(placed: Placed, finding: Finding, low: dict[str, float]) -> str | None:
    """Return the worst post beside the span in which a line is lowest, where that post is too low itself."""
    at = next((note["x_mm"] for note in finding.notes if note.code == "height.at_x"), None)
    if finding.run is None or not isinstance(at, float):
        return None
    run = placed.runs[finding.run]
    for index, (a, b) in enumerate(zip(run.points, run.points[1:], strict=False)):
        if a[0] <= at <= b[0]:
            beside = [support(name) for name in run.names[index : index + 2] if support(name) in low]
            return min(beside, key=lambda post: low[post]) if beside else None
    return None
