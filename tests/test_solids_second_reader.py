"""The whole-boat STEP of SALTWHIN 31 opened by readers other than the one that wrote it.

1. gmsh: a general-purpose mesh generator. Its STEP import rests on the same open family of solid kernels as
   our writer, in another build and another version: it proves that the file stands by itself outside our process
   and library, not that an unrelated kernel agrees.
2. steputils: a pure-Python reader of ISO 10303-21 text, without any kernel: counts, names, places and the
   radii and axes of the drilled holes are read from the entities' own numbers.

Both are required by the tests: where one is missing this file fails, it does not skip.
"""

from __future__ import annotations

import json
import math
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from geom import resources
from geom.boat.file import read_boat
from geom.export import check_report, json_bytes
from geom.parts.part import Part
from geom.refit import Refit, refit
from geom.solids.assembly import Assembly, assemble
from geom.solids.step import step_bytes
from tests.made import parts
from tests.step_entities import ReadInstance, read_instances

BOAT = "saltwhin-31"
# A process of its own: two builds of one family of kernels in one process might lend each other their functions.
IN_GMSH = """
import json, sys
import gmsh
gmsh.initialize(readConfigFiles=False, interruptible=False)
gmsh.option.setNumber("General.Terminal", 0)
gmsh.option.setString("Geometry.OCCTargetUnit", "MM")
gmsh.model.occ.importShapes(sys.argv[1])
gmsh.model.occ.synchronize()
tags = [tag for _, tag in gmsh.model.getEntities(3)]
print(json.dumps([(f"{gmsh.model.getEntityName(3, tag)}#{tag}", gmsh.model.occ.getMass(3, tag)) for tag in tags]))
gmsh.finalize()
"""


@pytest.fixture(scope="module")
def boat() -> Refit:
    return refit(read_boat(resources.starter_text(BOAT).encode("utf-8"), BOAT))


@pytest.fixture(scope="module")
def whole(boat: Refit) -> Assembly:
    return assemble(boat)


@pytest.fixture(scope="module")
def content(whole: Assembly) -> bytes:
    return step_bytes(whole.title, whole.products(parts().shape), whole.instances())


@pytest.fixture(scope="module")
def instances(content: bytes) -> dict[str, ReadInstance]:
    found = read_instances(content.decode("ascii"))
    assert len({one.name for one in found}) == len(found), "an instance name stands twice"
    return {one.name: one for one in found}


def solid_parts(whole: Assembly) -> dict[str, Part]:
    """Return what must be a solid in the file, by instance name."""
    return {piece.instance: piece.part for piece in whole.pieces if piece.part is not None}


def by_gmsh(path: Path) -> dict[str, float]:
    """Return the volume of each solid of a STEP file [mm3], by the path of names that gmsh gives it."""
    done = subprocess.run([sys.executable, "-c", IN_GMSH, str(path)], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return dict(json.loads(done.stdout))


def volume_faults(found: dict[str, float], wanted: dict[str, Part]) -> list[str]:
    """Return how a second reader's solids differ from the specifications: count, total and each one's volume."""
    faults = []
    if len(found) != len(wanted):
        faults.append(f"{len(found)} solids instead of {len(wanted)}")
    total, stated = math.fsum(found.values()), math.fsum(part.volume() for part in wanted.values())
    if not math.isclose(total, stated, rel_tol=1e-4):
        faults.append(f"total volume {total:.1f} mm3 instead of {stated:.1f} mm3")
    pairs = zip(sorted(found.values()), sorted(part.volume() for part in wanted.values()), strict=False)
    faults += [
        f"a solid of {a:.3f} mm3 instead of {b:.3f} mm3" for a, b in pairs if not math.isclose(a, b, rel_tol=1e-4)
    ]
    return faults


@pytest.fixture(scope="module")
def gmsh_solids(content: bytes, tmp_path_factory: pytest.TempPathFactory) -> dict[str, float]:
    path = tmp_path_factory.mktemp("second reader") / "boat.step"
    path.write_bytes(content)
    return by_gmsh(path)


def test_same_solids_and_volume_in_gmsh(gmsh_solids: dict[str, float], whole: Assembly) -> None:
    assert volume_faults(gmsh_solids, solid_parts(whole)) == []


def test_instances_keep_their_names_in_gmsh(gmsh_solids: dict[str, float], boat: Refit) -> None:
    names = {path.split("#")[0].split("/")[-2] for path in gmsh_solids}
    assert {post.id for post in boat.boat.posts} | {run.id for run in boat.boat.runs} <= names


def test_the_comparison_with_gmsh_can_fail(gmsh_solids: dict[str, float], whole: Assembly) -> None:
    wanted = solid_parts(whole)
    first = next(iter(gmsh_solids))
    assert volume_faults({**gmsh_solids, first: gmsh_solids[first] * 1.01}, wanted) != []
    assert volume_faults({k: v for k, v in gmsh_solids.items() if k != first}, wanted) != []


def test_same_solids_in_the_text(instances: dict[str, ReadInstance], whole: Assembly) -> None:
    assert {name: one.within for name, one in instances.items()} == {
        piece.instance: piece.within for piece in whole.pieces
    }
    assert instances["S-S1"].within == instances["S-S1 base"].within == ("starboard", "stanchion S-S1")
    for piece in whole.pieces:
        one = instances[piece.instance]
        assert (one.solids, one.shells) == ((0, 0) if piece.part is None else (1, 1)), piece.instance
        assert one.product == piece.product


def test_every_id_of_the_boat_file_once(instances: dict[str, ReadInstance], boat: Refit) -> None:
    ids = [thing.id for thing in (*boat.boat.posts, *boat.boat.runs, *boat.boat.eyes)]
    assert set(ids) <= set(instances)


def hole_is_there(one: ReadInstance, stated: dict[str, Any], centre: np.ndarray, axis: np.ndarray) -> bool:
    """Tell whether a cylinder of a hole's radius has the hole's centre on its axis, within 0.001 mm."""
    return any(
        abs(found.radius - 0.5 * stated["diameter_mm"]) < 1e-3
        and np.linalg.norm(np.cross(centre - found.point, found.direction)) < 1e-3
        and 1000.0 * np.linalg.norm(np.cross(axis, found.direction)) < 1e-3
        for found in one.cylinders
    )


def test_hole_axes_in_the_text(instances: dict[str, ReadInstance], boat: Refit) -> None:
    """Each hole of the JSON report is a cylinder of its post, in boat axes, within 0.001 mm."""
    holes = {hole["id"]: hole for hole in json.loads(json_bytes(check_report(boat)))["holes"]}
    seen = set()
    for post, hole in boat.placed.holes():
        stated, one = holes[hole.id], instances[post.id]
        centre = np.array([stated["x_mm"], stated["y_mm"], stated["z_mm"]])
        axis = np.array(boat.placed.drillings[hole.id].axis)
        assert hole_is_there(one, stated, centre, axis), hole.id
        assert not hole_is_there(one, stated, centre + np.array([0.0, 0.0, 0.5]), axis), hole.id
        assert not hole_is_there(one, {"diameter_mm": stated["diameter_mm"] + 0.01}, centre, axis), hole.id
        seen.add(hole.id)
    assert seen == set(holes)
