"""Seeded odd boats: whole in their grammar, odd in their shape; most are legal, some cannot be made."""

from __future__ import annotations

import json
import random
from typing import Any

from tests.random_boats import random_data


def odd_boat(seed: int) -> bytes:
    """Return a random boat file with a few oddities, the same ones for the same seed."""
    chance = random.Random(f"odd {seed}")
    loa = chance.uniform(4000.0, 40000.0)
    # Posts at least 0.4 m apart over the three fifths of a boat that have them.
    posts = chance.randint(3, min(40, max(3, int(0.62 * loa / 400.0))))
    data = random_data(seed, loa, posts) if chance.random() < 0.5 else random_data(seed)
    for _ in range(chance.randint(1, 3)):
        chance.choice(ODDITIES)(data, chance)
    return json.dumps(data, indent=1).encode("utf-8")


def _attitude(data: dict[str, Any], chance: random.Random) -> None:
    lean, rake = chance.uniform(-45.0, 45.0), chance.uniform(-45.0, 45.0)
    for post in data["posts"]:
        post |= {"lean": f"{lean:.1f}", "rake": f"{rake:.1f}"}


def _one_leaning_post(data: dict[str, Any], chance: random.Random) -> None:
    post = chance.choice(data["posts"])
    post |= {"lean": f"{chance.uniform(-45.0, 45.0):.1f}", "rake": f"{chance.uniform(-45.0, 45.0):.1f}"}


def _one_post_a_side(data: dict[str, Any], chance: random.Random) -> None:
    """Keep a few posts of each side and lead every run from rail to rail through them."""
    count = chance.randint(1, 2)
    kept = {side: [post["id"] for post in data["posts"] if post["id"][0] == side][:count] for side in "SP"}
    data["posts"] = [post for post in data["posts"] if post["id"] in kept[post["id"][0]]]
    data["gates"] = []
    levels = sorted({eye["id"][-1] for eye in data["eyes"]})
    data["runs"] = [
        {
            "id": f"{side}-F-{level}",
            "line": "guard line",
            "start": {"eye": f"{side}-PULPIT-{level}", "end": "eye end"},
            "through": kept[side],
            "finish": {"eye": f"{side}-PUSHPIT-{level}", "end": "eye end"},
        }
        for side in "SP"
        for level in levels
    ]


def _long_names(data: dict[str, Any], chance: random.Random) -> None:
    data["boat"]["name"] = "W" * chance.randint(20, 60)
    data["drawing"]["owner"] = "W" * 40
    data["revision"] |= {"by": "W" * 60, "note": "W" * 60}
    text = json.dumps(data)
    for side in "SP":
        for number in range(1, 12):
            text = text.replace(f'"{side}-S{number}"', f'"{side}-WWWW{number:02d}"')
    data.update(json.loads(text))


def _holes(data: dict[str, Any], chance: random.Random) -> None:
    length = data["units"]["length"]
    for post in data["posts"]:
        for hole in post["holes"].values():
            size = chance.uniform(4.0, 24.0)
            hole["planned"] = {"diameter": f"{size / 25.4:.3f}" if length == "in" else f"{size:.1f}"}


def _thick_line(data: dict[str, Any], chance: random.Random) -> None:
    size = chance.choice((1.0, 3.0, 14.0, 30.0))
    data["lines"]["guard line"]["diameter"] = f"{size:.1f} mm"


def _long_fittings(data: dict[str, Any], chance: random.Random) -> None:
    planned = chance.choice((0, 1, 300, 3000))
    data["fittings"]["lashing"]["length"] = {"planned": f"{planned} mm"}
    data["ends"]["eye end"] |= {"throat_to_pin": "300 mm", "eye_girth": f"{chance.choice((600, 2000))} mm"}


ODDITIES = (_attitude, _one_leaning_post, _one_post_a_side, _long_names, _holes, _thick_line, _long_fittings)
