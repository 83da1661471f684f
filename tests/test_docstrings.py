"""Docstrings of public functions: arguments, units, errors; and identifiers that no longer occur."""

from __future__ import annotations

import ast
import inspect
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
import typer

import geom
from geom import cli, errors

ROOT = Path(geom.__file__).parent

# Rooms whose docstrings are still incomplete: a path below geom, a folder or a file. Strike a line off when it is done.
EXEMPT = (
    "purchasing/",
    "rules/",
    "sheets/line_sheets/",
)

FORBIDDEN = frozenset({"told", "asked", "how", "resting", "Trouble", "fold_share", "link_shares", "to_buy", "solve3"})

# A unit in brackets, a unit word, a dimensionless quantity or a type that carries its unit.
UNIT = re.compile(
    r"\[[^\]]*(?:mm|\bN\b|rad|deg|MPa|kg|g/m|em|unit)[^\]]*\]"
    r"|\b(?:mm|millimetres?|radians?|degrees?|newtons?|shares?|ratio|factor|per cent|dimensionless)\b"
)
OWN_ERRORS = frozenset(
    name for name, value in vars(errors).items() if inspect.isclass(value) and issubclass(value, errors.ToerailError)
) | {"QuantityError"}
SECTIONS = ("Args:", "Returns:", "Raises:", "Yields:")


@dataclass(frozen=True)
class PublicFunction:
    """A public function or method with its place."""

    place: str
    node: ast.FunctionDef

    @property
    def docstring(self) -> str:
        """The docstring, cleaned of its indentation."""
        return ast.get_docstring(self.node) or ""

    @property
    def parameters(self) -> list[ast.arg]:
        """Every parameter but self and cls."""
        arguments = self.node.args
        listed = [*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs]
        listed += [each for each in (arguments.vararg, arguments.kwarg) if each is not None]
        return [each for each in listed if each.arg not in ("self", "cls")]


def module_paths() -> list[Path]:
    return sorted(ROOT.rglob("*.py"))


def is_exempt(path: Path) -> bool:
    return path.relative_to(ROOT).as_posix().startswith(EXEMPT)


def public_functions(path: Path) -> Iterator[PublicFunction]:
    """Yield the public functions of a module and the public methods of its public classes."""

    def walk(body: list[ast.stmt], prefix: str) -> Iterator[PublicFunction]:
        for node in body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                yield from walk(node.body, f"{prefix}{node.name}.")
            elif isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                yield PublicFunction(f"{prefix}{node.name}", node)

    module = path.relative_to(ROOT.parent).as_posix()
    yield from walk(ast.parse(path.read_text("utf-8")).body, f"{module}: ")


def arguments_named(docstring: str) -> list[str]:
    """Return the names in the Args section of a docstring, in its order."""
    lines = inspect.cleandoc(docstring).splitlines()
    if "Args:" not in lines:
        return []
    names = []
    for line in lines[lines.index("Args:") + 1 :]:
        if line.strip() in SECTIONS:
            break
        match = re.match(r"    \*{0,2}(\w+)(?: \([^)]*\))?: ", line)
        if match:
            names.append(match.group(1))
    return names


def is_float(annotation: ast.expr | None) -> bool:
    """Return whether an annotation is a plain float; types such as Mm or Rad carry their unit."""
    return annotation is not None and ast.unparse(annotation) in ("float", "float | None")


def errors_raised(function: ast.FunctionDef) -> set[str]:
    """Return the names of our errors that a function raises in its own body."""
    raised = set()
    for node in ast.walk(function):
        if isinstance(node, ast.Raise) and node.exc is not None:
            target = node.exc.func if isinstance(node.exc, ast.Call) else node.exc
            name = target.attr if isinstance(target, ast.Attribute) else getattr(target, "id", "")
            if name in OWN_ERRORS:
                raised.add(name)
    return raised


def is_command(function: ast.FunctionDef) -> bool:
    """Return whether a function is a command: its docstring is its help text, and each option has its own."""
    return any(ast.unparse(each).startswith(("app.command(", "app.callback(")) for each in function.decorator_list)


def problems(function: PublicFunction) -> list[str]:
    """Return what a public function's docstring lacks."""
    docstring = function.docstring
    if not docstring:
        return ["no docstring"]
    if is_command(function.node):
        return []
    found = []
    parameters = [each.arg for each in function.parameters]
    named = arguments_named(docstring)
    if (len(parameters) >= 3 or named) and sorted(named) != sorted(parameters):
        found.append(f"Args names {named}, parameters are {parameters}")
    quantities = [each.arg for each in function.parameters if is_float(each.annotation)]
    quantities += ["the value returned"] if is_float(function.node.returns) else []
    if quantities and not UNIT.search(docstring):
        found.append(f"no unit for {', '.join(quantities)}")
    missing = [name for name in sorted(errors_raised(function.node)) if f"{name}:" not in docstring]
    if missing:
        found.append(f"Raises does not name {', '.join(missing)}")
    return found


def identifiers(tree: ast.AST) -> Iterator[tuple[str, int]]:
    """Yield every name, attribute, parameter, keyword, definition and alias of a module, with its line."""
    for node in ast.walk(tree):
        line = getattr(node, "lineno", 0)
        if isinstance(node, ast.Name):
            yield node.id, line
        elif isinstance(node, ast.Attribute):
            yield node.attr, line
        elif isinstance(node, (ast.arg, ast.keyword)) and node.arg is not None:
            yield node.arg, line
        elif isinstance(node, (ast.FunctionDef, ast.ClassDef)):
            yield node.name, line
        elif isinstance(node, ast.alias):
            for part in node.name.split("."):
                yield part, line
            if node.asname is not None:
                yield node.asname, line


@pytest.mark.parametrize("path", [path for path in module_paths() if not is_exempt(path)], ids=lambda path: path.name)
def test_public_docstrings_are_complete(path: Path) -> None:
    found = [f"{each.place}: {problem}" for each in public_functions(path) for problem in problems(each)]
    assert not found, "\n".join(found)


def test_every_command_and_option_has_a_help_text() -> None:
    commands = typer.main.get_command(cli.app)
    found = [commands, *vars(commands)["commands"].values()]
    assert len(found) > 10
    for command in found:
        assert command.help, command.name
        for parameter in command.params:
            assert getattr(parameter, "help", None), f"{command.name} {parameter.name}"


def test_every_exempt_room_exists() -> None:
    for room in EXEMPT:
        paths = [path for path in module_paths() if path.relative_to(ROOT).as_posix().startswith(room)]
        assert paths, f"{room} does not exist"


def test_no_forbidden_identifier_occurs() -> None:
    found = [
        f"{path.relative_to(ROOT.parent)}:{line}: {name}"
        for path in module_paths()
        for name, line in identifiers(ast.parse(path.read_text("utf-8")))
        if name in FORBIDDEN
    ]
    found += [str(path) for path in module_paths() if path.stem in FORBIDDEN]
    assert not found, "\n".join(found)


SAMPLE = '''
def pull(start: float, end: float, count: int) -> float:
    """{}"""
    raise GeometryError("too short")
'''
COMPLETE = """Return the pull [N].

    Args:
        start: of the line [mm].
        end: of the line [mm].
        count: of parts.

    Raises:
        GeometryError: the line is too short.
    """


@pytest.mark.parametrize(
    ("docstring", "expected"),
    [
        (COMPLETE, []),
        (COMPLETE.replace("count: of parts", "parts: of it"), ["Args names"]),
        (COMPLETE.replace("[mm]", "").replace("[N]", ""), ["no unit"]),
        (COMPLETE.replace("GeometryError: the", "The"), ["Raises does not name"]),
        ("Return the pull.", ["Args names", "no unit", "Raises does not name"]),
        ("", ["no docstring"]),
    ],
)
def test_the_check_finds_each_gap(docstring: str, expected: list[str]) -> None:
    node = ast.parse(SAMPLE.format(docstring)).body[0]
    assert isinstance(node, ast.FunctionDef)
    found = problems(PublicFunction("sample", node))
    assert len(found) == len(expected)
    assert all(problem.startswith(start) for problem, start in zip(found, expected, strict=True))


def test_the_list_of_identifiers_sees_every_kind() -> None:
    source = "import a.told as b\nx.asked = how\ndef f(resting): g(to_buy=1)\nclass Trouble: ..."
    names = {name for name, _ in identifiers(ast.parse(source))}
    assert {"told", "asked", "how", "resting", "to_buy", "Trouble"} <= names
