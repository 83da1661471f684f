"""Writing whole or not at all: nothing that somebody else wrote is lost, whenever and wherever a write ends."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from geom.errors import CannotFinishError, InputError
from geom.files import check_place, write_file, write_package
from tests.boats import BOATS


def package_of(**files: bytes) -> dict[str, bytes]:
    """Return files with the manifest that version 0.1.0 writes for them; `__` in a name is a dot."""
    named = {name.replace("__", "."): data for name, data in files.items()}
    entries = [
        {"file": name, "size": len(data), "sha256": hashlib.sha256(data).hexdigest()} for name, data in named.items()
    ]
    manifest = {"format": 1, "tool": "toerail", "tool_version": "0.1.0", "files": entries}
    return named | {"manifest.json": json.dumps(manifest).encode()}


OLD, NEW = package_of(a__txt=b"old", b__txt=b"same"), package_of(a__txt=b"new", b__txt=b"same")


def tree(folder: Path) -> dict[str, bytes]:
    """Return every file below a folder with its bytes."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()
    }


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def toerail(*arguments: object, cwd: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "geom", *map(str, arguments)],
        cwd=cwd, env={**os.environ, **environment}, capture_output=True, text=True,
    )  # fmt: skip


# What somebody else wrote.


def test_a_folder_with_another_manifest_is_left_alone(tmp_path):
    """`manifest.json` is a common name, of web pages for one; only a list of this program is taken for one."""
    (tmp_path / "webapp").mkdir()
    (tmp_path / "webapp" / "manifest.json").write_text('{"name": "my app"}')
    (tmp_path / "webapp" / "app.js").write_text("x")
    before = tree(tmp_path)
    done = toerail("draw", BOATS / "first-try.yaml", "--to", "webapp", cwd=tmp_path)
    assert done.returncode == 2
    assert "not a package folder" in done.stderr
    assert tree(tmp_path) == before


@pytest.mark.parametrize(
    "manifest",
    [b"", b"[]", b"{}", b"{", b"\xff", b'"toerail"', b'{"tool": "toerail"}', b'{"tool": "toerail", "format": 2}',
     b'{"tool": "toerail", "format": 1, "files": 3}', b'{"tool": "toerail", "format": 1, "files": [{"file": "../x"}]}',
     b'{"tool": "other", "format": 1, "files": []}', b"[" * 100_000],
    ids=range(12),
)  # fmt: skip
@pytest.mark.parametrize("replace", [False, True])
def test_no_other_manifest_makes_a_package(tmp_path, manifest, replace):
    target = tmp_path / "boat"
    target.mkdir()
    (target / "manifest.json").write_bytes(manifest)
    with pytest.raises(InputError, match="not a package folder"):
        write_package(target, NEW, replace)
    assert tree(tmp_path) == {"boat/manifest.json": manifest}


def altered(target: Path) -> dict[str, bytes]:
    """Write a package, change one file of it and add three; return what stands then."""
    write_package(target, package_of(a__txt=b"old", b__txt=b"same", c__txt=b"gone"))
    (target / "a.txt").write_bytes(b"my own note")
    (target / "letter.txt").write_bytes(b"keep")
    (target / "photos").mkdir()
    (target / "photos" / "bow.jpg").write_bytes(b"bow")
    (target / "empty").mkdir()
    (target / "c.txt").unlink()
    return tree(target)


def test_changed_and_foreign_files_stop_a_write(tmp_path):
    before = altered(tmp_path / "boat")
    with pytest.raises(CannotFinishError) as stopped:
        write_package(tmp_path / "boat", NEW)
    for line in ("changed: a.txt", "foreign: empty/", "foreign: letter.txt", "foreign: photos/bow.jpg", "--replace"):
        assert line in str(stopped.value)
    assert "b.txt" not in str(stopped.value)
    assert tree(tmp_path / "boat") == before
    assert names(tmp_path) == ["boat"]


def test_the_command_stops_before_it_draws(tmp_path):
    """Exit 3, and the older package with the owner's letter stands as it did."""
    before = altered(tmp_path / "boat")
    done = toerail("draw", BOATS / "first-try.yaml", "--to", "boat", cwd=tmp_path)
    assert done.returncode == 3
    assert "foreign: letter.txt" in done.stderr
    assert tree(tmp_path / "boat") == before


def test_replace_keeps_changed_and_foreign_files_beside(tmp_path):
    target = tmp_path / "boat"
    for number in ("", "-2", "-3"):
        altered(target)
        for path in target.rglob("*"):
            os.utime(path, (1795910400, 1795910400))  # 2026-11-29, noon UTC
        kept = write_package(target, NEW, replace=True)
        assert kept == tmp_path / f"boat.kept-2026-11-29{number}"
        assert tree(target) == NEW
        assert tree(kept) == {"a.txt": b"my own note", "letter.txt": b"keep", "photos/bow.jpg": b"bow"}
        assert (kept / "empty").is_dir()
        assert write_package(target, OLD) is None
    assert names(tmp_path) == ["boat", *(f"boat.kept-2026-11-29{number}" for number in ("", "-2", "-3"))]


def test_a_link_in_a_package_is_foreign_and_not_followed(tmp_path):
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "bow.jpg").write_bytes(b"bow")
    write_package(tmp_path / "boat", OLD)
    (tmp_path / "boat" / "photos").symlink_to(tmp_path / "photos")
    with pytest.raises(CannotFinishError, match="foreign: photos"):
        write_package(tmp_path / "boat", NEW)
    kept = write_package(tmp_path / "boat", NEW, replace=True)
    assert (kept / "photos").is_symlink()
    assert tree(tmp_path / "photos") == {"bow.jpg": b"bow"}


def test_siblings_are_left_alone(tmp_path):
    """A folder `.boat.old` beside `boat` is its owner's, as is every other that was not made here."""
    for name in (".boat.old", ".boat.new-1", "boat.kept-2026-11-29", ".boat.toerail-mine"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "letter.txt").write_text("keep")
    before = tree(tmp_path)
    for files in (OLD, NEW):
        write_package(tmp_path / "boat", files)
        assert {name: data for name, data in tree(tmp_path).items() if not name.startswith("boat/")} == before


def test_a_new_an_empty_and_an_older_folder_take_a_package(tmp_path):
    target = tmp_path / "one" / "two" / "boat"
    write_package(target, OLD)
    assert tree(target) == OLD
    write_package(target, NEW)
    assert tree(target) == NEW
    (target / "b.txt").unlink()  # a missing file is no loss
    write_package(target, OLD)
    assert tree(target) == OLD
    (tmp_path / "empty").mkdir()
    check_place(tmp_path / "empty")
    write_package(tmp_path / "empty", NEW)
    assert tree(tmp_path / "empty") == NEW
    assert names(tmp_path) == ["empty", "one"]
    assert names(target.parent) == ["boat"]


# Broken off.


@pytest.mark.parametrize("fault", [OSError(28, "No space left on device"), KeyboardInterrupt()], ids=["full", "^C"])
def test_a_broken_off_write_leaves_the_old_package(tmp_path, monkeypatch, fault):
    target = tmp_path / "boat"
    write_package(target, OLD)

    def stop(self, data):
        raise fault

    with monkeypatch.context() as patch:
        patch.setattr(Path, "write_bytes", stop)
        with pytest.raises((CannotFinishError, KeyboardInterrupt)):
            write_package(target, NEW)
    assert tree(target) == OLD
    assert names(tmp_path) == ["boat"]


# Names.


@pytest.mark.parametrize("name", ["../out.txt", "/etc/x", "a/../b", "a\\b", "", ".hidden", "a" * 200])
def test_names_that_leave_the_folder_are_refused(name, tmp_path):
    with pytest.raises(InputError):
        write_package(tmp_path / "boat", {name: b"", "manifest.json": b"{}"})
    assert not list(tmp_path.iterdir())


def test_a_file_is_not_written_over(tmp_path):
    path = tmp_path / "boat.yaml"
    write_file(path, b"one")
    with pytest.raises(InputError):
        write_file(path, b"two")
    assert path.read_bytes() == b"one"
    write_file(path, b"two", replace=True)
    assert names(tmp_path) == ["boat.yaml"]
