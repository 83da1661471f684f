"""Tensions, forces and deflections of the push test as the sheets letter them."""

from __future__ import annotations

from dataclasses import replace

from geom.mechanics.person_load import STANDARD_GRAVITY
from geom.mechanics.push_test import PushDeflection
from geom.mechanics.tension import RunTension
from geom.refit import Refit
from geom.sheets.setting import text as words
from geom.tables import numbers
from geom.tables.push_cases import forces
from geom.units import LengthFormat, decimal, in_unit, pounds_force, raised


def deflection_text(deflection: PushDeflection, fmt: LengthFormat) -> str:
    """Return the deflection expected at the set tension as a tape shows it: `20 to 50`; the maximum alone: `to 50`."""
    if deflection.maximum is None:
        return words.NOT_DETERMINED
    # In tenths of an inch 1.96 would be over a limit of 1.97.
    coarse = fmt if fmt.unit == "in" else replace(fmt, decimals=fmt.decimals - 1)
    return words.FROM_TO[deflection.minimum is None].format(
        minimum=length(deflection.minimum, coarse), maximum=length(deflection.maximum, coarse)
    )


def push_named(refit: Refit) -> str:
    """Return the push of the test as a weight with its force: `4.00 kg (39.2 N)`, on inch sheets in pounds."""
    return weight_named(forces(refit)[0].value, numbers(refit.boat))


def weight_named(force: float, fmt: LengthFormat) -> str:
    """Return a force [N] as the weight that gives it at standard gravity, with the force."""
    mass = force / STANDARD_GRAVITY
    pounds = in_unit(mass * 1000.0, "lb", "mass")
    newtons = decimal(force, 1).removesuffix(".0")
    return words.WEIGHED[fmt.unit].format(newton=newtons, kg=decimal(mass, 2), lb=decimal(pounds, 1))


def force_text(newtons: float, fmt: LengthFormat) -> str:
    """Return a force as text for a list: N, or on inch sheets lbf with N in brackets.

    Args:
        newtons: the force [N].
        fmt: length format of the sheet.
    """
    whole = decimal(newtons, 0)
    return whole if fmt.unit == "mm" else f"{pounds_force(newtons)} [{whole}]"


def tension_text(newtons: float, fmt: LengthFormat) -> str:
    """Return a tension that meets a limit as text for a list: as a force, but rounded up.

    Args:
        newtons: the min tension that meets the limit [N].
        fmt: length format of the sheet.
    """
    whole = raised(newtons, 0)
    return whole if fmt.unit == "mm" else f"{pounds_force(float(whole), up=True)} [{whole}]"


def tension_named(newtons: float, fmt: LengthFormat) -> str:
    """Return a tension that meets a limit [N] as text with its unit, rounded up: `349 N`, `79 lbf [349 N]`."""
    whole = raised(newtons, 0)
    return f"{whole} N" if fmt.unit == "mm" else f"{pounds_force(float(whole), up=True)} lbf [{whole} N]"


def force_named(newtons: float, fmt: LengthFormat) -> str:
    """Return a force [N] as text with its unit: `348 N`, on inch sheets `78 lbf [348 N]`."""
    whole = f"{decimal(newtons, 0)} N"
    return whole if fmt.unit == "mm" else f"{pounds_force(newtons)} lbf [{whole}]"


def set_text(tensions: RunTension, fmt: LengthFormat) -> str:
    """Return the set tension of a run as text for a list: as stated, a recommended one or one in lbf rounded up."""
    if tensions.stated and fmt.unit == "in":
        return f"{pounds_force(tensions.set_tension, up=True)} [{decimal(tensions.set_tension, 0)}]"
    return (force_text if tensions.stated else tension_text)(tensions.set_tension, fmt)


def set_named(tensions: RunTension, fmt: LengthFormat) -> str:
    """Return the set tension of a run as text with its unit, rounded as `set_text`."""
    if tensions.stated and fmt.unit == "in":
        return f"{pounds_force(tensions.set_tension, up=True)} lbf [{decimal(tensions.set_tension, 0)} N]"
    return (force_named if tensions.stated else tension_named)(tensions.set_tension, fmt)


def length(value: float | None, fmt: LengthFormat) -> str:
    """Return a length [mm] as text; empty where it is not stated."""
    return "" if value is None else fmt.figure(value)
