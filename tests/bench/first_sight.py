"""How soon a member can use a page on a slow phone, and how many bytes it takes.

    python -m tests.bench.first_sight [--at http://127.0.0.1:8008]

Chromium with a processor four times slower than this one, a line of 400 kbit/s and 40 ms: the
demo club's today, an attempt and the longest of its last twenty verdicts, five times each with
nothing kept and five times with
styles and scripts kept from before. *Interactive*: from asking for the page until it stands and
its own scripts have run (the end of DOMContentLoaded; W3C, Navigation Timing Level 2). Bytes are
those on the line, headings included (Chrome DevTools Protocol). Where the machine does other work,
run this and the demo before it (``chrt -r 1``), or that is what is measured. Without ``--at`` it
starts the demo itself. Ends with status 1 when a verdict's page takes more than 60 kB.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
PHRASE = "lanterns at low tide"
MEMBER = "noor"
PLANS = 20
TIMES = 5
SLOWER = 4
LINE_BYTES_A_SECOND = 400_000 / 8
DELAY_MS = 40
MOST_BYTES_OF_VERDICT = 60_000


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("--at", help="address of a demo that is running")
    at = asked.parse_args().at
    if at:
        return _measure(at)
    with _demo() as address:
        return _measure(address)


@contextmanager
def _demo() -> Iterator[str]:
    port = 8797
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "manage.py", "demo", "--no-input", "--port", str(port)]
        with (Path(folder) / "log").open("w") as log:
            demo = subprocess.Popen([*command, "--data", folder], cwd=ROOT, stdout=log, stderr=log)
        address = f"http://127.0.0.1:{port}"
        try:
            for _ in range(240):
                try:
                    urllib.request.urlopen(address + "/health/", timeout=2)
                    break
                except OSError:
                    time.sleep(1)
            yield address
        finally:
            demo.terminate()
            demo.wait(30)


def _measure(address: str) -> int:
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    arguments = ["--no-sandbox"] if os.geteuid() == 0 else []
    print("page      bytes   kept: bytes   interactive   kept: interactive")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium, args=arguments)
        state = _signed_in(browser, address)
        bytes_of_verdict = 0
        for name, path in _pages(browser, address, state).items():
            cold = [_look(browser, address + path, state) for _ in range(TIMES)]
            warm = [_look(browser, address + path, state, before=True) for _ in range(TIMES)]
            sent, again = (statistics.median(one[0] for one in all_) for all_ in (cold, warm))
            ready, soon = (statistics.median(one[1] for one in all_) for all_ in (cold, warm))
            print(f"{name:8}{sent:>7.0f}{again:>14.0f}{ready:>11.2f} s{soon:>18.2f} s")
            if name == "verdict":
                bytes_of_verdict = round(again)
        browser.close()
    return 0 if 0 < bytes_of_verdict <= MOST_BYTES_OF_VERDICT else 1


def _signed_in(browser: Browser, address: str) -> dict[str, object]:
    page = browser.new_page()
    page.goto(address + "/sign-in/")
    page.get_by_label("Sign-in name").fill(MEMBER)
    page.get_by_label("Pass phrase").fill(PHRASE)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/today/")
    return dict(page.context.storage_state())


def _pages(browser: Browser, address: str, state: dict[str, object]) -> dict[str, str]:
    """Today, the first of its crosses, and the longest page of the last verdicts."""
    page = browser.new_context(storage_state=state).new_page()  # type: ignore[arg-type]
    page.goto(address + "/c/harbour-lane/today/")
    links = [link.get_attribute("href") or "" for link in page.locator("main a").all()]
    attempt = next(one for one in links if re.fullmatch(r"/c/[\w-]+/sets/\d+/\d+/.*", one))
    page.goto(address + "/c/harbour-lane/plans/")
    plans = [link.get_attribute("href") or "" for link in page.locator("main a").all()]
    verdicts = [one for one in plans if re.search(r"/sets/\d+/\d+/", one)][:PLANS]
    verdict = max(verdicts, key=lambda one: len(page.request.get(address + one).body()))
    page.context.close()
    return {"today": "/c/harbour-lane/today/", "attempt": attempt, "verdict": verdict}


def _look(
    browser: Browser, url: str, state: dict[str, object], *, before: bool = False
) -> tuple[float, float]:
    """Bytes on the line, and seconds until the page can be used."""
    context = browser.new_context(
        storage_state=state,  # type: ignore[arg-type]
        viewport={"width": 360, "height": 740},
        service_workers="block",
    )
    page = context.new_page()
    if before:
        page.goto(url)
    told = context.new_cdp_session(page)
    told.send("Network.enable")
    line = {"latency": DELAY_MS, "downloadThroughput": LINE_BYTES_A_SECOND}
    told.send(
        "Network.emulateNetworkConditions",
        {"offline": False, "uploadThroughput": LINE_BYTES_A_SECOND, **line},
    )
    told.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    came: list[float] = []
    told.on("Network.loadingFinished", lambda event: came.append(event["encodedDataLength"]))
    page.goto(url, wait_until="load")
    ready = _interactive(page)
    context.close()
    return sum(came), ready


def _interactive(page: Page) -> float:
    milliseconds = page.evaluate(
        "performance.getEntriesByType('navigation')[0].domContentLoadedEventEnd"
    )
    return float(milliseconds) / 1000


if __name__ == "__main__":
    sys.exit(main())
