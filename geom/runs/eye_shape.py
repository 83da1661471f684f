"""A finished eye against its pin and its thimble: length to pin, pin to rope, whether a thimble goes in."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import LineEnd
from geom.data import table


@dataclass(frozen=True)
class EyeShape:
    """Ratios of an eye, None where a measure is missing: its length to the pin, the pin to the rope.

    `kept` is False where a least ratio is not reached, None where it cannot be told.
    """

    length_over_pin: float | None
    pin_over_rope: float | None
    kept: bool | None
    warnings: tuple[str, ...]


def eye_shape(rope: float, throat_to_pin: float | None, pin: float | None) -> EyeShape:
    """Return how an eye suits its pin.

    Source: data/splice_practice.csv, keys eye_over_pin and pin_over_rope.

    Args:
        rope: diameter [mm].
        throat_to_pin: length of the eye, throat to where the pin bears [mm].
        pin: diameter that the eye bears on [mm].
    """
    if pin is None:
        return EyeShape(None, None, None, ("eye against pin: cannot tell, no pin diameter is stated",))
    over_rope = pin / rope
    over_pin = None if throat_to_pin is None else throat_to_pin / pin
    warnings = [*_against("pin", over_rope, "rope diameters", "pin_over_rope")]
    if over_pin is None:
        warnings.append("eye against pin: cannot tell, the eye's length is not given")
    else:
        warnings += _against("eye length", over_pin, "pin diameters", "eye_over_pin")
    least_kept = over_rope >= _limit("pin_over_rope_least")
    kept = None if over_pin is None else least_kept and over_pin >= _limit("eye_over_pin_least")
    return EyeShape(over_pin, over_rope, kept if least_kept else False, tuple(warnings))


def _limit(key: str) -> float:
    return table.datum("splice_practice", key=key).value


def _against(what: str, ratio: float, unit: str, key: str) -> list[str]:
    least = table.datum("splice_practice", key=f"{key}_least")
    preferred = table.datum("splice_practice", key=f"{key}_preferred")
    if ratio < least.value:
        return [f"{what} is {ratio:.2f} {unit}, at least {least.value:g} wanted ({least.source})"]
    if ratio < preferred.value:
        return [f"{what} is {ratio:.2f} {unit}, {preferred.value:g} preferred ({preferred.source})"]
    return []


def thimble_goes_in(end: LineEnd) -> tuple[bool | None, str]:
    """Tell whether a thimble goes into this end's finished eye, and why; None where it cannot be told.

    Source: reasoning on what is recorded of bare eyes drawn through holes; common practice, no source.
    """
    thimble = end.thimble
    if thimble is None:
        return None, "no thimble is stated"
    if thimble.pattern == "closed":
        return False, "the thimble's pattern is closed: it goes in before the eye is made"
    if end.rope_round is None:
        return None, "the rope round the eye is not given"
    if end.rope_round < thimble.girth:
        return False, f"the eye takes {end.rope_round:g} mm and the thimble wants {thimble.girth:g} mm"
    return True, f"open pattern, and the eye's {end.rope_round:g} mm take its {thimble.girth:g} mm"
