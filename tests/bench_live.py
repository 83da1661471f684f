"""How long the live view takes from a save to what is shown: page, boat in 3D, a sheet; and the page from its file.

Wall time, beside it the processor time that the server takes: on a busy machine the second is the more reliable.
Nothing is asserted; the goal is beside each figure, for a quiet machine.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from geom.export import check_report
from geom.package import drawing_files, drawing_sheets, page_file
from geom.refit import read_refit
from geom.render.formats import usual
from tests.boats import BOATS, ROOT
from tests.browser import Seen, browser, opened

BOAT = BOATS / "saltwhin-31.yaml"
SAVES = 20
_TICKS = os.sysconf("SC_CLK_TCK")
FRAME = "document.querySelector('iframe:not(.next)')?.contentDocument"
# The time at which something first held, taken by the browser after the frame that shows it [ms].
SINCE = """(test) => new Promise((found) => {
  const holds = new Function(`return ${test}`);
  const shown = () => requestAnimationFrame(() => setTimeout(() => found(Date.now()), 0));
  const look = () => (holds() ? shown() : setTimeout(look, 2));
  look();
})"""


def spent(process: int) -> float:
    """Return the processor time of a process so far [s]."""
    fields = Path(f"/proc/{process}/stat").read_text("utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / _TICKS


def at(seen: Seen, test: str) -> float:
    """Return when a test held and was shown [s]."""
    return float(seen.page.evaluate(SINCE, test)) / 1000.0


def told(what: str, times: list[float], used: list[float], wanted: float) -> None:
    """Print the median, the longest and the processor time of some saves."""
    print(
        f"{what:26s} median {statistics.median(times):.2f} s, longest {max(times):.2f} s; "
        f"processor {statistics.median(used):.2f} s; wanted: at most {wanted} s"
    )


def saves(seen: Seen, path: Path, server: int, test: str, first: int) -> tuple[list[float], list[float]]:
    """Return the times from each of many saves by another editor until a test holds, and what the server spent [s]."""
    text = BOAT.read_text("utf-8")
    times, used = [], []
    for number in range(first, first + SAVES):
        time.sleep(1.2)
        new, before = path.with_suffix(".new"), spent(server)
        new.write_text(text.replace("along: 596", f"along: {600 + number % 7}", 1), "utf-8")
        start = time.time()
        new.replace(path)
        good = f"document.getElementById('page').dataset.good === '{number}'"
        times.append(at(seen, f"{good} && {test}") - start)
        used.append(spent(server) - before)
    return times, used


def live(folder: Path, running) -> None:
    """Print the times of the live view."""
    path = folder / "boat.yaml"
    path.write_bytes(BOAT.read_bytes())
    command = [sys.executable, "-m", "geom", "view", str(path), "--no-open"]
    start = time.time()
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout
        address = server.stdout.readline().strip()
        print(f"{'from start to address':26s} {time.time() - start:.2f} s")
        with opened(running, address, (1440, 900)) as seen:
            shown = at(seen, "document.getElementById('page').dataset.good === '1'")
            print(f"{'from start to page':26s} {shown - start:.2f} s")
            told("save to page", *saves(seen, path, server.pid, "true", 2), 0.6)
            seen.page.frame_locator("iframe:not(.next)").locator("nav a[href='#boat']").click()
            at(seen, f"{FRAME}.getElementById('stage').dataset.drawn > 0")
            drawn = f"{FRAME}?.getElementById('stage')?.dataset.drawn > 0"
            told("save to boat in 3D", *saves(seen, path, server.pid, drawn, 2 + SAVES), 1.0)
            before, start = spent(server.pid), time.time()
            seen.page.frame_locator("iframe:not(.next)").locator("nav a[href='#sheets']").click()
            listed = at(seen, f"{FRAME}?.querySelectorAll('[data-sheet]').length > 20")
            again = time.time()
            seen.page.frame_locator("iframe:not(.next)").locator("[data-sheet^='R1']").click()
            paper = f"{FRAME}?.getElementById('paper').shadowRoot?.querySelector('svg')"
            found = at(seen, f"!!{paper}")
            print(
                f"sheets listed in {listed - start:.2f} s, one opened in {found - again:.2f} s; processor "
                f"{spent(server.pid) - before:.2f} s; wanted: at most 1.5 s together"
            )
            told("save to sheet", *saves(seen, path, server.pid, f"!!{paper}", 2 + 2 * SAVES), 1.5)
        server.terminate()


def alone(folder: Path, running) -> None:
    """Print the times of the page as a file."""
    refit = read_refit(str(BOAT))
    sheets = drawing_sheets(refit)
    # As in a package: the sheets are written and the report is made before the page.
    files = drawing_files(refit, lambda _: None, usual(), sheets=sheets)
    report = check_report(refit)
    start, used = time.perf_counter(), time.process_time()
    data = page_file(refit, sheets, files, report)
    print(
        f"page written in {time.perf_counter() - start:.2f} s, processor {time.process_time() - used:.2f} s; "
        f"{len(data) / 1e6:.2f} MB"
    )
    file = folder / "refit.html"
    file.write_bytes(data)
    for size in ((390, 844), (1440, 900)):
        paints, frames = [], []
        for _ in range(5):
            with opened(running, "about:blank", size) as seen:
                seen.page.add_init_script(
                    "new PerformanceObserver((list) => { for (const one of list.getEntries()) "
                    "if (one.name === 'first-contentful-paint') window.painted = one.startTime; })"
                    ".observe({ type: 'paint', buffered: true });"
                )
                start = time.time()
                seen.page.goto(f"{file.as_uri()}#boat")
                frames.append(at(seen, "document.getElementById('stage').dataset.drawn > 0") - start)
                seen.until("() => window.painted > 0")
                paints.append(seen.page.evaluate("() => window.painted") / 1000.0)
        print(
            f"refit.html at {size[0]} x {size[1]}: first paint {statistics.median(paints):.2f} s (wanted: at most 1), "
            f"boat in 3D {statistics.median(frames):.2f} s (wanted: at most 1.5)"
        )


def main() -> None:
    """Print all times."""
    with tempfile.TemporaryDirectory() as folder, browser() as running:
        alone(Path(folder), running)
        live(Path(folder), running)


if __name__ == "__main__":
    main()
