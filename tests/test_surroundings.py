"""The command on a machine that lacks what is usual: a disk without room, rights, a home, a cache, an alphabet."""

from __future__ import annotations

import os
import resource
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from geom.files.manifest import compare_with_manifest
from tests.boats import BOATS, ROOT
from tests.some import some

BOAT = BOATS / "first-try.yaml"
# Less than one of the larger sheets as PDF takes [bytes].
ROOM = 30_000
NOBODY = 65534


def is_open_to_all() -> bool:
    """Return whether root runs the tests, and any user may run this interpreter and read this program."""
    roads = [*Path(sys.executable).resolve().parents, *Path(sys.executable).parents, *ROOT.parents]
    return os.name == "posix" and os.geteuid() == 0 and all(path.stat().st_mode & 0o1 for path in roads)


ROOT_ALONE = pytest.mark.skipif(not is_open_to_all(), reason="another user could not even start the program")
ODD_ALPHABETS = {
    "ascii": {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"},
    "turkish": {"LC_ALL": "tr_TR.UTF-8", "LANG": "tr_TR.UTF-8"},
    "comma": {"LC_ALL": "de_DE.UTF-8", "LC_NUMERIC": "de_DE.UTF-8"},
    "unknown": {"LC_ALL": "xx_XX.ISO-8859-1"},
}


def toerail(*arguments: object, cwd: Path, limit: int | None = None, user: int | None = None, **more: str):
    """Run the command elsewhere: with a limit on the size of any file [bytes], as another user, in an environment."""

    def smaller() -> None:
        # Without a handler the signal ends the process before it is told of the fault.
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit or 0, limit or 0))

    return subprocess.run(
        [sys.executable, "-m", "geom", *map(str, arguments)], cwd=cwd, capture_output=True,
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1", **more},
        preexec_fn=None if limit is None else smaller, user=user, group=user, extra_groups=None if user is None else [],
    )  # fmt: skip


def tree(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@pytest.fixture(scope="module")
def first(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("first")
    assert toerail("draw", BOAT, "--to", "boat", "--format", "svg", cwd=folder).returncode == 0
    return folder / "boat"


@pytest.fixture
def drawn(first, tmp_path) -> Path:
    """Return the folder of a drawn boat."""
    shutil.copytree(first, tmp_path / "work" / "boat")
    return tmp_path / "work" / "boat"


def test_no_room_for_a_file_leaves_the_older_drawings(drawn):
    before = tree(drawn)
    assert any(len(data) > ROOM for data in before.values())
    done = toerail("draw", BOAT, "--to", "boat", "--format", "svg", cwd=drawn.parent, limit=ROOM)
    assert done.returncode == 3 and b"Traceback" not in done.stderr and b"boat" in done.stderr
    assert tree(drawn) == before and names(drawn.parent) == ["boat"]


def test_no_room_for_a_first_package_leaves_nothing(tmp_path):
    done = toerail("draw", BOAT, "--to", "boat", "--format", "svg", cwd=tmp_path, limit=ROOM)
    assert done.returncode == 3 and b"Traceback" not in done.stderr
    assert names(tmp_path) == []


@pytest.fixture
def shared() -> Iterator[Path]:
    """Return a folder that every user may enter and read."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder


@ROOT_ALONE
def test_another_user_may_neither_replace_nor_add(first, shared):
    boat, work = shared / "boat.yaml", shared / "work"
    shutil.copyfile(BOAT, boat)
    shutil.copytree(first, work / "boat")
    before = tree(shared)
    for path in shared.rglob("*"):
        path.chmod(0o755 if path.is_dir() else 0o644)
    for target in some(("boat", "other")):
        done = toerail("draw", boat, "--to", target, "--format", "svg", cwd=work, user=NOBODY, HOME="/proc")
        assert done.returncode == 3 and b"Traceback" not in done.stderr and target.encode() in done.stderr
    assert tree(shared) == before and names(work) == ["boat"]


@ROOT_ALONE
def test_a_boat_file_that_may_not_be_read_is_named(shared):
    boat = shared / "boat.yaml"
    shutil.copyfile(BOAT, boat)
    boat.chmod(0o600)
    done = toerail("check", boat, cwd=shared, user=NOBODY, HOME="/proc")
    assert done.returncode == 2 and b"boat.yaml" in done.stderr and b"Traceback" not in done.stderr


@pytest.mark.slow
def test_solids_without_a_cache_folder_are_the_same(tmp_path):
    (tmp_path / "file").write_text("")
    homes = {"usual": "cache", "refused": "/proc/none", "no folder": "file"}
    for name, cache in some(homes.items()):
        done = toerail("solids", BOAT, "--to", name, cwd=tmp_path, HOME="/proc", XDG_CACHE_HOME=str(tmp_path / cache))
        assert (done.returncode, b"Traceback" in done.stderr) == (0, False), done.stderr
    usual, refused, none = (tree(tmp_path / name) for name in homes)
    assert usual and usual == refused == none
    found = compare_with_manifest(tmp_path / "no folder")
    assert found is not None and not found.missing and not found.not_ours()


@pytest.mark.parametrize("alphabet", ODD_ALPHABETS)
def test_an_odd_alphabet_changes_no_file_and_ends_no_command(alphabet, drawn):
    more = ODD_ALPHABETS[alphabet]
    checked = toerail("check", BOATS / "saltwhin-31.yaml", cwd=drawn.parent, **more)
    assert checked.returncode == 1 and b"Traceback" not in checked.stderr and checked.stdout
    assert toerail("draw", BOAT, "--to", "other", "--format", "svg", cwd=drawn.parent, **more).returncode == 0
    assert tree(drawn) == tree(drawn.parent / "other")
