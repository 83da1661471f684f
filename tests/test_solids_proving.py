"""`solids --prove`: one line and one JSON row for each 3D check, exit code 1 where one fails."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from geom.solids.proving import proof_json, prove
from tests.boats import BOATS, ROOT, refit_of, report_of


def toerail(*arguments):
    return subprocess.run(
        [sys.executable, "-m", "geom", *map(str, arguments)], cwd=ROOT, capture_output=True, text=True
    )


@pytest.fixture(scope="module")
def proven(tmp_path_factory):
    folder = tmp_path_factory.mktemp("proven") / "boat"
    return toerail("solids", BOATS / "first-try.yaml", "--prove", "--no-cache", "--to", folder), folder


def test_every_check_is_a_line_and_a_row(proven):
    done, folder = proven
    assert done.returncode == 0, done.stderr
    proof = json.loads((folder / "proof.json").read_text("utf-8"))
    lines = done.stdout.splitlines()
    assert len(lines) == len(proof["checks"]) > 0
    for line, row in zip(lines, proof["checks"], strict=True):
        assert line.startswith(f"{row['verdict']}  {row['kind']}")
        assert row["subject"] in line
        assert row["verdict"] == "pass"


def test_measures_are_those_of_the_report(proven):
    """What the kernel measures in each hole is the clear diameter and the bore that the report works out by formula."""
    rows = json.loads((proven[1] / "proof.json").read_text("utf-8"))["checks"]
    holes = {hole["id"]: hole for hole in report_of("first-try")["holes"]}
    clear = {row["subject"].split(" in ")[1]: row["measured_mm"] for row in rows if row["kind"] == "line in hole"}
    bores = {row["subject"]: row["measured_mm"] for row in rows if row["kind"] == "bore on axis"}
    assert set(clear) == set(bores) == set(holes)
    for hole_id, hole in holes.items():
        assert clear[hole_id] == pytest.approx(hole["clear_mm"], abs=0.01)
        assert bores[hole_id] == pytest.approx(hole["diameter_mm"], abs=0.001)


def test_manifest_counts_the_proof_and_the_solids_are_unchanged(proven, tmp_path):
    manifest = json.loads((proven[1] / "manifest.json").read_text("utf-8"))
    assert "proof.json" in {entry["file"] for entry in manifest["files"]}
    assert toerail("solids", BOATS / "first-try.yaml", "--no-cache", "--to", tmp_path / "plain").returncode == 0
    assert not (tmp_path / "plain" / "proof.json").exists()
    for path in (tmp_path / "plain").glob("*.step"):
        assert path.read_bytes() == (proven[1] / path.name).read_bytes()


def test_a_line_that_does_not_pass_fails(tmp_path):
    """A 6 mm hole holds a 5 mm line only where it runs straight through."""
    text = (BOATS / "first-try.yaml").read_text("utf-8").replace("planned: {diameter: 12}", "planned: {diameter: 6}", 1)
    boat = tmp_path / "tight.yaml"
    boat.write_text(text, "utf-8")
    done = toerail("solids", boat, "--prove", "--to", tmp_path / "out")
    assert done.returncode == 1, done.stderr
    rows = json.loads((tmp_path / "out" / "proof.json").read_text("utf-8"))["checks"]
    failing = [row for row in rows if row["verdict"] == "fail"]
    assert {row["kind"] for row in failing} == {"line in hole"}
    assert {row["subject"].split(" in ")[1] for row in failing} == {"S-S1-U", "P-S1-U"}
    assert sum(line.startswith("fail") for line in done.stdout.splitlines()) == 2


def test_same_bytes_twice():
    boat = refit_of("first-try")
    assert proof_json(boat, prove(boat)) == proof_json(boat, prove(boat))
