"""Remarks and their sentences: each code has one, each sentence is used, and nothing decides by a sentence."""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import chain
from pathlib import Path
from string import Formatter

import pytest
from typer.testing import CliRunner

from geom import cli
from geom.boat.model import Rules
from geom.cli.boats import fails
from geom.data.editions import push_test
from geom.mechanics.tension import push_limit, push_test_force
from geom.refit import place, read_refit
from geom.remark import Remark
from geom.rigging.settings import gap_remarks, settings
from geom.rules.applied import check
from geom.sheets.compliance.sheet import rule_sheet
from geom.sheets.order.sheet import order_list
from geom.units import LengthFormat
from geom.words import Units, english, forget, units_of, worded
from tests.boats import BOATS, refit_of
from tests.rule_cases import boat_with

GEOM = Path(__file__).parent.parent / "geom"
LBF = 4.4482216152605
INCHES = LengthFormat("in", 25.4, 2)
DEMO = ("saltwhin-31", "pipwing-25")
# Rooms that read what people write: there a text is compared with what is valid.
READERS = ("words", "intake", "boat", "files", "data")
CODE = re.compile(r"[a-z_]+\.[a-z_]+")


def sources(*without: str) -> list[tuple[Path, ast.Module]]:
    """Return the modules of the product outside some rooms, parsed."""
    return [
        (path, ast.parse(path.read_text("utf-8")))
        for path in sorted(GEOM.rglob("*.py"))
        if path.relative_to(GEOM).parts[0] not in without
    ]


def constants(node: ast.AST) -> set[str]:
    return {one.value for one in ast.walk(node) if isinstance(one, ast.Constant) and isinstance(one.value, str)}


def remarks_made() -> list[tuple[str, ast.Call]]:
    """Return every place where a remark is made."""
    return [
        (f"{path.relative_to(GEOM)}:{node.lineno}", node)
        for path, tree in sources("words")
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Remark"
    ]


def codes_of(call: ast.Call) -> list[str]:
    """Return the codes that stand in a call, one or the choice of several."""
    code = call.args[0]
    parts = [code.body, code.orelse] if isinstance(code, ast.IfExp) else [code]
    return [part.value for part in parts if isinstance(part, ast.Constant)]


def placeholders(code: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(english.SENTENCES[code]) if name}


def test_every_code_has_a_sentence() -> None:
    missing = [(at, code) for at, call in remarks_made() for code in codes_of(call) if code not in english.SENTENCES]
    assert missing == []
    rooms = ("placement", "mechanics", "rigging", "purchasing", "rules")
    named = {
        text
        for path, tree in sources("words")
        if path.relative_to(GEOM).parts[0] in rooms
        for text in constants(tree)
        if CODE.fullmatch(text)
    }
    assert len(named) > 200
    assert named - set(english.SENTENCES) == set()


def test_every_sentence_is_used() -> None:
    said = set(chain.from_iterable(constants(tree) for _, tree in sources("words")))
    # A code that is put together holds its second part, with what follows it, as a text of its own.
    joined = {"quantity": ("",), "step": ("", "_pin"), "log": ("", "_on_board")}
    unused = [
        code
        for code in english.SENTENCES
        if code not in said
        and not any(
            room == code.partition(".")[0] and code.partition(".")[2].removesuffix(end) in said | {"take_off"}
            for room, ends in joined.items()
            for end in ends
        )
        and not any(code.removesuffix(end) in said for end in joined.get(code.partition(".")[0], ()) if end)
    ]
    assert unused == []


def test_placeholders_and_values_agree() -> None:
    wrong = []
    for at, call in remarks_made():
        given = {keyword.arg for keyword in call.keywords if keyword.arg}
        whole = all(keyword.arg for keyword in call.keywords)
        for code in codes_of(call):
            asked = placeholders(code)
            if (given != asked) if whole else (given - asked):
                wrong.append((at, code, sorted(given ^ asked)))
    assert wrong == []


def test_a_number_s_unit_stands_in_its_name() -> None:
    """No sentence writes a unit of its own behind a figure: it would be millimetres on an inch sheet."""
    unit = re.compile(r"\} ?(?:mm|N|MPa|deg|m)\b")
    assert [code for code, sentence in english.SENTENCES.items() if unit.search(sentence)] == []
    lists = {form for text in english.SENTENCES.values() for _, _, form, _ in Formatter().parse(text) if form}
    assert set(english.WORDS) <= lists


# Files whose texts are no sentences of ours, and what they are.
NO_SENTENCES = {
    "cli/layout.py": "breaks any text into lines",
    "lettering.py": "breaks any lettering into lines",
    "rules/finding.py": "a place as part of an id",
    "solids/step_text.py": "a STEP file",
    "units.py": "a quantity as a person writes it",
}
# What a decision by a sentence looks like: these attributes and calls hold one.
_SENTENCES = ("note", "text", "reason", "words", "warning", "says", "why", "does", "figures", "to_check", "where")
_CALLS = ("worded", "in_words", "in_own_units")
_WORDS = re.compile(r"[A-Za-z].*[a-z].*[a-z]")


def is_sentence(node: ast.AST) -> bool:
    if isinstance(node, ast.Call):
        return isinstance(node.func, ast.Name) and node.func.id in _CALLS
    named = node.attr if isinstance(node, ast.Attribute) else node.id if isinstance(node, ast.Name) else ""
    return named in _SENTENCES


def is_words(node: ast.AST) -> bool:
    parts = node.elts if isinstance(node, ast.Tuple) else [node]
    return any(
        isinstance(one, ast.Constant) and isinstance(one.value, str) and _WORDS.search(one.value) for one in parts
    )


def decisions(tree: ast.AST) -> list[int]:
    """Return the lines in which a sentence is searched for words."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare) and isinstance(node.ops[0], ast.In | ast.NotIn):
            if is_words(node.left) and is_sentence(node.comparators[0]):
                found.append(node.lineno)
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            searched = node.func.attr in ("startswith", "endswith", "partition", "rpartition", "removeprefix", "find")
            if searched and is_sentence(node.func.value) and any(is_words(one) for one in node.args):
                found.append(node.lineno)
            if node.func.attr in ("search", "match", "sub", "findall", "fullmatch") and any(
                map(is_sentence, node.args)
            ):
                found.append(node.lineno)
    return found


def test_no_decision_reads_a_sentence() -> None:
    found = [
        f"{path.relative_to(GEOM)}:{line}"
        for path, tree in sources(*READERS)
        if str(path.relative_to(GEOM)) not in NO_SENTENCES
        for line in decisions(tree)
    ]
    assert found == []


@pytest.mark.parametrize(
    "line",
    [
        'any("trial" in finding.note for finding in found)',
        '": not after threading" in text',
        'step.text.endswith(", cut")',
        'worded(remark).startswith("the buries")',
        'finding.note.partition("known as ")',
        '_MM.sub("", text)',
    ],
)
def test_a_decision_by_a_sentence_is_found(line: str) -> None:
    assert decisions(ast.parse(line)) == [1]


def marked(sentence: str) -> str:
    """Return a template with its own letters made x, its placeholders kept."""
    parts = []
    for text, name, form, _ in Formatter().parse(sentence):
        parts.append(re.sub(r"[A-Za-z]", "x", text))
        if name:
            parts.append(f"{{{name}:{form}}}" if form else f"{{{name}}}")
    return "".join(parts)


def decided(name: str) -> dict[str, object]:
    """Return everything that is decided of a demonstration boat, freshly worked out."""
    path = str(BOATS / f"{name}.yaml")
    boat, run = read_refit(path), CliRunner().invoke
    return {
        "verdicts": [(f.id, f.verdict, f.would, f.measured, f.limit, f.binding) for f in boat.findings],
        "kinds": [(r.run, r.code, r.kind) for r in boat.work.remarks],
        "exit": run(cli.app, ["check", path]).exit_code,
        "strict": run(cli.app, ["check", path, "--strict"]).exit_code,
        "plans": [
            (
                w.run,
                w.cut,
                w.plan.in_place,
                w.plan.bench,
                w.plan.direction,
                w.plan.thimbles,
                w.plan.work,
                w.budget.verdict,
            )
            for w in boat.work.runs.values()
        ],
        "loads": [(post.id, post.state) for post in boat.loads.posts],
        # As a whole: the breaks between sheets move with the width of the letters.
        "units": {unit for draft in (*order_list(boat), *rule_sheet(boat)) for unit in draft.units.split(", ")},
    }


@pytest.fixture
def other_words(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[], None]]:
    """Put other sentences and words in place, for the length of a test."""

    def put() -> None:
        monkeypatch.setattr(english, "SENTENCES", {code: marked(text) for code, text in english.SENTENCES.items()})
        monkeypatch.setattr(english, "WORDS", {key: dict.fromkeys(words, "x") for key, words in english.WORDS.items()})
        forget()

    yield put
    forget()


@pytest.mark.parametrize("name", DEMO)
def test_nothing_changes_when_every_sentence_is_reworded(name: str, other_words: Callable[[], None]) -> None:
    before = decided(name)
    said = worded(read_refit(str(BOATS / f"{name}.yaml")).findings[0].notes)
    other_words()
    after = decided(name)
    assert worded(Remark("push.no_mast")) == marked("the boat file does not state the position of the mast") != said
    for what, value in before.items():
        assert after[what] == value, what
    assert before["exit"] == before["strict"] == 1


def test_strict_counts_a_trial_by_its_code() -> None:
    """A trial alone makes `--strict` fail and nothing else, whatever its sentence says."""
    trials = [f for f in refit_of("saltwhin-31").findings if any(note.code == "eye.trial" for note in f.notes)]
    assert trials and {f.verdict for f in trials} == {"notice"}
    assert (fails(trials, strict=False), fails(trials, strict=True)) == (False, True)
    said = [replace(f, notes=(Remark("edition.note", note="trial: draw a test piece through"),)) for f in trials]
    assert not fails(said, strict=True)


@pytest.mark.parametrize(
    ("remark", "metric", "inches", "pounds"),
    [
        # 40 lbf is 177.93 N.
        (
            Remark("push.set_to", tension_n=40.0 * LBF),
            "set to 178 N",
            "set to 178 N",
            "set to 40\u00a0lbf\u00a0[178\u00a0N]",
        ),
        # Gauges of a thousandth of an inch.
        (
            Remark("step.gauge", go_mm=8.001, no_go_mm=7.874),
            "gauge it along its whole length: GO 8.00 mm passes, NO GO 7.87 mm does not",
            "gauge it along its whole length: GO .315 in (8.00) passes, NO GO .310 in (7.87) does not",
            "gauge it along its whole length: GO .315 in passes, NO GO .310 in does not",
        ),
        (
            Remark("bury.room", needs_mm=800.0, has_mm=575.5),
            "the buries need 800 mm of finished line, there are 575.5 mm",
            "the buries need 31.50 in (800) of finished line, there are 22.66 in (575.5)",
            "the buries need 31.50 in of finished line, there are 22.66 in",
        ),
        (
            Remark("tension.ends_may_give", needed_n=128.3),
            "needs 129 N where ends may deflect",
            "needs 129 N where ends may deflect",
            "needs 30\u00a0lbf\u00a0[129\u00a0N] where ends may deflect",
        ),
        (
            Remark("low_line.hull_too_long", hull_mm=9144.0, max_mm=8500.0),
            "hull length 9.144 m is over 8.50 m: low line not admitted",
            "hull length 9.144 m is over 8.50 m: low line not admitted",
            "hull length 30.00\u00a0ft\u00a0[9.144\u00a0m] is over 27.89\u00a0ft\u00a0[8.50\u00a0m]: "
            "low line not admitted",
        ),
        (
            # A hull that reads as the limit to the millimetre is written to the digit that tells it from the limit.
            Remark("low_line.hull_too_long", hull_mm=8500.1, max_mm=8500.0),
            "hull length 8.5001 m is over 8.500 m: low line not admitted",
            "hull length 8.5001 m is over 8.500 m: low line not admitted",
            "hull length 27.8875\u00a0ft\u00a0[8.50010\u00a0m] is over 27.8871\u00a0ft\u00a0[8.5000\u00a0m]: "
            "low line not admitted",
        ),
        (
            Remark("budget.range_too_small", way="shorten", needs_mm=20.04, has_mm=20.0),
            "shorten: needs 20.04 mm, the fittings allow 20.00 mm only",
            "shorten: needs .789 in (20.04), the fittings allow .787 in (20.00) only",
            "shorten: needs .789 in, the fittings allow .787 in only",
        ),
        (
            Remark("set_tension.over_hand", set_n=445.2, by_hand_n=445.0),
            "set tension of 445.2 N is over the 445.0 N that is set by hand",
            "set tension of 445.2 N is over the 445.0 N that is set by hand",
            "set tension of 100.1\u00a0lbf\u00a0[445.2\u00a0N] is over the 100.0\u00a0lbf\u00a0[445.0\u00a0N] that is "
            "set by hand",
        ),
        (
            Remark("toggle.wanted", end="finish", angle_rad=0.1),
            *("after end: the line leaves the plate's plane by 5.7 deg: a toggle is needed",) * 3,
        ),
        (
            Remark("budget.skewed", linear_mm=25.4, drawn_mm=50.8, mean_mm=2.54),
            "the linear figure of 25.4 mm does not hold here: drawn, the error is 50.8 mm about a mean of +2.5 mm, "
            "since errors square to a short span only make it longer",
            "the linear figure of 1.00 in (25.4) does not hold here: drawn, the error is 2.00 in (50.8) about a mean "
            "of +.10 in (+2.5), since errors square to a short span only make it longer",
            "the linear figure of 1.00 in does not hold here: drawn, the error is 2.00 in about a mean of +.10 in, "
            "since errors square to a short span only make it longer",
        ),
    ],
)
def test_a_remark_is_written_in_the_units_given(remark: Remark, metric: str, inches: str, pounds: str) -> None:
    """1 in is 25.4 mm, 1 ft 304.8 mm, 1 lbf 4.4482216152605 N (international yard and pound, 1959)."""
    assert worded(remark) == metric
    assert worded(remark, Units(INCHES, millimetres=True)) == inches
    assert worded(remark, Units(INCHES, pounds=True)) == pounds


def test_the_units_of_a_remark_are_those_that_it_writes() -> None:
    nested = Remark("line.with_source", says=Remark("push.span", supports_mm=1.0, line_mm=2.0), source="a table")
    assert units_of(nested) == {"mm"}
    assert units_of((nested, Remark("push.set_to", tension_n=5.0)), Units(INCHES, pounds=True)) == {"in", "lbf"}
    assert units_of("800 mm") == frozenset()


def test_a_remark_is_a_value() -> None:
    one = Remark("push.span", supports_mm=1.0, line_mm=2.0)
    assert one == Remark("push.span", supports_mm=1.0, line_mm=2.0)
    assert len({one, Remark("push.span", supports_mm=1.0, line_mm=2.0)}) == 1
    assert one["line_mm"] == 2.0
    assert Remark("end.says", end="start", says=one).codes() == {"end.says", "push.span"}


@pytest.mark.parametrize(("edition", "force"), [("2008", 50.0), ("2014", 40.0), ("2024", 39.2266)])
def test_rules_and_mechanics_push_by_the_edition_in_force(edition: str, force: float) -> None:
    """50 N before 2014 and 40 N then: rules question and answer 2014-013; 4 kg in 2024, from memory, verify."""
    boat = boat_with({})
    boat = boat.model_copy(update={"rules": Rules(documents=("osr",), editions={"osr": edition})})
    placed = place(boat)
    judged = [f for f in check(placed) if f.clause == "3.14.2 a)"]
    assert judged
    assert {f.quantity["force_n"] for f in judged} == {push_test_force(boat)} == {force}
    runs = {f.run for f in judged if f.run}
    assert {f.limit for f in judged if f.limit} == {push_limit(placed, placed.runs[run]) for run in runs} == {50.0}


def test_lines_are_set_by_the_load_that_the_rule_is_judged_by() -> None:
    """4 kg from memory in the edition of 2024; where an edition's clause was not read, the last before it counts."""
    forces = {name: push_test({"osr": name} if name else {}).force for name in ("", "2024", "2018", "2014", "2010")}
    assert {name: (pytest.approx(one.value, abs=1e-4), one.edition) for name, one in forces.items()} == {
        "": (4.0 * 9.80665, "2024"), "2024": (4.0 * 9.80665, "2024"), "2018": (40.0, "2014"), "2014": (40.0, "2014"),
        "2010": (50.0, "2008"),
    }  # fmt: skip
    assert {name for name, one in forces.items() if one.sure.startswith("memory")} == {"", "2024"}


def test_rigging_and_rules_judge_a_lashing_by_one_limit() -> None:
    refit = refit_of("saltwhin-31")
    rules = {f.limit for f in refit.findings if f.clause == "3.14.6 c) lanyard"}
    made = [
        one for run in refit.placed.runs.values() for one in gap_remarks(refit.boat, run, settings(refit.boat, run))
    ]
    assert made and {one.limit for one in made} == rules == {100.0}
