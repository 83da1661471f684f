"""The page served on this machine: which requests are answered, what a save does, what changed, what is scrap."""

from __future__ import annotations

import errno
import json
import os
import random
import re
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

import geom.live.app as live_app
from geom.boat.tree import MAX_BYTES
from geom.changes import changes, pointers
from geom.errors import InputError
from geom.export import check_report
from geom.files import write_file
from geom.intake.value_edit import write_values
from geom.live import guards
from geom.live.guards import TOKEN_HEADER, Door
from geom.live.state import StaleError, State
from geom.words import english_page
from geom.words.english_changes import CHANGES
from tests.boats import BOATS, ROOT
from tests.counts import TIMES, seeds
from tests.pages import read_page
from tests.saver import texts
from tests.served import Served, served
from tests.some import some

HOLE = "along: 596"


@pytest.fixture
def boat(tmp_path):
    path = tmp_path / "boat.yaml"
    path.write_bytes((BOATS / "saltwhin-31.yaml").read_bytes())
    return path


@pytest.fixture
def ours(boat):
    with served(boat) as made:
        yield made


def edited(text: bytes, along: str = "606") -> bytes:
    return text.replace(HOLE.encode(), f"along: {along}".encode(), 1)


def refused_by(ours: Served) -> dict[str, list]:
    """Return requests that only one guard refuses, by its name, with the status."""
    data = ours.state.now.data
    return {
        "one_host": [
            (421, lambda: ours.get("/file", host="evil.example")),
            (421, lambda: ours.get("/file", host="127.0.0.1")),
            (421, lambda: ours.get("/file", host=f"0.0.0.0:{ours.door.port}")),
        ],
        "token": [
            (403, lambda: ours.ask("GET", "/file", None, {})),
            (403, lambda: ours.ask("GET", "/file?token=x", None, {})),
            (403, lambda: ours.ask("GET", "/file?token=%C3%A9", None, {})),
            (403, lambda: ours.post(data, without=(TOKEN_HEADER,))),
            (403, lambda: ours.post(data, **{TOKEN_HEADER: "wrong"})),
        ],
        "same_site": [
            (403, lambda: ours.get("/file", sec_fetch_site="cross-site")),
            (403, lambda: ours.get("/page", sec_fetch_site="same-site")),
            (403, lambda: ours.post(data, sec_fetch_site="none")),
        ],
        "own_origin": [
            (403, lambda: ours.post(data, origin="http://evil.example")),
            (403, lambda: ours.post(data, origin="null")),
            (403, lambda: ours.post(data, without=("origin",))),
        ],
        "plain_text": [
            (415, lambda: ours.post(data, content_type="application/x-www-form-urlencoded")),
            (415, lambda: ours.post(data, without=("content-type",))),
        ],
        "stated_size": [
            (413, lambda: ours.post(b"#" * (MAX_BYTES + 1))),
            (411, lambda: ours.post(b"5\r\nabcde\r\n0\r\n\r\n", transfer_encoding="chunked")),
        ],
    }


@pytest.mark.parametrize("name", [guard.__name__ for guard in guards.GUARDS])
def test_each_guard_refuses_alone_what_no_other_does(ours, monkeypatch, name):
    before = ours.state.path.read_bytes()
    attempts = refused_by(ours)[name]
    for status, ask in some(attempts):
        assert ask()[0] == status
        assert ours.state.path.read_bytes() == before
    others = tuple(guard for guard in guards.GUARDS if guard.__name__ != name)
    monkeypatch.setattr(live_app, "GUARDS", others)
    assert [ask()[0] for _, ask in attempts] == [200] * len(attempts)


def test_requests_of_the_page_itself_are_answered_and_nothing_else_is_there(ours):
    for path in some(("/", "/page", "/file")):
        status, headers, _ = ours.get(path)
        assert status == 200
        assert headers["x-content-type-options"] == "nosniff" and headers["referrer-policy"] == "no-referrer"
        assert headers["cache-control"] == "no-store"
        assert not [key for key in headers if key.startswith("access-control-")]
    paths = ("/boat.yaml", "/../boat.yaml", "/%2e%2e/boat.yaml", "/page/../../boat.yaml", "//etc/passwd", "/static/x")
    for path in some(paths):
        assert ours.get(path)[0] == 404
    assert ours.ask("POST", f"/file?token={ours.door.token}", b"", {TOKEN_HEADER: ours.door.token})[0] == 403
    assert ours.ask("OPTIONS", f"/save?token={ours.door.token}", None, {})[0] == 405
    assert ours.ask("PUT", f"/save?token={ours.door.token}", b"x", {})[0] == 405


def test_the_policy_of_the_editor_lets_in_its_own_style_and_program_and_nobody_frames_it(ours):
    _, headers, html = ours.get("/")
    stated = dict(part.split(" ", 1) for part in headers["content-security-policy"].split("; "))
    assert stated["default-src"] == stated["frame-ancestors"] == stated["base-uri"] == stated["form-action"] == "'none'"
    assert stated["connect-src"] == stated["frame-src"] == "'self'"
    (nonce,) = set(re.findall(r"nonce-([^']+)'", headers["content-security-policy"]))
    text = html.decode("utf-8")
    assert text.count(f'nonce="{nonce}"') == 2
    assert stated["script-src"] == stated["style-src"] == f"'nonce-{nonce}'"
    assert nonce not in ours.get("/")[1]["content-security-policy"]
    outside = [one for one in read_page(html).every() if {"src", "href", "style", "onclick"} & set(one.attributes)]
    assert outside == []
    assert ours.get("/page")[1]["content-security-policy"] == "frame-ancestors 'self'"


def test_no_host_and_two_hosts_are_refused(ours):
    host = ours.door.hosts[0]
    for stated in some(("", f"{host}|{host}", f"{host}|evil.example")):
        assert ours.get("/file", host=stated)[0] in (400, 421)
    assert ours.get("/file", host=ours.door.hosts[1])[0] == 200


def test_only_one_address_of_this_machine_is_listened_to(boat):
    """127.0.0.2 is this machine as well (RFC 1122, 127/8): who listens everywhere answers there, we do not.

    The table of the kernel has one listening socket at the port, at 127.0.0.1, and none of IPv6.
    """
    process, address = _started(boat)
    try:
        port = int(re.fullmatch(r"http://127\.0\.0\.1:(\d+)/.*", address)[1])
        socket.create_connection(("127.0.0.1", port), 20).close()
        for other in some(("127.0.0.2", "127.255.255.254", "::1")):
            with pytest.raises(OSError) as refused:
                socket.create_connection((other, port), 20).close()
            assert refused.value.errno in (errno.ECONNREFUSED, errno.EADDRNOTAVAIL, errno.ENETUNREACH)
        assert _listening(port) == {("tcp", "0100007F")}
        # What the proof rests on: a socket at every address is reached at the second one.
        with socket.create_server(("", 0)) as everywhere:
            socket.create_connection(("127.0.0.2", everywhere.getsockname()[1]), 20).close()
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(30)


def _listening(port: int) -> set[tuple[str, str]]:
    """Return protocol and address, in the kernel's hexadecimal, of each socket that listens at a port."""
    found = set()
    for protocol in ("tcp", "tcp6"):
        for line in Path(f"/proc/net/{protocol}").read_text("utf-8").splitlines()[1:]:
            address, number = line.split()[1].split(":")
            if line.split()[3] == "0A" and int(number, 16) == port:
                found.add((protocol, address))
    return found


def test_a_save_writes_the_file_whole_and_says_what_changed(ours):
    data = edited(ours.state.now.data)
    status, _, body = ours.post(data)
    found = json.loads(body)
    assert status == 200 and ours.state.path.read_bytes() == data
    assert found["faults"] == [] and found["number"] == found["good"] == 2
    assert ("S-S2", "595.4 mm", "605.4 mm") in {(one["place"], one["before"], one["after"]) for one in found["changed"]}
    assert any(pointer.endswith("/height_upper_mm") for pointer in found["places"])
    assert json.loads(ours.get("/file")[2]) == found


def test_an_edit_of_what_is_no_longer_the_file_is_refused_and_nothing_is_lost(ours):
    old = ours.state.now.digest
    theirs = edited(ours.state.now.data, "601")
    ours.state.path.write_bytes(theirs)
    assert ours.post(edited(ours.state.now.data, "606"), if_match=f'"{old}"')[0] == 409
    assert ours.post(edited(ours.state.now.data, "606"), without=("if-match",))[0] == 409
    assert ours.state.path.read_bytes() == theirs


def test_a_faulty_file_leaves_the_last_good_state_up_and_says_where_it_is_wrong(ours):
    data = edited(ours.state.now.data, "59x6")
    found = json.loads(ours.post(data)[2])
    line = data[: data.index(b"59x6")].count(b"\n") + 1
    assert [fault["line"] for fault in found["faults"]] == [line]
    assert (found["number"], found["good"]) == (2, 1)
    assert b"595.4" in ours.get("/page")[2]
    found = json.loads(ours.post(edited(data.replace(b"59x6", b"606", 1)))[2])
    assert found["faults"] == [] and found["good"] == found["number"] == 3
    assert b"605.4" in ours.get("/page")[2]


def test_the_file_may_be_away_for_a_moment(boat):
    state = State(boat)
    kept = boat.rename(boat.with_suffix(".away"))
    away = state.refresh()
    assert away.faults and away.good.number == 1 and state.refresh() is away
    kept.rename(boat)
    back = state.refresh()
    assert back.faults == () and back.good.number == back.number == 3
    assert state.refresh() is back


def test_a_save_that_is_stopped_in_the_middle_leaves_the_file_whole(boat, monkeypatch):
    """Written beside and moved: whatever fails before the move, the old file stands."""
    state = State(boat)
    before = boat.read_bytes()

    def stop(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("geom.files.writing.write_synced", stop)
    with pytest.raises(KeyboardInterrupt):
        state.save(edited(before), state.now.digest)
    assert boat.read_bytes() == before
    assert [path.name for path in boat.parent.iterdir()] == [boat.name]
    monkeypatch.undo()
    with pytest.raises(StaleError):
        state.save(edited(before), "0" * 64)
    write_file(boat, edited(before), replace=True)
    assert state.refresh().good.number == 2


@pytest.mark.long
def test_a_program_killed_in_the_middle_of_a_save_leaves_the_file_whole(boat):
    """SIGKILL at random moments of a process that does nothing but save: the old text stands, or the new one."""
    whole, rest = {boat.read_bytes(), *texts(boat)}, set()
    with subprocess.Popen(
        [sys.executable, "-m", "tests.saver", str(boat)], cwd=ROOT, env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    ) as saver:  # fmt: skip
        assert saver.stdin and saver.stdout
        for seed in some(seeds(25)):
            saver.stdin.write("\n")
            saver.stdin.flush()
            number = int(saver.stdout.readline())
            time.sleep(random.Random(seed).uniform(0.005, 0.08))
            os.kill(number, signal.SIGKILL)
            assert saver.stdout.readline() == "gone\n"
            assert boat.read_bytes() in whole
            rest |= {path.name for path in boat.parent.iterdir()}
        saver.stdin.close()
        assert saver.wait(30) == 0
    # At least one kill came between the first byte of a new text and its taking the old one's place.
    assert len(rest) > 1


@pytest.mark.long
@pytest.mark.slow
def test_many_saves_do_not_fill_the_memory(boat):
    """The resident memory of the command after fifty saves, each shown, is within a fifth of that after ten."""
    text = boat.read_bytes()
    process, address = _started(boat)
    try:
        port, token = re.fullmatch(r"http://127\.0\.0\.1:(\d+)/\?token=(.*)", address).groups()
        viewed = Served(None, Door(int(port), token))
        digest, resident = json.loads(viewed.get("/file")[2])["digest"], []
        for number in some(range(min(50 * TIMES, 200))):
            data = edited(text, f"{600 + number % 7}")
            found = json.loads(viewed.post(data, if_match=f'"{digest}"')[2])
            assert found["faults"] == [] and found["good"] == number + 2
            assert json.loads(viewed.get("/body")[2])["good"] == number + 2
            digest = found["digest"]
            resident.append(int(Path(f"/proc/{process.pid}/statm").read_text("utf-8").split()[1]))
        assert resident[-1] <= 1.2 * resident[9]
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(30)


def test_what_changed_is_named_and_a_line_that_became_too_short_is_scrap(boat):
    """P-A-U has 40 mm of lengthening: a longer path by more is beyond it, by less it is not."""
    text = boat.read_text("utf-8")
    state = State(boat)
    before = check_report(state.now.good.refit)
    run = next(one for one in before["runs"] if one["id"] == "S-A-U")
    assert run["lengthen_mm"] == 40.0
    eye = next(one for one in state.now.good.refit.boat.eyes if one.id == "S-PUSHPIT-U")
    line = next(one for one in text.splitlines() if "id: S-PUSHPIT-U" in one)
    x = re.search(r"at: \[(\d+(?:\.\d+)?),", line)
    assert x and float(x[1]) == eye.at[0]
    for moved, scrap in some(((30.0, False), (60.0, True))):
        boat.write_text(text.replace(line, line.replace(f"[{x[1]},", f"[{float(x[1]) + moved:g},")), "utf-8")
        after = check_report(State(boat).now.good.refit)
        found = [one for one in changes(before, after) if one.place == "S-A-U"]
        finished = next(one for one in found if one.label == english_page.PAGE["finished"])
        assert finished.scrap == scrap
        assert finished.before == f"{run['finished_mm']:.1f} mm"
    assert pointers(before, before) == () and changes(before, before) == ()


def test_what_changed_on_an_inch_boat_is_said_in_inches_and_pounds():
    """25.4 mm to the inch, 4.4482216 N to the pound; on a tape 1/32 in."""
    run = {"id": "S-F-U", "from_reel_mm": 254.0, "finished_mm": 254.0, "cut_mm": None, "lengthen_mm": 9.0}
    tension = {"run": "S-F-U", "set_tension_n": 444.82216}
    before, after = (
        {"open_items": [], "runs": [{**run, "finished_mm": length, "from_reel_mm": length, "cut_mm": length}],
         "posts": [{"id": "S-S1", "height_upper_mm": 2.0 * length}],
         "holes": [{"id": "S-S1-U", "bore_mm": 0.05 * length}],
         "loads": {"set_tensions": [{**tension, "set_tension_n": pull}]}}
        for length, pull in ((254.0, 444.82216), (266.7, 889.64432))
    )  # fmt: skip
    found = {one.label: (one.before, one.after) for one in changes(before, after, inches=True)}
    assert found[english_page.PAGE["finished"]] == ("10 in", "10 1/2 in")
    assert found[english_page.PAGE["set_to"]] == ("100 lbf", "200 lbf")
    assert found[CHANGES["height_upper"]] == ("20.00 in", "21.00 in")
    assert found[english_page.PAGE["bore"]] == (".500 in", ".525 in")
    assert "Cut" not in found, "of rope the length off the reel is the one"
    metric = {one.label: (one.before, one.after) for one in changes(before, after)}
    assert metric["From reel"] == ("254 mm", "267 mm")


def test_every_place_that_differs_is_named_and_no_other():
    before = {"runs": [{"id": "A", "cut_mm": 1.0, "notes": ["x", "y"]}, {"id": "B", "cut_mm": 2.0}], "name": "one"}
    after = {
        "runs": [{"id": "C", "cut_mm": 3.0}, {"id": "A", "cut_mm": 1.0 + 1e-12, "notes": ["x", "z", "y"]},
                 {"id": "B", "cut_mm": None}],
        "name": "one", "more": {"eye": None},
    }  # fmt: skip
    named = ("/runs/0/id", "/runs/0/cut_mm", "/runs/1/notes/1", "/runs/1/notes/2", "/runs/2/cut_mm", "/more/eye")
    assert pointers(before, after) == named
    assert pointers(after, after) == ()


def test_an_open_item_that_is_closed_or_new_is_named(boat):
    state = State(boat)
    before = check_report(state.now.good.refit)
    boat.write_bytes(edited(boat.read_bytes(), "606"))
    after = check_report(state.refresh().good.refit)
    places = [one.place for one in changes(before, after)]
    assert CHANGES["item_closed"] in places or CHANGES["item_opened"] in places


def test_a_remedy_is_given_as_text_closes_its_item_and_writes_nothing(ours):
    before = ours.state.path.read_bytes()
    listed = json.loads(ours.get("/remedies")[2])["remedies"]
    low = next(at for at, one in enumerate(listed) if one["changes"][0].startswith("posts.S-S2.top"))
    text = json.loads(ours.get(f"/remedied?good=1&remedy={low}")[2])["text"]
    assert "along: 601 mm" in text and ours.state.path.read_bytes() == before
    old, new = before.decode("utf-8").splitlines(), text.splitlines()
    assert len(old) == len(new) and sum(a != b for a, b in zip(old, new, strict=True)) <= 3
    items = check_report(ours.state.now.good.refit)["open_items"]
    found = json.loads(ours.post(text.encode("utf-8"))[2])
    assert found["faults"] == []
    after = check_report(ours.state.now.good.refit)["open_items"]
    assert "post.low" in {one["cause"] for one in items} and "post.low" not in {one["cause"] for one in after}
    for asked in some(("good=1&remedy=0", "good=2&remedy=x", "good=2&remedy=-1", "good=2")):
        assert ours.get(f"/remedied?{asked}")[0] == 409


def test_a_remedy_that_adds_a_part_is_left_to_the_hand(ours):
    listed = json.loads(ours.get("/remedies")[2])["remedies"]
    wire = next(at for at, one in enumerate(listed) if one["changes"][0].startswith("lines.guard wire"))
    assert json.loads(ours.get(f"/remedied?good=1&remedy={wire}")[2]) == {"text": None}


def test_values_are_written_at_their_keys_and_nowhere_else():
    data = b"\xef\xbb\xbf" + (BOATS / "saltwhin-31.yaml").read_bytes()
    edited_ = write_values(data, "x", {"posts.S-S4.foot": "[6530 mm, 1520 mm, 973 mm]", "posts.S-S4.lean": "2.5 deg"})
    before, after = data.decode("utf-8-sig").splitlines(), edited_.decode("utf-8-sig").splitlines()
    assert edited_.startswith(b"\xef\xbb\xbf") and len(before) == len(after)
    assert 1 <= sum(a != b for a, b in zip(before, after, strict=True)) <= 2
    for key in some(("posts.S-X4.lean", "posts.S-S4.nothing", "nothing", "posts.S-S4.foot.0")):
        with pytest.raises(InputError):
            write_values(data, "x", {key: "1 mm"})
    with pytest.raises(InputError):
        write_values(data, "x", {"posts.S-S4.holes.U.along": "9 m"})


def _started(boat) -> tuple[subprocess.Popen[str], str]:
    process = subprocess.Popen(
        [sys.executable, "-m", "geom", "view", str(boat), "--no-open"], cwd=ROOT, stdout=subprocess.PIPE, text=True,
        stderr=subprocess.DEVNULL, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert process.stdout
    return process, process.stdout.readline().strip()


def test_the_command_prints_its_address_follows_another_editor_and_ends_by_a_signal(boat):
    process, address = _started(boat)
    try:
        found = re.fullmatch(r"http://127\.0\.0\.1:(\d+)/\?token=([\w-]{32})", address)
        assert found, address
        with socket.create_connection(("127.0.0.1", int(found[1])), 60) as line:
            ask = f"GET /events?token={found[2]} HTTP/1.1\r\nHost: 127.0.0.1:{found[1]}\r\n\r\n"
            line.sendall(ask.encode())
            line.settimeout(60)
            seen = b""
            while b"data: 1\n" not in seen:
                seen += line.recv(4096)
            new = boat.with_suffix(".new")
            new.write_bytes(edited(boat.read_bytes()))
            new.replace(boat)
            until = time.monotonic() + 60
            while b"data: 2\n" not in seen and time.monotonic() < until:
                seen += line.recv(4096)
            assert b"data: 2\n" in seen
    finally:
        process.send_signal(signal.SIGTERM)
        assert process.wait(30) == 130


def test_a_file_that_cannot_be_read_is_refused_before_anything_is_served(tmp_path):
    bad = tmp_path / "bad.yaml"
    bad.write_text("format: 2\n", "utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "geom", "view", str(bad), "--no-open"], cwd=ROOT, capture_output=True, text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert done.returncode == 2 and done.stdout == "" and "bad.yaml" in done.stderr


def test_the_panels_of_the_editor_have_our_words():
    """Every phrase that the bundled parts of the editor look up, and no other."""
    parts = ROOT / "templates" / "page" / "node_modules" / "@codemirror"
    asked = {
        phrase
        for part in some(("search", "lint", "view", "commands"))
        for phrase in re.findall(
            r'phrase\((?:\w+, )?"([^"]+)"', (parts / part / "dist" / "index.js").read_text("utf-8")
        )
    }
    assert asked == set(english_page.EDITOR)
    for phrase, said in some(english_page.EDITOR.items()):
        assert phrase.count("$") == said.count("$")


def test_every_word_of_the_editor_is_used():
    folder = ROOT / "templates" / "page"
    template = (folder / "live.html.j2").read_text("utf-8")
    program = (folder / "src" / "live.js").read_text("utf-8")
    code = "".join(path.read_text("utf-8") for path in sorted((ROOT / "geom" / "live").glob("*.py")))
    for key in some(english_page.LIVE):
        assert f"t.{key} " in template or f'"{key}"' in program or f'"{key}"' in code, key
