"""Writing whole or not at all: nothing that somebody else wrote is lost, whenever and wherever a write ends."""

from __future__ import annotations

import hashlib
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from geom.errors import CannotFinishError, InputError
from geom.files import check_place, compare_with_manifest, sums, write_file, write_package
from geom.files import exchange as exchange_door
from geom.files import work as work_folder
from geom.files.exchange import exchanged
from geom.files.lock import locked
from tests.boats import BOATS, ROOT
from tests.counts import SEED, TIMES
from tests.some import some

KILLS, ROUNDS = 25 * TIMES, 20 * TIMES


def package_of(**files: bytes) -> dict[str, bytes]:
    """Return files with manifest and SHA256SUMS; `__` in a name is a dot."""
    named = {name.replace("__", "."): data for name, data in files.items()}
    entries = [
        {"file": name, "size": len(data), "sha256": hashlib.sha256(data).hexdigest()} for name, data in named.items()
    ]
    manifest = {"format": 1, "tool": "toerail", "tool_version": "0.1.0", "files": entries}
    named["manifest.json"] = json.dumps(manifest).encode()
    hashes = {name: hashlib.sha256(data).hexdigest() for name, data in named.items()}
    return named | {"SHA256SUMS": sums(hashes)}


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
        (kept,) = write_package(target, NEW, replace=True)
        assert kept == tmp_path / f"boat.kept-2026-11-29{number}"
        assert tree(target) == NEW
        assert tree(kept) == {"a.txt": b"my own note", "letter.txt": b"keep", "photos/bow.jpg": b"bow"}
        assert (kept / "empty").is_dir()
        assert write_package(target, OLD) == ()
    assert names(tmp_path) == ["boat", *(f"boat.kept-2026-11-29{number}" for number in ("", "-2", "-3"))]


def test_a_link_in_a_package_is_foreign_and_not_followed(tmp_path):
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "bow.jpg").write_bytes(b"bow")
    write_package(tmp_path / "boat", OLD)
    (tmp_path / "boat" / "photos").symlink_to(tmp_path / "photos")
    with pytest.raises(CannotFinishError, match="foreign: photos"):
        write_package(tmp_path / "boat", NEW)
    (kept,) = write_package(tmp_path / "boat", NEW, replace=True)
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
    check_place(tmp_path / "empty", "drawings")
    write_package(tmp_path / "empty", NEW)
    assert tree(tmp_path / "empty") == NEW
    assert names(tmp_path) == ["empty", "one"]
    assert names(target.parent) == ["boat"]


@pytest.mark.parametrize("command", ["draw", "solids"])
def test_a_part_does_not_replace_a_whole_package(tmp_path, command):
    """Exit 3 with the way out, as files of a package would be lost; --replace changes nothing about it."""
    write_package(tmp_path / "boat", package_of(check__json=b"{}", a__txt=b"old"))
    before = tree(tmp_path)
    for option in ((), ("--replace",)):
        done = toerail(command, BOATS / "first-try.yaml", "--to", "boat", *option, cwd=tmp_path)
        assert done.returncode == 3
        assert "holds a whole package" in done.stderr
        assert "another folder" in done.stderr
        assert tree(tmp_path) == before


def test_drawings_and_solids_do_not_replace_each_other(tmp_path):
    solids = package_of(boat__step=b"step")
    write_package(tmp_path / "boat", solids)
    with pytest.raises(CannotFinishError, match="holds solids"):
        write_package(tmp_path / "boat", NEW)
    assert tree(tmp_path / "boat") == solids


def test_a_package_without_sums_counts(tmp_path):
    """Version 0.1.0 wrote none."""
    write_package(tmp_path / "boat", OLD)
    (tmp_path / "boat" / "SHA256SUMS").unlink()
    write_package(tmp_path / "boat", NEW)
    assert tree(tmp_path / "boat") == NEW


# Checking a package.


def test_verify_names_what_is_missing_changed_and_foreign(tmp_path):
    boat = tmp_path / "boat"
    write_package(boat, package_of(a__txt=b"old", b__txt=b"same", c__txt=b"gone"))
    done = toerail("verify", "boat", cwd=tmp_path)
    assert done.returncode == 0
    assert done.stdout == "5 files as listed, 0 missing, 0 changed, 0 foreign\n"
    (boat / "a.txt").write_bytes(b"odd")  # of the same size
    (boat / "c.txt").unlink()
    (boat / "letter.txt").write_text("keep")
    done = toerail("verify", "boat", cwd=tmp_path)
    assert done.returncode == 1
    assert done.stdout.splitlines() == [
        "missing: c.txt", "changed: a.txt", "foreign: letter.txt",
        "3 files as listed, 1 missing, 1 changed, 1 foreign",
    ]  # fmt: skip
    assert toerail("verify", tmp_path, cwd=tmp_path).returncode == 2


def test_verify_finds_a_changed_manifest(tmp_path):
    """A file and its entry changed together do not agree with SHA256SUMS."""
    write_package(tmp_path / "boat", OLD)
    for name in ("a.txt", "manifest.json"):
        (tmp_path / "boat" / name).write_bytes(NEW[name])
    assert compare_with_manifest(tmp_path / "boat").changed == ("SHA256SUMS", "manifest.json")


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="no sha256sum here")
def test_sha256sum_reads_the_sums(tmp_path):
    """GNU coreutils, `sha256sum --check --strict`: each file named once and found whole, the manifest among them."""
    write_package(tmp_path / "boat", OLD)
    check = ["sha256sum", "--check", "--strict", "SHA256SUMS"]
    done = subprocess.run(check, cwd=tmp_path / "boat", capture_output=True, text=True)
    assert done.returncode == 0
    assert done.stdout.splitlines() == ["a.txt: OK", "b.txt: OK", "manifest.json: OK"]
    (tmp_path / "boat" / "a.txt").write_bytes(b"new")
    assert subprocess.run(check, cwd=tmp_path / "boat", capture_output=True).returncode == 1


# Broken off.


@pytest.mark.parametrize("fault", [OSError(28, "No space left on device"), KeyboardInterrupt()], ids=["full", "^C"])
def test_a_broken_off_write_leaves_the_old_package(tmp_path, monkeypatch, fault):
    target = tmp_path / "boat"
    write_package(target, OLD)

    def stop(handle):
        raise fault

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", stop)
        with pytest.raises((CannotFinishError, KeyboardInterrupt)):
            write_package(target, NEW)
    assert tree(target) == OLD
    assert names(tmp_path) == ["boat"]


def test_a_swap_without_exchange(tmp_path, monkeypatch):
    monkeypatch.setattr(work_folder, "exchanged", lambda one, other: False)
    before = altered(tmp_path / "boat")
    (kept,) = write_package(tmp_path / "boat", NEW, replace=True)
    assert tree(tmp_path / "boat") == NEW
    assert tree(kept) == {name: before[name] for name in ("a.txt", "letter.txt", "photos/bow.jpg")}
    assert names(tmp_path) == ["boat", kept.name]


def test_a_swap_without_exchange_that_breaks_off_between_its_renames(tmp_path, monkeypatch):
    write_package(tmp_path / "boat", OLD)
    monkeypatch.setattr(work_folder, "exchanged", lambda one, other: False)
    rename = Path.rename

    def stop(self, target):
        if self.name == "new":
            raise OSError(5, "Input/output error")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", stop)
    with pytest.raises(CannotFinishError, match="Input/output"):
        write_package(tmp_path / "boat", NEW)
    assert tree(tmp_path / "boat") == OLD
    assert names(tmp_path) == ["boat"]


@pytest.mark.skipif(sys.platform != "linux", reason="renameat2 is a call of Linux")
def test_folders_are_exchanged(tmp_path):
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        (tmp_path / name / name).touch()
    assert exchanged(tmp_path / "one", tmp_path / "two")
    assert (names(tmp_path / "one"), names(tmp_path / "two")) == (["two"], ["one"])
    with pytest.raises(FileNotFoundError):
        exchanged(tmp_path / "one", tmp_path / "three")


def test_a_system_that_cannot_exchange_says_so(tmp_path, monkeypatch):
    monkeypatch.setattr(exchange_door.ctypes, "CDLL", lambda name, use_errno: object())
    assert not exchanged(tmp_path / "one", tmp_path / "two")


@pytest.mark.parametrize("exchange", [True, False])
@pytest.mark.parametrize("ended", ["begun", "filled", "between", "swapped"])
def test_the_next_run_tidies_after_a_killed_one(tmp_path, monkeypatch, ended, exchange):
    """Whatever stage a run was killed at, a note that its owner put into the old package is kept."""
    place = tmp_path / "boat"
    write_package(place, OLD)
    if not exchange:
        monkeypatch.setattr(work_folder, "exchanged", lambda one, other: False)
    work = work_folder.new_work(place)
    if ended != "begun":
        work_folder.fill(work, NEW)
    (place / "letter.txt").write_text("keep")
    if ended == "swapped":
        work_folder.swap(work, place)
    elif ended == "between":
        place.rename(work / "old")
    last = package_of(a__txt=b"last")
    kept = write_package(place, last, replace=True)
    assert tree(place) == last
    assert [tree(folder) for folder in kept] == [{"letter.txt": b"keep"}]
    assert names(tmp_path) == ["boat", kept[0].name]


@pytest.mark.parametrize("written", ["", "made by", "made by toerail, new is inode 12"])
def test_a_run_killed_while_it_marked_its_folder_leaves_nothing(tmp_path, written):
    place = tmp_path / "boat"
    work = work_folder.new_work(place)
    (work / ".toerail-work").write_text(written)
    write_package(place, NEW)
    assert tree(place) == NEW and names(tmp_path) == ["boat"]


def test_a_run_killed_while_it_removed_the_old_package_leaves_nothing(tmp_path, monkeypatch):
    """Before any file or folder of it: the next run still recognises the rest as written by this program."""
    place, older = tmp_path / "boat", {"cut/at/a.txt": b"old", "z/b.txt": b"old, after the manifest"}
    older = package_of(**{name.replace(".", "__"): data for name, data in older.items()})
    gone = [*map(Path, older), *map(Path, ("cut/at", "cut", "z")), Path("new")]

    def killed_after(left, removed):
        def remove(path, *rest, **more):
            if any(path.parts[-len(one.parts) :] == one.parts for one in gone) and next(left, None) is None:
                raise KeyboardInterrupt
            removed(path, *rest, **more)

        return remove

    for steps in some(range(len(gone))):
        write_package(place, older)
        with monkeypatch.context() as killed:
            left = iter(range(steps))
            for way in ("unlink", "rmdir"):
                killed.setattr(work_folder.Path, way, killed_after(left, getattr(Path, way)))
            with pytest.raises(KeyboardInterrupt):
                write_package(place, NEW)
        assert tree(place) == NEW
        write_package(place, OLD)
        assert tree(place) == OLD and names(tmp_path) == ["boat"]


def test_an_unmarked_folder_is_no_left_over(tmp_path):
    """Not even one that bears such a name."""
    for name in ("new", "old"):
        (tmp_path / ".boat.toerail-1" / name).mkdir(parents=True)
        (tmp_path / ".boat.toerail-1" / name / "letter.txt").write_text("keep")
    before = tree(tmp_path)
    write_package(tmp_path / "boat", OLD)
    assert {name: data for name, data in tree(tmp_path).items() if name.startswith(".")} == before


# One writer at a time.


def test_a_place_in_use_is_refused(tmp_path):
    write_package(tmp_path / "boat", OLD)
    code = (
        "import sys; from pathlib import Path; from geom.files.lock import locked\n"
        "with locked(Path('boat').resolve()): print('held', flush=True); sys.stdin.read()"
    )
    holder = subprocess.Popen(
        [sys.executable, "-c", code], cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdin=subprocess.PIPE, stdout=subprocess.PIPE,
    )  # fmt: skip
    try:
        assert holder.stdout.readline() == b"held\n"
        with pytest.raises(CannotFinishError, match=f"in use by process {holder.pid}; nothing is touched"):
            write_package(tmp_path / "boat", NEW)
        assert tree(tmp_path / "boat") == OLD
    finally:
        holder.kill()
        holder.communicate()
    assert (tmp_path / ".boat.toerail-lock").exists(), "a killed process leaves its lock file"
    write_package(tmp_path / "boat", NEW)
    assert tree(tmp_path / "boat") == NEW
    assert names(tmp_path) == ["boat"]


def test_a_file_in_place_of_the_lock_is_left_alone(tmp_path):
    (tmp_path / ".boat.toerail-lock").write_text("mine")
    with pytest.raises(CannotFinishError, match="not a lock file of this program"):
        write_package(tmp_path / "boat", NEW)
    assert tree(tmp_path) == {".boat.toerail-lock": b"mine"}


def test_a_lock_is_let_go_after_a_fault(tmp_path):
    with pytest.raises(ValueError, match="fault"), locked(tmp_path / "boat"):
        raise ValueError("fault")
    with locked(tmp_path / "boat"):
        assert (tmp_path / ".boat.toerail-lock").read_text() == f"toerail process {os.getpid()}\n"
    assert names(tmp_path) == []


WRITER = """
import hashlib, json, signal, sys
from pathlib import Path
from geom.errors import CannotFinishError
from geom.files import sums, write_package
def sha256(data):
    return hashlib.sha256(data).hexdigest()
signal.signal(signal.SIGTERM, signal.default_int_handler)
target, rounds = Path(sys.argv[1]), int(sys.argv[2])
written = 0
print("begun", flush=True)
while written < rounds:
    files = {f"file{n}.txt": f"{written} {n} ".encode() * 2000 for n in range(20)}
    entries = [{"file": name, "size": len(data), "sha256": sha256(data)} for name, data in files.items()]
    files["manifest.json"] = json.dumps({"format": 1, "tool": "toerail", "files": entries}).encode()
    files["SHA256SUMS"] = sums({name: sha256(data) for name, data in files.items()})
    try:
        write_package(target, files)
        written += 1
    except CannotFinishError as error:
        assert "in use by" in str(error), error
"""


def writer(target: Path, rounds: int) -> subprocess.Popen[bytes]:
    """Start a process that writes small packages as fast as it can, and wait until it writes."""
    process = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(target), str(rounds)], env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip
    assert process.stdout.readline() == b"begun\n", process.communicate()
    return process


def is_whole(folder: Path) -> bool:
    found = compare_with_manifest(folder)
    return found is not None and not found.missing and not found.not_ours()


@pytest.mark.long
@pytest.mark.skipif(sys.platform != "linux", reason="folders are exchanged on Linux")
@pytest.mark.parametrize("count", [2, 4])
def test_writers_and_a_reader(tmp_path, count):
    """Each write ends well or is refused as the place is in use, and the reader finds a folder every time."""
    target = tmp_path / "boat"
    write_package(target, OLD)
    writers = [writer(target, ROUNDS) for _ in range(count)]
    looks = absent = 0
    while any(process.poll() is None for process in writers):
        looks += 1
        absent += not target.is_dir()
    for process in writers:
        assert process.communicate()[1] == b""
        assert process.returncode == 0
    assert looks > 100
    assert absent == 0
    assert is_whole(target)
    assert names(tmp_path) == ["boat"]


@pytest.mark.long
def test_a_killed_writer_leaves_a_whole_package(tmp_path):
    """At any moment, by a signal that can be handled or not; the next run tidies."""
    chance = random.Random(20260301 + SEED)
    target = tmp_path / "boat"
    write_package(target, OLD)
    for kill in range(KILLS):
        process = writer(target, 1_000_000)
        time.sleep(chance.uniform(0.0, 0.05))
        process.send_signal(signal.SIGKILL if kill % 3 else signal.SIGTERM)
        process.communicate()
        assert process.returncode in (-signal.SIGKILL, -signal.SIGINT, 130, 1)
        assert is_whole(target), f"kill {kill}"
    write_package(target, NEW)
    assert names(tmp_path) == ["boat"]


# The command, interrupted.

AT_START = """
import os, signal, sys
import geom.__main__ as program
class Signal:
    def find_spec(self, name, path, target=None):
        if name == "geom.cli.boats":
            os.kill(os.getpid(), getattr(signal, sys.argv.pop()))
sys.meta_path.insert(0, Signal())
program.main()
"""
AT_IMPORT = """
import os, signal, sys
import geom.__main__ as program
class Signal:
    def find_spec(self, name, path, target=None):
        if name == "cadquery":
            try:
                os.kill(os.getpid(), getattr(signal, given))
            except KeyboardInterrupt:
                raise ImportError("initialization failed")
sys.meta_path.insert(0, Signal())
given = sys.argv.pop()
program.main()
"""
AT_SWAP = """
import os, signal, sys
import geom.__main__ as program
import geom.files.writing as writing
import geom.package as package
name = sys.argv.pop()
package.drawing_files = lambda *arguments, **more: {"a.txt": b"new"}
writing.swap = lambda work, place: os.kill(os.getpid(), getattr(signal, name))
program.main()
"""


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM"])
def test_a_signal_while_the_program_starts(tmp_path, name):
    done = subprocess.run(
        [sys.executable, "-c", AT_START, "draw", BOATS / "first-try.yaml", name], cwd=tmp_path, capture_output=True,
        text=True, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (130, "toerail: interrupted\n")
    assert names(tmp_path) == []


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM"])
def test_a_signal_while_an_extension_is_imported(tmp_path, name):
    """The user is told of the interrupt, not of what the extension makes of it."""
    done = subprocess.run(
        [sys.executable, "-c", AT_IMPORT, "solids", BOATS / "first-try.yaml", "--no-cache", name], cwd=tmp_path,
        capture_output=True, text=True, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert done.returncode == 130, done.stderr
    assert done.stderr.startswith("toerail: interrupted; ")
    assert names(tmp_path) == []


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM"])
def test_a_signal_before_the_swap(tmp_path, name):
    write_package(tmp_path / "boat", OLD)
    done = subprocess.run(
        [sys.executable, "-c", AT_SWAP, "draw", BOATS / "first-try.yaml", "--to", "boat", name], cwd=tmp_path,
        capture_output=True, text=True, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert done.returncode == 130
    assert done.stderr.startswith("toerail: interrupted; ")
    assert tree(tmp_path / "boat") == OLD
    assert names(tmp_path) == ["boat"]


@pytest.mark.long
def test_the_command_killed_at_chance_moments(tmp_path):
    """The older package or the newer one, whole, whatever the moment; every third with solids."""
    chance = random.Random(20260302 + SEED)
    command = ["package", BOATS / "first-try.yaml", "--to", "boat"]
    took = []
    # With solids only in the long run, where a third kill comes.
    for more in ([], ["--no-solids"]) if TIMES > 1 else (["--no-solids"],):
        begin = time.monotonic()
        assert toerail(*command, *more, cwd=tmp_path).returncode == 0
        took.append(time.monotonic() - begin)
    for kill in range(2 * TIMES):
        with_solids = kill % 3 == 2
        more, whole = ([], took[0]) if with_solids else (["--no-solids"], took[-1])
        process = subprocess.Popen(
            [sys.executable, "-m", "geom", *map(str, command), *more], cwd=tmp_path, stderr=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )  # fmt: skip
        time.sleep(chance.uniform(0.5, 1.0) * whole)
        # Each of the three comes with solids and without.
        process.send_signal((signal.SIGTERM, signal.SIGKILL, signal.SIGINT)[(kill + kill // 3) % 3])
        said = process.communicate()[1]
        # Once all is written the interpreter ends, and takes its handlers away before it is gone. Interrupted while an
        # extension runs code of its own, it ends by the signal that a shell gives as 130.
        assert process.returncode in (0, 130, -signal.SIGKILL, -signal.SIGTERM, -signal.SIGINT), said
        assert b"Traceback" not in said
        assert is_whole(tmp_path / "boat"), f"kill {kill}"
    write_package(tmp_path / "boat", package_of(check__json=b"{}"))
    assert names(tmp_path) == ["boat"]


# Places.


def test_a_link_is_followed(tmp_path):
    """The link stays, and the folder behind it is written; a link to nothing makes what it names."""
    (tmp_path / "store").mkdir()
    for name in ("store/boat", "store/other"):
        link = tmp_path / Path(name).name
        link.symlink_to(tmp_path / name)
        for files in (OLD, NEW):
            write_package(link, files)
            assert link.is_symlink()
            assert tree(tmp_path / name) == files
    (tmp_path / "file.yaml").symlink_to(tmp_path / "store" / "file.yaml")
    write_file(tmp_path / "file.yaml", b"one")
    write_file(tmp_path / "file.yaml", b"two", replace=True)
    assert (tmp_path / "file.yaml").is_symlink()
    assert (tmp_path / "store" / "file.yaml").read_bytes() == b"two"
    assert names(tmp_path / "store") == ["boat", "file.yaml", "other"]


def test_the_working_folder_is_not_replaced(tmp_path, monkeypatch):
    """A shell would be left standing in a folder that is no more."""
    (tmp_path / "boat" / "below").mkdir(parents=True)
    for here, target in (("boat", "."), ("boat/below", ".."), ("boat", str(tmp_path / "boat")), ("boat", "/")):
        monkeypatch.chdir(tmp_path / here)
        with pytest.raises(InputError, match="the working folder would be replaced"):
            write_package(Path(target), NEW)
    assert tree(tmp_path) == {}


@pytest.mark.parametrize("target", ["x" * 250, "x" * 300, "/".join(["x" * 200] * 30), "loop", "file/boat"])
def test_a_place_that_the_system_refuses(tmp_path, target):
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    (tmp_path / "file").write_text("")
    with pytest.raises(CannotFinishError):
        write_package(tmp_path / target, NEW)
    with pytest.raises(CannotFinishError):
        write_file(tmp_path / target, b"")
    assert names(tmp_path) == ["file", "loop"]


@pytest.mark.parametrize("mask", [0o000, 0o077])
def test_the_mask_of_the_user_changes_no_mode(tmp_path, mask):
    before = os.umask(mask)
    try:
        write_package(tmp_path / "boat", {"sheets/a.txt": b"a", **OLD})
        write_file(tmp_path / "boat.yaml", b"one")
    finally:
        os.umask(before)
    for path in some([*tmp_path.rglob("*")]):
        assert path.stat().st_mode & 0o777 == (0o755 if path.is_dir() else 0o644), path


AT_HOME = """
import contextlib, sys
from geom.cli import main
with contextlib.suppress(SystemExit):
    main()
from geom.render.dxf import fixed_metadata
with fixed_metadata():
    pass
"""


@pytest.mark.skipif(sys.platform != "linux", reason="a home that nobody can write to")
def test_a_home_that_cannot_be_written_is_not_mentioned(tmp_path):
    """The DXF library keeps a list of fonts at home, and would log that it cannot."""
    done = subprocess.run(
        [sys.executable, "-c", AT_HOME, "--version"], cwd=tmp_path, capture_output=True, text=True,
        env={"HOME": "/proc", "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")


# Names.


@pytest.mark.parametrize(
    "name", ["../out.txt", "/etc/x", "a/../b", "a\\b", "", ".hidden", "a" * 200, "con", "NUL.txt", "a/lpt1.x"]
)
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


@pytest.mark.parametrize("name", ["con", "nul", "COM1.yaml"])
def test_names_of_devices_are_refused(tmp_path, name):
    """Naming Files, Paths, and Namespaces (Microsoft): CON, PRN, AUX, NUL, COM0-9, LPT0-9, with any ending."""
    with pytest.raises(InputError, match="device"):
        write_package(tmp_path / name, NEW)
    with pytest.raises(InputError, match="device"):
        write_file(tmp_path / name, b"")
    assert names(tmp_path) == []


def test_a_replaced_file_keeps_its_mode_and_its_link(tmp_path):
    private = tmp_path / "private.yaml"
    private.write_text("a")
    private.chmod(0o600)
    (tmp_path / "link.yaml").symlink_to(private)
    write_file(tmp_path / "link.yaml", b"b", replace=True)
    assert (tmp_path / "link.yaml").is_symlink()
    assert private.read_bytes() == b"b"
    assert private.stat().st_mode & 0o777 == 0o600
