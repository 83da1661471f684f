"""The wheel as it would be installed elsewhere: templates, data and the typing mark are in it."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile

import pytest

from tests.boats import ROOT


@pytest.mark.slow
def test_an_installed_wheel_finds_its_templates(tmp_path):
    subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--outdir", str(tmp_path), str(ROOT)],
        check=True,
        capture_output=True,
    )
    (wheel,) = tmp_path.glob("toerail-*.whl")
    installed = tmp_path / "installed"
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
        archive.extractall(installed)
    assert {"geom/py.typed", "geom/data/units.txt", "geom/templates/boats/saltwhin-31.yaml"} <= names
    code = (
        "import geom, geom.resources, geom.refit, pathlib\n"
        "assert pathlib.Path(geom.__file__).is_relative_to(pathlib.Path.cwd()), geom.__file__\n"
        "pathlib.Path('boat.yaml').write_text(geom.resources.starter_text('first-try'))\n"
        "print(len(geom.check_report(geom.read_refit('boat.yaml'))['runs']))\n"
    )
    done = subprocess.run(
        [sys.executable, "-S", "-c", f"import sys; sys.path[:0] = ['.', *{sys.path[1:]!r}]\n" + code],
        cwd=installed, capture_output=True, text=True, env={k: v for k, v in os.environ.items() if k != "PYTHONPATH"},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) >= 1
