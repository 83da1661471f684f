"""A fleet on a cluster: the same rows with any number of workers, nothing lost or doubled, nothing done twice."""

from __future__ import annotations

import csv
import hashlib
import json
import os
import re
import signal
import subprocess
import sys
import threading
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from geom.errors import CannotFinishError, InputError
from geom.export import check_report
from geom.files.lines import line_file
from geom.fleet.boats import check_folders, fleet_files
from geom.fleet.fleet import Fleet, work_fleet
from geom.fleet.fleet_work import FleetBatch, FleetBoat, Packages, work_boats
from geom.fleet.pool import here
from geom.fleet.settings import variants_of
from geom.fleet.varied import varied_boat
from geom.fleet.varying import RateFile
from geom.refit import read_refit
from tests.counts import TIMES
from tests.fleet_boats import fleet_text, write_fleet
from tests.some import some

pytest.importorskip("distributed")
ROOT = Path(__file__).parent.parent
RATES = ROOT / "templates" / "rates-example.yaml"


@contextmanager
def in_this_process():
    yield here


@contextmanager
def that_gives_up():
    yield lambda work, batches: (batch.lost_outcomes(ValueError("no worker")) for batch in batches)


def nobody():
    raise AssertionError("a cluster was opened though nothing is to be done")


def fleet_of(source: Path, folder: Path, **changes) -> Fleet:
    return replace(Fleet(source.stem, fleet_files(source), folder, ".csv", "1"), **changes)


def silent(done: int) -> None:
    """Show nothing."""


@pytest.fixture(scope="module")
def two_workers():
    """Open a cluster of two workers on this machine for all tests here; a task that kills one is not tried again."""
    import dask

    from geom.fleet.cluster import cluster_pool

    with dask.config.set({"distributed.scheduler.allowed-failures": 0}), cluster_pool(workers=2) as pool:
        yield pool


@contextmanager
def opened(pool):
    yield pool


@pytest.fixture(scope="module")
def boats(tmp_path_factory):
    folder = tmp_path_factory.mktemp("boats") / "yard"
    write_fleet(folder, 13, broken_every=6)
    return folder


@pytest.fixture(scope="module")
def done_here(boats, tmp_path_factory):
    """Work the fleet out in this process, without a cluster."""
    folder = tmp_path_factory.mktemp("done") / "here"
    rates = RateFile("rates.yaml", RATES.read_bytes())
    summary, worked = work_fleet(fleet_of(boats, folder, rates=rates), in_this_process, silent)
    assert worked == 13
    return folder, summary


def rows_of(file: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(file.open(encoding="utf-8")))


def test_rows_are_those_of_each_boat_alone(boats, done_here):
    folder, summary = done_here
    rows, items = rows_of(folder / "boats.csv"), rows_of(folder / "open-items.csv")
    assert [row["file"] for row in rows] == sorted(path.name for path in boats.iterdir())
    for number, row in some(enumerate(rows, 1)):
        assert row["number"] == str(number)
        if number % 6 == 0:
            assert row["error"] and not row["boat"]
            continue
        report = check_report(read_refit(str(boats / row["file"])))
        assert row["data_sha256"] == report["boat"]["data_sha256"]
        assert row["open_items"] == str(len(report["open_items"]))
        own = [(item["number"], item["kind"], item["title"]) for item in items if item["boat_number"] == str(number)]
        assert own == [(str(one["number"]), one["kind"], one["title"]) for one in report["open_items"]]
    assert (summary.boats, summary.refused_count) == (13, 2)


def test_the_summary_counts_what_the_rows_hold(done_here):
    folder, summary = done_here
    items = rows_of(folder / "open-items.csv")
    for one in some(summary.causes):
        own = [item for item in items if (item["kind"], item["cause"]) == (one.kind, one.cause)]
        assert (one.items, one.boats) == (len(own), len({item["file"] for item in own}))
        assert one.files == sorted({item["file"] for item in own})[:20]
    page = (folder / "summary.html").read_text("utf-8")
    assert re.findall(r'data-cause="([^"]+)"', page) == [one.cause for one in summary.causes]
    assert re.findall(r'data-file="([^"]+)"', page) == ["boat-00006.yaml", "boat-00012.yaml"]
    assert "NOT A HARNESS ATTACHMENT" in page and "://" not in page


def test_two_workers_give_the_same_bytes(boats, done_here, two_workers, tmp_path):
    rates = RateFile("rates.yaml", RATES.read_bytes())
    work_fleet(fleet_of(boats, tmp_path / "two", rates=rates), lambda: opened(two_workers), silent)
    for name in ("boats.csv", "open-items.csv", "summary.html"):
        assert (tmp_path / "two" / name).read_bytes() == (done_here[0] / name).read_bytes(), name


def test_a_second_run_does_no_work_and_a_changed_file_alone_is_done_again(boats, done_here, tmp_path):
    copy = tmp_path / "yard"
    copy.mkdir()
    for path in some(boats.iterdir()):
        (copy / path.name).write_bytes(path.read_bytes())
    fleet = fleet_of(copy, tmp_path / "out")
    assert work_fleet(fleet, in_this_process, silent)[1] == 13
    before = (tmp_path / "out" / "boats.csv").read_bytes()
    assert work_fleet(fleet, nobody, silent)[1] == 0
    assert (tmp_path / "out" / "boats.csv").read_bytes() == before
    commented = copy / "boat-00001.yaml"
    commented.write_text(commented.read_text("utf-8") + "\n# another comment\n", "utf-8")
    assert work_fleet(fleet, nobody, silent)[1] == 0, "the data are the same"
    (copy / "boat-00006.yaml").write_text(fleet_text(6), "utf-8")
    (copy / "boat-00007.yaml").write_text(fleet_text(700), "utf-8")
    (copy / "boat-00000.yaml").write_text(fleet_text(800), "utf-8")
    fleet = fleet_of(copy, tmp_path / "out")
    assert work_fleet(fleet, in_this_process, silent)[1] == 3
    rows = rows_of(tmp_path / "out" / "boats.csv")
    assert [row["number"] for row in rows] == [str(number) for number in range(1, 15)]
    assert [row["file"] for row in rows if row["error"]] == ["boat-00012.yaml"]
    assert rows[7]["boat"].endswith("NO 700")
    with pytest.raises(InputError, match="worked out in another way"):
        work_fleet(replace(fleet, version="2"), nobody, silent)
    assert work_fleet(replace(fleet, version="2"), that_gives_up, silent, replace_all=True)[1] == 14


def test_a_run_that_was_ended_goes_on_where_it_was(boats, done_here, tmp_path):
    """The run ends in the middle, and its last line is cut off as by a full disk."""

    class EndedError(Exception):
        pass

    @contextmanager
    def that_ends():
        def pool(work, batches):
            for number, batch in enumerate(batches):
                if number == 2:
                    raise EndedError
                yield work(batch)

        yield pool

    fleet = fleet_of(boats, tmp_path / "out", rates=RateFile("rates.yaml", RATES.read_bytes()))
    with pytest.raises(EndedError):
        work_fleet(fleet, that_ends, silent)
    journal = tmp_path / "out" / "journal.jsonl"
    assert not (tmp_path / "out" / "boats.csv").exists()
    journal.write_bytes(journal.read_bytes()[:-20])
    assert work_fleet(fleet, in_this_process, silent)[1] == 13 - 7
    assert (tmp_path / "out" / "boats.csv").read_bytes() == (done_here[0] / "boats.csv").read_bytes()


def work_and_die_once(batch: FleetBatch):
    """Work out a batch; the first process that meets the mark ends itself by its own id in the middle of it."""
    mark = os.environ.get("TOERAIL_TEST_MARK") or batch.rates.source
    for boat in batch.boats:
        if boat.file == "deadly" or (boat.file == "once" and not Path(mark).exists()):
            Path(mark).touch()
            os.kill(os.getpid(), signal.SIGKILL)
    return tuple(replace(one, items=()) for one in work_boats(replace(batch, rates=None)))


def batches_of(names, mark):
    text = fleet_text(2).encode()
    boats = [FleetBoat(name, text) for name in names]
    rates = RateFile(str(mark), b"")
    return [FleetBatch(tuple(boats[place : place + 3]), rates) for place in range(0, len(boats), 3)]


def test_a_worker_killed_in_the_middle_loses_and_doubles_nothing(two_workers, tmp_path):
    names = ["a", "b", "c", "once", "d", "e", "f", "g", "h", "i"]
    found = [one for ones in two_workers(work_and_die_once, batches_of(names, tmp_path / "mark")) for one in ones]
    assert (tmp_path / "mark").exists(), "no worker ended itself"
    assert sorted(one.row.file for one in found) == sorted(names)
    assert not any(one.row.error for one in some(found))


def test_a_boat_on_which_every_worker_ends_is_a_row_and_its_neighbours_are_worked_out(two_workers, tmp_path):
    names = ["a", "b", "deadly", "c"]
    found = [one for ones in two_workers(work_and_die_once, batches_of(names, tmp_path / "mark")) for one in ones]
    assert sorted(one.row.file for one in found) == sorted(names)
    assert {one.row.file: one.row.error for one in found if one.row.error} == {
        "deadly": "CannotFinishError: the workers ended while they worked on it"
    }


def test_a_scheduler_that_runs_already_does_the_same(boats, done_here, tmp_path, monkeypatch):
    from distributed import LocalCluster

    from geom.fleet import cluster

    rates = RateFile("rates.yaml", RATES.read_bytes())
    fleet = fleet_of(boats, tmp_path / "out", rates=rates)
    with LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, host="127.0.0.1", protocol="tcp",
        dashboard_address="127.0.0.1:0", worker_dashboard_address=None,
    ) as running:  # fmt: skip
        work_fleet(fleet, lambda: cluster.cluster_pool(running.scheduler_address), silent)
        monkeypatch.setattr(cluster, "version", lambda name: threading.current_thread().name)
        with pytest.raises(CannotFinishError, match="the workers have another"), cluster.cluster_pool(
            running.scheduler_address
        ):  # fmt: skip
            pass
    assert (tmp_path / "out" / "boats.csv").read_bytes() == (done_here[0] / "boats.csv").read_bytes()
    with pytest.raises(InputError, match="--scheduler"), cluster.cluster_pool("no address"):
        pass


def test_variants_are_worked_out_by_the_same_workers(two_workers):
    boat = ROOT / "templates" / "boats" / "first-try.yaml"
    variants = variants_of(boat.read_bytes(), str(boat), [("posts.*.rake", [str(step / 4) for step in range(25)])])
    with varied_boat(variants, None, silent) as alone, varied_boat(variants, None, silent, two_workers) as found:
        assert list(found.rows()) == list(alone.rows())
        assert found.unbeaten == alone.unbeaten


@pytest.mark.long
@pytest.mark.skipif(TIMES == 1, reason="three clusters of seven workers: in long runs only")
def test_one_two_and_four_workers_give_the_same_parquet(tmp_path):
    parquet = pytest.importorskip("pyarrow.parquet")
    from geom.fleet.cluster import cluster_pool

    write_fleet(tmp_path / "yard", 20 * TIMES, broken_every=100)
    tables = []
    for workers in (1, 2, 4):
        fleet = fleet_of(tmp_path / "yard", tmp_path / f"out-{workers}", ending=".parquet")
        work_fleet(fleet, lambda workers=workers: cluster_pool(workers=workers), silent)
        tables.append([parquet.read_table(fleet.folder / f"{name}.parquet") for name in ("boats", "open-items")])
    assert tables[0] == tables[1] == tables[2]
    assert tables[0][0].num_rows == 20 * TIMES


def test_packages_are_written_and_one_that_is_gone_is_written_again(tmp_path):
    source = tmp_path / "yard"
    write_fleet(source, 2)
    fleet = fleet_of(source, tmp_path / "out", solids=False, files=fleet_files(source)[1:])
    assert work_fleet(fleet, in_this_process, silent)[1] == 1
    (row,) = rows_of(tmp_path / "out" / "boats.csv")
    assert row["package"] == "boat-00002"
    package = tmp_path / "out" / "packages" / "boat-00002"
    manifest = json.loads((package / "manifest.json").read_text("utf-8"))
    assert manifest["data_sha256"] == row["data_sha256"]
    data = (source / "boat-00002.yaml").read_bytes()
    assert manifest["boat_file_sha256"] == hashlib.sha256(data).hexdigest()
    assert work_fleet(fleet, nobody, silent)[1] == 0
    (package / "manifest.json").unlink()
    assert work_fleet(fleet, that_gives_up, silent)[1] == 1
    (row,) = rows_of(tmp_path / "out" / "boats.csv")
    assert row["error"] == "ValueError: no worker"
    begun = []

    @contextmanager
    def elsewhere():
        def pool(work, batches):
            for batch in batches:
                begun.append(batch)
                yield work(replace(batch, packages=replace(batch.packages, folder=str(tmp_path / "other disk"))))

        yield pool

    assert work_fleet(fleet, elsewhere, silent)[1] == 1, "what no worker could do is tried again"
    assert begun[0].packages == fleet.packages
    (row,) = rows_of(tmp_path / "out" / "boats.csv")
    assert "not seen here" in row["error"] and row["open_items"] and not row["package"]


def test_a_package_that_cannot_be_written_is_an_error_in_its_row(tmp_path):
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "letter.txt").write_text("not to be lost", "utf-8")
    boat = FleetBoat("boat.yaml", fleet_text(2).encode(), "mine")
    (outcome,) = work_boats(FleetBatch((boat,), None, Packages(str(tmp_path), False, "1")))
    assert outcome.row.open_items is not None and outcome.row.package == ""
    assert outcome.row.error.startswith("package: ") and "not a package folder" in outcome.row.error
    assert (folder / "letter.txt").read_text("utf-8") == "not to be lost"


def test_lists_folders_and_names(tmp_path):
    write_fleet(tmp_path / "yard", 2)
    (tmp_path / "yard" / "deep").mkdir()
    (tmp_path / "yard" / "deep" / "boat-00001.yml").write_text(fleet_text(3), "utf-8")
    assert [file.name for file in fleet_files(tmp_path / "yard")] == [
        "boat-00001.yaml", "boat-00002.yaml", "deep/boat-00001.yml",
    ]  # fmt: skip
    listed = tmp_path / "list.txt"
    listed.write_text("# a fleet\nyard/boat-00002.yaml  # the second\n\nyard/missing.yaml\n", "utf-8")
    work_fleet(fleet_of(listed, tmp_path / "out"), in_this_process, silent)
    rows = rows_of(tmp_path / "out" / "boats.csv")
    assert [row["file"] for row in rows] == ["yard/boat-00002.yaml", "yard/missing.yaml"]
    assert "cannot be read" in rows[1]["error"]
    listed.write_text("Boat One.yaml\nboat-one.yaml\n", "utf-8")
    with pytest.raises(InputError, match="would go into the folder of"):
        check_folders(fleet_files(listed))
    listed.write_text("# nothing\n", "utf-8")
    with pytest.raises(InputError, match="no boat file"):
        fleet_files(listed)
    with pytest.raises(InputError, match="holds no fleet"):
        work_fleet(fleet_of(tmp_path / "yard", tmp_path / "yard"), nobody, silent)


def test_a_boat_file_in_place_of_a_list_is_refused(tmp_path):
    one = tmp_path / "boat.yaml"
    one.write_text("# a boat\n\n" + fleet_text(2), "utf-8")
    with pytest.raises(InputError, match=r"boat\.yaml:\d+: not the name of a boat file \(read: .*a list with the name"):
        fleet_files(one)
    listed = tmp_path / "list.txt"
    listed.write_bytes("\ufeffyard/Boat.YAML\nyard/other.yml\n".encode())
    assert [file.name for file in fleet_files(listed)] == ["yard/Boat.YAML", "yard/other.yml"]
    listed.write_text("yard/boat.yaml\nyard/boat.pdf\n", "utf-8")
    with pytest.raises(InputError, match=r"list\.txt:2: not the name of a boat file \(read: yard/boat\.pdf\)"):
        fleet_files(listed)


def test_lines_come_back_and_one_writer_holds_them(tmp_path):
    place = tmp_path / "deep" / "lines"
    with line_file(place) as lines:
        assert [lines.append(text) for text in (b"one", b"", b"three")] == [0, 1, 2]
        assert [lines[number] for number in range(3)] == [b"one", b"", b"three"]
        with pytest.raises(CannotFinishError, match="in use"), line_file(place):
            pass
    place.write_bytes(place.read_bytes() + b"cut o")
    with line_file(place) as lines:
        assert list(lines) == [b"one", b"", b"three"]
        lines.clear()
        lines.append(b"four")
    assert place.read_bytes() == b"four\n"


def test_the_command_works_out_a_folder_and_says_what_it_did(tmp_path):
    write_fleet(tmp_path / "yard", 4, broken_every=3)
    command = [sys.executable, "-m", "geom", "fleet", "yard", "--workers", "1"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, encoding="utf-8")
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("4 boats: ") and "boat-00003.yaml: " in done.stdout
    assert done.stderr.splitlines()[-1] == "4 boats worked out, 0 were done already; written to yard-fleet"
    assert len(rows_of(tmp_path / "yard-fleet" / "boats.csv")) == 4


def test_without_the_extra_a_plain_message_says_what_to_install(tmp_path):
    write_fleet(tmp_path / "yard", 1)
    script = (
        "import sys\n"
        "for name in ('dask', 'distributed', 'pyarrow'):\n"
        "    sys.modules[name] = None\n"
        "from geom.cli import main\n"
        "sys.argv = ['toerail', *sys.argv[1:]]\n"
        "main()\n"
    )

    def without(*args: str) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-c", script, *args]
        return subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, encoding="utf-8")

    fleet = without("fleet", "yard")
    assert fleet.returncode == 2 and 'pip install "toerail[fleet]"' in fleet.stderr
    setting = ("vary", "yard/boat-00001.yaml", "--set", "boat.name=A,B")
    parquet = without(*setting, "--to", "rows.parquet")
    assert parquet.returncode == 2 and 'pip install "toerail[fleet]"' in parquet.stderr
    assert without(*setting).returncode == 0
