"""Commands for the bench, without a boat file: eye, splice."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated, Any, get_args

import typer

from geom.cli.app import app, guarded
from geom.errors import Fault, InputError

if TYPE_CHECKING:
    from geom.placement.eyes import EyeVerdict


@app.command()
@guarded
def eye(
    line: Annotated[str, typer.Option("--line", help='Diameter of the rope or wire, such as "1/4 in".')],
    hole: Annotated[str, typer.Option("--hole", help='Smallest hole on the way, such as "1/2 in".')],
    width: Annotated[str | None, typer.Option("--width", help="Width of a hard end: stud, terminal, sleeve.")] = None,
    thimble: Annotated[
        str | None, typer.Option("--thimble", help="Width of the thimble in a spliced eye: both ways are checked.")
    ] = None,
    bush: Annotated[str | None, typer.Option("--bush", help="Wall of a bush in the hole.")] = None,
    strict: Annotated[bool, typer.Option("--strict", help="Count `trial` as failing.")] = False,
) -> None:
    """Check whether a finished end goes through a hole."""
    from geom.placement.edges import min_edge_radius
    from geom.placement.eyes import bare_eye, by_width, limits, new_rope

    if width is not None and thimble is not None:
        raise InputError("arguments", [Fault("a hard end or a thimble", "--thimble", valid="one of the two")])
    diameter, whole = _length("--line", line), _length("--hole", hole)
    bore = whole if bush is None else whole - 2.0 * _length("--bush", bush)
    if bore <= 0.0:
        raise InputError(
            "arguments", [Fault("leaves no bore", "--bush", read=bush or "", valid="less than half the hole")]
        )
    rule = limits(None)
    if width is not None:
        answers = [("", by_width(bore, diameter, _length("--width", width), rule))]
    elif thimble is not None:
        hard = by_width(bore, diameter, _length("--thimble", thimble), rule)
        answers = [("on its thimble: ", hard), (_THIMBLE_AFTER, bare_eye(bore, diameter, rule))]
    else:
        answers = [("", bare_eye(bore, diameter, rule))]
    for label, answer in answers:
        _print_answer(label, answer, whole, diameter)
    if width is None:
        oversize = new_rope()
        larger = oversize.value * diameter
        sure = oversize.source.partition(":")[0]
        _print_change(f"new rope, up to {larger:.2f} mm ({sure})", bare_eye(bore, larger, rule))
        if bush is None:
            wall = min_edge_radius()
            if whole > 2.0 * wall:
                lined = bare_eye(whole - 2.0 * wall, diameter, rule)
                _print_change(f"in a bush of {wall:g} mm wall, bore {whole - 2.0 * wall:.2f} mm", lined)
    if not any(_passes(answer.verdict, strict) for _, answer in answers):
        raise typer.Exit(1)


_THIMBLE_AFTER = "bare eye drawn through, open thimble put in afterwards: "


def _print_answer(label: str, answer: EyeVerdict, hole: float, diameter: float) -> None:
    from geom.words import worded

    print(f"{label}{answer.verdict}: {_EYE_ADVICE[answer.verdict]}")
    bore = f"hole {hole:.2f} mm" if answer.has == hole else f"hole {hole:.2f} mm, bore {answer.has:.2f} mm"
    ratio = f"D/d {answer.has:.2f} / {diameter:.2f} = {answer.has / diameter:.2f}"
    print(f"  {bore}, {ratio}, needed {answer.needs:.2f} mm ({worded((answer.factor, answer.source))})")


def _print_change(what: str, answer: EyeVerdict) -> None:
    print(f"{what}: {answer.verdict}: {_EYE_ADVICE[answer.verdict]}")


def _passes(verdict: str, strict: bool) -> bool:
    return verdict in ("passes", "squeeze") or (verdict == "trial" and not strict)


_EYE_ADVICE = {
    "passes": "make the end on the bench and draw it through",
    "squeeze": "make the end on the bench; it goes through compressed, drawn by a messenger line",
    "trial": "make the eye on board, unless a test piece has gone through",
    "in place": "thread the line first and make the end on board",
    "line does not pass": "the line itself is thicker than the hole",
}


def _length(option: str, text: str) -> float:
    from geom.units import QuantityError, read_number, read_quantity

    valid = "with its unit: 12.7 mm, 1/2 in"
    if read_number(text) is not None:
        raise InputError("arguments", [Fault("a number without a unit", option, read=text, valid=valid)])
    try:
        value = read_quantity(text, "length", None)[0]
    except QuantityError as error:
        raise InputError("arguments", [Fault(str(error), option, read=text, valid=error.valid)]) from None
    if value <= 0.0:
        raise InputError("arguments", [Fault("must be greater than zero", option, read=text, valid="such as 12.7 mm")])
    return value


@app.command()
@guarded
def splice(
    line: Annotated[str, typer.Option("--line", help='Diameter of the rope, such as "1/4 in".')],
    strands: Annotated[int, typer.Option("--strands", help="Number of strands of the braid.")],
    girth: Annotated[str, typer.Option("--girth", help="Rope round the fitting, throat to throat.")],
    rule: Annotated[str, typer.Option("--rule", help="Published length of the bury.")] = "72 d",
    taper: Annotated[str, typer.Option("--taper", help="Taper of the tail.")] = "strand by strand",
    lock: Annotated[str, typer.Option("--lock", help="Lock that holds the splice at rest.")] = "locked Brummel",
    throat: Annotated[str | None, typer.Option("--throat", help="Length of the eye, throat to pin.")] = None,
    pin: Annotated[str | None, typer.Option("--pin", help="Diameter of the pin in the eye.")] = None,
    strict: Annotated[bool, typer.Option("--strict", help="Count a warning as failing.")] = False,
) -> None:
    """Print the marks of one eye splice."""
    from rich import box
    from rich.console import Console
    from rich.table import Table

    from geom.boat import line_model
    from geom.rigging.splice import splice_recipe
    from geom.tables import cells, splices
    from geom.units import LengthFormat
    from geom.words import worded

    recipe = splice_recipe(
        _length("--line", line),
        strands,
        _length("--girth", girth),
        rule=_word("--rule", rule, line_model.SpliceRule),
        taper=_word("--taper", taper, line_model.Taper),
        lock=_word("--lock", lock, line_model.Lock),
        throat_to_pin=None if throat is None else _length("--throat", throat),
        pin=None if pin is None else _length("--pin", pin),
    )
    marks, table = splices.splice(recipe), Table(box=box.SIMPLE_HEAD)
    for column in marks.columns:
        right = column.heading in ("mm", "in")
        table.add_column(column.heading, justify="right" if right else "left", no_wrap=column.heading != "note")
    for row in cells(marks, LengthFormat()):
        table.add_row(*row)
    Console(width=None if sys.stdout.isatty() else 120, highlight=False).print(table)
    for warning in recipe.warnings:
        print(f"warning: {worded(warning)}")
    for source in recipe.sources:
        print(f"source: {worded(source)}")
    print("Make one trial splice in the same rope and load it before cutting the run.")
    print("Take the strength from the certificate of the rope, not from its diameter.")
    if strict and recipe.warnings:
        raise typer.Exit(1)


def _word(option: str, text: str, words: Any) -> Any:
    valid = get_args(words)
    if text not in valid:
        fault = Fault("unknown value", option, read=text, valid=", ".join(valid))
        raise InputError("arguments", [fault])
    return text
