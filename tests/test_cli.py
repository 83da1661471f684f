"""Commands as a user types them: exit codes, what is said, what is written and what is left alone."""

from __future__ import annotations

import hashlib
import json
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest

from geom.export import json_schema
from tests.boats import BOATS, ROOT

TOERAIL = [sys.executable, "-m", "geom"]


def toerail(*arguments, cwd=ROOT, stdin=None, env=None):
    return subprocess.run(
        [*TOERAIL, *map(str, arguments)], cwd=cwd, input=stdin, capture_output=True, text=True, env=env
    )


def hashes(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_version():
    done = toerail("--version")
    assert done.returncode == 0
    assert done.stdout.startswith("toerail ")


COMMANDS = [
    "new",
    "check",
    "draw",
    "solids",
    "package",
    "eye",
    "splice",
    "form",
    "survey",
    "schema",
    "quote",
    "made",
    "inspect",
]


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_explains_itself(command):
    done = toerail(command, "--help")
    assert done.returncode == 0
    assert len(done.stdout) > 100


def test_eye_at_half_an_inch():
    """Common practice, no source: a 1/4 in eye goes through a 1/2 in hole compressed; below, it is made on board."""
    done = toerail("eye", "--line", "1/4 in", "--hole", "1/2 in")
    assert done.returncode == 0
    assert done.stdout.startswith("squeeze")
    done = toerail("eye", "--line", "1/4 in", "--hole", "15/32 in")
    assert done.returncode == 0
    assert done.stdout.startswith("trial: make the eye on board")
    assert toerail("eye", "--line", "1/4 in", "--hole", "15/32 in", "--strict").returncode == 1
    assert toerail("eye", "--line", "1/4 in", "--hole", "1/4 in").returncode == 1


def test_eye_says_the_ratio_and_what_a_bush_and_new_rope_change():
    """1/4 in in 1/2 in is D/d 2.00; at 1.1 d 1.82, in a bush of 2 mm wall 8.7 / 6.35 = 1.37. By hand."""
    said = toerail("eye", "--line", "1/4 in", "--hole", "1/2 in").stdout
    assert "D/d 12.70 / 6.35 = 2.00, needed 12.70 mm (2 d; common practice, no source)" in said
    assert "new rope, up to 6.99 mm (from memory, verify" in said and "): trial:" in said
    assert "in a bush of 2 mm wall, bore 8.70 mm: in place" in said
    bushed = toerail("eye", "--line", "1/4 in", "--hole", "1/2 in", "--bush", "2 mm")
    assert bushed.returncode == 1
    assert "bore 8.70 mm, D/d 8.70 / 6.35 = 1.37" in bushed.stdout


def test_eye_answers_for_a_thimble_both_ways():
    """A thimble of 17 mm does not pass 1/2 in; the bare eye does, and an open thimble goes in afterwards."""
    done = toerail("eye", "--line", "1/4 in", "--hole", "1/2 in", "--thimble", "17 mm")
    assert done.returncode == 0
    assert "on its thimble: in place" in done.stdout
    assert "bare eye drawn through, open thimble put in afterwards: squeeze" in done.stdout
    assert toerail("eye", "--line", "1/4 in", "--hole", "11/32 in", "--thimble", "17 mm").returncode == 1
    assert toerail("eye", "--line", "6 mm", "--hole", "9 mm", "--width", "8 mm").stdout.startswith("passes")


def test_eye_errors_name_no_file():
    for wrong in ("12.7", "1/2", "6 kg"):
        done = toerail("eye", "--line", "1/4 in", "--hole", wrong)
        assert done.returncode == 2
        assert "--hole" in done.stderr and "file" not in done.stderr
    assert toerail("eye", "--line", "6 mm", "--hole", "12 mm", "--bush", "7 mm").returncode == 2


@pytest.mark.parametrize(
    ("line", "hole"), [("1/4", "1/2 in"), ("6 mm", "12,7 mm"), ("6 kg", "12 mm"), ("0 mm", "3 mm")]
)
def test_eye_refuses_what_is_not_a_length(line, hole):
    done = toerail("eye", "--line", line, "--hole", hole)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert "valid:" in done.stderr


def test_check_json_keeps_its_contract():
    done = toerail("check", BOATS / "saltwhin-31.yaml", "--json")
    report = json.loads(done.stdout)
    assert next(iter(report)) == "format"
    jsonschema.validate(report, json_schema())
    assert done.returncode == (1 if any(f["verdict"] == "fail" for f in report["findings"]) else 0)


def test_the_committed_schema_of_the_report_is_current():
    committed = json.loads((ROOT / "templates" / "check.schema.json").read_text("utf-8"))
    assert committed == json.loads(toerail("schema", "check").stdout) == json_schema()


def test_check_prints_no_path_of_the_machine():
    done = toerail("check", BOATS / "saltwhin-31.yaml", "--json")
    assert str(ROOT) not in done.stdout


def test_findings_are_shown_worst_first_and_with_the_caution():
    done = toerail("check", BOATS / "saltwhin-31.yaml", "--findings")
    assert "GUARD LINE (LIFELINE) - NOT A HARNESS ATTACHMENT" in done.stdout
    verdicts = [
        line.split()[0] for line in done.stdout.splitlines() if line.strip().startswith(("fail ", "cannot ", "notice "))
    ]
    order = ["fail", "cannot", "notice"]
    assert verdicts == sorted(verdicts, key=order.index)
    assert "\x1b[" not in done.stdout


def test_check_reads_standard_input():
    text = (BOATS / "first-try.yaml").read_text("utf-8")
    done = toerail("check", "-", "--json", stdin=text)
    assert done.returncode in (0, 1)
    assert json.loads(done.stdout)["boat"]["file"] == "standard input"


def test_new_writes_a_starter_and_never_over_a_file(tmp_path):
    done = toerail("new", "saltwhin-31", cwd=tmp_path)
    assert done.returncode == 0
    before = (tmp_path / "saltwhin-31.yaml").read_bytes()
    assert b"$schema=boat.schema.json" in before
    assert (tmp_path / "boat.schema.json").is_file()
    (tmp_path / "saltwhin-31.yaml").write_bytes(before + b"# mine\n")
    done = toerail("new", "saltwhin-31", cwd=tmp_path)
    assert done.returncode == 2
    assert (tmp_path / "saltwhin-31.yaml").read_bytes() == before + b"# mine\n"


def test_an_unknown_starter_lists_those_there_are(tmp_path):
    done = toerail("new", "nothing", cwd=tmp_path)
    assert done.returncode == 2
    assert "first-try" in done.stderr
    assert not list(tmp_path.iterdir())


def test_a_bad_file_leaves_the_package_as_it_was(tmp_path):
    boat = tmp_path / "boat.yaml"
    boat.write_text((BOATS / "first-try.yaml").read_text("utf-8"))
    assert toerail("package", boat, "--to", tmp_path / "out", "--no-solids").returncode == 0
    before = hashes(tmp_path / "out")
    boat.write_text(boat.read_text("utf-8").replace("format: 2", "format: 99"))
    done = toerail("package", boat, "--to", tmp_path / "out", "--no-solids")
    assert done.returncode == 2
    assert hashes(tmp_path / "out") == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["boat.yaml", "out"]


def test_a_foreign_folder_is_left_alone(tmp_path):
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter.txt").write_text("keep")
    done = toerail("package", BOATS / "first-try.yaml", "--to", tmp_path / "mine", "--no-solids")
    assert done.returncode == 2
    assert [path.name for path in (tmp_path / "mine").iterdir()] == ["letter.txt"]


def test_the_manifest_names_every_file(tmp_path):
    done = toerail("package", BOATS / "first-try.yaml", "--to", tmp_path / "out", "--no-solids")
    assert done.returncode == 0
    manifest = json.loads((tmp_path / "out" / "manifest.json").read_text("utf-8"))
    found = hashes(tmp_path / "out")
    for name in ("manifest.json", "SHA256SUMS"):
        found.pop(name)
    assert {entry["file"]: entry["sha256"] for entry in manifest["files"]} == found
    assert manifest["solids"] == "left out on request"
    done = toerail("verify", tmp_path / "out")
    assert (done.returncode, done.stdout) == (0, f"{len(found) + 2} files as listed, 0 missing, 0 changed, 0 foreign\n")


def test_unknown_command_and_option():
    assert toerail("nothing").returncode == 2
    assert toerail("check").returncode == 2
    assert toerail("check", BOATS / "first-try.yaml", "--nothing").returncode == 2
    assert toerail("check", "no-such-file.yaml").returncode == 2


def test_check_loads_no_drawing_or_solid_library():
    code = (
        "import sys\nsys.argv = ['toerail', 'check', sys.argv[1]]\n"
        "from geom.cli import app\n"
        "app(standalone_mode=False)\n"
        "heavy = {'cadquery', 'OCP', 'vtk', 'vtkmodules', 'ezdxf', 'svgwrite', 'reportlab', 'fontTools'}\n"
        "heavy |= {'scipy.optimize', 'openpyxl', 'jinja2', 'starlette', 'uvicorn', 'watchfiles'}\n"
        "print('LOADED', sorted(heavy & set(sys.modules)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(BOATS / "saltwhin-31.yaml")], cwd=ROOT, capture_output=True, text=True
    )
    assert "LOADED []" in done.stdout, done.stdout[-500:] + done.stderr[-2000:]


def test_the_pipeline_from_python_in_three_lines():
    import geom

    refit = geom.read_refit(str(BOATS / "first-try.yaml"))
    report = geom.check_report(refit)
    assert report["runs"]
    assert {"read_refit", "check_report", "drawing_set"} <= set(geom.__all__)


def test_a_newcomers_path_from_form_to_package(tmp_path):
    """Form, survey file, boat file, package, in an empty folder."""
    assert toerail("form", "--posts", 4, "--lines", 2, "--units", "mm", cwd=tmp_path).returncode == 0
    assert (tmp_path / "measuring-form.pdf").read_bytes().startswith(b"%PDF")
    assert toerail("new", "survey", cwd=tmp_path).returncode == 0
    assert toerail("new", "saltwhin-31", cwd=tmp_path).returncode == 0
    before = (tmp_path / "saltwhin-31.yaml").read_bytes()
    done = toerail("survey", "survey.yaml", "--boat", "saltwhin-31.yaml", cwd=tmp_path)
    assert done.returncode == 0
    assert (tmp_path / "saltwhin-31.yaml").read_bytes() == before
    done = toerail("survey", "survey.yaml", "--boat", "saltwhin-31.yaml", "--write", cwd=tmp_path)
    assert done.returncode == 0
    after = (tmp_path / "saltwhin-31.yaml").read_bytes()
    assert after != before
    assert [line for line in before.splitlines() if line.strip().startswith(b"#")] == [
        line for line in after.splitlines() if line.strip().startswith(b"#")
    ]
    assert toerail("package", "saltwhin-31.yaml", "--no-solids", cwd=tmp_path).returncode == 0
    assert (tmp_path / "out" / "saltwhin-31" / "manifest.json").is_file()


def test_splice_gives_the_marks_of_common_practice():
    """Common practice, no source: 1/4 in 12-strand rope on a hook is marked at 19 and 22 in."""
    done = toerail("splice", "--line", "1/4 in", "--strands", 12, "--girth", "3 in")
    assert done.returncode == 0
    shown = {line.split("  ")[1].strip(): line for line in done.stdout.splitlines() if line.startswith("  ")}
    assert " 19 " in shown["tail"]
    assert " 22 " in shown["eye"]


@pytest.mark.parametrize("arguments", [("--strands", 11), ("--strands", 12, "--rule", "99 d")])
def test_splice_refuses_what_no_rope_is(arguments):
    done = toerail("splice", "--line", "6 mm", "--girth", "70 mm", *arguments)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr


def test_quote_writes_a_quotation_and_a_bill(tmp_path):
    rates = tmp_path / "rates.yaml"
    assert toerail("new", "rates", "--to", rates).returncode == 0
    done = toerail("quote", BOATS / "pipwing-25.yaml", "--rates", rates, "--to", tmp_path / "q")
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[0] == "1387.61 EUR likely, 948.00 low, 2638.97 high, with tax"
    assert "no rate: provisional sums: fact.fabrication" in done.stdout
    names = {path.name for path in (tmp_path / "q").iterdir()}
    assert names == {"quotation.pdf", "bill.csv", "bill.xlsx", "manifest.json", "SHA256SUMS"}
    refused = toerail("draw", BOATS / "pipwing-25.yaml", "--to", tmp_path / "q")
    assert refused.returncode != 0 and "holds a quotation" in refused.stderr
    missing = toerail("quote", BOATS / "pipwing-25.yaml", "--rates", tmp_path / "none.yaml", "--to", tmp_path / "n")
    assert missing.returncode == 2 and not (tmp_path / "n").exists()


def test_made_and_inspect_keep_the_record_and_correct_the_boat_file(tmp_path):
    from tests.test_made import log

    boat, record = tmp_path / "boat.yaml", tmp_path / "record.yaml"
    boat.write_bytes((BOATS / "saltwhin-31.yaml").read_bytes())
    (tmp_path / "log.yaml").write_bytes(log())
    made = ("made", boat, tmp_path / "log.yaml", "--record", record)
    done = toerail(*made, "--to", tmp_path / "papers", "--write")
    assert done.returncode == 0, done.stderr
    assert "take-up of guard rope: 30.0 mm expected; measured S-F-U 33.5 mm, S-A-U 33.5 mm" in done.stdout
    assert {path.name for path in (tmp_path / "papers").glob("*.pdf")} == {"as-made.pdf", "handover.pdf"}
    assert "measured_on: [S-F-U, S-A-U]" in boat.read_text("utf-8")
    # The log is of the data before the correction: nothing is lost, nothing is corrected twice.
    before = record.read_bytes()
    assert toerail(*made).returncode == 0 and record.read_bytes() == before
    readings = tmp_path / "season.csv"
    readings.write_text("PLACE,WHAT,VALUE\nrecord,date,2027-04-10\nrecord,by,owner\nS-F-U,lashing,52 mm\n")
    sheet = tmp_path / "inspection.pdf"
    seen = toerail("inspect", boat, "--record", record, "--readings", readings, "--to", sheet)
    assert seen.returncode == 0, seen.stderr
    assert seen.stdout == "S-F-U: stretched by 5.0 mm from 2026-04-02 to 2027-04-10\n"
    assert record.read_bytes().startswith(before.rstrip()[:400]) and sheet.exists()
    alone = toerail("inspect", boat, "--readings", readings, "--to", tmp_path / "no.pdf")
    assert alone.returncode == 2 and "no record to take them into" in alone.stderr
