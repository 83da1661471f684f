"""Base plates in the model: true plates, under their tubes, on the deck or over the pad that their sheet gives."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from geom import vec
from geom.boat.model import AsFoundHole, Liner, PlannedHole
from geom.boat.plate_model import Socket
from geom.errors import GeometryError
from geom.parts.families.bush import BushSpec
from geom.parts.families.pad import PadSpec
from geom.parts.families.plate import PlateSpec
from geom.parts.families.post import MARK_DEEP, MARK_LONG, MARK_UP, MARK_WIDE, DrilledHole, PostSpec
from geom.placement.pads import deck_frame, foot_on_plate, pad
from geom.placement.spacers import spacer_tubes
from geom.solids.assembly import assemble, fitting_pieces
from geom.solids.bases import base_of, plate_frame, plate_spec, tube_foot
from geom.solids.cache import PartCache
from geom.solids.checks import distance
from geom.solids.placing import spacers
from geom.solids.posts import post_files, post_frame, standing_spec
from geom.solids.proof import read_step, require_true
from geom.solids.step import Product, location, step_bytes
from geom.solids.weldments import weldments
from tests.boats import refit_of
from tests.random_boats import random_refit
from tests.some import some

BOAT = "saltwhin-31"
PLATE = PlateSpec(90.0, 76.0, 6.0, 12.0, 6.5, ((32.0, 25.0), (32.0, -25.0), (-32.0, -25.0), (-30.0, 20.0)))
SLOW = settings(max_examples=15, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])


def round_trip(part: Any) -> None:
    (body,) = read_step(step_bytes("PART", (Product("PART", part.solid()),)))
    require_true(part, body)


@given(
    start=st.floats(0.0, 40.0),
    aft=st.floats(-0.3, 0.3),
    out=st.floats(-0.3, 0.3),
    hand=st.sampled_from("PS"),
    clocking=st.floats(-0.5, 0.5),
)
@SLOW
def test_tubes_with_sloped_feet_round_trip(start: float, aft: float, out: float, hand: str, clocking: float) -> None:
    hole = DrilledHole("U", 200.0, 9.5, clocking, 0.05)
    spec = PostSpec(25.0, 1.5, 240.0, (hole,), hand, start, (aft, out))  # type: ignore[arg-type]
    round_trip(spec)


def test_proof_catches_another_foot() -> None:
    spec = PostSpec(25.0, 1.5, 240.0, (), "S", 6.0, (0.04, 0.02))
    (body,) = read_step(step_bytes("PART", (Product("PART", spec.solid()),)))
    for wrong in (replace(spec, start=6.01), replace(spec, foot_rise=(0.045, 0.02))):
        with pytest.raises(GeometryError):
            require_true(wrong, body)


@given(
    length=st.floats(40.0, 150.0),
    width=st.floats(40.0, 150.0),
    thickness=st.floats(2.0, 15.0),
    radius=st.floats(0.5, 15.0),
    bolt_hole=st.floats(4.0, 9.0),
)
@SLOW
def test_plates_round_trip(length: float, width: float, thickness: float, radius: float, bolt_hole: float) -> None:
    bolts = ((0.3 * length, 0.3 * width), (-0.3 * length, 0.25 * width), (0.0, -0.3 * width))
    round_trip(PlateSpec(length, width, thickness, radius, bolt_hole, bolts))


def test_sharp_corners_round_trip() -> None:
    round_trip(replace(PLATE, corner_radius=0.0))


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"thickness": 0.0}, "thickness"),
        ({"length": -90.0}, "length"),
        ({"corner_radius": 38.0}, "corners"),
        ({"corner_radius": -1.0}, "corners"),
        ({"bolts": ((42.0, 0.0),)}, "bolt 1 runs off"),
        ({"bolts": ((41.0, 34.0),), "bolt_hole": 4.0}, "bolt 1 runs off"),
        ({"bolts": ((0.0, 0.0), (5.0, 0.0))}, "bolt holes 1 and 2 overlap"),
    ],
)
def test_impossible_plates_are_refused_before_the_kernel(changes: dict[str, Any], word: str) -> None:
    with pytest.raises(GeometryError, match=word):
        replace(PLATE, **changes)


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"start": -1.0}, "at its foot"),
        ({"start": 240.0}, "reaches its top"),
        ({"foot_rise": (2.0, 0.0)}, "60 deg"),
        ({"start": 198.0}, "runs off the tube"),
    ],
)
def test_impossible_feet_are_refused_before_the_kernel(changes: dict[str, Any], word: str) -> None:
    with pytest.raises(GeometryError, match=word):
        replace(PostSpec(25.0, 1.5, 240.0, (DrilledHole("U", 200.0, 9.5),)), **changes)


def based(refit: Any) -> list[tuple[Any, Any]]:
    return [(post, base_of(refit, post)) for post in refit.placed.posts.values() if post.spec.base is not None]


def all_boats() -> list[Any]:
    boats = [refit_of(BOAT), *(random_refit(seed) for seed in range(30))]
    return [boat for boat in boats if boat.boat.bases]


def test_plates_lie_on_the_deck_or_over_their_pad() -> None:
    """A plate to suit lies in the deck's plane; under a standard one is the room that its sheet gives as pad."""
    signs = {
        "aft outboard": (1.0, 1.0),
        "forward inboard": (-1.0, -1.0),
        "aft inboard": (1.0, -1.0),
        "forward outboard": (-1.0, 1.0),
    }
    seen = set()
    for refit in all_boats():
        for post, base in based(refit):
            frame, normal = plate_frame(base, post), deck_frame(post).normal
            out = 1.0 if post.side == "S" else -1.0
            gaps = {}
            for word, (a, o) in signs.items():
                corner = frame.point((0.5 * a * base.length, 0.5 * o * out * base.width, 0.0))
                over = vec.dot(vec.sub(corner, post.foot), normal)
                gaps[word] = over / vec.dot(frame.z, normal)
            wanted = pad(post, base).corners if base.tube == "square to the plate" else dict.fromkeys(gaps, 0.0)
            assert gaps == pytest.approx(wanted, abs=1e-6), post.id
            seen.add(base.tube)
    assert seen == {"to suit the post", "square to the plate"}


def test_tubes_begin_on_their_plates() -> None:
    """The edge of the tube that the base sheet draws on the plate lies on the tube's own foot."""
    for refit in some(all_boats()):
        for post, base in some(based(refit)):
            spec, stands, lies = standing_spec(refit, post), post_frame(post), plate_frame(base, post)
            out = 1.0 if post.side == "S" else -1.0
            for aft, outboard in some(foot_on_plate(post, base, steps=12)):
                away = vec.sub(lies.point((aft, out * outboard, base.thickness)), stands.origin)
                x, y, z = (vec.dot(away, axis) for axis in (stands.x, stands.y, stands.z))
                assert math.hypot(x, y) == pytest.approx(0.5 * spec.od, abs=1e-6)
                assert z == pytest.approx(spec.foot_at(x, y), abs=1e-6)


def test_port_plates_mirror_starboard_ones() -> None:
    refit = refit_of(BOAT)
    base = refit.boat.bases["welded plate"].model_copy(update={"bolts": ((30.0, 20.0), (-32.0, -25.0))})
    starboard = plate_spec(base, refit.placed.posts["S-S1"])
    port = plate_spec(base, refit.placed.posts["P-S1"])
    assert starboard.bolts == ((-32.0, -25.0), (30.0, 20.0))
    assert port.bolts == ((-32.0, 25.0), (30.0, -20.0))


def test_post_and_plate_touch_and_share_no_metal() -> None:
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    refit, make = refit_of(BOAT), PartCache(None).shape
    pieces = {piece.instance: piece for piece in assemble(refit).pieces}
    for post_id in ("S-S1", "S-S2", "P-S2", "P-S4"):
        shapes = [make(pieces[name].part).Moved(location(pieces[name].frame)) for name in (post_id, f"{post_id} base")]
        assert distance(*shapes) < 1e-5, post_id
        common = GProp_GProps()
        BRepGProp.VolumeProperties_s(BRepAlgoAPI_Common(*shapes).Shape(), common)
        assert abs(common.Mass()) < 0.01, post_id


def test_every_post_with_a_base_has_one_and_sheets_of_fittings_leave_them_to_their_own() -> None:
    refit = refit_of(BOAT)
    names = {piece.instance for piece in assemble(refit).pieces}
    assert {f"{post.id} base" for post, _ in based(refit)} <= names
    assert not any(piece.part.family == "base plate" for piece in fitting_pieces(refit) if piece.part is not None)


def test_a_tube_square_to_its_plate_is_cut_square() -> None:
    refit = refit_of(BOAT)
    found = {base.tube: tube_foot(base, post) for post, base in based(refit)}
    assert found["square to the plate"][1] == (0.0, 0.0)
    assert found["to suit the post"][1] != (0.0, 0.0)


def test_a_tube_without_a_stated_base_says_so_in_its_file() -> None:
    """Its square lower end is no finished foot: the product's name and the header of the STEP file say it."""
    for name, said in some((("pipwing-25", True), (BOAT, False))):
        files = post_files(refit_of(name))
        text = next(iter(files.values())).decode("ascii")
        header, _, data = text.partition("DATA;")
        assert ("foot not cut: base not stated" in header) is said
        assert ("PRODUCT('post S-S1 - foot not cut: base not stated'" in data) is said


def test_a_bolt_thinner_than_its_hole_has_a_spacer() -> None:
    """Eyes of 6 mm bolts through holes of 12.7 in tubes of 25: spacers 12.7 x 6 x 25, one to a hole. By hand."""
    refit = refit_of(BOAT)
    sizes = spacer_tubes(refit.boat)
    assert set(sizes) == {f"{side}-{post}-{level}" for side in "SP" for post in ("S3", "S4") for level in "UL"}
    assert {(one.od, one.bore, one.length) for one in sizes.values()} == {(12.7, 6.0, 25.0)}
    pieces = {piece.instance: piece for piece in spacers(refit)}
    assert set(pieces) == {f"{hole} spacer" for hole in sizes}
    assert pieces["S-S3-U spacer"].part == BushSpec(12.7, 6.0, 25.0, 0.0)
    thin = {post.id: post for post in refit.boat.posts}["S-S3"]
    holes = {
        level: hole.model_copy(update={"as_found": AsFoundHole(diameter=6.6)}) for level, hole in thin.holes.items()
    }
    posts = tuple(post.model_copy(update={"holes": holes}) if post.id == "S-S3" else post for post in refit.boat.posts)
    assert "S-S3-U" not in spacer_tubes(refit.boat.model_copy(update={"posts": posts}))


def test_a_spacer_in_a_lined_hole_fills_the_liner() -> None:
    """In a liner of bore 10 and length 29 it is 10 x 6 x 29; in one as short as the wall as long as the tube, 25."""
    boat = refit_of(BOAT).boat
    for length, long in some(((29.0, 29.0), (12.0, 25.0))):
        planned = PlannedHole(diameter=12.7, liner=Liner(bore=10.0, length=length, mouth_radius=2.0))
        posts = tuple(
            post.model_copy(
                update={"holes": {k: one.model_copy(update={"planned": planned}) for k, one in post.holes.items()}}
            )
            for post in boat.posts
        )
        sizes = spacer_tubes(boat.model_copy(update={"posts": posts}))
        assert {(one.od, one.bore, one.length) for one in sizes.values()} == {(10.0, 6.0, long)}


@given(
    aft=st.floats(-0.1, 0.1),
    starboard=st.floats(-0.1, 0.1),
    over=st.floats(3.0, 12.0),
    radius=st.just(0.0) | st.floats(0.5, 15.0),
)
@SLOW
def test_pads_round_trip(aft: float, starboard: float, over: float, radius: float) -> None:
    thickness = over + 0.5 * (90.0 * abs(aft) + 76.0 * abs(starboard))
    round_trip(PadSpec(90.0, 76.0, radius, thickness, (aft, starboard), 6.5, PLATE.bolts))


def test_a_pad_without_a_corner_is_refused() -> None:
    with pytest.raises(GeometryError, match="its thinnest corner is -"):
        PadSpec(90.0, 76.0, 0.0, 3.0, (0.1, 0.0), 6.5, ())


def test_pads_fill_the_space_between_plate_and_deck() -> None:
    """Each corner of the solid's lower face lies on the plane of the deck, through the foot, square to its normal."""
    refit = refit_of(BOAT)
    pads = {piece.instance: piece for piece in assemble(refit).pieces if piece.instance.endswith(" pad")}
    for post, base in some([(post, base) for post, base in based(refit) if f"{post.id} pad" in pads]):
        piece = pads[f"{post.id} pad"]
        spec, normal = piece.part, deck_frame(post).normal
        assert isinstance(spec, PadSpec)
        for x, y in some([(a * base.length, b * base.width) for a in (-0.5, 0.5) for b in (-0.5, 0.5)]):
            low = (x, y, spec.rise[0] * x + spec.rise[1] * y - spec.thickness)
            away = vec.sub(piece.frame.point(low), post.foot)
            assert vec.dot(away, normal) == pytest.approx(0.0, abs=1e-4), post.id


@pytest.mark.parametrize("hand", ["S", "P"])
@pytest.mark.parametrize("turn", [0.0, 0.11, -0.2])
def test_the_groove_of_the_aft_mark_round_trips(hand: str, turn: float) -> None:
    spec = PostSpec(25.0, 1.5, 240.0, (DrilledHole("U", 200.0, 9.5),), hand, 6.0, (0.04, 0.02), turn)  # type: ignore[arg-type]
    round_trip(spec)
    plain_tube = replace(spec, mark=None)
    # The groove is as long and deep as it says: a slot across a bar, less the cap over its chord.
    assert plain_tube.volume() - spec.volume() == pytest.approx(MARK_LONG * MARK_WIDE * MARK_DEEP, rel=0.03)
    (body,) = read_step(step_bytes("PART", (Product("PART", spec.solid()),)))
    with pytest.raises(GeometryError):
        require_true(plain_tube, body)


@pytest.mark.parametrize(("depth", "hidden"), [(50.0, 50.0), (None, 60.0)])
def test_the_aft_mark_begins_above_the_socket(depth: float | None, hidden: float) -> None:
    """Of a tube that stands on the plate the whole socket hides the foot, else as much as the tube goes in."""
    boat = refit_of(BOAT).boat
    socket = Socket.model_construct(od=35.0, bore=26.0, height=60.0, depth=depth)
    bases = {word: base.model_copy(update={"socket": socket}) for word, base in boat.bases.items()}
    socketed: Any = SimpleNamespace(boat=boat.model_copy(update={"bases": bases}), placed=refit_of(BOAT).placed)
    for post, _ in some(based(socketed)):
        spec = standing_spec(socketed, post, aft_mark=True)
        removed = replace(spec, mark=None).solid().cut(spec.solid()).BoundingBox()
        mouth = spec.start + hidden
        assert (removed.zmin, removed.zmax) == pytest.approx((mouth + MARK_UP, mouth + MARK_UP + MARK_LONG), abs=1e-3)


def test_an_aft_mark_beyond_the_top_of_its_tube_is_refused() -> None:
    with pytest.raises(GeometryError, match="its AFT mark reaches its top"):
        PostSpec(25.0, 1.5, 100.0, mark=0.0, hidden=60.0)


def test_the_aft_mark_lies_along_the_deck() -> None:
    """Its direction on the tube and the deck's own fore-and-aft lie in one plane with the tube's axis."""
    refit = refit_of(BOAT)
    for post in some(list(refit.placed.posts.values())):
        spec = standing_spec(refit, post, aft_mark=True)
        assert spec.mark is not None
        turn = spec.mark if post.side == "S" else -spec.mark
        out = post_frame(post).direction((math.cos(turn), math.sin(turn), 0.0))
        assert vec.dot(vec.cross(out, deck_frame(post).aft), post.axis) == pytest.approx(0.0, abs=1e-6)
        assert vec.dot(out, deck_frame(post).aft) > 0.9


def test_weldments_are_tube_and_plate_as_they_stand_in_the_boat() -> None:
    refit = refit_of(BOAT)
    found = weldments(refit)
    assert sorted(post for one in found for post in one.posts) == sorted(post.id for post, _ in based(refit))
    whole = {piece.instance: piece for piece in assemble(refit).pieces}
    for one in some(found):
        for post in some(one.posts):
            placed = whole[post].frame.of(one.lies)
            wanted = whole[f"{post} base"].frame
            for a, b in some(
                zip((placed.origin, placed.x, placed.z), (wanted.origin, wanted.x, wanted.z), strict=True)
            ):
                assert a == pytest.approx(b, abs=1e-6)
            assert (one.tube, one.plate) == (whole[post].part, whole[f"{post} base"].part)
    bodies = read_step(step_bytes(found[0].name, found[0].products(PartCache(None).shape), found[0].instances()))
    assert [body.instance for body in bodies] == ["tube", "plate"]


def test_headers_say_the_axes() -> None:
    content = step_bytes("PART", (Product("PART", PLATE.solid()),), axes=PLATE.axes).decode("ascii")
    head = "".join(content[: content.index("ENDSEC;")].split("\n"))
    assert "'PART','mm; X aft, Y to starboard, Z square to the plate, from the middle of the lower face'" in head
