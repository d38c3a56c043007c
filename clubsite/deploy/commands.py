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
    """The whole suite, linters and layer checks with it; ``arguments`` go on to pytest."""
    os.chdir(ROOT)
    if os.environ.get("WITHIN_EIGHT_NO_SKIPS"):
        arguments = ["-p", "tests.no_skips", *arguments]
    os.execv(sys.executable, [sys.executable, "-m", "pytest", *arguments])
