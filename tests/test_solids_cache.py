"""The cache of parts: cold and warm give the same, broken entries are made again, two runs may share it."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

import geom.cache as entries
import geom.parts
from geom.cache import cache_folder
from geom.parts.catalogue import part
from geom.parts.families.post import DrilledHole, PostSpec
from geom.solids import cache
from geom.solids.cache import PartCache, key
from geom.solids.step import Product, step_bytes

POST = PostSpec(25.0, 1.5, 632.0, (DrilledHole("U", 615.0, 12.7, 0.2, -0.02),))
PARTS = (POST, part("shackle", "1/4 in"), part("thimble", "6"), part("base", "plate wedge 5"))


def written(store: PartCache) -> list[bytes]:
    return [step_bytes("P", (Product("P", store.shape(spec)),)) for spec in PARTS]


def test_cold_warm_and_uncached_give_the_same_bytes(tmp_path: Path) -> None:
    cold, warm, bare = PartCache(tmp_path), PartCache(tmp_path), PartCache(None)
    assert written(cold) == written(warm) == written(bare)
    assert (cold.built, cold.read) == (4, 0)
    assert (warm.built, warm.read) == (0, 4)
    assert (bare.built, bare.read) == (4, 0)


@pytest.mark.parametrize("damage", ["empty", "cut", "one bit", "other content", "not a part"])
def test_broken_entry_is_made_again(tmp_path: Path, damage: str) -> None:
    wanted = step_bytes("P", (Product("P", PartCache(tmp_path).shape(POST)),))
    (entry,) = tmp_path.glob("*.part")
    content = bytearray(entry.read_bytes())
    if damage == "empty":
        content = bytearray()
    elif damage == "cut":
        content = content[: len(content) // 2]
    elif damage == "one bit":
        content[len(content) // 2] ^= 1
    elif damage == "other content":
        content[32:] = b"other"
    else:
        content = bytearray(b"\0" * 500)
    entry.write_bytes(bytes(content))
    again = PartCache(tmp_path)
    assert step_bytes("P", (Product("P", again.shape(POST)),)) == wanted
    assert again.built == 1
    healed = PartCache(tmp_path)
    healed.shape(POST)
    assert healed.read == 1


@pytest.mark.parametrize("content", ["nothing", "cut short", "cut in the middle", "rubbish", "zeros"])
def test_an_entry_of_the_right_hash_that_holds_no_part_is_made_again(tmp_path: Path, content: str) -> None:
    wanted = step_bytes("P", (Product("P", PartCache(tmp_path).shape(POST)),))
    (entry,) = tmp_path.glob("*.part")
    whole = entry.read_bytes()[32:]
    spoilt = {
        "nothing": b"", "cut short": whole[:-40], "cut in the middle": whole[: len(whole) // 2],
        "rubbish": bytes(range(256)) * 40, "zeros": bytes(2000),
    }[content]  # fmt: skip
    entry.write_bytes(entries._digest(key(POST), spoilt) + spoilt)
    again = PartCache(tmp_path)
    assert step_bytes("P", (Product("P", again.shape(POST)),)) == wanted
    assert again.built == 1


def test_entries_that_exchanged_their_names_are_made_again(tmp_path: Path) -> None:
    wanted = written(PartCache(tmp_path))
    first, *rest = sorted(tmp_path.glob("*.part"))
    contents = [entry.read_bytes() for entry in (first, *rest)]
    for entry, content in zip((*rest, first), contents, strict=True):
        entry.write_bytes(content)
    again = PartCache(tmp_path)
    assert written(again) == wanted
    assert (again.built, again.read) == (4, 0)


def test_another_version_of_the_program_is_another_entry(monkeypatch: pytest.MonkeyPatch) -> None:
    here = key(POST)
    monkeypatch.setattr(cache, "_program", lambda: "another version")
    assert key(POST) != here


def test_another_specification_code_or_kernel_is_another_entry(monkeypatch: pytest.MonkeyPatch) -> None:
    names = {key(spec) for spec in PARTS}
    assert len(names) == len(PARTS)
    here = key(POST)
    assert key(PostSpec(25.0, 1.5, 632.0 + 1e-9, POST.drilled)) != here
    monkeypatch.setattr(cache, "_kernel", lambda: "another kernel")
    other_kernel = key(POST)
    monkeypatch.setattr(cache, "_code", lambda: "another code")
    assert len({here, other_kernel, key(POST)}) == 3


@pytest.mark.parametrize("module", ["part.py", "families/post.py", "shape/frame.py"])
def test_another_text_of_any_module_that_makes_parts_makes_other_names(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, module: str
) -> None:
    shutil.copytree(Path(geom.parts.__file__).parent, tmp_path / "parts")
    monkeypatch.setattr(cache.resources, "files", lambda name: tmp_path / "parts")
    before = cache._code.__wrapped__()
    with (tmp_path / "parts" / module).open("a") as file:
        file.write("# another text\n")
    assert cache._code.__wrapped__() != before


def test_name_of_an_entry_is_the_same_in_every_process() -> None:
    code = (
        "from geom.parts.families.post import DrilledHole, PostSpec\nfrom geom.solids.cache import key\n"
        "print(key(PostSpec(25.0, 1.5, 632.0, (DrilledHole('U', 615.0, 12.7, 0.2, -0.02),))))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert run.stdout.strip() == key(POST)


def test_a_folder_that_cannot_be_written_is_no_fault(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("in the way")
    store = PartCache(file / "below")
    store.shape(PARTS[1])
    assert store.built == 1


def test_two_runs_share_a_folder(tmp_path: Path) -> None:
    """Two processes fill the same folder at once; both finish and what they leave is whole."""
    code = (
        "import sys\nfrom pathlib import Path\nfrom geom.parts.catalogue import part, sizes\n"
        "from geom.solids.cache import PartCache\n"
        "store = PartCache(Path(sys.argv[1]))\n"
        "for size in sizes('shackle') * 3: store.shape(part('shackle', size))\n"
    )
    runs = [subprocess.Popen([sys.executable, "-c", code, str(tmp_path)]) for _ in range(2)]
    assert [run.wait() for run in runs] == [0, 0]
    store = PartCache(tmp_path)
    for size in ("3/16 in", "1/4 in", "5/16 in", "3/8 in"):
        store.shape(part("shackle", size))
    assert store.built == 0
    assert not list(tmp_path.glob("*.new"))


def test_cache_stands_in_the_users_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    if sys.platform.startswith("linux"):
        monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
        assert cache_folder("solids") == tmp_path / "toerail" / "solids"
        monkeypatch.delenv("XDG_CACHE_HOME")
        monkeypatch.setenv("HOME", str(tmp_path))
        assert cache_folder("solids") == tmp_path / ".cache" / "toerail" / "solids"
        monkeypatch.setenv("XDG_CACHE_HOME", "relative")
        assert cache_folder("solids") == tmp_path / ".cache" / "toerail" / "solids"


def test_a_user_without_a_home_folder_has_no_cache(monkeypatch: pytest.MonkeyPatch) -> None:
    """As in a container that is run for a user who is not listed in it."""

    def no_home() -> Path:
        raise RuntimeError("Could not determine home directory.")

    for name in ("XDG_CACHE_HOME", "LOCALAPPDATA"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(Path, "home", no_home)
    assert cache_folder("solids") is None
    assert entries.library_folder("kernels", "1") is None
    assert PartCache(cache_folder("solids")).shape(POST) is not None


def test_a_warm_run_needs_no_modelling_module(tmp_path: Path) -> None:
    """What is taken from the cache is written by the kernel alone; the slow import is saved."""
    PartCache(tmp_path).shape(POST)
    code = (
        "import sys\nfrom pathlib import Path\nfrom geom.parts.families.post import DrilledHole, PostSpec\n"
        "from geom.solids.cache import PartCache\nfrom geom.solids.step import Product, step_bytes\n"
        "spec = PostSpec(25.0, 1.5, 632.0, (DrilledHole('U', 615.0, 12.7, 0.2, -0.02),))\n"
        "step_bytes('P', (Product('P', PartCache(Path(sys.argv[1])).shape(spec)),))\n"
        "sys.exit('cadquery' in sys.modules)"
    )
    run: Any = subprocess.run([sys.executable, "-c", code, str(tmp_path)], check=False)
    assert run.returncode == 0
