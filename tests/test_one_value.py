"""One figure, one value: the tensions of a run and the states of a post, wherever a package prints them.

Collected from the sheets as they are lettered, every CSV, check.json and the screen of `check --all`.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from geom.cli.terminal import Screen
from geom.refit import refit
from geom.sheets.setting.push_text import set_text
from geom.tables.every import every_table
from geom.tables.loads import LOAD_TABLES, set_tensions
from geom.tables.table import cells, csv_bytes
from geom.units import LengthFormat
from geom.words import worded
from tests.boats import refit_of, report_of
from tests.made import set_of
from tests.sheet_texts import forged, texts_of
from tests.some import some

# Newtons in a pound-force. Source: the international pound times standard gravity.
POUND = 4.4482216152605
BOATS = ("saltwhin-31", "pipwing-25")
# Where a value was found, what it is of, and the value as printed.
Found = Iterator[tuple[str, str, str]]

RUN = re.compile(r"\b[PS]-[A-Z][A-Z0-9]*-[UML]\b")
# A force in a sentence: newtons, on inch sheets in brackets behind the pounds.
FORCE = r"(?:\d[\d.]* lbf \[)?(\d[\d.]*) N"
SET = re.compile(rf"(?:set to|set the line \() ?{FORCE}")
MARK = re.compile(rf"(?:mark at|under the marking tension,) {FORCE}")
OF_RUN = re.compile(rf"\b([PS]-[A-Z][A-Z0-9]*-[UML]) {FORCE}")
BARE_OF_RUN = re.compile(r"\b([PS]-[A-Z][A-Z0-9]*-[UML]) (\d+)\b(?! (?:N|lbf))")


def rounded(value: Any) -> str:
    """Return a tension as printed: to whole newtons."""
    return f"{float(value):.0f}"


def last_number(text: str) -> str:
    """Return the newtons of a cell: its only number, or the one in brackets."""
    return rounded(re.findall(r"\d[\d.]*", text)[-1])


def in_text(where: str, text: str, run: str | None) -> Found:
    """Yield the tensions in a sentence about a run."""
    text = text.replace("\u00a0", " ")
    for what, pattern in some((("set", SET), ("mark", MARK))):
        for found in pattern.findall(text):
            if run is None:
                raise AssertionError(f"{where}: a tension of no run: {text}")
            yield where, f"{what} {run}", rounded(found)
    if "set tension" in text:
        for name, found in (*OF_RUN.findall(text), *BARE_OF_RUN.findall(text)):
            yield where, f"set {name}", rounded(found)


def on_sheets(name: str, sheets: Any) -> Found:
    """Yield the tensions and states on the sheets, by the ids that their texts carry."""
    runs = refit_of(name).placed.runs
    for tag, lettered in texts_of(sheets).items():
        text = lettered.replace("\u00a0", " ")
        where = f"sheet {tag}"
        run = next((one for one in RUN.findall(tag) if one in runs), None)
        key = tag.rpartition(":")[2]
        if (run is not None and tag.startswith("push:") and key == "set_to") or (
            run is not None and tag.startswith("step:") and key == "figure" and text.endswith((" N", " N]"))
        ):
            yield where, f"set {run}", last_number(text)
        elif tag.startswith("step:") and "marking tension, " in text:
            for one in tag.split(":")[1].split("+"):
                yield where, f"mark {one}", last_number(text.partition("marking tension, ")[2].partition(" N")[0])
        elif tag.startswith("gate-post:") and key == "at":
            for part in text.split("; "):
                yield where, f"set {part.split(' ')[0]}", last_number(part.partition(" ")[2])
        elif tag.startswith("gate-post:") and key == "state":
            _, post, brace, _ = tag.split(":")
            yield where, f"state {post}, gate open, {_brace(brace)}", text
        else:
            yield from in_text(where, text, run)


def _brace(word: str) -> str:
    """Return whether a brace counts; a post without one stands as built either way."""
    return "left out" if word == "left out" else "as built"


def in_json(report: Any, where: str = "check.json") -> Found:
    """Yield the tensions and states of check.json."""
    for post in report["loads"]["posts"]:
        yield where, f"state {post['id']}, at rest", post["state"]
    for post in report["loads"]["open_gates"]:
        yield where, f"state {post['post']}, gate open, as built", post["state"]
        yield where, f"state {post['post']}, gate open, as built", post["as_built"]["state"]
        if post["as_built"]["brace_force_n"] is not None:
            yield where, f"state {post['post']}, gate open, left out", post["state_unbraced"]
            yield where, f"state {post['post']}, gate open, left out", post["unbraced"]["state"]
    for finding in report["findings"]:
        yield from in_text(f"{where} {finding['id']}", finding["note"], finding["run"])
    for run in report["runs"]:
        for step in run["work"]["threading"]["steps"]:
            yield from in_text(f"{where} steps", step, run["id"])
    yield from _in_node(report["loads"], where)
    for one in report["loads"]["set_tensions"]:
        # As the screen of an inch boat has to show them.
        yield where, f"set {one['run']}, lbf", f"{math.ceil(one['set_tension_n'] / POUND - 1e-9)}"
        yield where, f"mark {one['run']}, lbf", f"{one['marking_tension_n'] / POUND:.0f}"


def _in_node(node: Any, where: str) -> Found:
    if isinstance(node, dict):
        for key, what in (("set_tension_n", "set"), ("marking_tension_n", "mark")):
            if key in node:
                yield where, f"{what} {node['run']}", rounded(node[key])
        for value in node.values():
            yield from _in_node(value, where)
    elif isinstance(node, list):
        for value in node:
            yield from _in_node(value, where)


def in_rows(name: str, where: str, rows: list[dict[str, str]], case: str) -> Found:
    """Yield the tensions and states of a table's rows, by its keys."""
    runs = refit_of(name).placed.runs
    for row in rows:
        run = row.get("run")
        for key, what in (("set_tension_n", "set"), ("marking_tension_n", "mark")):
            if key in row and run:
                yield where, f"{what} {run}", rounded(row[key])
        for part in filter(None, row.get("set_tensions_n", "").split("; ")):
            yield where, f"set {part.split(' ')[0]}", last_number(part.partition(" ")[2])
        if "state" in row:
            yield where, f"state {row.get('post') or row['id']}, {case}{_case(row)}", row["state"]
        for text in row.values():
            yield from in_text(where, text, run if run in runs else None)


def _case(row: dict[str, str]) -> str:
    return f", {_brace(row['brace'])}" if "brace" in row else ""


def in_csv(name: str) -> Found:
    for table in every_table(refit_of(name)):
        rows = list(csv.DictReader(io.StringIO(csv_bytes(table).decode("utf-8"))))
        case = "gate open" if table.name == "gate-posts" else "at rest"
        yield from in_rows(name, f"{table.name}.csv", rows, case)


# Heading on the screen -> key in a file.
HEADINGS = {
    "RUN": "run", "POST": "post", "SET TO N": "set_tension_n", "MARK AT N": "marking_tension_n", "STATE": "state",
    "BRACE": "brace",
}  # fmt: skip
# The same in pounds-force, on the screen of an inch boat: heading -> what it is of.
IN_POUNDS = {"SET TO lbf": "set", "MARK AT lbf": "mark"}
# So wide that no table is stacked and no sentence broken.
WIDE = 100_000


def on_screen(name: str) -> Found:
    """Yield the tensions and states of a check with all its views."""
    runs, heads, run, case = refit_of(name).placed.runs, list[str](), None, ""
    title = ""
    titles = tuple(make(refit_of(name)).title for make in LOAD_TABLES)
    for line in Screen(refit_of(name), WIDE, frozenset({"all"})).lines():
        cells = re.split(r" {3,}", line.strip())
        if line.partition(" (")[0] in titles:
            title, heads = line, []
            case = "gate open" if title.startswith("GATE POSTS") else "at rest"
        elif not line.strip():
            title, heads = "", []
        elif title and heads and len(cells) == len(heads):
            shown = dict(zip(heads, cells, strict=True))
            for head, what in IN_POUNDS.items():
                if head in shown:
                    yield f"screen, {title[:20]}", f"{what} {shown['RUN']}, lbf", shown[head]
            row = {HEADINGS.get(head, head): cell for head, cell in zip(heads, cells, strict=True)}
            if "state" not in row:
                # The force in a brace has the same heading.
                row.pop("brace", None)
            yield from in_rows(name, f"screen, {title[:20]}", [row], case)
        elif title and not heads and not line.startswith("  at the set tensions"):
            heads = cells
        else:
            named = [one for one in RUN.findall(line) if one in runs]
            if not line.startswith(" ") or line.startswith("RUN "):
                run = named[0] if named else None
            yield from in_text("screen", line, run)


@cache
def collected(name: str) -> tuple[tuple[str, str, str], ...]:
    return (
        *on_sheets(name, set_of(name)),
        *in_json(report_of(name)),
        *in_csv(name),
        *on_screen(name),
    )


def disagreeing(found: Any) -> dict[str, set[str]]:
    """Return what has more than one value, with its values."""
    values: dict[str, set[str]] = defaultdict(set)
    for _, what, value in found:
        values[what].add(value)
    return {what: some for what, some in values.items() if len(some) > 1}


@pytest.mark.parametrize("name", BOATS)
def test_one_run_one_set_tension_and_one_marking_tension(name):
    """Every run is found, on sheets, in CSV, in check.json and on the screen, and always with one value."""
    found = collected(name)
    assert disagreeing(found) == {}
    for run, tensions in refit_of(name).work.tensions.items():
        for what, value in (("set", tensions.set_tension), ("mark", tensions.marking_tension)):
            mine = [(where, shown) for where, of, shown in found if of == f"{what} {run}"]
            assert {shown for _, shown in mine} == {rounded(value)}
            media = {where.partition(" ")[0].rpartition(".")[2].strip(",") for where, _ in mine}
            # A line on hold has no steps.
            held = what == "mark" and refit_of(name).work.runs[run].cut is None
            assert ({"json", "csv", "screen"} if held else {"sheet", "json", "csv", "screen"}) <= media, (
                run,
                what,
                media,
            )


@pytest.mark.parametrize("name", BOATS)
def test_one_post_one_state(name):
    found = [one for one in collected(name) if one[1].startswith("state ")]
    assert disagreeing(found) == {}
    posts = {of.split(" ")[1].strip(",") for _, of, _ in found}
    assert posts == set(refit_of(name).placed.posts)


def test_sheets_say_the_state_of_gate_posts():
    found = [one for one in collected("saltwhin-31") if one[1].startswith("state ") and one[0].startswith("sheet")]
    assert len(found) == 8


@pytest.mark.parametrize(
    ("tag", "text"),
    [
        ("step:S-F-U:12:figure", "348 N"), ("push:S-F-L:3:set_to", "133"),
        ("step:S-F-U+S-A-U:2", "Mark EYE to EYE at the marking tension, 100 N"),
        ("plot:S-F-U:2:as-set", "set to 348 N: deflection 30 to 50"), ("push:S-F-U:2:set_to", "348"),
        ("gate-post:S-S3:as built:at", "S-F-U 340; S-F-L 143"), ("gate-post:S-S3:as built:state", "yields"),
    ],
)  # fmt: skip
def test_another_value_on_a_sheet_is_found(tag, text):
    sheets = [sheet for sheet in set_of("saltwhin-31") if tag in texts_of((sheet,))]
    assert sheets
    assert disagreeing((*collected("saltwhin-31"), *on_sheets("saltwhin-31", forged(sheets, tag, text)))) != {}


def test_another_value_in_a_file_is_found():
    report = report_of("saltwhin-31")
    for change in (
        {"set_tensions": [{**report["loads"]["set_tensions"][0], "set_tension_n": 348.0}]},
        {"posts": [{**report["loads"]["posts"][0], "state": "yields"}]},
    ):
        other = {**report, "loads": {**report["loads"], **change}}
        assert disagreeing((*collected("saltwhin-31"), *in_json(other))) != {}
    rows = [{"run": "S-F-U", "set_tension_n": "348"}]
    assert disagreeing((*collected("saltwhin-31"), *in_rows("saltwhin-31", "csv", rows, ""))) != {}


def test_a_stated_tension_is_not_rounded_up_in_newtons():
    """340.4 N in the boat file: 340 in tables and sentences; on an inch boat 76.52 lbf, as 77 to be reached."""
    found = refit_of("pipwing-25")
    runs = tuple(run.model_copy(update={"set_tension": 340.4}) for run in found.boat.runs)
    stated = refit(replace(found.loaded, boat=found.boat.model_copy(update={"runs": runs})))
    table = set_tensions(stated)
    rows = list(csv.DictReader(io.StringIO(csv_bytes(table).decode("utf-8"))))
    assert {row["set_tension_n"] for row in rows} == {"340.400"}
    at = [column.key for column in table.columns].index("set_tension_n")
    assert {row[at] for row in cells(table, LengthFormat("in", 25.4, 2))} == {"77"}
    assert {row[at] for row in cells(table, LengthFormat())} == {"340"}
    tension = stated.work.tensions["S-F-U"]
    assert worded(tension.set_pull) == "340 N"
    assert set_text(tension, LengthFormat("in", 25.4, 2)) == "77 [340]" and set_text(tension, LengthFormat()) == "340"


# Ids that each sheet has for itself: title block, headings, notes, scales of views, lists that go on over pages.
OWN = ("title", "notes", "heading", "view", "rules", "key", "page", "stamp", "bar")


def apart(sheets: Any) -> dict[str, set[str]]:
    """Return ids of quantities that stand on several sheets with different figures."""
    found: dict[str, set[str]] = defaultdict(set)
    for sheet in sheets:
        for tag, text in texts_of((sheet,)).items():
            if any(letter.isdigit() for letter in text) and not tag.startswith(OWN) and not tag.endswith(":post"):
                found[tag].add(text.removesuffix(" (continued)"))
    return {tag: texts for tag, texts in found.items() if len(texts) > 1}


@pytest.mark.parametrize("name", BOATS)
def test_a_quantity_on_two_sheets_has_one_figure(name):
    assert apart(set_of(name)) == {}


def test_a_quantity_with_two_figures_is_found():
    sheets = set_of("saltwhin-31")
    counted = Counter(tag for sheet in sheets for tag, text in texts_of((sheet,)).items() if text[-1:].isdigit())
    tag = next(tag for tag in sorted(counted) if counted[tag] > 1 and not tag.startswith(OWN))
    first = next(sheet for sheet in sheets if tag in texts_of((sheet,)))
    others = [sheet for sheet in sheets if sheet is not first]
    assert set(apart((*forged((first,), tag, "12345"), *others))) == {tag}
