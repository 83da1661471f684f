"""The page as a file: every figure is that of check.json, nothing from outside, nothing on it of a line on hold."""

from __future__ import annotations

import base64
import hashlib
import json
import re
import shutil
import subprocess
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from jinja2.bccache import Bucket

from geom.export import check_of
from geom.package import page_file as written_page
from geom.page import document, drawings_of, listed_of, page_bytes
from geom.page.drawings import Drawing, tags_of
from geom.page.figures import unbroken
from geom.page.scene import scene
from geom.page.value import value_of
from geom.refit import refit
from geom.render.svg import svg_bytes
from geom.sheets import drawing_set
from geom.tables import every_table
from geom.words import english_page
from tests.boats import ROOT, refit_of
from tests.made import set_of
from tests.pages import PAGES, by_id, elements, number, page_of, read_page, refit_for, report_for, resolved, sheets_in
from tests.some import some

TEMPLATES = ROOT / "templates" / "page"


def shown(one, unit: str) -> str:
    """Return what an element says in a unit: what is of the other one is left out, and units are."""
    return one.text(without={"mm": "in", "in": "mm"}[unit])


@pytest.mark.parametrize("name", PAGES)
def test_every_figure_is_that_of_check_json(name):
    report = report_for(name)
    figures = [one for one in elements(name) if "data-key" in one.attributes]
    assert len(figures) > 200
    for one in some(figures):
        pointer = one.attributes["data-key"]
        value = resolved(report, pointer)
        held = float(one.attributes.get("value") or one.attributes["data-value"])
        assert held == value, pointer
        seen, half = number(shown(one, "mm"))
        assert abs(seen - value) <= half + 1e-6, (pointer, value, shown(one, "mm"))


@pytest.mark.parametrize("name", PAGES)
def test_a_length_in_inches_is_the_same_length(name):
    """25.4 mm to the inch; 1/32 in on a tape, thousandths for a diameter, and pounds of 4.4482216 N."""
    report = report_for(name)
    lengths = forces = 0
    for one in some(e for e in elements(name) if e.tag == "data"):
        pointer = one.attributes["data-key"]
        key = next(part for part in reversed(pointer.split("/")) if not part.isdigit())
        value = resolved(report, pointer)
        if key.endswith("_mm"):
            seen, half = number(shown(one, "in"))
            assert abs(seen - value / 25.4) <= half + 1e-6, (pointer, shown(one, "in"))
            lengths += 1
        elif key.endswith("_n"):
            seen, half = number(shown(one, "in"))
            assert abs(seen - value / 4.4482216) <= half + 1e-6, (pointer, shown(one, "in"))
            forces += 1
    assert lengths > 100 and forces > 5


@pytest.mark.parametrize("name", PAGES)
def test_every_sentence_is_that_of_check_json(name):
    report = report_for(name)
    for one in some(e for e in elements(name) if "data-said" in e.attributes):
        said = resolved(report, one.attributes["data-said"])
        assert shown(one, "mm").lower() == said.lower()


@pytest.mark.parametrize(
    ("text", "whole"),
    [
        ("EYE for S-PULPIT-U: 4668 mm, accept to 4670 mm", ("S-PULPIT-U", "4668 mm", "4670 mm")),
        ("lean -1.5 deg, 10 to 20 % of break", ("-1.5 deg", "20 %")),
        ("45 lbf [200 N], 19 31/32 in, .24 in (6.1)", ("45 lbf", "200 N", "19 31/32 in", ".24 in")),
        ("one-ended lock, 12-strand, 1x19 wire, 5 months", ()),
        ("S-" + "A" * 40, ()),
    ],
)  # fmt: skip
def test_a_name_and_a_figure_with_its_unit_stay_in_one_line(text, whole):
    made = unbroken(text)
    assert tuple(re.findall('<span class="whole">(.*?)</span>', made)) == whole
    assert re.sub("<.*?>", "", made) == text
    assert unbroken("<b>5 mm</b>") == '&lt;b&gt;<span class="whole">5 mm</span>&lt;/b&gt;'


@pytest.mark.parametrize("name", PAGES)
def test_every_cell_of_a_table_is_that_of_its_schedule(name):
    tables = {table.name: table for table in every_table(refit_for(name))}
    runs = {run["id"]: run for run in report_for(name)["runs"]}
    for one in some(e for e in elements(name) if "data-table" in e.attributes):
        table = tables[one.attributes["data-table"]]
        row = table.ids.index(one.attributes["data-row"])
        column = [c.key for c in table.columns].index(one.attributes["data-column"])
        value, text = table.rows[row][column], shown(one, "mm")
        if one.attributes["data-column"] == "end":
            # An end is named by where it is made fast.
            run = runs[one.attributes["data-row"].rpartition(":")[0]]
            value = run[{"start": "from", "finish": "to"}[value]]
        if isinstance(value, float):
            seen, half = number(text)
            agrees = abs(seen - value) <= half + 1e-6
        else:
            agrees = text == str(value)
        assert agrees, (table.name, text, value)


@pytest.mark.parametrize("name", PAGES)
def test_lengths_of_a_column_have_tenths_all_of_them_or_none_and_no_needless_ones(name):
    columns: dict[tuple[str, str], list[str]] = {}
    for one in some(e for e in elements(name) if "data-table" in e.attributes):
        text = shown(one, "mm")
        if one.within("table") and text.endswith("\u00a0mm"):
            card = next((id_ for id_ in _above(one) if id_.startswith("run-")), "")
            place = (card, one.attributes["data-table"] + one.attributes["data-column"])
            columns.setdefault(place, []).append(text.removesuffix("\u00a0mm"))
    for place, texts in some(columns.items()):
        tenths = {"." in text for text in texts}
        assert len(tenths) == 1, place
        assert tenths == {False} or not all(text.endswith(".0") for text in texts), place


def _above(one):
    while one.parent is not None:
        one = one.parent
        yield one.attributes.get("id", "")


def test_the_list_of_lines_is_headed_by_what_its_lengths_are():
    """Rope is cut off the reel, wire to its cut; of a side without a length there is nothing to head."""
    heads = [one for one in elements("saltwhin-31") if one.within("over") and one.tag == "p"]
    assert [one.text() for one in heads] == ["FROM REEL"] * 2


@pytest.mark.parametrize("name", PAGES)
def test_the_page_has_all_runs_posts_holes_and_open_items(name):
    report = report_for(name)
    ids = {one.attributes["id"] for one in elements(name) if "id" in one.attributes}
    wanted = {f"run-{one['id']}" for one in report["runs"]} | {f"post-{one['id']}" for one in report["posts"]}
    wanted |= {f"hole-{one['id']}" for one in report["holes"]}
    wanted |= {f"item-{one['number']}" for one in report["open_items"]}
    assert wanted <= ids
    listed = [one.attributes["id"] for one in elements(name) if one.attributes.get("id", "").startswith("item-")]
    assert listed == [f"item-{one['number']}" for one in report["open_items"]]
    assert len(ids) == len([one for one in elements(name) if "id" in one.attributes])


@pytest.mark.parametrize("name", PAGES)
def test_a_line_on_hold_shows_no_mark_and_no_length_off_the_reel(name):
    report = report_for(name)
    held = 0
    for index, run in enumerate(some(report["runs"])):
        card = by_id(name, f"run-{run['id']}")
        on_hold = run["from_reel_mm"] is None and (refit_for(name).work.runs[run["id"]].rope or run["cut_mm"] is None)
        assert ("held" in card.classes()) == on_hold
        keys = {one.attributes["data-key"] for one in card.every() if "data-key" in one.attributes}
        if not on_hold:
            assert keys & {f"/runs/{index}/from_reel_mm", f"/runs/{index}/cut_mm"}
            assert len([key for key in keys if key.startswith(f"/runs/{index}/work/stations/")]) == len(
                run["work"]["stations"]
            )
            continue
        held += 1
        assert keys == {f"/runs/{index}/path_mm"}
        assert not [one for one in card.every() if {"strip", "steps", "marks", "made", "box"} & set(one.classes())]
        said = {one.attributes["data-said"] for one in card.every() if "data-said" in one.attributes}
        for choice in range(len(run["work"]["alternatives"])):
            assert f"/runs/{index}/work/alternatives/{choice}/what" in said
    assert held == {"saltwhin-31": 4, "pipwing-25": 0, "random": held}[name]


def test_a_run_that_may_become_one_piece_with_another_says_so_before_it_is_cut():
    """The sheet of the line says the same; common practice, no source: what is cut cannot be made longer."""
    for run in some(("S-F-U", "S-F-L", "P-F-U", "P-F-L")):
        text = by_id("saltwhin-31", f"run-{run}").text()
        assert english_page.PAGE["one_piece"] in text
    assert english_page.PAGE["one_piece"] not in by_id("saltwhin-31", "run-S-A-U").text()


@pytest.mark.parametrize("name", PAGES)
def test_the_page_requests_nothing_from_outside(name):
    outside = []
    for one in some(elements(name)):
        assert "style" not in one.attributes, "an inline style is refused by the policy"
        assert not [key for key in one.attributes if key.startswith("on")]
        for key in ("src", "href", "action", "srcset", "poster", "xlink:href"):
            target = one.attributes.get(key)
            if target is not None and not target.startswith("#"):
                outside.append((one.tag, key, target))
    assert outside == []
    assert {one.tag for one in elements(name)} & {"link", "iframe", "img", "object", "embed", "base"} == set()
    (style,) = [one.text() for one in elements(name) if one.tag == "style"]
    assert "@import" not in style
    assert set(re.findall(r"url\((\w+):", style)) == {"data"} and style.count("url(") == style.count("url(data:font")


@pytest.mark.parametrize("name", PAGES)
def test_every_address_within_the_page_leads_somewhere(name):
    ids = {one.attributes["id"] for one in elements(name) if "id" in one.attributes}
    ids |= {f"sheet-{sheet}" for sheet in sheets_in(name)}
    for one in some(e for e in elements(name) if e.tag in ("a", "use")):
        assert one.attributes["href"].removeprefix("#") in ids


@pytest.mark.parametrize("name", PAGES)
def test_the_policy_lets_in_this_style_and_this_program_only(name):
    (policy,) = [
        one.attributes["content"]
        for one in elements(name)
        if one.attributes.get("http-equiv") == "Content-Security-Policy"
    ]
    stated = dict(part.split(" ", 1) for part in policy.split("; "))
    assert stated["default-src"] == stated["base-uri"] == stated["form-action"] == "'none'"
    assert set(stated) == {"default-src", "style-src", "script-src", "font-src", "base-uri", "form-action"}
    assert stated["font-src"] == "data:"
    text = page_of(name).decode("utf-8")
    for tag, source in some((("style", "style-src"), ("script", "script-src"))):
        (content,) = re.findall(rf"<{tag}>(.*?)</{tag}>", text, re.DOTALL)
        digest = base64.b64encode(hashlib.sha256(content.encode("utf-8")).digest()).decode("ascii")
        assert stated[source] == f"'sha256-{digest}'"


def test_the_same_refit_gives_the_same_bytes_whether_its_sheets_are_written_or_not():
    worked_out, sheets = refit_of("pipwing-25"), set_of("pipwing-25")
    files = {f"{sheet.name}.svg": svg_bytes(sheet) for sheet in sheets}
    assert written_page(worked_out, sheets, files) == written_page(worked_out, sheets) == page_of("pipwing-25")
    without = written_page(worked_out, ())
    assert english_page.PAGE["sheets_none"].encode() in without


def test_the_page_is_small_enough_to_mail():
    assert len(page_of("saltwhin-31")) <= 2_200_000
    assert len(page_of("pipwing-25")) <= 2_200_000


@pytest.mark.parametrize("name", PAGES)
def test_every_sheet_of_the_set_is_on_the_page_without_a_font_of_its_own(name):
    packed = sheets_in(name)
    links = [one.attributes["data-sheet"] for one in elements(name) if "data-sheet" in one.attributes]
    assert list(packed) == links
    if name != "random":
        assert links == [sheet.name for sheet in set_of(name)]
    for svg in some(packed.values()):
        root = ElementTree.fromstring(svg)
        assert root.tag.endswith("svg")
        tags = {one.tag.rpartition("}")[2] for one in root.iter()}
        assert tags & {"style", "script", "image", "foreignObject"} == set()
        assert not [key for one in root.iter() for key in one.attrib if key == "style" or key.startswith("on")]


def test_an_open_item_leads_to_the_sheets_that_flag_it():
    report = report_for("saltwhin-31")
    gates = next(one["number"] for one in report["open_items"] if one["cause"] == "line.gate")
    card = by_id("saltwhin-31", f"item-{gates}")
    sheets = [one.text() for one in card.every() if "sheet" in one.classes()]
    assert "F4" in sheets and "R1" in sheets


def test_the_length_of_line_to_order_is_that_of_the_order_list():
    for name, unit, said in some((("saltwhin-31", "mm", "35.76 m"), ("pipwing-25", "in", "36 ft 7 in"))):
        (sheet,) = [svg for sheet, svg in sheets_in(name).items() if sheet.startswith("R7")]
        (total,) = [shown(one, unit) for one in elements(name) if "data-total" in one.attributes]
        assert total.replace("\u00a0", " ") == said
        assert total.replace("\u00a0", " ") in "".join(ElementTree.fromstring(sheet).itertext()).replace("\u00a0", " ")


def test_the_stanchions_that_the_push_test_may_bring_down_are_those_of_the_setting_sheet():
    (warning,) = [one for one in elements("saltwhin-31") if "warning" in one.classes()]
    said = warning.text()
    assert english_page.PAGE["collapse"] in said
    (sheet,) = [svg for name, svg in sheets_in("saltwhin-31").items() if name.startswith("R6")]
    tags = {one.attrib.get("data-tag") for one in ElementTree.fromstring(sheet).iter()}
    found = report_for("saltwhin-31")["collapses_under_test"]
    assert {f"collapse:{one['run']}:{one['span']}:post" for one in found} == {
        tag for tag in tags if tag and re.fullmatch(r"collapse:.*:post", tag)
    }
    for one in some(found):
        assert one["collapses_at_lower_n"] < one["test_load_n"]
        assert f"{one['from']} to {one['to']}" in said and one["post"] in said
    assert not [one for one in elements("pipwing-25") if "warning" in one.classes()]


GATES = ("S-G-U", "S-G-L", "P-G-U", "P-G-L")


def test_a_line_on_hold_is_marked_where_its_tension_stands():
    tension = by_id("saltwhin-31", "tension")
    cards = [one for one in tension.every() if "card" in one.classes()]
    heads = [one for card in cards for one in card.every() if "head" in one.classes()]
    held = [one for one in heads if [stamp for stamp in one.every() if "hold" in stamp.classes()]]
    assert [one.text().strip() for one in held] == [f"{run}{english_page.PAGE['on_hold']}" for run in GATES]


def test_the_hulls_stand_in_one_order_starboard_first():
    page = read_page(page_bytes(refit_of("catamaran-39"), ()))
    heads = [one.text() for one in page.every() if one.tag == "h3" and one.within("index")]
    sides = [one for one in english_page.SIDES.values() if one in heads]
    assert heads[: len(sides)] == sides and len(sides) >= 4


HOSTILE = "<img src=x onerror=alert(1)>\"'&</script><script>alert(2)</script>"


def test_names_from_the_boat_file_are_text_and_never_markup():
    before = refit_of("pipwing-25")
    boat = before.boat
    about = boat.boat.model_copy(update={"name": HOSTILE})
    revision = boat.revision.model_copy(update={"mark": "<b>"})
    worked_out = refit(replace(before.loaded, boat=boat.model_copy(update={"boat": about, "revision": revision})))
    page = page_bytes(worked_out, ())
    found = list(read_page(page).every())
    assert [one.tag for one in found].count("script") == 3
    assert not [one for one in found if one.tag == "img" or "onerror" in one.attributes]
    (heading,) = [one for one in found if one.tag == "h1"]
    assert heading.text() == HOSTILE
    data = json.loads(next(one for one in found if one.attributes.get("id") == "page-data").text())
    assert data["boat"] == HOSTILE


def test_a_sheet_is_shown_without_its_style():
    style = '<defs><style type="text/css">text{}</style></defs>'
    svg = f'<?xml version="1.0"?><svg>{style}<g data-tag="flag:S-G-U:3"/></svg>'
    sheet = replace(set_of("pipwing-25")[0], name="R9-x")
    (made,) = drawings_of([sheet], {"R9-x": svg.encode()})
    assert made.svg == '<svg><g data-tag="flag:S-G-U:3"/></svg>'
    tagged = Drawing("F9", "", "", frozenset(("flag:2", "flag:4:S-S2", "flag:S-G-U:3", "item:7", "item:7:who")))
    assert tagged.items == (2, 3, 4, 7)
    assert tagged.shows("S-S2") and not tagged.shows("S-S")


@pytest.mark.parametrize("name", PAGES)
def test_the_ids_of_a_sheet_are_those_of_its_drawing(name):
    """A sheet that is not drawn yet leads to the same places as the one drawn."""
    sheets = drawing_set(refit_for(name)) if name == "random" else set_of(name)
    drawn = sheets_in(name)
    for sheet in some(sheets):
        root = ElementTree.fromstring(drawn[sheet.name])
        assert tags_of(sheet) == {one.attrib["data-tag"] for one in root.iter() if "data-tag" in one.attrib}
    assert [replace(one, svg="") for one in drawings_of(sheets)] == list(listed_of(sheets))


def test_every_word_of_the_page_is_used():
    templates = "".join(path.read_text("utf-8") for path in sorted(TEMPLATES.glob("*.j2")))
    program = "".join(path.read_text("utf-8") for path in sorted((TEMPLATES / "src").glob("*.js")))
    built = {"view_corner", "view_plan", "view_starboard", "view_port", "thread_forward", "thread_aft"}
    unused = [
        key for key in english_page.PAGE if not re.search(rf't\.{key}\b|t\["{key}"\]', templates) and key not in built
    ]
    assert unused == []
    unsaid = [key for key in english_page.PROGRAM if f'"{key}"' not in program]
    assert unsaid == []


def test_a_value_has_the_sentences_of_both_units():
    check = value_of(check_of(refit_of("saltwhin-31")))
    step = check.runs[0].work.threading.steps[0]
    assert step.raw.startswith("cut 5970 mm") and step.inch.startswith("cut 235.0")
    with pytest.raises(AttributeError):
        _ = check.nothing
    with pytest.raises(TypeError):
        str(check.runs[0].path_mm)


def test_the_bundle_is_what_its_sources_give(tmp_path):
    """`npm ci --ignore-scripts` in templates/page comes first; .ci/test does it."""
    node = shutil.which("node")
    assert node, "node is not installed: .ci/test installs it"
    assert (TEMPLATES / "node_modules" / "esbuild").is_dir(), "run npm ci --ignore-scripts in templates/page"
    for name in ("build.mjs", "package.json"):
        shutil.copy(TEMPLATES / name, tmp_path)
    shutil.copytree(TEMPLATES / "src", tmp_path / "src")
    (tmp_path / "node_modules").symlink_to(TEMPLATES / "node_modules")
    done = subprocess.run([node, "build.mjs"], cwd=tmp_path, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    for name in some(path.name for path in tmp_path.glob("*.bundle.js")):
        assert (tmp_path / name).read_bytes() == (TEMPLATES / name).read_bytes(), f"{name}: run npm run build"
    assert (tmp_path / "LICENSES.txt").read_bytes() == (TEMPLATES / "LICENSES.txt").read_bytes()


def test_what_is_bundled_is_pinned_and_its_licences_go_with_it():
    wanted = json.loads((TEMPLATES / "package.json").read_text("utf-8"))
    locked = json.loads((TEMPLATES / "package-lock.json").read_text("utf-8"))["packages"]
    licences = (TEMPLATES / "LICENSES.txt").read_text("utf-8")
    bundles = [path.read_text("utf-8") for path in sorted(TEMPLATES.glob("*.bundle.js"))]
    for name, version in some(wanted["dependencies"].items()):
        assert re.fullmatch(r"\d+\.\d+\.\d+", version)
        assert locked[f"node_modules/{name}"]["version"] == version
        assert locked[f"node_modules/{name}"]["integrity"].startswith("sha512-")
        assert f"{name} {version} (" in licences
        assert any(f"{name} {version} (" in bundle[: bundle.index("*/")] for bundle in bundles)
    for bundle in some(bundles):
        assert bundle.startswith("/*\n") and "MIT License" in bundle[: bundle.index("*/")]
    assert not [one for one in locked.values() if "resolved" in one and "://" in one["resolved"]]


@pytest.mark.parametrize("state", ["filled", "damaged", "of one another", "not to be written", "no folder"])
def test_the_page_is_the_same_whatever_is_kept_of_its_templates(state, tmp_path, monkeypatch):
    boat = refit_of("first-try")
    folder = tmp_path / "toerail" / "page"
    monkeypatch.setattr(document, "cache_folder", lambda kind: tmp_path / "toerail" / kind)

    def fresh() -> bytes:
        document._environment.cache_clear()
        return page_bytes(boat, ())

    wanted = fresh()
    entries = sorted(folder.iterdir())
    before = [one.read_bytes() for one in entries]
    assert len(entries) == len(list(TEMPLATES.glob("*.j2"))) - 1, "all but the editor's"
    if state == "damaged":
        for one, content in zip(entries, before, strict=True):
            one.write_bytes(content[:-10] + b"\0" * 10)
    elif state == "of one another":
        for one, content in zip(entries, before[1:] + before[:1], strict=True):
            one.write_bytes(content)
    elif state == "not to be written":
        shutil.rmtree(folder)
        folder.write_text("in the way")
    elif state == "no folder":
        monkeypatch.setattr(document, "cache_folder", lambda kind: None)
    try:
        assert fresh() == wanted
    finally:
        document._environment.cache_clear()
    if folder.is_dir():
        assert [one.read_bytes() for one in entries] == before


def test_compiled_templates_depend_on_their_source_and_options_alone(monkeypatch):
    """A filter of a constant is called when the page is made; templates compiled with other options are others."""
    assert "filters['word']" in document._environment().compile("{{ 'x' | word({}) }}", raw=True)
    bucket = Bucket(None, "key", "checksum")
    entry = document._entry(bucket)
    monkeypatch.setitem(document._OPTIONS, "trim_blocks", False)
    assert entry is not None and document._entry(bucket) not in (None, entry)


def test_between_the_hulls_of_a_catamaran_there_is_no_deck():
    """The deck is drawn between the two edges of one hull; of two hulls the edges alone, the inboard ones too."""
    cat, mono = scene(refit_of("catamaran-39")), scene(refit_of("yacht-52"))
    assert cat["deck"] == [] and mono["deck"]
    assert (len(cat["edges"]), len(mono["edges"])) == (5, 2)


def test_the_strip_of_a_line_across_begins_at_port():
    page = page_bytes(refit_of("open-transom-36"), ()).decode()
    cards = page.split('id="run-')
    begun = {
        card.split('"')[0]: re.search(r'class="bow"[^>]*>◂ (\w+)<', card)[1]
        for card in some(cards[1:])
        if 'class="bow"' in card
    }
    assert {name: begun[name] for name in ("S-F-U", "C-G-U")} == {"S-F-U": "BOW", "C-G-U": "PORT"}
