"""The package: same bytes twice, every hole in the solids, and the committed demo set as golden files."""

from __future__ import annotations

import hashlib
import math
import os
import subprocess
import sys
from pathlib import Path

import pytest

from geom.solids.proof import read_step
from tests.boats import BOATS, ROOT, by_id, refit_of, report_of

GOLDEN = ROOT / "out" / "saltwhin-31"
RENEW = "toerail package templates/boats/saltwhin-31.yaml --to out/saltwhin-31"


def build(target: Path, cwd: Path, seed: str) -> dict[str, str]:
    environment = {**os.environ, "PYTHONHASHSEED": seed}
    subprocess.run(
        [sys.executable, "-m", "geom", "package", str(BOATS / "saltwhin-31.yaml"), "--to", str(target)],
        cwd=cwd, env=environment, check=True, capture_output=True,
    )  # fmt: skip
    return contents(target)


def contents(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def differences(found: dict[str, str], golden: dict[str, str]) -> list[str]:
    """Return what differs between two sets of files, file by file."""
    names = sorted(found.keys() | golden.keys())
    return [name for name in names if found.get(name) != golden.get(name)]


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = tmp_path_factory.mktemp("package")
    return folder / "one", build(folder / "one", folder, "1")


def test_same_input_same_bytes(built, tmp_path):
    """Another hash seed and another working folder change nothing."""
    assert differences(build(tmp_path / "two", tmp_path, "20260301"), built[1]) == []


def test_the_committed_demo_is_what_the_program_writes(built):
    golden = contents(GOLDEN)
    assert "manifest.json" in golden, "the manifest holds the hash of every file, of those too that are not committed"
    wrong = [name for name, found in golden.items() if built[1].get(name) != found]
    assert wrong == [], f"out/ is not what is written now; look at each file, then renew it with: {RENEW}"


def test_the_comparison_can_fail(built):
    changed = {**built[1], "check.json": hashlib.sha256(b"another").hexdigest()}
    assert differences(changed, built[1]) == ["check.json"]
    assert differences({}, {"a": "b"}) == ["a"]


def test_the_demo_stays_small():
    listed = subprocess.run(["git", "ls-files", "-z", "out"], cwd=ROOT, capture_output=True, text=True, check=True)
    sizes = [(ROOT / name).stat().st_size for name in listed.stdout.split("\0") if name]
    assert sum(sizes) < 8e6


def test_every_drilled_hole_stands_in_its_solid(built):
    """Each hole of the report is a cylinder of its radius, axis and place in the post's STEP file."""
    report, placed = report_of("saltwhin-31"), refit_of("saltwhin-31").placed
    holes = by_id(report["holes"])
    seen = set()
    for path in sorted((built[0] / "solids").glob("post-*.step")):
        (body,) = read_step(path.read_bytes())
        assert body.valid
        for post_id in body.product.removeprefix("post ").split():
            post = placed.posts[post_id]
            for hole in post.holes:
                stated = holes[hole.id]
                turn = math.radians(stated["clocking_deg"]) * (1 if post.side == "S" else -1)
                tilt = math.radians(stated["tilt_deg"])
                axis = (math.cos(tilt) * math.cos(turn), math.cos(tilt) * math.sin(turn), math.sin(tilt))
                assert any(
                    abs(found.radius - stated["diameter_mm"] / 2) < 1e-3
                    and abs(abs(sum(a * b for a, b in zip(found.direction, axis, strict=True))) - 1) < 1e-9
                    and _off_axis(found, (0.0, 0.0, stated["along_mm"])) < 1e-3
                    for found in body.cylinders
                ), hole.id
                seen.add(hole.id)
    assert seen == set(holes)


def _off_axis(cylinder, point):
    """Return how far a point lies off a cylinder's axis."""
    ray = [p - q for p, q in zip(point, cylinder.point, strict=True)]
    along = sum(a * b for a, b in zip(ray, cylinder.direction, strict=True))
    return math.sqrt(max(sum(a * a for a in ray) - along * along, 0.0))
