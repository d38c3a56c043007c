"""How many plans a second `checkplan --batch` answers in one process.

    python -m tests.bench.checkplan_batch

Plans are shortest solutions with a slip in half of them, so most end solved,
as members' plans do; thirty members a scramble, and once more with a scramble
of its own for each plan. The slow twin follows the same plans on numbered
stickers (distances only).
"""

from __future__ import annotations

import io
import json
import os
import random
import sys
import time

from tests.bench.timing import median_seconds, show

MEMBERS = 30
SCRAMBLES = 200


def requests(scrambles: int, members: int) -> list[dict[str, object]]:
    """Make requests from a seed: the same on every machine."""
    from solverworker.cube.chance import Stream
    from solverworker.cube.turns import TURN_NAMES
    from solverworker.review import solve
    from solverworker.search.scramble import draw_scramble

    source = random.Random(20)
    found: list[dict[str, object]] = []
    for number in range(scrambles):
        scramble = draw_scramble(Stream(f"bench/{number}"))
        solutions = solve(scramble, colours=["white"])["white"].solutions
        for _ in range(members):
            tokens = source.choice(solutions).split()
            if source.random() < 0.5:
                slip = source.choice(TURN_NAMES)
                place = source.randint(1, len(tokens))
                tokens[place:place] = [slip, slip[0] + {"": "'", "'": "", "2": "2"}[slip[1:]]]
            found.append({"scramble": scramble, "plan": " ".join(tokens), "colours": ["white"]})
    return found


def answer(data: bytes) -> int:
    """Run the command on JSON lines; returns how many lines it wrote."""
    from django.core.management import call_command

    kept = sys.stdin
    sys.stdin = io.TextIOWrapper(io.BytesIO(data))
    out = io.StringIO()
    try:
        call_command("checkplan", "--batch", stdout=out)
    finally:
        sys.stdin = kept
    return out.getvalue().count("\n")


def main() -> None:
    """Measure and print."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubsite.settings.test")
    import django

    django.setup()
    from tests.reference.slow_plan import distances_along

    rows: list[tuple[str, str]] = []
    together = requests(SCRAMBLES, MEMBERS)
    apart = requests(SCRAMBLES * MEMBERS // 4, 1)
    speed = 0.0
    for name, asked in (
        (f"plans a second, {MEMBERS} members a scramble", together),
        ("plans a second, a scramble each", apart),
    ):
        data = "".join(json.dumps(request) + "\n" for request in asked).encode()
        assert answer(data) == len(asked)
        speed = len(asked) / median_seconds(lambda data=data: answer(data), 5)
        rows.append((name, f"{speed:,.0f}"))
    distances_along("R", "U")  # the reference's own table, before its clock starts
    few = apart[:100]
    began = time.perf_counter()
    for request in few:
        distances_along(str(request["scramble"]), str(request["plan"]))
    slow = len(few) / (time.perf_counter() - began)
    rows.append(("slow twin, distances alone", f"{slow:,.0f} ({speed / slow:.0f} times fewer)"))
    show(rows)


if __name__ == "__main__":
    main()
