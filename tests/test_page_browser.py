"""The page in a browser: phones, tablet and desk; every card opened, everything tapped, ticks and records kept."""

from __future__ import annotations

import subprocess
from dataclasses import replace
from itertools import combinations, pairwise
from math import dist

import pytest

from geom.intake.as_built import read_as_built
from geom.paperwork.made.log import read_log, taken_in
from geom.words import english_page
from tests.browser import AXE, SIZES, opened
from tests.counts import TIMES
from tests.pages import PAGES, page_file, refit_for, report_for
from tests.some import some

pytestmark = pytest.mark.slow

SECTIONS = ("items", "boat", "lines", "posts", "tension", "order", "sheets", "log")
FOCUS = "(id) => { const one = document.getElementById(id); one.tabIndex = -1; one.focus(); }"
REFUSED = "Object.defineProperty(window, 'localStorage', { get() { throw new Error('refused'); } });"
VIOLATIONS = (
    "async ([place, rules]) => (await axe.run(place ?? document, rules ? { runOnly: rules } : {})).violations"
    ".map((one) => [one.id, one.nodes.slice(0, 3).map((node) => node.html.slice(0, 160))])"
)
SEEN_RULES = ["color-contrast", "target-size", "scrollable-region-focusable", "link-in-text-block"]
ALL_SHOWN = "() => { for (const one of document.querySelectorAll('main > section')) one.classList.add('open'); }"
COLOURS = """(scheme) => {
  const root = document.documentElement;
  if (scheme === 'auto') delete root.dataset.scheme;
  else root.dataset.scheme = scheme;
  return ['paper', 'ink', 'second', 'rule', 'rope', 'hold', 'face', 'deck', 'mark'].map(
    (name) => getComputedStyle(root).getPropertyValue(`--${name}`).trim());
}"""
FIRST_SHEET = "() => document.querySelector('[data-sheet]').dataset.sheet"
# Of cards of one section and one make, all but the first taken away.
FEWER = """() => {
  const met = new Map();
  for (const card of document.querySelectorAll('[data-card], .sheets li, .steps li, tbody tr')) {
    if (!card.isConnected) continue;
    const make = `${card.closest('section').id} ${card.tagName} ${card.className}`;
    met.set(make, (met.get(make) ?? 0) + 1);
    if (met.get(make) > 1) card.remove();
  }
}"""
SHOWN = (
    "() => [...document.querySelectorAll('main > section')].filter((one) => one.checkVisibility()).map((one) => one.id)"
)
# How many cards a section shows, and what of them is hidden or wider than the screen.
WIDE = """(id) => {
  const cards = [...document.querySelectorAll(`#${id} [data-card]`)];
  const wide = cards.filter((card) => !card.checkVisibility() || [card, ...card.querySelectorAll('*')].some(
    (one) => one.getBoundingClientRect().right > innerWidth + 1 && !one.closest('.table')));
  return [cards.length, wide.map((card) => card.id)];
}"""
# Cards that their address does not bring into sight.
BY_ADDRESS = """async () => {
  const lost = [];
  for (const card of document.querySelectorAll('[data-card][id]')) {
    const gone = new Promise((found) => addEventListener('hashchange', found, { once: true }));
    location.hash = `#${card.id}`;
    await gone;
    const { top } = card.getBoundingClientRect();
    if (!card.checkVisibility() || top < 0 || top > innerHeight) lost.push(card.id);
  }
  return lost;
}"""
TOWARDS = """(id) => {
  const stage = document.getElementById('stage');
  stage.view.towards(id);
  stage.scrollIntoView({ block: 'center' });
  return stage.view.project(id);
}"""
# What a pointer picks that goes down and up where something is seen.
POINTED = f"""(ids) => ids.map((id) => {{
  const canvas = document.querySelector('#stage canvas');
  // A pointer of the test is none that can be captured.
  canvas.setPointerCapture = canvas.releasePointerCapture = () => undefined;
  const {{ x, y }} = ({TOWARDS})(id);
  for (const type of ['pointerdown', 'pointerup']) {{
    const event = {{ clientX: x, clientY: y, pointerId: 1, isPrimary: true, bubbles: true }};
    canvas.dispatchEvent(new PointerEvent(type, event));
  }}
  return document.getElementById('chosen').dataset.chosen;
}})"""
OVERFLOW = "() => document.documentElement.scrollWidth - innerWidth"
OPEN_ALL = "() => { for (const one of document.querySelectorAll('details')) one.open = true; }"


def address(name: str) -> str:
    return page_file(name).as_uri()


def _fills(page, sizes):
    """Yield the sizes, each taken by the page."""
    for size in sizes:
        page.set_viewport_size({"width": size[0], "height": size[1]})
        page.wait_for_timeout(60)
        yield size


@pytest.mark.parametrize("sizes", [SIZES[:3], SIZES[3:]], ids=["touched", "desk"])
@pytest.mark.parametrize("name", PAGES)
def test_every_card_opens_without_a_line_in_the_console_a_request_or_overflow(running, name, sizes):
    """At each size every section and every card in it stands within the width, and everything is picked in 3D."""
    report = report_for(name)
    with opened(running, address(name), sizes[0], sharp=False) as seen:
        page = seen.page
        page.evaluate(OPEN_ALL)
        cards = page.evaluate("() => document.querySelectorAll('[data-card]').length")
        for size in _fills(page, some(sizes)):
            met = 0
            for section in some(SECTIONS):
                seen.section(section)
                assert page.evaluate(OVERFLOW) <= 0, (size, section)
                assert page.evaluate("() => scrollY") == 0, "the caution is in sight"
                assert page.evaluate(SHOWN) == [section]
                count, wide = page.evaluate(WIDE, section)
                assert wide == [], (size, section)
                met += count
            assert met == cards
            seen.section("boat")
            for kind in some(("posts", "runs", "holes")):
                ids = [one["id"] for one in report[kind]]
                assert page.evaluate(POINTED, ids) == ids, (size, kind)
        assert page.evaluate(BY_ADDRESS) == []
        assert seen.console == []
        assert seen.requests == [address(name)]


def test_a_finger_picks_every_post_every_run_and_every_hole(running):
    """Each is shown from its side; a hole is tapped from near, where it is apart from the next on its post."""
    report = report_for("saltwhin-31")
    with opened(running, address("saltwhin-31"), (390, 844), sharp=False) as seen:
        page = seen.page
        seen.section("boat")
        for kind in some(("posts", "runs", "holes")):
            ids = [one["id"] for one in report[kind]]
            picked = []
            for one in some(ids):
                spot = page.evaluate(TOWARDS, one)
                page.touchscreen.tap(spot["x"], spot["y"])
                page.wait_for_timeout(20)
                picked.append(page.evaluate("() => document.getElementById('chosen').dataset.chosen"))
            assert picked == ids, kind
        assert seen.console == []


def test_what_is_tapped_shows_its_figures_below_and_what_else_is_near(running):
    with opened(running, address("saltwhin-31"), (390, 844)) as seen:
        page = seen.page
        seen.section("boat")
        page.locator("[data-view='starboard']").click()
        page.evaluate("() => document.getElementById('stage').scrollIntoView({ block: 'center' })")
        page.wait_for_timeout(50)
        spot = page.evaluate("() => document.getElementById('stage').view.project('S-F-U')")
        page.touchscreen.tap(spot["x"], spot["y"])
        seen.until("() => document.getElementById('chosen').textContent.includes('5970')")
        shown = page.locator("#chosen").text_content()
        assert "FROM REEL" in shown and "S-F-U" in shown
        # The port line lies behind it.
        assert page.locator("#near button").count() >= 1
        page.locator("#near button").first.click()
        seen.until("() => document.getElementById('chosen').dataset.chosen === 'P-F-U'")


def test_a_card_leads_to_its_place_in_3d_when_the_boat_was_seen_before(running):
    """The chip `Show in 3D`, after the section was hidden and the screen turned: what is meant is in the middle."""
    with opened(running, address("saltwhin-31"), (390, 844), sharp=False) as seen:
        page = seen.page
        seen.section("boat")
        seen.section("posts")
        page.set_viewport_size({"width": 844, "height": 390})
        page.locator("[id='post-S-S2'] [data-show]").click()
        seen.until("() => document.getElementById('chosen').dataset.chosen === 'S-S2'")
        spot, stage = page.evaluate(
            "() => { const stage = document.getElementById('stage'); const { left, width } = "
            "stage.getBoundingClientRect(); return [stage.view.project('S-S2').x, [left, width]]; }"
        )
        assert spot == pytest.approx(stage[0] + 0.5 * stage[1], abs=0.1 * stage[1])
        assert seen.console == []


def test_the_views_are_drawn_and_differ(running):
    with opened(running, address("saltwhin-31"), (1440, 900)) as seen:
        page = seen.page
        seen.section("boat")
        pictures = set()
        for view in some(("corner", "plan", "starboard", "port")):
            page.locator(f"[data-view='{view}']").click()
            page.wait_for_timeout(120)
            assert page.locator(f"[data-view='{view}']").get_attribute("aria-pressed") == "true"
            pictures.add(page.locator("#stage").screenshot())
        assert len(pictures) == 4
        place = "(id) => document.getElementById('stage').view.project(id)"
        page.locator("[data-view='port']").click()
        page.wait_for_timeout(60)
        # Bow at left from port; X runs aft.
        assert page.evaluate(place, "P-S1")["x"] < page.evaluate(place, "P-S2")["x"]
        page.locator("[data-view='starboard']").click()
        page.wait_for_timeout(60)
        assert page.evaluate(place, "S-S1")["x"] > page.evaluate(place, "S-S2")["x"]
        page.locator("[data-view='plan']").click()
        page.wait_for_timeout(60)
        # Bow at left in plan, starboard above.
        assert page.evaluate(place, "S-S1")["x"] < page.evaluate(place, "S-S2")["x"]
        assert page.evaluate(place, "S-S1")["y"] < page.evaluate(place, "P-S1")["y"]
        assert seen.console == []


# What is lettered over the boat in the last frame, each with its middle.
LETTERED = """() => {
  const { clearRect, fillText } = CanvasRenderingContext2D.prototype;
  CanvasRenderingContext2D.prototype.clearRect = function (...all) {
    window.lettered = [];
    return clearRect.apply(this, all);
  };
  CanvasRenderingContext2D.prototype.fillText = function (text, x, y) {
    window.lettered.push([text, x, y]);
    return fillText.call(this, text, x, y);
  };
}"""


def test_on_a_phone_every_stanchion_is_named_and_no_flag_covers_another(running):
    report = report_for("saltwhin-31")
    with opened(running, address("saltwhin-31"), (390, 844), sharp=False) as seen:
        seen.page.evaluate(LETTERED)
        seen.section("boat")
        seen.until("() => (window.lettered ?? []).length > 0")
        found = seen.page.evaluate("() => window.lettered")
    assert {one["id"] for one in some(report["posts"])} <= {text for text, _, _ in found}
    flags = [(text, (x, y)) for text, x, y in found if text.isdigit()]
    # The gates, the bent stanchion, the tape and the low stanchion; from afar not what concerns the whole boat.
    assert sorted(text for text, _ in flags) == ["1", "1", "2", "3", "4"]
    for (_, one), (_, other) in some(combinations(flags, 2)):
        assert dist(one, other) > 21.0


def test_ticks_are_kept_over_a_reload_and_belong_to_the_data(running, tmp_path):
    source = page_file("saltwhin-31").read_text("utf-8")
    file = tmp_path / "refit.html"
    file.write_text(source, "utf-8")
    with opened(running, file.as_uri()) as seen:
        page = seen.page
        seen.section("run-S-F-U")
        steps = page.locator("#run-S-F-U .steps input")
        count = steps.count()
        assert count == len(report_for("saltwhin-31")["runs"][0]["work"]["threading"]["steps"])
        steps.nth(0).check()
        steps.nth(2).check()
        seen.section("items")
        page.locator("#item-1 input[type=checkbox]").check()
        assert page.locator("#item-1").evaluate("one => one.classList.contains('done')")
        page.reload()
        seen.section("run-S-F-U")
        assert [steps.nth(index).is_checked() for index in range(4)] == [True, False, True, False]
        assert page.locator("#item-1 input[type=checkbox]").is_checked()
        # Other figures of the run: nothing is ticked, as none of it was done to them.
        digest = page.locator("#run-S-F-U").get_attribute("data-hash")
        file.write_text(source.replace(digest, "0123456789abcdef"), "utf-8")
        page.reload()
        seen.section("run-S-F-U")
        assert [steps.nth(index).is_checked() for index in range(4)] == [False] * 4
        assert page.locator("#item-1 input[type=checkbox]").is_checked()


def _enter(page, run: str, field: str, text: str) -> None:
    page.locator(f"[id='run-{run}'] [data-field='{field}']").first.fill(text)
    page.locator(f"[id='run-{run}'] [data-field='{field}']").first.blur()


def test_a_length_as_made_is_held_against_the_adjusting_range(running):
    """4687.7 mm designed, 40 mm each way: the figures of check.json, subtracted by hand."""
    run = report_for("saltwhin-31")["runs"][0]
    assert (round(run["finished_mm"], 1), run["shorten_mm"], run["lengthen_mm"]) == (4687.7, 40.0, 40.0)
    with opened(running, address("saltwhin-31")) as seen:
        page = seen.page
        seen.section("run-S-F-U")
        verdict = page.locator("[id='run-S-F-U'] .made .verdict")
        for entered, said in some((
            ("4690", "2.3 mm longer than designed, 37.7 mm of shortening left"),
            ("4650.7", "37.0 mm shorter than designed, 3.0 mm of lengthening left"),
            ("4730", "2.3 mm too long for the adjusting range"),
            ("4640", "7.7 mm too short for the adjusting range"),
            ("about 4690", english_page.PROGRAM["not_a_length"]),
            ("184 5/8 in", "0.07 in longer than designed, 1.51 in of shortening left"),
        )):  # fmt: skip
            _enter(page, "S-F-U", "finished", entered)
            assert verdict.text_content() == said, entered
        page.locator("#units").click()
        assert page.locator("[id='run-S-F-U'] [data-field='finished']").input_value() == "184 5/8"


def test_a_tension_as_made_is_entered_in_the_unit_shown(running):
    """A pound-force is 4.4482216 N; the record is read with the unit that was shown."""
    worked_out = refit_for("pipwing-25")
    with opened(running, address("pipwing-25")) as seen:
        page = seen.page
        seen.section("run-S-F-U")
        _enter(page, "S-F-U", "tension", "76")
        seen.section("log")
        _signed(page, "S-F-U", "56", "76")
        assert "76 lbf" in page.locator("#log-entries").text_content()
        data = _export(page)
        field = page.locator("[id='run-S-F-U'] [data-field='tension']")
        assert field.input_value() == "76"
        page.locator("#units").click()
        assert field.input_value() == "76 lbf"
        seen.section("run-S-F-U")
        _enter(page, "S-F-U", "tension", "340")
        assert "340 N" in page.locator("#log-entries").text_content()
        assert seen.console == []
    record = read_as_built(data, "as-built.yaml", worked_out.boat)
    assert record.runs["S-F-U"].tension == pytest.approx(76 * 4.4482216, rel=1e-6)
    (again,) = record.retension
    assert (again.found, again.left) == pytest.approx((56 * 4.4482216, 76 * 4.4482216), rel=1e-6)


def test_no_name_and_no_figure_with_its_unit_is_broken_over_two_lines(running):
    broken = (
        "() => [...document.querySelectorAll('.whole')].filter((one) => one.checkVisibility()).map("
        "(one) => [one.textContent, one.getClientRects().length])"
    )
    with opened(running, address("saltwhin-31"), (360, 740), sharp=False) as seen:
        for section in some(("items", "lines", "tension")):
            seen.section(section)
            found = seen.page.evaluate(broken)
            assert len(found) > 20
            assert [text for text, lines in found if lines != 1] == [], section


def _filled(seen) -> None:
    page = seen.page
    seen.section("run-S-F-U")
    _enter(page, "S-F-U", "finished", "4690")
    _enter(page, "S-F-U", "setting", "62")
    _enter(page, "S-F-U", "tension", "340")
    _enter(page, "S-F-U", "first_eye", "4664.2")
    _enter(page, "S-F-U", "lot", "R-114")
    _enter(page, "S-F-U", "certificate", "C-2291")
    _enter(page, "S-F-U", "note", 'eye: "tight" # no')
    seen.section("run-P-A-L")
    _enter(page, "P-A-L", "finished", "90 5/8 in")
    seen.section("log")
    _signed(page, "S-A-U", "250", "340")


def _signed(page, run: str, found: str, left: str) -> None:
    """Fill in who measured, when and with what, and that a run was tightened again."""
    page.locator("[data-log=by]").fill("no")
    page.locator("[data-log=date]").fill("2026-04-01")
    page.locator("[data-log=tool]").fill("steel tape, 10 m")
    page.locator("[data-log=tool]").blur()
    page.locator("[data-again=run]").select_option(run)
    page.locator("[data-again=date]").fill("2026-05-01")
    page.locator("[data-again=by]").fill("owner")
    page.locator("[data-again=found]").fill(found)
    page.locator("[data-again=left]").fill(left)
    page.locator("#again button").click()


def _export(page) -> bytes:
    with page.expect_download() as waiting:
        page.locator("#export").click()
    return waiting.value.path().read_bytes()


def test_the_exported_record_is_read_by_the_program_and_by_the_page(running, tmp_path):
    worked_out = refit_for("saltwhin-31")
    with opened(running, address("saltwhin-31")) as seen:
        page = seen.page
        seen.section("log")
        page.locator("#export").click()
        assert "Measured by" in page.locator("#log-said").text_content()
        _filled(seen)
        data = _export(page)
        assert page.locator("#log-entries li").count() == 2
        assert data.decode("utf-8") == page.locator("#record").input_value()
        assert seen.console == []
    record = read_as_built(data, "as-built.yaml", worked_out.boat)
    assert record.as_built.by == "no" and record.as_built.tool == "steel tape, 10 m"
    assert record.as_built.data_sha256 == worked_out.loaded.data_sha256
    assert str(record.as_built.date) == "2026-04-01"
    run = record.runs["S-F-U"]
    assert (run.finished, run.tension, run.note) == (4690.0, 340.0, 'eye: "tight" # no')
    assert run.settings == {"lashing": 62.0}
    assert (run.first_eye, run.lot, run.certificate) == (4664.2, "R-114", "C-2291")
    text, taken = taken_in(None, "record.yaml", worked_out, read_log(data, "log.yaml", worked_out))
    assert taken.runs["S-F-U"].first_eye == 4664.2 and taken.retension == record.retension
    assert taken.as_built == record.as_built and "# designed" in text
    assert record.runs["P-A-L"].finished == pytest.approx(90.625 * 25.4)
    (again,) = record.retension
    assert (again.run, again.found, again.left, again.by) == ("S-A-U", 250.0, 340.0, "owner")
    file = tmp_path / "as-built.yaml"
    file.write_bytes(data)
    with opened(running, address("saltwhin-31")) as seen:
        page = seen.page
        seen.section("log")
        assert page.locator("#log-entries li").count() == 0
        page.locator("#import").set_input_files(file)
        seen.until("() => document.getElementById('log-said').textContent.startsWith('Imported: 2')")
        assert page.locator("#log-entries li").count() == 2
        assert _export(page) == data
        page.reload()
        assert page.locator("[id='run-S-F-U'] [data-field='finished']").input_value() == "4690"


def test_a_record_of_another_boat_other_data_or_none_is_refused(running, tmp_path):
    with opened(running, address("saltwhin-31")) as seen:
        page = seen.page
        _filled(seen)
        good = _export(page).decode("utf-8")
        boat = refit_for("saltwhin-31").loaded
        for number, (text, said) in enumerate(some((
            (good.replace("SALTWHIN 31", "OTHER"), "OTHER"),
            (good.replace(boat.data_sha256, "0" * 64), "000000000000"),
            (good.replace("S-F-U:", "S-X-U:"), "S-X-U"),
            ("runs: [", "not an as-built record"),
            ("", "not an as-built record"),
            (f"{good.partition('retension:')[0]}retension:\n  -\n", "not an as-built record (retension)"),
        ))):  # fmt: skip
            file = tmp_path / f"{number}.yaml"
            file.write_text(text, "utf-8")
            page.locator("#import").set_input_files(file)
            seen.until("(said) => document.getElementById('log-said').textContent.includes(said)", said)
            assert "Not imported" in page.locator("#log-said").text_content()
            assert page.locator("#log-entries li").count() == 2
        assert seen.console == []


def test_both_units_are_shown_and_the_choice_is_kept(running):
    with opened(running, address("saltwhin-31")) as seen:
        page = seen.page
        seen.section("lines")
        length = page.locator(".index a[href='#run-S-F-U'] .length")
        assert length.inner_text().split() == ["5970", "mm"]
        page.locator("#units").click()
        assert length.inner_text().split() == ["235", "1/32", "in"]
        page.reload()
        seen.section("lines")
        assert length.inner_text().split() == ["235", "1/32", "in"]
    with opened(running, address("pipwing-25")) as seen:
        assert seen.page.evaluate("() => document.documentElement.dataset.units") == "in"


def test_every_sheet_opens_fits_and_zooms(running):
    with opened(running, address("pipwing-25"), (390, 844)) as seen:
        page = seen.page
        names = page.evaluate("() => [...document.querySelectorAll('[data-sheet]')].map((one) => one.dataset.sheet)")
        width = "() => document.getElementById('paper').shadowRoot.querySelector('svg').getBoundingClientRect().width"
        for name in some(names):
            seen.section(f"sheet-{name}")
            number = name.partition("-")[0]
            seen.until("(one) => document.getElementById('reader-title').textContent.startsWith(one)", number)
            page.wait_for_timeout(30)
            fitted = page.evaluate(width)
            assert 200 < fitted <= 391
            page.locator("[data-reader=in]").click()
            assert page.evaluate(width) == pytest.approx(1.4 * fitted, rel=0.01)
            page.locator("[data-reader=fit]").click()
        page.locator("[data-reader=close]").click()
        seen.until("() => document.getElementById('reader').hidden")
        assert seen.console == [] and seen.requests == [address("pipwing-25")]


def test_the_keyboard_alone_reaches_everything(running):
    """Every link, button and box of every section comes up by Tab, in view; Enter and the space bar work them."""
    with opened(running, address("pipwing-25"), (1440, 900)) as seen:
        page = seen.page
        page.evaluate(OPEN_ALL)
        wanted = (
            "(id) => [...document.querySelectorAll(`#${id} a[href], #${id} button, #${id} input, #${id} summary, "
            '#${id} select, #${id} textarea, #${id} [tabindex="0"]`)].filter((one) => one.checkVisibility()).length'
        )
        reached = (
            "(id) => { const one = document.activeElement; if (!one.closest('#' + id)) return null; "
            "one.dataset.reached = '1'; return document.querySelectorAll(`#${id} [data-reached]`).length; }"
        )
        for section in some(SECTIONS):
            seen.section(section)
            page.evaluate(FOCUS, section)
            count = page.evaluate(wanted, section)
            assert count > 0, section
            most = 0
            for _ in range(count + 40):
                page.keyboard.press("Tab")
                now = page.evaluate(reached, section)
                if now is None:
                    break
                most = max(most, now)
            # A date is one box with several stops.
            assert most >= count, section
        seen.section("boat")
        page.locator("[data-pick]").first.focus()
        page.keyboard.press("Enter")
        seen.until("() => document.getElementById('chosen').dataset.chosen")
        seen.section("lines")
        tick = page.locator(".steps input").first
        tick.focus()
        page.keyboard.press("Space")
        assert tick.is_checked()
        seen.section("sheets")
        page.locator("[data-sheet]").first.focus()
        page.keyboard.press("Enter")
        seen.until("() => !document.getElementById('reader').hidden")
        page.keyboard.press("Escape")
        seen.until("() => document.getElementById('reader').hidden")
        assert page.evaluate("() => document.activeElement.dataset.sheet !== undefined")


def _violations(seen, rules: list[str] | None = None) -> list:
    """Return what axe-core finds with every section shown at once and unfolded."""
    page = seen.page
    page.evaluate("() => { location.hash = '#boat'; }")
    page.wait_for_timeout(60)
    page.evaluate(ALL_SHOWN)
    # Scrolled anywhere else, the bar that stays on top lies over some link or other.
    page.evaluate("() => scrollTo(0, 0)")
    return page.evaluate(VIOLATIONS, [None, rules])


def _violations_of_a_sheet(seen) -> list:
    """Return what axe-core finds with a sheet over the page."""
    seen.section(f"sheet-{seen.page.evaluate(FIRST_SHEET)}")
    seen.until("() => !document.getElementById('reader').hidden")
    return seen.page.evaluate(VIOLATIONS, ["#reader", None])


def _looked_at(seen) -> None:
    """Unfold everything and choose a line in 3D."""
    assert AXE.is_file(), "run npm ci --ignore-scripts in templates/page"
    seen.page.add_script_tag(path=AXE)
    seen.page.evaluate(OPEN_ALL)
    seen.section("boat")
    seen.page.locator("[data-pick]").first.click()


WHOLE = (("saltwhin-31", (390, 844), "light"), ("pipwing-25", (1440, 900), "dark"), ("random", (360, 740), "dark"))


@pytest.mark.long
@pytest.mark.parametrize(
    ("name", "size", "scheme"),
    WHOLE if TIMES == 1 else [(n, size, scheme) for n in PAGES for size in SIZES for scheme in ("light", "dark")],
    ids=lambda one: "x".join(map(str, one)) if isinstance(one, tuple) else one,
)
def test_no_violation_of_the_rules_for_accessible_pages(running, name, size, scheme):
    """axe-core 4.14: WCAG 2.2 A and AA and best practice, on every boat with every card, a sheet and the boat in 3D."""
    with opened(running, address(name), size, scheme, bypass_csp=True, sharp=False) as seen:
        _looked_at(seen)
        if name == "random" and TIMES == 1:
            # Its many stanchions and lines are of few makes.
            seen.page.evaluate(FEWER)
        assert _violations(seen) == []
        assert _violations_of_a_sheet(seen) == []


@pytest.mark.parametrize("sizes", [SIZES[:3], SIZES[3:]], ids=["touched", "desk"])
def test_no_violation_of_rules_of_size_and_colour_at_any_size_in_any_scheme(running, sizes):
    """The rules of axe-core that read colours and boxes; all others read the elements, which are the same throughout.

    Of cards of one make one is left, so that the rules go through each kind of card eight times.
    """
    with opened(running, address("saltwhin-31"), sizes[0], bypass_csp=True, sharp=False) as seen:
        page = seen.page
        _looked_at(seen)
        page.evaluate(FEWER)
        for _ in _fills(page, some(sizes)):
            for scheme in some(("light", "dark")):
                page.emulate_media(color_scheme=scheme)
                assert _violations(seen, SEEN_RULES) == [], scheme
        # A scheme chosen by hand has the colours of the one that the machine chooses.
        for chosen, other in some((("light", "dark"), ("dark", "light"))):
            page.emulate_media(color_scheme=chosen)
            own = page.evaluate(COLOURS, "auto")
            page.emulate_media(color_scheme=other)
            assert page.evaluate(COLOURS, chosen) == own != page.evaluate(COLOURS, "auto")


def test_without_scripts_every_card_stands(running):
    with opened(running, address("saltwhin-31"), scripts=False) as seen:
        for section in some(SECTIONS):
            assert seen.page.locator(f"#{section}").is_visible()
        assert seen.page.locator("#run-S-F-U .box").inner_text().split() == ["FROM", "REEL", "5970", "mm"]
        assert seen.page.locator("#units").is_hidden() and seen.page.locator("#viewer").is_hidden()


def test_where_storage_is_refused_the_export_still_has_the_entries(running):
    page_of_ours = address("saltwhin-31")
    with opened(running, "about:blank") as seen:
        page = seen.page
        page.add_init_script(REFUSED)
        page.goto(page_of_ours)
        _filled(seen)
        assert b"4690 mm" in _export(page)
        seen.section("run-S-F-U")
        page.locator("#run-S-F-U .steps input").first.check()
        assert page.locator("#status").text_content() == english_page.PROGRAM["not_kept"]


def test_without_webgl_the_list_has_every_figure(running):
    with opened(running, "about:blank") as seen:
        page = seen.page
        page.add_init_script("HTMLCanvasElement.prototype.getContext = () => null;")
        page.goto(address("saltwhin-31"))
        page.evaluate("() => { location.hash = '#boat'; }")
        seen.until("(said) => document.getElementById('stage').textContent === said", english_page.PROGRAM["no_webgl"])
        page.evaluate(OPEN_ALL)
        page.locator("[data-pick='S-S2']").click()
        seen.until("() => document.getElementById('chosen').textContent.includes('595.4')")


def test_a_run_prints_on_two_pages_at_most(running, tmp_path):
    """A4, as the browser prints it: the name of each run begins a page, and the next begins two pages later at most."""
    with opened(running, address("saltwhin-31"), (1440, 900)) as seen:
        seen.section("lines")
        data = seen.page.pdf(format="A4", print_background=True)
    file = tmp_path / "page.pdf"
    file.write_bytes(data)
    runs = [one["id"] for one in report_for("saltwhin-31")["runs"]]
    printed = subprocess.run(["pdftotext", "-layout", file, "-"], capture_output=True, text=True, check=True)
    texts = printed.stdout.split("\f")
    first = {run: next(at for at, text in enumerate(texts) if text.lstrip().startswith(run)) for run in some(runs)}
    starts = [*sorted(first.values())]
    assert len(set(starts)) == len(runs)
    assert max(after - before for before, after in pairwise(starts)) <= 2
    assert "Sheets" not in "".join(texts[: starts[0]])


def test_a_page_that_is_dark_on_the_screen_prints_black_on_white(running):
    """Colours as printed, whether the machine is dark or the page was made so by hand."""
    colours = "() => [document.body, document.querySelector('.flag polygon')].map((one) => getComputedStyle(one))"
    colours += ".map((style) => [style.color, style.backgroundColor, style.fill])"
    with opened(running, address("saltwhin-31"), (1440, 900), "light") as seen:
        seen.page.emulate_media(media="print")
        printed = seen.page.evaluate(colours)
    assert printed[0][:2] == ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]
    for scheme, clicks in some((("dark", 0), ("light", 2))):
        with opened(running, address("saltwhin-31"), (1440, 900), scheme) as seen:
            for _ in range(clicks):
                seen.page.locator("#scheme").click()
            assert seen.page.evaluate(colours) != printed
            seen.page.emulate_media(media="print", color_scheme=scheme)
            assert seen.page.evaluate(colours) == printed


def test_what_is_pressed_with_a_wet_finger_is_44_px_each_way(running):
    """WCAG 2.2, 2.5.5 Target Size (Enhanced): 44 by 44 CSS px; a tick is pressed by its whole line."""
    small = (
        "() => [...document.querySelectorAll('a, button, select, summary, .tick, input:not(.tick input, #import)')]"
        ".filter((one) => one.checkVisibility()).map((one) => [one.textContent, one.getBoundingClientRect()])"
        ".filter(([, at]) => at.width && (at.width < 43.9 || at.height < 43.9))"
        ".map(([text, at]) => `${text.trim()} ${at.width} ${at.height}`)"
    )
    with opened(running, address("saltwhin-31"), (390, 844)) as seen:
        for section in some(("items", "boat", "lines", "posts", "tension", "order", "sheets", "log")):
            seen.section(section)
            seen.page.evaluate("() => document.querySelectorAll('details').forEach((one) => { one.open = true; })")
            assert seen.page.evaluate(small) == [], section


def test_the_light_scheme_and_the_dark_one_are_chosen_by_hand_as_well(running):
    paper = "() => getComputedStyle(document.body).backgroundColor"
    with opened(running, address("pipwing-25"), scheme="light") as seen:
        page = seen.page
        assert page.evaluate(paper) == "rgb(255, 255, 255)"
        page.locator("#scheme").click()
        assert page.evaluate(paper) == "rgb(255, 255, 255)"
        page.locator("#scheme").click()
        assert page.evaluate(paper) != "rgb(255, 255, 255)"
        page.reload()
        assert page.evaluate(paper) != "rgb(255, 255, 255)"


def test_hostile_names_run_nothing(running, tmp_path):
    from geom.page import page_bytes
    from geom.refit import refit
    from tests.test_page import HOSTILE

    before = refit_for("pipwing-25")
    about = before.boat.boat.model_copy(update={"name": HOSTILE})
    worked_out = refit(replace(before.loaded, boat=before.boat.model_copy(update={"boat": about})))
    file = tmp_path / "hostile.html"
    file.write_bytes(page_bytes(worked_out, ()))
    with opened(running, file.as_uri()) as seen:
        page = seen.page
        page.on("dialog", lambda dialog: seen.console.append(dialog.message))
        for section in some(SECTIONS):
            seen.section(section)
        assert page.locator("h1").text_content() == HOSTILE
        assert page.locator("img").count() == 0
        assert seen.console == [] and seen.requests == [file.as_uri()]
