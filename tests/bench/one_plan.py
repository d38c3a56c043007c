"""What one plan costs on its way: parses of notation and queries at each stop.

    python -m tests.bench.one_plan

A club in a database of its own in memory; a plan of eight moves with its worked verdict is
looked at, typed, read back, handed in, checked by a worker and read. *Parses* are texts read
move by move, *different* how many different ones; what was read before is forgotten between two
stops, as though each were the first request of a process.
"""

from __future__ import annotations

import os
import sys
import tempfile
import uuid
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta
from pathlib import Path
from types import FrameType, TracebackType
from typing import Any

SCRAMBLE = "F2 B U2 D' U2 L R D L' F' B L U D"
PLAN = "D2 B' D F L U' F2 B"
"""The first worked example of the definitions: a yellow cross, two moves over the best six."""


class Parses(AbstractContextManager["Parses"]):
    """Counts the calls of the function that reads notation move by move."""

    def __init__(self) -> None:
        from solverworker.cube import notation

        self.reader = notation._parsed
        self.texts: list[str] = []

    def __enter__(self) -> Parses:
        self.reader.cache_clear()
        code = self.reader.__wrapped__.__code__

        def look(frame: FrameType, event: str, _: Any) -> None:
            if event == "call" and frame.f_code is code:
                self.texts.append(frame.f_locals["text"])

        sys.setprofile(look)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        sys.setprofile(None)


def measured(doing: Callable[[], object]) -> tuple[int, int, int]:
    """How many parses, of how many different texts, and how many queries something takes."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as queries, Parses() as parses:
        doing()
    return len(parses.texts), len(set(parses.texts)), len(queries)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DJANGO_SETTINGS_MODULE"] = "clubsite.settings.test"
        os.environ["WITHIN_EIGHT_DATA"] = folder
        os.environ["DATABASE_URL"] = f"sqlite:///{Path(folder) / 'bench.sqlite3'}"
        import django

        django.setup()
        _walk()


def _walk() -> None:
    from django.core.management import call_command
    from django.test import Client
    from django.utils import timezone

    from solverworker import tasks
    from training.models import Club, Membership, Person, Plan, Scramble, ScrambleSet

    call_command("migrate", verbosity=0)
    now = timezone.now()
    club = Club.objects.create(name="Bench", slug="bench", time_zone="UTC", colours=["yellow"])
    person = Person.objects.create_person("bench", None)
    Membership.objects.create(
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
    client = Client()
    client.force_login(person, backend="training.services.backends.PhraseBackend")
    here = f"/c/bench/sets/{a_set.pk}/1/"
    entry = {"plan": PLAN, "key": str(uuid.uuid4())}
    client.get(here)  # what is loaded once is loaded
    stops: list[tuple[str, Callable[[], object]]] = [
        ("scramble", lambda: client.get(here)),
        ("inspect", lambda: client.get(here + "inspect/")),
        ("tap: begin", lambda: client.post(here + "inspect/", {"measured": "1"})),
        ("tap: end", lambda: client.post(here + "inspect/", {"do": "end", "measured": "1"})),
        ("write", lambda: client.get(here + "write/")),
        ("echo", lambda: client.post(here + "echo/", entry)),
        ("draft", lambda: client.post(here, entry)),
        ("read-back", lambda: client.get(here + "read-back/")),
        ("hand-in", lambda: client.post(here, entry | {"do": "hand_in"})),
        ("waiting page", lambda: client.get(here)),
        ("worker", lambda: tasks.check_plan.run(Plan.objects.get().pk)),
        ("verdict", lambda: client.get(here)),
    ]
    print(f"{'stop':<14}{'parses':>8}{'different':>11}{'queries':>9}")
    for name, doing in stops:
        parses, different, queries = measured(doing)
        print(f"{name:<14}{parses:>8}{different:>11}{queries:>9}")


if __name__ == "__main__":
    main()
