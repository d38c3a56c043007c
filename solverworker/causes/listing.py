"""Putting the ideas into their order, and refusing what is no order."""

from __future__ import annotations

from collections.abc import Container, Mapping
from typing import Final

from solverworker.causes.kinds import Idea

MOST_IDEAS: Final = 8
"""A mask of ideas is one byte, in every table and kernel."""


def in_order(files: Mapping[str, object], *, taken: Container[str]) -> dict[str, Idea]:
    """Return the ideas of some files by code, in their order.

    ``files``: the modules by name, each with an ``IDEA``; ``taken``: codes of
    what is no idea. Raises ValueError, which says what to mend.
    """
    by_order: dict[int, Idea] = {}
    for name, module in files.items():
        idea = getattr(module, "IDEA", None)
        if not isinstance(idea, Idea):
            raise ValueError(f"The file `{name}.py` holds no IDEA.")
        if idea.code != name:
            raise ValueError(
                f"The file `{name}.py` holds the code `{idea.code}`. A file has the name of its "
                "code, so that no code stands twice."
            )
        if idea.code in taken:
            raise ValueError(f"The code `{idea.code}` is that of a residue.")
        if idea.order in by_order:
            raise ValueError(
                f"`{by_order[idea.order].code}` and `{idea.code}` both have the order "
                f"{idea.order}. The order is a bit: give the newer one {len(files) - 1}."
            )
        by_order[idea.order] = idea
    for order in range(len(by_order)):
        if order not in by_order:
            raise ValueError(
                f"No idea has the order {order}. {len(by_order)} ideas have the orders 0 to "
                f"{len(by_order) - 1}, without a gap."
            )
    if len(by_order) > MOST_IDEAS:
        raise ValueError(f"There are {len(by_order)} ideas. A mask holds {MOST_IDEAS}.")
    return {by_order[order].code: by_order[order] for order in range(len(by_order))}
