"""Geometry of a boat file in millimetres and degrees, computed without importing any of the program.

    python tests/whole_boats_reference.py templates/boats/aft-gate-25.yaml

prints the figures of a file. Tubes are found by turning the vertical about the axes of the boat, distances with numpy,
heights over the deck edge by interpolation of its points (numpy.interp).
"""

from __future__ import annotations

import json
import sys
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import yaml

AFT, STARBOARD, UP = np.eye(3)


def figures(path: Path) -> dict[str, Any]:
    """Return paths, spans, heights, gate widths and angles of a boat file in mm and degrees."""
    boat = yaml.load(path.read_text("utf-8"), Loader=yaml.BaseLoader)
    assert boat["units"] == {"length": "mm", "angle": "deg"}
    return figures_of(boat)


def figures_of(boat: dict[str, Any]) -> dict[str, Any]:
    """Return the same of the data of a file, in its own unit of length and degrees."""
    if boat.get("mirror") == "true":
        _add_other_side(boat)
    posts = {post["id"]: _post(boat, post) for post in boat["posts"]}
    eyes = {eye["id"]: _point(eye["at"]) for eye in boat["eyes"]}
    runs = {run["id"]: _run(boat, posts, eyes, run) for run in boat["runs"]}
    turns = {name: angles for run in runs.values() for name, angles in run.pop("turns").items()}
    return {
        "runs": runs,
        "turns": turns,
        "posts": {name: post["figures"] for name, post in posts.items()},
        "gates": {
            f"{gate['id']}-{level}": width
            for gate in boat.get("gates", [])
            for level, width in _gate(posts, eyes, gate).items()
        },
    }


def _add_other_side(boat: dict[str, Any]) -> None:
    """Add the mirror image of everything that is not across the boat."""
    other = {"S": "P", "P": "S"}

    def name(text: str) -> str:
        return text if text[0] == "C" else other[text[0]] + text[1:]

    def flip(point: list[str]) -> list[str]:
        return [point[0], str(-float(point[1])), point[2]]

    edge, words = boat["deck_edge"], {"starboard": "port", "port": "starboard"}
    for word in list(edge):
        side, _, inner = word.partition("_")
        if side in words:
            edge["_".join(filter(None, (words[side], inner)))] = [flip(point) for point in edge[word]]
    for post in list(boat["posts"]):
        image = post | {"id": name(post["id"]), "foot": flip(post["foot"])}
        boat["posts"].append(image)
    for eye in list(boat["eyes"]):
        if eye["id"][0] != "C":
            boat["eyes"].append(eye | {"id": name(eye["id"]), "at": flip(eye["at"])})
    for gate in list(boat.get("gates", [])):
        if gate["id"][0] != "C":
            key = "between" if "between" in gate else "posts"
            boat["gates"].append({"id": name(gate["id"]), key: [name(one) for one in gate[key]]})
    for run in list(boat["runs"]):
        if run["id"][0] != "C":
            image = {"id": name(run["id"]), "through": [name(post) for post in run.get("through", [])]}
            for end in ("start", "finish"):
                image[end] = {key: name(one) if key in ("eye", "post") else one for key, one in run[end].items()}
            boat["runs"].append(image)


def _point(texts: list[str]) -> np.ndarray:
    return np.array([float(text) for text in texts])


def _outboard(name: str) -> float:
    """Return the way over the edge of a side along Y: the inboard edge of a hull looks to the other hull."""
    side = name.split("-")[0]
    return {"S": 1.0, "PI": 1.0, "C": 1.0, "P": -1.0, "SI": -1.0}[side]


def _post(boat: dict[str, Any], post: dict[str, Any]) -> dict[str, Any]:
    out = _outboard(post["id"])
    lean, rake = np.radians(float(post["lean"])), np.radians(float(post["rake"]))
    # The tube lies in the plane that leans outboard and in the one that rakes aft: their line of intersection.
    leaning = np.cross(AFT, STARBOARD * out * np.sin(lean) + UP * np.cos(lean))
    raking = np.cross(STARBOARD, AFT * np.sin(rake) + UP * np.cos(rake))
    axis = np.cross(leaning, raking)
    axis *= np.sign(axis[2]) / np.linalg.norm(axis)
    foot = _point(post["foot"])
    holes = {level: foot + float(hole["along"]) * axis for level, hole in post["holes"].items()}
    edge = _edge(boat, post["id"])
    raised = float(post.get("foot_above_deck", 0.0))
    heights = {level: at[2] - foot[2] + raised for level, at in holes.items()}
    above = {level: _above(edge, at[0], at[2]) for level, at in holes.items()}
    tilt = np.degrees(np.arccos(axis @ UP))
    return {
        "holes": holes,
        "axis": axis,
        "out": out,
        "radius": float(boat["tubes"][post["tube"]]["od"]) / 2.0,
        "figures": {"above_deck": heights, "above_edge": above, "tilt": float(tilt)},
    }


def _edge(boat: dict[str, Any], name: str) -> np.ndarray | None:
    words = {"S": "starboard", "P": "port", "SI": "starboard_inner", "PI": "port_inner"}
    points = boat["deck_edge"].get(words[name.split("-")[0]])
    return None if points is None else np.array([_point(point) for point in points])[:, [0, 2]]


def _edge_across(boat: dict[str, Any], across: str) -> np.ndarray | None:
    edge = boat["deck_edge"]
    points = edge.get(across)
    if points is None and across == "stern" and boat["boat"]["hulls"] == "mono":
        points = [edge["port"][-1], edge["starboard"][-1]]
    return None if points is None else np.array([_point(point) for point in points])[:, [1, 2]]


def _above(edge: np.ndarray | None, station: float, z: float) -> float | None:
    if edge is None or not edge[0, 0] <= station <= edge[-1, 0]:
        return None
    return float(z - np.interp(station, edge[:, 0], edge[:, 1]))


def _run(
    boat: dict[str, Any], posts: dict[str, Any], eyes: dict[str, np.ndarray], run: dict[str, Any]
) -> dict[str, Any]:
    level, through = run["id"].rpartition("-")[2], run.get("through", [])
    anchors = [_anchor(posts, eyes, run["start"], level), *(posts[name]["holes"][level] for name in through)]
    anchors.append(_anchor(posts, eyes, run["finish"], level))
    points = [point.copy() for point in anchors]
    for at, beside, end in ((0, 1, run["start"]), (-1, -2, run["finish"])):
        way = anchors[beside] - anchors[at]
        points[at] = anchors[at] + float(end.get("eye_offset", 0.0)) * way / np.linalg.norm(way)
    across = run["id"][0] == "C"
    edge = _edge_across(boat, run["across"]) if across else _edge(boat, run["id"])
    turns = {f"{name}-{level}": _turn(posts[name], *points[index : index + 3]) for index, name in enumerate(through)}
    return {
        "spans": [float(np.linalg.norm(b - a)) for a, b in pairwise(points)],
        "path": float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum()),
        "lowest": [_lowest(edge, a, b, 1 if across else 0) for a, b in pairwise(points)],
        "turns": turns,
    }


def _anchor(posts: dict[str, Any], eyes: dict[str, np.ndarray], end: dict[str, Any], level: str) -> np.ndarray:
    return eyes[end["eye"]] if "eye" in end else posts[end["post"]]["holes"][level]


def _lowest(edge: np.ndarray | None, a: np.ndarray, b: np.ndarray, way: int) -> float | None:
    """Return the lowest height of a span over the edge, from 2001 points along it and those over the edge's points."""
    if edge is None:
        return None
    corners = [(x - a[way]) / (b[way] - a[way]) for x in edge[:, 0]]
    shares = [*np.linspace(0.0, 1.0, 2001), *(share for share in corners if 0.0 < share < 1.0)]
    heights = [_above(edge, *(a + share * (b - a))[[way, 2]]) for share in shares]
    return None if None in heights else min(heights)


def _turn(post: dict[str, Any], before: np.ndarray, at: np.ndarray, after: np.ndarray) -> dict[str, float]:
    """Return the turn of a line in a hole, and clocking and tilt of the axis half way between its legs [deg]."""
    incoming, outgoing = (at - before) / np.linalg.norm(at - before), (after - at) / np.linalg.norm(after - at)
    half = incoming + outgoing
    half /= np.linalg.norm(half)
    axis = post["axis"]
    round_tube = half - (half @ axis) * axis
    square_aft = AFT - (AFT @ axis) * axis
    way = np.sign(np.cross(square_aft, round_tube) @ axis) * post["out"]
    clocking = np.arccos(
        np.clip(square_aft @ round_tube / np.linalg.norm(square_aft) / np.linalg.norm(round_tube), -1.0, 1.0)
    )
    return {
        "turn": float(np.degrees(np.arccos(np.clip(incoming @ outgoing, -1.0, 1.0)))),
        "clocking": float(np.degrees(way * clocking)),
        "tilt": float(90.0 - np.degrees(np.arccos(half @ axis))),
    }


def _gate(posts: dict[str, Any], eyes: dict[str, np.ndarray], gate: dict[str, Any]) -> dict[str, dict[str, float]]:
    """Return hole to hole, and clear between the faces of tubes or the bearing points of eyes, level by level."""
    sides = []
    for name in gate.get("between") or gate["posts"]:
        if name in posts:
            sides.append((posts[name]["holes"], posts[name]["radius"]))
        else:
            sides.append(
                ({eye.rpartition("-")[2]: at for eye, at in eyes.items() if eye.rpartition("-")[0] == name}, 0.0)
            )
    (first, first_radius), (last, last_radius) = sides
    widths = {level: float(np.linalg.norm(last[level] - first[level])) for level in first.keys() & last.keys()}
    return {level: {"between": width, "clear": width - first_radius - last_radius} for level, width in widths.items()}


if __name__ == "__main__":
    print(json.dumps(figures(Path(sys.argv[1])), indent=2))
