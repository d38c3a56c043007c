"""Which command is ours to run without Django, and the environment of all the others.

``serve`` and ``demo`` stay small processes that look after others, and ``test``
hands over to pytest: none of them loads the site. Everything else is a Django
management command, run with the settings' variables filled in.
"""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from clubsite.deploy import telling
from clubsite.deploy.checkout import ROOT
from clubsite.deploy.variables import SETTINGS, complete

if TYPE_CHECKING:
    from django.core.management.base import BaseCommand

_MODULES = {"move-database": "movedatabase"}
DONE, FAILED, MISTAKEN, ENDED = 0, 1, 2, 130
"""Exit statuses: done; refused or failed, with a sentence; a wrong option or setting; Ctrl-C."""


def run(argv: list[str]) -> int:
    """Run the command that ``argv`` names and return its exit status."""
    name = argv[1] if len(argv) > 1 else "help"
    if name in {"help", "--help", "-h"} and len(argv) < 3:
        print(telling.overview())
        return DONE
    if name in {"--version", "version"}:
        print(telling.version())
        return DONE
    if name == "help" and argv[2] == "--all":
        argv = [argv[0], "help"]
    own = _own().get(name)
    if own is not None:
        return own(argv[2:])
    # Django names a command by its module, and a module has no hyphen.
    argv = [argv[0], *(_MODULES.get(word, word) for word in argv[1:3]), *argv[3:]]
    complete(os.environ, argv)
    return _by_django(argv)


def _by_django(argv: list[str]) -> int:
    """A management command; a setting that cannot be read ends in its sentence."""
    if os.environ.get("NO_COLOR"):
        os.environ.setdefault("DJANGO_COLORS", "nocolor")
    from django.core.exceptions import ImproperlyConfigured

    # What a command loads stays to its end: nobody looks through it for garbage.
    gc.disable()
    from django.core.management import ManagementUtility
    from django.db import OperationalError

    class Manage(ManagementUtility):
        def fetch_command(self, subcommand: str) -> BaseCommand:
            command = super().fetch_command(subcommand)
            gc.freeze()  # All is loaded by now.
            gc.enable()
            return command

    try:
        read_settings()
        Manage(argv).execute()
    except ImproperlyConfigured as mistake:
        print(mistake, file=sys.stderr)
        return MISTAKEN
    except OperationalError as error:
        print(f"The database does not answer as it should: {error}", file=sys.stderr)
        return FAILED
    finally:
        gc.enable()
    return DONE


def read_settings() -> None:
    """Load the settings now, so that a mistake in them is told before anything begins.

    Raises:
        ImproperlyConfigured: with a sentence that names the variable and what to write.
    """
    from django.conf import settings
    from django.core.exceptions import ImproperlyConfigured

    try:
        settings.INSTALLED_APPS  # noqa: B018 - reading one loads them
    except ImportError as error:
        named = os.environ.get("DJANGO_SETTINGS_MODULE", "")
        if error.name is None or not f"{named}.".startswith(f"{error.name}."):
            raise
        raise ImproperlyConfigured(
            f"DJANGO_SETTINGS_MODULE is {named!r}, and there is none. Write {SETTINGS}."
        ) from None


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
    # Some hundred Pythons are started on the way: none compiles again what another has.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    own = ["-p", "tests.no_skips"] if os.environ.get("WITHIN_EIGHT_NO_SKIPS") else []
    if all(argument.startswith(_HOW_NOT_WHAT) for argument in arguments):
        own += ["-n", str(_workers()), "--dist", "loadfile", "--no-loadscope-reorder"]
    os.execv(sys.executable, [sys.executable, "-m", "pytest", *own, *arguments])


_HOW_NOT_WHAT = ("-q", "-v", "-x", "-r", "--durations", "--junit", "--randomly", "--tb")
"""Arguments that leave it at all tests."""


def _workers() -> int:
    """Two more than cores: many tests wait for servers, pages and other programs."""
    return min(6, (os.cpu_count() or 1) + 2)
