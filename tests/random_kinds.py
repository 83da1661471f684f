"""Seeded boats of the other kinds: gates beside a rail, at the stern or past a removable post, one post, two hulls.

Each is a random boat of `tests.random_boats`, changed to its kind. `python -m tests.random_kinds` prints their shares.
"""

from __future__ import annotations

import json
import random
from collections import Counter
from typing import Any

from geom.boat.file import LoadedBoat, read_boat
from tests.random_boats import random_data

# Kinds and their shares.
KINDS = {"gate at pushpit": 3, "gate at pulpit": 2, "stern gate": 3, "wide gate": 2, "one post": 2, "catamaran": 3}


def kind_of(seed: int) -> str:
    """Return the kind of a seed's boat."""
    return random.Random(f"kind {seed}").choices(list(KINDS), list(KINDS.values()))[0]


def shares(seeds: range) -> dict[str, int]:
    """Return how many boats of each kind some seeds give."""
    return dict(Counter(kind_of(seed) for seed in seeds))


def random_kind(seed: int) -> LoadedBoat:
    """Return a random boat of a kind, read through the file's own grammar."""
    return read_boat(json.dumps(random_kind_data(seed)).encode("utf-8"), f"{kind_of(seed)} {seed}")


def random_kind_data(seed: int) -> dict[str, Any]:
    """Return the data of a random boat of a kind."""
    data = random_data(seed)
    data["gates"], data["runs"] = [], _in_one(data)
    _CHANGES[kind_of(seed)](data)
    return data


def _in_one(data: dict[str, Any]) -> list[dict[str, Any]]:
    """Return a run from rail to rail for each line of either side."""
    found = []
    for side in "SP":
        names = [post["id"] for post in data["posts"] if post["id"][0] == side]
        for level in data["posts"][0]["holes"]:
            start = {"eye": f"{side}-PULPIT-{level}", "end": "eye end"}
            finish = {"eye": f"{side}-PUSHPIT-{level}", "end": "eye end", "fittings": ["lashing"]}
            one = {"id": f"{side}-F-{level}", "line": "guard line", "start": start, "through": names, "finish": finish}
            found.append(one)
    return found


def _offset(data: dict[str, Any]) -> str:
    return "0.8" if data["units"]["length"] == "in" else "20"


def _gate_at_pushpit(data: dict[str, Any]) -> None:
    runs = []
    for run in data["runs"]:
        *before, last = run["through"]
        at = {"post": last, "eye_offset": _offset(data), "end": "eye end"}
        runs.append(run | {"through": before, "finish": at})
        runs.append(run | {"id": run["id"].replace("-F-", "-G-"), "start": at, "through": []})
    data["runs"] = runs
    lasts = {run["id"][0]: run["start"]["post"] for run in runs if "-G-" in run["id"]}
    data["gates"] = [{"id": f"{side}-GATE", "between": [lasts[side], f"{side}-PUSHPIT"]} for side in "SP"]


def _gate_at_pulpit(data: dict[str, Any]) -> None:
    runs = []
    for run in data["runs"]:
        first, *after = run["through"]
        at = {"post": first, "eye_offset": _offset(data), "end": "eye end"}
        runs.append(run | {"id": run["id"].replace("-F-", "-G-"), "through": [], "finish": at})
        runs.append(run | {"start": at, "through": after})
    data["runs"] = runs
    firsts = {run["id"][0]: run["start"]["post"] for run in runs if "-F-" in run["id"]}
    data["gates"] = [{"id": f"{side}-GATE", "between": [f"{side}-PULPIT", firsts[side]]} for side in "SP"]


def _stern_gate(data: dict[str, Any]) -> None:
    _across(data, "stern", 0.97, "PUSHPIT", "STERN", 0.3)
    data["gates"] = [{"id": "C-GATE", "between": ["P-STERN", "S-STERN"]}]


def _across(data: dict[str, Any], across: str, share: float, like: str, name: str, inward: float) -> None:
    """Add a line across the boat at each level, between eyes that stand inward of those of a rail."""
    loa = float(data["boat"]["loa"])
    for eye in [eye for eye in data["eyes"] if like in eye["id"]]:
        _, y, z = eye["at"]
        at = [f"{share * loa:.3f}", f"{inward * float(y):.3f}", z]
        data["eyes"].append({"id": eye["id"].replace(like, name), "on": eye["on"], "at": at})
    for level in data["posts"][0]["holes"]:
        start = {"eye": f"P-{name}-{level}", "end": "eye end"}
        finish = {"eye": f"S-{name}-{level}", "end": "eye end", "fittings": ["lashing"]}
        one = {"id": f"C-X-{level}", "line": "guard line", "across": across, "start": start, "finish": finish}
        data["runs"].append(one)


def _wide_gate(data: dict[str, Any]) -> None:
    """A gate from the first post past a removable one to the third."""
    runs = []
    for run in data["runs"]:
        first, loose, third, *after = run["through"]
        ends = [{"post": post, "eye_offset": _offset(data), "end": "eye end"} for post in (first, third)]
        runs.append(run | {"through": [], "finish": ends[0]})
        runs.append(
            run | {"id": run["id"].replace("-F-", "-W-"), "start": ends[0], "through": [loose], "finish": ends[1]}
        )
        runs.append(run | {"id": run["id"].replace("-F-", "-A-"), "start": ends[1], "through": after})
    data["runs"] = runs
    for side in "SP":
        first, loose, third = [post for post in data["posts"] if post["id"][0] == side][:3]
        loose["stands"] = random.Random(loose["id"]).choice(["removable", "hinged"])
        data["gates"].append({"id": f"{side}-GATE", "posts": [first["id"], third["id"]]})


def _one_post(data: dict[str, Any]) -> None:
    """One post a side and no rails: the lines come down to fittings on deck."""
    kept = {run["id"][0]: run["through"][len(run["through"]) // 2] for run in data["runs"]}
    data["posts"] = [post for post in data["posts"] if post["id"] in kept.values()]
    for eye in data["eyes"]:
        eye["on"] = "deck"
    for run in data["runs"]:
        run["through"] = [kept[run["id"][0]]]


def _catamaran(data: dict[str, Any]) -> None:
    """Both sides further out, each a hull of its own, with a line over the crossbeam."""
    apart = 0.45 * float(data["boat"]["beam"])
    data["boat"] |= {"hulls": "multi", "beam": f"{float(data['boat']['beam']) + 2.0 * apart:.3f}"}

    def out(point: list[str], sign: float) -> list[str]:
        return [point[0], f"{float(point[1]) + sign * apart:.3f}", point[2]]

    for word, sign in (("starboard", 1.0), ("port", -1.0)):
        edge = [out(point, sign) for point in data["deck_edge"][word]]
        data["deck_edge"][word] = edge
        stem = float(edge[0][1])
        data["deck_edge"][f"{word}_inner"] = [[x, f"{stem - sign * 0.05 * apart * k:.3f}", z]
                                              for k, (x, _, z) in enumerate(edge)]  # fmt: skip
    for post in data["posts"]:
        post["foot"] = out(post["foot"], 1.0 if post["id"][0] == "S" else -1.0)
    for eye in data["eyes"]:
        eye["at"] = out(eye["at"], 1.0 if eye["id"][0] == "S" else -1.0)
    _across(data, "bow", 0.04, "PULPIT", "BEAM", 0.4)
    ends = [data["deck_edge"][word][0] for word in ("port", "starboard")]
    data["deck_edge"]["bow"] = [[f"{0.04 * float(data['boat']['loa']):.3f}", y, z] for _, y, z in ends]


_CHANGES = {
    "gate at pushpit": _gate_at_pushpit,
    "gate at pulpit": _gate_at_pulpit,
    "stern gate": _stern_gate,
    "wide gate": _wide_gate,
    "one post": _one_post,
    "catamaran": _catamaran,
}


if __name__ == "__main__":
    print(shares(range(300)))
