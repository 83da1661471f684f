"""The page in Firefox (Debian's ESR, on a screen in memory): its program runs, the boat is drawn, ticks are kept."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.pages import page_file

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.version_info >= (3, 13), reason="marionette_driver needs telnetlib, gone from Python 3.13"),
]

FIREFOX, SCREEN = "/usr/bin/firefox-esr", "/usr/bin/Xvfb"


@pytest.fixture
def firefox(monkeypatch, tmp_path):
    """Open Firefox; without a screen it has no WebGL."""
    from marionette_driver.marionette import Marionette

    for needed in (FIREFOX, SCREEN):
        assert Path(needed).is_file(), f"{needed} is not installed: .ci/test installs it"
    reading, writing = os.pipe()
    shown = [SCREEN, "-displayfd", str(writing), "-screen", "0", "1280x900x24", "+extension", "GLX"]
    screen = subprocess.Popen(shown, pass_fds=(writing,), stderr=subprocess.DEVNULL)
    os.close(writing)
    with os.fdopen(reading) as said:
        monkeypatch.setenv("DISPLAY", f":{said.readline().strip()}")
    monkeypatch.setenv("LIBGL_ALWAYS_SOFTWARE", "1")
    driver = Marionette(
        bin=FIREFOX,
        headless=False,
        prefs={"webgl.force-enabled": True},
        startup_timeout=120,
        gecko_log=str(tmp_path / "gecko.log"),
    )
    try:
        driver.start_session(timeout=120)
        yield driver
    finally:
        driver.quit()
        driver.cleanup()
        screen.terminate()
        screen.wait(20)


def until(driver, test: str) -> None:
    """Wait until a test holds."""
    for _ in range(600):
        if driver.execute_script(f"return {test};"):
            return
        time.sleep(0.1)
    raise AssertionError(f"never so: {test}")


def test_the_program_runs_the_boat_is_drawn_and_ticks_are_kept(firefox):
    firefox.navigate(f"{page_file('saltwhin-31').as_uri()}#run-S-F-U")
    tick = "document.querySelector('#run-S-F-U .steps input')"
    assert firefox.execute_script(f"{tick}.click(); return {tick}.checked;")
    firefox.refresh()
    assert firefox.execute_script(f"return {tick}.checked;")
    firefox.execute_script("location.hash = '#boat';")
    until(firefox, "Number(document.getElementById('stage').dataset.drawn ?? 0) > 0")
    assert firefox.execute_script("return document.querySelectorAll('#stage canvas').length;") == 2
    firefox.execute_script("document.querySelector('[data-sheet]').click();")
    until(firefox, "!document.getElementById('reader').hidden")
    assert firefox.execute_script("return document.getElementById('paper').shadowRoot.querySelector('svg') !== null;")
