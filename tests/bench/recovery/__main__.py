"""Run the parts that are named, or all."""

from __future__ import annotations

import argparse

from tests.bench.recovery import equals, improvers, intervals, lessons, naming, slip_lessons

PARTS = {
    "naming": naming.main,
    "equals": equals.main,
    "improvers": improvers.main,
    "lessons": lessons.main,
    "slip_lessons": slip_lessons.main,
    "intervals": intervals.main,
}


def main() -> None:
    """Run them in order."""
    options = argparse.ArgumentParser(prog="python -m tests.bench.recovery")
    options.add_argument("parts", nargs="*", help="default: all")
    for name in options.parse_args().parts or PARTS:
        print(f"\n{name}")
        PARTS[name]()


if __name__ == "__main__":
    main()
