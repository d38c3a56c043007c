"""Steps of the stack tests that need the site's own code, run outside the tests' process.

``python -m tests.stack.club STEP …`` prints JSON, in a process of its own. Without a step it takes
a list of words from each line of its input and prints JSON for each: to load the site takes longer
than any step.
"""

from __future__ import annotations

import json
import multiprocessing
import sys
import uuid
from collections.abc import Callable
from datetime import timedelta
from functools import partial
from typing import Any

import django

# Shortest solutions of the yellow cross known by hand: the turns, taken back.
SCRAMBLES = ("R D", "D R", "R F")
MEMBERS = ("ines", "bashir", "noor", "feng", "marta", "ossian")


def make(scrambles: int = len(SCRAMBLES)) -> dict[str, Any]:
    """A club with an owner, six members and a set that is open."""
    from django.contrib.auth.hashers import make_password
    from django.utils import timezone

    from tests.counting import count_from_joining
    from tests.stack.site import PHRASE, SLUG
    from training.models import Club, Membership, Person, Role, Scramble, ScrambleSet

    now = timezone.now()
    # One hash for all: each costs a third of a second.
    hashed = make_password(PHRASE)
    club = Club.objects.create(
        name="Lantern Street", slug=SLUG, time_zone="Europe/Oslo", colours=["yellow"]
    )
    for name, role in [("odd", Role.OWNER), *((name, Role.MEMBER) for name in MEMBERS)]:
        person = Person.objects.create_person(name, None)
        person.password = hashed
        person.save()
        Membership.objects.create(
            club=club,
            person=person,
            display_name=name.title(),
            role=role,
            competes=role == Role.MEMBER,
            joined_at=now - timedelta(days=90),
        )
    count_from_joining(*Membership.objects.all())
    opened = ScrambleSet.objects.create(
        club=club,
        day=now.date(),
        draw_method="thirty_turns",
        colours=["yellow"],
        opens_at=now - timedelta(hours=1),
        closes_at=now + timedelta(hours=6),
    )
    for number in range(1, scrambles + 1):
        text = SCRAMBLES[(number - 1) % len(SCRAMBLES)]
        Scramble.objects.create(scramble_set=opened, number=number, text=text)
    return {"set_id": opened.pk}


def crowd(count: int) -> dict[str, Any]:
    """``count`` plans of as many new members wait, handed in all at once."""
    from django.utils import timezone

    from tests.counting import count_from_joining
    from training.entry import Entry
    from training.models import Club, Membership, Person, Scramble
    from training.services.plans import hand_in

    club = Club.objects.get()
    scramble = Scramble.objects.select_related("scramble_set").get(number=1)
    ids = []
    for place in range(count):
        person = Person.objects.create_person(f"member-{place}", None)
        membership = Membership.objects.create(
            club=club,
            person=person,
            display_name=f"Member {place}",
            joined_at=timezone.now() - timedelta(days=9),
        )
        count_from_joining(membership)
        handed = hand_in(
            membership=membership, scramble=scramble, entry=Entry("D' R'"), key=uuid.uuid4()
        )
        ids.append(handed.plan.pk)
    return {"plans": ids}


def grow_old(seconds: int) -> dict[str, Any]:
    """Make every waiting row look as if its bell had been rung ``seconds`` ago."""
    from django.utils import timezone

    from training.models import Plan

    then = timezone.now() - timedelta(seconds=seconds)
    return {"changed": Plan.objects.filter(status="waiting").update(rung_at=then)}


def state() -> dict[str, Any]:
    """How many plans there are in each status, how many verdicts, how many sets."""
    from django.db.models import Count

    from training.models import Plan, ScrambleSet, Verdict

    counts = Plan.objects.order_by().values_list("status").annotate(n=Count("pk"))
    return {
        "plans": dict(counts),
        "verdicts": Verdict.objects.count(),
        "sets": ScrambleSet.objects.count(),
    }


def a_report() -> Any:
    """The report that is given as one line of JSON: loading the solver is not this step's work."""
    from solverworker.report import PlanReport

    return PlanReport.from_dict(json.loads(sys.stdin.readline()))


def compete(wait: Callable[[], object], _number: int, *, report: Any) -> list[int]:
    """Record a verdict on every waiting plan; whose verdict it was."""
    from training.models import Plan
    from training.services import verdicts

    ids = list(Plan.objects.filter(status="waiting").order_by("pk").values_list("pk", flat=True))
    wait()
    won = []
    for plan_id in ids:
        verdicts.claim(plan_id=plan_id)
        if verdicts.record(plan_id=plan_id, report=report):
            won.append(plan_id)
    return won


def sweep(wait: Callable[[], object], _number: int) -> int:
    """Ring for all that wait too long; how many those were."""
    from training.services import verdicts

    wait()
    return verdicts.sweep()


def written_sql() -> dict[str, Any]:
    """The statements by which a plan is claimed, recorded and rung for."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from training.models import Plan
    from training.services import verdicts

    plan_id = Plan.objects.filter(status="waiting").values_list("pk", flat=True)[0]
    report = a_report()
    with CaptureQueriesContext(connection) as captured:
        verdicts.sweep()
        verdicts.claim(plan_id=plan_id)
        verdicts.record(plan_id=plan_id, report=report)
        verdicts.fail(plan_id=plan_id, reason="a test", only_out_of_attempts=True)
    return {"sql": [query["sql"] for query in captured.captured_queries]}


CHOSEN = {
    "colours": ["red"],
    "spelling": "strict",
    "best_sets_counted": 3,
    "technique_target": 90,
}
"""What each of four coaches changes, in this order."""


def change_a_setting(wait: Callable[[], object], number: int) -> dict[str, Any]:
    """Change one setting, with a club that was read before the others changed theirs."""
    from training.models import Membership, Role
    from training.services.clubs import change_settings

    coach = Membership.objects.select_related("club", "person").get(role=Role.OWNER)
    name = list(CHOSEN)[number]
    wait()
    change_settings(by=coach, changes={name: CHOSEN[name]})
    return {name: CHOSEN[name]}


def settings_now() -> dict[str, Any]:
    """What stands in the settings that the coaches changed."""
    from training.models import Club

    club = Club.objects.get()
    return {name: getattr(club, name) for name in CHOSEN}


def tell_of_the_demo() -> dict[str, Any]:
    """What a coach of the demo's club finds on the day, by the selectors of the pages."""
    from django.utils import timezone

    from training.models import Correction, Membership, Role, ScrambleSet
    from training.selectors.challenges import challenges_of
    from training.selectors.coach import overview
    from training.selectors.improvements import improvements
    from training.selectors.questions import waiting_count

    now = timezone.now()
    coach = Membership.objects.select_related("club", "person").get(
        role=Role.COACH, display_name="Iver"
    )
    day = overview(coach, now)
    return {
        "improved": [one.member for one in improvements(coach, now)],
        "quiet": [one.member for one in day.quiet],
        "without_consent": day.waiting_for_consent,
        "stages": sorted({str(one.stage) for one in challenges_of(coach, now)}),
        "questions": waiting_count(coach, now),
        "corrections": Correction.objects.count(),
        "groups": coach.club.groups.count(),
        "homework": ScrambleSet.objects.lessons().filter(kind="homework").count(),
        "nights": ScrambleSet.objects.filter(kind="club_night").count(),
    }


PROCESSES = 4


def at_once(does: Callable[[Callable[[], object], int], Any]) -> list[Any]:
    """Do something in four processes that wait for each other before they begin.

    They are forked from one that has done nothing yet, and holds no connection: to load the site
    takes longer than what they do.
    """
    fork = multiprocessing.get_context("fork")
    together, told = fork.Barrier(PROCESSES), fork.SimpleQueue()

    def one(number: int) -> None:
        told.put(does(lambda: together.wait(60), number))

    processes = [fork.Process(target=one, args=(number,)) for number in range(PROCESSES)]
    for process in processes:
        process.start()
    for process in processes:
        process.join(120)
    assert [process.exitcode for process in processes] == [0] * PROCESSES
    return [told.get() for _ in processes]


STEPS = {
    "make": make,
    "crowd": crowd,
    "grow-old": grow_old,
    "state": state,
    "compete": lambda: at_once(partial(compete, report=a_report())),
    "sweep": lambda: at_once(sweep),
    "tell-of-demo": tell_of_the_demo,
    "set": lambda: at_once(change_a_setting),
    "settings": settings_now,
    "written-sql": written_sql,
}


def run(words: list[str]) -> None:
    print(json.dumps(STEPS[words[0]](*map(int, words[1:]))), flush=True)


def run_all() -> None:
    """Take step after step, each as if it came to a fresh process."""
    from django.db import connections

    from training import dispatch

    while line := sys.stdin.readline():
        run(json.loads(line))
        connections.close_all()
        dispatch.bell.reset()


if __name__ == "__main__":
    django.setup()
    if len(sys.argv) > 1:
        run(sys.argv[1:])
    else:
        run_all()
