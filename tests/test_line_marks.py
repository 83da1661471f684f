"""Lengths off the reel and marks along the line, read back from the files on disk and added up independently.

500 random boats in the long run (`.ci/long`), 25 in the ordinary suite.
"""

from __future__ import annotations

import csv
import io
import json
import math
import random
import re
from collections import defaultdict

import pytest

from geom.boat.file import read_boat
from geom.cli.terminal import Screen
from geom.page import page_bytes
from geom.paperwork.labels.tags import tags
from geom.refit import Refit, place
from geom.rigging.work import line_work
from geom.tables import csv_bytes, every_table
from geom.tables.lines import cut_list, cut_terms, rope_marks, splices, stations, threading
from geom.tables.placing import runs
from tests.boats import refit_of, report_of
from tests.counts import seeds
from tests.made import set_of
from tests.random_boats import random_data
from tests.sheet_texts import texts_of
from tests.some import some

TABLES = (cut_list, cut_terms, rope_marks, splices, stations, threading)


def rope_boat(seed):
    """Return a random boat whose rope, eyes, trims and take-up are random too, read through the file's own grammar."""
    chance, data = random.Random(seed), random_data(seed)
    inches = data["units"]["length"] == "in"

    def length(value):
        return f"{value / 25.4:.4f}" if inches else f"{value:.2f}"

    rope = chance.uniform(4.0, 8.0)
    line = data["lines"]["guard line"] | {
        "diameter": length(rope),
        "splice_rule": chance.choice(["72 d", "3 1/2 fids", "3 fids", "80 d"]),
    }
    if chance.random() < 0.6:
        line["take_up"] = {"each": length(chance.uniform(10.0, 60.0)), "source": "trial"}
    data["lines"]["guard line"] = line
    throat = chance.uniform(20.0, 45.0)
    data["ends"]["eye end"] |= {
        "throat_to_pin": length(throat),
        "eye_girth": length(2.0 * math.pi * rope + 2.0 * throat),
        "trim": length(chance.uniform(0.0, 80.0)),
        "lock": chance.choice(["locked Brummel", "one-ended", "stitched bury"]),
    }
    loaded = read_boat(json.dumps(data).encode("utf-8"), f"random rope {seed}")
    placed = place(loaded.boat)
    # Its findings are not read here.
    return Refit(loaded, placed, line_work(placed), ())


def on_disk(found, folder):
    """Write the schedules of a refit and return them as read again: rows of each table, as mappings."""
    rows = {}
    for make in TABLES:
        table = make(found)
        path = folder / f"{table.name}.csv"
        path.write_bytes(csv_bytes(table))
        with path.open(encoding="utf-8", newline="") as stream:
            rows[table.name] = list(csv.DictReader(stream))
    return rows


def of_run(rows, run):
    return {name: [row for row in table if row["run"] == run] for name, table in rows.items()}


def finished_from_marks(rows, run, end):
    """Return the finished length of a run as seen from one end, from the marks in its files.

    From the end's own EYE mark to that of the other end, plus both eyes, less both take-ups: what a rigger would lay
    off. Adds nothing that the program added up: the EYE marks are those of rope-marks.csv, the eyes those of
    stations.csv, the take-ups those of splices.csv.
    """
    own = of_run(rows, run)
    eyes = {row["end"]: float(row["from_rope_end_mm"]) for row in own["rope-marks"] if row["mark"] == "eye"}
    ropes_ends = {row["end"]: float(row["from_rope_end_mm"]) for row in own["rope-marks"] if row["mark"] == "rope end"}
    for where, at in some(eyes.items()):
        splice = {row["mark"]: float(row["distance_mm"]) for row in own["splices"] if row["end"] == where}
        # The EYE mark of an end is as far from the rope's end as its splice says.
        assert abs(at - ropes_ends[where]) == pytest.approx(splice["eye"], abs=0.005)
    other = "finish" if end == "start" else "start"
    throats = sorted(float(row["from_end_made_first_mm"]) for row in own["stations"] if row["mark"] == "throat")
    bears = sorted(float(row["from_end_made_first_mm"]) for row in own["stations"] if row["mark"] == "bears")
    loops = (throats[0] - bears[0]) + (bears[1] - throats[1])
    taken = [float(row["distance_mm"]) for row in own["splices"] if row["mark"] == "take-up"]
    return abs(eyes[other] - eyes[end]) + loops - math.fsum(taken)


@pytest.mark.long
def test_marks_on_disk_add_up_to_the_finished_length(tmp_path):
    """Every finished end of every rope that is not on hold: within 0.05 mm of FINISHED, and of where it bears."""
    checked = 0
    for seed in seeds(25):
        found = rope_boat(seed)
        rows = on_disk(found, tmp_path)
        for row in rows["cut-list"]:
            run = row["run"]
            own = of_run(rows, run)
            if row["from_reel_mm"] == "":
                assert [one["mark"] for one in own["splices"]] == ["on hold: do not cut"], "and no marks"
                assert [one["mark"] for one in own["stations"]] == ["on hold: do not cut"]
                continue
            finished = float(row["finished_mm"])
            for end in ("start", "finish"):
                assert finished_from_marks(rows, run, end) == pytest.approx(finished, abs=0.05), (seed, run, end)
                checked += 1
            zero = [float(one["from_end_made_first_mm"]) for one in own["stations"]]
            assert (zero[0], zero[-1]) == pytest.approx((0.0, finished), abs=0.05)
    print(f"{checked} finished ends")
    assert checked


def test_a_mark_off_by_a_tenth_is_found(tmp_path):
    rows = on_disk(refit_of("saltwhin-31"), tmp_path)
    assert finished_from_marks(rows, "S-F-U", "start") == pytest.approx(4687.7, abs=0.05)
    for row in rows["rope-marks"]:
        if (row["run"], row["mark"], row["end"]) == ("S-F-U", "eye", "finish"):
            row["from_rope_end_mm"] = str(float(row["from_rope_end_mm"]) - 0.1)
    with pytest.raises(AssertionError):
        assert finished_from_marks(rows, "S-F-U", "start") == pytest.approx(4687.7, abs=0.05)


PARTS = {
    "S-F-U": (5587.7, 80.0, 300.0, 5970.0),
    "S-A-U": (2538.8, 80.0, 0.0, 2620.0),
    "P-F-U": (5596.7, 80.0, 0.0, 5680.0),
}


@pytest.mark.parametrize("run", PARTS)
def test_a_length_off_the_reel_reads_as_its_parts(run):
    """S-F-U by hand: 4687.7 - 50 + 150 + 720 + 60 + 20 of lock = 5587.7 in line; trim 30 + 50; tail 300: 5967.7, up."""
    reel = refit_of("saltwhin-31").work.runs[run].reel
    in_line, trim, tail, whole = PARTS[run]
    assert reel.in_line == pytest.approx(in_line, abs=0.06)
    assert (reel.trim, reel.tail, reel.spare, reel.from_reel) == (trim, tail, 0.0, whole)
    assert reel.rounding == pytest.approx(whole - in_line - trim - tail, abs=0.06)


def test_wire_heads_its_cut_and_never_a_length_off_the_reel():
    works = refit_of("pipwing-25").work.runs
    for run, work in some(works.items()):
        assert (work.from_reel, work.headline) == (None, work.cut), run
    assert "from_reel_mm" not in {one.key for one in runs(refit_of("pipwing-25")).columns}


def test_marks_count_from_the_end_that_is_made_first():
    """S-F-U is made first at S-S3: S-S1 lies 4687.7 - 1362.5 = 3325.2 from there."""
    work = refit_of("saltwhin-31").work.runs["S-F-U"]
    assert work.making.first == "finish"
    at = defaultdict(list)
    for station in work.stations:
        at[station.what, station.place].append(station.from_first)
    assert at["bears", "S-S3"] == [0.0]
    assert at["hole", "S-S1-U"] == pytest.approx([3325.2], abs=0.06)


# A length off the reel as it is printed: its heading, then the figure; on screen and in the steps.
FROM_REEL = re.compile(r"RUN (\S+) +FROM REEL +(\d+) mm")
OFF_THE_REEL = re.compile(r"[Cc]ut (\d+) mm from the reel")


def reel_lengths(name):
    """Return every length off the reel that is printed for each run of a boat, by where it is printed [mm]."""
    found = defaultdict(dict)
    refit = refit_of(name)
    texts = texts_of(set_of(name))

    def note(run, place, values):
        for number, value in enumerate(values, start=1):
            found[run][f"{place} {number}"] = float(value)

    for run, work in refit.work.runs.items():
        if not work.rope:
            continue
        # Sheets: the card's box and its sum, the order's piece and its bar; the sentence that adds it up.
        for tag in (f"cut:{run}", f"term:{run}:cut", f"piece:{run}:length", f"runs:{run}:from_reel_mm"):
            if tag in texts and texts[tag] != "-":
                note(run, f"sheet {tag}", texts[tag].split(" "))
        for tag, text in texts.items():
            if tag.startswith("reel:") and tag.endswith(f":{run}:label:length"):
                note(run, f"sheet {tag}", text.split(" "))
        if f"reel:{run}" in texts:
            note(run, "sheet sum", texts[f"reel:{run}"].split(" ")[:1])
        if not work.refused:
            note(run, "sheet step", [texts[f"step:{run}:1:figure"]])
    for table in every_table(refit):
        for row in csv.DictReader(io.StringIO(csv_bytes(table).decode("utf-8"))):
            run = row.get("run") or row.get("piece") or ""
            for key in ("from_reel_mm", "order_mm"):
                if row.get(key) and run in refit.work.runs and refit.work.runs[run].rope:
                    found[run][f"csv {table.name} {key}"] = float(row[key])
            note(run, f"csv {table.name} step", OFF_THE_REEL.findall(" ".join(map(str, row.values()))))
    for run in report_of(name)["runs"]:
        stated = {"json": run["from_reel_mm"], "json work": (run["work"]["reel"] or {}).get("from_reel_mm")}
        held = run["work"]["refused"] or not refit.work.runs[run["id"]].rope
        found[run["id"]] |= {key: value for key, value in stated.items() if value is not None and not held}
        steps = " ".join(run["work"]["threading"]["steps"])
        if not held:
            note(run["id"], "json step", OFF_THE_REEL.findall(steps))
    screen = "\n".join(Screen(refit, 400, frozenset({"runs", "cards"})).lines())
    for run, value in FROM_REEL.findall(screen):
        note(run, "terminal card", [value])
    for block in screen.split("RUN ")[1:]:
        note(block.split(" ")[0], "terminal step", OFF_THE_REEL.findall(block))
    return {run: places for run, places in found.items() if places}


def at_odds(found):
    """Return the runs for which more than one length off the reel is printed."""
    return {run: places for run, places in found.items() if len(set(places.values())) > 1}


def test_a_run_has_one_length_off_the_reel_wherever_it_is_printed():
    """Sheets, CSV, check.json and terminal of SALTWHIN; PIPWING's wire has it in its first step, as on the order."""
    found = reel_lengths("saltwhin-31")
    assert set(found) == {run for run, work in refit_of("saltwhin-31").work.runs.items() if not work.refused}
    for run, places in some(found.items()):
        kinds = {place.split(" ")[0] for place in places}
        assert kinds == {"sheet", "csv", "json", "terminal"}, (run, places)
    assert at_odds(found) == {}
    assert found["S-F-U"]["terminal card 1"] == 5970.0
    works = refit_of("pipwing-25").work.runs
    for run, places in some(reel_lengths("pipwing-25").items()):
        assert set(places.values()) == {float(round(works[run].reel.from_reel))}, run


def test_a_second_length_off_the_reel_would_be_found():
    found = reel_lengths("saltwhin-31")
    found["S-F-U"]["sheet cut:S-F-U"] = 5670.0
    assert list(at_odds(found)) == ["S-F-U"]


@pytest.mark.parametrize(
    ("name", "heading"), [("pipwing-25", "FINAL CUT, ON BOARD"), ("yacht-52", "CUT"), ("saltwhin-31", "FROM REEL")]
)
def test_the_length_of_a_run_has_one_heading_wherever_it_stands(name, heading):
    """Wire with an end made on board is taken off the reel with a working tail; its computed length is cut on board."""
    refit, texts = refit_of(name), texts_of(set_of(name))
    screen = "\n".join(Screen(refit, 400, frozenset({"runs", "cards"})).lines())
    page = page_bytes(refit, ()).decode("utf-8")
    ready = [run for run, work in refit.work.runs.items() if not work.refused]
    for run in some(ready):
        card = page.partition(f'<article class="card run" id="run-{run}"')[2].partition("</article>")[0]
        assert texts[f"box:{run}"] == heading
        assert f"RUN {run}   {heading} " in screen
        assert f'<span class="label">{heading}</span>' in card
        assert ("From reel</dt>" in card) == (heading == "FINAL CUT, ON BOARD")
    said = {tag.name: tag.text for tag in tags(refit)}
    assert all(("cut on board" in said[run]) == (heading == "FINAL CUT, ON BOARD") for run in ready)
    if name == "pipwing-25":
        assert "from reel 219 in, final cut on board 206 5/8 in" in said["S-F-U"]
