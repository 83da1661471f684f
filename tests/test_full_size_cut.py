"""Cut files read back by two independent readers: closed outlines only, true sizes, the same bytes twice."""

from __future__ import annotations

import io
import math
import re
import shutil
import subprocess
from dataclasses import replace
from functools import cache

import ezdxf
import pytest

from geom import lettering
from geom.errors import GeometryError
from geom.figure import Arc, Circle, Line, Polyline, Text
from geom.refit import refit as calculated
from geom.render.dxf_cut import cut_bytes
from geom.render.font import outlines
from geom.sheets.aids import cut_files
from geom.sheets.aids.cut import plate_outlines, plate_patterns
from geom.sheets.aids.hole_gauge import common_sizes, own_sizes
from geom.sheets.aids.splice_strip import strips
from tests.boats import NAMES, refit_of
from tests.made import cuts_of as files_of
from tests.some import some


@cache
def document(boat, name):
    return ezdxf.read(io.StringIO(files_of(boat)[name].decode("utf-8")))


def tagged(doc):
    return {e.get_xdata("TOERAIL")[0].value: e for e in doc.modelspace() if e.has_xdata("TOERAIL")}


def box(entity):
    points = [(x, y) for x, y, *_ in entity.get_points()]
    return [min(p[k] for p in points) for k in (0, 1)] + [max(p[k] for p in points) for k in (0, 1)]


def test_one_file_for_every_piece():
    names = set(files_of("saltwhin-31"))
    posts = set(refit_of("saltwhin-31").placed.posts)
    assert names == (
        {f"tube-wrap-{post}.dxf" for post in posts}
        | {"base-plate-welded-plate.dxf", "base-plate-standard-base.dxf"}
        | {"hole-gauge.dxf", "splice-strip-1.dxf", "splice-strip-2.dxf"}
    )
    assert not any(name.startswith(("base-plate", "splice-strip")) for name in files_of("pipwing-25"))


@pytest.mark.parametrize("boat", NAMES)
def test_closed_outlines_only(boat):
    for name in some(files_of(boat)):
        assert_closed(document(boat, name))


def assert_closed(doc):
    assert doc.header["$INSUNITS"] == 4 and doc.header["$MEASUREMENT"] == 1
    assert doc.dxfversion == "AC1015"
    entities = list(doc.modelspace())
    assert {entity.dxf.layer for entity in entities} <= {"CUT", "MARK", "NOTE"}
    assert any(entity.dxf.layer == "CUT" for entity in entities)
    for entity in entities:
        assert entity.dxftype() in ("LWPOLYLINE", "CIRCLE")
        if entity.dxftype() == "LWPOLYLINE":
            assert entity.closed and len(entity) >= 3
            points = [(x, y) for x, y, *_ in entity.get_points()]
            assert all(math.dist(a, b) > 1e-9 for a, b in zip(points, points[1:] + points[:1], strict=True))
    assert not list(doc.layout("Layout1"))


@pytest.mark.parametrize("boat", NAMES)
def test_audit_finds_no_error(boat):
    for name, data in some(files_of(boat).items()):
        auditor = ezdxf.read(io.StringIO(data.decode("utf-8"))).audit()
        assert not auditor.errors and not auditor.fixes, name


def test_nothing_is_cut_twice():
    for doc in some(document(boat, name) for boat in NAMES for name in files_of(boat)):
        cut = [e for e in doc.modelspace() if e.dxf.layer == "CUT"]
        keys = [(e.dxf.center, e.dxf.radius) if e.dxftype() == "CIRCLE" else tuple(e.get_points()) for e in cut]
        assert len(keys) == len(set(keys))


def test_a_wrap_s_sizes_and_centres():
    for boat in some(NAMES):
        refit = refit_of(boat)
        for post in some(refit.placed.posts.values()):
            found = tagged(document(boat, f"tube-wrap-{post.id}.dxf"))
            edges = box(found[f"wrap:{post.id}"])
            assert edges == pytest.approx([0.0, 0.0, math.pi * post.tube_od, post.top], abs=1e-6)
            for hole in post.holes:
                rise = post.tube_od / 2.0 * math.tan(refit.placed.drillings[hole.id].tilt)
                for at, sign in (("aft", 1.0), ("fwd", -1.0)):
                    low_x, low_y, high_x, high_y = box(found[f"centre:{hole.id}:{at}"])
                    assert (low_y + high_y) / 2.0 == pytest.approx(hole.along + sign * rise, abs=1e-6)
                    outline = box(found[f"exit:{hole.id}:{at}"])
                    assert (low_x + high_x) / 2.0 == pytest.approx((outline[0] + outline[2]) / 2.0, abs=1e-6)
                    wide = post.tube_od * math.asin(hole.diameter / post.tube_od)
                    assert outline[2] - outline[0] == pytest.approx(wide, abs=1e-6)


def test_a_plate_s_holes_lie_where_the_file_puts_them():
    refit = refit_of("saltwhin-31")
    for pattern in some(plate_patterns(refit)):
        base, name = pattern.template.base, pattern.name
        found = tagged(document("saltwhin-31", f"base-plate-{name}.dxf"))
        for number, (aft, outboard) in enumerate(base.bolts, start=1):
            circle = found[f"bolt:{name}:{number}"]
            hand = 1.0 if pattern.template.post.side == "S" else -1.0
            assert (circle.dxf.center.x, circle.dxf.center.y) == pytest.approx((hand * outboard, -aft))
            assert 2.0 * circle.dxf.radius == pytest.approx(base.bolt_hole)
            assert circle.dxf.layer == "CUT"
        assert box(found[f"plate:{name}"]) == pytest.approx(
            [-base.width / 2.0, -base.length / 2.0, base.width / 2.0, base.length / 2.0]
        )


def test_a_pattern_of_plate_is_one_file_with_its_count_material_and_thickness():
    """SALTWHIN 31: six welded plates and two standard ones, bolt holes alike on both sides."""
    refit = refit_of("saltwhin-31")
    found = {pattern.name: pattern for pattern in plate_patterns(refit)}
    assert {name: len(pattern.posts) for name, pattern in found.items()} == {"welded-plate": 6, "standard-base": 2}
    assert sorted(post for pattern in found.values() for post in pattern.posts) == sorted(refit.placed.posts)
    notes = [item.text for item in plate_outlines(found["welded-plate"]) if getattr(item, "layer", "") == "NOTE"]
    assert notes[:2] == ["6 OFF", "6 mm, material TBC"]
    assert "S-S1" in " ".join(notes[2:])


def test_plates_with_other_holes_port_and_starboard_are_two_patterns():
    boat = refit_of("saltwhin-31").boat
    base = boat.bases["welded plate"].model_copy(update={"bolts": ((32.0, 25.0), (-32.0, -20.0))})
    loaded = refit_of("saltwhin-31").loaded
    bases = {**boat.bases, "welded plate": base}
    skewed = calculated(replace(loaded, boat=loaded.boat.model_copy(update={"bases": bases})))
    names = {pattern.name for pattern in plate_patterns(skewed)}
    assert names == {"welded-plate-starboard", "welded-plate-port", "standard-base"}


def test_a_gauge_s_holes_are_its_sizes():
    for boat in some(NAMES):
        circles = [e for e in document(boat, "hole-gauge.dxf").modelspace() if e.dxftype() == "CIRCLE"]
        wanted = [size.diameter for size in (*common_sizes(), *own_sizes(refit_of(boat)))]
        assert [2.0 * circle.dxf.radius for circle in circles] == pytest.approx(wanted)
        assert {circle.dxf.layer for circle in circles} == {"CUT"}


def test_a_strip_s_triangles_point_at_its_marks():
    refit = refit_of("saltwhin-31")
    for strip in some(strips(refit)):
        found = tagged(document("saltwhin-31", f"splice-strip-{strip.number}.dxf"))
        recipe = strip.recipe
        for name, value in (
            ("tail", recipe.tail_mark), ("eye", recipe.eye_mark), ("exit", recipe.eye_mark + recipe.exit_mark),
            ("taper-1", recipe.taper_marks[0].from_end), ("taper-11", recipe.taper_marks[-1].from_end),
        ):  # fmt: skip
            tip = min(found[f"mark:{strip.number}:{name}"].get_points(), key=lambda point: point[1])
            assert tip[0] == pytest.approx(value)


def test_gdal_reads_every_outline(tmp_path):
    assert shutil.which("ogrinfo"), "the outside reader of DXF files is missing: install gdal-bin"
    for name in ("tube-wrap-S-S1.dxf", "base-plate-welded-plate.dxf", "hole-gauge.dxf", "splice-strip-1.dxf"):
        path = tmp_path / name
        path.write_bytes(files_of("saltwhin-31")[name])
        done = subprocess.run(["ogrinfo", "-al", str(path)], capture_output=True, text=True, check=True)
        drawn = list(document("saltwhin-31", name).modelspace())
        assert len(re.findall(r"^OGRFeature", done.stdout, re.M)) == len(drawn)
        assert "ERROR" not in done.stderr


def test_the_same_bytes_twice():
    assert cut_files(refit_of("first-try")) == files_of("first-try")


TRIANGLE = ((0.0, 0.0), (10.0, 0.0), (0.0, 5.0))


@pytest.mark.parametrize(
    ("item", "words"),
    [
        (Polyline(TRIANGLE, "CUT"), "not closed"),
        (Polyline(((0.0, 0.0), (5.0, 5.0), (10.0, 10.0)), "CUT", closed=True), "not closed round any area"),
        (Polyline(((0.0, 0.0), (math.nan, 5.0), (0.0, 10.0)), "CUT", closed=True), "not closed round any area"),
        (Circle((0.0, 0.0), 0.0, "CUT"), "cannot be cut"),
        (Line((0.0, 0.0), (1.0, 0.0), "CUT"), "not a closed outline"),
        (Arc((0.0, 0.0), 1.0, 0.0, 1.0, "MARK"), "not a closed outline"),
        (Polyline(TRIANGLE, "OUTLINE", closed=True), "has the layers CUT, MARK, NOTE"),
    ],
)
def test_what_cannot_be_cut_is_refused(item, words):
    with pytest.raises(GeometryError, match=words):
        cut_bytes((item,))


def test_letters_are_outlines_as_high_and_as_wide_as_the_font_says():
    chains = outlines("HI", 5.0)
    ys = [y for chain in chains for _, y in chain]
    assert (min(ys), max(ys)) == pytest.approx((0.0, 5.0), abs=1e-9)
    assert max(x for chain in chains for x, _ in chain) <= lettering.width("HI", 5.0)
    assert len(outlines("O", 5.0)) == 2 and len(outlines("B", 5.0)) == 3
    assert outlines(" ", 5.0) == ()
    with pytest.raises(ValueError, match="no glyph"):
        outlines("⌀", 5.0)


def test_turned_lettering_stands_where_it_is_anchored():
    doc = ezdxf.read(io.StringIO(cut_bytes((Text((10.0, 20.0), "H", 5.0, "NOTE", rotation=math.pi / 2.0),)).decode()))
    left, bottom, right, _ = box(next(iter(doc.modelspace())))
    assert (left, right) == pytest.approx((5.0, 10.0), abs=2e-3)
    assert 20.0 < bottom < 21.0
