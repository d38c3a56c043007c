#!/usr/bin/env python3
"""Every command of Within Eight: sets up what is missing, then runs it.

Kept readable by Pythons that are too old, so that they can say so.
"""

import os
import signal
import sys


def python_too_old():
    """Say which Python is needed, and which one of this machine will do."""
    found = ""
    for folder in os.environ.get("PATH", "").split(os.pathsep):
        for minor in ("13", "12", "11"):
            name = "python3." + minor
            if not found and os.access(os.path.join(folder, name), os.X_OK):  # noqa: PTH118
                found = name
    advice = "Install it from your system's packages or from python.org, then run this again."
    if found:
        advice = "This machine has " + found + ": run  " + " ".join([found] + sys.argv)  # noqa: RUF005
    version = ".".join(str(part) for part in sys.version_info[:3])
    return "Within Eight needs Python 3.11 or newer. This is Python " + version + ".\n" + advice


def main():
    """Go on inside `.venv`; then a command of our own, or one of Django's."""
    if sys.version_info < (3, 11):  # noqa: UP036
        sys.exit(python_too_old())
    # Asked to end is asked to end: by Ctrl-C or by the system, what was begun is put in order.
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    from clubsite import bootstrap
    from clubsite.deploy import terminal

    terminal.be_plain()
    bootstrap.enter(sys.argv)

    from clubsite.deploy import commands

    sys.exit(commands.run(sys.argv))


if __name__ == "__main__":
    try:
        main()
    except KeyboardInterrupt:
        sys.stderr.write("\nEnded.\n")
        sys.exit(130)
