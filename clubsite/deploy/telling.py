"""``manage.py`` alone, ``help`` and ``--version``: what there is, in a screenful."""

from __future__ import annotations

import sys

from clubsite.deploy import checkout

RUNNING = (
    ("serve", "serve a club from a data folder: web pages, checker and clock together"),
    ("demo", "serve a club of our own invention, to look around in"),
    ("backup", "copy the database while it is served; the copy is checked"),
    ("restore", "list the copies, or put one back"),
    ("move-database", "take a club from SQLite to PostgreSQL"),
    ("export", "write everything that a club owns into one archive"),
    ("ownerlink", "make the first owner's one-time link again"),
    ("ownercode", "make a one-time code for an owner who forgot the pass phrase"),
    ("catchup", "bring verdicts and summaries up to date; serve does it by itself"),
    ("verify", "recompute every verdict, summary and total, and report differences"),
    ("recheck", "check old plans by newer rules, look, then switch"),
    ("summaries", "compare what reviews read with the verdicts, or make it anew"),
    ("warmup", "compile the solver before an upgrade's stop"),
    ("prepare", "bring the database to its shape; serve does it by itself"),
    ("test", "run the whole suite"),
)
SOLVING = (
    ("solve", "every shortest cross of a scramble"),
    ("checkplan", "what a plan is worth, move by move"),
    ("account", "what each member's moves were lost to"),
    ("scramble", "draw scrambles"),
    ("atlas", "what is known of all 190,080 crosses"),
)
_LINE = "  {:15}{}"


def overview() -> str:
    """Our commands, a line each."""
    lines = [
        "Within Eight: a club's practice of the cross.",
        "",
        "Running a club:  python3 manage.py COMMAND",
        *(_LINE.format(*line) for line in RUNNING),
        "",
        "The solver in a terminal:",
        *(_LINE.format(*line) for line in SOLVING),
        "",
        "Each answers --help. `help --all` lists Django's commands, --version tells the version.",
        "Exit status: 0 done, 1 refused or failed, 2 a wrong option or setting, 130 ended before",
        "it was done. All of it is told in clubsite/deploy/OPERATING.md.",
    ]
    return "\n".join(lines)


def version() -> str:
    """Which version this is: ours, the rules', Python's."""
    from solverworker import SOLVER_VERSION, __version__

    commit = checkout.commit()
    where = f" ({commit})" if commit else ""
    python = ".".join(str(part) for part in sys.version_info[:3])
    return f"Within Eight {__version__}{where}, rules {SOLVER_VERSION}, Python {python}"
