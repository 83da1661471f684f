"""The editor beside the page in a browser: what is saved is shown, faults stand at their lines, nothing is lost."""

from __future__ import annotations

import pytest

from geom.words import english_page
from tests.boats import BOATS
from tests.browser import AXE, browser, opened
from tests.served import served
from tests.some import some

pytestmark = pytest.mark.slow

SHOWN = "(number) => document.getElementById('page').dataset.good === String(number)"
FRAME = "document.querySelector('iframe:not(.next)').contentDocument"
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
TEXT = "() => document.getElementById('editor').view.state.doc.toString()"


@pytest.fixture(scope="module")
def running():
    with browser() as made:
        yield made


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
        assert page.locator("#save").is_enabled()
        page.locator("#remedies button").first.click()
        assert page.locator("#remedies-said").text_content() == english_page.LIVE["save_first"]
        page.locator("#save").click()
        seen.until(SHOWN, 2)
        assert b"along: 601 mm" in ours.state.path.read_bytes()
        assert seen.console == []


def test_sheets_are_drawn_when_they_are_opened(running, ours):
    with opened(running, ours.door.address, (1440, 900)) as seen:
        page = seen.page
        seen.until(SHOWN, 1)
        assert "page_with_sheets" not in vars(ours.state.now.good)
        page.frame_locator("iframe:not(.next)").locator("nav a[href='#sheets']").click()
        seen.until(f"() => {FRAME}.querySelectorAll('[data-sheet]').length > 20")
        assert "page_with_sheets" in vars(ours.state.now.good)
        assert seen.console == []


def test_the_editor_is_accessible_and_its_colours_follow_the_scheme(running, ours):
    for scheme in some(("light", "dark")):
        with opened(running, ours.door.address, (1440, 900), scheme, bypass_csp=True) as seen:
            page = seen.page
            seen.until(SHOWN, 1)
            page.add_script_tag(path=AXE)
            found = page.evaluate(
                "async () => (await axe.run({ exclude: ['iframe'] })).violations"
                ".map((one) => [one.id, one.nodes.slice(0, 3).map((node) => node.html.slice(0, 160))])"
            )
            assert found == [], scheme
