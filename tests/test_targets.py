"""What commands write: only files of their kind, and never a file that they read."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import pytest
from typer.testing import CliRunner

from geom.cli import app
from tests.some import some

BOAT = "boat.yaml"
LINE = "guard rope"
READINGS = "POST,AFT,OUT,DECK,UPPER,LOWER\nS-A,0,500,900,610,\nS-B,2000,900,880,610,\n"
SUPPORTS = "id,aft,out,up\nS-S1,2000,900,880\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the working folder, with a boat file, rates, a survey and tables."""
    monkeypatch.chdir(tmp_path)
    for starter, name in (("first-try", BOAT), ("rates", "rates.yaml"), ("survey", "survey.yaml")):
        run("new", starter, "--to", name)
    Path("page.html").write_bytes(Path(BOAT).read_bytes())
    Path("rows.csv").write_bytes(Path(BOAT).read_bytes())
    Path("sheet.pdf").write_bytes(Path(BOAT).read_bytes())
    for name in ("rates.pdf", "rates.csv"):
        Path(name).write_bytes(Path("rates.yaml").read_bytes())
    Path("readings.csv").write_text(READINGS, "utf-8")
    Path("posts.yaml").write_text(SUPPORTS, "utf-8")
    return tmp_path


def run(*arguments: str, code: int = 0) -> str:
    """Run a command, check its exit code and return what it said."""
    done = CliRunner().invoke(app, [str(one) for one in arguments])
    assert done.exit_code == code, done.output
    return done.output


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in some(sorted(folder.iterdir()))}


def refused(folder: Path, *arguments: str, says: str) -> None:
    """Check that a command is refused with a message, and that no file is written, changed or lost."""
    before = contents(folder)
    assert says in run(*arguments, code=2)
    assert contents(folder) == before


@pytest.mark.parametrize(
    "arguments",
    [
        ("page", "page.html", "--to", "page.html"),
        ("inspect", "sheet.pdf", "--to", "sheet.pdf"),
        ("survey", "survey.yaml", "--to", "survey.yaml"),
        ("survey", "survey.yaml", "--to", "./survey.yaml"),
        ("survey", "survey.yaml", "--boat", BOAT, "--to", BOAT),
        ("vary", "rows.csv", "--set", "posts.*.top=640,650", "--to", "rows.csv"),
        ("vary", BOAT, "--set", "posts.*.top=640,650", "--rates", "rates.csv", "--to", "rates.csv"),
        ("new", BOAT, "--as-built", "--to", BOAT),
        ("new", "--from", "posts.yaml", "--to", "posts.yaml"),
        ("new", BOAT, "--from", "posts.yaml", "--to", "posts.yaml"),
        ("quote", "readings.csv", "--rates", "rates.pdf", "--line", LINE, "--to", "rates.pdf"),
        ("made", BOAT, "survey.yaml", "--record", "survey.yaml"),
        ("made", BOAT, "survey.yaml", "--record", BOAT),
    ],
)
def test_a_command_does_not_overwrite_a_file_that_it_reads(folder: Path, arguments: tuple[str, ...]) -> None:
    refused(folder, *arguments, "--replace", says="this file is read by the command, and would be lost")


def test_a_file_that_is_read_is_known_under_another_name_and_by_a_link(folder: Path) -> None:
    (folder / "linked.html").symlink_to(folder / "page.html")
    os.link(folder / "page.html", folder / "hard.html")
    for name in ("linked.html", "hard.html", str(folder / "page.html"), f"../{folder.name}/page.html"):
        refused(folder, "page", "page.html", "--to", name, "--replace", says="this file is read by the command")


def test_a_kept_variant_does_not_overwrite_what_is_read(folder: Path) -> None:
    kept = ("--keep", "1", "--mark", "B", "--date", "2026-03-01", "--replace")
    (folder / "boat-variant-1.yaml").symlink_to(folder / BOAT)
    refused(folder, "vary", BOAT, "--set", "posts.*.top=640,650", *kept, says="this file is read by the command")


def test_a_boat_file_that_is_named_to_be_changed_may_be_the_one_that_is_written(folder: Path) -> None:
    before = (folder / BOAT).read_bytes()
    run("new", BOAT, "--to", BOAT, "--replace")
    assert (folder / BOAT).read_bytes() == before


@pytest.mark.parametrize(
    "arguments",
    [
        ("form", "--posts", "3", "--lines", "2", "--units", "mm", "--to", "form.yaml"),
        ("form", "--posts", "3", "--lines", "2", "--units", "mm", "--to", "form.txt"),
        ("form", "--posts", "3", "--lines", "2", "--units", "mm", "--to", "form"),
        ("page", BOAT, "--to", "boat.pdf"),
        ("inspect", BOAT, "--to", "boat.txt"),
        ("survey", "survey.yaml", "--to", "boat.csv"),
        ("new", "first-try", "--to", "boat.csv"),
        ("new", "rates", "--to", "other.xlsx"),
        ("new", BOAT, "--as-built", "--to", "record.pdf"),
        ("made", BOAT, "log.csv", "--record", "record.pdf"),
    ],
)
def test_a_command_writes_one_kind_of_file_alone(folder: Path, arguments: tuple[str, ...]) -> None:
    refused(folder, *arguments, says="not the ending of what is written")


def test_a_form_is_written_with_its_survey_file(folder: Path) -> None:
    run("form", "--posts", "3", "--lines", "2", "--units", "mm", "--to", "form.PDF")
    assert {"form.PDF", "form.yaml"} <= set(contents(folder))


def test_a_boat_file_that_is_not_there_is_named_before_it_is_shown(folder: Path) -> None:
    assert run("view", "none.yaml", "--no-open", code=2).startswith("toerail: none.yaml: cannot be read: ")
    assert run("view", ".", "--no-open", code=2).startswith("toerail: .: cannot be read: ")


def test_a_port_in_use_is_named(folder: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = str(other.getsockname()[1])
        says = run("view", BOAT, "--no-open", "--port", port, code=2)
    assert "--port: this port cannot be used: " in says and f"(read: {port}) - valid: 0 for a free one" in says


def test_a_folder_for_layouts_that_cannot_be_made_is_named(folder: Path) -> None:
    run("new", "pipwing-25")
    before = contents(folder)
    says = run("respace", "pipwing-25.yaml", "--to", "sheet.pdf/layouts", code=3)
    assert "toerail: cannot write sheet.pdf/layouts: " in says and "internal error" not in says
    assert contents(folder) == before


def test_values_and_names_longer_than_a_file_name_are_no_internal_error(folder: Path) -> None:
    many = ",".join(str(top) for top in range(500, 600))
    says = run("vary", BOAT, "--set", f"posts.*.top={many}", "--to", "rows.csv", code=2)
    assert "rows.csv: this file exists and is left as it is" in says
    says = run("page", BOAT, "--to", f"{'n' * 300}.html", code=3)
    assert "cannot write nnn" in says and "internal error" not in says
