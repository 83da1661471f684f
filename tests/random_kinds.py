"""Seeded boats of the other kinds: gates beside a rail, at the stern or past a removable post, one post, two hulls.

Each is a random boat of `tests.random_boats`, changed to its kind, with lines of rope or wire, with or without bulwarks
and nets, each drawn by itself; of those with three lines above one another some have a fourth.
`python -m tests.random_kinds` prints their shares.
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

# What the lines are of, and what else the boat has, with their shares.
LINES = {"rope": 3, "wire with terminals": 3, "wire with eyes": 2}
EXTRAS = {"nothing else": 5, "bulwark": 2, "nets": 2, "bulwark and nets": 1}
# Whether a boat with three lines above one another has a fourth.
FOURTH = {"three lines": 2, "four lines": 1}


def kind_of(seed: int) -> str:
    """Return the kind of a seed's boat."""
    return _drawn("kind", KINDS, seed)


def lines_of(seed: int) -> str:
    """Return what the lines of a seed's boat are of."""
    return _drawn("lines", LINES, seed)


def extras_of(seed: int) -> str:
    """Return what else a seed's boat has."""
    return _drawn("extras", EXTRAS, seed)


def has_four_lines(seed: int) -> bool:
    """Return whether a seed's boat has four lines above one another."""
    return len(random_data(seed)["posts"][0]["holes"]) == 3 and _drawn("fourth", FOURTH, seed) == "four lines"


def _drawn(what: str, shares: dict[str, int], seed: int) -> str:
    return random.Random(f"{what} {seed}").choices(list(shares), list(shares.values()))[0]


def shares(seeds: range) -> dict[str, int]:
    """Return how many boats of each kind, each sort of lines and each extra some seeds give."""
    found = Counter(of(seed) for of in (kind_of, lines_of, extras_of) for seed in seeds)
    return dict(found) | {"four lines": len([seed for seed in seeds if has_four_lines(seed)])}


def random_kind(seed: int) -> LoadedBoat:
    """Return a random boat of a kind, read through the file's own grammar."""
    return read_boat(json.dumps(random_kind_data(seed)).encode("utf-8"), f"{kind_of(seed)} {seed}")


def random_kind_data(seed: int) -> dict[str, Any]:
    """Return the data of a random boat of a kind."""
    data = random_data(seed)
    if has_four_lines(seed):
        with_fourth_line(data)
    data["gates"], data["runs"] = [], _in_one(data)
    _CHANGES[kind_of(seed)](data)
    if lines_of(seed) == "wire with terminals":
        with_terminals(data, by_hand=seed % 2 == 1)
    elif lines_of(seed) == "wire with eyes":
        _with_wire_eyes(data)
    if "bulwark" in extras_of(seed):
        _on_bulwark(data)
    if "nets" in extras_of(seed):
        _with_nets(data)
    return data


def with_fourth_line(data: dict[str, Any]) -> None:
    """Give a boat a fourth line, midway between the middle and the lower one.

    Args:
        data: of the boat file, with three lines above one another.
    """

    def midway(above: Any, below: Any) -> str:
        return f"{(float(above) + float(below)) / 2.0:.3f}"

    for post in data["posts"]:
        holes = post["holes"]
        along = midway(holes["M"]["along"], holes["L"]["along"])
        post["holes"] = {
            "U": holes["U"], "M": holes["M"], "LM": holes["M"] | {"along": along}, "L": holes["L"]
        }  # fmt: skip
    eyes = {eye["id"]: eye for eye in data["eyes"]}
    for name in [name for name in eyes if name.endswith("-M")]:
        above, below = eyes[name]["at"], eyes[f"{name[:-1]}L"]["at"]
        at = [midway(*pair) for pair in zip(above, below, strict=True)]
        data["eyes"].append(eyes[name] | {"id": f"{name[:-1]}LM", "at": at})
    for run in [run for run in data["runs"] if run["id"].endswith("-M")]:
        ends = {
            key: run[key] | ({"eye": f"{run[key]['eye'][:-1]}LM"} if "eye" in run[key] else {})
            for key in ("start", "finish")
        }
        data["runs"].append(run | ends | {"id": f"{run['id'][:-1]}LM"})


def _size(data: dict[str, Any], value: float) -> str:
    """Return a length [mm] as the file writes it."""
    return f"{value / 25.4:.3f}" if data["units"]["length"] == "in" else f"{value:.3f}"


def with_terminals(data: dict[str, Any], by_hand: bool = False) -> None:
    """Change all lines to wire of 4 mm with a stud and a fork, a turnbuckle and a gate hook on each.

    Args:
        data: of the boat file.
        by_hand: whether the terminals are fitted by hand; else they are swaged.
    """

    def size(value: float) -> str:
        return _size(data, value)

    wire = {"construction": "1x19 wire", "material": "stainless steel 316", "diameter": size(4.0)}
    data["lines"] = {"guard line": wire}
    stud = {"width": size(7.0), "deduction": size(41.7), "bears_on": "tip", "hand": "right"}
    fork = {"width": size(7.0), "deduction": size(38.3)}
    if by_hand:
        stud |= {"family": "compression terminal", "width": size(13.0), "insertion": size(38.0)}
        fork |= {"family": "compression fork", "width": size(13.0), "insertion": size(38.0)}
    else:
        swage = {"before": size(7.5), "go": size(6.4), "no_go": size(6.3)}
        stud |= {"family": "swaged stud", "insertion": size(44.7), "swage": swage}
        fork |= {"family": "swaged eye", "insertion": size(44.7), "swage": swage}
    data["ends"] = {"stud": stud, "fork": fork}
    turnbuckle = {"min": size(128.0), "planned": size(163.5), "max": size(190.0)}
    data["fittings"] = {
        "turnbuckle": {"family": "open-body turnbuckle", "length": turnbuckle, "hand": "left and right"},
        "toggle": {"family": "toggle", "length": {"planned": size(27.3)}},
        "gate hook": {"family": "over-centre gate hook", "length": {"planned": size(104.9)}, "hand": "right"},
    }
    for run in data["runs"]:
        run["start"] |= {"end": "stud", "fittings": ["toggle", "turnbuckle"]}
        run["finish"] |= {"end": "fork", "fittings": ["gate hook"]}
    for post in data["posts"]:
        for hole in post["holes"].values():
            hole |= {"planned": {"diameter": size(14.0)}}


def _with_wire_eyes(data: dict[str, Any]) -> None:
    """Change all lines to 7x7 wire with a pressed and a hand-spliced eye round open thimbles, and a lashing."""
    wire = {"construction": "7x7 wire", "material": "stainless steel 316", "diameter": _size(data, 4.0)}
    data["lines"] = {"guard line": wire}
    eye = {key: _size(data, value) for key, value in (("width", 19.0), ("throat_to_pin", 28.0), ("eye_girth", 80.0))}
    eye["thimble"] = {"girth": _size(data, 76.0), "pattern": "open"}
    pressed = {"tail": _size(data, 32.0), "swage": {"before": _size(data, 9.5), "go": _size(data, 8.8)}}
    data["ends"] = {
        "pressed eye": eye | pressed | {"family": "pressed-sleeve eye"},
        "spliced eye": eye | {"family": "hand-spliced eye"},
    }
    for run in data["runs"]:
        run["start"]["end"], run["finish"]["end"] = "pressed eye", "spliced eye"


def _on_bulwark(data: dict[str, Any]) -> None:
    """Raise posts, lines and eyes on a bulwark."""
    high = 2.0 if data["units"]["length"] == "in" else 50.0
    for post in data["posts"]:
        post["foot"] = [*post["foot"][:2], f"{float(post['foot'][2]) + high:.3f}"]
        post["foot_above_deck"] = str(high)
    for eye in data["eyes"]:
        eye["at"] = [*eye["at"][:2], f"{float(eye['at'][2]) + high:.3f}"]


def _with_nets(data: dict[str, Any]) -> None:
    """Hang a net under the upper line of either side, and lace one into the deck between two hulls."""
    sizes = {"bar": _size(data, 50.0), "edge_cord": _size(data, 6.0), "laced_to": _size(data, 10.0)}
    cord = {"diameter": _size(data, 3.0), "pitch": _size(data, 50.0), "tail": _size(data, 200.0)}
    foot = "lower line" if len(data["posts"][0]["holes"]) >= 3 else "deck edge"
    data["nets"] = [
        sizes | {"id": f"{side}-NET", "along": f"{side}-F-U", "foot": foot, "lacing": cord} for side in "SP"
    ]
    if data["boat"]["hulls"] == "multi":
        ends = [data["deck_edge"][f"{side}_inner"][index] for index in (2, 4) for side in ("starboard", "port")]
        corners = [ends[0], ends[1], ends[3], ends[2]]
        data["nets"].append(sizes | {"id": "C-NET", "corners": corners, "lacing": cord})


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
