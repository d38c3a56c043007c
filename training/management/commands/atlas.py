"""``manage.py atlas``: the figures of all crosses."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from django.core.management.base import CommandParser

from solverworker.causes import IDEAS
from solverworker.techniques.atlas_maker import atlas
from training.management.lines import SolverCommand, make_pair_table


class Command(SolverCommand):
    help = "Show how many crosses there are of each length, and which ideas they call for."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--json", action="store_true", help="answer in JSON")
        parser.add_argument(
            "--pair", action="store_true", help="add the cross together with a first pair"
        )

        parser.add_argument(
            "--ideas", action="store_true", help="print the README's table of ideas, nothing else"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        figures = dict(atlas().figures)
        if options["ideas"]:
            self.stdout.write("\n".join(table_of_ideas(figures)))
            return
        if options["pair"]:
            by_distance = make_pair_table(self).by_distance
            figures["pair_by_distance"] = {str(key): count for key, count in by_distance.items()}
        self.stdout.write(json.dumps(figures) if options["json"] else in_words(figures))


IDEAS_HEAD = "| idea | what it is | crosses that cannot be solved shortest without it |"


def table_of_ideas(figures: Mapping[str, Any]) -> list[str]:
    """Return the lines of the README's table: every idea, in words and as a share of crosses."""
    lines = [IDEAS_HEAD, "|---|---|---|"]
    for code, idea in IDEAS.items():
        share = 100 * figures["every"][code] / figures["states"]
        digits = 0 if share >= 10 else 1
        lines.append(f"| {idea.name} | {idea.meaning} | {share:.{digits}f} % |")
    return lines


def in_words(figures: Mapping[str, Any]) -> str:
    """Return the figures as tables for people."""
    states = figures["states"]
    lines = [
        f"{states:,} crosses, {figures['solutions']:,} shortest solutions, at most "
        f"{figures['max_count']} for one cross; {figures['unique']:,} crosses have a single one.",
        f"Mean distance {figures['mean_distance']} moves.",
        "",
        f"{'moves':>5}{'crosses':>10}{'share':>9}{'solutions':>12}",
    ]
    for distance, each in figures["by_distance"].items():
        share = 100 * each["states"] / states
        lines.append(f"{distance:>5}{each['states']:>10,}{share:>8.2f}%{each['solutions']:>12,}")
    lines += ["", f"{'idea':<20}{'can use it':>12}{'must use it':>13}"]
    for code, some in figures["some"].items():
        every = figures["every"][code]
        lines.append(
            f"{IDEAS[code].name:<20}{100 * some / states:>11.2f}%{100 * every / states:>12.2f}%"
        )
    if "pair_by_distance" in figures:
        counts = figures["pair_by_distance"]
        total = sum(counts.values())
        mean = sum(int(distance) * count for distance, count in counts.items()) / total
        lines += [
            "",
            f"With the first pair, one slot given: {total:,} states, mean {mean:.4f} moves.",
            f"{'moves':>5}{'states':>12}{'share':>9}",
        ]
        for distance, count in counts.items():
            lines.append(f"{distance:>5}{count:>12,}{100 * count / total:>8.2f}%")
    return "\n".join(lines)
