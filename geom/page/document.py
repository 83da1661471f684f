"""Refit -> the page: templates filled with the values of check.json, styles, program and drawings in one file."""

from __future__ import annotations

import base64
import hashlib
import json
import sys
from collections.abc import Mapping, Sequence
from functools import cache, lru_cache, partial
from importlib import metadata
from pathlib import Path
from typing import Any

from jinja2 import BytecodeCache, Environment, FunctionLoader, StrictUndefined
from jinja2.bccache import Bucket
from markupsafe import Markup

from geom.cache import cache_folder, read_entry, write_entry
from geom.export import check_of
from geom.page import figures
from geom.page.cards import item_cards, post_cards, push_cards, run_cards, tension_cards
from geom.page.drawings import Drawing, packed
from geom.page.listed import listed
from geom.page.scene import scene
from geom.page.value import Value, value_of
from geom.refit import Refit
from geom.render.svg import LETTERED, font_faces
from geom.resources import template_bytes
from geom.tables import lines
from geom.words import english_page as words

BUNDLE = "page.bundle.js"
EDITOR_BUNDLE = "live.bundle.js"
# The lists to buy from, with quantities in all.
_ORDER_SHEETS = ("R7", "F6")
# The letters of the editor's own words; the boat file is set in the machine's own monospaced face.
_LETTERS = "".join(chr(code) for code in range(0x20, 0x7F)) + "–…→"


def _text(name: str) -> str:
    return template_bytes(f"page/{name}").decode("utf-8")


# Unoptimized: a filter of a constant is not worked out at compilation, so that compiled code depends on the source of
# its template and on these alone, not on the filters.
_OPTIONS: dict[str, Any] = {"autoescape": True, "trim_blocks": True, "lstrip_blocks": True, "optimized": False}


class _CompiledTemplates(BytecodeCache):
    """The compiled templates, kept between runs."""

    def load_bytecode(self, bucket: Bucket) -> None:
        """Read a template's code where it is that of this source, these options and these versions."""
        path = _entry(bucket)
        if path is not None and (content := read_entry(path)) is not None:
            bucket.bytecode_from_string(content)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Write a template's code."""
        path = _entry(bucket)
        if path is not None:
            write_entry(path, bucket.bytecode_to_string())


def _entry(bucket: Bucket) -> Path | None:
    """Return the path of a template's entry, None where nothing is kept."""
    folder = cache_folder("page")
    # Compiled code is of no use to another interpreter or another version of the library.
    made_by = f"{sys.implementation.cache_tag}|{metadata.version('jinja2')}|{_OPTIONS}|{bucket.checksum}"
    return None if folder is None else folder / f"{hashlib.sha256(made_by.encode()).hexdigest()}.template"


@cache
def _environment() -> Environment:
    made = Environment(
        **_OPTIONS,
        bytecode_cache=_CompiledTemplates(),
        loader=FunctionLoader(_text),
        undefined=StrictUndefined,
    )
    made.filters |= {
        "figure": figures.figure,
        "fine": partial(figures.figure, inch=3),
        "deflection": partial(figures.figure, decimals=0, inch=2),
        "cut": figures.cut,
        "long": figures.long_length,
        "lettered": figures.lettered,
        "said": figures.said,
        "unbroken": _unbroken,
        "tube": partial(figures.figure, inch=2),
        "number": figures.number,
        "inches": figures.inches,
        "word": _word,
    }
    return made


def _unbroken(value: Value | str) -> Markup:
    """Return a text whose names are not broken over two lines."""
    return figures.unbroken(str(value))


def _word(value: Value, of: Mapping[str, str]) -> str:
    """Return the word for a value, itself where the list has none."""
    return of.get(str(value), str(value))


def page_bytes(
    refit: Refit, drawings: Sequence[Drawing], report: Mapping[str, Any] | None = None, letters: str = ""
) -> bytes:
    """Return the page of a refit, the same bytes for the same refit and drawings.

    Args:
        refit: the calculated boat.
        drawings: the sheets on the page, in order; none where they are left out.
        report: the contents of check.json, where they are made already.
        letters: that the page will show later, beside those on it now.
    """
    body = body_of(refit, drawings, report)
    sheets = packed(drawings) if drawings else ""
    program = _text(BUNDLE).strip()
    style = style_for(letters or body, drawings)
    page = _environment().get_template("page.html.j2").render(
        lang=words.LANG,
        t=words.PAGE,
        name=refit.boat.boat.name,
        units=units_of(refit),
        policy=_policy(style, program),
        style=Markup(style),
        body=Markup(body),
        data=Markup(_escaped(data_of(refit))),
        sheets=sheets,
        program=Markup(program),
    )  # fmt: skip
    return page.encode("utf-8")


def editor_page(name: str, token: str, nonce: str) -> str:
    """Return the editor of a boat file with room for its page beside it.

    Args:
        name: of the boat.
        token: that requests carry.
        nonce: that lets in its style and program.
    """
    stated = {"token": token, "nonce": nonce, "words": words.LIVE, "phrases": words.EDITOR}
    return _environment().get_template("live.html.j2").render(
        lang=words.LANG,
        t=words.LIVE,
        name=name,
        nonce=nonce,
        style=Markup(f"{_faces(_LETTERS)}\n{_text('live.css')}"),
        data=Markup(_escaped(stated)),
        program=Markup(_text(EDITOR_BUNDLE).strip()),
    )  # fmt: skip


def units_of(refit: Refit) -> str:
    """Return the unit that the page shows at first, that of the boat file."""
    return "in" if refit.boat.units.length in ("in", "ft") else "mm"


def body_of(refit: Refit, drawings: Sequence[Drawing], report: Mapping[str, Any] | None = None) -> str:
    """Return the sections of the page as HTML.

    Args:
        refit: the calculated boat.
        drawings: the sheets on the page.
        report: the contents of check.json, where they are made already.
    """
    check = value_of(check_of(refit), report)
    groups = dict.fromkeys(one.group for one in drawings)
    return _environment().get_template("body.html.j2").render(
        t=words.PAGE,
        w=words,
        check=check,
        items=item_cards(check, drawings),
        runs=run_cards(refit, check, drawings),
        posts=post_cards(refit, check, drawings),
        tensions=tension_cards(check),
        pushes=push_cards(check),
        places=_places(check),
        pieces=listed(lines.line_orders(refit)),
        parts=[listed(lines.small_parts(refit)), listed(lines.bill_by_end(refit), leave=("end",))],
        order_sheets=[one for number in _ORDER_SHEETS for one in drawings if one.number.startswith(number)],
        gates=listed(lines.open_gates(refit)),
        groups=[(group, [one for one in drawings if one.group == group]) for group in groups],
    )  # fmt: skip


def _places(check: Value) -> dict[str, str]:
    """Return the anchor on the page of every run, stanchion and hole by its id."""
    found = {str(one.id): f"run-{one.id}" for one in check.runs}
    found |= {str(one.id): f"post-{one.id}" for one in check.posts}
    return found | {str(one.id): f"hole-{one.id}" for one in check.holes}


def data_of(refit: Refit) -> dict[str, Any]:
    """Return what the program of the page reads."""
    boat = refit.loaded.identity
    return {
        "boat": boat.name,
        "revision": boat.revision,
        "data": boat.data_sha256,
        "words": words.PROGRAM,
        "lettered": LETTERED,
        "scene": scene(refit),
    }


def _escaped(data: Mapping[str, Any]) -> str:
    """Return data as JSON that holds no markup."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def style_for(body: str, drawings: Sequence[Drawing]) -> str:
    """Return the styles of the page with the letters that it uses.

    Args:
        body: the sections as HTML.
        drawings: the sheets on the page.
    """
    said = json.dumps([words.PROGRAM, words.EYE, words.PAGE], ensure_ascii=False)
    letters = "".join(sorted(set(body).union(said, *(one.svg for one in drawings))))
    return f"{_faces(letters)}{LETTERED}\n{_text('page.css')}"


@lru_cache(maxsize=8)
def _faces(letters: str) -> str:
    return font_faces({"regular": letters, "semibold": letters})


def _policy(style: str, program: str) -> str:
    """Return the content security policy: this style, this program, and nothing from outside."""
    parts = {
        "default-src": "'none'",
        "style-src": f"'sha256-{_hash(style)}'",
        "script-src": f"'sha256-{_hash(program)}'",
        "font-src": "data:",
        "base-uri": "'none'",
        "form-action": "'none'",
    }
    return "; ".join(f"{name} {value}" for name, value in parts.items())


def _hash(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")
