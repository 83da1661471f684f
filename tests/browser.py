"""A browser for the tests: Debian's Chromium with WebGL in software, driven by Playwright, and what it says."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from tests.boats import ROOT

CHROMIUM = "/usr/bin/chromium"
AXE = ROOT / "templates" / "page" / "node_modules" / "axe-core" / "axe.min.js"
_FLAGS = ["--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--no-sandbox"]
PHONES = {(360, 740), (390, 844), (820, 1180)}
SIZES = ((360, 740), (390, 844), (820, 1180), (1440, 900))


@dataclass
class Seen:
    """What a page said in the console, and what it asked for."""

    page: Page
    console: list[str] = field(default_factory=list)
    requests: list[str] = field(default_factory=list)

    def section(self, name: str) -> None:
        """Open a section or a place on the page."""
        self.page.evaluate("name => { location.hash = '#' + name; }", name)
        self.page.wait_for_timeout(60)
        if name == "boat":
            self.until("() => Number(document.getElementById('stage').dataset.drawn ?? 0) > 0")

    def until(self, test: str, argument: object = None) -> None:
        """Wait until a test holds; the page's policy forbids Playwright's own waiting."""
        for _ in range(1600):
            if self.page.evaluate(test, argument):
                return
            self.page.wait_for_timeout(25)
        raise AssertionError(f"never so: {test}")


@contextmanager
def browser() -> Iterator[object]:
    """Open the browser; it is there on a machine that .ci/test has set up."""
    assert Path(CHROMIUM).is_file(), "chromium is not installed: .ci/test installs it"
    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=CHROMIUM, args=_FLAGS)
        try:
            yield opened
        finally:
            opened.close()


@contextmanager
def opened(
    running, address: str, size: tuple[int, int] = (390, 844), scheme: str = "light", scripts: bool = True,
    bypass_csp: bool = False, sharp: bool = True,
) -> Iterator[Seen]:  # fmt: skip
    """Open a page in a context of its own, as a phone where the size is one's; its pixels may be left coarse."""
    phone = size in PHONES
    context = running.new_context(
        viewport={"width": size[0], "height": size[1]}, device_scale_factor=2 if phone and sharp else 1,
        is_mobile=phone, has_touch=phone, color_scheme=scheme, java_script_enabled=scripts, accept_downloads=True,
        bypass_csp=bypass_csp,
    )  # fmt: skip
    page = context.new_page()
    seen = Seen(page)
    page.on("console", lambda line: seen.console.append(f"{line.type}: {line.text}"))
    page.on("pageerror", lambda error: seen.console.append(f"error: {error}"))
    page.on("request", lambda request: seen.requests.append(request.url))
    try:
        page.goto(address)
        yield seen
    finally:
        context.close()
