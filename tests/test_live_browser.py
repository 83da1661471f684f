"""The editor beside the page in a browser: what is saved is shown, faults stand at their lines, nothing is lost."""

from __future__ import annotations

import pytest

from geom.words import english_page
from tests.boats import BOATS
from tests.browser import AXE, opened
from tests.made import set_of
from tests.served import served
from tests.some import some

pytestmark = pytest.mark.slow

PARTS = ("header", "nav", "#items", "#boat", "#lines", "#posts", "#tension", "#order", "#sheets", "#log")

SHOWN = "(number) => document.getElementById('page').dataset.good === String(number)"
FRAME = "document.querySelector('iframe').contentDocument"
INSIDE = f"(text) => {FRAME}.getElementById('post-S-S2').textContent.includes(text)"
LINE = (
    "() => { const { state } = document.getElementById('editor').view; "
    "return state.doc.lineAt(state.selection.main.head).number; }"
)
REPLACE = (
    "([from, to]) => { const view = document.getElementById('editor').view; "
    "const at = view.state.doc.toString().indexOf(from); "
    "view.dispatch({ changes: { from: at, to: at + from.length, insert: to } }); }"
)
DRAWN = f"{FRAME}.getElementById('paper').shadowRoot?.querySelector('svg')"
TEXT = "() => document.getElementById('editor').view.state.doc.toString()"


@pytest.fixture
def ours(tmp_path):
    path = tmp_path / "boat.yaml"
    path.write_bytes((BOATS / "saltwhin-31.yaml").read_bytes())
    with served(path) as made:
        yield made


def test_what_is_saved_in_the_pane_is_written_and_shown_edged(running, ours):
    with opened(running, ours.door.address, (1440, 900)) as seen:
        page = seen.page
        seen.until(SHOWN, 1)
        assert page.locator("#save").is_disabled()
        page.evaluate(REPLACE, ["along: 596", "along: 604"])
        assert page.locator("#said").text_content() == english_page.LIVE["unsaved"]
        page.locator("#save").click()
        seen.until(SHOWN, 2)
        seen.until(INSIDE, "603.4")
        assert b"along: 604" in ours.state.path.read_bytes()
        assert page.locator("#save").is_disabled()
        assert "Figures changed" in page.locator("#said").text_content()
        assert "S-S2" in page.locator("#changes tbody").text_content()
        assert page.evaluate(f"() => {FRAME}.querySelectorAll('.card.changed').length") > 0
        outside = [one for one in seen.requests if not one.startswith(f"http://{ours.door.hosts[0]}/")]
        assert outside == [] and seen.console == []


def test_the_line_that_was_written_stays_in_view_and_one_list_is_open_below_it(running, ours):
    """The lists below the text take room from it: what changed opens at a save and folds the remedies."""
    seen_line = (
        "() => { const { view } = document.getElementById('editor'); "
        "const edge = view.scrollDOM.getBoundingClientRect(); "
        "const at = view.coordsAtPos(view.state.selection.main.head); "
        "return at !== null && at.top >= edge.top && at.bottom <= edge.bottom; }"
    )
    with opened(running, ours.door.address, (1440, 900)) as seen:
        page = seen.page
        seen.until(SHOWN, 1)
        page.locator("#remedies summary").click()
        seen.until("() => document.querySelectorAll('#remedies li').length > 0")
        page.evaluate(REPLACE, ["along: 596", "along: 604"])
        page.evaluate(
            "() => { const { view } = document.getElementById('editor'); "
            "const at = view.state.doc.toString().indexOf('along: 604'); "
            "view.dispatch({ selection: { anchor: at }, scrollIntoView: true }); }"
        )
        seen.until(seen_line)
        page.locator("#save").click()
        seen.until(SHOWN, 2)
        seen.until("() => document.getElementById('changes').open")
        seen.until(seen_line)
        assert not page.evaluate("() => document.getElementById('remedies').open")
        assert page.evaluate("() => document.getElementById('editor').clientHeight") > 300


def test_only_what_changed_is_put_into_the_page_and_all_else_stays_as_it_was(running, ours):
    """Cards of the port side, the boat as it was turned, what is ticked and unfolded; ticks belong to their figures."""
    with opened(running, ours.door.address, (1440, 900)) as seen:
        page = seen.page
        seen.until(SHOWN, 1)
        frame = page.frame_locator("iframe")
        frame.locator("nav a[href='#boat']").click()
        seen.until(f"() => Number({FRAME}.getElementById('stage').dataset.drawn ?? 0) > 0")
        frame.locator("[data-view=plan]").click()
        frame.locator("#boat summary").click()
        frame.locator("[data-pick='S-S2']").click()
        place = (
            f"() => {{ const {{ view }} = {FRAME}.getElementById('stage'); const from = view.project('S-S1'); "
            "const to = view.project('P-S3'); return [to.x - from.x, to.y - from.y].map(Math.round); }"
        )
        before = page.evaluate(place)
        frame.locator("nav a[href='#lines']").click()
        for run in some(("P-A-U", "S-F-U")):
            frame.locator(f"[id='run-{run}'] .steps input").first.check()
            frame.locator(f"[id='run-{run}'] .budget summary").click()
        page.evaluate(
            f"() => {{ for (const one of {FRAME}.querySelectorAll('.card, canvas')) one.dataset.old = '1'; }}"
        )
        # So little that no open item comes or goes, which would number the others anew.
        page.evaluate(REPLACE, ["along: 596", "along: 597"])
        page.locator("#save").click()
        seen.until(SHOWN, 2)
        old = f"(id) => {FRAME}.getElementById(id).dataset.old === '1'"
        assert page.evaluate(old, "run-P-A-U") and page.evaluate(old, "post-P-S2")
        assert not page.evaluate(old, "post-S-S2") and not page.evaluate(old, "run-S-F-U")
        ticked = [frame.locator(f"[id='run-{run}'] .steps input").first.is_checked() for run in ("P-A-U", "S-F-U")]
        assert ticked == [True, False]
        for run in some(("P-A-U", "S-F-U")):
            assert page.evaluate(f"(id) => {FRAME}.getElementById(id).querySelector('.budget').open", f"run-{run}")
        frame.locator("nav a[href='#boat']").click()
        assert page.evaluate(f"() => {FRAME}.querySelectorAll('canvas[data-old]').length") == 2
        assert page.evaluate(place) == before
        assert "596.4" in frame.locator("#chosen").text_content()
        assert seen.console == []


def test_a_page_followed_through_saves_is_the_page_opened_anew(running, ours):
    """A hole moved, the boat renamed, another boat altogether and back: all sections say what a new page says."""
    said = (
        f"() => {list(PARTS)!r}.map((part) => {FRAME}.querySelector(part)).map((part) => "
        "[part.textContent.replace(/\\s+/g, ' '), [...part.querySelectorAll('[id]')].map((one) => one.id)].join(' '))"
    )
    text = ours.state.path.read_bytes()
    other = text.replace(b"along: 596", b"along: 604", 1).replace(b"SALTWHIN 31", b"OTHER 31", 1)
    assert other.count(b"OTHER 31") == 1
    with opened(running, ours.door.address, (1440, 900)) as seen:
        seen.until(SHOWN, 1)
        for number, data in enumerate(some((other, text, (BOATS / "pipwing-25.yaml").read_bytes(), text)), start=2):
            assert ours.post(data)[0] == 200
            seen.until(SHOWN, number)
            with opened(running, ours.door.address, (1440, 900)) as afresh:
                afresh.until(SHOWN, number)
                assert seen.page.evaluate(said) == afresh.page.evaluate(said), number
        assert seen.console == []


def test_a_fault_stands_at_its_line_and_the_last_good_page_stays(running, ours):
    with opened(running, ours.door.address, (1440, 900)) as seen:
        page = seen.page
        seen.until(SHOWN, 1)
        page.evaluate(REPLACE, ["along: 596", "along: 59x6"])
        page.keyboard.press("Control+s")
        page.locator("#save").click()
        seen.until("() => document.querySelectorAll('#faults li').length === 1")
        assert page.locator("#said").text_content() == english_page.LIVE["faulty"]
        assert page.evaluate(INSIDE, "595.4")
        page.locator("#faults button").click()
        line = ours.state.now.faults[0].line
        assert page.evaluate(LINE) == line
        assert page.locator(".cm-lint-marker-error").count() == 1
        assert seen.console == []


def test_what_another_program_saves_does_not_overwrite_what_is_not_saved(running, ours):
    with opened(running, ours.door.address, (1440, 900)) as seen:
        page = seen.page
        seen.until(SHOWN, 1)
        page.evaluate(REPLACE, ["along: 596", "along: 604"])
        mine = page.evaluate(TEXT)
        theirs = ours.state.path.read_bytes().replace(b"along: 596", b"along: 601", 1)
        ours.state.path.write_bytes(theirs)
        page.locator("#save").click()
        seen.until("(said) => document.getElementById('said').textContent === said", english_page.LIVE["stale"])
        assert page.evaluate(TEXT) == mine and ours.state.path.read_bytes() == theirs
        ours.state.refresh()
        page.locator("#reload").click()
        seen.until(SHOWN, 2)
        seen.until("() => document.getElementById('editor').view.state.doc.toString().includes('along: 601')")


def test_a_remedy_is_a_button_that_changes_the_text_and_not_the_file(running, ours):
    with opened(running, ours.door.address, (1440, 900)) as seen:
        page = seen.page
        seen.until(SHOWN, 1)
        before = ours.state.path.read_bytes()
        page.locator("#remedies summary").click()
        seen.until("() => document.querySelectorAll('#remedies li').length > 3")
        page.locator("#remedies button", has_text="pad of 5 mm").click()
        seen.until("() => document.getElementById('editor').view.state.doc.toString().includes('along: 601 mm')")
        assert ours.state.path.read_bytes() == before
        # The first line that it changed is the one shown.
        shown = page.evaluate(
            "() => { const { state } = document.getElementById('editor').view; "
            "return state.doc.lineAt(state.selection.main.head).text; }"
        )
        assert "top: 617 mm" in shown and shown.encode() not in before
        assert page.locator("#save").is_enabled()
        page.locator("#remedies button").first.click()
        assert page.locator("#remedies-said").text_content() == english_page.LIVE["save_first"]
        page.locator("#save").click()
        seen.until(SHOWN, 2)
        assert b"along: 601 mm" in ours.state.path.read_bytes()
        assert seen.console == []


def test_sheets_are_listed_and_each_is_drawn_when_it_is_opened(running, ours):
    with opened(running, ours.door.address, (1440, 900)) as seen:
        page = seen.page
        seen.until(SHOWN, 1)
        assert "sheets" not in vars(ours.state.now.good)
        frame = page.frame_locator("iframe")
        frame.locator("nav a[href='#sheets']").click()
        names = [sheet.name for sheet in set_of("saltwhin-31")]
        listed = f"() => [...{FRAME}.querySelectorAll('[data-sheet]')].map((one) => one.dataset.sheet)"
        seen.until(f"(count) => {FRAME}.querySelectorAll('[data-sheet]').length === count", len(names))
        assert page.evaluate(listed) == names
        assert not page.evaluate(f"() => Boolean({DRAWN})")
        frame.locator("[data-sheet='R1-starboard-upper']").click()
        seen.until(f"() => Boolean({DRAWN})")
        assert page.evaluate(f"() => {FRAME}.getElementById('reader-title').textContent").startswith("R1 ")
        # A save draws the open sheet again; it keeps its zoom.
        frame.locator("[data-reader=in]").click()
        wide = page.evaluate(f"() => {DRAWN}.style.width")
        page.evaluate(f"() => {DRAWN}.setAttribute('data-old', '1')")
        page.evaluate(REPLACE, ["along: 596", "along: 604"])
        page.locator("#save").click()
        seen.until(f"() => {DRAWN}.dataset.old === undefined")
        assert page.evaluate(f"() => {DRAWN}.style.width") == wide
        frame.locator("[data-reader=close]").click()
        seen.until(SHOWN, 2)
        assert seen.console == []


def test_the_editor_is_accessible_and_its_colours_follow_the_scheme(running, ours):
    """axe-core on the editor with its search panel open, in both schemes; the page beside it has tests of its own."""
    with opened(running, ours.door.address, (1440, 900), bypass_csp=True) as seen:
        page = seen.page
        seen.until(SHOWN, 1)
        page.add_script_tag(path=AXE)
        page.locator(".cm-content").focus()
        page.keyboard.press("Control+f")
        panel = page.locator(".cm-search")
        assert panel.locator("button[name=replaceAll]").text_content() == english_page.EDITOR["replace all"]
        for scheme in some(("light", "dark")):
            page.emulate_media(color_scheme=scheme)
            found = page.evaluate(
                "async () => (await axe.run({ exclude: ['iframe'] })).violations"
                ".map((one) => [one.id, one.nodes.slice(0, 3).map((node) => node.html.slice(0, 160))])"
            )
            assert found == [], scheme
