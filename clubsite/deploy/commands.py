"""Which command is ours to run without Django, and the environment of all the others.

``serve`` and ``demo`` stay small processes that look after others, and ``test``
hands over to pytest: none of them loads the site. Everything else is a Django
management command, run with the settings' variables filled in.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable

from clubsite.deploy.checkout import ROOT
from clubsite.deploy.variables import complete


def run(argv: list[str]) -> int:
    """Run the command that ``argv`` names and return its exit status."""
    name = argv[1] if len(argv) > 1 else "help"
    own = _own().get(name)
    if own is not None:
        return own(argv[2:])
    complete(os.environ, argv)
    from django.core.management import execute_from_command_line

    execute_from_command_line(argv)
    return 0


def _own() -> dict[str, Callable[[list[str]], int]]:
    return {"serve": _serve, "demo": _demo, "restore": _restore, "test": _test}


def _serve(arguments: list[str]) -> int:
    from clubsite.deploy.serving import main

    return main(arguments, demo=False)


def _demo(arguments: list[str]) -> int:
    from clubsite.deploy.serving import main

    return main(arguments, demo=True)


def _restore(arguments: list[str]) -> int:
    from clubsite.deploy.restoring import main

    return main(arguments)


def _test(arguments: list[str]) -> int:
    """The whole suite, linters and layer checks with it; ``arguments`` go on to pytest.

    Everything is shared out among workers; a part that somebody asks for runs in one process.
    """
    os.chdir(ROOT)
    own = ["-p", "tests.no_skips"] if os.environ.get("WITHIN_EIGHT_NO_SKIPS") else []
    if all(argument.startswith(_HOW_NOT_WHAT) for argument in arguments):
        own += ["-n", str(_workers()), "--dist", "loadfile", "--no-loadscope-reorder"]
    os.execv(sys.executable, [sys.executable, "-m", "pytest", *own, *arguments])


_HOW_NOT_WHAT = ("-q", "-v", "-x", "-r", "--durations", "--junit", "--randomly", "--tb")
"""Arguments that leave it at all tests."""


def _workers() -> int:
    """One a core, and two at least: many tests wait for servers, pages and other programs."""
    return max(2, min(4, os.cpu_count() or 2))
