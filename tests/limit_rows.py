"""Every limit of every rule document as a row: how it prints, and a boat on either side of it.

The figures are typed here anew from the documents: World Sailing OSR 3.14 (wording of 2008, amendment of 2014, wording
of August 2024), ISO 15085:2003 table 4 and scope, ABYC H-41 (1998), 46 CFR 169.327, 177.900 and 45.115, the UK codes
22.2, the French Division 240. `sure` is how they were read: `found` in a text, `found-2` quoted by another text,
`memory` not read. Breaking loads of wire: US FAA AC 43.13-1B (1998), table 7-3, and F = K d2 R of EN 12385-4, the
latter from memory.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Literal

from geom.boat.model import Boat
from geom.units import read_quantity
from tests.rule_cases import boat_with

Sense = Literal["at least", "at most", "below"]
Change = dict[str, Any]
KINDS = {"mm": "length", "in": "length", "m": "length", "ft": "length", "kN": "force", "N": "force", "lbf": "force"}
POUND = 4.4482216152605


@dataclass(frozen=True)
class Row:
    """A limit: its place in data/rules, how it prints, and the boats of any value.

    `figures` are the printed figures, a plain number for what is no length or force; `threshold` turns them into the
    value that is varied, where that is another quantity. `met` and `unmet` are the verdicts on either side, by a
    certain limit. `values` replaces the values just under, at and just over each figure. `at` are the places of which
    one has a finding.
    """

    document: str
    edition: str
    clause: str
    keys: tuple[str, ...]
    sure: str
    sense: Sense
    figures: tuple[str | float, ...]
    at: tuple[str, ...]
    boat: Callable[[float], Boat]
    met: str = "pass"
    unmet: str = "fail"
    step: float = 0.04
    threshold: Callable[[float], float] = float
    values: tuple[float, ...] = ()
    noted: bool = True
    judged: bool = field(default=True)

    def __str__(self) -> str:
        return f"{self.document} {self.edition} {self.clause} {self.keys[0]}"

    @property
    def limits(self) -> tuple[float, ...]:
        """The printed figures as values [mm, N, or as printed]."""
        return tuple(self.threshold(_value(one)) for one in self.figures)

    def tried(self) -> tuple[float, ...]:
        """Return the values tried: just under, at and just over each printed figure."""
        return self.values or tuple(one + off for one in self.limits for off in (-self.step, 0.0, self.step))

    def keeps(self, value: float) -> bool:
        """Return whether a value keeps the limit, by whichever printed figure is easier to keep."""
        off = 1e-9 * max(abs(one) for one in self.limits)
        if self.sense == "at least":
            return value >= min(self.limits) - off
        if self.sense == "at most":
            return value <= max(self.limits) + off
        return value < max(self.limits) - off

    def by_second(self, value: float) -> bool:
        """Return whether a value keeps the figure printed in the second place and not the first."""
        if len(self.limits) < 2 or not self.keeps(value):
            return False
        first = self.limits[0]
        return value < first - 1e-9 if self.sense == "at least" else value > first + 1e-9


def _value(figure: str | float) -> float:
    if not isinstance(figure, str):
        return figure
    return read_quantity(figure, KINDS[figure.split()[-1]], None)[0]


def changed(change: Callable[[float], Change], **also: Any) -> Callable[[float], Boat]:
    """Return the plain boat with a change by value, and with fixed ones (`__` for `/` in their paths)."""
    fixed = {key.replace("__", "/"): value for key, value in also.items()}
    return lambda value: boat_with({**fixed, **change(value)})


def at_path(path: str) -> Callable[[float], Change]:
    """Return the change that puts the value at a path."""
    return lambda value: {path: value}


def upper(value: float) -> Change:
    """Return a change of the upper line's height at S-S1 [mm]."""
    return {"posts/S-S1/holes/U/along": value, "posts/S-S1/top": max(632.0, value + 22.0)}


def lower(value: float) -> Change:
    """Return a change of the lower line's height at S-S1, under an upper line at 610 mm or higher [mm]."""
    return {"posts/S-S1/holes/L/along": value, **upper(max(610.0, value + 100.0))}


def between(value: float) -> Change:
    """Return a change of the opening between the lines at S-S1, with the lower line at 200 mm [mm]."""
    return {"posts/S-S1/holes/L/along": 200.0, **upper(200.0 + value)}


HOLE = {"as_found": {"diameter": 12}}
NO_LOWER: Change = {"runs/S-F-L": None, "runs/S-G-L": None, "runs/S-A-L": None}
SINGLE: Change = {**NO_LOWER, "boat/hull_length": 8000.0, "boat/rule_category": "3"}


def single(height: float, **other: Any) -> Boat:
    """Return a small boat with a single line at a height [mm], with other changes (`__` for `/`)."""
    posts = {f"posts/{post}/holes": {"U": {"along": height, **HOLE}} for post in ("S-S1", "S-S2", "S-S3")}
    eyes = {f"eyes/S-{rail}-U/at": [x, 1450, 1000 + height] for rail, x in (("PULPIT", 500), ("PUSHPIT", 7000))}
    return boat_with({**SINGLE, **posts, **eyes, **{key.replace("__", "/"): value for key, value in other.items()}})


def courses(number: float) -> Boat:
    """Return the plain boat with one, two or three courses."""
    if number == 1:
        return boat_with(NO_LOWER)
    if number == 2:
        return boat_with({})
    holes = {level: {"along": along, **HOLE} for level, along in (("U", 610), ("M", 450), ("L", 300))}
    middle = [("S-F-M", "S-F-L"), ("S-G-M", "S-G-L"), ("S-A-M", "S-A-L")]
    base = boat_with({}).model_dump(exclude_none=True)
    base["runs"], base["eyes"] = list(base["runs"]), list(base["eyes"])
    runs = {run["id"]: run for run in base["runs"]}
    for name, like in middle:
        base["runs"].append({**runs[like], "id": name})
    for eye in [one for one in base["eyes"] if one["id"].endswith("-L")]:
        base["eyes"].append({**eye, "id": f"{eye['id'][:-1]}M", "at": [*eye["at"][:2], 1450.0]})
    for run in base["runs"][-3:]:
        for end in ("start", "finish"):
            if run[end].get("eye"):
                run[end] = {**run[end], "eye": f"{run[end]['eye'][:-1]}M"}
    for post in base["posts"]:
        post["holes"] = holes
    return Boat.model_validate(base)


def category(number: float) -> Boat:
    return single(500.0, boat__rule_category=f"{number:.0f}")


def gates(number: float) -> Boat:
    named = [{"id": "S-GATE", "posts": ["S-S2", "S-S3"]}, {"id": "S-FORE", "posts": ["S-S1", "S-S2"]}]
    return boat_with({"gates": named[: int(number)]})


def launched(year: float) -> Boat:
    """Return the plain boat with an opening of 400 mm, launched on the first day of a year; on the last one by .99."""
    whole = int(year)
    date = f"{whole}-12-31" if year > whole else f"{whole}-01-01"
    return boat_with({**between(400.0), "boat/first_launch": date})


def lengths(value: float) -> Change:
    """Return a change of hull length and length overall [mm]."""
    return {"boat/hull_length": value, "boat/loa": max(value, 7500.0) if value < 7500.0 else value}


def needed_tension(force: float, deflection: float) -> float:
    """Return the tension of a span of 2000 mm that a force deflects so far: T = W / (2 sin atan(2 s / L)) [N]."""
    return force / (2.0 * math.sin(math.atan(2.0 * deflection / 2000.0)))


def pushed(force: float) -> Callable[[float], float]:
    return lambda deflection: needed_tension(force, deflection)


def row(
    document: str,
    edition: str,
    clause: str,
    key: str,
    sure: str,
    sense: Sense,
    figures: Any,
    at: str | tuple[str, ...],
    boat: Callable[[float], Boat],
    **other: Any,
) -> Row:
    """Return a row; figures and places may be single ones."""
    many = figures if isinstance(figures, tuple) else (figures,)
    places = at if isinstance(at, tuple) else (at,)
    return Row(document, edition, clause, tuple(key.split("; ")), sure, sense, many, places, boat, **other)


def osr_enclosure() -> list[Row]:
    """OSR 3.14.1, wording of August 2024, quoted by a forum."""

    def of(clause: str, key: str, sense: Sense, figures: Any, at: Any, boat: Any, **other: Any) -> Row:
        return row("osr", "2024", f"3.14.1 {clause}", key, "found-2", sense, figures, at, boat, **other)

    foot = lambda value: {"posts/S-S1/foot": [2000, 1500 - 12.5 - value, 1000]}  # noqa: E731
    lean = lambda value: {"posts/S-S1/lean": math.atan(value / 50.0)}  # noqa: E731
    return [
        of("a) gate", "max gates", "at most", 1, "S-gates", gates, values=(0.0, 1.0, 2.0)),
        of("b) i", "min upper height", "at least", ("600 mm", "24 in"), "S-S1-U", changed(upper)),
        of("b) ii", "min intermediate height", "at least", ("230 mm", "9 in"), "S-S1-L", changed(lower)),
        of("b) iii", "max opening", "at most", ("380 mm", "15 in"), "S-S1-U-L", changed(between)),
        of("b) iii", "max opening, older boat", "at most", ("560 mm", "22 in"), "S-S1-U-L",
           changed(between, boat__first_launch="1992-12-31")),
        of("b) iii", "older boat launched before", "below", 1993, "S-S1-U-L", launched,
           values=(1992.99, 1993.0, 1993.99)),
        of("b) iv", "hull length below", "below", ("8.5 m", "28 ft"), ("S-S1-U", "S-single"),
           lambda value: single(500.0, boat__hull_length=value), noted=False, judged=False),
        of("b) iv", "min category", "at least", 3, ("S-S1-U", "S-single"), category, values=(2.0, 3.0), judged=False),
        of("b) iv", "max category", "at most", 4, ("S-S1-U", "S-single"), category, values=(4.0,), judged=False),
        of("b) iv", "min single line", "at least", ("450 mm", "18 in"), "S-S1-U", single),
        of("b) iv", "max single line", "at most", ("560 mm", "22 in"), "S-S1-U", single),
        of("c)", "max support spacing", "at most", ("2.2 m", "7 ft 2.5 in"), "S-F-U",
           changed(lambda value: {"posts/S-S2/foot": [2000 + value, 1450, 1000]})),
        of("e)", "max base inboard", "at most", ("150 mm", "6 in"), "S-S1", changed(foot)),
        of("e)", "max base inboard, share of beam", "at most", ("160 mm",), "S-S1", changed(foot, boat__beam=3200)),
        of("f) i", "max displacement; height judged", "at most", ("10 mm", "3/8 in"), "S-S1", changed(lean)),
        of("f) ii", "max tilt", "at most", 10, "S-S1",
           changed(lambda value: {"posts/S-S1/rake": math.radians(value)}), step=0.001),
        of("g)", "max pulpit opening", "at most", ("360 mm", "14 in"), "boat",
           changed(at_path("rules/measured/pulpit_opening"))),
    ]  # fmt: skip


def osr_push() -> list[Row]:
    """OSR 3.14.2: 50 N before 2014, 40 N by the amendment of 2014; 4 kg in later editions, from memory.

    The tension of a run is varied: with flexible ends the deflection is at the limit where the tension under load is
    W / (2 sin atan(2 s / L)); below it the limit lies between the bounds. A force printed in two units may be either:
    8.8 lbf is 39.14 N and 4 kg 39.23 N, 11.2 lbf is 49.82 N.
    """
    found = []
    for edition, force, sure, inches in (
        ("2008", min(50.0, 11.2 * POUND), "found", ()),
        ("2014", 40.0, "found", ()),
        ("2024", min(4 * 9.80665, 8.8 * POUND), "memory", ("2 in",)),
    ):
        for clause, run, deflection in (("a)", "S-A-U", "50 mm"), ("b)", "S-A-L", "120 mm")):
            if (edition, clause) == ("2008", "b)"):
                continue
            figures = (deflection, *inches) if clause == "a)" else (deflection,)
            found.append(row(
                "osr", edition, f"3.14.2 {clause}", "max deflection; force", sure, "at least", figures, f"{run}-span-1",
                changed(at_path(f"runs/{run}/set_tension")), unmet="cannot tell", threshold=pushed(force), noted=False,
            ))  # fmt: skip
    return found


def osr_lines() -> list[Row]:
    """OSR 3.14.6: table 8 of 2008, carried over to 2024 from memory; HMPE in the editions 2010 to 2015, from memory."""
    found = []
    for edition, sure in (("2008", "found-2"), ("2024", "memory")):
        clause = "3.14.6 wire diameter"
        for step, hull, figures in (
            ("first", 8000.0, ("3 mm", "1/8 in")),
            ("second", 10000.0, ("4 mm", "5/32 in")),
            ("third", 14000.0, ("5 mm", "3/16 in")),
        ):
            boat = changed(at_path("lines/wire/diameter"), boat__hull_length=hull)
            found.append(
                row("osr", edition, clause, f"min diameter, {step} step", sure, "at least", figures, "wire", boat)
            )
        for key, sense, figures, wire in (
            ("hull length below, first step", "below", ("8.5 m",), 3.5),
            ("max hull length, second step", "at most", ("13 m", "43 ft"), 4.5),
        ):  # fmt: skip
            boat = changed(at_path("boat/hull_length"), lines__wire__diameter=wire)
            found.append(
                row("osr", edition, clause, key, sure, sense, figures, "wire", boat, noted=False, judged=False)
            )
        lashing = changed(at_path("fittings/lashing/length/planned"))
        found.append(
            row(
                "osr",
                edition,
                "3.14.6 c) lanyard",
                "max gap",
                sure,
                "at most",
                ("100 mm", "4 in"),
                "S-F-U-forward",
                lashing,
            )
        )
        for step, hull, metric, inch in (
            ("first", 8000.0, (3.0, "5.0 kN"), (3.175, 1300)),
            ("second", 10000.0, (4.0, "8.9 kN"), (3.96875, 2000)),
            ("third", 14000.0, (5.0, "14.0 kN"), (4.7625, 2900)),
        ):  # fmt: skip
            for system, diameter, load, read in (
                ("metric", metric[0], metric[1], "memory"),
                ("inch", inch[0], f"{inch[1]} lbf", "memory" if sure == "memory" else "found"),
            ):  # fmt: skip
                boat = changed(
                    at_path("lines/wire/breaking_load/value"), boat__hull_length=hull, lines__wire__diameter=diameter
                )
                key = f"weakest {system} wire, {step} step"
                found.append(row("osr", edition, "3.14.6 d)", key, read, "at least", load, "wire", boat))
    for edition in ("2010", "2014", "2015"):
        clause = "3.14.6 HMPE diameter"
        for step, hull, figures in (
            ("first", 8000.0, ("4 mm", "5/32 in")),
            ("second", 10000.0, ("5 mm", "3/16 in")),
            ("third", 14000.0, ("5 mm", "3/16 in")),
        ):
            boat = changed(at_path("lines/rope/diameter"), boat__hull_length=hull, **{"runs__S-A-U__line": "rope"})
            found.append(
                row("osr", edition, clause, f"min diameter, {step} step", "memory", "at least", figures, "rope", boat)
            )
        boat = changed(at_path("boat/hull_length"), lines__rope__diameter=4.5, **{"runs__S-A-U__line": "rope"})
        key = "hull length below, first step"
        found.append(row("osr", edition, clause, key, "memory", "below", ("8.5 m",), "rope", boat, judged=False))
    return found


def iso_15085() -> list[Row]:
    """ISO 15085:2003, table 4 quoted by a forum, scope by a catalogue; 280 N from memory."""

    def of(clause: str, key: str, sure: str, sense: Sense, figures: Any, at: Any, boat: Any, **other: Any) -> Row:
        return row("iso-15085", "2003", clause, key, sure, sense, figures, at, boat, **other)

    low = {"boat__hull_length": 8500.0, "rules__design_category": "C"}
    hull = at_path("boat/hull_length")
    tops = lambda value: {"posts/S-S1/top": value, "posts/S-S1/holes/U/along": min(610.0, value - 10.0)}  # noqa: E731
    one_hole = {
        "posts__S-S1__holes": {"U": {"along": 610, **HOLE}},
        **{key.replace("/", "__"): value for key, value in NO_LOWER.items()},
    }
    modulus = math.pi * (25.0**4 - 21.0**4) / (32.0 * 25.0)
    return [
        of("1", "max hull length", "found", "at most", "24 m", "boat", changed(hull), unmet="not applicable"),
        of("10.2 height", "min upper height", "found-2", "at least", "600 mm", "S-S1-U", changed(upper)),
        of("10.2 height", "min low line height", "found-2", "at least", "450 mm", "S-S1-U", changed(upper, **low)),
        of("10.2 height", "max hull length, low line", "found-2", "at most", "8.50 m", "S-S1-U",
           changed(lambda value: {**upper(500.0), **hull(value)}, rules__design_category="C"), judged=False),
        of("10 stanchion height", "min height", "found-2", "at least", "600 mm", "S-S1", changed(tops)),
        of("10 stanchion height", "min low line height", "found-2", "at least", "450 mm", "S-S1", changed(tops, **low)),
        of("10 stanchion height", "max hull length, low line", "found-2", "at most", "8.50 m", "S-S1",
           changed(lambda value: {**tops(500.0), **hull(value)}, rules__design_category="C"), judged=False),
        of("10 load without set", "load", "memory", "at least", "280 N", "S-S1",
           changed(at_path("tubes/tube/proof_stress"), tubes__tube__proof_stress_source="certificate", **one_hole),
           threshold=lambda load: load * 632.0 / modulus, judged=False),
    ]  # fmt: skip


def abyc() -> list[Row]:
    """ABYC H-41 (1998), quoted by a test magazine. A link of less than half the load fails whatever the line does."""
    ends = at_path("ends/stud/strength")
    share = changed(lambda value: ends({"value": 180.0 * value, "source": "certificate"}))  # type: ignore[arg-type]
    stud = changed(lambda value: ends({"value": value, "source": "certificate"}))  # type: ignore[arg-type]
    return [
        row("abyc-h-41", "1998", "H-41.6.3.4", "min end fitting share", "found-2", "at least", 90,
           "wire-end-stud", share),
        row("abyc-h-41", "1998", "H-41.6.3.6 line", "static load", "found-2", "at least", f"{200} lbf", "S-G-U", stud,
            met="cannot tell", step=0.2),
    ]  # fmt: skip


def cfr() -> list[Row]:
    """46 CFR 169.327, 177.900 and 45.115, legal texts: inches, with whole millimetres beside them or not."""
    three = {"values": (2.0, 3.0)}

    def of(
        document: str, edition: str, clause: str, key: str, sense: Sense, figures: Any, at: str, boat: Any, **other: Any
    ) -> Row:
        return row(document, edition, clause, key, "found", sense, figures, at, boat, **other)

    spaced = changed(lambda value: {"posts/S-S2/foot": [2000 + value, 1450, 1000]})
    school, small, load_line = "cfr-169.327", "cfr-177.900", "cfr-45.115"
    return [
        of(school, "undated", "169.327 height", "min height", "at least", ("30 in", "762 mm"),
           "S-S1-U", changed(upper)),
        of(school, "undated", "169.327 spacing", "max support spacing", "at most", ("7 ft", "2134 mm"),
           "S-F-U", spaced),
        of(school, "undated", "169.327 courses", "max gap", "at most", ("12 in", "305 mm"),
           "S-S1-U-L", changed(between)),
        of(school, "undated", "169.327 lowest opening", "max gap", "at most", ("9 in", "229 mm"),
           "S-S1-L-deck", changed(lower)),
        of(small, "2003", "177.900 height", "min height", "at least", ("910 mm", "36 in"), "S-S1-U", changed(upper),
           met="cannot tell", judged=False),
        of(small, "2003", "177.900 height", "min height, excursion, ferry or load line", "at least",
           ("1000 mm", "39.5 in"), "S-S1-U", changed(upper), unmet="cannot tell"),
        of(load_line, "undated", "45.115 height", "min height", "at least", "36 in", "S-S1-U", changed(upper)),
        of(load_line, "undated", "45.115 courses", "min courses", "at least", 3, "S-courses", courses, **three),
        of(load_line, "undated", "45.115 lowest opening", "max gap", "at most", "9 in", "S-S1-L-deck", changed(lower)),
        of(load_line, "undated", "45.115 other openings", "max gap", "at most", "15 in", "S-S1-U-L", changed(between)),
    ]  # fmt: skip


def uk() -> list[Row]:
    """The UK codes, texts on public pages; the first of them by the length of the vessel."""

    def of(edition: str, clause: str, key: str, sense: Sense, figures: Any, at: Any, boat: Any, **other: Any) -> Row:
        document = "uk-1993" if edition == "1993" else "uk-harmonised"
        return row(document, edition, clause, key, "found", sense, figures, at, boat, **other)

    either = {"boat__hull_length": 8900.0, "boat__loa": 9200.0}
    short = {"boat__hull_length": 8000.0, "boat__loa": 8500.0}
    low = changed(lambda value: {**upper(500.0), **lengths(value)})
    one = changed(lambda value: {**NO_LOWER, **lengths(value)})
    cockpit = changed(at_path("rules/measured/cockpit_opening"))
    spaced = changed(lambda value: {"posts/S-S2/foot": [2000 + value, 1450, 1000]})
    return [
        of("1993", "22.2.2 height", "min height", "at least", "600 mm", "S-S1-U", changed(upper)),
        of("1993", "22.2.2 height", "min height, single course", "at least", "450 mm",
           "S-S1-U", changed(upper, **either),
           met="cannot tell", judged=False),
        of("1993", "22.2.2 height", "vessel length below, single course", "below", "9 m", ("S-S1-U", "boat"), low,
           met="not applicable", judged=False),
        of("1993", "22.2.2 courses", "min courses", "at least", 2, "S-courses", courses, values=(1.0, 2.0, 3.0)),
        of("1993", "22.2.2 courses", "min courses, single course", "at least", 1, "S-courses",
           lambda value: boat_with({**NO_LOWER, "boat/hull_length": 8900.0, "boat/loa": 9200.0}),
           values=(1.0,), met="cannot tell", judged=False),
        of("1993", "22.2.2 courses", "vessel length below, single course", "below", "9 m", ("S-courses", "boat"), one,
           met="not applicable", judged=False),
        of("1993", "22.2.3 height", "min height", "at least", "450 mm", "S-S1-U", changed(upper, **short)),
        of("1993", "22.2.3 height", "vessel length below", "below", "9 m", ("S-S1-U", "boat"), low,
           unmet="not applicable", judged=False),
        of("1993", "22.2.3 courses", "min courses", "at least", 1, "S-courses",
           lambda value: boat_with({**NO_LOWER, "boat/hull_length": 8000.0, "boat/loa": 8500.0}), values=(1.0,)),
        of("1993", "22.2.3 courses", "vessel length below", "below", "9 m", ("S-courses", "boat"), one,
           unmet="not applicable", judged=False),
        of("1993", "22.2.2 spacing", "max support spacing", "at most", "2.2 m", "S-F-U", spaced),
        of("1993", "22.2.5", "max cockpit opening", "at most", "500 mm", "boat", cockpit),
        of("undated", "22.2.2 height", "min height", "at least", "1000 mm", "S-S1-U", changed(upper)),
        of("undated", "22.2.2 courses", "min courses", "at least", 3, "S-courses", courses, values=(2.0, 3.0)),
        of("undated", "22.2.2 lowest opening", "max gap", "at most", "230 mm", "S-S1-L-deck", changed(lower)),
        of("undated", "22.2.2 other openings", "max gap", "at most", "380 mm", "S-S1-U-L", changed(between)),
        of("undated", "22.2.2 cockpit", "max cockpit opening", "at most", "500 mm", "boat", cockpit),
    ]  # fmt: skip


def division_240() -> list[Row]:
    """French Division 240, articles 240-2.56 and 240-2.58, official text of 1987."""

    def of(clause: str, key: str, sense: Sense, figures: Any, at: Any, boat: Any, **other: Any) -> Row:
        return row("division-240", "1987", clause, key, "found", sense, figures, at, boat, **other)

    short = {"boat__hull_length": 7800.0, "boat__loa": 7900.0}
    load = at_path("lines/wire/breaking_load/value")
    by_hand = lambda key: changed(at_path(f"rules/measured/{key}"))  # noqa: E731
    return [
        of("240-2.58 height", "min height", "at least", "600 mm", "S-S1-U", changed(upper)),
        of("240-2.58 height", "min height, short boat", "at least", "450 mm", "S-S1-U", changed(upper, **short)),
        of("240-2.58 height", "min length", "below", "8 m", "S-S1-U",
           changed(lambda value: {**upper(500.0), **lengths(value)}), judged=False),
        of("240-2.58 gap", "max gap", "at most", "300 mm", "S-S1-L-deck", changed(lower)),
        of("240-2.58 gap", "height above which it binds", "at most", "450 mm", ("S-gap", "S-S1-U-deck"), single,
           met="not applicable", judged=False),
        of("240-2.58 line", "min load, category A", "at least", "13.00 kN", "wire",
           changed(load, rules__design_category="A")),
        of("240-2.58 line", "min load, categories B and C", "at least", "9.00 kN", "wire",
           changed(load, rules__design_category="B")),
        of("240-2.58 spacing", "max support spacing", "at most", "2200 mm", "S-F-U",
           changed(lambda value: {"posts/S-S2/foot": [2000 + value, 1450, 1000]})),
        of("240-2.58 cockpit", "max cockpit opening", "at most", "500 mm", "boat", by_hand("cockpit_opening")),
        of("240-2.56 pulpit", "max pulpit opening", "at most", "360 mm", "boat", by_hand("pulpit_opening")),
        of("240-2.56 toe-rail", "min toe-rail height", "at least", "30 mm", "boat", by_hand("toe_rail_height")),
        of("240-2.56 toe-rail gap", "max gap", "at most", "100 mm", "boat", by_hand("toe_rail_gap")),
    ]  # fmt: skip


def common_practice() -> list[Row]:
    """Common practice, no source: half the tube of 25 mm, 1.5 diameters of a hole of 12 mm."""

    def of(clause: str, key: str, sense: Sense, figure: str, at: str, boat: Any) -> Row:
        where = ("common-practice", "no source", clause, key, "common practice")
        return row(*where, sense, figure, at, boat, unmet="notice")

    bore = changed(at_path("posts/S-S1/holes/U/as_found/diameter"))
    top = changed(lambda value: {"posts/S-S1/top": 610.0 + value})
    return [
        of("hole-in-tube", "max hole over tube", "at most", "12.5 mm", "S-S1-U", bore),
        of("hole-to-top", "min top over hole", "at least", "18 mm", "S-S1-U", top),
    ]


ROWS: tuple[Row, ...] = (
    *osr_enclosure(), *osr_push(), *osr_lines(), *iso_15085(), *abyc(), *cfr(), *uk(), *division_240(),
    *common_practice(),
)  # fmt: skip
# Numbers of the tables that no boat flips, and why.
NOT_FLIPPED = {
    **{
        ("osr", edition, "3.14.6 HMPE diameter", "max hull length, second step"): "both steps print 5 mm (3/16 in)"
        for edition in ("2010", "2014", "2015")
    },
    ("common-practice", "no source", "coated-wire", "share of rating, corroded"): "quoted in a notice, limits nothing",
    ("common-practice", "no source", "pair", "max difference"): "needs a boat of two sides: test_rules_boats",
}
# Limits that are worked out from tables of wire, not held in data/rules.
WORKED_OUT = "weakest "
