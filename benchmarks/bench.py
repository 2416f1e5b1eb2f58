"""The workbench in Chromium: how soon the example lies open, and whether memory stays flat.

Prints the seconds from asking for the page to the film's picture lying on it, for a program just started (its
code compiled before) and for one that runs; and the memory of program and page over a long session of
dragging and undoing. Its only argument is the number of rounds: 40 steps of dragging each, all taken back.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import Browser, Page, sync_playwright

from splitpin.jobs.new import new

ROUNDS = 10
STEPS = 40
DRAG = """async ({label, x, join}) => {
    const edits = [{document: "scenes/010-wall.toml", path: ["cast", "cat", "x"], value: x}];
    const answer = await fetch("/api/edits", {method: "POST", headers: {"content-type": "application/json"},
        body: JSON.stringify({label, edits, join})});
    if (!answer.ok) throw new Error(await answer.text());
}"""


@contextmanager
def program(film: Path, state: Path) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The workbench as a program of its own, and its address."""
    running = subprocess.Popen(  # noqa: S603
        [sys.executable, "-m", "splitpin", "bench", str(film), "--port", "0", "--no-open", "--json"],
        stdout=subprocess.PIPE, text=True, env=os.environ | {"SPLITPIN_STATE": str(state)},
    )  # fmt: skip
    assert running.stdout is not None
    try:
        yield running, json.loads(running.stdout.readline())["address"]
    finally:
        running.terminate()
        running.wait(20)
        running.stdout.close()


def opening(browser: Browser, address: str) -> float:
    """Seconds until the film's picture lies on the page."""
    page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
    begun = time.perf_counter()
    page.goto(address)
    page.wait_for_selector(".reel-screen img[src]")
    page.evaluate("() => document.querySelector('.reel-screen img').decode()")
    took = time.perf_counter() - begun
    page.context.close()
    return took


def megabytes(process: int) -> float:
    """What a process holds in memory, MB; of Linux only."""
    status = Path(f"/proc/{process}/status").read_text(encoding="ascii")
    return int(next(line for line in status.splitlines() if line.startswith("VmRSS")).split()[1]) / 1024


def heap(page: Page) -> float:
    """What the page's objects take after everything unused is swept away, MB."""
    session = page.context.new_cdp_session(page)
    session.send("HeapProfiler.collectGarbage")
    used = session.send("Runtime.getHeapUsage")["usedSize"]
    session.detach()
    return float(used) / (1 << 20)


def session(page: Page, drag: int) -> None:
    """One round: a piece is dragged, and all of it taken back."""
    for n in range(STEPS):
        page.evaluate(DRAG, {"label": f"drag {drag}", "x": n * 0.5, "join": n % 8 > 0})
    for _ in range(STEPS // 8):
        page.keyboard.press("Control+z")
        page.wait_for_timeout(60)


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else ROUNDS
    chromium = shutil.which("chromium") or shutil.which("google-chrome")
    with TemporaryDirectory() as place, sync_playwright() as driver:
        film, state = Path(place) / "exact-change", Path(place) / "state"
        new(film, example=True)
        browser = driver.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        with program(film, state):
            pass  # whatever is compiled once is compiled now
        colds = []
        for _ in range(3):
            with program(film, state) as (_, address):
                colds.append(opening(browser, address))
        with program(film, state) as (running, address):
            opening(browser, address)
            warm = sorted(opening(browser, address) for _ in range(5))
            cold = sorted(colds)[1]
            print(f"the example opens in {cold:.2f} s, the program just started; {warm[2]:.2f} s later")
            page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
            page.goto(address)
            page.wait_for_selector("#ready", state="attached")
            page.goto(address.split("/?")[0] + "/table/010-wall")
            page.wait_for_load_state("networkidle")
            for n in range(rounds + 1):
                if n:
                    session(page, n)
                print(
                    f"after {n * STEPS:5d} steps of dragging: program {megabytes(running.pid):6.0f} MB,"
                    f" page {heap(page):5.1f} MB"
                )
        browser.close()


if __name__ == "__main__":
    main()
