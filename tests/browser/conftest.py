"""Chromium, driven as a person would drive it. Without it these tests are listed as not run."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import DEFAULT_OPTIONS, Axe
from django.test import Client
from django.utils.text import slugify
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright
from pytest_django.live_server_helper import LiveServer

from solverworker import tasks
from tests.conftest import NOON, PHRASE, Given
from training.models import Club, Membership

# Playwright keeps an event loop in this thread; the tests use the database beside it on purpose.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

CHROMIUMS = ("chromium-headless-shell", "chromium", "chromium-browser")
"""The first is the same engine without windows: it takes a quarter less of the processor."""
CHROMIUM = next(filter(None, map(shutil.which, CHROMIUMS)), None)
PICTURES = os.environ.get("WITHIN_EIGHT_PICTURES")

HEIGHT = 800
"""Of every window, in px."""

OF_THE_DRIVER = "Service Worker registration blocked by Playwright"
"""Said by what drives the browser, where the test wants no page in reserve."""

# The coach's page asks every five seconds.
expect.set_options(timeout=12_000)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what stands here, and skip it where there is no Chromium (or fail, where asked)."""
    for item in items:
        if "tests/browser/" not in item.path.as_posix():
            continue
        item.add_marker(pytest.mark.browser)
        if CHROMIUM is None and os.environ.get("WITHIN_EIGHT_NO_SKIPS") != "1":
            item.add_marker(pytest.mark.skip(reason="not run: there is no chromium here"))


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    assert CHROMIUM, "Install Chromium (Debian: apt-get install chromium) or unset NO_SKIPS."
    args = ["--no-sandbox"] if os.geteuid() == 0 else []
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=args)
        yield browser
        browser.close()


@pytest.fixture(scope="session", autouse=True)
def own_files() -> Iterator[None]:
    """The site serves its files itself, as in a club: Django's live server knows no digests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("django.contrib.staticfiles.handlers.StaticFilesHandler", lambda site: site)
        yield


@dataclass
class Watched:
    """A page and everything that its console said against it."""

    page: Page
    base: str
    look: str
    complaints: list[str] = field(default_factory=list)

    def go(self, address: str) -> Page:
        self.page.goto(self.base + address)
        return self.page

    def sign_in(self, who: Membership) -> None:
        """Let somebody be signed in here; it takes a tenth of what it takes by the page."""
        client = Client(HTTP_USER_AGENT=self.page.evaluate("navigator.userAgent"))
        answer = client.post(
            "/sign-in/", {"sign_in_name": who.person.sign_in_name, "phrase": PHRASE}
        )
        assert answer.status_code == 302, answer.content.decode()
        self.page.context.add_cookies(
            [
                {"name": name, "value": one.value, "url": self.base}
                for name, one in client.cookies.items()
            ]
        )

    def sign_in_by_the_page(self, who: Membership) -> None:
        """Sign in as people do; leads to the page that was wanted, or to the first."""
        self.go("/sign-in/")
        self.page.get_by_label("Sign-in name").fill(who.person.sign_in_name)
        self.page.get_by_label("Pass phrase").fill(PHRASE)
        self.page.get_by_role("button", name="Sign in").click()

    def settle(self) -> None:
        """Wait until htmx has nothing under way: for its marks, never for a time."""
        expect(self.page.locator(".htmx-request, .htmx-swapping, .htmx-settling")).to_have_count(0)

    def troubles(self) -> list[str]:
        """What axe finds (WCAG 2.2 AA among its rules) and what the console complained of."""
        self.settle()
        self.take_picture()
        troubles = [*self.complaints, *self._found_by_axe(DEFAULT_OPTIONS)]
        self.complaints.clear()
        return [f"{self.page.url}, {self.look}: {trouble}" for trouble in troubles]

    def contrast(self) -> list[str]:
        """What axe finds to say of the colours, where all else has been looked at."""
        only = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}
        found = self._found_by_axe({**DEFAULT_OPTIONS, **only})
        return [f"{self.page.url}, {self.look}: {trouble}" for trouble in found]

    def wear(self, width: int, dark: bool) -> None:
        """Look at the page that stands here at another width, by day or by night."""
        self.page.set_viewport_size({"width": width, "height": HEIGHT})
        self.page.emulate_media(color_scheme="dark" if dark else "light")
        self.look = name_of_look(width, dark)

    def _found_by_axe(self, options: dict[str, Any]) -> list[str]:
        axe = Axe()
        if self.page.evaluate("typeof axe") != "undefined":
            axe.axe_script = ""  # It is in this page already.
        found = axe.run(self.page, options=options)
        return [found.generate_report()] if found.violations_count else []

    def take_picture(self) -> None:
        """Keep a picture of the page where WITHIN_EIGHT_PICTURES says, named by title and size."""
        if not PICTURES:
            return
        Path(PICTURES).mkdir(parents=True, exist_ok=True)
        name = slugify(f"{self.page.title().split(' · ')[0]} {self.look}")
        self.page.screenshot(path=Path(PICTURES) / f"{name}.png", full_page=True)

    def is_clean(self) -> None:
        """The page has no troubles."""
        assert self.troubles() == []


def name_of_look(width: int, dark: bool) -> str:
    """As pictures are named: "360 dark"."""
    return f"{width} {'dark' if dark else 'light'}"


def _watch(context: BrowserContext, base: str, look: str) -> Watched:
    page = context.new_page()
    watched = Watched(page, base, look)
    page.on(
        "console",
        lambda message: (
            watched.complaints.append(f"{message.type}: {message.text}")
            if message.type in ("error", "warning") and message.text != OF_THE_DRIVER
            else None
        ),
    )
    page.on("pageerror", lambda error: watched.complaints.append(f"thrown: {error}"))
    return watched


Opener = Callable[..., Watched]


def to_write(page: Page) -> None:
    """From the scramble to where the plan is written: check, inspect, write."""
    page.get_by_role("link", name="It looks like this").click()
    page.get_by_role("button", name="Start").click()
    page.get_by_role("button", name="Write", exact=True).click()
    expect(page.get_by_role("heading", name="Write from memory")).to_be_visible()


@pytest.fixture
def open_browser(chromium: Browser, live_server: LiveServer) -> Iterator[Opener]:
    """Open a browser of one's own: ``open_browser(width=360, dark=True, script=False)``.

    ``zone``: where its computer believes to be, such as "Europe/Berlin". ``reserve``: it keeps a
    page in reserve, for when there is no line. ``touch``: it is a phone, without a mouse.
    """
    contexts: list[BrowserContext] = []

    def opener(
        width: int = 1280,
        dark: bool = False,
        script: bool = True,
        zone: str | None = None,
        reserve: bool = False,
        touch: bool = False,
    ) -> Watched:
        context = chromium.new_context(
            viewport={"width": width, "height": HEIGHT},
            color_scheme="dark" if dark else "light",
            java_script_enabled=script,
            reduced_motion="reduce",
            timezone_id=zone,
            has_touch=touch,
            is_mobile=touch,
            service_workers="allow" if reserve else "block",
        )
        context.set_default_timeout(10_000)
        contexts.append(context)
        return _watch(context, live_server.url, name_of_look(width, dark))

    yield opener
    for context in contexts:
        context.close()


@dataclass
class Worker:
    """The workers of these tests: plans rung for, checked when the test says so."""

    rung: list[int] = field(default_factory=list)

    def ring(self, plan_id: int) -> bool:
        self.rung.append(plan_id)
        return True

    def work(self) -> None:
        """Check everything that was rung for, with the real task."""
        while self.rung:
            assert tasks.check_plan.run(self.rung.pop(0))


@pytest.fixture
def worker(monkeypatch: pytest.MonkeyPatch) -> Worker:
    worker = Worker()
    monkeypatch.setattr("training.dispatch.ring", worker.ring)
    return worker


@pytest.fixture
def club_day(
    live_server: LiveServer,
    clock: Callable[[datetime], None],
    club: Club,
    coach: Membership,
    member: Membership,
    second: Membership,
    given: Given,
    worker: Worker,
) -> Given:
    """A club at Wednesday noon: a closed set of Tuesday with plans, and today's, just begun."""
    tuesday = given.a_set(
        opens=NOON - timedelta(hours=37),
        closes=NOON - timedelta(hours=13),
    )
    for number, plan in enumerate(("D' R'", "R' D'", "F' R'", "L F' R' L'", None), start=1):
        given.a_plan(second, tuesday, number, plan, at=NOON - timedelta(hours=20))
    for number, plan in enumerate(("D' R'", "R' L L' D'", "F R2"), start=1):
        given.a_plan(member, tuesday, number, plan, at=NOON - timedelta(hours=19))
    today = given.a_set()
    given.a_plan(second, today, 1, "D D D R'")
    # All of these were checked at once: nothing is left to ring for.
    worker.rung.clear()
    return given
