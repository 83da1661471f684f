"""The recipes of DEVELOPERS.md, followed to the letter in a copy of the tree, and with one step left out.

Followed whole, the checks that a recipe names pass; with a step left out, one of them fails and says what is missing.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
COPIED = ("geom", "templates", "tests")
PAGES = ("README.md", "DEVELOPERS.md", "pyproject.toml")
Step = Callable[[Path], None]


@dataclass(frozen=True)
class Recipe:
    """A recipe: what it is called on the page, its steps by number, the checks, and what each step's absence says."""

    heading: str
    steps: dict[str, Step]
    checks: tuple[str, ...]
    missing: dict[str, str]


def new(path: str, text: str) -> Step:
    """Return a step that writes a new file."""

    def step(tree: Path) -> None:
        assert not (tree / path).exists()
        (tree / path).parent.mkdir(parents=True, exist_ok=True)
        (tree / path).write_text(text, "utf-8")

    return step


def added(path: str, text: str, before: str = "") -> Step:
    """Return a step that adds text at the end of a file, or before a text in it."""

    def step(tree: Path) -> None:
        found = (tree / path).read_text("utf-8")
        if not before:
            (tree / path).write_text(found + text, "utf-8")
            return
        assert found.count(before) == 1, f"{before!r} stands {found.count(before)} times in {path}"
        (tree / path).write_text(found.replace(before, text + before), "utf-8")

    return step


def both(*steps: Step) -> Step:
    """Return steps that are one step of a recipe."""

    def step(tree: Path) -> None:
        for one in steps:
            one(tree)

    return step


RULE = Recipe(
    heading="A rule",
    steps={
        "1 limit": added(
            "geom/data/rules/cfr-45.115.csv", "undated,45.115 top,max height,1200,mm,48 in,,trial,45.115,memory lo,\n"
        ),
        "2 function": both(
            added(
                "geom/rules/documents/cfr_45_115.py",
                "def top(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:\n"
                '    """Rails stand no higher than four feet.\n\n    Source: 46 CFR 45.115.\n    """\n'
                "    for measure in heights.upper_lines(placed):\n"
                '        yield clause.at_most(measure, clause.limit("max height"))\n\n\n',
                before="CLAUSES = (",
            ),
            added(
                "geom/rules/documents/cfr_45_115.py",
                '    Clause("45.115 top", "rail height", top),\n',
                before='    Clause("45.115 courses"',
            ),
        ),
        "3 cases": added(
            "tests/fixtures/rules/cfr-45.115.yaml",
            '- {clause: "45.115 top", kind: passing, at: S-S1-U, verdict: notice, would: pass}\n'
            '- {clause: "45.115 top", kind: failing, at: S-S1-U, verdict: notice, would: fail, measured: 1300, '
            "change: {posts/S-S1/holes/U/along: 1300, posts/S-S1/top: 1330}}\n",
        ),
        "4 row": added(
            "tests/limit_rows.py",
            '        row(load_line, "undated", "45.115 top", "max height", "memory", "at most", "1200 mm", "S-S1-U",\n'
            "            changed(upper)),\n",
            before='        of(load_line, "undated", "45.115 courses"',
        ),
    },
    checks=(
        "tests/sources/test_rule_values.py",
        "tests/test_rules_cases.py",
        "tests/test_rule_limits.py",
        "-k",
        "cites or same_clauses or comes_from or computed or without_its_row or ((test_case or turns) and 45)",
    ),
    missing={
        "1 limit": "0 findings of 45.115 top",
        "2 function": "test_table_and_clauses_name_the_same_clauses_and_editions",
        "3 cases": "clauses without a passing case",
        "4 row": "limits without a row in tests/limit_rows.py",
    },
)

SHAPE = '''"""A distance piece: a round bar with an eye bore at each end. Origin at its lower end, Z along it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body, Turned
from geom.parts.shape.built import Built
from geom.parts.shape.profile import Profile, Step


@dataclass(frozen=True)
class DistancePieceSpec(Built):
    """Outside diameter, bore and length [mm]."""

    od: float
    bore: float
    length: float

    family: ClassVar[str] = "distance piece"

    def validate(self) -> None:
        """Refuse a piece without a wall."""
        require_positive("distance piece", od=self.od, bore=self.bore, length=self.length)
        require(self.bore < self.od, "distance piece", "it needs a wall")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return (Dim("od", self.od), Dim("bore", self.bore), Dim("length", self.length))

    def bodies(self) -> tuple[Body, ...]:
        """Return one ring."""
        r, b, end = 0.5 * self.od, 0.5 * self.bore, self.length
        return (Turned(Profile((b, 0.0), (Step((r, 0.0)), Step((r, end)), Step((b, end))))),)
'''
SIZES = "size,dimension,value,unit,source,edition,clause_or_page,sure\n" + "".join(
    f'12,{name},{value},mm,"generic, invented",,,invented\n'
    for name, value in (("od", 12), ("bore", 6), ("length", 20))
)
FITTING = Recipe(
    heading="A fitting",
    steps={
        "1 sizes": new("geom/data/parts/distance_piece.csv", SIZES),
        "2 shape": new("geom/parts/families/distance_piece.py", SHAPE),
        "3 catalogue": both(
            added(
                "geom/parts/catalogue.py",
                "from geom.parts.families.distance_piece import DistancePieceSpec\n",
                before="from geom.parts.families.eyes",
            ),
            added(
                "geom/parts/catalogue.py",
                '    "distance_piece": DistancePieceSpec,\n',
                before='    "sleeve": SleeveSpec',
            ),
        ),
        "4 word": added(
            "geom/data/fitting_families.csv",
            'distance piece,none,no,pins,none,distance_piece,"common practice, no source",bar between two pins\n',
        ),
        "5 maker": both(
            added(
                "geom/solids/fittings.py",
                "from geom.parts.families.distance_piece import DistancePieceSpec\n",
                before="from geom.parts.families.envelope",
            ),
            added(
                "geom/solids/fittings.py",
                "def _distance_piece(fitting: Fitting, _: Link) -> tuple[Member, ...]:\n"
                '    """Return a distance piece from pin to pin."""\n'
                "    length = fitting.length.planned\n"
                '    stated = {"length": (length, BOAT_FILE)}\n'
                '    spec, said = sized(DistancePieceSpec, "distance_piece", sizes("distance_piece")[0], stated)\n'
                '    return (Member(f"distance piece {length:g} ({GENERIC})", spec, Frame(), sources=said),)\n\n\n',
                before="# The leading shape of a family",
            ),
            added(
                "geom/solids/fittings.py", '    "distance_piece": _distance_piece,\n', before='    "toggle": _toggle,'
            ),
        ),
        "6 boat": both(
            added(
                "tests/fixtures/all-families.yaml",
                "  bar piece: {family: distance piece, length: {planned: 20}}\n",
                before="runs:\n",
            ),
            lambda tree: replaced(tree / "tests/fixtures/all-families.yaml", "[ring]", "[ring, bar piece]"),
        ),
    },
    checks=(
        "tests/test_registers.py",
        "tests/test_parts_families.py",
        "-k",
        "every_family or every_shape or made_of or table_of_sizes or distance",
    ),
    missing={
        "1 sizes": "distance_piece.csv",
        "2 shape": "No module named 'geom.parts.families.distance_piece'",
        "3 catalogue": "test_every_table_of_sizes_has_its_family",
        "4 word": "shapes that no family row names in its column drawn_as",
        "5 maker": "row 'distance piece': drawn_as 'distance_piece' is no shape that can be drawn",
        "6 boat": "fitting families that no run of all-families has",
    },
)

END = Recipe(
    heading="An end of a line",
    steps={
        "1 row": added(
            "geom/data/end_families.csv",
            'seized eye,width,no,sewn,,,needle and twine,envelope,"common practice, no source",eye held by a seizing\n',
        ),
        "2 boat": both(
            added(
                "tests/fixtures/all-families.yaml",
                "  seized: {family: seized eye, width: 15, throat_to_pin: 30}\n",
                before="  plain: {family: plain end}\n",
            ),
            lambda tree: replaced(tree / "tests/fixtures/all-families.yaml", "end: plain}", "end: seized}", 1),
        ),
    },
    checks=("tests/test_registers.py", "-k", "every_family or end_is_made"),
    missing={
        "1 row": "ends.seized.family: unknown family",
        "2 boat": "end families that stand at no end of tests/fixtures/all-families",
    },
)

SHEET = Recipe(
    heading="A sheet",
    steps={
        "1 folder": both(
            new("geom/sheets/tally/__init__.py", '"""The tally sheet: how many posts and lines there are."""\n'),
            new("geom/sheets/tally/text.py", '"""Words of the tally."""\n\nPOSTS = "{count} posts"\n'),
            new(
                "geom/sheets/tally/sheet.py",
                '"""The tally of a boat."""\n\nfrom __future__ import annotations\n\n'
                "from geom.drafting.paper import papers\nfrom geom.drafting.sheet import Draft\n"
                "from geom.figure import Text\nfrom geom.refit import Refit\n"
                "from geom.sheets.tally import text as words\n\n\n"
                "def tally(refit: Refit) -> tuple[Draft, ...]:\n"
                '    """Return the tally of a boat."""\n'
                "    said = words.POSTS.format(count=len(refit.boat.posts))\n"
                "    paper = papers(refit.boat.drawing.sheets, minimum=1)[0]\n"
                '    items = (Text((60.0, 200.0), said, 2.5, "NOTE", tag="tally:posts"),)\n'
                '    return (Draft("A9", "tally", "tally", "Tally", paper, "none", items),)\n',
            ),
        ),
        "2 place": both(
            added(
                "geom/sheets/__init__.py",
                "from geom.sheets.tally.sheet import tally\n",
                before="\n# Each makes one sheet",
            ),
            lambda tree: replaced(tree / "geom/sheets/__init__.py", "making_log,\n)", "making_log, tally,\n)"),
        ),
        "3 read back": both(
            new(
                "tests/test_sheets_tally.py",
                '"""The tally read back."""\n\nfrom geom.drafting.sheet import finish\n'
                "from geom.sheets.tally.sheet import tally\nfrom tests.boats import refit_of\n"
                "from tests.sheet_texts import texts_of\n\n\n"
                "def test_tally():\n"
                '    boat = refit_of("first-try")\n'
                "    sheets = tuple(finish(boat, draft, 1) for draft in tally(boat))\n"
                '    assert texts_of(sheets)["tally:posts"] == f"{len(boat.boat.posts)} posts"\n',
            ),
            added(
                "tests/test_registers.py",
                '    "tally": "test_sheets_tally.py",\n',
                before='    "order_list": "test_sheets',
            ),
        ),
    },
    checks=("tests/test_registers.py", "tests/test_sheets_tally.py", "-k", "(sheet and not format) or tally"),
    missing={
        "1 folder": "No module named 'geom.sheets.tally'",
        "2 place": "READ_BACK names makers that are not in SHEETS",
        "3 read back": "no test reads the sheets of tally back",
    },
)

FORMAT = Recipe(
    heading="An output format",
    steps={
        "1 writer": new(
            "geom/render/strokes.py",
            '"""A sheet as a list of its strokes."""\n\nfrom __future__ import annotations\n\n'
            "from geom.figure import Sheet\nfrom geom.render.explode import explode\n\n\n"
            "def strokes_bytes(sheet: Sheet) -> bytes:\n"
            '    """Return a sheet as lines of text, a shape a line."""\n'
            "    shapes = [shape for group in explode(sheet) for shape in group.items]\n"
            '    return "\\n".join(map(repr, shapes)).encode("utf-8")\n',
        ),
        "2 register": both(
            added(
                "geom/render/formats.py",
                "def _strokes(sheets: Sequence[Sheet], _: Setting) -> bytes:\n"
                "    from geom.render.strokes import strokes_bytes\n\n    return strokes_bytes(sheets[0])\n\n\n",
                before="def _for_cad",
            ),
            added(
                "geom/render/formats.py",
                '        Format("strokes", ".strokes", "a list of strokes", "each sheet", _strokes, is_usual=False),\n',
                before='        Format("pdf"',
            ),
        ),
        "3 readme": lambda tree: replaced(tree / "README.md", "`plain` or `pdf`", "`plain`, `strokes` or `pdf`"),
    },
    checks=("tests/test_registers.py", "-k", "writer or endings or by_name or readme or strokes"),
    missing={
        "1 writer": "No module named 'geom.render.strokes'",
        "2 register": "writers in no format",
        "3 readme": "test_every_format_is_in_the_readme",
    },
)
# A run of the checks starts an interpreter of its own on a copy of the tree.
pytestmark = pytest.mark.slow
RECIPES = (RULE, FITTING, END, SHEET, FORMAT)
# Without what they do not need, the checks of a copy start sooner.
_WITHOUT = ("-p", "no:cacheprovider", "-p", "no:xdist", "-p", "no:hypothesispytest")


def replaced(path: Path, old: str, text: str, times: int = -1) -> None:
    """Put a text in the place of another one in a file."""
    found = path.read_text("utf-8")
    assert old in found, f"{old!r} does not stand in {path.name}"
    path.write_text(found.replace(old, text, times), "utf-8")


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    for name in COPIED:
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("node_modules"))
    for name in PAGES:
        shutil.copy(ROOT / name, tmp_path / name)
    return tmp_path


def checked(tree: Path, checks: tuple[str, ...]) -> subprocess.CompletedProcess[str]:
    """Run some checks of a copy, on the copy's own code."""
    there = [word for word in checks if not word.startswith("tests/") or (tree / word).exists()]
    command = [sys.executable, "-m", "pytest", "-q", "-W", "ignore", *_WITHOUT, *there]
    env = {**os.environ, "PYTHONPATH": str(tree), "PYTHONDONTWRITEBYTECODE": "1", "COLUMNS": "300"}
    return subprocess.run(command, cwd=tree, env=env, capture_output=True, text=True)


@pytest.mark.parametrize("recipe", RECIPES, ids=lambda recipe: recipe.heading)
def test_a_recipe_is_complete(recipe: Recipe, tree: Path) -> None:
    for step in recipe.steps.values():
        step(tree)
    done = checked(tree, recipe.checks)
    assert done.returncode == 0, done.stdout[-3000:]


@pytest.mark.parametrize(
    ("recipe", "left_out"),
    [(recipe, name) for recipe in RECIPES for name in recipe.steps],
    ids=lambda value: value.heading if isinstance(value, Recipe) else value,
)
def test_a_step_that_is_left_out_is_named(recipe: Recipe, left_out: str, tree: Path) -> None:
    for name, step in recipe.steps.items():
        if name != left_out:
            step(tree)
    done = checked(tree, recipe.checks)
    assert done.returncode not in (0, 5), "no check fails"
    assert recipe.missing[left_out] in done.stdout, done.stdout[-3000:]


def test_the_page_has_the_steps_that_are_followed_here() -> None:
    page = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    recipes = page[page.index("## Recipes") : page.index("## Checks")]
    for recipe in RECIPES:
        found = re.search(rf"- \*\*{recipe.heading}\.\*\* (.*?)(?=\n- \*\*)", recipes, re.DOTALL)
        assert found, recipe.heading
        numbers = re.findall(r"^  (\d)\. ", found[1], re.MULTILINE)
        assert numbers == [name.split()[0] for name in recipe.steps], recipe.heading
        assert all(check in found[1] for check in recipe.checks if check.startswith("tests/") and "tally" not in check)
