"""What the drawn cross costs: on the server, on the way, and in a browser.

    python -m tests.bench.drawn_cross

On the server: the geometry of one step, and its SVG written. The verdict's page: bytes as they
are and compressed (gzip), parses of notation and queries. In Chromium, with the processor four
times slower: how long the script takes for a picture of a turn, and for a step.
"""

from __future__ import annotations

import gzip
import os
import statistics
import tempfile
import time
import timeit
from datetime import timedelta
from pathlib import Path

from tests.bench.one_plan import PLAN, SCRAMBLE, measured

PICTURES = """() => new Promise((done) => {
  const took = [];
  window.requestAnimationFrame = (draw) => setTimeout(() => {
    const begun = performance.now();
    draw(window.clock = (window.clock ?? 0) + 16);
    took.push(performance.now() - begun);
  });
  const steps = [];
  const on = document.querySelector('[data-go="1"]');
  const next = (left) => {
    if (!left) return done({took, steps});
    const begun = performance.now();
    on.click();
    steps.push(performance.now() - begun);
    setTimeout(() => next(left - 1), 1500);
  };
  next(6);
})"""


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DJANGO_SETTINGS_MODULE"] = "clubsite.settings.test"
        os.environ["WITHIN_EIGHT_DATA"] = folder
        os.environ["DATABASE_URL"] = f"sqlite:///{Path(folder) / 'bench.sqlite3'}"
        os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"
        import django

        django.setup()
        _server()
        page = _page()
        _browser(page)


def _server() -> None:
    from django.template.loader import get_template

    from training.web.parts.drawn import draw_cross

    rings, cube = (get_template(f"pictures/{name}.html") for name in ("rings", "cube"))

    def geometry() -> object:
        return draw_cross(SCRAMBLE, PLAN, colour="yellow", step=3)

    def drawn() -> None:
        made = draw_cross(SCRAMBLE, PLAN, colour="yellow", step=3)
        rings.render({"rings": made.rings, "name": made.name, "words": made.words})
        cube.render({"cube": made.cube, "name": made.name})

    for name, doing in (("geometry of a step", geometry), ("geometry and SVG", drawn)):
        doing()
        found = timeit.repeat(doing, timer=time.process_time, number=100, repeat=7)
        runs = [1000 * took / 100 for took in found]
        print(f"{name:<28}{statistics.median(runs):8.2f} ms")


def _page() -> str:
    from django.core.management import call_command
    from django.test import Client
    from django.utils import timezone

    from solverworker import tasks
    from training.models import Club, Membership, Person, Plan, Scramble, ScrambleSet

    call_command("migrate", verbosity=0)
    now = timezone.now()
    club = Club.objects.create(name="Bench", slug="bench", time_zone="UTC", colours=["yellow"])
    person = Person.objects.create_person("bench", None)
    own = Membership.objects.create(
        club=club, person=person, display_name="Bench", joined_at=now - timedelta(days=9)
    )
    a_set = ScrambleSet.objects.create(
        club=club,
        draw_method="random_state",
        day=now.date(),
        opens_at=now - timedelta(hours=1),
        closes_at=now + timedelta(hours=1),
        colours=["yellow"],
    )
    for number in range(1, 6):
        Scramble.objects.create(scramble_set=a_set, number=number, text=SCRAMBLE)
    plan = Plan.objects.create(
        scramble=a_set.scrambles.get(number=1),
        membership=own,
        key="00000000-0000-4000-8000-000000000001",
        written=PLAN,
        canonical=PLAN,
    )
    tasks.check_plan.run(plan.pk)
    client = Client()
    client.force_login(person, backend="training.services.backends.PhraseBackend")
    here = f"/c/bench/sets/{a_set.pk}/1/"
    client.get(here)
    bodies: list[bytes] = []
    costs = measured(lambda: bodies.append(client.get(here).content))
    parses, different, queries = costs
    print(f"{'verdict page':<28}{len(bodies[0]) / 1000:8.1f} kB")
    print(f"{'verdict page, gzip':<28}{len(gzip.compress(bodies[0], 6)) / 1000:8.1f} kB")
    print(f"{'parses, different texts':<28}{parses:>8}, {different}")
    print(f"{'queries':<28}{queries:>8}")
    took = timeit.repeat(lambda: client.get(here), timer=time.process_time, number=1, repeat=15)
    print(f"{'verdict page, web process':<28}{1000 * statistics.median(took):8.1f} ms")
    return bodies[0].decode()


def _browser(page: str) -> None:
    from playwright.sync_api import sync_playwright

    static = Path("training/web/static")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=os.environ.get("CHROMIUM", "/usr/bin/chromium"),
            args=["--no-sandbox"],
        )
        tab = browser.new_page(reduced_motion="no-preference")
        tab.goto("about:blank")
        tab.set_content(page)
        for name in ("drawn", "stepper"):
            script = (static / f"training/js/{name}.js").read_text()
            tab.evaluate(f"(() => {{ {script} }})()")
        tab.evaluate("history.replaceState = () => {}")
        slow = tab.context.new_cdp_session(tab)
        slow.send("Emulation.setCPUThrottlingRate", {"rate": 4})
        found = tab.evaluate(PICTURES)
        browser.close()
    for name, runs in (("picture of a turn", found["took"]), ("a step", found["steps"])):
        longest = f"longest {max(runs):.1f} of {len(runs)}"
        print(f"{name + ', script':<28}{statistics.median(runs):8.2f} ms, {longest}")


if __name__ == "__main__":
    main()
