"""The pages that the tests look at, each written once in a session, and what a reader finds in their HTML."""

from __future__ import annotations

import base64
import gzip
import json
import re
from dataclasses import dataclass, field
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from geom.export import check_report
from geom.page import drawings_of, page_bytes
from geom.refit import Refit
from geom.sheets import drawing_set
from tests.boats import refit_of
from tests.made import set_of
from tests.random_boats import random_refit
from tests.session import made, session_folder

# A boat of 18 posts, three lines high, with two gates.
RANDOM = 92
PAGES = ("saltwhin-31", "pipwing-25", "random")
_VOID = {"meta", "input", "br", "link", "img"}


@cache
def refit_for(name: str) -> Refit:
    return random_refit(RANDOM) if name == "random" else refit_of(name)


@cache
def report_for(name: str) -> dict[str, Any]:
    return check_report(refit_for(name))


@cache
def page_of(name: str) -> bytes:
    """Return the page of a boat with all its sheets."""

    def write() -> bytes:
        worked_out = refit_for(name)
        sheets = drawing_set(worked_out) if name == "random" else set_of(name)
        return page_bytes(worked_out, drawings_of(sheets))

    return made(f"page {name}", write)


def page_file(name: str) -> Path:
    """Return the page of a boat as a file that a browser opens."""
    path = session_folder() / f"page-{name}.html"
    if not path.exists():
        path.with_suffix(".new").write_bytes(page_of(name))
        path.with_suffix(".new").rename(path)
    return path


@dataclass
class Element:
    """One element of a page."""

    tag: str
    attributes: dict[str, str]
    parent: Element | None
    children: list[Element | str] = field(default_factory=list)

    def text(self, without: str = "") -> str:
        """Return what is lettered in it, without elements of a class."""
        parts = []
        for child in self.children:
            if isinstance(child, str):
                parts.append(child)
            elif without not in child.classes():
                parts.append(child.text(without))
        return "".join(parts)

    def classes(self) -> list[str]:
        """Return its classes."""
        return self.attributes.get("class", "").split()

    def every(self):
        """Yield the elements in it."""
        for child in self.children:
            if isinstance(child, Element):
                yield child
                yield from child.every()

    def within(self, *classes: str) -> bool:
        """Return whether it stands in an element with all these classes."""
        above = self.parent
        while above is not None:
            if set(classes) <= set(above.classes()):
                return True
            above = above.parent
        return False


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = self.at = Element("", {}, None)

    def handle_starttag(self, tag, attrs):
        """Begin an element."""
        made_ = Element(tag, {name: value or "" for name, value in attrs}, self.at)
        self.at.children.append(made_)
        if tag not in _VOID:
            self.at = made_

    def handle_startendtag(self, tag, attrs):
        """Take an element without content."""
        self.at.children.append(Element(tag, {name: value or "" for name, value in attrs}, self.at))

    def handle_endtag(self, tag):
        """End the element begun last."""
        assert self.at.tag == tag, f"</{tag}> closes <{self.at.tag}>"
        self.at = self.at.parent

    def handle_data(self, data):
        """Take lettering."""
        self.at.children.append(data)


def read_page(data: bytes) -> Element:
    """Return the elements of a page; every one is closed where it should be."""
    reader = _Reader()
    reader.feed(data.decode("utf-8"))
    reader.close()
    assert reader.at is reader.root
    return reader.root


@cache
def elements(name: str) -> tuple[Element, ...]:
    return tuple(read_page(page_of(name)).every())


def by_id(name: str, id_: str) -> Element:
    (found,) = [one for one in elements(name) if one.attributes.get("id") == id_]
    return found


def resolved(report: Any, pointer: str) -> Any:
    """Return what a JSON pointer names (RFC 6901)."""
    for part in pointer.split("/")[1:]:
        report = report[int(part)] if isinstance(report, list) else report[part]
    return report


def number(text: str) -> tuple[float, float]:
    """Return the number that a text begins with, and half its last place; a fraction of an inch is one of 32."""
    text = text.replace("\u00a0", " ").strip()
    found = re.match(r"(-?)(?:(\d+) )?(\d+)/(\d+)(?![\d.])", text)
    if found:
        sign, whole, over, under = found.groups()
        value = int(whole or 0) + int(over) / int(under)
        return (-value if sign else value), 1 / 64
    found = re.match(r"-?(?=\.?\d)\d*(?:\.(\d+))?", text)
    assert found, text
    return float(found.group()), 0.5 * 10.0 ** -len(found.group(1) or "")


def sheets_in(name: str) -> dict[str, str]:
    """Return the sheets packed in a page by name."""
    text = by_id(name, "page-sheets").text()
    return json.loads(gzip.decompress(base64.b64decode(text)))
