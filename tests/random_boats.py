"""Seeded boats of many shapes, every one valid: what the sheets must hold beside the demonstration boats.

6 to 16 m, 3 to 11 posts a side, one to three levels, raked and leaning, port and starboard apart, with
and without gates, holes as found and as planned, ISO and ANSI sheets, millimetres and inches.
"""

from __future__ import annotations

import json
import random
from functools import cache
from typing import Any

from geom.boat.file import LoadedBoat, read_boat
from geom.refit import Refit, refit

LEVELS: dict[int, tuple[str, ...]] = {1: ("U",), 2: ("U", "L"), 3: ("U", "M", "L")}
# Seeds of the odd ones: the shortest, with most posts for its length, the longest of three levels on ANSI sheets, most
# posts on one side with three levels, and eleven a side without a gate, in inches on ISO sheets.
ODD = (15, 86, 8, 3, 21)
# Share of the upper hole's height for each level.
_SHARES = {"U": 1.0, "M": 0.68, "L": 0.4}


@cache
def random_refit(seed: int) -> Refit:
    """Return a random boat worked out."""
    return refit(random_boat(seed))


@cache
def random_boat(seed: int) -> LoadedBoat:
    """Return a random boat read through the file's own grammar."""
    return read_boat(json.dumps(random_data(seed)).encode("utf-8"), f"random boat {seed}")


def random_data(seed: int, loa: float | None = None, posts: int | None = None) -> dict[str, Any]:
    """Return the data of a random boat file.

    Args:
        seed: of its shape.
        loa: length over all [mm], random where None.
        posts: on either side, random where None.
    """
    chance = random.Random(seed)
    inches = chance.random() < 0.3
    by_chance = chance.uniform(6000.0, 16000.0)
    loa = by_chance if loa is None else loa
    beam = loa * chance.uniform(0.28, 0.38)
    levels = LEVELS[chance.randint(1, 3)]
    # Rails take a fifth of the boat at either end; posts keep half a metre from each other.
    maximum = min(11, int(loa * 0.62 / 560.0))
    make = _Maker(chance, loa, beam, levels, inches)
    sides = [make.side(side, posts or chance.randint(3, max(3, maximum))) for side in "SP"]
    data = {
        "format": "2",
        "units": {"length": "in" if inches else "mm", "angle": "deg"},
        "axes": {"origin": ["0", "0", "0"], "x": "aft", "y": "starboard", "z_zero": "design waterline"},
        "boat": {
            "name": f"RANDOM {seed}",
            "loa": make.length(loa),
            "hull_length": make.length(loa * 0.98),
            "beam": make.length(beam),
            "hulls": "mono",
        },
        "survey": chance.choice(["as measured", "as designed"]),
        "revision": {"mark": "A", "date": "2026-03-01", "by": "survey", "note": "first issue"},
        "drawing": {"sheets": "ANSI" if inches and chance.random() < 0.7 else "ISO"},
        "deck_edge": {"starboard": make.edge("S"), "port": make.edge("P")},
        "tubes": make.tubes,
        "posts": [post for posts, _, _, _ in sides for post in posts],
        "eyes": [eye for _, eyes, _, _ in sides for eye in eyes],
        "gates": [gate for _, _, gates, _ in sides for gate in gates],
        "lines": {"guard line": {"construction": "12-strand HMPE", "material": "HMPE", "diameter": make.length(5.0)}},
        "ends": {
            "eye end": {
                "family": "bare eye",
                "throat_to_pin": make.length(25.0),
                "eye_girth": make.length(75.0),
                "trim": make.length(50.0),
            }
        },
        "fittings": {
            "lashing": {"family": "lashing", "length": {"planned": make.length(60.0), "max": make.length(100.0)}}
        },
        "runs": [run for _, _, _, runs in sides for run in runs],
    }
    if chance.random() < 0.7:
        data["boat"]["mast_x"] = make.length(loa * chance.uniform(0.35, 0.45))
    if chance.random() < 0.5:
        data["bases"] = make.bases()
        for post in data["posts"]:
            if chance.random() < 0.8:
                post["base"] = chance.choice(sorted(data["bases"]))
    return data


class _Maker:
    """Makes the parts of one random boat, all from one random generator."""

    def __init__(self, chance: random.Random, loa: float, beam: float, levels: tuple[str, ...], inches: bool) -> None:
        self.chance, self.loa, self.beam, self.levels, self.inches = chance, loa, beam, levels, inches
        self.deck = loa * chance.uniform(0.09, 0.13)
        self.sheer = loa * chance.uniform(0.01, 0.03)
        self.od = chance.choice([25.0, 25.4, 28.0, 30.0])
        self.height = chance.uniform(460.0, 720.0)
        self.tubes = {"stanchion": {"od": self.length(self.od), "wall": self.length(1.5), "grade": "316L"}}

    def length(self, value: float) -> str:
        """Return a length as the file writes it."""
        return f"{value / 25.4:.3f}" if self.inches else f"{value:.1f}"

    def half_breadth(self, x: float) -> float:
        share = max(0.0, min(1.0, x / (0.65 * self.loa)))
        aft = max(0.0, x - 0.65 * self.loa) / (0.35 * self.loa)
        return self.beam / 2.0 * (1.0 - (1.0 - share) ** 2.0) * (1.0 - 0.15 * aft * aft)

    def deck_z(self, x: float) -> float:
        share = x / self.loa - 0.7
        return self.deck + self.sheer * share * share * 2.0

    def edge(self, side: str) -> list[list[str]]:
        sign = 1.0 if side == "S" else -1.0
        count = self.chance.randint(6, 14)
        stations = [self.loa * 0.985 * index / count for index in range(count + 1)]
        return [
            [self.length(x), self.length(sign * self.half_breadth(x)), self.length(self.deck_z(x))] for x in stations
        ]

    def bases(self) -> dict[str, Any]:
        found = {}
        for word, stands in (("plate", "to suit the post"), ("standard base", "square to the plate")):
            x, y = self.chance.uniform(40.0, 60.0), self.chance.uniform(35.0, 50.0)
            corners = [(1, 1), (1, -1), (-1, -1), (-1, 1)][: self.chance.choice([3, 4])]
            found[word] = {
                "tube": stands,
                "length": self.length(2.0 * x),
                "width": self.length(2.0 * y),
                "thickness": self.length(6.0),
                "corner_radius": self.length(10.0),
                "bolt": self.length(6.0),
                "bolt_hole": self.length(6.5),
                "bolts": [[self.length(a * (x - 14.0)), self.length(b * (y - 13.0))] for a, b in corners],
            }
        return found

    def side(self, side: str, count: int) -> tuple[list[Any], list[Any], list[Any], list[Any]]:
        chance = self.chance
        first, last = 0.2 * self.loa, 0.82 * self.loa
        pitch = (last - first) / (count - 1)
        stations = [first + pitch * index + chance.uniform(-0.03, 0.03) * pitch for index in range(count)]
        posts = [self.post(f"{side}-S{index + 1}", side, x) for index, x in enumerate(stations)]
        names = [post["id"] for post in posts]
        eyes = [
            {"id": f"{side}-{rail}-{level}", "on": rail.lower(), "at": self.at(side, x, level)}
            for rail, x in (("PULPIT", 0.11 * self.loa), ("PUSHPIT", 0.9 * self.loa))
            for level in self.levels
        ]
        gate = chance.randint(1, count - 2) if chance.random() < 0.6 else None
        gates = [] if gate is None else [{"id": f"{side}-GATE", "posts": names[gate : gate + 2]}]
        return posts, eyes, gates, [run for level in self.levels for run in self.runs(side, level, names, gate)]

    def at(self, side: str, x: float, level: str) -> list[str]:
        sign = 1.0 if side == "S" else -1.0
        y = sign * (self.half_breadth(x) - 40.0 - self.chance.uniform(0.0, 20.0))
        return [self.length(x), self.length(y), self.length(self.deck_z(x) + self.height * _SHARES[level])]

    def post(self, name: str, side: str, x: float) -> dict[str, Any]:
        chance = self.chance
        sign = 1.0 if side == "S" else -1.0
        y = sign * (self.half_breadth(x) - chance.uniform(40.0, 70.0))
        up = self.height * chance.uniform(0.97, 1.03)
        post: dict[str, Any] = {
            "id": name,
            "foot": [self.length(x), self.length(y), self.length(self.deck_z(x))],
            "lean": f"{chance.uniform(-3.0, 7.0):.1f}",
            "rake": f"{chance.uniform(-3.0, 3.0):.1f}",
            "deck_falls": {"aft": f"{chance.uniform(-1.0, 3.0):.1f}", "outboard": f"{chance.uniform(0.0, 6.0):.1f}"},
            "tube": "stanchion",
            "top": self.length(up + 20.0),
            "holes": {level: self.hole(up * _SHARES[level]) for level in self.levels},
        }
        if chance.random() < 0.2:
            post["intended"] = {"lean": f"{chance.uniform(0.0, 5.0):.1f}", "rake": "0"}
        return post

    def hole(self, along: float) -> dict[str, Any]:
        chance = self.chance
        hole: dict[str, Any] = {"along": self.length(along)}
        found, planned = chance.choice([(True, False), (False, True), (True, True)])
        if found:
            hole["as_found"] = {"diameter": self.length(chance.choice([8.0, 9.5, 12.7]))}
            if chance.random() < 0.3:
                hole["as_found"]["direction"] = {
                    "clocking": f"{chance.uniform(-20.0, 20.0):.1f}",
                    "tilt": f"{chance.uniform(-3.0, 3.0):.1f}",
                }
        if planned:
            hole["planned"] = {"diameter": self.length(chance.choice([12.0, 14.0, 16.0]))}
            if chance.random() < 0.4:
                liner = {"bore": 10.0, "length": self.od + 4.0, "mouth_radius": 2.0}
                hole["planned"]["liner"] = {key: self.length(value) for key, value in liner.items()}
        return hole

    def runs(self, side: str, level: str, names: list[str], gate: int | None) -> list[dict[str, Any]]:
        """Return the runs of a level: one from rail to rail, or forward, gate and aft runs."""
        pulpit = {"eye": f"{side}-PULPIT-{level}", "end": "eye end"}
        pushpit = {"eye": f"{side}-PUSHPIT-{level}", "end": "eye end", "fittings": ["lashing"]}
        if gate is None:
            legs = [("F", pulpit, names, pushpit)]
        else:
            forward = {"post": names[gate], "eye_offset": self.length(20.0), "end": "eye end"}
            aft = {"post": names[gate + 1], "eye_offset": self.length(20.0), "end": "eye end"}
            legs = [
                ("F", pulpit, names[:gate], forward),
                ("G", forward, [], aft),
                ("A", aft, names[gate + 2 :], pushpit),
            ]
        return [
            {"id": f"{side}-{name}-{level}", "line": "guard line", "start": start, "through": through, "finish": finish}
            for name, start, through, finish in legs
        ]
