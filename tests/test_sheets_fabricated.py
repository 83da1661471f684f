"""The list of fabricated parts: counts, cut lengths and masses against geometry computed independently."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace

import pytest

from geom.purchasing.fabricated import density, fabricated_parts, plate_volume
from geom.purchasing.parts_list import parts_list
from geom.refit import refit
from geom.sheets.fabricated.sheet import fabricated_sheets
from geom.sheets.stanchions.sheet import stanchion_sheets
from tests.boats import refit_of
from tests.made import sheets_by
from tests.post_reference import axis_of, deck_of, foot_spread, pad_on_axis
from tests.sheet_texts import texts_of
from tests.some import some

BOAT = "saltwhin-31"


def parts(kind, worked_out=None):
    return [part for part in fabricated_parts((worked_out or refit_of(BOAT)).placed) if part.kind == kind]


def test_tubes_are_cut_to_their_long_points():
    boat = refit_of(BOAT).boat
    cut = {post: part.cut for part in parts("tube") for post in part.posts}
    assert sorted(cut) == sorted(post.id for post in boat.posts)
    for post in boat.posts:
        base = boat.bases[post.base]
        if base.tube == "to suit the post":
            spread, _ = foot_spread(post, boat.tubes[post.tube].od)
            wanted = post.top - base.thickness / float(axis_of(post) @ deck_of(post)[2]) + 0.5 * spread
        else:
            wanted = post.top - base.thickness - pad_on_axis(post, base)
        # Those within a tenth of a millimetre are cut together.
        assert cut[post.id] == pytest.approx(wanted, abs=0.1)


def test_masses_are_section_times_length_times_density():
    """Tube 25 x 1.5: (25^2 - 22^2) pi / 4 = 110.7 mm2; at 8.0 g/cm3 0.886 kg/m, as in tube makers' tables (0.88)."""
    per_metre = 0.25 * math.pi * (25.0**2 - 22.0**2) * 8.0e-3
    assert per_metre == pytest.approx(0.886, abs=0.001)
    for part in some(parts("tube")):
        whole = per_metre * part.cut
        # Two holes of 9.5 to 12.7 mm through both walls take at most 3.4 g each, the short side of the foot 1 g.
        assert whole - 8.0 < part.mass < whole
        assert part.mass_of_all == pytest.approx(part.count * part.mass)


def test_a_plate_of_a_stated_grade_has_a_mass():
    """90 x 76 x 6 with R12 corners and four holes of 6.5: 0.316 kg of 316L."""
    worked_out = refit_of(BOAT)
    assert all(part.mass is None for part in parts("plate"))
    bases = {word: base.model_copy(update={"material": "316L"}) for word, base in worked_out.boat.bases.items()}
    stated = refit(replace(worked_out.loaded, boat=worked_out.boat.model_copy(update={"bases": bases})))
    solid = 90.0 * 76.0 - (4.0 - math.pi) * 144.0 - math.pi * 6.5**2
    assert plate_volume(worked_out.boat.bases["welded plate"]) == pytest.approx(6.0 * solid)
    assert [part.mass for part in parts("plate", stated)] == pytest.approx([6.0 * solid * 8e-3] * 2)
    assert density("unknown steel") is None


def test_parts_are_counted():
    counts = {part.name: part.count for part in fabricated_parts(refit_of(BOAT).placed) if part.kind != "tube"}
    assert counts["welded plate"] == 6 and counts["standard base"] == 2
    assert counts["pad of S-S2"] == counts["pad of P-S2"] == 1
    assert counts["base bolt with nut and washer"] == 32
    assert sum(part.count for part in parts("brace tube")) == 4


def test_the_list_prints_what_was_counted():
    cells = texts_of(sheets_by(fabricated_sheets, refit_of(BOAT)))
    found = fabricated_parts(refit_of(BOAT).placed)
    for number, part in enumerate(some(found), start=1):
        assert cells[f"F6:{number}:qty"] == str(part.count)
        shown = cells.get(f"F6:{number}:cut", "")
        assert (shown == "") == (part.cut is None)
        if part.cut is not None:
            assert float(shown) == pytest.approx(part.cut, abs=0.0501)
    length = math.fsum(part.count * part.cut for part in found if part.cut is not None)
    assert f"8 off, {length:.1f} mm net" in cells["notes:2"]


def test_spacers_are_for_the_gate_stanchions_that_they_stand_in():
    gates = {name for gate in refit_of(BOAT).boat.gates for name in gate.supports}
    (spacer,) = parts("spacer")
    assert set(spacer.posts) == gates and len(spacer.posts) == len(gates)
    # Two holes in each.
    assert spacer.count == 2 * len(gates)


def test_each_tube_is_listed_with_the_sheet_that_draws_it():
    cells = texts_of(sheets_by(fabricated_sheets, refit_of(BOAT)))
    drawn = {draft.number: draft.description for draft in stanchion_sheets(refit_of(BOAT))}
    tubes = [(n, part) for n, part in enumerate(fabricated_parts(refit_of(BOAT).placed), 1) if part.kind == "tube"]
    for number, part in some(tubes):
        on = [sheet for sheet, text in drawn.items() if any(post in text for post in part.posts)]
        assert cells[f"F6:{number}:sheet"] == ", ".join(on)


def test_a_slant_is_written_as_on_the_sheet_of_bases():
    cells = texts_of(sheets_by(fabricated_sheets, refit_of(BOAT)))
    for number, part in some(
        [(n, p) for n, p in enumerate(fabricated_parts(refit_of(BOAT).placed), 1) if p.kind == "brace tube"]
    ):
        assert cells[f"F6:{number}:size"] == f"slant {dict(part.sizes)['slant']:.1f}"


def test_the_parts_of_the_stanchions_are_the_list():
    """What the stanchions take of an item, together, is how many of it are made."""
    cells = texts_of(sheets_by(fabricated_sheets, refit_of(BOAT)))
    taken = Counter()
    of_each = [text for tag, text in cells.items() if tag.startswith("F6:each:") and tag.count(":") == 3]
    for one in some([one for text in of_each for one in text.split("; ") if one]):
        item, _, count = one.removesuffix(" off)").partition(" (")
        taken[int(item)] += int(count or 1)
    assert taken == {n: part.count for n, part in enumerate(fabricated_parts(refit_of(BOAT).placed), 1)}


def test_what_is_made_for_a_stanchion_on_hold_says_so_in_its_row():
    """SALTWHIN 31: S-S2 is too low and P-S3 probably bent; what is bought for them is not on hold."""
    cells = texts_of(sheets_by(fabricated_sheets, refit_of(BOAT)))
    for number, part in some(list(enumerate(fabricated_parts(refit_of(BOAT).placed), 1))):
        held = {"S-S2", "P-S3"} & set(part.posts) if part.kind not in ("bush", "spacer", "bolt") else set()
        text = cells.get(f"F6:{number}:tbc", "")
        assert ("on hold" in text) == bool(held), text
        if held and held != set(part.posts):
            assert text.endswith(f"{', '.join(held)} on hold"), text


def test_what_the_order_list_buys_is_named_once_as_bought():
    """Spacers and bolts stand on both lists, with the same counts; the note of the list says which one buys them."""
    found = refit_of(BOAT)
    bought = {row.part: row.count for row in parts_list(found.boat, found.placed.runs, frozenset())}
    listed = [(n, part) for n, part in enumerate(fabricated_parts(found.placed), 1) if part.kind in ("spacer", "bolt")]
    assert [part.count for _, part in some(listed)] == [bought["spacer tube"], bought["base bolt"]]
    items = ", ".join(str(number) for number, _ in listed)
    notes = [text for tag, text in texts_of(sheets_by(fabricated_sheets, found)).items() if tag.startswith("notes:")]
    assert [text for text in notes if f"Items {items}: bought by the order list" in text]


def test_no_base_no_list():
    assert fabricated_sheets(refit_of("pipwing-25")) == ()
