"""What rules say of wire, of coated wire, of a multihull, and of a push test whose limit lies between its bounds."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from geom.boat.model import Boat, Rules
from geom.data import table
from geom.open_items import open_items
from geom.refit import place, refit
from geom.rules.applied import check
from geom.rules.finding import Finding
from geom.units import read_quantity
from geom.words import worded
from tests.boats import refit_of
from tests.line_boats import with_run
from tests.random_boats import random_refit
from tests.rule_cases import boat_with
from tests.some import some

# Hull length -> wire that OSR 3.14.6, table 8 (2008), requires there, in mm and in inches.
REQUIRED = {8000.0: ("3 mm", "1/8"), 10000.0: ("4 mm", "5/32"), 14000.0: ("5 mm", "3/16")}
WIRES = [
    *((hull, row) for hull, (size, _) in REQUIRED.items() for row in table.rows("wire_breaking_metric")
      if row["size"] == size),
    *((hull, row) for hull, (_, size) in REQUIRED.items() for row in table.rows("wire_strength")
      if row["diameter_in"] == size),
]  # fmt: skip


def found_in(boat: Boat, clause: str, edition: str, documents: tuple[str, ...] = ("osr",)) -> list[Finding]:
    rules = Rules.model_validate({"documents": documents, "editions": {"osr": edition} if "osr" in documents else {}})
    return [one for one in check(place(boat.model_copy(update={"rules": rules}))) if one.clause == clause]


@pytest.mark.parametrize("edition", ["2008", "2024"])
@pytest.mark.parametrize(("hull", "row"), WIRES)
def test_no_wire_of_the_required_size_fails_the_strength_of_the_system(
    hull: float, row: dict[str, str], edition: str
) -> None:
    """OSR 3.14.6 d) requires the strength of the required wire: 7x19 of 3, 4, 5 mm has 5.0, 8.9, 14.0 kN (K d2 R)."""
    inches = row.get("diameter_in")
    boat = boat_with({
        "boat/hull_length": hull,
        "lines/wire/construction": row["construction"],
        "lines/wire/diameter": read_quantity(f"{inches} in" if inches else row["size"], "length", None)[0],
        "lines/wire/breaking_load/value": read_quantity(f"{row['value']} {row['unit']}", "force", None)[0],
    })  # fmt: skip
    for clause in ("3.14.6 wire diameter", "3.14.6 d)"):
        of_wire = [one for one in found_in(boat, clause, edition) if one.id.endswith(":wire")]
        assert [one.would or one.verdict for one in of_wire] == ["pass"], of_wire


def test_wire_tables_hold_the_published_weakest() -> None:
    """US FAA AC 43.13-1B (1998), table 7-3: 1300, 2000, 2900 lbf for 7x19 of MIL-C-18375."""
    weakest: dict[str, float] = {}
    for _, row in WIRES:
        if "diameter_in" in row:
            load, size = float(row["value"]), row["diameter_in"]
            weakest[size] = min(load, weakest.get(size, load))
    assert weakest == {"1/8": 1300.0, "5/32": 2000.0, "3/16": 2900.0}


@pytest.mark.parametrize("documents", [("iso-15085",), ("osr",), ("cfr-45.115",), ("division-240",), ()])
def test_coated_wire_is_noticed_whatever_documents_are_applied(documents: tuple[str, ...]) -> None:
    """Corroded plastic-coated lines broke below 20 % of their rating: sailing test magazine, September 2012."""
    boat = boat_with({"lines/wire/construction": "coated 7x7 wire"})
    (notice,) = some(found_in(boat, "coated-wire", "2024", documents))
    assert notice.verdict == "notice"
    for word in ("below 20 %", "crevice", "drain", "lowest point"):
        assert word in worded(notice.notes)


def test_a_multihull_is_judged_as_a_monohull_save_for_hmpe() -> None:
    """The clauses of OSR 3.14.1, 3.14.2 and 3.14.6 are for Mo and Mu alike; the admission of HMPE differs."""
    said = []
    for hulls in ("mono", "multi"):
        boat = boat_with({"boat/hulls": hulls, "runs/S-A-U/line": "rope"})
        rules = Rules.model_validate({"documents": ["osr"]})
        found = check(place(boat.model_copy(update={"rules": rules})))
        said.append({one.id: (one.verdict, one.would, one.measured, one.limit, one.notes) for one in found})
    differ = {name for name in said[0] | said[1] if said[0].get(name) != said[1].get(name)}
    assert {name.partition(":")[0] for name in differ} == {"osr-3.14.6-HMPE"}


def test_a_push_between_its_bounds_is_not_determined_and_would_not_fail() -> None:
    """390 N on 2000 mm under 4 kg, from memory: 50 mm lies between rigid ends and ends that give."""
    boat = boat_with({"runs/S-A-U/set_tension": 380.0})
    (push,) = (one for one in found_in(boat, "3.14.2 a)", "2024") if one.run == "S-A-U")
    assert (push.verdict, push.would) == ("cannot tell", None)
    assert "between the bounds" in worded(push.notes)


def test_a_gate_post_of_a_grade_alone_is_not_shown_to_hold_and_what_would_show_it() -> None:
    """A line of 1500 N at 610 mm on 25 x 2: 915 N m at the foot, the same as 1448 N at the top, 632 mm up.

    Z = pi (25^4 - 21^4) / (32 x 25) = 770.2 mm3: 1188 MPa, against a minimum of 205 MPa for 316 (from memory).
    """
    posts = ("S-S1", "S-S2", "S-S3")
    boat = boat_with({
        "runs/S-F-L": None, "runs/S-G-L": None, "runs/S-A-L": None, "runs/S-F-U/set_tension": 1500.0,
        **{f"posts/{post}/holes": {"U": {"along": 610, "as_found": {"diameter": 12}}} for post in posts},
    })  # fmt: skip
    (post,) = (one for one in found_in(boat, "gate-open", "2024") if one.post == "S-S2")
    modulus = math.pi * (25.0**4 - 21.0**4) / (32.0 * 25.0)
    assert post.verdict == "cannot tell"
    assert post.measured == pytest.approx(1500.0 * 610.0 / modulus, rel=1e-6)
    (choices,) = (note for note in post.notes if note.code == "strength.choices")
    assert choices["needed_mpa"] == post.measured
    assert choices["pull_n"] == pytest.approx(1500.0 * 610.0 / 632.0, rel=1e-6)
    assert choices["way"] == "forward"
    needed = f"a certificate of 0.2 % proof stress {math.ceil(post.measured)} MPa or more"
    assert f"not shown by calculation; {needed}" in worded(post.notes)


def test_a_post_under_its_lines_as_set_is_judged_as_one_at_an_open_gate() -> None:
    """The line ends at S-S2 and none goes on: 1500 N at 610 mm on 25 x 2, with the gate shut as with it open."""
    posts = ("S-S1", "S-S2", "S-S3")
    boat = boat_with({
        "runs/S-F-L": None, "runs/S-G-L": None, "runs/S-A-L": None, "runs/S-G-U": None,
        "runs/S-F-U/set_tension": 1500.0,
        **{f"posts/{post}/holes": {"U": {"along": 610, "as_found": {"diameter": 12}}} for post in posts},
    })  # fmt: skip
    found = {one.post: one for one in found_in(boat, "lines-set", "2024")}
    assert found["S-S2"].verdict == "cannot tell"
    assert found["S-S2"].measured == pytest.approx(1500.0 * 610.0 / (math.pi * (25.0**4 - 21.0**4) / 800.0), rel=1e-6)
    # The line runs straight on past S-S1.
    assert (found["S-S1"].verdict, found["S-S1"].measured) == ("pass", pytest.approx(0.0, abs=1e-6))


def test_no_pull_at_the_top_is_a_test_where_a_brace_takes_it() -> None:
    """A brace that meets the tube at its top takes the whole of a pull there: no section below is bent."""
    braced = {"posts/S-S2/brace": {"foot": [3600, 1450, 1000], "along": 632.0}}
    for change, codes in some((({}, ["strength.choices"]), (braced, ["strength.choices_without_pull"]))):
        boat = boat_with({"runs/S-F-U/set_tension": 5000.0, "runs/S-G-U": None, "runs/S-G-L": None, **change})
        (found,) = (one for one in found_in(boat, "lines-set", "2024") if one.post == "S-S2")
        assert [note.code for note in found.notes if note.code.startswith("strength.choices")] == codes


@pytest.mark.parametrize(("proof", "kinds"), [(170.0, {"fails"}), (5000.0, set())])
def test_stanchions_of_stated_proof_stress_are_too_weak_as_set_or_hold(proof: float, kinds: set[str]) -> None:
    """S-S1 yields at about 1090 N at 170 MPa, see the threading plan; nothing is left to show where that is stated."""
    before = refit_of("saltwhin-31")
    boat = with_run(before.boat, "S-F-U", set_tension=1500.0)
    stated = {"proof_stress": proof, "proof_stress_source": "certificate"}
    tubes = {name: tube.model_copy(update=stated) for name, tube in boat.tubes.items()}
    items = open_items(refit(replace(before.loaded, boat=boat.model_copy(update={"tubes": tubes}))))
    assert not [one for one in items if one.name == "strength.as_set"]
    as_set = [one for one in items if one.name == "strength.weak_as_set"]
    assert {one.kind for one in as_set} == kinds
    assert {place for one in as_set for place in one.places} == ({"S-S1", "S-S3"} if kinds else set())
    assert all("too weak for the lines as set" in worded(one.cause) for one in as_set)


@pytest.mark.parametrize("seed", [0, 5, 9])
def test_stanchions_that_yield_as_set_are_an_open_item(seed: int) -> None:
    """Of a grade alone: those whose stress at the worst section is over its least proof stress, and no others."""
    worked_out = random_refit(seed)
    yielding = {
        post.id for post in worked_out.loads.posts if post.stress > (post.proof_stress or 0.0) and post.tensions
    }
    (item,) = (one for one in open_items(worked_out) if one.name.startswith("strength.as_set"))
    assert yielding
    assert set(item.places) == yielding
