"""Variants of one boat: each the same as a file edited by hand, the unbeaten ones, files, the kept one."""

from __future__ import annotations

import csv
import hashlib
import itertools
import json
import random
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from geom.boat.file import load_boat
from geom.errors import InputError
from geom.export import check_report
from geom.fleet.row import BoatRow
from geom.fleet.settings import read_setting, read_settings, variants_of
from geom.fleet.unbeaten import COMPARED, Unbeaten
from geom.fleet.varied import varied_boat
from geom.fleet.varying import RateFile, variant, variant_file, variant_outcome
from geom.paperwork.quote.costs import quotation
from geom.paperwork.rates import read_rates
from geom.refit import refit
from tests.counts import TIMES
from tests.some import some

ROOT = Path(__file__).parent.parent
BOAT = ROOT / "templates" / "boats" / "saltwhin-31.yaml"
RATES = ROOT / "templates" / "rates-example.yaml"
BORES, WALLS, ROPES = ("11", "12 mm", "0.5 in", "13.5"), ("1.5", "2", "1.65 mm"), ("5", "6 mm")
TENSIONS = tuple(f"{newtons} N" for newtons in range(300, 1000, 15))
WANTED = (
    ("posts.*.holes.*.as_found.diameter", BORES),
    ("tubes.stanchion.wall", WALLS),
    ("lines.guard rope.diameter", ROPES),
    ("runs.S-F-U.set_tension", TENSIONS),
)


def toerail(*args: str, folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "geom", *args], cwd=folder, capture_output=True, text=True, encoding="utf-8"
    )


def by_hand(text: str, bore: str, wall: str, rope: str) -> str:
    """Return the text of the boat file edited as with an editor, without a reader of YAML."""
    text = re.sub(r"(as_found: \{diameter: )[^}]*\}", rf"\g<1>{bore}}}", text)
    text = text.replace("stanchion: {od: 25, wall: 1.5,", f"stanchion: {{od: 25, wall: {wall},")
    return re.sub(r"(12-strand HMPE\n    material: HMPE\n    diameter: )5\n", rf"\g<1>{rope}\n", text)


def report_hash(loaded) -> str:
    """Return the hash of check.json without the name of the file and the hash of its bytes."""
    report = check_report(refit(loaded))
    del report["boat"]["file"], report["boat"]["file_sha256"]
    return hashlib.sha256(json.dumps(report, sort_keys=True).encode()).hexdigest()


HAND_BORES = [f"{11 + step / 20:.2f} mm" if step % 2 else f"{11 + step / 20:.2f}" for step in range(20)]
HAND_WALLS = [f"{1.2 + step / 20:.2f}" for step in range(10)]
HAND_ROPES = ("5", "5.5", "6", "6.5 mm", "1/4 in")


def made_and_edited(folder: Path, count: int):
    """Yield some of 1,000 variants, each with the boat of the file edited by hand, evenly over them."""
    text = BOAT.read_text("utf-8")
    variants = variants_of(
        text.encode(), "variant",
        (("posts.*.holes.*.as_found.diameter", HAND_BORES), ("tubes.stanchion.wall", HAND_WALLS),
         ("lines.guard rope.diameter", HAND_ROPES)),
    )  # fmt: skip
    assert len(variants) == 1000
    file = folder / "edited.yaml"
    step = max(1000 // count, 1)
    combinations = enumerate(itertools.product(HAND_BORES, HAND_WALLS, HAND_ROPES), 1)
    for number, values in some(itertools.islice(combinations, step - 1, None, step)):
        assert variants.values(number) == values
        file.write_text(by_hand(text, *values), "utf-8")
        edited = load_boat(file)
        assert edited.boat.tubes["stanchion"].wall == pytest.approx(float(values[1]))
        yield variant(variants, number), edited


@pytest.mark.long
def test_a_variant_is_the_boat_of_a_file_edited_by_hand(tmp_path):
    """All that a refit is worked out from is the same; echoes of other units and their lines included."""
    hashes = set()
    for made, edited in some(made_and_edited(tmp_path, 50 * TIMES)):
        assert replace(made, tree=edited.tree, source=edited.source, file_sha256=edited.file_sha256) == edited
        assert made.tapes_as_written == edited.tapes_as_written
        assert made.data_sha256 == edited.data_sha256
        hashes.add(made.data_sha256)
    assert len(hashes) == min(50 * TIMES, 1000)


@pytest.mark.long
def test_a_variant_has_the_check_report_of_a_file_edited_by_hand(tmp_path):
    pairs = [(report_hash(made), report_hash(edited)) for made, edited in made_and_edited(tmp_path, 8 * TIMES)]
    assert [made for made, _ in pairs] == [edited for _, edited in pairs]
    assert len(set(pairs)) == len(pairs) >= min(8 * TIMES, 1000)


def test_a_row_has_the_figures_of_the_refit():
    rates = RateFile("rates.yaml", RATES.read_bytes())
    variants = variants_of(BOAT.read_bytes(), str(BOAT), WANTED[:1])
    outcome = variant_outcome(variants, 4, rates)
    made = refit(variant(variants, 4))
    report = check_report(made)
    row = outcome.row
    kinds = [item["kind"] for item in report["open_items"]]
    assert (row.stops, row.fails, row.open_items) == (kinds.count("stop"), kinds.count("fails"), len(kinds))
    assert row.on_board == len([run for run in report["runs"] if run["made_on_board"] is not None])
    assert row.min_clear == min(one.line.on_axis.clear for one in some(made.holes) if one.line is not None)
    used = [post["plastic_moment_utilisation"] for post in report["loads"]["posts"]]
    assert row.max_post_utilisation == pytest.approx(max(used), abs=1e-6)
    quoted = quotation(made, read_rates(rates.data, rates.source), rates.source)
    assert row.cost == float(quoted.gross.likely.quantize(quoted.rounding))
    assert [(item.number, item.cause, item.title) for item in outcome.items] == [
        (item["number"], item["cause"], item["title"]) for item in report["open_items"]
    ]
    first = refit(load_boat(BOAT))
    other = [run for run, line in made.work.runs.items()
             if abs(line.lengths.finished - first.work.runs[run].lengths.finished) > 0.5]  # fmt: skip
    assert row.lines_cut_anew == len(other)


def test_lines_of_another_length_are_cut_anew():
    variants = variants_of(BOAT.read_bytes(), str(BOAT), [("posts.S-S1.foot", ("[2480, 950, 1079]",))])
    assert variant_outcome(variants, 0).row.lines_cut_anew == 0
    assert variant_outcome(variants, 1).row.lines_cut_anew == 2


def beats(one: dict[str, float], other: dict[str, float]) -> bool:
    """Return whether a row is as good as another in every figure and better in one, figure by figure."""
    better = worse = False
    for name, less in some(COMPARED.items()):
        a, b = one[name], other[name]
        if a is None or b is None:
            better, worse = better or (b is None and a is not None), worse or (a is None and b is not None)
        elif a != b:
            better, worse = better or (a < b) == less, worse or (a > b) == less
    return better and not worse


def test_the_unbeaten_are_those_that_a_comparison_of_every_pair_leaves():
    dice = random.Random(7)
    rows = []
    for number in range(1, 401):
        figures = {name: dice.choice((None, *range(4))) for name in COMPARED}
        rows.append((number, figures))
    found = Unbeaten()
    for number, figures in some(rows):
        found.add(BoatRow(number, "boat.yaml", **figures))
    left = {number for number, own in rows if not any(beats(other, own) for _, other in rows)}
    assert 1 < len(left) < len(rows)
    assert found.numbers == left
    found.add(BoatRow(999, "boat.yaml", error="refused"))
    assert 999 not in found.numbers


def test_the_unbeaten_variants_of_a_boat():
    variants = variants_of(BOAT.read_bytes(), str(BOAT), (WANTED[0], (WANTED[1][0], WALLS[:2]), WANTED[2]))
    done = []
    with varied_boat(variants, None, done.append) as found:
        rows = [one for one in found.rows() if one.row.number]
        plain = {one.row.number: {name: getattr(one.row, name) for name in COMPARED} for one in rows}
        left = {number for number, own in plain.items() if not any(beats(other, own) for other in plain.values())}
        assert {one.row.number for one in rows if one.unbeaten} == left == found.unbeaten
        assert 0 < len(left) < len(variants) == 16
        assert sum(done) == 17
        few = found.table(5)
        assert few.ids == ("0", *map(str, sorted(left)[:5]))
        assert "of 16 variants" in few.note


@pytest.mark.parametrize(
    ("key", "values", "says"),
    [
        ("tubes.stanchions.wall", ["2"], "valid: stanchion"),
        ("posts.*.tops", ["2"], "did you mean top"),
        ("posts.*", ["2"], "posts.*.top"),
        ("posts.S-S1.foot", ["[1, 2]"], "a list of 3"),
        ("posts.S-S1.top", ["[1, 2]"], "one value"),
        ("posts.S-S1.top", ["{a: 1}"], "not one value"),
        ("posts.S-S1.top", ["1", "a: b"], "not one value"),
    ],
)
def test_a_key_or_value_that_does_not_fit_is_refused(key, values, says):
    with pytest.raises(InputError, match=re.escape(says)):
        variants_of(BOAT.read_bytes(), str(BOAT), [(key, values)])


def test_two_keys_for_one_place_and_too_many_variants_are_refused():
    data = BOAT.read_bytes()
    with pytest.raises(InputError, match=r"two keys set posts\.S-S1\.top"):
        variants_of(data, "boat", [("posts.*.top", ["640"]), ("posts.S-S1.top", ["650"])])
    many = [(f"posts.S-S{number}.top", [str(640 + step) for step in range(20)]) for number in range(1, 5)]
    with pytest.raises(InputError, match="at most 100000"):
        variants_of(data, "boat", many)


def test_settings_are_read_from_arguments_and_from_a_file():
    assert read_setting("posts.S-S1.foot=[1, 2, 3],[4, 5, 6]") == ("posts.S-S1.foot", ("[1, 2, 3]", "[4, 5, 6]"))
    assert read_setting('boat.name="A, B",C') == ("boat.name", ('"A, B"', "C"))
    text = b"tubes.stanchion.wall: [1.5 mm, 2 mm]\nposts.S-S1.foot:\n  - [1, 2, 3]\n"
    assert read_settings(text, "values.yaml") == [
        ("tubes.stanchion.wall", ("1.5 mm", "2 mm")), ("posts.S-S1.foot", ("[1, 2, 3]",)),
    ]  # fmt: skip
    with pytest.raises(InputError, match="not a list of values"):
        read_settings(b"tubes.stanchion.wall: 2 mm\n", "values.yaml")
    with pytest.raises(InputError, match="--set"):
        read_setting("tubes.stanchion.wall")
    with pytest.raises(InputError, match="--set"):
        read_setting("tubes.stanchion.wall=1,,2")


def test_a_variant_that_cannot_be_used_is_a_row_with_its_error():
    variants = variants_of(BOAT.read_bytes(), str(BOAT), [("tubes.stanchion.wall", ["2", "-2", "40"])])
    with varied_boat(variants, None, lambda done: None) as found:
        errors = [one.row.error for one in found.rows()]
    assert errors[:2] == ["", ""]
    assert "tubes.stanchion.wall" in errors[2] and "too small" in errors[2]
    assert errors[3]
    assert not found.unbeaten & {2, 3}


def test_the_kept_file_is_that_variant_with_its_comments(tmp_path):
    variants = variants_of(BOAT.read_bytes(), str(BOAT), WANTED[:3])
    number = 9
    data = variant_file(variants, number, "B", "2026-04-01")
    before, after = BOAT.read_text("utf-8").splitlines(), data.decode().splitlines()
    assert [line.partition("#")[2] for line in before] == [line.partition("#")[2] for line in after]
    edited = tmp_path / "kept.yaml"
    edited.write_bytes(data)
    loaded = load_boat(edited)
    revision = loaded.boat.revision
    assert (revision.mark, revision.date) == ("B", "2026-04-01")
    assert revision.note.startswith("variant 9: diameter 12 mm")
    old = load_boat(BOAT).boat.revision
    assert loaded.boat.model_copy(update={"revision": old}) == variant(variants, number).boat
    with pytest.raises(InputError, match="1 to 24"):
        variant_file(variants, 25, "B", "2026-04-01")
    with pytest.raises(InputError, match="one or two capitals"):
        variant_file(variants, 1, "no mark", "2026-04-01")


def test_the_command_writes_the_table_its_files_and_a_plot(tmp_path):
    arguments = (
        "vary", str(BOAT), "--set", "tubes.stanchion.wall=1.5 mm,2 mm", "--set", "posts.*.top=640,650",
        "--rates", str(RATES), "--to", "rows.csv", "--plot", "line_to_order_mm,max_post_utilisation",
    )  # fmt: skip
    done = toerail(*arguments, folder=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "VARIANTS OF SALTWHIN 31" in done.stdout and "NOT A HARNESS ATTACHMENT" in done.stdout
    rows = list(csv.DictReader((tmp_path / "rows.csv").open()))
    assert [row["number"] for row in rows] == ["0", "1", "2", "3", "4"]
    assert [row["tubes.stanchion.wall"] for row in rows] == ["", "1.5 mm", "1.5 mm", "2 mm", "2 mm"]
    assert float(rows[1]["max_post_utilisation"]) > float(rows[3]["max_post_utilisation"])
    assert {row["unbeaten"] for row in rows[1:]} <= {"yes", "no"} and rows[0]["unbeaten"] == ""
    assert float(rows[0]["cost"]) > 0
    picture = (tmp_path / "saltwhin-31-variants.svg").read_text("utf-8")
    assert "variant:0" in picture and "LINE TO ORDER" in picture
    again = toerail(*arguments, folder=tmp_path)
    assert again.returncode == 2 and "exists" in again.stderr
    first = (tmp_path / "rows.csv").read_bytes()
    assert toerail(*arguments, "--replace", folder=tmp_path).returncode == 0
    assert (tmp_path / "rows.csv").read_bytes() == first


def test_parquet_has_the_rows_of_csv(tmp_path):
    parquet = pytest.importorskip("pyarrow.parquet")
    from geom.fleet.columns import variant_columns
    from geom.fleet.row_files import write_rows

    variants = variants_of(BOAT.read_bytes(), str(BOAT), WANTED[1:3])
    columns = variant_columns(variants)
    with varied_boat(variants, None, lambda done: None) as found:
        write_rows(tmp_path / "rows.csv", columns, found.rows())
        write_rows(tmp_path / "rows.parquet", columns, found.rows())
    table = parquet.read_table(tmp_path / "rows.parquet")
    rows = list(csv.DictReader((tmp_path / "rows.csv").open()))
    assert table.column_names == list(rows[0])
    for name in some(table.column_names):
        values = table.column(name).to_pylist()
        for value, text in zip(some(values), (row[name] for row in rows), strict=True):
            assert (value is None) == (text == "") or value == "", name
            assert value is None or (text == f"{value:.3f}" if isinstance(value, float) else text == str(value)), name


def test_unusable_arguments_say_what_is_valid(tmp_path):
    nothing = toerail("vary", str(BOAT), folder=tmp_path)
    assert nothing.returncode == 2 and "--set KEY=V1,V2" in nothing.stderr
    one = ("vary", str(BOAT), "--set", "posts.*.top=640")
    plot = toerail(*one, "--plot", "beauty,cost", folder=tmp_path)
    assert plot.returncode == 2 and "line_to_order_mm" in plot.stderr
    unpriced = toerail(*one, "--plot", "line_to_order_mm,cost", folder=tmp_path)
    assert unpriced.returncode == 2 and "--rates FILE" in unpriced.stderr
    kind = toerail(*one, "--to", "rows.txt", folder=tmp_path)
    assert kind.returncode == 2 and ".csv or .parquet" in kind.stderr
    unsigned = toerail(*one, "--keep", "1", folder=tmp_path)
    assert unsigned.returncode == 2 and "--mark" in unsigned.stderr
    assert list(tmp_path.iterdir()) == []
    made = toerail(*one, "--keep", "1", "--mark", "B", "--date", "2026-04-01", folder=tmp_path)
    assert made.returncode == 0, made.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["saltwhin-31-variant-1.yaml"]


def test_values_of_which_none_can_be_used_end_as_unusable_input(tmp_path):
    one = ("vary", str(BOAT), "--set")
    none = toerail(*one, "posts.*.top=abc,def", "--to", "rows.csv", "--plot", "fails,stops", folder=tmp_path)
    assert none.returncode == 2 and none.stdout == "" and list(tmp_path.iterdir()) == []
    assert "variant 1 cannot be used: posts" in none.stderr and "none of the values can be used" in none.stderr
    assert "(read: abc)" in none.stderr and "(read: def)" in none.stderr
    half = toerail(*one, "posts.*.top=abc,640", "--to", "rows.csv", folder=tmp_path)
    assert half.returncode == 0 and [path.name for path in tmp_path.iterdir()] == ["rows.csv"]


def test_a_kept_variant_and_rows_are_not_written_together(tmp_path):
    kept = ("vary", str(BOAT), "--set", "posts.*.top=640", "--keep", "1", "--mark", "B", "--date", "2026-04-01")
    for more, option in ((("--to", "rows.csv"), "--to"), (("--plot", "fails,stops"), "--plot")):
        both = toerail(*kept, *more, folder=tmp_path)
        assert both.returncode == 2 and f"valid: first {option}, then --keep alone" in both.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("values", "valid"),
    [
        ("1,5 mm", '"1.5 mm" or "1 mm,5 mm"'),
        ("2 mm,1,5 mm", '"1.5 mm" or "1 mm,5 mm"'),
        ("-1,25deg", '"-1.25deg" or "-1deg,25deg"'),
        ('1,5"', '"1.5"" or "1",5""'),
    ],
)
def test_a_comma_that_may_be_a_decimal_sign_is_refused_with_both_readings(values, valid):
    with pytest.raises(InputError) as caught:
        read_setting(f"tubes.stanchion.wall={values}")
    assert f"(read: {values.removeprefix('2 mm,')}) - valid: {valid}" in str(caught.value)


def test_a_decimal_comma_in_a_file_of_values_is_refused_with_its_line():
    with pytest.raises(InputError, match=r"values\.yaml:2: a\.b: the comma may be .*\(read: 1,5 mm\)"):
        read_settings(b"a.c: [1]\na.b: [2 mm, 1,5 mm]\n", "values.yaml")
    assert read_settings(b"a.b:\n  - 1\n  - 5 mm\n", "values.yaml") == [("a.b", ("1", "5 mm"))]


def test_commas_between_values_alike_separate_them():
    for values in ("640,650", "1 mm,5 mm", "1.5,2 mm", "1/2,3/4 in", "[1,2],[3,4]", "A,5", '"7","8 mm"'):
        assert len(read_setting(f"a.b={values}")[1]) == 2


def test_varying_loads_no_cluster_library():
    text = (
        "import sys, geom.cli, geom.fleet.varied, geom.fleet.row_files, geom.fleet.plot\n"
        "print(sorted({name.partition('.')[0] for name in sys.modules} & {'dask', 'distributed', 'pyarrow'}))"
    )
    done = subprocess.run([sys.executable, "-c", text], capture_output=True, text=True)
    assert done.stdout.strip() == "[]", done.stderr
